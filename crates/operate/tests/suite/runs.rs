//! Following step lists: changes, facts, readings, times, stops.

use operate::{End, Model, StepOutcome, run, run_from};

use crate::{LAMP, boat};

const LIST: &str = r#"
[states.bulb]
name = "Bulb"
values = ["cold", "warm"]
rest = "cold"
turns = [{ to = "warm", when = "lit", after = "2 min" }]
[readings.heat]
name = "Heat"
cases = [{ when = "bulb is warm", reads = "60 W" }]
otherwise = "0 W"
[procedures.light]
name = "Light"
goal = "bulb is warm"
leaves = ["fuse is in", "switch is on", "bulb is warm"]
steps = [
  { set = "fuse", to = "in" },
  { set = "switch", to = "on", for = "30 s" },
  { look = "It burns.", confirm = "lit", otherwise = "Look at the fuse." },
  { wait = "90 s", until = "bulb is warm" },
]
"#;

#[test]
fn a_list_is_followed_with_its_times() {
    let boat = boat(&format!("{LAMP}{LIST}"));
    let model = Model::new(&boat);
    let light = boat.procedure("light").unwrap();
    let trace = run(&model, light);
    assert_eq!(trace.end, End::Reached);
    let outcomes: Vec<StepOutcome> = trace.steps.iter().map(|step| step.outcome).collect();
    assert_eq!(outcomes, [StepOutcome::Done, StepOutcome::Done, StepOutcome::Seen, StepOutcome::Done]);
    let times: Vec<f64> = trace.steps.iter().map(|step| step.elapsed.as_seconds()).collect();
    assert_eq!(times, [0.0, 30.0, 30.0, 120.0]);
    assert_eq!(trace.steps[1].gained, [boat.condition("lit").unwrap()]);
    let last = &trace.steps[3];
    assert!(last.changes.iter().all(|change| change.by_itself) && last.changes.len() == 1);
    assert_eq!(last.readings[0].to.to_string(), "60 W");
    assert_eq!(trace, run(&model, light), "the same every time");
}

#[test]
fn a_look_that_shows_something_else_stops() {
    let boat = boat(&format!("{LAMP}{}", LIST.replace("{ set = \"fuse\", to = \"in\" },", "")));
    let model = Model::new(&boat);
    let trace = run(&model, boat.procedure("light").unwrap());
    assert_eq!(trace.end, End::Stopped(1));
    assert_eq!(trace.steps[0].outcome, StepOutcome::Nothing);
    assert_eq!(trace.steps[1].outcome, StepOutcome::NotSeen);
    let from = model.at_rest().with(boat.var("fuse").unwrap(), boat::model::Value(1));
    assert_eq!(run_from(&model, boat.procedure("light").unwrap(), &from).end, End::Reached);
}

#[test]
fn a_timed_change_needs_its_condition_without_a_break() {
    let steps = "{ set = \"fuse\", to = \"in\" }, { set = \"switch\", to = \"on\" }, { wait = \"90 s\" }, { set = \"switch\", to = \"off\" },\n\
         { set = \"switch\", to = \"on\" }, { wait = \"90 s\" }, { wait = \"30 s\" }";
    let list = format!(
        "[procedures.twice]\nname = \"Twice\"\ngoal = \"bulb is warm\"\nleaves = [\"fuse is in\", \"switch is on\", \"bulb is warm\"]\nsteps = [{steps}]\n"
    );
    let boat = boat(&format!("{LAMP}{LIST}{list}"));
    let model = Model::new(&boat);
    let trace = run(&model, boat.procedure("twice").unwrap());
    let bulb = boat.var("bulb").unwrap();
    let warm: Vec<u8> = trace.steps.iter().map(|step| step.stand.get(bulb).0).collect();
    assert_eq!(warm, [0, 0, 0, 0, 0, 0, 1]);
}

#[test]
fn what_a_look_in_an_earlier_list_settled_stays_settled() {
    let sections = r#"
[states.tide]
name = "Tide"
values = ["high", "low"]
rest = "high"
given = true
[states.ashore]
name = "Ashore"
values = ["no", "yes"]
rest = "no"
[actions.step_ashore]
name = "Step ashore"
needs = "tide is high"
makes = ["ashore is yes"]
[procedures.look]
name = "Look at the tide"
goal = "always"
steps = [{ look = "High water.", confirm = "tide is high" }]
[procedures.land]
name = "Land"
after = ["look"]
goal = "ashore is yes"
leaves = ["ashore is yes"]
steps = [{ do = "step_ashore" }]
"#;
    let boat_with = boat(sections);
    assert!(operate::prove(&Model::new(&boat_with)).holds());
    let without = boat(&sections.replace("after = [\"look\"]\n", ""));
    assert!(!operate::prove(&Model::new(&without)).holds());
}
