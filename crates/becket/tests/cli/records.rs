//! `rates` and `spares`, and what records teach `wrong`.

use std::path::PathBuf;

use serde_json::Value;

use crate::{SORA, assert_laid_out, becket, err, file, json, out, refused};

/// The example records.
const SEEN: &str = concat!(env!("CARGO_MANIFEST_DIR"), "/../../demo/records/failures.csv");

const BASE: [&str; 3] = ["whimbrel", "dunlin", "turnstone"];

fn records(name: &str, text: &str) -> PathBuf {
    file(name, text)
}

fn row<'v>(value: &'v Value, boat: &str, fault: &str) -> &'v Value {
    let rows = value["rates"].as_array().unwrap();
    rows.iter().find(|row| row["boat"] == boat && row["fault"] == fault).unwrap_or(&Value::Null)
}

fn learned(value: &Value, boat: &str, fault: &str) -> f64 {
    row(value, boat, fault)["learned"]["per_year"].as_f64().unwrap()
}

/// # Source
/// Gamma and Poisson are conjugate (NASA/SP-2009-569, section 4.2): one failure in 1/0.15 years and two seen in four give
/// three in 10.667. A gamma distribution of shape 3 is Erlang's: above x lies exp(-x) (1 + x + x²/2).
#[test]
fn a_fault_of_its_own_learns_by_its_own_records() {
    let (rates, code) = json(&[&["rates"], &BASE[..], &["--seen", SEEN]].concat());
    assert_eq!(code, Some(0));
    assert_eq!(rates["records"].as_array().unwrap().len(), 0, "the example has no line to mend");
    let one = row(&rates, "Whimbrel", "impeller_blades");
    assert_eq!((one["others"].as_u64(), one["seen"]["failures"].as_u64()), (Some(0), Some(2)));
    let exposure = 1.0 / 0.15 + 4.0;
    let figure = |key: &str| one["learned"][key].as_f64().unwrap();
    assert!((figure("per_year") - 3.0 / exposure).abs() < 1e-9, "{one}");
    for (key, above) in [("low", 0.95), ("high", 0.05)] {
        let x = figure(key) * exposure;
        assert!(((-x).exp() * (1.0 + x + x * x / 2.0) - above).abs() < 1e-9, "{key}: {one}");
    }
}

#[test]
fn boats_of_one_class_learn_from_each_other() {
    let (rates, _) = json(&[&["rates"], &BASE[..], &["--seen", SEEN]].concat());
    let joker = [
        ("Whimbrel", "toilet_forward_joker"),
        ("Dunlin", "toilet_joker"),
        ("Turnstone", "port_toilet_joker"),
    ];
    for (boat, fault) in joker {
        assert_eq!(row(&rates, boat, fault)["others"], 2, "{boat} {fault}");
    }
    // More seen aboard is more learned; none lies outside what was seen and what the file says.
    let [whimbrel, dunlin, turnstone] = joker.map(|(boat, fault)| learned(&rates, boat, fault));
    assert!(dunlin > whimbrel && whimbrel > turnstone, "{whimbrel} {dunlin} {turnstone}");
    assert!(turnstone > 0.3 && dunlin < 0.75);
    // One that was not seen aboard is learned from the others.
    let port = row(&rates, "Whimbrel", "water_tank_port_gauge");
    assert_eq!(port["seen"]["years"], 0.0);
    assert!(port["learned"]["per_year"].as_f64().unwrap() > 0.0);
    // Alone, Dunlin goes by her file and her own records; the others, who fail more often than the file says too, bring
    // her higher.
    let (alone, code) = json(&["rates", "dunlin", "--seen", SEEN]);
    assert_eq!(code, Some(0));
    let by_hers = 4.0 / (1.0 / 0.3 + 4.0);
    assert!((learned(&alone, "Dunlin", "toilet_joker") - by_hers).abs() < 1e-9);
    assert!(dunlin > by_hers, "{dunlin} {by_hers}");
    let text = out(&becket(&[&["rates"], &BASE[..], &["--seen", SEEN]].concat()));
    assert_laid_out(&text);
    assert!(text.contains("0.15 (1)") && text.contains("2 in 4"), "{text}");
}

