//! Boats, crews and kits for the tests, and the reference tables.

use std::path::PathBuf;

use boat::model::Gear;
use jiff::civil::Date;
use quantity::Length;
use rules::{
    Authority, Carried, Check, Crew, Dates, Fact, Finding, Inquiry, Vessel, Waters, authority, check,
};

fn path(name: &str) -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("../../reference").join(name)
}

pub(crate) fn trade_facts() -> String {
    std::fs::read_to_string(path("trade-facts.md")).unwrap()
}

/// The rows of a table in `reference/rules`, by the names of the columns.
pub(crate) fn table<const N: usize>(name: &str, columns: [&str; N]) -> Vec<[String; N]> {
    let mut reader = csv::Reader::from_path(path("rules").join(name)).unwrap();
    let head = reader.headers().unwrap().clone();
    assert_eq!(head.iter().collect::<Vec<_>>(), columns, "{name}");
    let rows: Vec<_> = reader
        .records()
        .map(|row| row.unwrap())
        .map(|row| {
            columns.map(|column| {
                let at = head.iter().position(|name| name == column).unwrap();
                row[at].to_owned()
            })
        })
        .collect();
    assert!(!rows.is_empty(), "{name} is empty");
    rows
}

pub(crate) fn date(text: &str) -> Date {
    text.parse().unwrap()
}

pub(crate) fn known(name: &str) -> &'static Authority {
    authority(name).unwrap()
}

/// So many pieces that count as one thing, good for years.
pub(crate) fn piece(gear: Gear, count: u32) -> Carried {
    Carried {
        id: format!("kit.{}", gear.word()),
        name: gear.word().to_owned(),
        place: "Cockpit".to_owned(),
        count,
        counts_as: vec![gear],
        expires: Some(date("2035-12-31")),
        fits_from: None,
        fits_to: None,
    }
}

/// A kit written as `torch:1 flare_hand:3`.
pub(crate) fn kit(text: &str) -> Vec<Carried> {
    text.split_whitespace()
        .map(|one| {
            let (word, count) = one.split_once(':').unwrap();
            piece(
                Gear::find(word).unwrap_or_else(|| panic!("{word} counts as nothing")),
                count.parse().unwrap(),
            )
        })
        .collect()
}

pub(crate) fn fact(word: &str) -> Fact {
    serde_json::from_value(serde_json::Value::String(word.to_owned())).unwrap()
}

pub(crate) fn waters(word: &str) -> Waters {
    serde_json::from_value(serde_json::Value::String(word.to_owned())).unwrap()
}

/// Two adults for a week in July on a boat of which only the length is said.
pub(crate) fn inquiry(length: Length, aboard: Vec<Carried>) -> Inquiry {
    Inquiry {
        vessel: Vessel::new("Whimbrel", length),
        crew: Crew { adults: 2, children: Vec::new() },
        dates: Dates::new(date("2027-07-10"), date("2027-07-17")),
        waters: Some(Waters::Coastal),
        aboard,
    }
}

/// What is said of a boat, written as `engine=yes persons=6 entrances=3 waters=coastal`.
pub(crate) fn say(inquiry: &mut Inquiry, facts: &str) {
    for one in facts.split_whitespace() {
        let (what, answer) = one.split_once('=').unwrap();
        match what {
            "persons" => inquiry.crew.adults = answer.parse().unwrap(),
            "entrances" => inquiry.vessel.entrances = Some(answer.parse().unwrap()),
            "waters" => inquiry.waters = Some(waters(answer)),
            what => {
                inquiry.vessel.facts.insert(fact(what), answer == "yes");
            }
        }
    }
}

/// The finding of a row, if the row is for the boat.
pub(crate) fn find(name: &str, inquiry: &Inquiry, id: &str) -> Option<Finding> {
    let Check { findings, .. } = check(known(name), inquiry);
    findings.into_iter().find(|finding| finding.id == id)
}
