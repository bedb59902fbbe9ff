//! `forecast`: plans and usual trips, words, JSON, exit codes, and what is wrong with a plan.

use serde_json::Value;

use crate::{SORA, WEEK, assert_laid_out, becket, file, json, out, refused};

fn plan(name: &str, text: &str) -> String {
    file(&format!("plan-{name}"), text).to_str().unwrap().to_owned()
}

fn store<'a>(forecast: &'a Value, id: &str) -> &'a Value {
    let has = |store: &&Value| store["ids"].as_array().unwrap().iter().any(|own| own == id);
    forecast["stores"].as_array().unwrap().iter().find(has).unwrap_or_else(|| panic!("no store {id}"))
}

const SHORT: [&str; 8] = ["forecast", "whimbrel", "--days", "2", "--crew", "2", "--drawings", "40"];
const WEEK_OF_FOUR: [&str; 6] = ["forecast", "whimbrel", "--crew", "4", "--drawings", "40"];

#[test]
fn a_trip_on_which_all_lasts_ends_with_0_and_another_with_1() {
    let output = becket(&SHORT);
    assert_eq!(output.status.code(), Some(0), "{}", out(&output));
    assert!(out(&output).contains("Everything lasts"), "{}", out(&output));
    let output = becket(&WEEK_OF_FOUR);
    let text = out(&output);
    assert_eq!(output.status.code(), Some(1), "{text}");
    assert!(text.contains("The holding tank is full to its limit by about day"), "{text}");
    assert_laid_out(&text);
}

#[test]
fn json_tells_each_hour_of_each_store_and_agrees_with_the_words() {
    let (forecast, code) = json(&WEEK_OF_FOUR);
    assert_eq!(code, Some(1));
    let house = store(&forecast, "house");
    // From 15:00 on the first day to 10:00 on the eighth.
    let hours = 7 * 24 - 5;
    for key in ["hours", "volts"] {
        let bands = house[key].as_array().unwrap();
        assert_eq!(bands.len(), hours, "{key}");
        for band in bands {
            let [low, middle, high] = ["low", "middle", "high"].map(|part| band[part].as_f64().unwrap());
            assert!(low <= middle && middle <= high, "{key}: {band}");
        }
    }
    assert!(store(&forecast, "diesel")["volts"].as_array().unwrap().is_empty());
    let shares = |id: &str| -> f64 {
        let uses = store(&forecast, id)["uses"].as_array().unwrap();
        uses.iter().map(|one| one["share"].as_f64().unwrap()).sum()
    };
    assert!((shares("house") - 1.0).abs() < 1e-9 && (shares("holding_tank") - 1.0).abs() < 1e-9);
    let tank = store(&forecast, "holding_tank");
    assert_eq!(tank["fills"], true);
    let spent = tank["usual"]["words"].as_str().unwrap();
    assert!(forecast["verdict"].as_str().unwrap().contains(spent), "{}", forecast["verdict"]);
    assert!(forecast["readings"].is_null());
}

#[test]
fn the_same_seed_gives_the_same_answer_and_another_seed_another() {
    let with = |seed: &str| json(&[&WEEK_OF_FOUR[..], &["--seed", seed]].concat()).0;
    assert_eq!(with("7"), with("7"));
    assert_ne!(with("7"), with("8"));
}

#[test]
fn a_load_left_out_takes_nothing_and_the_bank_ends_fuller() {
    let (with, _) = json(&WEEK_OF_FOUR);
    let (without, _) = json(&[&WEEK_OF_FOUR[..], &["--without", "refrigerator"]].concat());
    let takes = |forecast: &Value| {
        store(forecast, "house")["uses"].as_array().unwrap().iter().any(|one| one["load"] == "refrigerator")
    };
    assert!(takes(&with) && !takes(&without));
    let end = |forecast: &Value| {
        store(forecast, "house")["hours"].as_array().unwrap().last().unwrap()["middle"].as_f64().unwrap()
    };
    assert!(end(&without) > end(&with));
}

