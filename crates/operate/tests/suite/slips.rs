//! Slips on small boats: each kind is found, judged, noticed, and its way back is safe.

use boat::model::{Severity, Value};
use operate::{Back, Class, Model, Slip, SlipKind, Slips, Use, rates, slips, weight};

use crate::{LAMP, boat};

/// A stove: the bottle must be shut again, or gas creeps out.
const STOVE: &str = r#"
[controls.bottle]
name = "Gas bottle"
item = "motor"
positions = ["shut", "open"]
rest = "shut"
tell = { shut = "The handle lies across." }
[controls.knob]
name = "Knob"
item = "motor"
positions = ["off", "lit"]
rest = "off"
moves = [{ to = "lit", needs = "bottle is open", fails = "No flame." }]
harms = [{ to = "off", when = "bottle is shut", severity = "damage", what = "The pan burns.", seen = "Smoke." }]
[states.asleep]
name = "Crew asleep"
values = ["no", "yes"]
rest = "no"
[actions.sleep]
name = "Go to sleep"
makes = ["asleep is yes"]
[never.gas]
name = "Gas stands open while all sleep."
when = "bottle is open and asleep is yes"
severity = "injury"
what = "A leak fills the bilge."
[procedures.cook]
name = "Cook"
goal = "knob is off"
steps = [
  { set = "bottle", to = "open" },
  { set = "knob", to = "lit", for = "5 s" },
  { look = "It burns.", confirm = "knob is lit", otherwise = "Open the bottle." },
  { set = "knob", to = "off" },
  { set = "bottle", to = "shut" },
]
"#;

fn of(sections: &str, list: &str) -> (boat::model::Boat, Slips) {
    let boat = boat(sections);
    let found = slips(&Model::new(&boat), boat.procedure(list).expect("the list is in the text"), Use::Read);
    (boat, found)
}

fn at<'a>(found: &'a Slips, step: usize, kind: &SlipKind) -> &'a Slip {
    let slip = found.slips.iter().find(|slip| slip.step == step && slip.kind == *kind);
    slip.unwrap_or_else(|| panic!("no {kind:?} at step {step} in {found:#?}"))
}

#[test]
fn a_bottle_left_open_stands_above_what_does_not_matter() {
    let (boat, found) = of(STOVE, "cook");
    let slip = at(&found, 4, &SlipKind::LeftOut);
    assert_eq!(slip.class, Class::LeftStanding(Some(Severity::Injury)), "all may go to sleep next");
    assert_eq!(slip.left, [(boat.var("bottle").unwrap(), Value(1), Value(0))]);
    assert!(slip.threat.as_ref().is_some_and(|threat| threat.contains("A leak fills the bilge.")));
    let Back::ToPromised(steps) = &slip.back else { panic!("{:?}", slip.back) };
    assert_eq!(steps.len(), 1);
    assert!(weight(slip.class) > weight(Class::DoesNotWork));
    // Without the never-state it is still found, as left otherwise than promised.
    let (_, plain) = of(&STOVE.replace("bottle is open and asleep is yes", "never"), "cook");
    assert_eq!(at(&plain, 4, &SlipKind::LeftOut).class, Class::LeftStanding(None));
}

#[test]
fn a_step_that_does_nothing_is_noticed_and_a_look_stops_the_list() {
    let (_, found) = of(STOVE, "cook");
    let slip = at(&found, 0, &SlipKind::LeftOut);
    assert_eq!(slip.class, Class::DoesNotWork);
    assert_eq!(
        slip.noticed.as_ref().map(|notice| (notice.step, notice.words.as_str())),
        Some((1, "No flame."))
    );
    assert_eq!(slip.stopped, Some(2));
}

#[test]
fn swapping_the_last_steps_does_damage() {
    let (_, found) = of(STOVE, "cook");
    let slip = at(&found, 3, &SlipKind::Swapped);
    assert_eq!(slip.class, Class::Damage);
    assert_eq!(slip.what, ["The pan burns."]);
    assert_eq!(slip.noticed.as_ref().map(|notice| notice.words.as_str()), Some("Smoke."));
    assert!(found.slips.windows(2).all(|pair| pair[0].risk >= pair[1].risk), "the worst comes first");
    assert!(found.slips[0].class > Class::DoesNotWork);
}

