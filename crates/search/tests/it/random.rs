//! Random small tasks with everything in them, compared with the naive program.

use proptest::prelude::*;
use search::{Budget, DerivedId, Effect, Formula, Method, OpId, Outcome, Planner, Reach, Task, VarId, Way};

use crate::oracle::{Graph, Oracle};

/// A formula before it is fitted to a task: numbers are taken modulo what there is.
#[derive(Debug, Clone)]
enum Raw {
    Is(usize, usize),
    Fact(usize),
    Not(Box<Raw>),
    All(Vec<Raw>),
    Any(Vec<Raw>),
}

type RawEffect = (Option<Raw>, usize, usize);

#[derive(Debug, Clone)]
struct RawTask {
    /// Size and first value.
    variables: Vec<(u8, usize)>,
    /// Whether a new stratum begins here, and the body.
    facts: Vec<(bool, Raw)>,
    operators: Vec<(u32, Raw, Vec<RawEffect>)>,
    events: Vec<(Raw, Vec<RawEffect>)>,
    forbidden: Vec<Raw>,
    goal: Vec<Raw>,
}

fn raw() -> impl Strategy<Value = Raw> {
    let leaf = prop_oneof![
        2 => (0..8_usize, 0..4_usize).prop_map(|(variable, value)| Raw::Is(variable, value)),
        1 => (0..8_usize).prop_map(Raw::Fact),
    ];
    leaf.prop_recursive(2, 8, 3, |inner| {
        prop_oneof![
            inner.clone().prop_map(|inner| Raw::Not(Box::new(inner))),
            prop::collection::vec(inner.clone(), 1..3).prop_map(Raw::All),
            prop::collection::vec(inner, 1..3).prop_map(Raw::Any),
        ]
    })
}

fn raw_effects() -> impl Strategy<Value = Vec<RawEffect>> {
    prop::collection::vec((prop::option::weighted(0.3, raw()), 0..8_usize, 0..4_usize), 1..4)
}

fn raw_task() -> impl Strategy<Value = RawTask> {
    (
        prop::collection::vec((1..4_u8, 0..4_usize), 2..6),
        prop::collection::vec((any::<bool>(), raw()), 0..5),
        prop::collection::vec((0..4_u32, raw(), raw_effects()), 1..8),
        prop::collection::vec((raw(), raw_effects()), 0..3),
        prop::collection::vec(prop::collection::vec(raw(), 2..3).prop_map(Raw::All), 0..3),
        prop::collection::vec(raw(), 1..4),
    )
        .prop_map(|(variables, facts, operators, events, forbidden, goal)| RawTask {
            variables,
            facts,
            operators,
            events,
            forbidden,
            goal,
        })
}

fn leaf() -> impl Strategy<Value = Raw> {
    prop_oneof![
        5 => (0..8_usize, 0..4_usize).prop_map(|(variable, value)| Raw::Is(variable, value)),
        1 => (0..8_usize).prop_map(Raw::Fact),
    ]
}

/// Tasks of loosely joined parts, in which many steps can be taken in any order: more variables, short conditions,
/// mostly one effect.
fn loose_task() -> impl Strategy<Value = RawTask> {
    let some = |range| prop::collection::vec(leaf(), range).prop_map(Raw::All);
    let effects =
        || prop::collection::vec((prop::option::weighted(0.25, leaf()), 0..8_usize, 0..4_usize), 1..3);
    (
        prop::collection::vec((2..3_u8, 0..2_usize), 4..7),
        prop::collection::vec((any::<bool>(), some(1..3)), 0..3),
        prop::collection::vec((1..3_u32, some(0..3), effects()), 5..11),
        prop::collection::vec((some(1..3), effects()), 0..2),
        prop::collection::vec(some(2..4), 0..3),
        prop::collection::vec(leaf(), 2..5),
    )
        .prop_map(|(variables, facts, operators, events, forbidden, goal)| RawTask {
            variables,
            facts,
            operators,
            events,
            forbidden,
            goal,
        })
}

/// Fits raw numbers to a task. A positive fact may be among the first `positive`, a negated one among the first
/// `negative`; where there is none, a variable is asked instead.
struct Fit<'a> {
    sizes: &'a [u8],
    positive: usize,
    negative: usize,
}

