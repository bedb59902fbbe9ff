//! Conflicts and diagnoses against published cases, an exhaustive list of faults, and brute force.
#![allow(clippy::disallowed_methods, reason = "the tests read the reference data")]
#![allow(clippy::unwrap_used, reason = "a panic is how a test fails")]
#![allow(clippy::print_stdout, reason = "measured figures stand beside the checks")]

use std::collections::BTreeMap;

use proptest::prelude::*;
use serde_json::Value;
use trace::diagnose::{Bounds, Diagnosed, chances, diagnose, hitting_sets};

fn read(name: &str) -> Value {
    let path = format!("{}/../../reference/diagnosis/{name}.json", env!("CARGO_MANIFEST_DIR"));
    serde_json::from_str(&std::fs::read_to_string(path).unwrap()).unwrap()
}

/// The sets of a file as places in `parts`, in the order in which ours come.
fn sets(value: &Value, parts: &[&str]) -> Vec<Vec<usize>> {
    let place = |name: &Value| parts.iter().position(|part| *part == name.as_str().unwrap()).unwrap();
    let mut sets: Vec<Vec<usize>> = value
        .as_array()
        .unwrap()
        .iter()
        .map(|set| {
            let mut set: Vec<usize> = set.as_array().unwrap().iter().map(place).collect();
            set.sort_unstable();
            set
        })
        .collect();
    sets.sort_by(|a, b| a.len().cmp(&b.len()).then_with(|| a.cmp(b)));
    sets
}

/// Whether linear equations with these coefficients and right sides have a common solution in whole numbers or at all:
/// exact elimination without fractions. (All coefficients here are 0 or 1, and a solution in fractions of the polybox's
/// equations is one in whole numbers: each unknown has the coefficient one wherever it stands.)
fn solvable(mut rows: Vec<[i64; 4]>) -> bool {
    let mut done = 0;
    for column in 0..3 {
        let Some(found) = (done..rows.len()).find(|row| rows[*row][column] != 0) else { continue };
        rows.swap(done, found);
        for row in done + 1..rows.len() {
            let (by, of) = (rows[done][column], rows[row][column]);
            let pivot = rows[done];
            for (cell, top) in rows[row].iter_mut().zip(pivot) {
                *cell = *cell * by - top * of;
            }
        }
        done += 1;
    }
    rows[done..].iter().all(|row| row[3] == 0)
}

/// Parts of the polybox, in the order of their places.
const POLYBOX: [&str; 5] = ["A1", "A2", "M1", "M2", "M3"];

/// The polybox: what each sound part says of x, y and z, as equations.
fn polybox_equations(suspected: &[bool]) -> Vec<[i64; 4]> {
    // F = x + y was 10 and G = y + z was 12; A C = 3 * 2, B D = 2 * 3, C E = 2 * 3.
    let says = [[1, 1, 0, 10], [0, 1, 1, 12], [1, 0, 0, 6], [0, 1, 0, 6], [0, 0, 1, 6]];
    (0..5).filter(|part| !suspected[*part]).map(|part| says[part]).collect()
}

fn marked(number: usize, parts: usize) -> Vec<bool> {
    (0..parts).map(|part| number >> part & 1 == 1).collect()
}

/// The model is exact: elimination agrees, for each of the 32 sets of suspects, with trying every x, y and z from 0 to
/// 12. That range is enough: a sound multiplier says 6, two sound adders then 4, 6 or 8, and what no sound part fixes
/// may be 6 or what an adder leaves.
#[test]
fn the_model_of_the_polybox_is_exact() {
    for number in 0..32 {
        let suspected = marked(number, 5);
        let rows = polybox_equations(&suspected);
        let holds =
            |x: i64, y: i64, z: i64| rows.iter().all(|row| row[0] * x + row[1] * y + row[2] * z == row[3]);
        let tried = (0..=12).any(|x| (0..=12).any(|y| (0..=12).any(|z| holds(x, y, z))));
        assert_eq!(solvable(rows.clone()), tried, "{suspected:?}");
    }
}

/// de Kleer & Williams, "Diagnosing multiple faults", 1987: conflicts, minimal diagnoses; the 27 consistent candidates
/// and their posteriors are recomputed in `classic.json`.
#[test]
fn the_polybox_is_diagnosed_as_published() {
    let case = &read("classic")["cases"][0];
    let found = diagnose(5, Bounds::NONE, |suspected| solvable(polybox_equations(suspected)));
    assert_eq!(found.conflicts, sets(&case["minimal_conflicts"], &POLYBOX));
    assert_eq!(found.diagnoses, sets(&case["minimal_diagnoses"], &POLYBOX));
    assert!(found.complete);

    let candidates = (0..32).filter(|number| solvable(polybox_equations(&marked(*number, 5)))).count();
    assert_eq!(u64::try_from(candidates).unwrap(), case["consistent_candidates"].as_u64().unwrap());

    let before = vec![case["prior_fault_probability"].as_f64().unwrap(); 5];
    let after = chances(&before, &found.diagnoses).unwrap();
    for (part, chance) in POLYBOX.iter().zip(after) {
        let theirs = case["posterior_fault_marginals"][part].as_f64().unwrap();
        assert!((chance - theirs).abs() < 1e-12, "{part}: {chance} against {theirs}");
    }
}

