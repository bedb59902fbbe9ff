//! "What is wrong?" as a reader gets it: the emergencies first, one question a screen, nothing lost, nothing guessed.

use pages::{
    CaseAsk, Known, Moored, Refused, Site, Vessel, WrongAsk, case_json, case_page, guide_page, wrong_page,
};

mod sound;

use sound::check_sound;

/// Ways of failing for the boat of the tests: a plain one, one that is dangerous, one that is an emergency.
const FAULTS: &str = r#"
[faults.switch_worn]
name = "The switch makes no <contact>"
item = "house_switch"
seen = "The knob turns without a click."
per_year = 0.5
check = "Turn it twice & listen."
mend = "Turn it firmly to its stop."
source = "base records"

[faults.stove_leak]
name = "Gas leaks at the hob"
item = "stove"
seen = "A smell of gas in the galley."
per_year = 0.2
stops = ["stove_burns"]
check = "Brush soap on the joint."
danger = "gas"
emergency = "fire_on_board"

[faults.thruster_squeaks]
name = "The thruster's bearing is dry"
item = "thruster"
seen = "It squeaks."
per_year = 0.1
check = "Listen at the tunnel."

[conditions.stove_burns]
name = "The stove burns."
when = "panel_live and burner is lit"
items = ["stove"]
symptom = "The stove stays cold."
look = "A flame stands on the burner."

[conditions.bottle_gives]
name = "The bottle gives gas."
when = "gas_bottle is open"
look = "The gauge on the bottle stands above zero."
"#;

fn site() -> Site {
    Site::new("Test base", true)
}

fn moored(text: &str) -> Vessel {
    match Moored::read("wader", "wader.toml", text) {
        Moored::Well(vessel) => *vessel,
        Moored::Wrecked(wreck) => {
            let said: Vec<String> = wreck.diagnostics.iter().map(|d| d.plain(&wreck.sources)).collect();
            panic!("{}", said.join("\n"))
        }
    }
}

fn wader() -> Vessel {
    let signed = "emergency = true\nsigns = [\"Smoke, or a smell of burning.\"]\ngoal";
    moored(&format!("{}{FAULTS}", include_str!("wader.toml").replace("emergency = true\ngoal", signed)))
}

fn pairs(given: &[(&str, &str)]) -> Vec<(String, String)> {
    given.iter().map(|(key, value)| ((*key).to_owned(), (*value).to_owned())).collect()
}

fn chosen(vessel: &Vessel, given: &[(&str, &str)]) -> String {
    wrong_page(&site(), vessel, Known::default(), &WrongAsk::read(&vessel.boat, &pairs(given)))
}

/// The case after these answers.
fn case<'v>(vessel: &'v Vessel, symptom: &str, who: &str, told: &[&str]) -> CaseAsk<'v> {
    let mut given = vec![("who", who)];
    given.extend(told.iter().map(|token| ("a", *token)));
    CaseAsk::read(vessel, symptom, &pairs(&given)).unwrap_or_else(|refused| panic!("{symptom}: {refused:?}"))
}

fn screen(vessel: &Vessel, symptom: &str, who: &str, told: &[&str]) -> String {
    let page = case_page(&site(), vessel, Known::default(), &case(vessel, symptom, who, told));
    check_sound(&format!("{symptom} {who} {told:?}"), &page);
    page
}

fn at(page: &str, words: &str) -> usize {
    page.find(words).unwrap_or_else(|| panic!("the page lacks: {words}"))
}

#[test]
fn emergencies_come_before_everything_and_lead_to_their_list_at_once() {
    let page = chosen(&wader(), &[]);
    check_sound("choice", &page);
    let (fire, water, search) = (
        at(&page, "href=\"/boat/wader/steps/fire_on_board\""),
        at(&page, "Water is coming in"),
        at(&page, "id=\"q\""),
    );
    assert!(fire < search && water < search);
    assert!(
        page.contains("This boat's file has no list for it."),
        "what has no list is told to call for help"
    );
    assert!(page.contains("channel 16") && page.contains("lifejackets"));
    assert!(page.contains("The stove stays cold.") && page.contains("Nothing works."));
    assert!(page.contains("Smoke, or a smell of burning."), "the signs of an emergency are told");
    for seldom in ["thruster_squeaks", "Gas, cooking"] {
        assert!(page.contains(seldom), "the choice lacks: {seldom}");
    }
}

