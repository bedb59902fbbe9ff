//! Exact inference against published networks, other programs' posteriors, and brute force.
#![allow(clippy::disallowed_methods, reason = "the tests read the reference data")]
#![allow(clippy::unwrap_used, reason = "a panic is how a test fails")]
#![allow(clippy::print_stdout, reason = "measured figures stand beside the checks")]

use std::collections::BTreeMap;

use proptest::prelude::*;
use serde_json::Value;
use trace::infer::{Impossible, Network, Posterior};

/// A network of `reference/bayes`: its unknowns and their values by name, and the cases.
struct Reference {
    network: Network,
    names: Vec<String>,
    states: Vec<Vec<String>>,
    cases: Vec<Value>,
}

fn texts(value: &Value) -> Vec<String> {
    value.as_array().unwrap().iter().map(|text| text.as_str().unwrap().to_owned()).collect()
}

fn read(name: &str) -> Reference {
    let path = format!("{}/../../reference/bayes/{name}.json", env!("CARGO_MANIFEST_DIR"));
    let file: Value = serde_json::from_str(&std::fs::read_to_string(path).unwrap()).unwrap();
    let nodes = file["nodes"].as_array().unwrap();
    let names: Vec<String> = nodes.iter().map(|node| node["name"].as_str().unwrap().to_owned()).collect();
    let states: Vec<Vec<String>> = nodes.iter().map(|node| texts(&node["states"])).collect();
    let mut network = Network::default();
    for states in &states {
        network.unknown(states.len());
    }
    for (at, node) in nodes.iter().enumerate() {
        let place = |name: &String| names.iter().position(|other| other == name).unwrap();
        let mut over: Vec<usize> = texts(&node["parents"]).iter().map(place).collect();
        over.push(at);
        let rows = node["cpt"].as_array().unwrap().iter();
        network.table(&over, rows.flat_map(|row| row.as_array().unwrap().iter().map(number)).collect());
    }
    Reference { network, names, states, cases: file["cases"].as_array().unwrap().clone() }
}

fn number(value: &Value) -> f64 {
    value.as_f64().unwrap()
}

impl Reference {
    fn place(&self, name: &str, state: &str) -> (usize, usize) {
        let unknown = self.names.iter().position(|other| other == name).unwrap();
        (unknown, self.states[unknown].iter().position(|other| other == state).unwrap())
    }

    fn ask(&self, seen: &[(&str, &str)]) -> Posterior {
        let seen: Vec<(usize, usize)> = seen.iter().map(|(name, state)| self.place(name, state)).collect();
        self.network.posterior(&seen).unwrap()
    }

    fn chance(&self, of: (&str, &str), seen: &[(&str, &str)]) -> f64 {
        let (unknown, value) = self.place(of.0, of.1);
        self.ask(seen).of[unknown][value]
    }
}

/// The largest difference between our posteriors and the file's, and how many numbers were compared.
fn largest_difference(name: &str) -> (f64, usize) {
    let reference = read(name);
    let (mut worst, mut compared) = (0.0_f64, 0);
    for case in &reference.cases {
        let seen: Vec<(&str, &str)> = case["evidence"]
            .as_object()
            .unwrap()
            .iter()
            .map(|(name, state)| (name.as_str(), state.as_str().unwrap()))
            .collect();
        let ours = reference.ask(&seen);
        worst = worst.max((ours.evidence - number(&case["p_evidence"])).abs());
        worst = worst.max((ours.log_evidence - libm::log(number(&case["p_evidence"]))).abs());
        compared += 1;
        for (name, states) in case["posteriors"].as_object().unwrap() {
            for (state, value) in states.as_object().unwrap() {
                let (unknown, place) = reference.place(name, state);
                worst = worst.max((ours.of[unknown][place] - number(value)).abs());
                compared += 1;
            }
        }
    }
    (worst, compared)
}

/// Posteriors by another program's lazy propagation, checked by enumeration or a third program; see
/// `reference/bayes/README.md`. They agree among themselves to 4.4e-16.
#[test]
fn six_published_networks_agree_with_other_programs() {
    let cases = [
        ("asia", 12),
        ("cancer", 12),
        ("earthquake", 12),
        ("alarm", 14),
        ("aima-burglary", 6),
        ("jensen-car-start", 9),
    ];
    for (name, count) in cases {
        assert_eq!(read(name).cases.len(), count, "{name}");
        let (worst, compared) = largest_difference(name);
        println!("{name}: {compared} numbers, largest difference {worst:.1e}");
        assert!(worst < 1e-12, "{name}: {worst:e}");
    }
}

/// Russell & Norvig, Artificial Intelligence: A Modern Approach, ch. 14.4: P(burglary | both call) = 0.284.
#[test]
fn both_neighbours_calling_make_a_burglary_as_likely_as_the_textbook_says() {
    let chance = read("aima-burglary").chance(("Burglary", "T"), &[("JohnCalls", "T"), ("MaryCalls", "T")]);
    assert!((chance - 0.284).abs() < 5e-4, "{chance}");
}

/// Jensen & Nielsen, Bayesian Networks and Decision Graphs, 2nd ed., ch. 2: the car does not start; then the fuel meter
/// stands at half. The book prints 0.29, 0.58, 0.001 and 0.804.
#[test]
fn the_car_that_does_not_start_is_as_the_textbook_says() {
    let car = read("jensen-car-start");
    let start = ("Start", "no");
    assert!((car.chance(("Fuel", "no"), &[start]) - 0.29).abs() < 5e-3);
    assert!((car.chance(("SparkPlugs", "no"), &[start]) - 0.58).abs() < 5e-3);
    let half = [start, ("FuelMeter", "half")];
    assert!((car.chance(("Fuel", "no"), &half) - 0.001).abs() < 5e-4);
    assert!((car.chance(("SparkPlugs", "no"), &half) - 0.804).abs() < 5e-4);
}

