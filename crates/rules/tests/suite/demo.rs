//! The demo boats, from their files to findings.

use std::path::PathBuf;

use boat::model::{Boat, Gear};
use rules::{Carried, Crew, Dates, Fact, Inquiry, Standing, Vessel, Waters, check};

use crate::cases::{date, known};

fn demo(name: &str) -> Boat {
    let path = PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("../../demo").join(format!("{name}.toml"));
    let text = std::fs::read_to_string(path).unwrap();
    boat::compile(name, &text).boat.unwrap()
}

fn asked(name: &str, last: &str) -> Inquiry {
    let boat = demo(name);
    Inquiry {
        vessel: Vessel::of(&boat),
        crew: Crew { adults: 4, children: Vec::new() },
        dates: Dates::new(date("2027-07-10"), date(last)),
        waters: Some(Waters::Coastal),
        aboard: Carried::of(&boat),
    }
}

#[test]
fn whimbrel_is_read_from_her_file() {
    let asked = asked("whimbrel", "2027-07-17");
    for fact in [Fact::Engine, Fact::InboardEngine, Fact::FuelAppliance, Fact::MachinerySpace] {
        assert_eq!(asked.vessel.says(fact), Some(true), "{fact:?}");
    }
    assert_eq!(asked.vessel.says(Fact::Night), None);
    let count = |gear| {
        asked.aboard.iter().filter(|line| line.counts_as.contains(&gear)).map(|line| line.count).sum::<u32>()
    };
    assert_eq!(count(Gear::FlareHand), 6);
    assert_eq!(count(Gear::LifejacketAdult), 8);
    assert_eq!(count(Gear::Radio), 1, "the kit line counts, the item it points at does not again");
    assert_eq!(count(Gear::Anchor50), 1);
    let found = check(known("usa"), &asked);
    let standing = |id: &str| found.findings.iter().find(|one| one.id == id).unwrap().standing;
    for id in [
        "lifejackets",
        "throwable",
        "day_signals",
        "night_signals",
        "rules_copy",
        "fire_65",
        "garbage_placard",
        "oil_placard",
    ] {
        assert_eq!(standing(id), Standing::Met, "{id}");
    }
    // She is 13 m: from 12 m a whistle is asked for, and the file has a fog horn only.
    assert_eq!(standing("whistle"), Standing::Missing);
    assert_eq!(standing("waste_plan"), Standing::Unknown);
}

/// Her flares may be used until 31 August 2028, her rockets until 31 October 2027, her smoke until 28 February 2028.
#[test]
fn whimbrels_flares_run_out() {
    let standing = |last: &str, id: &str| {
        let found = check(known("usa"), &asked("whimbrel", last));
        found.findings.into_iter().find(|one| one.id == id).unwrap().standing
    };
    assert_eq!(standing("2028-08-31", "night_signals"), Standing::Met);
    assert_eq!(standing("2028-09-01", "night_signals"), Standing::Expired);
    // By day the orange flag does, which has no date.
    assert_eq!(standing("2028-09-01", "day_signals"), Standing::Met);
}

#[test]
fn every_demo_boat_says_what_its_safety_gear_counts_as() {
    for name in ["whimbrel", "dunlin", "turnstone"] {
        let aboard = Carried::of(&demo(name));
        for gear in [
            Gear::LifejacketAdult,
            Gear::Lifebuoy,
            Gear::FlareHand,
            Gear::NavigationLights,
            Gear::Compass,
            Gear::Radio,
            Gear::BilgePumpManual,
            Gear::BilgePumping,
            Gear::Epirb,
            Gear::SoundDevice,
        ] {
            assert!(aboard.iter().any(|line| line.counts_as.contains(&gear)), "{name} {gear:?}");
        }
        assert!(aboard.iter().all(|line| !line.name.is_empty()));
    }
}

/// The words of the format and the things that they stand for are in one order.
#[test]
fn every_thing_is_found_by_its_word() {
    for gear in Gear::ALL {
        assert_eq!(Gear::find(gear.word()), Some(gear));
        assert!(!rules::words::gear_words(gear).is_empty());
    }
    assert_eq!(Gear::FuelAppliance.word(), "fuel_appliance");
    assert_eq!(Gear::Extinguisher10bc.word(), "extinguisher_10bc");
    assert_eq!(Gear::FlareSmoke.word(), "flare_smoke");
}