#[test]
fn words_find_what_is_wrong_and_unknown_words_are_answered() {
    let vessel = wader();
    let page = chosen(&vessel, &[("q", "stov cold")]);
    check_sound("found", &page);
    assert!(page.contains("/boat/wader/wrong/stove_burns"));
    assert!(page.contains("href=\"/boat/wader/wrong#emergency\""), "the emergencies stay one tap away");
    let page = chosen(&vessel, &[("q", "<xylophone>")]);
    check_sound("not found", &page);
    assert!(page.contains("&lt;xylophone&gt;") && page.contains("Say what you see, hear or smell"));
    assert!(page.contains("/boat/wader/wrong/stove_burns"), "everything can still be chosen");
}

#[test]
fn what_is_wrong_with_an_item_or_after_a_list_is_one_tap_away() {
    let vessel = wader();
    let page = chosen(&vessel, &[("item", "stove")]);
    check_sound("item", &page);
    assert!(page.contains("/boat/wader/wrong/stove_burns") && !page.contains("/boat/wader/wrong/panel_live"));
    assert!(
        pages::items_page(&site(), &vessel, Known::default(), "")
            .contains("/boat/wader/wrong?item=stove#there")
    );
    let list = vessel.boat.procedure("switch_on").expect("it is in the file");
    let page = pages::procedure_page(&site(), &vessel, Known::default(), list);
    assert!(page.contains("It did not work") && page.contains("/boat/wader/wrong/panel_live"));
    assert_eq!(chosen(&vessel, &[("item", "nothing")]), chosen(&vessel, &[]), "an unknown item is none");
}

#[test]
fn a_question_stands_with_its_replies_its_place_and_what_is_suspected() {
    let vessel = wader();
    let page = screen(&vessel, "panel_live", "", &[]);
    let (alarm, question, reply, suspected) = (
        at(&page, "I smell gas, see smoke or fire, or water comes in"),
        at(&page, "<h2 id=\"question\">"),
        at(&page, "/boat/wader/wrong/panel_live?a="),
        at(&page, "What is suspected"),
    );
    assert!(alarm < question && question < reply && reply < suspected);
    assert_eq!(page.matches("class=\"reply").count(), 3);
    assert!(page.contains("Red knob behind the lowest step"), "how to find it");
    assert!(page.contains("Behind the companionway steps is marked"), "the plan is told in words");
    assert!(page.contains("\u{a0}%") && page.contains("First question"));
    assert!(page.contains("The switch makes no &lt;contact&gt;") && !page.contains("<contact>"));
    assert!(!page.contains("For the base</h2>"), "a crew is not shown the tables");
}

#[test]
fn every_reply_has_its_undo_and_the_address_is_the_whole_state() {
    let vessel = wader();
    let told = ["set.house_switch.yes", "fault.switch_worn.no"];
    let page = screen(&vessel, "panel_live", "skipper", &told);
    assert!(page.contains("<strong>2 checked</strong>"));
    let first = "href=\"/boat/wader/wrong/panel_live?who=skipper&amp;a=set.house_switch.yes\"";
    assert!(page.matches(first).count() >= 2, "the last answer is undone from the top and from its line");
    assert!(
        page.contains("href=\"/boat/wader/wrong/panel_live?who=skipper\""),
        "all are undone from the first line"
    );
    assert!(
        page.contains("who=base&amp;a=set.house_switch.yes&amp;a=fault.switch_worn.no"),
        "the link for the base"
    );
    assert_eq!(page, screen(&vessel, "panel_live", "skipper", &told), "the same address has the same page");
}

#[test]
fn it_ends_with_what_it_was_or_with_what_to_read_out() {
    let vessel = wader();
    let solved = screen(&vessel, "panel_live", "", &["set.house_switch.no", "works.yes"]);
    assert!(solved.contains("It works again.") && solved.contains("did not stand at ON"));
    assert!(!solved.contains("What is suspected"));
    // Nothing is left that a crew can check.
    let told = ["set.house_switch.cannot", "fault.switch_worn.cannot"];
    let page = screen(&vessel, "panel_live", "", &told);
    for words in [
        "Call the base",
        "Read this out to the base",
        "on the papers that you were given",
        "I can't check that",
    ] {
        assert!(page.contains(words), "the page lacks: {words}");
    }
    assert!(!page.contains("tel:"), "no number is invented");
}

