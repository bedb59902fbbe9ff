//! Following step lists: changes, facts, readings, times, stops.

use operate::{Class, End, Model, SlipKind, StepOutcome, Use, run, run_from, slips};

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

/// A list that looks whether the water is clear, and one after it that turns the propeller.
const SWIMMERS: &str = r#"
[states.swimmers]
name = "People in the water"
values = ["absent", "near"]
rest = "absent"
given = true
[controls.gear]
name = "Gear"
item = "motor"
positions = ["neutral", "ahead"]
rest = "neutral"
harms = [{ to = "ahead", when = "swimmers is near", severity = "injury", what = "The propeller strikes somebody." }]
[actions.call_them_aboard]
name = "Call them aboard"
makes = ["swimmers is absent"]
[procedures.try_gear]
name = "Try the gear"
goal = "gear is neutral"
steps = [
  { look = "The water is clear.", confirm = "swimmers is absent" },
  { set = "gear", to = "ahead" },
  { set = "gear", to = "neutral" },
]
[procedures.leave]
name = "Leave"
after = ["try_gear"]
goal = "gear is ahead"
leaves = ["gear is ahead"]
steps = [
  { look = "The water is clear.", confirm = "swimmers is absent" },
  { set = "gear", to = "ahead" },
]
"#;

const SECOND_LOOK: &str = "leaves = [\"gear is ahead\"]\nsteps = [\n  { look = \"The water is clear.\", confirm = \"swimmers is absent\" },";

#[test]
fn what_a_look_in_an_earlier_list_saw_is_open_again() {
    let holds = |sections: &str| operate::prove(&Model::new(&boat(sections))).holds();
    assert!(holds(SWIMMERS));
    assert!(SWIMMERS.contains(SECOND_LOOK));
    assert!(!holds(&SWIMMERS.replace(SECOND_LOOK, "leaves = [\"gear is ahead\"]\nsteps = [")));
    // Unless the list's own start says how it is.
    assert!(holds(
        &SWIMMERS.replace(
            SECOND_LOOK,
            "leaves = [\"gear is ahead\"]\nstart = [\"swimmers is absent\"]\nsteps = ["
        )
    ));
    // Or a step of the list before made it so: not seen, but done.
    assert!(holds(&SWIMMERS.replace(SECOND_LOOK, "leaves = [\"gear is ahead\"]\nsteps = [").replace(
        "  { set = \"gear\", to = \"neutral\" },",
        "  { set = \"gear\", to = \"neutral\" },\n  { do = \"call_them_aboard\" },"
    )));
}

#[test]
fn leaving_out_the_look_of_the_second_list_is_an_injury() {
    let boat = boat(SWIMMERS);
    let found = slips(&Model::new(&boat), boat.procedure("leave").unwrap(), Use::Read);
    let look =
        found.slips.iter().find(|slip| slip.kind == SlipKind::LookLeftOut).expect("the list has a look");
    assert_eq!(look.class, Class::Injury);
    assert_eq!(look.world, [(boat.var("swimmers").unwrap(), boat::model::Value(1))]);
}

/// A given state that changes by itself in an earlier list is as it has become in the next one.
#[test]
fn what_changed_by_itself_in_an_earlier_list_is_known() {
    let sections = r#"
[states.kettle]
name = "Kettle"
values = ["cold", "hot"]
rest = "cold"
given = true
turns = [{ to = "hot", when = "stove is lit", after = "5 min" }]
[controls.stove]
name = "Stove"
item = "motor"
positions = ["off", "lit"]
rest = "off"
[states.tea]
name = "Tea"
values = ["none", "made"]
rest = "none"
[actions.pour]
name = "Pour"
needs = "kettle is hot"
makes = ["tea is made"]
[procedures.boil]
name = "Boil water"
goal = "stove is off"
steps = [{ set = "stove", to = "lit" }, { wait = "6 min" }, { set = "stove", to = "off" }]
[procedures.brew]
name = "Brew tea"
after = ["boil"]
goal = "tea is made"
leaves = ["tea is made"]
steps = [{ do = "pour" }]
"#;
    let with = boat(sections);
    assert!(operate::prove(&Model::new(&with)).findings.iter().all(|found| found.code != "step-needs-unmet"));
    let short = boat(&sections.replace("wait = \"6 min\"", "wait = \"4 min\""));
    assert!(
        operate::prove(&Model::new(&short)).findings.iter().any(|found| found.code == "step-needs-unmet")
    );
}