#[test]
fn the_written_plan_read_back_gives_the_same_forecast() {
    let text = out(&becket(&[&WEEK_OF_FOUR[..], &["--write-plan"]].concat()));
    let path = plan("written", &text);
    let (usual, _) = json(&WEEK_OF_FOUR);
    let (read, _) = json(&["forecast", "whimbrel", "--plan", &path, "--drawings", "40"]);
    assert_eq!(usual["stores"], read["stores"]);
}

#[test]
fn all_tells_the_course_of_every_store() {
    let few = out(&becket(&WEEK_OF_FOUR));
    let all = out(&becket(&[&WEEK_OF_FOUR[..], &["--all"]].concat()));
    assert!(!few.contains("Diesel, counted as spent at 10 %") && few.contains("--all"), "{few}");
    assert!(all.contains("Diesel, counted as spent at 10 %") && !all.contains("--all"), "{all}");
    assert_laid_out(&all);
}

#[test]
fn what_is_unknown_is_named_with_the_nearest() {
    let said = refused(&["forecast", "whimbrel", "--without", "refrigerater"]);
    assert!(
        said.contains("no load \"refrigerater\"") && said.contains("did you mean: refrigerator"),
        "{said}"
    );
    let text = std::fs::read_to_string(WEEK).unwrap().replace("store = \"house\"", "store = \"hause\"");
    let said = refused(&["forecast", "whimbrel", "--plan", &plan("store", &text)]);
    assert!(said.contains("no store \"hause\"") && said.contains("did you mean: house"), "{said}");
}

#[test]
fn a_bad_plan_is_told_line_by_line() {
    let text =
        "trip = 1\n[plan]\ncrew = 4\nstarts = 2027-07-10\nclud = \"50 %\"\n[[days]]\nnight = \"ashore\"\n";
    let said = refused(&["forecast", "whimbrel", "--plan", &plan("bad", text)]);
    assert!(said.contains("boat.toml:5:1") && said.contains("did you mean: cloud"), "{said}");
    assert!(said.contains("boat.toml:7:10") && said.contains("must be mended first"), "{said}");

    let text = std::fs::read_to_string(WEEK).unwrap().replace("day = 3\n", "day = 33\n");
    let said = refused(&["forecast", "whimbrel", "--plan", &plan("outside", &text)]);
    assert!(said.contains("Day 33 at 07:30 is not in the trip."), "{said}");
    assert!(refused(&["forecast", "whimbrel", "--plan", "no-such-plan.toml"]).contains("can't be read"));
}

#[test]
fn a_plan_says_all_that_the_options_of_a_usual_trip_say() {
    let said = refused(&["forecast", "whimbrel", "--plan", WEEK, "--crew", "6"]);
    assert!(said.contains("--plan") && said.contains("--crew"), "{said}");
    assert!(refused(&["forecast", "whimbrel", "--crew", "0"]).contains("1..=40"));
    assert!(refused(&["forecast", "whimbrel", "--low", "15"]).contains("no unit"));
}

#[test]
fn a_boat_without_stores_can_not_be_asked() {
    let path = file("no-stores", SORA);
    let path = path.to_str().unwrap();
    assert!(becket(&["check", path]).status.success(), "the boat is sound");
    for command in ["forecast", "remedy"] {
        let said = refused(&[command, path]);
        assert!(said.contains("has no [stores]") && said.contains("docs/boat-file.md"), "{said}");
    }
}

#[test]
fn checking_tells_what_a_forecast_would_lack() {
    let bank = "[stores.house]\nname = \"House bank\"\nkind = \"battery\"\nchemistry = \"agm\"\n\
        capacity = \"100 Ah\"\nusable = \"50 %\"\n";
    let path = file("nothing-charges", &format!("{SORA}{bank}"));
    let path = path.to_str().unwrap();
    let text = out(&becket(&["check", path]));
    assert!(text.contains("warning[no-charger]: Nothing charges House bank."), "{text}");
    let (checked, code) = json(&["check", path]);
    assert_eq!(code, Some(0), "a warning need not be mended");
    let found = checked[0]["diagnostics"].as_array().unwrap();
    let lacks = found.iter().find(|row| row["code"] == "no-charger").expect("it is among the diagnostics");
    assert_eq!(lacks["at"]["line"].as_u64(), Some(11), "it points at the store");
}