impl Fit<'_> {
    fn formula(&self, raw: &Raw, negated: bool) -> Formula {
        let parts = |parts: &[Raw]| parts.iter().map(|part| self.formula(part, negated)).collect();
        match raw {
            Raw::Is(variable, value) => {
                let variable = variable % self.sizes.len();
                let value = value % usize::from(self.sizes[variable]);
                Formula::Is(VarId::new(variable), u8::try_from(value).unwrap())
            }
            Raw::Fact(fact) => match if negated { self.negative } else { self.positive } {
                0 => self.formula(&Raw::Is(*fact, 0), negated),
                count => Formula::Fact(DerivedId::new(fact % count)),
            },
            Raw::Not(inner) => Formula::Not(Box::new(self.formula(inner, !negated))),
            Raw::All(inner) => Formula::All(parts(inner)),
            Raw::Any(inner) => Formula::Any(parts(inner)),
        }
    }

    fn effects(&self, raw: &[RawEffect]) -> Vec<Effect> {
        let effect = |(condition, variable, value): &RawEffect| {
            let variable = variable % self.sizes.len();
            let value = u8::try_from(value % usize::from(self.sizes[variable])).unwrap();
            let condition = condition.as_ref().map_or(Formula::True, |raw| self.formula(raw, false));
            Effect::when(condition, VarId::new(variable), value)
        };
        raw.iter().map(effect).collect()
    }
}

/// The task and the stratum of each fact.
fn fit(raw: &RawTask) -> (Task, Vec<usize>) {
    let mut task = Task::new();
    for (index, &(size, initial)) in raw.variables.iter().enumerate() {
        task.variable(format!("v{index}"), size, u8::try_from(initial % usize::from(size)).unwrap());
    }
    let sizes: Vec<u8> = raw.variables.iter().map(|variable| variable.0).collect();
    let mut strata = Vec::new();
    for (index, (new, _)) in raw.facts.iter().enumerate() {
        let last = strata.last().copied().unwrap_or(0);
        strata.push(if index > 0 && *new { last + 1 } else { last });
    }
    for (index, (_, body)) in raw.facts.iter().enumerate() {
        let positive = strata.iter().filter(|&&stratum| stratum <= strata[index]).count();
        let negative = strata.iter().filter(|&&stratum| stratum < strata[index]).count();
        let fit = Fit { sizes: &sizes, positive, negative };
        task.fact(format!("f{index}"), fit.formula(body, false));
    }
    let fit = Fit { sizes: &sizes, positive: strata.len(), negative: strata.len() };
    for (index, (cost, precondition, effects)) in raw.operators.iter().enumerate() {
        task.operator(format!("o{index}"), *cost, fit.formula(precondition, false), fit.effects(effects));
    }
    for (index, (condition, effects)) in raw.events.iter().enumerate() {
        task.event(format!("e{index}"), fit.formula(condition, false), fit.effects(effects));
    }
    task.forbidden = Formula::any(raw.forbidden.iter().map(|raw| fit.formula(raw, false)));
    task.goal = Formula::all(raw.goal.iter().map(|raw| fit.formula(raw, false)));
    (task, strata)
}

/// The task, its strata, its graph; `None` if some events never rest.
fn prepared(raw: &RawTask) -> Option<(Task, Vec<usize>, Graph)> {
    let (task, strata) = fit(raw);
    let start: Vec<u8> = task.variables.iter().map(|variable| variable.initial).collect();
    let oracle = Oracle { task: &task, strata: strata.clone() };
    let graph = oracle.graph(&start)?;
    Some((task, strata, graph))
}