#[test]
fn every_line_that_can_not_be_read_is_told_and_the_others_count() {
    let text = "# what was seen\n\u{20}\nboat,fault,failures,years\n\
        Wimbrel,belt_slips,1,4\n\
        whimbrel,belt_slip,1,4\n\
        Whimbrel,belt_slips,one,4\n\
        Whimbrel,belt_slips,-1,4\n\
        Whimbrel,belt_slips,1,2024\n\
        Whimbrel,belt_slips,1,0\n\
        Whimbrel,belt_slips,1,2,5\n\
        Whimbrel,\"belt_slips,1,4\n\
        Whimbrel,belt_slips\n\
        Sanderling,belt_slips,1,4\n\
        Whimbrel,belt_slips,1,2\n\
        Whimbrel, belt_slips , 1 , 2\n";
    let path = records("bad-lines", text);
    let ask = ["rates", "whimbrel", "--seen", path.to_str().unwrap()];
    let (rates, code) = json(&ask);
    assert_eq!(code, Some(1));
    let told: Vec<(u64, &str)> = rates["records"]
        .as_array()
        .unwrap()
        .iter()
        .map(|told| (told["at"]["line"].as_u64().unwrap(), told["code"].as_str().unwrap()))
        .collect();
    let expected = [
        (4, "unknown-boat"),
        (5, "unknown-fault"),
        (6, "not-a-count"),
        (7, "not-a-count"),
        (8, "not-years"),
        (9, "not-years"),
        (10, "other-length"),
        (11, "open-quote"),
        (12, "other-length"),
        (13, "other-boat"),
    ];
    assert_eq!(told, expected);
    let near = |at: usize| &rates["records"][at]["near"];
    assert_eq!((near(0), near(1)), (&"Whimbrel".into(), &"belt_slips".into()));
    assert!(rates["records"].as_array().unwrap().iter().all(|told| told["mend"].is_string()));
    // The two good lines count together.
    let seen = &row(&rates, "Whimbrel", "belt_slips")["seen"];
    assert_eq!((seen["failures"].as_u64(), seen["years"].as_f64()), (Some(2), Some(4.0)));
    let output = becket(&ask);
    let text = out(&output);
    assert_eq!(output.status.code(), Some(1));
    assert!(text.contains("boat.toml:5:10") && text.contains("did you mean: belt_slips"), "{text}");
    assert!(text.contains("Left aside: 1 line of Sanderling"), "{text}");
}

#[test]
fn spreadsheets_that_part_by_semicolons_are_read_and_columns_may_stand_in_any_order() {
    let path = records(
        "semicolons",
        "\u{feff}Years;Boat;Remark;Fault;Failures\r\n4;Whimbrel;\"new; in May\";belt_slips;1\r\n",
    );
    let (rates, code) = json(&["rates", "whimbrel", "--seen", path.to_str().unwrap()]);
    assert_eq!(code, Some(0), "{rates}");
    assert_eq!(row(&rates, "Whimbrel", "belt_slips")["seen"]["failures"], 1);
}

#[test]
fn a_file_that_is_no_record_is_refused() {
    let empty = records("empty-records", "");
    assert!(
        refused(&["rates", "whimbrel", "--seen", empty.to_str().unwrap()])
            .contains("boat,fault,failures,years")
    );
    let other = records("other-columns", "boat,fault,failure,years\nWhimbrel,belt_slips,1,4\n");
    let said = refused(&["rates", "whimbrel", "--seen", other.to_str().unwrap()]);
    assert!(said.contains("Write \"failures\" instead of \"failure\""), "{said}");
    assert!(refused(&["rates", "whimbrel", "--seen", "no-such.csv"]).contains("no-such.csv can't be read"));
    let bytes = records("bytes-records", "");
    std::fs::write(&bytes, b"boat,fault,failures,years\n\xff").unwrap();
    assert!(refused(&["rates", "whimbrel", "--seen", bytes.to_str().unwrap()]).contains("byte 27"));
    let twice = refused(&["rates", "whimbrel", "whimbrel"]);
    assert!(twice.contains("by one name"), "{twice}");
    refused(&["rates"]);
}

#[test]
fn without_records_the_faults_are_listed_by_the_ids_that_records_need() {
    let text = out(&becket(&["rates", "whimbrel"]));
    assert_laid_out(&text);
    assert!(text.contains("belt_slips") && text.contains("boat,fault,failures,years"), "{text}");
    let sora = file("no-faults", SORA);
    let text = out(&becket(&["rates", sora.to_str().unwrap()]));
    assert!(text.contains("lists no faults"), "{text}");
}

