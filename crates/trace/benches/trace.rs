//! How quick the fault finder is: on a boat of two hundred parts that all bear on one symptom, and on Whimbrel.
#![allow(clippy::disallowed_methods, reason = "a bench looks at the clock")]

mod circuits;

use std::time::{Duration, Instant};

use boat::model::{Boat, Who};
use divan::{Bencher, black_box};
use trace::{Case, Guide, Next, Rates, Reply, Symptom, Terms, Told};

const WHIMBREL: &str = include_str!("../../../demo/whimbrel.toml");

fn main() {
    divan::main();
}

/// A boat with what its cases are opened with.
struct Opened {
    boat: Boat,
    rates: Rates,
    symptoms: Vec<Symptom>,
}

impl Opened {
    fn new(name: &str, text: &str) -> Self {
        let boat = boat::compile(name, text).boat.expect("a sound boat file");
        let (rates, symptoms) = (Rates::of(&boat), trace::symptoms(&boat));
        Self { boat, rates, symptoms }
    }

    fn circuits() -> Self {
        Self::new("circuits.toml", &circuits::boat())
    }

    fn whimbrel() -> Self {
        Self::new("whimbrel.toml", WHIMBREL)
    }

    fn symptom(&self, id: &str) -> &Symptom {
        &self.symptoms[trace::by_id(&self.symptoms, id).expect("a symptom of this boat")]
    }

    fn case(&self, symptom: &Symptom, most: usize) -> Option<Case<'_>> {
        Case::open(&self.boat, &self.rates, symptom, Terms { most, ..Terms::new(Who::Crew) })
    }

    fn case_of(&self, id: &str, most: usize) -> Case<'_> {
        self.case(self.symptom(id), most).expect("no emergency")
    }
}

/// The best questions answered, each time with the likelier answer.
fn answered(mut case: Case<'_>, count: usize) -> Case<'_> {
    for _ in 0..count {
        let Some(step) = case.choices().first().copied() else { break };
        let reply = if case.chance_of_yes(step.ask) >= 0.5 { Reply::Yes } else { Reply::No };
        case.tell(Told { ask: step.ask, reply });
    }
    case
}

/// Opening a case: all sets of none, one, two things that may be the matter, weighed.
#[divan::bench(args = [0, 1, 2])]
fn circuits_posterior(bencher: Bencher<'_, '_>, most: usize) {
    let opened = Opened::circuits();
    let symptom = opened.symptom(circuits::SYMPTOM);
    bencher.bench(|| opened.case(black_box(symptom), most));
}

/// What is suspected, and what to ask next, after so many answers.
#[divan::bench(args = [0, 3])]
fn circuits_next(bencher: Bencher<'_, '_>, answers: usize) {
    let opened = Opened::circuits();
    let case = answered(opened.case_of(circuits::SYMPTOM, 2), answers);
    assert_eq!(case.told().len(), answers, "that many questions were asked");
    bencher.bench(|| (black_box(&case).suspects(), case.next()));
}

/// Opened, three answers told, the next step found: what a page does that keeps nothing between its calls.
#[divan::bench]
fn circuits_open_three_answers_next(bencher: Bencher<'_, '_>) {
    let opened = Opened::circuits();
    let symptom = opened.symptom(circuits::SYMPTOM);
    let told = answered(opened.case_of(circuits::SYMPTOM, 2), 3).told().to_vec();
    bencher.bench(|| {
        let mut case = opened.case(black_box(symptom), 2)?;
        for told in &told {
            case.tell(*told);
        }
        Some(case.next())
    });
}

/// Inference over the whole network, without a bound on how many things are the matter.
#[divan::bench]
fn circuits_unbounded(bencher: Bencher<'_, '_>) {
    let opened = Opened::circuits();
    let case = opened.case_of(circuits::SYMPTOM, 1);
    bencher.bench(|| black_box(&case).unbounded());
}

fn open_and_next(opened: &Opened, symptom: &Symptom) -> Option<Next> {
    Some(opened.case(symptom, 2)?.next())
}

/// Every symptom of Whimbrel opened, and its first step found; time a symptom is the whole over their number.
#[divan::bench]
fn whimbrel_every_symptom(bencher: Bencher<'_, '_>) {
    let opened = Opened::whimbrel();
    let count = opened.symptoms.iter().filter(|symptom| opened.case(symptom, 0).is_some()).count();
    bencher.counter(count).bench(|| {
        let asked = |symptom: &&Symptom| open_and_next(&opened, black_box(*symptom)).is_some();
        opened.symptoms.iter().filter(asked).count()
    });
}

/// The same for the symptom that takes longest, as found out beforehand.
#[divan::bench]
fn whimbrel_slowest_symptom(bencher: Bencher<'_, '_>) {
    let opened = Opened::whimbrel();
    let took = |symptom: &&Symptom| -> Duration {
        let once = || {
            let begun = Instant::now();
            black_box(open_and_next(&opened, symptom));
            begun.elapsed()
        };
        (0..3).map(|_| once()).min().unwrap_or_default()
    };
    let slowest = opened.symptoms.iter().max_by_key(took).expect("a boat with symptoms");
    bencher.bench(|| open_and_next(&opened, black_box(slowest)));
}

/// The guide on paper, with what asking without a bound would cost.
#[divan::bench(
    args = ["engine_starts", "cabin_lit", "toilet_aft_flushes", "fridge_runs", "water_pump_pressure"],
    sample_count = 5,
    sample_size = 1
)]
fn whimbrel_guide(bencher: Bencher<'_, '_>, id: &str) {
    let opened = Opened::whimbrel();
    let case = opened.case_of(id, 2);
    bencher.bench(|| Guide::new(black_box(&case), 8));
}

/// A typed phrase, with two slips of the finger.
#[divan::bench]
fn whimbrel_find(bencher: Bencher<'_, '_>) {
    let opened = Opened::whimbrel();
    bencher.bench(|| trace::find(&opened.boat, &opened.symptoms, black_box("engien wont start just clicsk")));
}
