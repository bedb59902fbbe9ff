//! The open instances in `reference/pddl` (sources in its README): our optimal cost is the published one, and the
//! optimal plans kept beside them, found by another program, are plans by our simulator and have that length.
#![allow(clippy::disallowed_methods, reason = "tests read the reference files")]

use std::path::PathBuf;

use search::{Budget, Method, OpId, Outcome, Planner, Task, pddl};

fn folder(domain: &str) -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("../../reference/pddl").join(domain)
}

fn task(domain: &str, problem: &str) -> Task {
    let text = |file: &str| std::fs::read_to_string(folder(domain).join(file)).unwrap();
    pddl::read(&text("domain.pddl"), &text(problem)).unwrap()
}

/// Rows of the table: domain, problem, optimal length.
fn rows() -> Vec<(String, String, u32)> {
    let table = std::fs::read_to_string(folder("optimal.csv")).unwrap();
    let row = |line: &str| {
        let cells: Vec<&str> = line.split(',').collect();
        (cells[0].to_owned(), cells[1].to_owned(), cells[2].parse().unwrap())
    };
    table.lines().skip(1).map(row).collect()
}

fn check(method: Method, skip: &[&str]) {
    for (domain, problem, optimal) in rows() {
        if skip.contains(&problem.as_str()) {
            continue;
        }
        let task = task(&domain, &problem);
        let planner = Planner::new(&task).unwrap();
        let goal = planner.goal(&task.goal).unwrap();
        let answer = planner.plan_by(method, &planner.initial(), &goal, &mut Budget::unlimited()).unwrap();
        let Outcome::Plan(plan) = answer.outcome else { panic!("{domain} {problem}: {:?}", answer.outcome) };
        assert_eq!(plan.cost, optimal, "{domain} {problem}");
        assert_eq!(plan.steps.len(), optimal as usize, "{domain} {problem}");
        let mut state = planner.initial();
        for step in plan.steps {
            state = planner.apply(step, &state).unwrap();
        }
        assert!(planner.holds(&planner.condition(&task.goal).unwrap(), &state), "{domain} {problem}");
    }
}

#[test]
fn all_instances_are_listed() {
    assert_eq!(rows().len(), 25);
}

#[test]
fn optimal_with_lm_cut() {
    check(Method::LmCut, &[]);
}

#[test]
fn optimal_with_h_max() {
    check(Method::HMax, &["probBLOCKS-8-0.pddl", "probLOGISTICS-5-0.pddl"]);
}

#[test]
fn optimal_without_estimates() {
    check(Method::Blind, &["probBLOCKS-8-0.pddl"]);
}

#[test]
fn plans_of_another_program_are_plans() {
    let mut replayed = 0;
    for (domain, problem, optimal) in rows() {
        let file = folder(&domain).join(problem.replace(".pddl", ".plan"));
        let Ok(text) = std::fs::read_to_string(file) else { continue };
        let task = task(&domain, &problem);
        let planner = Planner::new(&task).unwrap();
        let mut state = planner.initial();
        let mut length = 0;
        for line in text.lines().filter(|line| line.starts_with('(')) {
            let name = line.replace(" )", ")").to_lowercase();
            let found = task.operators.iter().position(|operator| operator.name == name);
            let operator =
                OpId::new(found.unwrap_or_else(|| panic!("{domain} {problem}: no operator {name}")));
            state = planner.apply(operator, &state).unwrap();
            length += 1;
        }
        assert_eq!(length, optimal, "{domain} {problem}");
        assert!(planner.holds(&planner.condition(&task.goal).unwrap(), &state), "{domain} {problem}");
        replayed += 1;
    }
    assert_eq!(replayed, 24);
}
