//! `symptoms`, `wrong` and `guide`: from what a crew says to its cause.

use serde_json::Value;

use crate::{SORA, assert_laid_out, becket, file, json, out, refused, typed};

/// The ids of the symptoms that are listed.
fn ids(value: &Value) -> Vec<String> {
    let rows = value["symptoms"].as_array().unwrap();
    rows.iter().map(|row| row["id"].as_str().unwrap().to_owned()).collect()
}

#[test]
fn all_symptoms_are_listed_emergencies_first() {
    let (all, code) = json(&["symptoms", "dunlin"]);
    assert_eq!(code, Some(0));
    let about: Vec<&str> =
        all["symptoms"].as_array().unwrap().iter().map(|row| row["about"].as_str().unwrap()).collect();
    let urgent = about.iter().take_while(|about| **about == "emergency").count();
    assert!(urgent > 5 && about[urgent..].iter().all(|about| *about != "emergency"), "{about:?}");
    let text = out(&becket(&["symptoms", "dunlin"]));
    assert_laid_out(&text);
    for id in ids(&all) {
        assert!(text.lines().any(|line| line == id), "{id}: {text}");
    }
}

#[test]
fn words_are_found_though_the_fingers_slip() {
    let first = |words: &[&str]| {
        let (found, code) = json(&[&["symptoms", "whimbrel"], words].concat());
        assert_eq!(code, Some(0));
        ids(&found)[0].clone()
    };
    assert_eq!(first(&["no", "hot", "water"]), "hot_water");
    assert_eq!(first(&["no hot watr"]), "hot_water");
    assert_eq!(first(&["hot waetr"]), "hot_water");
    assert_eq!(first(&["engin", "dose", "not", "strat"]), first(&["engine does not start"]));
    assert!(first(&["i", "smel", "gas"]).starts_with("gas_alarm."));
    let said = refused(&["symptoms", "whimbrel", "xyzzyq"]);
    assert!(said.contains("xyzzyq") && said.contains("becket symptoms whimbrel"), "{said}");
    let sora = file("no-symptoms", SORA);
    let path = sora.to_str().unwrap();
    assert!(refused(&["symptoms", path]).contains("does not say what can be wrong"));
}

#[test]
fn without_a_terminal_the_case_stands_there_with_its_next_question_and_tokens() {
    let output = becket(&["wrong", "whimbrel", "hot_water"]);
    let text = out(&output);
    assert_eq!(output.status.code(), Some(0), "{text}");
    assert_laid_out(&text);
    for words in ["Only cold water", "If you smell gas", "What is suspected", "Next: ", "Where: ", "--told "]
    {
        assert!(text.contains(words), "{words}: {text}");
    }
    let (case, _) = json(&["wrong", "whimbrel", "hot_water"]);
    let yes = case["next"]["replies"][0]["token"].as_str().unwrap();
    assert!(text.contains(&format!("--told {yes}")), "{text}");
    let (after, code) = json(&["wrong", "whimbrel", "hot_water", "--told", yes]);
    assert_eq!(code, Some(0));
    assert_eq!(after["told"][0]["token"], *yes);
    assert_ne!(after["next"]["ask"], case["next"]["ask"]);
    let text = out(&becket(&["wrong", "whimbrel", "hot_water", "--told", yes]));
    assert!(text.contains("Answered so far\n  1. "), "{text}");
}

#[test]
fn who_stands_there_and_what_a_call_costs_decide_what_is_asked() {
    let asked = |args: &[&str]| {
        let (case, _) = json(&[&["wrong", "whimbrel", "hot_water"], args].concat());
        (case["choices"].as_array().unwrap().len(), case["next"]["kind"].as_str().unwrap().to_owned())
    };
    assert!(asked(&["--who", "base"]).0 > asked(&["--who", "crew"]).0);
    assert_eq!(asked(&["--call", "90 min"]).1, "ask");
    assert_eq!(asked(&["--call", "1 min"]).1, "call");
    let text = out(&becket(&["wrong", "whimbrel", "hot_water", "--call", "1 min"]));
    assert!(text.contains("Call the base.") && text.contains("Read this out to the base"), "{text}");
    let (one, _) = json(&["wrong", "whimbrel", "hot_water", "--most", "1"]);
    let (two, _) = json(&["wrong", "whimbrel", "hot_water", "--most", "2"]);
    assert_eq!(one["how_many"].as_array().unwrap().len(), 2);
    assert!(one["left_out"].as_f64().unwrap() > two["left_out"].as_f64().unwrap());
}

