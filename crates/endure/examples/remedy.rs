//! The least remedy of a usual week, on the terminal.
#![allow(clippy::print_stdout, clippy::disallowed_methods, reason = "an example prints, and reads a file")]

use endure::plan;
use endure::remedy::{Terms, least};

fn main() -> Result<(), String> {
    let path = std::env::args().nth(1).ok_or("usage: remedy BOAT [CREW]")?;
    let crew = std::env::args().nth(2).and_then(|crew| crew.parse().ok()).unwrap_or(4);
    let text = std::fs::read_to_string(&path).map_err(|error| error.to_string())?;
    let boat = boat::compile(&path, &text).boat.ok_or("the boat file has errors")?;
    let first = "2027-07-10".parse().map_err(|_| "no such day")?;
    let trip = plan::usual(&boat, &plan::Wish::week(crew, first));
    let begun = std::time::Instant::now();
    let remedy = least(&boat, &trip, &Terms::default()).map_err(|faults| format!("{faults:?}"))?;
    let took = begun.elapsed();
    for sentence in remedy.sentences.iter().chain(&remedy.notes) {
        println!("{sentence}");
    }
    println!(
        "cost {} bound {} gap {:.3} (asked {:.3}, bound at sure {}) lasts {:.3} (before {:.3}) in {took:.2?}",
        remedy.cost,
        remedy.lower_bound,
        remedy.gap,
        remedy.asked,
        remedy.lower_bound_at_sure,
        remedy.lasts,
        remedy.before
    );
    Ok(())
}