/// A thousand tosses have the evidence 2^-2000, which is no number of this machine, but they still tell.
#[test]
fn evidence_too_small_for_a_number_is_still_evidence() {
    let mut network = Network::default();
    let cause = network.unknown(2);
    network.table(&[cause], vec![0.5, 0.5]);
    let mut seen = Vec::new();
    for at in 0..2000 {
        let toss = network.unknown(2);
        // The first says a little for the cause, the others nothing.
        let lean = if at == 0 { 0.25 } else { 0.0 };
        network.table(&[cause, toss], vec![0.5, 0.5, 0.5 + lean, 0.5 - lean]);
        seen.push((toss, 0));
    }
    let found = network.posterior(&seen).unwrap();
    assert!(found.evidence.abs() < f64::MIN_POSITIVE);
    assert!((found.log_evidence - (libm::log(0.625) + 1999.0 * libm::log(0.5))).abs() < 1e-9);
    assert!((found.of[cause][1] - 0.6).abs() < 1e-12);
}

#[test]
fn what_cannot_be_is_refused() {
    let mut network = Network::default();
    let fuse = network.unknown(2);
    let lamp = network.unknown(2);
    network.table(&[fuse], vec![1.0, 0.0]);
    network.table(&[fuse, lamp], vec![0.0, 1.0, 1.0, 0.0]);
    assert_eq!(network.posterior(&[(lamp, 0)]), Err(Impossible));
    assert_eq!(network.posterior(&[(fuse, 1)]), Err(Impossible));
    assert_eq!(network.posterior(&[(lamp, 0), (lamp, 1)]), Err(Impossible), "one lamp cannot be both");
    assert!(network.posterior(&[(lamp, 1), (lamp, 1)]).is_ok());
    assert!(Impossible.to_string().starts_with("What was seen can't happen"));
}

#[test]
fn an_unknown_that_nothing_speaks_of_may_have_any_value() {
    let mut network = Network::default();
    assert!(network.is_empty());
    let lone = network.unknown(4);
    assert_eq!(network.len(), 1);
    assert_eq!(network.posterior(&[]).unwrap().of[lone], vec![0.25; 4]);
}

/// A random network: sizes of the unknowns, and tables over some of them.
#[derive(Debug, Clone)]
struct Random {
    sizes: Vec<usize>,
    tables: Vec<(Vec<usize>, Vec<f64>)>,
    seen: BTreeMap<usize, usize>,
}

fn random() -> impl Strategy<Value = Random> {
    prop::collection::vec(1_usize..=3, 1..=7).prop_flat_map(|sizes| {
        let count = sizes.len();
        let of = sizes.clone();
        let table = prop::sample::subsequence((0..count).collect::<Vec<_>>(), 0..=count.min(3))
            .prop_shuffle()
            .prop_flat_map(move |over| {
                let cells: usize = over.iter().map(|unknown| of[*unknown]).product();
                let weight = prop_oneof![1 => Just(0.0), 6 => 0.01_f64..1.0];
                (Just(over), prop::collection::vec(weight, cells))
            });
        let seen = prop::collection::btree_map(0..count, 0_usize..1, 0..=2);
        (Just(sizes), prop::collection::vec(table, 0..=8), seen).prop_map(|(sizes, tables, seen)| Random {
            sizes,
            tables,
            seen,
        })
    })
}

/// The same by adding up every combination of values.
fn by_force(random: &Random) -> (f64, Vec<Vec<f64>>) {
    let mut of: Vec<Vec<f64>> = random.sizes.iter().map(|size| vec![0.0; *size]).collect();
    let mut total = 0.0;
    for number in 0..random.sizes.iter().product::<usize>() {
        let mut left = number;
        let values: Vec<usize> = random
            .sizes
            .iter()
            .map(|size| {
                let value = left % size;
                left /= size;
                value
            })
            .collect();
        if random.seen.iter().any(|(unknown, value)| values[*unknown] != *value) {
            continue;
        }
        let weight: f64 = random
            .tables
            .iter()
            .map(|(over, cells)| {
                cells[over.iter().fold(0, |at, unknown| at * random.sizes[*unknown] + values[*unknown])]
            })
            .product();
        total += weight;
        values.iter().enumerate().for_each(|(unknown, value)| of[unknown][*value] += weight);
    }
    (total, of)
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(600))]

    /// Every posterior and the evidence, to 1e-12 of the sum over all combinations.
    #[test]
    fn random_networks_equal_the_sum_over_all_combinations(random in random()) {
        let mut network = Network::default();
        for size in &random.sizes {
            network.unknown(*size);
        }
        for (over, cells) in &random.tables {
            network.table(over, cells.clone());
        }
        let seen: Vec<(usize, usize)> = random.seen.clone().into_iter().collect();
        let (total, of) = by_force(&random);
        match network.posterior(&seen) {
            Err(Impossible) => prop_assert!(total <= 0.0, "{total} is possible"),
            Ok(found) => {
                prop_assert!((found.evidence - total).abs() <= 1e-12 * total);
                for (ours, theirs) in found.of.iter().flatten().zip(of.iter().flatten()) {
                    prop_assert!((ours - theirs / total).abs() < 1e-12);
                }
            }
        }
    }
}
