//! `anchor`, `sun`, `cable`, and the references that are printed.

use crate::{WEEK, assert_laid_out, becket, json, out, refused};

fn number(value: &serde_json::Value) -> f64 {
    value.as_f64().unwrap_or_else(|| panic!("{value} is no number"))
}

fn close(found: f64, expected: f64, within: f64) {
    assert!((found - expected).abs() <= within, "{found} instead of {expected}");
}

/// # Source
/// Scope of 7 in usual weather and 10 in strong wind over depth and bow height (training texts, trade-facts section
/// 10); Whimbrel's bow roller is 1.4 m above the water and she has 60 m of chain (her boat file).
#[test]
fn enough_chain_ends_with_0_and_too_little_with_1() {
    let (advice, code) = json(&["anchor", "whimbrel", "--depth", "5 m", "--wind", "15 kn"]);
    assert_eq!((code, &advice["enough"]), (Some(0), &"yes".into()));
    close(number(&advice["let_out_m"]), 7.0 * 6.4, 1e-9);

    let (advice, code) = json(&["anchor", "whimbrel", "--depth", "5 m", "--rise", "3 m", "--wind", "25 kn"]);
    assert_eq!((code, &advice["enough"]), (Some(1), &"no".into()));
    close(number(&advice["let_out_m"]), 10.0 * 9.4, 1e-9);
    close(number(&advice["short_by_m"]), 34.0, 1e-9);

    let (swell, _) = json(&["anchor", "whimbrel", "--depth", "5 m", "--wind", "15 kn", "--swell"]);
    close(number(&swell["let_out_m"]), 10.0 * 6.4, 1e-9);
}

#[test]
fn anchoring_is_told_with_cautions_and_each_rule_once() {
    let text = out(&becket(&["anchor", "whimbrel", "--depth", "5 m", "--wind", "25 kn", "--bottom", "weed"]));
    assert_laid_out(&text);
    for words in
        ["Let out 64 m of rode", "Weed can stop an anchor", "What the anchor holds here is not known"]
    {
        assert!(text.contains(words), "{words}: {text}");
    }
    assert_eq!(text.matches("3 times the depth and 10 m").count(), 1, "{text}");
    assert!(text.contains("Keep hands, feet, hair and clothing clear of the windlass"), "{text}");
}

#[test]
fn anchoring_that_can_not_be_asked_says_why() {
    let said = refused(&["anchor", "whimbrel", "--depth", "5 m", "--wind", "25 kn", "--anchor", "fisherman"]);
    assert!(said.contains("It has: bower, kedge."), "{said}");
    assert!(refused(&["anchor", "whimbrel", "--depth", "5", "--wind", "25 kn"]).contains("no unit"));
    assert!(refused(&["anchor", "whimbrel", "--depth", "0 m", "--wind", "25 kn"]).contains("The depth"));
    assert!(refused(&["anchor", "whimbrel", "--depth", "5 m", "--wind", "25 m"]).contains("--wind"));
}

/// # Source
/// `reference/oracles/sun_times.csv`: Skyfield, DE421, rounded to the minute.
#[test]
fn sun_times_are_those_of_another_program() {
    let table = include_str!("../../../../reference/oracles/sun_times.csv");
    let mut rows = 0;
    for row in table.lines().skip(1).step_by(5) {
        let cells: Vec<&str> = row.split(',').collect();
        let letter = |degrees: &str, north: char, south: char| match degrees.strip_prefix('-') {
            Some(size) => format!("{size} {south}"),
            None => format!("{degrees} {north}"),
        };
        let at = format!("{} {}", letter(cells[1], 'N', 'S'), letter(cells[2], 'E', 'W'));
        let (light, code) = json(&["sun", "--at", &at, "--day", cells[3]]);
        assert_eq!(code, Some(0));
        for (key, expected) in [("rise", cells[6]), ("set", cells[7])] {
            let found: jiff::Timestamp = light["light"]["sun"][key].as_str().unwrap().parse().unwrap();
            let expected: jiff::Timestamp = expected.parse().unwrap();
            let off = (found.as_second() - expected.as_second()).abs();
            assert!(off <= 30, "{row}: {key} is {off} s off");
        }
        rows += 1;
    }
    assert!(rows >= 9, "{rows} rows were compared");
}

