//! Small tasks whose answers can be seen by eye.

use search::{Budget, Effect, Formula, Outcome, Planner, Refusal, Task, TaskError, VarId, pddl};

fn outcome(task: &Task) -> Outcome {
    let planner = Planner::new(task).unwrap();
    let goal = planner.goal(&task.goal).unwrap();
    planner.plan(&planner.initial(), &goal, &mut Budget::unlimited()).unwrap().outcome
}

/// A pump that stops by itself when the inlet is shut, and may not run with the outlet shut.
fn pump() -> (Task, [VarId; 3]) {
    let mut task = Task::new();
    let [inlet, outlet, pump] = ["inlet", "outlet", "pump"].map(|name| task.variable(name, 2, 0));
    for (variable, name) in [(inlet, "inlet"), (outlet, "outlet"), (pump, "pump")] {
        task.operator(format!("{name} on"), 1, Formula::Is(variable, 0), vec![Effect::set(variable, 1)]);
        task.operator(format!("{name} off"), 1, Formula::Is(variable, 1), vec![Effect::set(variable, 0)]);
    }
    task.event("runs dry", Formula::Is(inlet, 0), vec![Effect::set(pump, 0)]);
    task.forbidden = Formula::all([Formula::Is(pump, 1), Formula::Is(outlet, 0)]);
    task.goal = Formula::Is(pump, 1);
    (task, [inlet, outlet, pump])
}

#[test]
fn events_and_forbidden_states_shape_the_plan() {
    let (task, [inlet, _, pump]) = pump();
    let planner = Planner::new(&task).unwrap();
    let goal = planner.goal(&task.goal).unwrap();
    let Outcome::Plan(plan) = outcome(&task) else { panic!("there is a plan") };
    let names: Vec<&str> = plan.steps.iter().map(|step| task.operators[step.index()].name.as_str()).collect();
    assert_eq!(names, ["inlet on", "outlet on", "pump on"]);
    let running = planner.state(&[1, 1, 1]).unwrap();
    let shut = search::OpId::new(1);
    let done = planner.force(shut, &running).unwrap();
    assert_eq!(planner.values(&done.state), [0, 1, 0]);
    assert_eq!(done.events.len(), 1);
    let outlet_off = search::OpId::new(3);
    assert!(matches!(planner.apply(outlet_off, &running), Err(Refusal::Forbidden(_))));
    assert_eq!(planner.apply(outlet_off, &planner.initial()), Err(Refusal::NotEnabled));
    assert!(planner.traps(&[planner.initial()], &goal, &mut Budget::unlimited()).unwrap().entries.is_empty());
    assert_eq!(planner.value(&running, pump), planner.value(&running, inlet));
}

#[test]
fn a_forbidden_start_may_be_left_but_is_no_goal() {
    let (mut task, [_, outlet, pump]) = pump();
    task.variables[0].initial = 1;
    task.variables[2].initial = 1;
    let Outcome::Plan(plan) = outcome(&task) else { panic!("there is a plan") };
    assert_eq!(plan.cost, 1);
    task.goal = Formula::all([Formula::Is(pump, 1), Formula::Is(outlet, 0)]);
    assert_eq!(outcome(&task), Outcome::NoPlan);
}

#[test]
fn a_forbidden_start_may_have_to_be_left_and_come_back_to() {
    // In the start the goal holds but a forbidden alternative, too; the goal must be left to mend that.
    let mut task = Task::new();
    let [door, alarm] = ["door", "alarm"].map(|name| task.variable(name, 2, 1));
    task.operator("open", 1, Formula::Is(door, 1), vec![Effect::set(door, 0)]);
    task.operator("silence", 1, Formula::Is(door, 0), vec![Effect::set(alarm, 0)]);
    task.operator("shut", 1, Formula::Is(door, 0), vec![Effect::set(door, 1)]);
    task.goal = Formula::Is(door, 1);
    task.forbidden = Formula::all([Formula::Is(door, 1), Formula::Is(alarm, 1)]);
    let Outcome::Plan(plan) = outcome(&task) else { panic!("there is a plan") };
    assert_eq!(plan.cost, 3);
}