#[test]
fn a_dialogue_asks_one_thing_at_a_time_and_takes_answers_back() {
    let ask = ["wrong", "dunlin", "water_heater_heats", "--ask"];
    let (text, code) = typed(&ask, "what\nn\nu\ny\nq\n");
    assert_eq!(code, Some(0), "{text}");
    assert_laid_out(&text.replace("> \n", ">\n"));
    assert!(text.contains("Type y, n or c; u to undo; q to stop"), "{text}");
    assert_eq!(text.matches("The last answer is undone.").count(), 1);
    assert_eq!(text.matches("\n  1. ").count(), 2, "the first question is asked again: {text}");
    assert!(text.contains("Type e for the emergency lists"), "{text}");
    // What comes back is the case with the last answer only.
    let (case, _) = json(&["wrong", "dunlin", "water_heater_heats"]);
    let [yes, no] = [0, 1].map(|at| case["next"]["replies"][at]["token"].as_str().unwrap().to_owned());
    let last = text.lines().last().unwrap();
    assert!(last.contains(&format!("--told {yes}")) && !last.contains(&no), "{last}");
    let (_, again) = text.split_once("The last answer is undone.").unwrap();
    let (first, _) = again.split_once("\n  1. ").unwrap();
    let suspects = |text: &str| text[text.find("What is suspected").unwrap()..].trim().to_owned();
    assert!(text.starts_with("Dunlin: ") && text.contains(&suspects(first)), "as it was before: {text}");
}

#[test]
fn a_dialogue_ends_with_what_is_read_out() {
    // Nothing can be checked: in the end the base is called, and the summary says so.
    let (text, code) = typed(&["wrong", "dunlin", "water_heater_heats", "--ask"], &"c\n".repeat(200));
    assert_eq!(code, Some(0));
    assert!(text.contains("Call the base.") && text.contains("Read this out to the base"), "{text}");
    assert!(text.contains("I can't check that."), "{text}");
    // The end of the input is the end of the dialogue.
    let (text, code) = typed(&["wrong", "dunlin", "water_heater_heats", "--ask"], "");
    assert_eq!(code, Some(0));
    assert!(text.contains("The case so far, to read out"), "{text}");
    // Answers that were given are taken in first, and can be undone.
    let (case, _) = json(&["wrong", "dunlin", "water_heater_heats"]);
    let yes = case["next"]["replies"][0]["token"].as_str().unwrap();
    let (text, _) = typed(&["wrong", "dunlin", "water_heater_heats", "--ask", "--told", yes], "u\nu\nq\n");
    assert!(
        text.contains("The last answer is undone.") && text.contains("Nothing was answered yet."),
        "{text}"
    );
}

#[test]
fn an_emergency_is_never_asked_about() {
    for (name, by) in [("gas_alarm", "gas_alarm"), ("gas_alarm", "gas_alarm.1")] {
        let output = becket(&["wrong", "whimbrel", by]);
        let text = out(&output);
        assert_eq!(output.status.code(), Some(0));
        assert!(
            text.starts_with("This is an emergency. Begin at once.\n") && text.contains("\n  1. "),
            "{text}"
        );
        assert!(!text.contains("--told") && !text.contains("suspected"), "{text}");
        let (case, _) = json(&["wrong", "whimbrel", by]);
        assert_eq!(case["next"]["kind"], "emergency");
        assert_eq!(case["next"]["list"], name);
        let boat = boat::compile("whimbrel", include_str!("../../../../demo/whimbrel.toml")).boat.unwrap();
        let list = &boat.procedures[boat.procedure(name).unwrap()];
        assert_eq!(case["next"]["steps"].as_array().unwrap().len(), list.steps.len(), "every step is there");
    }
    let (text, code) = typed(&["wrong", "whimbrel", "hot_water", "--ask"], "e\n99\n1\n");
    assert_eq!(code, Some(0));
    assert!(text.contains("Emergency lists.") && text.contains("Type a number from 1 to"), "{text}");
    assert!(text[text.find("Emergency lists.").unwrap()..].contains("DANGER"), "the steps follow: {text}");
    assert!(refused(&["guide", "whimbrel", "gas_alarm.1"]).contains("emergency"));
}

