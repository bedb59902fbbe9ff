//! Readings of a plan: which fit, what they teach, what to look at next.

use crate::{WEEK, assert_laid_out, becket, file, json, out};

const ASK: [&str; 6] = ["forecast", "whimbrel", "--plan", WEEK, "--drawings", "120"];

#[test]
fn the_example_plan_has_a_reading_that_fits_and_one_that_does_not() {
    let text = out(&becket(&ASK));
    assert_laid_out(&text);
    let line = |name: &str| {
        text.lines()
            .find(|line| line.contains(name) && line.contains("day 3, 07:30"))
            .unwrap()
            .trim()
            .to_owned()
    };
    assert!(line("House bank").starts_with("does not fit"), "{text}");
    assert!(line("Forward water tank").starts_with("fits"), "{text}");
    for heading in ["What was read on the way", "What to look at next", "For the base", "To keep in mind"] {
        assert!(text.contains(heading), "{heading}: {text}");
    }
}

#[test]
fn a_low_reading_lowers_the_forecast_of_its_store_and_json_tells_both() {
    let (forecast, _) = json(&ASK);
    let readings = &forecast["readings"];
    let read = readings["read"].as_array().unwrap();
    assert_eq!(read.len(), 2);
    assert_eq!((read[0]["number"].as_u64(), read[0]["fit"].as_str()), (Some(1), Some("not at all")));
    assert_eq!(read[1]["fit"], "well");
    assert!(read[0]["seen"].as_f64().unwrap() < read[0]["expected"]["low"].as_f64().unwrap());
    let lasts = |stores: &serde_json::Value| {
        let house = stores.as_array().unwrap().iter().find(|store| store["ids"][0] == "house").unwrap();
        house["lasts"].as_f64().unwrap()
    };
    assert!(lasts(&forecast["stores"]) < lasts(&readings["before"]));
}

#[test]
fn a_plan_whose_readings_are_as_planned_says_so_and_no_more() {
    let text = std::fs::read_to_string(WEEK).unwrap().replace("level = \"56 %\"", "level = \"75 %\"");
    let path = file("plan-as-read", &text);
    let text = out(&becket(&["forecast", "whimbrel", "--plan", path.to_str().unwrap(), "--drawings", "120"]));
    assert!(!text.contains("does not fit") && !text.contains("What to look at next"), "{text}");
    assert!(text.contains("as read"), "{text}");
}

/// Figures move when the engine does: copy the new lines into README then.
#[test]
fn what_readme_shows_of_the_readings_is_what_is_printed() {
    let text = out(&becket(&["forecast", "whimbrel", "--plan", WEEK]));
    let from = text.find("What was read on the way").expect("the plan has readings");
    let printed = text[from..].split("\n\n").next().unwrap();
    let readme = include_str!("../../../../README.md");
    assert!(readme.contains(printed), "README shows something else than:\n{printed}");
}
