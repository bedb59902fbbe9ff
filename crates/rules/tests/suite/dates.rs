//! Dates: what is in date through the last day, what is not, and what has no date.

use boat::model::Gear;
use proptest::prelude::*;
use quantity::Length;
use rules::{Carried, Dates, Inquiry, Standing, UseState, authorities, check, words};

use crate::cases::{date, find, inquiry, piece, say};

fn flares(count: u32, expires: Option<&str>) -> Carried {
    Carried { expires: expires.map(date), ..piece(Gear::FlareHand, count) }
}

/// A boat of 8 m with an engine until 17 July 2027: six flares are asked for.
fn eight_metres(aboard: Vec<Carried>) -> Inquiry {
    let mut asked = inquiry(Length::metres(8.0), aboard);
    say(&mut asked, "engine=yes");
    asked
}

/// The boat file's date is the last day on which a thing may be used (docs/boat-file.md, `expires`).
#[test]
fn what_expires_on_the_last_day_is_good_through_it() {
    for (day, standing) in [
        ("2027-07-18", Standing::Met),
        ("2027-07-17", Standing::Met),
        ("2027-07-16", Standing::Expired),
        ("2027-07-10", Standing::Expired),
        ("2020-01-01", Standing::Expired),
    ] {
        let found = find("canada", &eight_metres(vec![flares(6, Some(day))]), "flares_9").unwrap();
        assert_eq!(found.standing, standing, "{day}");
        let need = &found.needs[0];
        assert_eq!((need.required, need.aboard), (Some(6), 6));
        let counts = if standing == Standing::Met { (6, 0, 0) } else { (0, 6, 6) };
        assert_eq!((need.in_date, need.expired, need.missing), counts, "{day}");
        if standing == Standing::Expired {
            assert!(words::finding(&found).contains(day), "the day is said");
        }
    }
    assert!(words::LAST_DAY.contains("not before the last day"));
}

#[test]
fn some_expired_and_too_few_in_date_is_counted_apart() {
    let aboard = vec![flares(4, Some("2028-01-01")), flares(3, Some("2027-01-01"))];
    let found = find("canada", &eight_metres(aboard), "flares_9").unwrap();
    let need = &found.needs[0];
    assert_eq!((need.aboard, need.in_date, need.expired, need.missing), (7, 4, 3, 2));
    assert_eq!(found.standing, Standing::Expired);
    let aboard = vec![flares(1, Some("2028-01-01")), flares(3, Some("2027-01-01"))];
    assert_eq!(find("canada", &eight_metres(aboard), "flares_9").unwrap().standing, Standing::Missing);
}

#[test]
fn a_flare_without_a_date_is_not_known_to_be_good() {
    let found = find("canada", &eight_metres(vec![flares(6, None)]), "flares_9").unwrap();
    assert_eq!(found.standing, Standing::Unknown);
    assert_eq!((found.needs[0].undated, found.needs[0].missing), (6, 0));
    assert_eq!(found.needs[0].uses[0].state, UseState::Undated);
    assert!(found.reasons.iter().any(|words| words.contains("no date")), "{:?}", found.reasons);
    // What need not show a date is taken as good.
    let compass = Carried { expires: None, ..piece(Gear::Compass, 1) };
    assert_eq!(find("canada", &eight_metres(vec![compass]), "compass").unwrap().standing, Standing::Met);
}

/// TP 15111 Q. 89 for Canada; the United States' 42 months are from memory.
#[test]
fn how_long_flares_last_is_said() {
    let found = find("canada", &eight_metres(Vec::new()), "flares_9").unwrap();
    assert!(found.lasts.iter().any(|words| words.contains("4 years from the date of manufacture")));
    let found = find("usa", &eight_metres(Vec::new()), "day_signals").unwrap();
    assert!(found.lasts.iter().any(|words| words.contains("42 months")));
}

/// Smoke signals beyond the number that counts do not help by being expired, nor do expired ones use that number up.
#[test]
fn smoke_counts_up_to_its_number_in_date_or_not() {
    let smoke = |count, day| Carried { expires: Some(date(day)), ..piece(Gear::FlareSmoke, count) };
    let found = find(
        "canada",
        &eight_metres(vec![flares(3, Some("2029-01-01")), smoke(9, "2027-01-01")]),
        "flares_9",
    );
    let need = &found.as_ref().unwrap().needs[0];
    assert_eq!((need.aboard, need.in_date, need.expired, need.missing), (12, 3, 2, 3));
    assert_eq!(found.as_ref().unwrap().standing, Standing::Missing);
    let both = vec![smoke(2, "2027-01-01"), smoke(2, "2029-01-01"), flares(4, Some("2029-01-01"))];
    assert_eq!(find("canada", &eight_metres(both), "flares_9").unwrap().standing, Standing::Met);
}

