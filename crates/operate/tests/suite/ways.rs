//! Ways and traps on small boats.

use boat::model::Who;
use operate::{Answer, Budget, Model, traps, way};

use crate::{LAMP, boat};

fn ask(sections: &str, goal: &str) -> (boat::model::Boat, Answer) {
    let boat = boat(sections);
    let model = Model::new(&boat);
    let goal = boat.read_fact(goal).expect("a fact of the test's boat");
    let answer = way(&model, &model.at_rest(), &goal, Who::Crew, &mut Budget::unlimited());
    drop(model);
    (boat, answer)
}

fn words(answer: &Answer) -> Vec<String> {
    match answer {
        Answer::Way(way) => way.trace.steps.iter().map(|step| step.words.clone()).collect(),
        Answer::None(none) => none.reasons.clone(),
        other => vec![format!("{other:?}")],
    }
}

#[test]
fn the_shortest_way_in_words() {
    let (_, answer) = ask(LAMP, "lit");
    assert_eq!(words(&answer), ["Set Fuse to in.", "Set Switch to on."]);
    let (_, answer) = ask(LAMP, "not lit");
    assert_eq!(answer, Answer::Already);
}

#[test]
fn a_way_waits_for_what_takes_time() {
    let bulb = "[states.bulb]\nname = \"Bulb\"\nvalues = [\"cold\", \"warm\", \"hot\"]\nrest = \"cold\"\n\
        turns = [{ to = \"warm\", when = \"lit and bulb is cold\", after = \"2 min\" }, { to = \"hot\", when = \"lit and bulb is warm\", after = \"5 min\" }]\n";
    let (_, answer) = ask(&format!("{LAMP}{bulb}"), "bulb is warm");
    assert_eq!(words(&answer), ["Set Fuse to in.", "Set Switch to on.", "Wait 2 min."]);
    let (_, answer) = ask(&format!("{LAMP}{bulb}"), "bulb is hot");
    let Answer::Way(way) = &answer else { panic!("{answer:?}") };
    assert_eq!(way.trace.end, operate::End::Reached);
}

#[test]
fn no_way_is_explained() {
    let given = format!(
        "{LAMP}[states.tide]\nname = \"Tide\"\nvalues = [\"low\", \"high\"]\nrest = \"low\"\ngiven = true\n"
    );
    let (boat, answer) = ask(&given, "lit and tide is high");
    let Answer::None(none) = &answer else { panic!("{answer:?}") };
    assert_eq!(none.world, [boat.var("tide").unwrap()]);
    assert_eq!(none.reasons, ["It needs “Tide: high”, which only the world around decides."]);
    let broken = LAMP.replace("needs = \"fuse is in\"", "needs = \"never\"");
    let (_, answer) = ask(&broken, "lit");
    assert_eq!(
        words(&answer)[..2],
        [
            "It would have to be so, and can't be: The lamp burns.".to_owned(),
            "Switch can't be brought to “on”.".to_owned()
        ]
    );
    let harmful = LAMP.replace("moves = [", "harms = [{ to = \"on\", when = \"fuse is in\", severity = \"injury\", what = \"It bites.\" }]\nmoves = [");
    let (_, answer) = ask(&harmful, "lit");
    assert!(matches!(answer, Answer::None(_)), "{answer:?}");
}

#[test]
fn harm_in_the_way_is_named() {
    let never = format!(
        "{LAMP}[never.lamp]\nname = \"The lamp burns.\"\nwhen = \"lit\"\nseverity = \"damage\"\nwhat = \"It burns through.\"\n"
    );
    let (_, answer) = ask(&never, "lit");
    let told = words(&answer);
    assert_eq!(told[0], "Every way there does harm or passes a state that must never be.");
    assert!(told[1].contains("Set Switch to on.") && told[1].contains("It burns through."), "{told:?}");
}

#[test]
fn only_the_skipper_may() {
    let sections = "[states.seal]\nname = \"Seal\"\nvalues = [\"whole\", \"broken\"]\nrest = \"whole\"\n\
        [actions.break_seal]\nname = \"Break the seal\"\nmakes = [\"seal is broken\"]\nwho = \"skipper\"\n";
    let (_, answer) = ask(sections, "seal is broken");
    assert_eq!(words(&answer), ["Only the skipper may bring about “Seal: broken”: Break the seal."]);
}

