//! Every instance of `reference/tsplib-sop` put in order, with the gap to the best cost that is known (see the README
//! beside the instances), the proved bound and the time. Prints a table for `BENCHMARKS.md`.
//!
//! Arguments: the effort in looks, then the seeds; without any as the tests ask, with seed 1.

#![allow(
    clippy::disallowed_methods,
    clippy::print_stdout,
    reason = "an example at the rim: reads files, arguments and the clock"
)]

use std::path::Path;
use std::time::Instant;

use search::order::{Effort, order, tsplib};

fn main() -> Result<(), Box<dyn std::error::Error>> {
    let mut given = std::env::args().skip(1).map(|word| word.parse::<u64>());
    let looks = given.next().transpose()?.unwrap_or(300_000_000);
    let mut seeds = given.collect::<Result<Vec<u64>, _>>()?;
    if seeds.is_empty() {
        seeds.push(1);
    }
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../reference/tsplib-sop");
    let table = std::fs::read_to_string(folder.join("best_known.csv"))?;
    println!("| instance | stops | best known | found | gap | proved | bound | time |");
    println!("|---|---|---|---|---|---|---|---|");
    for row in table.lines().skip(1) {
        let cells: Vec<&str> = row.split(',').collect();
        let (name, best) = (cells[0], cells[3].parse::<u64>()?);
        let stops = tsplib::read(&std::fs::read_to_string(folder.join(format!("{name}.sop")))?)?;
        for &seed in &seeds {
            let begun = Instant::now();
            let found = order(&stops, Effort::looks(looks), seed);
            let milliseconds = begun.elapsed().as_secs_f64() * 1000.0;
            let gap = (found.cost as f64 / best as f64 - 1.0) * 100.0;
            let proved = if found.proved { "yes" } else { "no" };
            println!(
                "| {name} | {} | {best} | {} | {gap:.2} % | {proved} | {} | {milliseconds:.1} ms |",
                stops.count(),
                found.cost,
                found.bound
            );
        }
    }
    Ok(())
}
