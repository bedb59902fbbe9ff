//! Proving, slips and ways on the demo boat, and a hundred boats at once on one and two threads.
#![allow(
    clippy::disallowed_methods,
    reason = "a bench stands at the rim: it reads the demo boat and starts threads"
)]

use boat::model::{Boat, Who};
use divan::Bencher;
use operate::{Budget, Model, Pilot, Use};

fn main() {
    divan::main();
}

fn whimbrel() -> Boat {
    let path = concat!(env!("CARGO_MANIFEST_DIR"), "/../../demo/whimbrel.toml");
    let text = std::fs::read_to_string(path).expect("the demo boat is part of the workspace");
    boat::compile("whimbrel.toml", &text).boat.expect("the demo boat compiles")
}

/// Everything that checking a boat is: reading her file, proving every list, playing every slip.
#[divan::bench(sample_count = 20)]
fn whole_check(bencher: Bencher<'_, '_>) {
    bencher.bench_local(|| {
        let boat = whimbrel();
        let model = Model::new(&boat);
        (operate::prove(&model), operate::all_slips(&model, Use::Read))
    });
}

#[divan::bench]
fn model(bencher: Bencher<'_, '_>) {
    let boat = whimbrel();
    bencher.bench_local(|| Model::new(&boat).at_rest());
}

#[divan::bench]
fn prove(bencher: Bencher<'_, '_>) {
    let boat = whimbrel();
    let model = Model::new(&boat);
    bencher.bench_local(|| operate::prove(&model));
}

#[divan::bench(sample_count = 20)]
fn all_slips(bencher: Bencher<'_, '_>) {
    let boat = whimbrel();
    let model = Model::new(&boat);
    bencher.bench_local(|| operate::all_slips(&model, Use::Read));
}

#[divan::bench(args = ["engine is running and raw_water_flows", "burner_flame is lit", "anchor is down and windlass_clutch is tight"])]
fn way(bencher: Bencher<'_, '_>, goal: &str) {
    let boat = whimbrel();
    let model = Model::new(&boat);
    let pilot = Pilot::new(&model, Who::Crew);
    let goal = boat.read_fact(goal).expect("a fact of the demo boat");
    bencher.bench_local(|| pilot.way(&model.at_rest(), &goal, &mut Budget::unlimited()));
}

/// A hundred boats proven, on so many threads.
#[divan::bench(args = [1, 2], sample_count = 10)]
fn hundred_boats(bencher: Bencher<'_, '_>, threads: usize) {
    let boats: Vec<Boat> = (0..100).map(|_| whimbrel()).collect();
    bencher.bench_local(|| {
        std::thread::scope(|scope| {
            let parts: Vec<_> = boats
                .chunks(boats.len().div_ceil(threads))
                .map(|part| {
                    scope.spawn(|| {
                        part.iter().filter(|boat| operate::prove(&Model::new(boat)).holds()).count()
                    })
                })
                .collect();
            parts.into_iter().map(|part| part.join().expect("proving does not panic")).sum::<usize>()
        })
    });
}
