//! Every finding on the smallest boat that has it, and the same boat mended, which does not.

use operate::{Model, prove};

use crate::{LAMP, boat};

fn codes(sections: &str) -> Vec<(&'static str, String)> {
    let boat = boat(sections);
    let proof = prove(&Model::new(&boat));
    proof.findings.iter().map(|found| (found.code, found.headline.clone())).collect()
}

/// `code` is found, saying `words`, and not once `from` is replaced by `to`.
#[track_caller]
fn check(sections: &str, code: &str, words: &str, (from, to): (&str, &str)) {
    let found = codes(sections);
    let said = found.iter().any(|(own, headline)| *own == code && headline.contains(words));
    assert!(said, "{code} saying {words:?} is not among {found:#?}");
    assert!(sections.contains(from), "the test's boat has {from:?} to mend");
    let mended = codes(&sections.replacen(from, to, 1));
    assert!(mended.iter().all(|(own, _)| *own != code), "still {code} once mended: {mended:#?}");
}

fn list(steps: &str, rest: &str) -> String {
    format!(
        "{LAMP}\n[procedures.light]\nname = \"Light the lamp\"\ngoal = \"lit\"\nleaves = [\"fuse is in\", \"switch is on\"]\n\
         {rest}\nsteps = [{steps}]\n"
    )
}

const GOOD: &str = r#"{ set = "fuse", to = "in" }, { set = "switch", to = "on" }"#;

#[test]
fn a_sound_list_has_no_finding_and_tells_what_was_checked() {
    let boat = boat(&list(GOOD, ""));
    let proof = prove(&Model::new(&boat));
    assert!(proof.holds() && proof.findings.is_empty(), "{:#?}", proof.findings);
    let one = &proof.procedures[0];
    assert!(one.proven && one.whole);
    assert_eq!((one.steps, one.worlds, one.needs_checked), (2, 1, 1));
}