#[test]
fn traps_are_found_with_the_way_in() {
    let sections = format!(
        "{LAMP}[controls.hatch]\nname = \"Hatch\"\npositions = [\"shut\", \"open\"]\nrest = \"shut\"\n\
         moves = [{{ to = \"shut\", needs = \"switch is off\" }}]\n"
    );
    // Not a trap: the switch can be turned off first.
    let free = boat(&sections);
    let model = Model::new(&free);
    let found = traps(&model, &model.at_rest(), None, Who::Crew, 100_000).unwrap();
    assert!(found.entries.is_empty() && found.trapped < 1.0, "{found:?}");
    // Two positions each of fuse, switch and hatch, all of which can be come to.
    assert!((found.covered - 8.0).abs() < 0.5, "{found:?}");
    let stuck = boat(&sections.replace("needs = \"switch is off\"", "needs = \"never\""));
    let model = Model::new(&stuck);
    let found = traps(&model, &model.at_rest(), None, Who::Crew, 100_000).unwrap();
    let hatch = stuck.var("hatch").unwrap();
    assert!(!found.entries.is_empty());
    assert!(found.entries.iter().all(|trap| trap.stuck == [hatch] && trap.stand.get(hatch).0 == 1));
    assert!(found.entries.iter().any(|trap| trap.path.as_ref().is_some_and(|path| path.len() == 1)));
}

/// The exported text says what the part says: read back, it has plans of the same cost.
#[test]
fn the_pddl_of_a_part_reads_back_as_the_same_problem() {
    let bulb = "[states.bulb]\nname = \"Bulb\"\nvalues = [\"cold\", \"warm\"]\nrest = \"cold\"\n\
        turns = [{ to = \"warm\", when = \"lit\", after = \"2 min\" }, { to = \"cold\", when = \"not lit\" }]\n\
        [never.dark]\nname = \"Fuse in, switch off, bulb warm.\"\nwhen = \"bulb is warm and switch is off\"\nseverity = \"damage\"\nwhat = \"Dark.\"\n";
    let boat = boat(&format!("{LAMP}{bulb}"));
    let model = Model::new(&boat);
    for (goal, wanted) in
        [("bulb is warm", Some(3)), ("lit", Some(2)), ("bulb is warm and switch is off", None)]
    {
        let goal = boat.read_fact(goal).expect("a fact of the test's boat");
        let part = operate::Part::near(&model, &model.at_rest(), &goal, Who::Crew, 9, boat.vars.ids());
        assert_eq!(part.variables(), 3);
        let read = search::pddl::read(&part.domain(), &part.problem()).expect("what is written is PDDL");
        for task in [part.task(), read] {
            let planner = search::Planner::new(&task).expect("a sound task");
            let aim = planner.goal(&task.goal).expect("a goal of the task");
            let found =
                planner.plan(&planner.initial(), &aim, &mut Budget::unlimited()).expect("nothing endless");
            let cost = match found.outcome {
                search::Outcome::Plan(plan) => Some(plan.cost),
                _ => None,
            };
            assert_eq!(cost, wanted);
        }
    }
}

#[test]
fn a_way_tells_to_look_at_what_only_a_limit_or_a_never_state_speaks_of() {
    let sections = r#"
[states.room]
name = "Room astern"
values = ["ample", "close"]
rest = "ample"
given = true
reads = { ample = "3 m", close = "0.5 m" }
[states.waters]
name = "Waters"
values = ["open", "forbidden"]
rest = "open"
given = true
[states.tide]
name = "Tide"
values = ["high", "low"]
rest = "high"
given = true
[controls.platform]
name = "Platform"
item = "motor"
positions = ["up", "down"]
rest = "up"
limits = [{ kind = "clear", of = "room", is = "1.5 m", breach = { severity = "damage", what = "It strikes the dock." } }]
[controls.valve]
name = "Valve"
item = "motor"
positions = ["shut", "open"]
rest = "shut"
[never.fouled]
name = "The tank runs out where that is forbidden."
when = "valve is open and waters is forbidden"
severity = "damage"
what = "It fouls the water."
"#;
    for (goal, looks) in [("platform is down", "room"), ("valve is open", "waters")] {
        let (boat, answer) = ask(sections, goal);
        let Answer::Way(way) = &answer else { panic!("{answer:?}") };
        assert_eq!(way.relies_on, [(boat.var(looks).unwrap(), boat::model::Value(0))], "{goal}");
    }
}