/// A circuit of gates with two inputs, in an order in which each comes after what it looks at.
struct Circuit {
    /// Name, kind, and what it looks at.
    gates: Vec<(String, String, [String; 2])>,
    outputs: BTreeMap<String, bool>,
    inputs: BTreeMap<String, bool>,
}

impl Circuit {
    /// Whether the outputs can be as observed if suspected gates may say anything: all of it is tried, so it is exact.
    fn possible(&self, suspected: &[bool]) -> bool {
        let free: Vec<usize> = (0..self.gates.len()).filter(|gate| suspected[*gate]).collect();
        (0..1_usize << free.len()).any(|choice| {
            let mut wires = self.inputs.clone();
            for (at, (name, kind, looks)) in self.gates.iter().enumerate() {
                let [a, b] = [wires[&looks[0]], wires[&looks[1]]];
                let sound = match kind.as_str() {
                    "nand" => !(a && b),
                    "xor" => a != b,
                    "and" => a && b,
                    "or" => a || b,
                    _ => panic!("no such gate: {kind}"),
                };
                let place = free.iter().position(|gate| *gate == at);
                wires.insert(name.clone(), place.map_or(sound, |place| choice >> place & 1 == 1));
            }
            self.outputs.iter().all(|(name, value)| wires[name] == *value)
        })
    }

    fn diagnose(&self) -> Diagnosed {
        diagnose(self.gates.len(), Bounds::NONE, |suspected| self.possible(suspected))
    }
}

fn bits(value: &Value) -> BTreeMap<String, bool> {
    value.as_object().unwrap().iter().map(|(name, bit)| (name.clone(), bit.as_u64() == Some(1))).collect()
}

/// R. Reiter, "A theory of diagnosis from first principles", 1987, the full adder of its example 2.2.
#[test]
fn the_full_adder_is_diagnosed_as_published() {
    let case = &read("classic")["cases"][1];
    // Wires are named for the gate that makes them.
    let gates = [
        ("X1", "xor", ["a", "b"]),
        ("X2", "xor", ["X1", "c"]),
        ("A1", "and", ["a", "b"]),
        ("A2", "and", ["X1", "c"]),
        ("O1", "or", ["A1", "A2"]),
    ];
    let names = gates.map(|(name, ..)| name);
    let seen = bits(&case["observed"]);
    let adder = Circuit {
        gates: gates.map(|(name, kind, looks)| (name.into(), kind.into(), looks.map(Into::into))).to_vec(),
        inputs: bits(&case["inputs"]),
        outputs: BTreeMap::from([("X2".into(), seen["s"]), ("O1".into(), seen["co"])]),
    };
    let found = adder.diagnose();
    assert_eq!(found.conflicts, sets(&case["minimal_conflicts"], &names));
    assert_eq!(found.diagnoses, sets(&case["minimal_diagnoses"], &names));
}

/// ISCAS-85 c17, all 96 wrong outputs, by exhaustive check in `c17.json`.
#[test]
fn every_fault_of_the_smallest_benchmark_circuit_is_diagnosed() {
    let file = read("c17");
    let names: Vec<&str> = file["gates"].as_object().unwrap().keys().map(String::as_str).collect();
    // By name they stand in an order of the signal already: 10, 11, 16, 19, 22, 23.
    assert_eq!(names, ["10", "11", "16", "19", "22", "23"]);
    let gates: Vec<(String, String, [String; 2])> = names
        .iter()
        .map(|name| {
            let gate = &file["gates"][name];
            let looks = [0, 1].map(|at| gate["in"][at].as_str().unwrap().to_owned());
            ((*name).to_owned(), gate["type"].as_str().unwrap().to_owned(), looks)
        })
        .collect();
    let (mut cases, mut asked) = (0, 0);
    for case in file["cases"].as_array().unwrap() {
        let circuit =
            Circuit { gates: gates.clone(), inputs: bits(&case["inputs"]), outputs: bits(&case["observed"]) };
        let found = circuit.diagnose();
        assert_eq!(found.conflicts, sets(&case["minimal_conflicts"], &names), "{case}");
        assert_eq!(found.diagnoses, sets(&case["minimal_diagnoses"], &names), "{case}");
        cases += 1;
        asked += found.asked;
    }
    assert_eq!(cases, 96);
    println!("c17: {cases} observations, {asked} questions to the model");
}

