//! The 72 h battery trace of `reference/oracles`, timed: what `bench/battery_ratio.py` sets beside the reference
//! simulator. Prints the best of several runs in nanoseconds, and the charge at the end.
#![allow(
    clippy::print_stdout,
    clippy::disallowed_methods,
    reason = "an example prints, and reads a file and the time"
)]

use std::hint::black_box;

use endure::battery::kibam::{Kibam, Wells};
use quantity::{Charge, Current, Time};

/// The reference simulator takes no current below this.
const DEAD_BAND: f64 = 0.01;

fn main() -> Result<(), String> {
    let numbers: Vec<f64> = std::env::args().skip(2).filter_map(|text| text.parse().ok()).collect();
    let [c, k, most] = numbers[..] else { return Err("usage: trace TABLE C K MOST_AH".to_owned()) };
    let path = std::env::args().nth(1).unwrap_or_default();
    let text = std::fs::read_to_string(&path).map_err(|error| error.to_string())?;
    let demand: Vec<f64> =
        text.lines().skip(1).filter_map(|row| row.split(',').nth(2)?.parse().ok()).collect();
    let kibam = Kibam { c, k, most: Charge::amp_hours(most) };
    let mut best = u128::MAX;
    let mut end = Wells::default();
    for _ in 0..2000 {
        let begun = std::time::Instant::now();
        end = black_box(run(&kibam, black_box(&demand)));
        best = best.min(begun.elapsed().as_nanos());
    }
    println!("{} {best} {:.9} {:.9}", demand.len(), end.available.as_amp_hours(), end.bound.as_amp_hours());
    Ok(())
}

fn run(kibam: &Kibam, demand: &[f64]) -> Wells {
    let stride = kibam.over(Time::minutes(5.0));
    let mut wells = kibam.rest(kibam.most);
    for amps in demand {
        let amps = if amps.abs() < DEAD_BAND { 0.0 } else { *amps };
        let into = if amps > 0.0 {
            -Current::amps(amps).min(stride.most_drawn(wells))
        } else {
            Current::amps(-amps).min(stride.most_taken(wells))
        };
        wells = stride.step(wells, into);
    }
    wells
}