#[test]
fn needs_unmet() {
    let steps =
        r#"{ set = "switch", to = "on" }, { set = "fuse", to = "in" }, { set = "switch", to = "on" }"#;
    let mend = (r#"{ set = "switch", to = "on" }, { set = "fuse""#, r#"{ set = "fuse""#);
    check(
        &list(steps, ""),
        "step-needs-unmet",
        "Step 1 of “Light the lamp” does nothing: it needs `fuse is in`",
        mend,
    );
}

#[test]
fn needs_unmet_only_in_some_worlds_asks_for_a_look() {
    let sections = format!(
        "{LAMP}\n[states.tide]\nname = \"Tide\"\nvalues = [\"high\", \"low\"]\nrest = \"high\"\ngiven = true\n\
         [actions.step_ashore]\nname = \"Step ashore\"\nneeds = \"tide is high\"\nmakes = [\"ashore is yes\"]\n\
         [states.ashore]\nname = \"Ashore\"\nvalues = [\"no\", \"yes\"]\nrest = \"no\"\n\
         [procedures.land]\nname = \"Land\"\ngoal = \"ashore is yes\"\nleaves = [\"ashore is yes\"]\nsteps = [{{ do = \"step_ashore\" }}]\n"
    );
    let look = r#"steps = [{ look = "High water.", confirm = "tide is high" }, { do"#;
    check(&sections, "step-needs-unmet", "does nothing if `tide is low`", ("steps = [{ do", look));
}

#[test]
fn harm_done() {
    let sections = list(GOOD, "").replace(
        r#"moves = [{ to = "on","#,
        r#"harms = [{ to = "on", when = "fuse is in", severity = "damage", what = "The bulb bursts." }]
moves = [{ to = "on","#,
    );
    check(
        &sections,
        "harm-done",
        "Step 2 of “Light the lamp” does harm: The bulb bursts.",
        ("when = \"fuse is in\"", "when = \"fuse is out\""),
    );
    let warned = format!(
        "{sections}[cautions.hot]\nword = \"caution\"\nhazard = \"hot\"\ntext = \"Hot.\"\n[topics.hot]\nname = \"Hot\"\nwords = \"Hot.\"\ncautions = [\"hot\"]\n"
    );
    let mend = ("what = \"The bulb bursts.\"", "what = \"The bulb bursts.\", caution = \"hot\"");
    check(&warned, "harm-without-caution", "The bulb bursts", mend);
}

fn motor(limits: &str, steps: &str) -> String {
    format!(
        "[actions.run]\nname = \"Run the motor\"\nitem = \"motor\"\nlimits = [{limits}]\n\
         [procedures.use]\nname = \"Use the motor\"\ngoal = \"always\"\nsteps = [{steps}]\n"
    )
}

#[test]
fn limits_broken() {
    let longest = motor(r#"{ kind = "longest", is = "3 s" }"#, r#"{ do = "run", for = "4 s" }"#);
    check(&longest, "limit-broken", "passes the longest run of Run the motor, 3 s", ("4 s", "3 s"));
    let hold = motor(r#"{ kind = "hold", is = "5 s" }"#, r#"{ do = "run", for = "4 s" }"#);
    check(&hold, "limit-broken", "passes the shortest hold", ("4 s", "5 s"));
    let rest = motor(
        r#"{ kind = "rest", is = "5 s" }"#,
        r#"{ do = "run", for = "1 s", rest = "4 s" }, { do = "run", for = "1 s" }"#,
    );
    check(
        &rest,
        "limit-broken",
        "Step 2 of “Use the motor” passes the rest between two runs",
        ("4 s", "5 s"),
    );
}

#[test]
fn limits_of_an_item_count_over_all_its_actions() {
    let sections = "[actions.left]\nname = \"Left\"\nitem = \"motor\"\n[actions.right]\nname = \"Right\"\nitem = \"motor\"\n\
        [procedures.use]\nname = \"Use\"\ngoal = \"always\"\nsteps = [{ do = \"left\", for = \"1 s\" }, { wait = \"2 s\" }, { do = \"right\", for = \"1 s\" }]\n";
    // The item stands in the head of the file; its limit is added there.
    let text = format!("{}limits = [{{ kind = \"rest\", is = \"3 s\" }}]\n{sections}", crate::HEAD);
    let found = |text: &str| {
        let compiled = boat::compile("test.toml", text);
        let boat = compiled.boat.expect("it compiles");
        prove(&Model::new(&boat)).findings.iter().any(|found| found.code == "limit-broken")
    };
    assert!(found(&text));
    assert!(!found(&text.replace("wait = \"2 s\"", "wait = \"3 s\"")));
}

#[test]
fn readings_are_limits_too() {
    let sections = format!(
        "{}\n[controls.throttle]\nname = \"Throttle\"\npositions = [\"idle\", \"half\"]\nrest = \"idle\"\nreads = {{ idle = \"800 rpm\", half = \"1600 rpm\" }}\n",
        motor(
            r#"{ kind = "least", of = "throttle", is = "1500 rpm" }"#,
            r#"{ do = "run" }, { set = "throttle", to = "idle" }"#
        )
    );
    let mend = (r"steps = [{ do", r#"steps = [{ set = "throttle", to = "half" }, { do"#);
    check(&sections, "limit-broken", "passes the least reading of Run the motor, 1500 rpm", mend);
}

#[test]
fn control_left_on_too_long() {
    let sections = list(
        r#"{ set = "fuse", to = "in" }, { set = "switch", to = "on" }, { wait = "11 min" }, { set = "switch", to = "off" }, { set = "fuse", to = "out" }"#,
        "",
    )
    .replace("goal = \"lit\"\nleaves = [\"fuse is in\", \"switch is on\"]", "goal = \"always\"")
    .replace("rest = \"off\"\n", "rest = \"off\"\nlimits = [{ kind = \"longest\", is = \"10 min\" }]\n");
    check(
        &sections,
        "limit-broken",
        "Step 3 of “Light the lamp” passes the longest run of Switch",
        ("11 min", "10 min"),
    );
}

#[test]
fn never_passed() {
    let never = "[never.bare]\nname = \"The fuse is in and the switch off.\"\nwhen = \"fuse is in and switch is off\"\nseverity = \"damage\"\nwhat = \"It creeps.\"\n";
    let sections = format!("{}{never}", list(GOOD, ""));
    check(
        &sections,
        "never-passed",
        "Step 1 of “Light the lamp” leads into a state",
        ("fuse is in and switch is off\"\nsev", "fuse is out and switch is on\"\nsev"),
    );
}

#[test]
fn ends() {
    let sections = list(
        r#"{ set = "fuse", to = "in" }, { set = "switch", to = "on" }, { set = "switch", to = "off" }"#,
        "",
    );
    let mend = (r#", { set = "switch", to = "off" }"#, "");
    check(&sections, "goal-not-reached", "does not reach its goal, `lit`", mend);
    check(&sections, "promise-not-kept", "promises `switch is on`, but at the end `switch is off`", mend);
    let forgotten = list(GOOD, "").replace("leaves = [\"fuse is in\", ", "leaves = [");
    check(&forgotten, "left-unpromised", "leaves `fuse is in`", ("leaves = [", "leaves = [\"fuse is in\", "));
}

#[test]
fn looks_and_waits_in_vain() {
    let look = list(&format!(r#"{{ look = "It burns.", confirm = "lit" }}, {GOOD}"#), "");
    check(
        &look,
        "look-never-confirmed",
        "Step 1 of “Light the lamp” can never see",
        ("confirm = \"lit\"", "confirm = \"not lit\""),
    );
    check(
        &look,
        "step-unreachable",
        "Step 2 of “Light the lamp” is never come to",
        ("confirm = \"lit\"", "confirm = \"not lit\""),
    );
    let warm = "[states.bulb]\nname = \"Bulb\"\nvalues = [\"cold\", \"warm\"]\nrest = \"cold\"\nturns = [{ to = \"warm\", when = \"lit\", after = \"2 min\" }, { to = \"cold\", when = \"not lit\", after = \"2 min\" }]\n";
    let wait = list(&format!(r#"{GOOD}, {{ wait = "1 min", until = "bulb is warm" }}"#), "")
        .replace("leaves = [", "leaves = [\"bulb is warm\", ");
    check(
        &format!("{wait}{warm}"),
        "wait-in-vain",
        "has not come by then: `bulb is warm`",
        ("wait = \"1 min\"", "wait = \"2 min\""),
    );
}

#[test]
fn starts() {
    let dark = "[procedures.dark]\nname = \"Put it out\"\nafter = [\"light\"]\nstart = [\"switch is off\"]\ngoal = \"not lit\"\nsteps = [{ set = \"switch\", to = \"off\" }, { set = \"fuse\", to = \"out\" }]\n";
    let sections = format!("{}{dark}", list(GOOD, ""));
    check(
        &sections,
        "start-contradicts",
        "starts with `switch is off`, but “Light the lamp” before it leaves `switch is on`",
        ("start = [\"switch is off\"]\n", ""),
    );
    check(
        &list(GOOD, "given = \"lit\""),
        "start-never",
        "can never start: `lit` does not hold",
        ("given = \"lit\"", "given = \"not lit\""),
    );
    let never = "[never.lamp]\nname = \"Fuse out.\"\nwhen = \"fuse is out\"\nseverity = \"damage\"\nwhat = \"Dark.\"\n";
    check(
        &format!("{}{never}", list(GOOD, "")),
        "start-never",
        "starts in a state that must never be",
        ("when = \"fuse is out\"", "when = \"never\""),
    );
    let stuck = list(r#"{ set = "switch", to = "on" }"#, "");
    check(
        &format!("{stuck}{}", dark.replace("start = [\"switch is off\"]\n", "")),
        "start-stuck",
        "step 1 of that does not work here",
        (r#"{ set = "switch", to = "on" }]"#, &format!("{GOOD}]")),
    );
    let unready = dark
        .replace("procedures.dark", "procedures.again")
        .replace("after = [\"light\"]", "after = [\"light\", \"other\"]")
        .replace("start = [\"switch is off\"]\n", "");
    let other = "[procedures.other]\nname = \"Other\"\nstart = [\"fuse is out\"]\ngoal = \"always\"\nsteps = [{ set = \"fuse\", to = \"out\" }]\n";
    check(
        &format!("{}{unready}{other}", list(GOOD, "")),
        "start-unready",
        "follows “Other” first, which starts with `fuse is out`; here it is `fuse is in`",
        ("start = [\"fuse is out\"]\n", ""),
    );
}

#[test]
fn only_the_base_may() {
    let sections =
        motor("", r#"{ do = "run" }"#).replace("item = \"motor\"", "item = \"motor\"\nwho = \"base\"");
    check(
        &sections,
        "not-for-this-hand",
        "is for the base's people to do, but the list is for the crew",
        ("who = \"base\"", "who = \"crew\""),
    );
}

#[test]
fn limits_agree() {
    let sections = format!(
        "{}[cautions.short]\nword = \"caution\"\nhazard = \"gear\"\ntext = \"Short bursts.\"\nrestates = [{{ item = \"motor\", kind = \"rest\", is = \"6 s\" }}]\n\
         [topics.motor]\nname = \"The motor\"\nwords = \"Short bursts.\"\nitems = [\"motor\"]\ncautions = [\"short\"]\n",
        motor(r#"{ kind = "rest", is = "3 s" }"#, r#"{ do = "run" }"#)
    );
    check(
        &sections,
        "limits-contradict",
        "The rest between two runs of Motor is 6 s here and 3 s there",
        ("is = \"6 s\"", "is = \"3 s\""),
    );
    let nothing = sections.replace("kind = \"rest\", is = \"6 s\"", "kind = \"hold\", is = \"6 s\"");
    check(
        &nothing,
        "restates-nothing",
        "Motor has no shortest hold",
        ("kind = \"hold\", is = \"6 s\"", "kind = \"rest\", is = \"3 s\""),
    );
    let two = sections.replace("[actions.run]", "[actions.back]\nname = \"Run back\"\nitem = \"motor\"\nlimits = [{ kind = \"rest\", is = \"9 s\" }]\n[actions.run]");
    check(
        &two.replace("\"6 s\"", "\"3 s\""),
        "limits-contradict",
        "is 3 s here and 9 s there",
        ("\"9 s\"", "\"3 s\""),
    );
}

#[test]
fn limits_can_be_kept_together() {
    let sections = motor(
        r#"{ kind = "hold", is = "5 s" }, { kind = "longest", is = "3 s" }"#,
        r#"{ do = "run", for = "4 s" }"#,
    );
    check(
        &sections,
        "limits-impossible",
        "can't both be kept: shortest hold 5 s and longest run 3 s",
        ("\"5 s\"", "\"2 s\""),
    );
}

#[test]
fn words_agree_with_limits() {
    let sections =
        motor(r#"{ kind = "rest", is = "3 s" }"#, r#"{ do = "run", say = "Run it, then rest 6 s." }"#);
    check(
        &sections,
        "words-contradict-limit",
        "The words say 6 s, but the rest between two runs",
        ("rest 6 s", "rest 3 s"),
    );
    let topic = format!(
        "{}[topics.motor]\nname = \"The motor\"\nwords = \"Let it rest for six seconds.\"\nitems = [\"motor\"]\n",
        motor(r#"{ kind = "rest", is = "3 s" }"#, r#"{ do = "run" }"#)
    );
    check(&topic, "words-contradict-limit", "The words say 6 s", ("six seconds", "three seconds"));
}

#[test]
fn unused_things_are_noted() {
    let sections = list(GOOD, "");
    let spare = "[controls.spare]\nname = \"Spare switch\"\npositions = [\"off\", \"on\"]\nrest = \"off\"\n[actions.whistle]\nname = \"Whistle\"\n";
    let used =
        "[procedures.try]\nname = \"Try\"\ngoal = \"always\"\nsteps = [{ set = \"fuse\", to = \"out\" }]\n";
    let both = format!("{sections}{spare}{used}");
    check(
        &both,
        "control-unused",
        "No step list sets Spare switch",
        ("{ set = \"fuse\", to = \"out\" }", "{ set = \"spare\", to = \"off\" }"),
    );
    check(
        &both,
        "action-unused",
        "No step list uses “Whistle”",
        ("{ set = \"fuse\", to = \"out\" }", "{ do = \"whistle\" }"),
    );
}

#[test]
fn changes_that_go_round() {
    let turns = "[states.flag]\nname = \"Flag\"\nvalues = [\"up\", \"down\"]\nrest = \"up\"\nturns = [{ to = \"down\", when = \"lit and flag is up\" }, { to = \"up\", when = \"lit and flag is down\" }]\n";
    let sections = format!("{}{turns}", list(GOOD, "")).replace("leaves = [", "leaves = [\"flag is down\", ");
    check(
        &sections,
        "turns-endless",
        "the boat never comes to rest",
        ("{ to = \"up\", when = \"lit and", "{ to = \"up\", when = \"not lit and"),
    );
}