/// One 20-B and one 5-B: an expired or undated 20-B does not stand for both.
#[test]
fn a_piece_stands_for_one_thing_of_a_kind_only() {
    let extinguisher = |day| Carried { expires: Some(date(day)), ..piece(Gear::Extinguisher20bc, 1) };
    let standing = |aboard| find("usa", &inquiry(Length::feet(48.0), aboard), "fire_65").unwrap().standing;
    assert_eq!(standing(vec![extinguisher("2029-01-01")]), Standing::Missing);
    assert_eq!(standing(vec![extinguisher("2027-01-01")]), Standing::Missing);
    assert_eq!(standing(vec![extinguisher("2027-01-01"), extinguisher("2029-01-01")]), Standing::Expired);
    assert_eq!(standing(vec![extinguisher("2029-01-01"), extinguisher("2029-01-01")]), Standing::Met);
}

/// Queensland's rule (Marine Safety Regulation 2004 s. 41): beacons and extinguishers too must show a date.
#[test]
fn what_must_show_a_date_and_has_none_is_told() {
    let undated = |gear| Carried { expires: None, ..piece(gear, 1) };
    let aboard = vec![
        undated(Gear::Epirb),
        undated(Gear::Compass),
        undated(Gear::FlareHand),
        piece(Gear::FlareHand, 1),
    ];
    let told = |name: &str| {
        crate::cases::known(name).without_date(&aboard).map(|(line, _)| line.name.clone()).collect::<Vec<_>>()
    };
    assert_eq!(told("queensland"), ["epirb", "flare_hand"]);
    assert_eq!(told("canada"), ["flare_hand"]);
    assert!(told("florida").is_empty());
}

#[test]
fn dates_the_wrong_way_round_are_turned() {
    let dates = Dates::new(date("2027-07-17"), date("2027-07-10"));
    assert_eq!((dates.first(), dates.last()), (date("2027-07-10"), date("2027-07-17")));
}

#[test]
fn findings_become_json() {
    let found = check(crate::cases::known("canada"), &eight_metres(vec![flares(6, Some("2027-07-17"))]));
    let json = serde_json::to_value(&found).unwrap();
    assert_eq!(json["last_day"], "2027-07-17");
    let row = json["findings"].as_array().unwrap().iter().find(|row| row["id"] == "flares_9").unwrap();
    assert_eq!(row["standing"], "met");
    assert_eq!(row["needs"][0]["uses"][0]["expires"], "2027-07-17");
    assert_eq!(row["needs"][0]["one_of"][0], "flare_hand");
    assert_eq!(row["citation"]["how"], "read");
    for one in authorities() {
        let json = serde_json::to_string(one).unwrap();
        assert_eq!(serde_json::from_str::<rules::Authority>(&json).as_ref().ok(), Some(one), "{}", one.id);
    }
}

/// Any handful of things, some expired, some without a date.
fn any_kit() -> impl Strategy<Value = Vec<Carried>> {
    let day =
        prop_oneof![Just(None), Just(Some("2027-07-16")), Just(Some("2027-07-17")), Just(Some("2029-01-01"))];
    let one = (0..Gear::ALL.len(), 0..5_u32, day)
        .prop_map(|(gear, count, day)| Carried { expires: day.map(date), ..piece(Gear::ALL[gear], count) });
    proptest::collection::vec(one, 0..12)
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(150))]

    /// More aboard never makes a finding worse, and what is counted adds up.
    #[test]
    fn more_aboard_is_never_worse(
        metres in 2.0..30.0_f64, some in any_kit(), more in any_kit(), engine in proptest::bool::ANY,
    ) {
        for one in authorities() {
            let mut asked = inquiry(Length::metres(metres), some.clone());
            say(&mut asked, if engine { "engine=yes fuel_appliance=yes entrances=2" } else { "" });
            let before = check(one, &asked);
            asked.aboard.extend(more.clone());
            let after = check(one, &asked);
            prop_assert_eq!(before.findings.len(), after.findings.len());
            for (before, after) in before.findings.iter().zip(&after.findings) {
                prop_assert!(after.standing <= before.standing, "{}: {:?} then {:?}", before.id, before, after);
                for need in &after.needs {
                    prop_assert!(need.in_date + need.undated + need.expired <= need.aboard.max(need.in_date));
                    prop_assert!(need.missing <= need.required.unwrap_or(need.at_least));
                }
                prop_assert!(words::finding(after).contains("Source: "));
            }
        }
    }

    /// A later last day never makes anything better.
    #[test]
    fn a_longer_charter_is_never_better(metres in 2.0..30.0_f64, aboard in any_kit(), days in 1..800_i32) {
        for one in authorities() {
            let mut asked = inquiry(Length::metres(metres), aboard.clone());
            say(&mut asked, "engine=yes fuel_appliance=yes entrances=2");
            let before = check(one, &asked);
            let last = asked.dates.last().checked_add(jiff::Span::new().days(days)).unwrap();
            asked.dates = Dates::new(asked.dates.first(), last);
            for (before, after) in before.findings.iter().zip(&check(one, &asked).findings) {
                prop_assert!(after.standing >= before.standing, "{}", before.id);
            }
        }
    }
}
