//! Times of the questions that are asked most, on a made-up task of the size of a boat.
//!
//! The task: systems in a row, each with a source valve, a line valve, a breaker, a mode switch and machines that need
//! them; machines of later systems need facts of earlier ones (power, water), so that a goal at the end of the row
//! pulls a long chain of steps behind it. Some machines stop by themselves, some states are forbidden.
#![allow(missing_docs, reason = "a bench has no readers of its documentation")]

use divan::{Bencher, black_box};
use search::{Budget, DerivedId, Effect, Formula, Goal, OpId, Outcome, Planner, Reach, State, Task, VarId};

const SYSTEMS: usize = 16;

fn main() {
    divan::main();
}

struct System {
    source: VarId,
    line: VarId,
    breaker: VarId,
    mode: VarId,
    machine: VarId,
}

/// 80 variables of 2 to 4 values, about 200 operators, 128 facts, 16 events.
fn task() -> Task {
    let mut task = Task::new();
    let mut before: Vec<DerivedId> = Vec::new();
    let mut forbidden = Vec::new();
    for index in 0..SYSTEMS {
        let system = System {
            source: task.variable(format!("source {index}"), 2, 0),
            line: task.variable(format!("line {index}"), 3, 0),
            breaker: task.variable(format!("breaker {index}"), 2, 0),
            mode: task.variable(format!("mode {index}"), 4, 0),
            machine: task.variable(format!("machine {index}"), 3, 0),
        };
        let runs = add_facts(&mut task, index, &system, &before);
        add_operators(&mut task, index, &system);
        let machine_on = Formula::is_not(system.machine, 0);
        let starved = Formula::all([machine_on.clone(), Formula::Is(system.source, 0)]);
        task.event(format!("starved {index}"), starved, vec![Effect::set(system.machine, 0)]);
        forbidden.push(Formula::all([machine_on, Formula::Is(system.line, 2)]));
        before.push(runs);
    }
    task.forbidden = Formula::any(forbidden);
    task
}

/// Facts of a system, eight each; gives "it runs".
fn add_facts(task: &mut Task, index: usize, system: &System, before: &[DerivedId]) -> DerivedId {
    let name = |what: &str| format!("{what} {index}");
    let open = task.fact(name("open"), Formula::is_not(system.line, 0));
    let fed = task.fact(name("fed"), Formula::all([Formula::Is(system.source, 1), Formula::Fact(open)]));
    let upstream = if index % 4 == 0 { Formula::True } else { Formula::Fact(before[index - 1]) };
    let power = task.fact(name("power"), Formula::all([Formula::Is(system.breaker, 1), upstream]));
    let auto =
        task.fact(name("auto"), Formula::any([Formula::Is(system.mode, 2), Formula::Is(system.mode, 3)]));
    let ready = Formula::all([Formula::Fact(fed), Formula::Fact(power)]);
    let ready = task.fact(name("ready"), ready);
    let idle =
        task.fact(name("idle"), Formula::all([Formula::no_fact(ready), Formula::Is(system.machine, 0)]));
    let on = Formula::any([
        Formula::Is(system.machine, 2),
        Formula::all([Formula::Is(system.machine, 1), Formula::Fact(auto)]),
    ]);
    let runs = task.fact(name("runs"), Formula::all([Formula::Fact(ready), on]));
    task.fact(name("quiet"), Formula::any([Formula::Fact(idle), Formula::no_fact(runs)]));
    runs
}

fn add_operators(task: &mut Task, index: usize, system: &System) {
    let stopped = Formula::Is(system.machine, 0);
    let ready = Formula::Fact(DerivedId::new(index * 8 + 4));
    let sets = [
        (system.source, 2, Formula::True),
        (system.line, 3, stopped.clone()),
        (system.breaker, 2, stopped),
        (system.mode, 4, Formula::True),
    ];
    for (variable, size, when) in sets {
        for value in 0..size {
            let need = Formula::all([when.clone(), Formula::is_not(variable, value)]);
            task.operator(
                format!("set {} {value}", variable.index()),
                1,
                need,
                vec![Effect::set(variable, value)],
            );
        }
    }
    let stop = Formula::is_not(system.machine, 0);
    task.operator(format!("stop {index}"), 1, stop, vec![Effect::set(system.machine, 0)]);
    for value in [1, 2] {
        let effects = vec![Effect::set(system.machine, value)];
        task.operator(format!("start {index} {value}"), 1, ready.clone(), effects);
    }
}

