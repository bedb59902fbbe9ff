//! What may go overboard, against `reference/rules/waste.csv`, and what holds for any question.

use proptest::prelude::*;
use quantity::Length;
use rules::{Question, Verdict, Waste, Waters, ZoneKind, authorities, discharge, words};
use serde::de::DeserializeOwned;

use crate::cases::{known, table, trade_facts, waters};

fn word<T: DeserializeOwned>(text: &str) -> T {
    serde_json::from_value(serde_json::Value::String(text.to_owned())).unwrap()
}

#[test]
fn each_answer_is_as_its_source_says() {
    let facts = trade_facts();
    let columns = ["authority", "what", "waters", "zone", "from_land", "verdict", "source"];
    let mut answered = Vec::new();
    for [name, what, place, zone, from_land, verdict, source] in table("waste.csv", columns) {
        assert!(facts.contains(&source), "{source}");
        let question = Question {
            what: word(&what),
            waters: waters(&place),
            zone: (!zone.is_empty()).then(|| word::<ZoneKind>(&zone)),
            from_land: (!from_land.is_empty()).then(|| Length::parse(&from_land).unwrap()),
        };
        let answer = discharge(known(&name), &question);
        assert_eq!(answer.verdict, word::<Verdict>(&verdict), "{name} {question:?}: {}", answer.words);
        answered.push((name, answer.rule));
    }
    for one in authorities() {
        for rule in &one.discharges {
            let row = (one.id.clone(), Some(rule.id.clone()));
            assert!(answered.contains(&row), "{row:?} has no expected value");
        }
    }
}

#[test]
fn oil_is_not_in_any_table_and_is_said_not_to_be_known() {
    for one in authorities() {
        let question = Question {
            what: Waste::Oil,
            waters: Waters::Coastal,
            zone: None,
            from_land: Some(Length::nautical_miles(30.0)),
        };
        let answer = discharge(one, &question);
        assert_eq!(answer.verdict, Verdict::NotKnown);
        assert!(words::answer(&answer).starts_with("Not known here: "), "{}", words::answer(&answer));
        assert!(answer.words.contains("Keep it aboard"));
    }
}

/// The 17 places that British Columbia once listed.
#[test]
fn the_listed_sewage_areas_are_those_of_the_source() {
    let facts = trade_facts();
    assert!(facts.contains("British Columbia designated areas as once listed (17)"));
    let zone = &known("canada").zones[0];
    // Mansons Landing and Gorge Harbour stand together there and here.
    assert_eq!(zone.names.len(), 17);
    for name in &zone.names {
        let place = name.split(" (").next().unwrap();
        let place = place.strip_suffix(" Lake").unwrap_or(place);
        assert!(facts.contains(place), "{name}");
    }
    assert!(zone.words.contains("grown"));
}

#[test]
fn the_handbook_has_every_rule_and_the_caution() {
    for one in authorities() {
        let said = words::waste(one);
        let rows = one.discharges.len() + one.zones.len();
        assert_eq!(said.len(), rows.max(1) + 1, "{}", one.id);
        assert_eq!(said.last().map(String::as_str), Some(words::WASTE_CAUTION));
        assert!(said.iter().all(|words| words.ends_with('.')), "{said:?}");
    }
}

proptest! {
    /// Nothing becomes forbidden by going farther out; and every answer says where it comes from or that it is not known.
    #[test]
    fn farther_out_is_never_stricter(near in 0.0..40.0_f64, more in 0.0..40.0_f64, what in 0..8_usize, at in 0..7_usize) {
        let all = [
            Waste::SewageUntreated, Waste::SewageComminuted, Waste::SewageTreated, Waste::Plastic, Waste::Garbage,
            Waste::GarbageGround, Waste::Dunnage, Waste::Oil,
        ];
        let ask = |miles: f64| {
            let from_land = Some(Length::nautical_miles(miles));
            discharge(&authorities()[at], &Question { what: all[what], waters: Waters::Coastal, zone: None, from_land })
        };
        let (near, far) = (ask(near), ask(near + more));
        prop_assert!(near.verdict == Verdict::Forbidden || far.verdict != Verdict::Forbidden);
        for answer in [near, far] {
            prop_assert_eq!(answer.citation.is_none(), answer.rule.is_none());
            prop_assert!(answer.citation.is_some() || answer.verdict == Verdict::NotKnown);
            prop_assert!(answer.words.ends_with('.'));
        }
    }
}
