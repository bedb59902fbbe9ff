//! The choice against trying everything, and against an exact solver of integer programs.

use microlp::{ComparisonOp, LinearExpr, OptimizationDirection, Problem, SolveOutcome, Variable};
use proptest::prelude::*;

use super::*;

/// What every allowed way of choosing comes to, the best of them.
fn tried(topics: &[Vec<Choice>], needs: &[Need], time: Time) -> Option<f64> {
    let mut best: Option<f64> = None;
    let mut at = vec![0; topics.len()];
    loop {
        let picked: Vec<Choice> = topics.iter().zip(&at).map(|(choices, pick)| choices[*pick]).collect();
        let steps: f64 = picked.iter().map(|choice| (choice.takes.as_seconds() / STEP).ceil()).sum();
        let fits = steps <= (time.as_seconds() / STEP).floor();
        let kept = needs
            .iter()
            .all(|need| picked[need.topic].depth < need.from || picked[need.other].depth >= need.least);
        if fits && kept {
            let value = picked.iter().map(|choice| choice.value).sum();
            best = Some(best.map_or(value, |best: f64| best.max(value)));
        }
        let Some(place) = (0..at.len()).find(|place| at[*place] + 1 < topics[*place].len()) else {
            return best;
        };
        at[..place].fill(0);
        at[place] += 1;
    }
}

/// The same by the integer program: one depth a topic, the time kept, the needs kept.
pub(crate) fn solved(topics: &[Vec<Choice>], needs: &[Need], time: Time) -> Option<f64> {
    let mut problem = Problem::new(OptimizationDirection::Maximize);
    let mut used = LinearExpr::empty();
    let mut at: Vec<Vec<(Depth, Variable)>> = Vec::new();
    for choices in topics {
        let mut one = LinearExpr::empty();
        let mut row = Vec::new();
        for choice in choices {
            let pick = problem.add_binary_var(choice.value);
            one.add(pick, 1.0);
            used.add(pick, (choice.takes.as_seconds() / STEP).ceil());
            row.push((choice.depth, pick));
        }
        problem.add_constraint(one, ComparisonOp::Eq, 1.0);
        at.push(row);
    }
    problem.add_constraint(used, ComparisonOp::Le, (time.as_seconds() / STEP).floor());
    for need in needs {
        let mut kept = LinearExpr::empty();
        for (_, pick) in at[need.topic].iter().filter(|(depth, _)| *depth >= need.from) {
            kept.add(*pick, 1.0);
        }
        for (_, pick) in at[need.other].iter().filter(|(depth, _)| *depth >= need.least) {
            kept.add(*pick, -1.0);
        }
        problem.add_constraint(kept, ComparisonOp::Le, 0.0);
    }
    match problem.solve() {
        Ok(SolveOutcome::Solution(solution)) => Some(solution.objective()),
        Ok(SolveOutcome::Interrupted(_)) => panic!("the solver has no limit to stop at"),
        Err(_) => None,
    }
}

fn choice(depth: Depth, seconds: u32, value: u32) -> Choice {
    Choice { depth, takes: Time::seconds(f64::from(seconds)), value: f64::from(value) }
}

/// Topics with some of the depths, and what they need of each other.
fn sets() -> impl Strategy<Value = (Vec<Vec<Choice>>, Vec<Need>, Time)> {
    let topic = (any::<bool>(), 1..90_u32, 0..60_u32, prop::option::of((1..400_u32, 0..300_u32))).prop_map(
        |(must, short, value, more)| {
            let mut choices = Vec::new();
            if !must {
                choices.push(choice(Depth::Reading, 0, 0));
            }
            choices.push(choice(Depth::Short, short, value));
            choices.extend(more.map(|(longer, better)| choice(Depth::Shown, short + longer, value + better)));
            choices
        },
    );
    let need = (0..7_usize, 0..7_usize, any::<bool>());
    (prop::collection::vec(topic, 1..8), prop::collection::vec(need, 0..5), 0..900_u32).prop_map(
        |(topics, pairs, time)| {
            let inside = |at: usize| at < topics.len();
            let needs = pairs.into_iter().filter(|(one, other, _)| one > other && inside(*one)).map(
                |(topic, other, shown)| {
                    let depth = if shown { Depth::Shown } else { Depth::Short };
                    Need { topic, from: depth, other, least: depth }
                },
            );
            let needs = needs.collect();
            (topics, needs, Time::seconds(f64::from(time)))
        },
    )
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(400))]

    #[test]
    fn the_choice_is_the_best_of_all((topics, needs, time) in sets()) {
        let found = choose(&topics, &needs, time);
        match (tried(&topics, &needs, time), &found) {
            (None, None) => {}
            (Some(best), Some(found)) => {
                prop_assert!((found.value - best).abs() < 1e-9, "{} against {best}", found.value);
                prop_assert!(found.bound >= best - 1e-9);
                let sum: f64 = topics
                    .iter()
                    .zip(&found.depths)
                    .map(|(choices, depth)| choices.iter().find(|choice| choice.depth == *depth).unwrap().value)
                    .sum();
                prop_assert!((sum - found.value).abs() < 1e-9);
            }
            (best, found) => prop_assert!(false, "{best:?} against {found:?}"),
        }
    }

    #[test]
    fn an_exact_solver_agrees((topics, needs, time) in sets()) {
        let found = choose(&topics, &needs, time).map(|found| found.value);
        match (solved(&topics, &needs, time), found) {
            (None, None) => {}
            // Values are whole here: another choice is better by 1 at least; the solver keeps its rows to a millionth.
            (Some(best), Some(found)) => prop_assert!((found - best).abs() < 0.01, "{found} against {best}"),
            (best, found) => prop_assert!(false, "{best:?} against {found:?}"),
        }
    }
}

#[test]
fn nothing_fits_into_no_time_but_reading() {
    let reading = vec![vec![choice(Depth::Reading, 0, 0), choice(Depth::Short, 5, 9)]];
    let found = choose(&reading, &[], Time::ZERO).unwrap();
    assert_eq!(found.depths, [Depth::Reading]);
    let must = vec![vec![choice(Depth::Short, 5, 9)]];
    assert_eq!(choose(&must, &[], Time::seconds(4.0)), None);
    assert!(choose(&must, &[], Time::seconds(5.0)).is_some());
}