/// # Source
/// One failure in 1/0.15 years beforehand makes the number in one year negative binomial with shape 1: the chance of more
/// than n is (0.15 / 1.15)^(n + 1).
#[test]
fn spares_are_held_for_the_service_that_is_asked_for() {
    let part = |args: &[&str], name: &str| {
        let (spares, code) = json(&[&["spares"], args].concat());
        assert_eq!(code, Some(0), "{spares}");
        spares["parts"].as_array().unwrap().iter().find(|part| part["part"] == name).unwrap().clone()
    };
    let number = |value: &Value| value.as_f64().unwrap();
    let ask = ["whimbrel", "--service", "99 %"];
    let impeller = part(&ask, "Impeller, gasket and puller");
    let more_than = |pieces: i32| (0.15_f64 / 1.15).powi(pieces + 1);
    assert!((number(&impeller["wanted"]) - 0.15).abs() < 1e-9, "{impeller}");
    assert_eq!(impeller["hold"], 2, "{impeller}");
    assert!((number(&impeller["runs_out"]) - more_than(2)).abs() < 1e-9);
    assert!((number(&impeller["runs_out_with_one_less"]) - more_than(1)).abs() < 1e-9);
    assert!(more_than(2) < 0.01 && more_than(1) > 0.01);
    assert_eq!(impeller["aboard"], 1, "kit and spares list the same one");
    // More years, more parts; records move them.
    let longer = part(&["whimbrel", "--service", "99 %", "--years", "3"], "Impeller, gasket and puller");
    assert!(longer["hold"].as_u64() > impeller["hold"].as_u64());
    let seen = part(&["whimbrel", "--service", "99 %", "--seen", SEEN], "Impeller, gasket and puller");
    assert!(number(&seen["wanted"]) > number(&impeller["wanted"]));
    // A part of one name for things of another class is another part.
    let (fleet, _) = json(&["spares", "turnstone"]);
    let kits = fleet["parts"].as_array().unwrap().iter();
    assert_eq!(kits.filter(|part| part["part"].as_str().unwrap().starts_with("Diaphragm kit")).count(), 2);
}

#[test]
fn spares_are_told_in_a_table_and_bad_questions_are_refused() {
    let text = out(&becket(&[&["spares"], &BASE[..], &["--seen", SEEN]].concat()));
    assert_laid_out(&text);
    for words in ["Whimbrel, Dunlin, Turnstone", "at least 95 %", "runs out", "Alternator belt"] {
        assert!(text.contains(words), "{words}: {text}");
    }
    for service in ["0 %", "100 %", "140 %"] {
        assert!(refused(&["spares", "whimbrel", "--service", service]).contains("between 0 and 100 %"));
    }
    assert!(refused(&["spares", "whimbrel", "--years", "0"]).contains("--years"));
    let sora = file("no-parts", SORA);
    assert!(
        out(&becket(&["spares", sora.to_str().unwrap()])).contains("No fault of these boats names a part")
    );
}

#[test]
fn records_move_what_is_suspected() {
    let chance = |args: &[&str]| {
        let (case, code) = json(&[&["wrong", "dunlin", "water_heater_heats"], args].concat());
        assert_eq!(code, Some(0));
        let suspects = case["suspects"].as_array().unwrap();
        let element =
            suspects.iter().find(|suspect| suspect["cause"] == "fault.water_heater_element").unwrap();
        element["chance"].as_f64().unwrap()
    };
    let by_file = chance(&[]);
    let alone = chance(&["--seen", SEEN]);
    let with_fleet = chance(&["--seen", SEEN, "--fleet", "whimbrel", "--fleet", "turnstone"]);
    assert!(by_file < alone, "{by_file} {alone}: it was seen once in four years");
    assert!((with_fleet - alone).abs() > 1e-6, "the others teach as well");
    let details = becket(&["wrong", "dunlin", "water_heater_heats", "--details", "--seen", SEEN]);
    let text = out(&details);
    assert!(text.contains("from the records; the boat file had 0.060"), "{text}");
    assert!(text.contains("Left aside: ") && err(&details).is_empty(), "{text}");
    let bad = records("one-bad-line", "boat,fault,failures,years\nDunlin,water_heater_elemnt,1,4\n");
    let output = becket(&["wrong", "dunlin", "water_heater_heats", "--seen", bad.to_str().unwrap()]);
    assert_eq!(output.status.code(), Some(1), "the line is told");
    assert!(out(&output).contains("did you mean: water_heater_element"), "{}", out(&output));
    assert!(out(&output).contains("Next: "), "and the case goes on");
}
