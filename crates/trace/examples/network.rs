//! The network of tables behind a symptom, with the posteriors that our inference finds in it and how long it took: what
//! `bench/infer_ratio.py` sets beside a general inference library.
//!
//! Usage: `network circuits` for the boat made up for measuring, or `network BOAT.toml SYMPTOM`. Prints JSON.
#![allow(
    clippy::print_stdout,
    clippy::disallowed_methods,
    reason = "an example prints, and reads a file and the time"
)]

#[path = "../benches/circuits/mod.rs"]
mod circuits;

use std::hint::black_box;
use std::time::{Duration, Instant};

use boat::model::Who;
use serde_json::{Value, json};
use trace::system::{Logic, System};
use trace::{Case, Rates, Terms};

/// Runs of which the median is told.
const RUNS: usize = 101;

fn main() -> Result<(), String> {
    let arguments: Vec<String> = std::env::args().skip(1).collect();
    let (name, text, id) = match &arguments[..] {
        [made_up] if made_up == "circuits" => ("circuits", circuits::boat(), circuits::SYMPTOM),
        [path, id] => (&path[..], std::fs::read_to_string(path).map_err(|error| error.to_string())?, &id[..]),
        _ => return Err("usage: network circuits, or network BOAT.toml SYMPTOM".to_owned()),
    };
    let compiled = boat::compile(name, &text);
    let boat = compiled.boat.ok_or_else(|| format!("{name}: {:?}", compiled.diagnostics.first()))?;
    let symptoms = trace::symptoms(&boat);
    let at = trace::by_id(&symptoms, id).ok_or("no such symptom")?;
    let terms = Terms { most: 1, ..Terms::new(Who::Crew) };
    let case = Case::open(&boat, &Rates::of(&boat), &symptoms[at], terms).ok_or("an emergency")?;
    println!("{}", measured(case.system(), case.subject())?);
    Ok(())
}

/// The network, its evidence, what is found and how long it takes.
fn measured(system: &System, subject: usize) -> Result<Value, String> {
    let (network, facts) = system.network();
    let written = Written::of(system);
    if network.len() != written.sizes.len() || facts != written.facts {
        return Err("the tables written are not those of the network".to_owned());
    }
    let seen = [(facts[subject], 0)];
    let found = network.posterior(&seen).map_err(|error| error.to_string())?;
    let infer = median(|| drop(black_box(black_box(&network).posterior(&seen))));
    let build = median(|| {
        let (network, facts) = black_box(system).network();
        drop(black_box(network.posterior(&[(facts[subject], 0)])));
    });
    Ok(json!({
        "sizes": written.sizes,
        "tables": written.tables,
        "seen": [[seen[0].0, seen[0].1]],
        "log_evidence": found.log_evidence,
        "posteriors": found.of,
        "infer_ns": infer.as_nanos(),
        "build_and_infer_ns": build.as_nanos(),
    }))
}

fn median(mut run: impl FnMut()) -> Duration {
    let mut times: Vec<Duration> = (0..RUNS)
        .map(|_| {
            let begun = Instant::now();
            run();
            begun.elapsed()
        })
        .collect();
    times.sort_unstable();
    times[RUNS / 2]
}

/// The tables of a system as they are written: each for one unknown given others, which come first, the last running
/// fastest. In the order of [`System::network`].
#[derive(Default)]
struct Written {
    sizes: Vec<usize>,
    tables: Vec<Value>,
    facts: Vec<usize>,
}

impl Written {
    fn of(system: &System) -> Self {
        let mut written = Self::default();
        for values in &system.unknowns {
            written.add(&[], values.len(), values);
        }
        for fact in &system.facts {
            let node = written.logic(system, fact);
            written.facts.push(node);
        }
        written
    }

    /// A new unknown with its table given others.
    fn add(&mut self, given: &[usize], size: usize, numbers: &[f64]) -> usize {
        let node = self.sizes.len();
        self.sizes.push(size);
        self.tables.push(json!({ "of": node, "given": given, "numbers": numbers }));
        node
    }

    /// An unknown that is so or not, by what others are.
    fn truth(&mut self, given: &[usize], so: impl Fn(&[usize]) -> bool) -> usize {
        let sizes: Vec<usize> = given.iter().map(|at| self.sizes[*at]).collect();
        let count: usize = sizes.iter().product();
        let numbers = (0..count).flat_map(|place| {
            let mut left = place;
            let mut values = vec![0; sizes.len()];
            for at in (0..sizes.len()).rev() {
                values[at] = left % sizes[at];
                left /= sizes[at];
            }
            if so(&values) { [0.0, 1.0] } else { [1.0, 0.0] }
        });
        let numbers: Vec<f64> = numbers.collect();
        self.add(given, 2, &numbers)
    }

    fn logic(&mut self, system: &System, logic: &Logic) -> usize {
        match logic {
            Logic::Const(yes) => self.truth(&[], |_| *yes),
            Logic::Is(unknown, value) => self.truth(&[*unknown], |values| values[0] == *value),
            Logic::Fact(fact) => self.facts[*fact],
            Logic::Not(inner) => {
                let inner = self.logic(system, inner);
                self.truth(&[inner], |values| values[0] == 0)
            }
            Logic::And(parts) => self.chain(system, parts, true),
            Logic::Or(parts) => self.chain(system, parts, false),
        }
    }

    fn chain(&mut self, system: &System, parts: &[Logic], and: bool) -> usize {
        let nodes: Vec<usize> = parts.iter().map(|part| self.logic(system, part)).collect();
        let Some((first, rest)) = nodes.split_first() else { return self.truth(&[], |_| and) };
        rest.iter().fold(*first, |so_far, next| {
            if *next == so_far {
                return so_far;
            }
            let both = |values: &[usize]| values.iter().all(|value| *value == 1);
            let either = |values: &[usize]| values.contains(&1);
            self.truth(&[so_far, *next], |values| if and { both(values) } else { either(values) })
        })
    }
}
