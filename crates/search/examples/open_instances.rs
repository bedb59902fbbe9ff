//! Expanded states and time for every open planning instance, for blind search and for LM-cut. The search passes over
//! steps that can as well be taken later, and what cannot matter for the goal, so counts may be below those of a plain
//! A*; the last two columns are what another program expanded (see the README beside the instances).

#![allow(
    clippy::disallowed_methods,
    clippy::print_stdout,
    clippy::format_push_string,
    reason = "an example at the rim: reads files and the clock, and builds a line by and by"
)]

use std::path::Path;
use std::time::Instant;

use search::{Budget, Method, Outcome, Planner, pddl};

fn main() -> Result<(), Box<dyn std::error::Error>> {
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../reference/pddl");
    let table = std::fs::read_to_string(root.join("optimal.csv"))?;
    println!(
        "instance, optimal, blind cost, expanded, ms, lm-cut cost, expanded, evaluated, ms, other lm-cut, blind"
    );
    for row in table.lines().skip(1) {
        let cells: Vec<&str> = row.split(',').collect();
        let folder = root.join(cells[0]);
        let domain = std::fs::read_to_string(folder.join("domain.pddl"))?;
        let problem = std::fs::read_to_string(folder.join(cells[1]))?;
        let task = pddl::read(&domain, &problem)?;
        let planner = Planner::new(&task)?;
        let goal = planner.goal(&task.goal)?;
        let mut line = format!("{}/{}, {}", cells[0], cells[1], cells[2]);
        for method in [Method::Blind, Method::LmCut] {
            let begun = Instant::now();
            let answer = planner.plan_by(method, &planner.initial(), &goal, &mut Budget::unlimited());
            let answer = answer.map_err(|found| format!("events without end: {:?}", found.events))?;
            let milliseconds = begun.elapsed().as_secs_f64() * 1000.0;
            let Outcome::Plan(plan) = answer.outcome else { return Err(format!("{line}: no plan").into()) };
            if method == Method::Blind {
                line += &format!(", {}, {}, {milliseconds:.1}", plan.cost, answer.statistics.expanded);
            } else {
                let counts = answer.statistics;
                line +=
                    &format!(", {}, {}, {}, {milliseconds:.1}", plan.cost, counts.expanded, counts.evaluated);
            }
        }
        println!("{line}, {}, {}", cells[5], cells[6]);
    }
    Ok(())
}