#[test]
fn an_emergency_that_is_found_leads_to_its_list_and_the_base_sees_the_case() {
    let vessel = wader();
    let page = screen(&vessel, "stove_burns", "", &[]);
    assert!(page.contains("It may turn into an emergency") && page.contains("Gas leaks at the hob"));
    let found = case(&vessel, "stove_burns", "skipper", &["fault.stove_leak.yes"]);
    assert_eq!(found.at_once(&vessel).as_deref(), Some("/boat/wader/steps/fire_on_board"));
    let found = case(&vessel, "stove_burns", "base", &["fault.stove_leak.yes"]);
    assert_eq!(found.at_once(&vessel), None);
    assert!(
        screen(&vessel, "stove_burns", "base", &["fault.stove_leak.yes"])
            .contains("Stop. This is an emergency.")
    );
    let Err(refused) = CaseAsk::read(&vessel, "fire_on_board.1", &[]) else { panic!("it is an emergency") };
    assert_eq!(refused, Refused::Emergency("/boat/wader/steps/fire_on_board".to_owned()));
}

#[test]
fn cautions_stand_at_the_question_where_the_danger_is() {
    let vessel = wader();
    let asked = [("who", "base"), ("ask", "set.gas_bottle")];
    let ask = CaseAsk::read(&vessel, "bottle_gives", &pairs(&asked)).expect("it can be asked");
    let page = case_page(&site(), &vessel, Known::default(), &ask);
    let text = &page[at(&page, "class=\"question\"")..at(&page, "class=\"replies\"")];
    let caution = &vessel.boat.cautions[vessel.boat.caution("gas").expect("it is in the file")].text;
    assert!(text.contains(&caution.replace('&', "&amp;")), "the question lacks: {caution}");
    let asked = [("who", "base"), ("ask", "fault.stove_leak")];
    let ask = CaseAsk::read(&vessel, "stove_burns", &pairs(&asked)).expect("it can be asked");
    assert!(
        case_page(&site(), &vessel, Known::default(), &ask)
            .contains("Only the base's own people check or mend this.")
    );
}

#[test]
fn the_base_sees_all_that_the_answer_rests_on() {
    let vessel = wader();
    let page = screen(&vessel, "panel_live", "base", &["set.house_switch.yes"]);
    for words in [
        "For the base</h2>",
        "0.5 a charter year",
        "base records",
        "What may be the matter together",
        "More at once are not considered",
        "A bit is what",
        "How she should stand",
        "Switch the boat on",
        "panel_live.json?who=base",
    ] {
        assert!(page.contains(words), "the page lacks: {words}");
    }
}

#[test]
fn the_paper_guide_has_a_box_for_every_way_that_it_names() {
    let vessel = wader();
    for symptom in ["panel_live", "stove_burns", "bottle_gives", "sign.thruster_squeaks"] {
        let ask = case(&vessel, symptom, "", &[]);
        let page = guide_page(&site(), &vessel, &ask);
        check_sound(symptom, &page);
        assert!(at(&page, "VHF channel 16") < at(&page, "class=\"boxes\""), "the emergencies come first");
        // The check of a page finds links that lead nowhere; here each box but the first is also led to.
        for (from, _) in page.match_indices("id=\"box-") {
            let name = &page[from + 8..from + 8 + page[from + 8..].find('"').expect("it is closed")];
            let led = page.contains(&format!("href=\"#box-{name}\""));
            assert!(
                led || name == "1" || page.matches("id=\"box-").count() == 1,
                "{symptom}: nothing leads to {name}"
            );
        }
    }
}