#[test]
fn recursive_facts_are_worked_out_to_the_end_in_any_order() {
    let mut task = Task::new();
    let source = task.variable("source", 2, 1);
    let facts: Vec<_> = (0..5).map(|index| task.fact(format!("wet {index}"), Formula::False)).collect();
    for index in 0..4 {
        let neighbours = [index + 1, (index + 4) % 5].map(|other| Formula::Fact(facts[other]));
        task.define(facts[index], Formula::any(neighbours));
    }
    task.define(facts[4], Formula::any([Formula::Is(source, 1), Formula::Fact(facts[0])]));
    let planner = Planner::new(&task).unwrap();
    let wet = |state: search::State| {
        facts.iter().map(|&fact| planner.evaluate(&state).holds(fact)).collect::<Vec<_>>()
    };
    assert_eq!(wet(planner.initial()), [true; 5]);
    assert_eq!(wet(planner.state(&[0]).unwrap()), [false; 5]);
}

#[test]
fn a_forbidden_state_may_come_about_by_an_event_of_no_account_for_the_goal() {
    // Lifting the lid sets off the horn, and that is forbidden while someone sleeps. Neither is in the goal.
    let mut task = Task::new();
    let [lid, horn, asleep] = ["lid", "horn", "asleep"].map(|name| task.variable(name, 2, 0));
    task.variables[asleep.index()].initial = 1;
    task.operator("lift", 1, Formula::True, vec![Effect::set(lid, 1)]);
    task.operator("wake", 1, Formula::True, vec![Effect::set(asleep, 0)]);
    task.event("sound", Formula::Is(lid, 1), vec![Effect::set(horn, 1)]);
    task.goal = Formula::Is(lid, 1);
    task.forbidden = Formula::all([Formula::Is(horn, 1), Formula::Is(asleep, 1)]);
    let Outcome::Plan(plan) = outcome(&task) else { panic!("there is a plan") };
    assert_eq!(plan.cost, 2);
}

#[test]
fn steps_that_only_a_forbidden_state_sets_in_order_are_not_passed_over() {
    // The hose may not be filled while the cover is off; both are wanted in the end, the hose only for a while.
    let mut task = Task::new();
    let [cover_off, filled, rinsed] = ["cover off", "filled", "rinsed"].map(|name| task.variable(name, 2, 0));
    task.operator("take off", 1, Formula::True, vec![Effect::set(cover_off, 1)]);
    task.operator("fill", 1, Formula::True, vec![Effect::set(filled, 1)]);
    let rinse = vec![Effect::set(rinsed, 1), Effect::set(filled, 0)];
    task.operator("rinse", 1, Formula::Is(filled, 1), rinse);
    task.goal = Formula::all([Formula::Is(cover_off, 1), Formula::Is(rinsed, 1)]);
    task.forbidden = Formula::all([Formula::Is(cover_off, 1), Formula::Is(filled, 1)]);
    let Outcome::Plan(plan) = outcome(&task) else { panic!("there is a plan") };
    let names: Vec<&str> = plan.steps.iter().map(|step| task.operators[step.index()].name.as_str()).collect();
    assert_eq!(names, ["fill", "rinse", "take off"]);
}

#[test]
fn steps_that_only_an_event_sets_in_order_are_not_passed_over() {
    // Starting the pump trips it unless it is primed, and a tripped pump cannot be mended.
    let mut task = Task::new();
    let [primed, running, tripped] = ["primed", "running", "tripped"].map(|name| task.variable(name, 2, 0));
    task.operator("start", 1, Formula::True, vec![Effect::set(running, 1)]);
    task.operator("prime", 1, Formula::True, vec![Effect::set(primed, 1)]);
    let dry = Formula::all([Formula::Is(running, 1), Formula::Is(primed, 0)]);
    task.event("trip", dry, vec![Effect::set(tripped, 1)]);
    task.goal = Formula::all([Formula::Is(running, 1), Formula::Is(primed, 1), Formula::Is(tripped, 0)]);
    let Outcome::Plan(plan) = outcome(&task) else { panic!("there is a plan") };
    let names: Vec<&str> = plan.steps.iter().map(|step| task.operators[step.index()].name.as_str()).collect();
    assert_eq!(names, ["prime", "start"]);
}

#[test]
fn endless_events_are_an_error() {
    let mut task = Task::new();
    let start = task.variable("start", 2, 0);
    let flip = task.variable("flip", 2, 0);
    task.operator("begin", 1, Formula::True, vec![Effect::set(start, 1)]);
    let begun = || Formula::Is(start, 1);
    task.event("on", Formula::all([begun(), Formula::Is(flip, 0)]), vec![Effect::set(flip, 1)]);
    task.event("off", Formula::all([begun(), Formula::Is(flip, 1)]), vec![Effect::set(flip, 0)]);
    task.goal = begun();
    let planner = Planner::new(&task).unwrap();
    let goal = planner.goal(&task.goal).unwrap();
    let found = planner.plan(&planner.initial(), &goal, &mut Budget::unlimited()).unwrap_err();
    assert_eq!(found.events.len(), 2);
    assert_eq!(found.state, planner.initial());
}