#[test]
fn the_sun_of_a_boat_is_told_by_her_clocks_and_of_a_position_in_utc() {
    let text = out(&becket(&["sun", "whimbrel", "--day", "2027-07-10"]));
    assert_laid_out(&text);
    assert!(text.contains("clocks at UTC-4 h") && text.contains("Saturday 10 July 2027"), "{text}");
    let text = out(&becket(&["sun", "--at", "43.9 N 69.6 W", "--day", "2027-07-10"]));
    assert!(text.contains("Times are UTC") && text.contains("ends the day after"), "{text}");
    let text = out(&becket(&["sun", "--at", "80 N 10 E", "--day", "2027-12-20"]));
    assert!(text.contains("not at all"), "{text}");
    assert!(refused(&["sun", "--at", "43.9 69.6", "--day", "2027-07-10"]).contains("43.9 69.6"));
    assert!(refused(&["sun", "whimbrel", "--day", "10.7.2027"]).contains("2027-07-10"));
    refused(&["sun", "--day", "2027-07-10"]);
}

/// # Source
/// Circular mils = 10.75 × amperes × feet ÷ volts (`reference/oracles/voltage_drop_info.json`).
#[test]
fn a_cable_takes_what_the_formula_says() {
    let circular_mils = 2.5 / (std::f64::consts::FRAC_PI_4 * 0.0254 * 0.0254);
    let lost = 10.75 * 5.0 * (12.0 / 0.3048) / circular_mils;
    let ask = ["cable", "--current", "5 A", "--length", "6 m", "--copper", "2.5"];
    let (cable, code) = json(&[&ask[..], &["--cuts-out", "10.6 V"]].concat());
    assert_eq!(code, Some(0));
    close(number(&cable["lost_v"]), lost, 1e-9);
    close(number(&cable["at_load_v"]), 12.0 - lost, 1e-9);
    close(number(&cable["bank_at_cut_out_v"]), 10.6 + lost, 1e-9);
    let text = out(&becket(&ask));
    assert!(text.contains("takes 0.43 V") && text.contains("11.57 V arrive"), "{text}");
    assert_laid_out(&text);
}

/// # Source
/// `reference/oracles/voltage_drop_12v.csv`, the rows of 3 % for 10 A over 10 feet there and back: 2986.1 circular
/// mils, AWG 14, 1.3885 mm² by the metric form; the more cautious form is nine hundredths above it.
#[test]
fn a_cable_without_its_copper_is_given_a_size() {
    let (cable, _) = json(&["cable", "--current", "10 A", "--length", "5 ft"]);
    let strict = &cable["sizes"][0];
    close(number(&strict["needed_mm2"]), 2986.1 * std::f64::consts::FRAC_PI_4 * 0.0254 * 0.0254, 1e-3);
    assert_eq!(strict["awg"], "14");
    close(number(&strict["metric_mm2"]), 2.5, 1e-9);
    let text = out(&becket(&["cable", "--current", "10 A", "--length", "5 ft"]));
    assert!(text.contains("AWG 14") && text.contains("without growing too hot"), "{text}");
    let thin = ["cable", "--current", "100 A", "--length", "20 m", "--copper", "1"];
    assert!(refused(&thin).contains("The current"), "{}", refused(&thin));
}

#[test]
fn the_trip_plan_has_a_reference_that_knows_every_key_of_the_example() {
    let text = out(&becket(&["reference", "trip-plan"]));
    let plan: toml::Value = toml::from_str(&std::fs::read_to_string(WEEK).unwrap()).unwrap();
    let mut keys: Vec<&String> = plan["plan"].as_table().unwrap().keys().collect();
    for part in ["days", "readings"] {
        keys.extend(plan[part].as_array().unwrap().iter().flat_map(|row| row.as_table().unwrap().keys()));
    }
    assert!(keys.len() > 20);
    for key in keys {
        assert!(text.contains(&format!("`{key}`")), "{key}");
    }
}