#[test]
fn nothing_wrong_and_nothing_possible_are_answers_too() {
    let sound = diagnose(3, Bounds::NONE, |_| true);
    assert_eq!((sound.conflicts, sound.diagnoses), (vec![], vec![vec![]]));
    let never = diagnose(3, Bounds::NONE, |_| false);
    assert_eq!((never.conflicts, never.diagnoses), (vec![vec![]], Vec::<Vec<usize>>::new()));
    assert!(chances(&[0.1], &[]).is_err());
}

#[test]
fn a_search_whose_questions_run_out_says_so() {
    // Any two of six: all pairs are conflicts but those of part 0.
    let possible = |suspected: &[bool]| suspected[1..].iter().filter(|suspect| !**suspect).count() < 2;
    let whole = diagnose(6, Bounds::NONE, possible);
    assert!(whole.complete);
    assert_eq!(whole.diagnoses.len(), 5);
    let short = diagnose(6, Bounds { questions: whole.asked - 1, ..Bounds::NONE }, possible);
    assert!(!short.complete && short.asked < whole.asked);
    assert!(short.diagnoses.iter().all(|diagnosis| whole.diagnoses.contains(diagnosis)));
}

/// All minimal sets of so many parts for which `good` holds, `good` being kept by growing.
fn minimal(parts: usize, good: impl Fn(&[bool]) -> bool) -> Vec<Vec<usize>> {
    let all: Vec<usize> = (0..1 << parts).filter(|number| good(&marked(*number, parts))).collect();
    let least = |number: &&usize| !all.iter().any(|other| other != *number && other & **number == *other);
    let mut out: Vec<Vec<usize>> = all
        .iter()
        .filter(least)
        .map(|number| (0..parts).filter(|part| number >> part & 1 == 1).collect())
        .collect();
    out.sort_by(|a: &Vec<usize>, b| a.len().cmp(&b.len()).then_with(|| a.cmp(b)));
    out
}

fn some_sets() -> impl Strategy<Value = Vec<Vec<usize>>> {
    prop::collection::vec(prop::sample::subsequence((0..8).collect::<Vec<usize>>(), 1..=5), 0..=7)
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(400))]

    #[test]
    fn hitting_sets_equal_brute_force(sets in some_sets(), together in 0_usize..=8) {
        let hits = |marks: &[bool]| sets.iter().all(|set| set.iter().any(|part| marks[*part]));
        let mut expected = minimal(8, hits);
        expected.retain(|set| set.len() <= together);
        prop_assert_eq!(hitting_sets(&sets, together), expected);
    }

    /// A model made of random conflicts: diagnoses and conflicts equal brute force, bounded diagnoses are the small ones.
    #[test]
    fn diagnoses_and_conflicts_equal_brute_force(sets in some_sets(), together in 0_usize..=4) {
        let possible = |suspected: &[bool]| sets.iter().all(|set| set.iter().any(|part| suspected[*part]));
        let found = diagnose(8, Bounds::NONE, possible);
        let diagnoses = minimal(8, possible);
        prop_assert_eq!(&found.diagnoses, &diagnoses);
        // A set is a conflict if it can't all be sound: with the others suspected it is still not possible.
        let conflict = |marks: &[bool]| !possible(&marks.iter().map(|mark| !mark).collect::<Vec<_>>());
        prop_assert_eq!(found.conflicts, minimal(8, conflict));
        let small = diagnose(8, Bounds { together, ..Bounds::NONE }, possible);
        let few: Vec<Vec<usize>> = diagnoses.into_iter().filter(|set| set.len() <= together).collect();
        prop_assert_eq!(small.diagnoses, few);
        prop_assert!(small.complete);
    }

    /// The chances equal the sum over all sets of faults that explain what was seen.
    #[test]
    fn chances_equal_the_sum_over_all_candidates(sets in some_sets(), before in prop::collection::vec(0.01_f64..0.6, 8)) {
        let possible = |suspected: &[bool]| sets.iter().all(|set| set.iter().any(|part| suspected[*part]));
        let (mut total, mut each) = (0.0, [0.0; 8]);
        for number in 0..256 {
            let marks = marked(number, 8);
            if possible(&marks) {
                let weight: f64 = marks.iter().zip(&before).map(|(mark, p)| if *mark { *p } else { 1.0 - p }).product();
                total += weight;
                (0..8).filter(|part| marks[*part]).for_each(|part| each[part] += weight);
            }
        }
        let found = chances(&before, &diagnose(8, Bounds::NONE, possible).diagnoses).unwrap();
        for (ours, theirs) in found.iter().zip(each) {
            prop_assert!((ours - theirs / total).abs() < 1e-10);
        }
    }
}