/// The fourth machine of the first chain runs, and the last system is fed: some 15 to 18 steps.
fn goal() -> Formula {
    Formula::all([
        Formula::Fact(DerivedId::new(3 * 8 + 6)),
        Formula::Fact(DerivedId::new((SYSTEMS - 1) * 8 + 1)),
        Formula::Fact(DerivedId::new(8 * 8 + 7)),
    ])
}

fn planner() -> (Planner, Goal) {
    let task = task();
    let planner = Planner::new(&task).expect("the task is sound");
    let goal = planner.goal(&goal()).expect("the goal is of the task");
    (planner, goal)
}

/// States on random walks, by a plain linear congruential generator.
fn states(planner: &Planner, count: usize) -> Vec<State> {
    let (mut state, mut seed) = (planner.initial(), 1_u64);
    let mut found = Vec::new();
    for step in 0..count * 8 {
        let enabled = planner.all_enabled(&state);
        seed = seed.wrapping_mul(6364136223846793005).wrapping_add(1442695040888963407);
        let pick = usize::try_from(seed >> 33).expect("31 bits") % enabled.len();
        if let Ok(next) = planner.apply(enabled[pick], &state) {
            state = next;
        }
        if step % 8 == 0 {
            found.push(state.clone());
        }
    }
    found
}

#[divan::bench]
fn compile_task(bencher: Bencher<'_, '_>) {
    let task = task();
    bencher.bench_local(|| Planner::new(black_box(&task)));
}

#[divan::bench]
fn prepare_goal(bencher: Bencher<'_, '_>) {
    let (planner, _) = planner();
    bencher.bench_local(|| planner.goal(black_box(&goal())));
}

#[divan::bench]
fn plan_from_rest(bencher: Bencher<'_, '_>) {
    let (planner, goal) = planner();
    let start = planner.initial();
    let answer = planner.plan(&start, &goal, &mut Budget::unlimited()).expect("events come to rest");
    assert!(matches!(answer.outcome, Outcome::Plan(_)));
    bencher.bench_local(|| planner.plan(black_box(&start), &goal, &mut Budget::unlimited()));
}

#[divan::bench(sample_count = 10)]
fn plan_from_100_states(bencher: Bencher<'_, '_>) {
    let (planner, goal) = planner();
    let states = states(&planner, 100);
    bencher.bench_local(|| {
        for state in &states {
            let _ = black_box(planner.plan(state, &goal, &mut Budget::unlimited()));
        }
    });
}

#[divan::bench(sample_count = 10)]
fn ways_from_2000_states(bencher: Bencher<'_, '_>) {
    let (planner, goal) = planner();
    let states = states(&planner, 2000);
    bencher.bench_local(|| {
        let mut reach = Reach::new(&planner, &goal);
        for state in &states {
            let _ = black_box(reach.way(state, &mut Budget::unlimited()));
        }
    });
}

/// Where slips lead: the plan from rest with one other operator done before one of its steps.
fn slips(planner: &Planner, goal: &Goal) -> Vec<State> {
    let start = planner.initial();
    let answer = planner.plan(&start, goal, &mut Budget::unlimited()).expect("events come to rest");
    let Outcome::Plan(plan) = answer.outcome else { panic!("there is a plan") };
    let (mut state, mut found) = (start, Vec::new());
    for (done, &step) in plan.steps.iter().enumerate() {
        for (_, slip) in planner.successors(&state).expect("events come to rest") {
            let rest = plan.steps[done..].iter();
            found.push(rest.fold(slip, |state, &step| planner.apply(step, &state).unwrap_or(state)));
        }
        state = planner.apply(step, &state).expect("the plan can be done");
    }
    found
}

#[divan::bench(sample_count = 10)]
fn ways_after_slips(bencher: Bencher<'_, '_>) {
    let (planner, goal) = planner();
    let states = slips(&planner, &goal);
    bencher.counter(divan::counter::ItemsCount::new(states.len())).bench_local(|| {
        let mut reach = Reach::new(&planner, &goal);
        for state in &states {
            let _ = black_box(reach.way(state, &mut Budget::unlimited()));
        }
    });
}

#[divan::bench]
fn evaluate(bencher: Bencher<'_, '_>) {
    let (planner, _) = planner();
    let state = planner.initial();
    bencher.bench_local(|| planner.evaluate(black_box(&state)));
}

#[divan::bench]
fn apply(bencher: Bencher<'_, '_>) {
    let (planner, _) = planner();
    let state = planner.initial();
    bencher.bench_local(|| planner.apply(OpId::new(1), black_box(&state)));
}

#[divan::bench]
fn successors(bencher: Bencher<'_, '_>) {
    let (planner, _) = planner();
    let state = planner.initial();
    bencher.bench_local(|| planner.successors(black_box(&state)));
}