#[test]
fn words_that_fit_several_things_are_told_with_how_to_choose() {
    let output = becket(&["wrong", "whimbrel", "hot", "water"]);
    let text = out(&output);
    assert_eq!(output.status.code(), Some(1), "{text}");
    assert!(text.contains("hot_water\n") && text.contains("water_heater_heats\n"), "{text}");
    assert!(text.contains("`becket wrong whimbrel NAME`"), "{text}");
    let (fits, code) = json(&["wrong", "whimbrel", "hot", "water"]);
    assert_eq!((code, &fits["fits"][0]["id"]), (Some(1), &"hot_water".into()));
    let (text, code) = typed(&["wrong", "whimbrel", "hot", "water", "--ask"], "0\n1\nq\n");
    assert_eq!(code, Some(0));
    assert!(text.contains("Which of these is it?") && text.contains("Only cold water"), "{text}");
    assert!(text.contains("Type a number from 1 to"), "{text}");
    let (text, code) = typed(&["wrong", "whimbrel", "hot", "water", "--ask"], "q\n");
    assert_eq!(code, Some(0));
    assert!(!text.contains("What is suspected"), "{text}");
    // Words that fit one thing only open its case.
    let one = out(&becket(&["wrong", "dunlin", "no", "hot", "watr"]));
    assert!(one.starts_with("Dunlin: The hot tap stays cold"), "{one}");
}

#[test]
fn what_can_not_be_asked_is_said_plainly() {
    assert!(refused(&["wrong", "whimbrel", "xyzzyq"]).contains("becket symptoms whimbrel"));
    let strange = refused(&["wrong", "whimbrel", "hot_water", "--told", "set.nothing.yes"]);
    assert!(strange.contains("set.nothing.yes") && strange.contains("does not belong"), "{strange}");
    let (case, _) = json(&["wrong", "whimbrel", "hot_water"]);
    let yes = case["next"]["replies"][0]["token"].as_str().unwrap();
    let twice = refused(&["wrong", "whimbrel", "hot_water", "--told", yes, "--told", yes]);
    assert!(twice.contains("answered before"), "{twice}");
    assert!(refused(&["wrong", "whimbrel", "hot_water", "--call", "90"]).contains("no unit"));
    assert!(refused(&["wrong", "whimbrel", "hot_water", "--most", "9"]).contains('9'));
    refused(&["wrong", "no-such-boat.toml", "hot_water"]);
    refused(&["wrong", "whimbrel"]);
}

#[test]
fn details_name_the_source_of_every_rate() {
    let text = out(&becket(&["wrong", "whimbrel", "hot_water", "--details"]));
    assert_laid_out(&text);
    for words in [
        "trade-facts section",
        "judgement, not in the boat file",
        "What may be the matter together",
        "one ",
        "two ",
        "left out",
        "bits",
    ] {
        assert!(text.contains(words), "{words}: {text}");
    }
    let (case, _) = json(&["wrong", "whimbrel", "hot_water"]);
    for choice in case["choices"].as_array().unwrap() {
        assert!(text.contains(choice["ask"].as_str().unwrap()), "{choice}");
    }
}

#[test]
fn a_guide_is_boxes_that_all_lead_somewhere() {
    let ask = ["guide", "whimbrel", "hot_water", "--depth", "4"];
    let (guide, code) = json(&ask);
    assert_eq!(code, Some(0));
    let boxes = guide["boxes"].as_array().unwrap();
    assert!(guide["depth"].as_u64().unwrap() <= 4 && boxes.len() > 5, "{guide}");
    for (at, one) in boxes.iter().enumerate().filter(|(_, one)| one["kind"] == "ask") {
        for reply in ["yes", "no", "cannot"] {
            let to = usize::try_from(one[reply].as_u64().unwrap()).unwrap();
            assert!(to > at && to < boxes.len(), "box {at} leads on");
        }
    }
    // The ends are all that can come of it.
    let ends = boxes.iter().filter(|one| one["kind"] != "ask").map(|one| one["chance"].as_f64().unwrap());
    assert!((ends.sum::<f64>() - 1.0).abs() < 1e-9);
    assert!(guide["expected"].as_f64().unwrap() > 0.0 && guide["interactive"].as_f64().unwrap() > 0.0);
    let text = out(&becket(&ask));
    assert_laid_out(&text);
    let questions = boxes.iter().filter(|one| one["kind"] == "ask").count();
    assert!(text.contains(&format!("\n{questions:>3}. ")) && text.contains("\n  A. "), "{text}");
    assert!(text.contains("minutes until it works or the base has come"), "{text}");
    assert!(refused(&["guide", "whimbrel", "hot", "water"]).contains("A guide is for one"));
}