#[test]
fn what_does_not_belong_to_a_case_is_refused_with_what_to_do() {
    let vessel = wader();
    let read = |symptom: &str, given: &[(&str, &str)]| match CaseAsk::read(&vessel, symptom, &pairs(given)) {
        Ok(_) => panic!("{symptom} {given:?} is taken"),
        Err(Refused::Unknown(what)) => format!("unknown: {what}"),
        Err(Refused::Unclear(what)) => format!("unclear: {what}"),
        Err(Refused::Emergency(list)) => format!("emergency: {list}"),
    };
    assert!(read("fly", &[]).starts_with("unknown: Wader knows nothing called"));
    for (key, value, words) in [
        ("a", "set.house_switch", "does not belong"),
        ("a", "set.wings.yes", "does not belong"),
        ("a", "fault.thruster_squeaks.no", "does not belong"),
        ("a", "set.house_switch.perhaps", "does not belong"),
        ("who", "cat", "crew, skipper or base"),
        ("ask", "fault.thruster_squeaks", "can't be asked here"),
    ] {
        let said = read("panel_live", &[(key, value)]);
        assert!(said.starts_with("unclear") && said.contains(words), "{key}={value} says: {said}");
    }
    let twice = [("a", "set.house_switch.yes"), ("a", "set.house_switch.no")];
    assert!(read("panel_live", &twice).contains("was answered before"));
    let many: Vec<(&str, &str)> = vec![("a", "works.no"); 101];
    assert!(read("panel_live", &many).contains("at most 100"));
}

#[test]
fn the_data_of_a_case_say_what_the_page_says() {
    let vessel = wader();
    let ask = case(&vessel, "panel_live", "base", &["set.house_switch.yes"]);
    let data = case_json(&vessel.boat, &ask.symptom, &ask.case, &ask.next());
    assert_eq!(data["symptom"]["id"], "panel_live");
    assert_eq!(data["who"], "base");
    assert_eq!(data["told"][0]["token"], "set.house_switch.yes");
    let next = &data["next"];
    assert_eq!(next["kind"], "ask");
    let page = screen(&vessel, "panel_live", "base", &["set.house_switch.yes"]);
    for reply in next["replies"].as_array().expect("three replies") {
        assert!(page.contains(&format!("a={}\"", reply["token"].as_str().expect("a word"))));
    }
    // One thing is the matter at least, so that the chances of all causes sum to one or more.
    let suspects = data["suspects"].as_array().expect("a list");
    let sum: f64 = suspects.iter().filter_map(|suspect| suspect["chance"].as_f64()).sum();
    assert!(sum >= 1.0 - 1e-9, "the chances sum to {sum}");
    let numbers: f64 =
        data["how_many"].as_array().expect("a list").iter().filter_map(serde_json::Value::as_f64).sum();
    assert!((numbers - 1.0).abs() < 1e-9);
    assert!(data["left_out"].as_f64().is_some_and(|share| (0.0..1.0).contains(&share)));
}

#[test]
fn every_case_of_the_demonstration_boats_can_be_worked_to_its_end() {
    let folder = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("../../demo");
    for name in ["dunlin", "turnstone", "whimbrel"] {
        #[expect(clippy::disallowed_methods, reason = "a test at the rim reads the demonstration boats")]
        let text = std::fs::read_to_string(folder.join(format!("{name}.toml"))).expect("the boat is there");
        let vessel = moored(&text);
        check_sound(name, &chosen(&vessel, &[]));
        for symptom in trace::symptoms(&vessel.boat) {
            if matches!(symptom.about, trace::About::Emergency(_)) {
                let refused = CaseAsk::read(&vessel, &symptom.id, &[]);
                assert!(matches!(refused, Err(Refused::Emergency(_))), "{name}: {}", symptom.id);
                continue;
            }
            worked_to_its_end(&vessel, &symptom.id);
        }
    }
}

/// Answers that nothing is found, until the case ends.
fn worked_to_its_end(vessel: &Vessel, symptom: &str) {
    let mut told: Vec<String> = Vec::new();
    loop {
        let tokens: Vec<&str> = told.iter().map(String::as_str).collect();
        let ask = case(vessel, symptom, "crew", &tokens);
        let trace::Next::Ask(step) = ask.next() else {
            screen(vessel, symptom, "crew", &tokens);
            screen(vessel, symptom, "base", &tokens);
            return;
        };
        let reply = match step.ask {
            trace::Ask::Fact(_) | trace::Ask::Position(_) => trace::Reply::Yes,
            _ => trace::Reply::No,
        };
        told.push(trace::Told { ask: step.ask, reply }.token(&vessel.boat));
        assert!(told.len() < 100, "{}: {symptom} has no end", vessel.slug);
    }
}
