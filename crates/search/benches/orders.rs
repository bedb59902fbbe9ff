//! Time to put the instances of `reference/tsplib-sop` of up to 100 stops in order: the work of one answer of a
//! page, and all that the tests spend. What is found for it is printed by the example `orders`.
#![allow(missing_docs, reason = "a bench has no readers of its documentation")]
#![allow(clippy::disallowed_methods, reason = "a bench reads the reference files")]

use std::path::Path;

use divan::{Bencher, black_box};
use search::order::{Effort, Stops, order, tsplib};

const NAMES: [&str; 19] = [
    "ESC07", "ESC11", "ESC25", "ESC47", "ESC78", "br17.10", "br17.12", "ft53.1", "ft53.2", "ft53.4", "p43.1",
    "p43.3", "p43.4", "prob.100", "prob.42", "rbg048a", "ry48p.1", "ry48p.2", "ry48p.4",
];

fn main() {
    divan::main();
}

fn read(name: &str) -> Stops {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../reference/tsplib-sop");
    let text = std::fs::read_to_string(folder.join(format!("{name}.sop"))).expect("the instance is there");
    tsplib::read(&text).expect("the instance is sound")
}

#[divan::bench(args = NAMES, sample_count = 10)]
fn three_million_looks(bencher: Bencher<'_, '_>, name: &str) {
    let stops = read(name);
    bencher.bench_local(|| order(black_box(&stops), Effort::looks(3_000_000), 1));
}

#[divan::bench(args = NAMES, sample_count = 3)]
fn three_hundred_million_looks(bencher: Bencher<'_, '_>, name: &str) {
    let stops = read(name);
    bencher.bench_local(|| order(black_box(&stops), Effort::looks(300_000_000), 1));
}
