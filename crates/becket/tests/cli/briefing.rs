//! `briefing`: the plan in words and as JSON, and what is wrong with what is asked.

use serde_json::Value;

use crate::{assert_laid_out, becket, json, out, refused};

const HOUR: [&str; 5] = ["briefing", "whimbrel", "--minutes", "60", "--anchoring"];

#[test]
fn an_hour_is_laid_out_by_place_and_by_the_clock() {
    let output = becket(&HOUR);
    let text = out(&output);
    assert_eq!(output.status.code(), Some(0), "{text}");
    assert_laid_out(&text);
    for words in [
        "Whimbrel: a briefing of 60 minutes",
        "Engine starts: 1",
        "Anchoring and weighing (must); then stop the engine",
        "Left to reading, what weighs most first",
        "NUREG/CR-1278",
    ] {
        assert!(text.contains(words), "{words}\n{text}");
    }
    assert!(!text.contains("One hand for yourself"), "the words of a topic come when they are asked for");
    let with_words = out(&becket(&[&HOUR[..], &["--words"]].concat()));
    assert!(with_words.contains("One hand for yourself"), "{with_words}");
    assert_laid_out(&with_words);
}

#[test]
fn json_holds_every_topic_once_and_the_clock_adds_up() {
    let (briefing, code) = json(&HOUR);
    assert_eq!(code, Some(0));
    let plan = &briefing["plan"];
    let names = |value: &Value, key: &str| -> Vec<String> {
        let all = value.as_array().unwrap().iter();
        all.map(|one| if key.is_empty() { one } else { &one[key] }.as_str().unwrap().to_owned()).collect()
    };
    let mut covered = names(&plan["stops"], "topic");
    covered.extend(names(&plan["reading"], ""));
    let mut topics = names(&briefing["topics"], "key");
    covered.sort();
    topics.sort();
    assert_eq!(covered, topics, "each topic is in the talk or in the reading");
    let mut at = 0.0;
    for stop in plan["stops"].as_array().unwrap() {
        let [walk, begins, lasts] = ["walk_s", "begins_s", "lasts_s"].map(|key| stop[key].as_f64().unwrap());
        assert!((begins - (at + walk)).abs() <= 1.5, "{stop}");
        at = begins + lasts;
    }
    assert!((plan["total_s"].as_f64().unwrap() - at).abs() <= 1.5 && at <= 3600.0);
    let always = briefing["topics"].as_array().unwrap().iter().filter(|topic| !topic["always"].is_null());
    for topic in always {
        assert!(!names(&plan["reading"], "").contains(&topic["key"].as_str().unwrap().to_owned()), "{topic}");
    }
}

#[test]
fn a_published_list_brings_its_lines_in() {
    let ask = ["briefing", "dunlin", "--minutes", "60"];
    let (plain, _) = json(&ask);
    let (listed, _) = json(&[&ask[..], &["--list", "canada_rental_sample"]].concat());
    let from_the_list = |briefing: &Value| {
        let topics = briefing["topics"].as_array().unwrap().iter();
        topics.filter(|topic| topic["from"] == "published_list").cloned().collect::<Vec<_>>()
    };
    assert!(from_the_list(&plain).is_empty());
    let brought = from_the_list(&listed);
    let alcohol = brought.iter().find(|topic| topic["name"] == "Alcohol").expect("the list asks for it");
    assert_eq!(alcohol["always"], "law_or_list");
}

#[test]
fn too_short_a_time_is_said_and_what_can_t_be_asked_is_refused() {
    let text = out(&becket(&["briefing", "dunlin", "--minutes", "5"]));
    assert!(text.contains("Left to reading"), "{text}");
    let (short, _) = json(&["briefing", "dunlin", "--minutes", "5"]);
    assert!(short["plan"]["too_long_by_s"].as_f64().unwrap() > 0.0);
    assert!(refused(&["briefing", "whimbrel", "--minutes", "4"]).contains("from 5 to 480, such as 60"));
    assert!(refused(&["briefing", "whimbrel", "--list", "x"]).contains("No list"));
    assert!(refused(&["briefing", "no-such-boat"]).contains("no-such-boat"));
}