/// States without a way to the goal that are the first such on some path of at most so many operators.
fn entries_within(graph: &Graph, operators: usize) -> Vec<Vec<u8>> {
    let (mut seen, mut layer, mut found) = (vec![false; graph.states.len()], vec![0], Vec::new());
    seen[0] = true;
    for _ in 0..=operators {
        let mut next = Vec::new();
        for number in layer {
            if graph.distance[number].is_none() {
                found.push(graph.states[number].clone());
                continue;
            }
            for &(_, _, to) in &graph.edges[number] {
                if !std::mem::replace(&mut seen[to], true) {
                    next.push(to);
                }
            }
        }
        layer = next;
    }
    found
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(2500))]

    /// All methods, with and without leaving out what cannot matter, find the cost that the naive program finds, from
    /// every state that can be come to; what they give are plans.
    #[test]
    fn costs_are_least(raw in prop_oneof![1 => raw_task(), 3 => loose_task()]) {
        let Some((task, strata, graph)) = prepared(&raw) else { return Ok(()) };
        let oracle = Oracle { task: &task, strata };
        let planner = Planner::new(&task).unwrap();
        let goal = planner.goal(&task.goal).unwrap();
        for (values, distance) in graph.states.iter().zip(&graph.distance).take(12) {
            let start = planner.state(values).unwrap();
            for method in [Method::Blind, Method::HMax, Method::LmCut] {
                for whole in [false, true] {
                    let mut budget = Budget::unlimited();
                    let answer = if whole {
                        planner.plan_whole(method, &start, &goal, &mut budget)
                    } else {
                        planner.plan_by(method, &start, &goal, &mut budget)
                    };
                    match answer.unwrap().outcome {
                        Outcome::Plan(plan) => {
                            prop_assert_eq!(oracle.cost(values, &plan.steps), Some(plan.cost));
                            prop_assert_eq!(Some(plan.cost), *distance);
                        }
                        Outcome::NoPlan => prop_assert_eq!(None, *distance),
                        Outcome::CutOff { .. } => prop_assert!(false, "nothing was to be cut off"),
                    }
                }
            }
        }
    }

    /// No estimate is above the true cost, and hopeless is only what is hopeless.
    #[test]
    fn estimates_are_lower_bounds(raw in raw_task()) {
        let Some((task, _, graph)) = prepared(&raw) else { return Ok(()) };
        let planner = Planner::new(&task).unwrap();
        let goal = planner.goal(&task.goal).unwrap();
        for (values, distance) in graph.states.iter().zip(&graph.distance) {
            let Some(distance) = *distance else { continue };
            let state = planner.state(values).unwrap();
            for method in [Method::Blind, Method::HMax, Method::LmCut] {
                let estimate = planner.estimate(method, &state, &goal);
                prop_assert!(estimate.is_some_and(|estimate| estimate <= distance), "{method:?}: {estimate:?}");
            }
        }
    }

    /// Facts, events, refusals and successors are those of the naive program.
    #[test]
    fn steps_agree(raw in raw_task()) {
        let Some((task, strata, graph)) = prepared(&raw) else { return Ok(()) };
        let oracle = Oracle { task: &task, strata };
        let planner = Planner::new(&task).unwrap();
        for (values, edges) in graph.states.iter().zip(&graph.edges) {
            let state = planner.state(values).unwrap();
            prop_assert_eq!(&planner.values(&state), values);
            let facts = planner.evaluate(&state);
            for (index, holds) in oracle.facts(values).into_iter().enumerate() {
                prop_assert_eq!(facts.holds(DerivedId::new(index)), holds);
            }
            let found: Vec<(OpId, Vec<u8>)> = planner
                .successors(&state)
                .unwrap()
                .into_iter()
                .map(|(id, next)| (id, planner.values(&next)))
                .collect();
            let wanted: Vec<(OpId, Vec<u8>)> =
                edges.iter().map(|&(id, _, to)| (id, graph.states[to].clone())).collect();
            prop_assert_eq!(&found, &wanted);
            for (id, next) in found {
                prop_assert_eq!(planner.values(&planner.apply(id, &state).unwrap()), next);
            }
        }
    }

    /// Ways are plans and exist exactly where there are plans, whatever was asked before.
    #[test]
    fn ways_are_plans(raw in raw_task()) {
        let Some((task, strata, graph)) = prepared(&raw) else { return Ok(()) };
        let oracle = Oracle { task: &task, strata };
        let planner = Planner::new(&task).unwrap();
        let goal = planner.goal(&task.goal).unwrap();
        let mut reach = Reach::new(&planner, &goal);
        for (values, distance) in graph.states.iter().zip(&graph.distance) {
            match reach.way(&planner.state(values).unwrap(), &mut Budget::unlimited()).unwrap() {
                Way::Plan(plan) => prop_assert_eq!(oracle.cost(values, &plan.steps), Some(plan.cost)),
                Way::None => prop_assert_eq!(None, *distance),
                Way::CutOff => prop_assert!(false, "nothing was to be cut off"),
            }
        }
    }

    /// Entries are traps by the naive program, their paths lead into them, and none is found only if there is none.
    /// With a small budget each entry still is a trap.
    #[test]
    fn traps_are_traps(raw in raw_task(), few in 0..10_u64) {
        let Some((task, strata, graph)) = prepared(&raw) else { return Ok(()) };
        let oracle = Oracle { task: &task, strata };
        let planner = Planner::new(&task).unwrap();
        let goal = planner.goal(&task.goal).unwrap();
        for mut budget in [Budget::unlimited(), Budget::states(few)] {
            let traps = planner.traps(&[planner.initial()], &goal, &mut budget).unwrap();
            for trap in &traps.entries {
                let mut values = graph.states[0].clone();
                for &step in &trap.path {
                    values = oracle.done(step, &values).unwrap().unwrap();
                }
                prop_assert_eq!(&planner.values(&trap.state), &values);
                let number = graph.states.iter().position(|state| *state == values).unwrap();
                prop_assert_eq!(graph.distance[number], None);
            }
            if traps.complete {
                prop_assert_eq!(traps.entries.is_empty(), graph.distance.iter().all(Option::is_some));
            }
            prop_assert!(traps.trapped >= traps.entries.len() as u64);
        }
        let mut reach = Reach::new(&planner, &goal);
        let near = reach.traps_within(2, &[planner.initial()], &mut Budget::unlimited()).unwrap();
        let found: Vec<Vec<u8>> = near.entries.iter().map(|trap| planner.values(&trap.state)).collect();
        let wanted = entries_within(&graph, 2);
        prop_assert!(near.complete && near.trapped == found.len() as u64);
        prop_assert_eq!(found.len(), wanted.len());
        prop_assert!(wanted.iter().all(|state| found.contains(state)));
    }

    /// The survey by decision diagrams counts what the naive program counts, and its examples are trapped states.
    #[test]
    fn surveys_count_every_state(raw in prop_oneof![raw_task(), loose_task()], free in any::<bool>()) {
        let Some((task, strata, graph)) = prepared(&raw) else { return Ok(()) };
        let planner = Planner::new(&task).unwrap();
        let goal = planner.goal(&task.goal).unwrap();
        // The first variable free at the start: the naive program then begins at each of its values.
        let graphs: Vec<Graph> = if free {
            let oracle = Oracle { task: &task, strata };
            let starts = (0..task.variables[0].size).map(|value| {
                let mut start = graph.states[0].clone();
                start[0] = value;
                start
            });
            match starts.map(|start| oracle.graph(&start)).collect::<Option<Vec<_>>>() {
                Some(graphs) => graphs,
                None => return Ok(()),
            }
        } else {
            vec![graph]
        };
        let mut states = std::collections::BTreeMap::new();
        for graph in &graphs {
            states.extend(graph.states.iter().zip(&graph.distance).map(|(state, way)| (state.clone(), way.is_some())));
        }
        let free: &[VarId] = if free { &[VarId::new(0)] } else { &[] };
        let survey = planner.survey(&[planner.initial()], free, &goal, 3, 1_000_000).unwrap();
        let trapped = states.values().filter(|has_way| !**has_way).count();
        prop_assert!((survey.reachable_count - states.len() as f64).abs() < 0.5);
        prop_assert!((survey.trapped_count - trapped as f64).abs() < 0.5);
        prop_assert_eq!(survey.trapped.is_empty(), trapped == 0);
        for state in &survey.trapped {
            prop_assert_eq!(states.get(&planner.values(state)), Some(&false));
        }
        prop_assert!(planner.survey(&[planner.initial()], free, &goal, 3, 2).is_none_or(|tiny| tiny.branches <= 2));
    }
}