#[test]
fn a_look_left_out_is_worst_in_the_world_that_it_would_have_shown() {
    let sections = r#"
[states.swimmers]
name = "People in the water"
values = ["clear", "near"]
rest = "clear"
given = true
[actions.thrust]
name = "Thrust"
item = "motor"
harms = [{ when = "swimmers is near", severity = "injury", what = "It draws a swimmer in." }]
limits = [{ kind = "longest", is = "3 s", breach = { severity = "damage", what = "It burns out." } }, { kind = "rest", is = "2 s", breach = { severity = "damage", what = "It burns out." } }]
[procedures.turn]
name = "Turn"
goal = "always"
steps = [
  { look = "Nobody swims near.", confirm = "swimmers is clear" },
  { do = "thrust", for = "2 s", rest = "2 s" },
  { do = "thrust", for = "2 s" },
]
"#;
    let (boat, found) = of(sections, "turn");
    let look = at(&found, 0, &SlipKind::LookLeftOut);
    assert_eq!(look.class, Class::Injury);
    assert_eq!(look.world, [(boat.var("swimmers").unwrap(), Value(1))]);
    let long = at(&found, 1, &SlipKind::HeldTooLong(quantity::Time::seconds(6.0)));
    assert_eq!(long.class, Class::Damage);
    assert_eq!(at(&found, 1, &SlipKind::RestLeftOut).class, Class::Damage);
    assert_eq!(at(&found, 1, &SlipKind::HeldTooShort(quantity::Time::seconds(1.0))).class, Class::NoMatter);
    assert_eq!(at(&found, 1, &SlipKind::Repeated).class, Class::NoMatter, "it rests in between");
}

#[test]
fn positions_neighbours_and_waits() {
    let sections = format!(
        "{LAMP}\n[controls.other]\nname = \"Other switch\"\nitem = \"motor\"\npositions = [\"off\", \"on\"]\nrest = \"off\"\n\
         harms = [{{ to = \"on\", when = \"always\", severity = \"injury\", what = \"It bites.\" }}]\n\
         [states.bulb]\nname = \"Bulb\"\nvalues = [\"cold\", \"warm\"]\nrest = \"cold\"\nturns = [{{ to = \"warm\", when = \"lit\", after = \"2 min\" }}]\n\
         [procedures.light]\nname = \"Light\"\ngoal = \"bulb is warm\"\nleaves = [\"fuse is in\", \"switch is on\", \"bulb is warm\"]\n\
         steps = [{{ set = \"fuse\", to = \"in\" }}, {{ set = \"switch\", to = \"on\" }}, {{ wait = \"2 min\" }}]\n"
    );
    let (boat, found) = of(&sections, "light");
    let other = boat.var("other").unwrap();
    assert_eq!(at(&found, 1, &SlipKind::WrongControl(other, Value(1))).class, Class::Injury);
    assert_eq!(at(&found, 1, &SlipKind::WrongPosition(Value(0))).class, Class::DoesNotWork);
    let wait = at(&found, 2, &SlipKind::WaitCutShort(quantity::Time::seconds(60.0)));
    assert_eq!(wait.class, Class::DoesNotWork);
    assert!(found.slips.iter().any(|slip| matches!(slip.kind, SlipKind::TooEarly(0)) && slip.step == 2));
}

#[test]
fn a_trap_is_told() {
    let sections = format!(
        "{LAMP}\n[controls.cover]\nname = \"Cover\"\nitem = \"motor\"\npositions = [\"shut\", \"sealed\", \"open\"]\nrest = \"shut\"\n\
         moves = [{{ to = \"shut\", needs = \"cover is open\" }}, {{ to = \"open\", needs = \"cover is shut\" }}]\n\
         [procedures.air]\nname = \"Air\"\ngoal = \"always\"\nsteps = [{{ set = \"cover\", to = \"open\" }}, {{ set = \"cover\", to = \"shut\" }}]\n"
    );
    let (_, found) = of(&sections, "air");
    let sealed = at(&found, 1, &SlipKind::WrongPosition(Value(1)));
    assert_eq!((sealed.class, &sealed.back), (Class::LeftStanding(None), &Back::Trap));
}

#[test]
fn every_rate_says_where_it_is_from() {
    for rate in rates() {
        assert!(rate.value > 0.0 && rate.value < 0.1, "{rate:?}");
        assert_eq!(rate.table.is_none(), rate.read == operate::Read::Judged, "{rate:?}");
    }
}

