//! Two hundred made-up cases aboard Whimbrel, drawn by the base rates and solved blind.

use boat::model::Who;
use trace::trial::{Played, Rule, Trial, drawn, likelihoods};
use trace::{About, Rates, Terms};

use crate::demo;
use crate::small::Draw;

const CASES: u64 = 200;

struct Means {
    minutes: f64,
    solved: usize,
    misdiagnosed: usize,
    asked: f64,
}

fn means(played: &[Played]) -> Means {
    let count = played.len() as f64;
    Means {
        minutes: played.iter().map(|one| one.minutes).sum::<f64>() / count,
        solved: played.iter().filter(|one| one.solved).count(),
        misdiagnosed: played.iter().filter(|one| !one.right).count(),
        asked: played.iter().map(|one| one.asked.len()).sum::<usize>() as f64 / count,
    }
}

/// The same cases by each rule, with the same luck.
fn play(who: Who) -> [Means; 3] {
    let boat = demo::boat("whimbrel");
    let symptoms = trace::symptoms(&boat);
    let rates = Rates::of(&boat);
    let terms = Terms::new(who);
    let likely = likelihoods(&boat, &rates, &symptoms, terms);
    let mut played: [Vec<Played>; 3] = Default::default();
    for case in 0..CASES {
        let mut draw = Draw::new(case + 1);
        let symptom = &symptoms[drawn(&likely, draw.uniform())];
        assert!(!matches!(symptom.about, About::Emergency(_)), "an emergency is never a case");
        let trial = Trial::draw(&boat, &rates, symptom, terms, &mut || draw.uniform()).unwrap();
        for (rule, list) in [Rule::Computed, Rule::Fixed, Rule::Drawn].into_iter().zip(&mut played) {
            let mut luck = Draw::new(case + 1_000_003);
            list.push(trial.play(rule, &mut || luck.uniform()));
        }
    }
    played.map(|list| means(&list))
}

#[test]
fn two_hundred_cases_cost_less_than_by_the_best_fixed_order_and_by_a_drawn_one() {
    for who in [Who::Crew, Who::Base] {
        let [computed, fixed, drawn] = play(who);
        for (rule, mean) in [("computed", &computed), ("fixed", &fixed), ("drawn", &drawn)] {
            println!(
                "{who:?} {rule}: {:.1} minutes, {} of {CASES} solved, {} misdiagnosed, {:.1} questions",
                mean.minutes, mean.solved, mean.misdiagnosed, mean.asked
            );
        }
        assert!(computed.minutes < fixed.minutes, "{} {}", computed.minutes, fixed.minutes);
        assert!(fixed.minutes < drawn.minutes, "{} {}", fixed.minutes, drawn.minutes);
        // One in ten at most is told a cause that is not so: the noise of the answers alone makes some of it.
        assert!(computed.misdiagnosed * 10 <= 200, "{}", computed.misdiagnosed);
    }
}

#[test]
fn whimbrel_has_forty_symptoms_and_more() {
    let boat = demo::boat("whimbrel");
    let symptoms = trace::symptoms(&boat);
    let usual = symptoms.iter().filter(|symptom| !matches!(symptom.about, About::Emergency(_))).count();
    assert!(usual >= 40, "{usual}");
    let mut ids: Vec<&str> = symptoms.iter().map(|symptom| symptom.id.as_str()).collect();
    ids.sort_unstable();
    ids.dedup();
    assert_eq!(ids.len(), symptoms.len(), "each has an address of its own");
}

/// The bound of two faults at once leaves little out, and inference without a bound agrees with what it keeps.
#[test]
fn two_faults_at_once_are_nearly_all_there_is() {
    let boat = demo::boat("whimbrel");
    let rates = Rates::of(&boat);
    let mut most: f64 = 0.0;
    for symptom in trace::symptoms(&boat) {
        let Some(case) = trace::Case::open(&boat, &rates, &symptom, Terms::new(Who::Base)) else { continue };
        let left_out = case.left_out();
        most = most.max(left_out);
        let unbounded = case.unbounded();
        for suspect in case.suspects() {
            let other = unbounded.iter().find(|other| other.cause == suspect.cause).unwrap();
            // What the bound leaves out can move a probability by no more than its own share.
            assert!(
                (other.chance - suspect.chance).abs() <= left_out + 1e-9,
                "{} {suspect:?} {other:?}",
                symptom.id
            );
        }
    }
    println!("left out at most {most:.4}");
    assert!(most < 0.1, "{most}");
}
