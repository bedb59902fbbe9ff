//! How quick a briefing is gathered and planned, for Whimbrel; and what the plans come to.
#![allow(clippy::print_stdout, reason = "a bench reports")]

use boat::model::Boat;
use brief::{Ask, Briefing, Given, Played, Trip};
use divan::Bencher;
use operate::{Model, Use, all_slips};
use quantity::Time;

fn main() {
    let whimbrel = Whimbrel::new();
    let briefing = whimbrel.briefing();
    println!("minutes  total  walking  starts  risk taken away  owed  gap    walk shorter by at most");
    for minutes in MINUTES {
        let plan = briefing.plan(&ask(minutes));
        println!(
            "{minutes:7}  {:5.1}  {:7.1}  {:6}  {:13.0} %  {:4}  {:.2} %  {:.0} s",
            plan.total.as_minutes(),
            plan.walk.as_minutes(),
            plan.starts,
            plan.taken_away * 100.0,
            plan.only_told.len(),
            plan.gap * 100.0,
            plan.excess.as_seconds(),
        );
    }
    divan::main();
}

/// Times that a base may have.
const MINUTES: [u32; 6] = [20, 30, 45, 60, 90, 120];

struct Whimbrel {
    boat: Boat,
    played: Vec<Played>,
}

impl Whimbrel {
    fn new() -> Self {
        let text = include_str!("../../../demo/whimbrel.toml");
        let boat = boat::compile("whimbrel.toml", text).boat.expect("a sound boat file");
        let model = Model::new(&boat);
        let played = brief::played(&model, &all_slips(&model, Use::Read));
        Self { boat, played }
    }

    fn briefing(&self) -> Briefing<'_> {
        Briefing::new(&self.boat, &Given { played: &self.played, ..Given::default() })
    }
}

fn ask(minutes: u32) -> Ask {
    let trip = Trip { anchoring: true, ..Trip::default() };
    Ask { trip, ..Ask::new(Time::minutes(f64::from(minutes))) }
}

#[divan::bench]
fn gather(bencher: Bencher<'_, '_>) {
    let whimbrel = Whimbrel::new();
    bencher.bench(|| whimbrel.briefing());
}

#[divan::bench(args = MINUTES, sample_count = 5)]
fn plan(bencher: Bencher<'_, '_>, minutes: u32) {
    let whimbrel = Whimbrel::new();
    let briefing = whimbrel.briefing();
    bencher.bench(|| briefing.plan(&ask(minutes)));
}