/// A lamp that tells at its switch whether it burns, with nothing to look at in the list.
const TELLING: &str = r#"
[controls.breaker]
name = "Breaker"
item = "motor"
positions = ["off", "on"]
rest = "off"
[controls.lamp]
name = "Lamp"
item = "motor"
positions = ["off", "on"]
rest = "off"
tell = { on = "The lamp glows." }
[conditions.lamp_burns]
name = "The lamp burns."
when = "lamp is on and breaker is on"
[states.pump]
name = "Pump"
values = ["still", "humming"]
rest = "still"
tell = { humming = "It hums." }
turns = [{ to = "humming", when = "lamp_burns", after = "5 s" }, { to = "still", when = "not lamp_burns" }]
[procedures.light]
name = "Light the lamp"
goal = "lamp_burns"
leaves = ["breaker is on", "lamp is on", "pump is humming"]
steps = [{ set = "breaker", to = "on" }, { set = "lamp", to = "on" }, { wait = "10 s" }]
"#;

#[test]
fn what_does_not_come_about_is_seen_by_its_tell_without_a_look() {
    let (_, found) = of(TELLING, "light");
    let notice =
        |step, kind| at(&found, step, &kind).noticed.as_ref().map(|seen| (seen.step, seen.words.clone()));
    assert_eq!(notice(0, SlipKind::LeftOut), Some((1, "This is not so: The lamp glows.".to_owned())));
    assert_eq!(notice(1, SlipKind::LeftOut), Some((2, "This is not so: It hums.".to_owned())));
    assert_eq!(
        notice(1, SlipKind::WrongPosition(Value(0))),
        Some((1, "This is not so: The lamp glows.".to_owned()))
    );
    // Who sets another control looks at that one, so that only what should follow is missed.
    let (boat, found_again) = of(TELLING, "light");
    let other = SlipKind::WrongControl(boat.var("breaker").unwrap(), Value(1));
    let seen = at(&found_again, 1, &other).noticed.as_ref().map(|seen| (seen.step, seen.words.as_str()));
    assert_eq!(seen, Some((2, "This is not so: It hums.")));
    // Without words to tell by, and where all is as it should be, there is nothing to see.
    let quiet = TELLING
        .replace("tell = { on = \"The lamp glows.\" }\n", "")
        .replace("tell = { humming = \"It hums.\" }\n", "");
    let (_, quiet) = of(&quiet, "light");
    assert_eq!(at(&quiet, 0, &SlipKind::LeftOut).noticed, None);
    assert_eq!(notice(0, SlipKind::Repeated), None);
}

#[test]
fn a_change_that_the_list_does_not_bring_is_seen() {
    let sections = r#"
[controls.valve]
name = "Fuel valve"
item = "motor"
positions = ["shut", "open"]
rest = "shut"
[controls.key]
name = "Key"
item = "motor"
positions = ["off", "on"]
rest = "off"
[states.engine]
name = "Engine"
values = ["stopped", "running"]
rest = "stopped"
turns = [{ to = "stopped", when = "engine is running and valve is shut", after = "1 min", seen = "It hunts, then dies." }]
[actions.crank]
name = "Crank"
needs = "key is on"
makes = ["engine is running"]
[procedures.start]
name = "Start"
goal = "engine is running"
leaves = ["valve is open", "key is on", "engine is running"]
steps = [{ set = "valve", to = "open" }, { set = "key", to = "on" }, { do = "crank" }, { wait = "2 min" }]
"#;
    let (_, found) = of(sections, "start");
    let seen =
        at(&found, 0, &SlipKind::LeftOut).noticed.as_ref().map(|notice| (notice.step, notice.words.as_str()));
    assert_eq!(seen, Some((3, "It hunts, then dies.")));
}

#[test]
fn the_harm_of_an_action_that_changes_nothing_is_near() {
    let sections = format!(
        "{}\n[actions.go_ashore]\nname = \"Go ashore\"\nharms = [{{ when = \"bottle is open\", severity = \"injury\", what = \"Gas creeps out while nobody is aboard.\" }}]\n",
        STOVE.replace("bottle is open and asleep is yes", "never")
    );
    let (_, found) = of(&sections, "cook");
    let slip = at(&found, 4, &SlipKind::LeftOut);
    assert_eq!(slip.class, Class::LeftStanding(Some(Severity::Injury)));
    assert_eq!(slip.threat.as_deref(), Some("Gas creeps out while nobody is aboard."));
}