#[test]
fn negation_in_a_circle_is_refused() {
    let mut task = Task::new();
    let a = task.fact("a", Formula::False);
    let b = task.fact("b", Formula::no_fact(a));
    task.define(a, Formula::Fact(b));
    let found = Planner::new(&task).unwrap_err();
    assert!(matches!(&found, TaskError::NotStratified(facts) if facts == &[a, b]), "{found}");
}

#[test]
fn a_cut_off_search_says_how_far_it_came() {
    let mut task = Task::new();
    let digits: Vec<VarId> = (0..12).map(|index| task.variable(format!("d{index}"), 2, 0)).collect();
    for (index, &digit) in digits.iter().enumerate() {
        let below = digits[..index].iter().map(|&other| Formula::Is(other, 1));
        let reset = digits[..index].iter().map(|&other| Effect::set(other, 0));
        let effects = reset.chain([Effect::set(digit, 1)]).collect();
        let ready = Formula::all(below.chain([Formula::Is(digit, 0)]));
        task.operator(format!("carry {index}"), 1, ready, effects);
    }
    task.goal = Formula::all(digits.iter().map(|&digit| Formula::Is(digit, 1)));
    let planner = Planner::new(&task).unwrap();
    let goal = planner.goal(&task.goal).unwrap();
    let mut budget = Budget::states(100);
    let answer = planner.plan(&planner.initial(), &goal, &mut budget).unwrap();
    let Outcome::CutOff { lower_bound } = answer.outcome else { panic!("{answer:?}") };
    assert!((12..=4095).contains(&lower_bound));
    assert_eq!((answer.statistics.expanded, budget.left()), (100, 0));
    let mut stop = || true;
    let mut budget = Budget::unlimited().stopping(&mut stop);
    let answer = planner.plan(&planner.initial(), &goal, &mut budget).unwrap();
    assert!(matches!(answer.outcome, Outcome::CutOff { .. }));
    let Outcome::Plan(plan) = outcome(&task) else { panic!("there is a plan") };
    assert_eq!(plan.cost, 4095);
}

#[test]
fn what_cannot_matter_is_left_out() {
    let (mut task, _) = pump();
    let lamp = task.variable("lamp", 2, 0);
    task.operator("lamp on", 1, Formula::True, vec![Effect::set(lamp, 1)]);
    let planner = Planner::new(&task).unwrap();
    assert_eq!(planner.goal(&task.goal).unwrap().relevant_operators(), 6);
    assert_eq!(planner.goal(&Formula::Is(lamp, 1)).unwrap().relevant_operators(), 1);
}

#[test]
fn faults_in_pddl_are_placed() {
    let domain =
        "(define (domain d)\n  (:predicates (p ?x))\n  (:action a :parameters (?x)\n    :effect (q ?x)))";
    let found = pddl::read(domain, "(define (problem p) (:domain d))").unwrap_err();
    assert_eq!((found.line, found.column), (4, 13));
    let found = pddl::read("(define (domain d)", "()").unwrap_err();
    assert_eq!((found.line, found.column), (1, 1));
    assert_eq!(found.to_string(), "In the domain, line 1, column 1: This parenthesis is never closed.");
}

#[test]
fn pddl_costs_conditions_and_quantifiers() {
    let domain = "(define (domain d) (:requirements :adl :action-costs) (:types a b - top)
        (:constants k - b) (:predicates (p ?x - top) (q ?x - (either a b))) (:functions (total-cost))
        (:action one :parameters (?x - a) :effect (and (p ?x) (increase (total-cost) 5)))
        (:action all :parameters () :precondition (exists (?x - a) (p ?x))
          :effect (and (forall (?y - top) (when (not (p ?y)) (q ?y))) (increase (total-cost) 2))))";
    let problem = "(define (problem p) (:domain d) (:objects m n - a) (:init (= (total-cost) 0))
        (:goal (and (q k) (forall (?x - a) (imply (p ?x) (not (q ?x)))))) (:metric minimize (total-cost)))";
    let task = pddl::read(domain, problem).unwrap();
    let Outcome::Plan(plan) = outcome(&task) else { panic!("there is a plan") };
    assert_eq!(plan.cost, 7);
}
