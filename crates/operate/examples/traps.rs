//! Surveys a boat for traps and says how large the survey grew.
#![allow(clippy::print_stdout, clippy::disallowed_methods, reason = "an example reads a file and prints")]

use boat::model::Who;
use operate::{Model, Stand};

fn main() {
    let file = std::env::args().nth(1).expect("a boat file is named");
    let text = std::fs::read_to_string(&file).expect("the file can be read");
    let boat = boat::compile(&file, &text).boat.expect("the boat is sound");
    let model = Model::new(&boat);
    let millions = std::env::args().nth(2).and_then(|millions| millions.parse().ok());
    let branches = millions.unwrap_or(20_usize) * 1_000_000;
    let begin = std::time::Instant::now();
    let found = operate::traps(&model, &Stand::at_rest(&boat), None, Who::Crew, branches);
    match found {
        None => println!("past the bound after {:.1?}", begin.elapsed()),
        Some(found) => {
            println!(
                "{:.3e} stands, {:.3e} trapped, {:?}, {:.1?}",
                found.covered,
                found.trapped,
                found.reach,
                begin.elapsed()
            );
            for trap in &found.entries {
                let stuck: Vec<&str> = trap.stuck.iter().map(|var| boat.vars[*var].id.as_str()).collect();
                println!("  stuck {stuck:?} path {:?} {:?}", trap.path.as_ref().map(Vec::len), trap.reasons);
            }
        }
    }
}
