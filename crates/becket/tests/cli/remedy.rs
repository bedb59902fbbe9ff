//! `remedy`: what is told is a plan on which everything lasts.

use crate::{assert_laid_out, becket, file, json, out, refused};

const ASK: [&str; 8] = ["remedy", "whimbrel", "--days", "4", "--crew", "2", "--drawings", "40"];

#[test]
fn the_remedy_is_a_plan_on_which_everything_lasts() {
    let (remedy, code) = json(&ASK);
    assert_eq!(code, Some(0), "{remedy}");
    assert!(remedy["before"].as_f64().unwrap() < 0.9 && remedy["lasts"].as_f64().unwrap() >= 0.9, "{remedy}");
    assert!(remedy["lower_bound"].as_f64().unwrap() <= remedy["cost"].as_f64().unwrap());
    assert!(!remedy["sentences"].as_array().unwrap().is_empty());
    let path = file("plan-remedied", remedy["plan"].as_str().unwrap());
    let asked =
        ["forecast", "whimbrel", "--plan", path.to_str().unwrap(), "--drawings", "200", "--seed", "99"];
    let output = becket(&asked);
    assert_eq!(output.status.code(), Some(0), "{}", out(&output));
}

#[test]
fn it_is_told_in_steps_with_what_to_mind_and_what_it_is_worth() {
    let output = becket(&ASK);
    let text = out(&output);
    assert_eq!(output.status.code(), Some(0), "{text}");
    for words in ["As planned, everything lasts in", "The least to do otherwise:\n  1. ", "points of trouble"]
    {
        assert!(text.contains(words), "{words}: {text}");
    }
    assert_laid_out(&text);
    let without = out(&becket(&[&ASK[..], &["--no", "engine"]].concat()));
    assert!(!without.contains("Run the engine for the batteries"), "{without}");
}

#[test]
fn a_plan_that_lasts_needs_no_remedy_and_a_bad_one_is_refused() {
    let output = becket(&["remedy", "whimbrel", "--days", "2", "--crew", "2", "--drawings", "40"]);
    assert_eq!(output.status.code(), Some(0));
    assert!(out(&output).contains("Nothing has to be done otherwise"), "{}", out(&output));
    assert!(refused(&["remedy", "whimbrel", "--without", "kettel"]).contains("did you mean: kettle"));
    assert!(refused(&["remedy", "whimbrel", "--days", "40"]).contains("thirty days"));
}
