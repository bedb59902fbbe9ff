//! `equipment`, `waste` and `tide`.

use jiff::tz::TimeZone;
use jiff::{SignedDuration, Timestamp};

use crate::{SORA, assert_laid_out, becket, file, json, out, refused};

/// A boat of 9 m under the flag of Canada with flares until 17 July 2027.
fn sora(name: &str) -> String {
    let text = format!(
        "{SORA}flag = \"Canada\"\nengine = \"outboard\"\n[places.locker]\nname = \"Locker\"\nlevel = \"deck\"\naft = \"6 m\"\n\
         side = \"0 m\"\nlong = \"1 m\"\nwide = \"1 m\"\n[kit.flares]\nname = \"Flares\"\nplace = \"locker\"\ncount = 6\n\
         expires = \"2027-07-17\"\ncounts_as = [\"flare_hand\"]\n"
    );
    file(name, &text).display().to_string()
}

/// # Source
/// SOR/2010-91 s. 205 item 2(b), over 6 to 9 m: a torch and 6 flares (trade-facts, section 1b).
#[test]
fn what_runs_out_or_is_missing_ends_with_1() {
    let boat = sora("law");
    let standing = |until: &str| {
        let (data, code) = json(&["equipment", &boat, "--until", until, "--waters", "coastal"]);
        let rows = data["checks"][0]["findings"].as_array().unwrap().clone();
        let found = rows.iter().find(|row| row["id"] == "flares_9").unwrap()["standing"].clone();
        (found, code)
    };
    // Other things are missing in any case.
    assert_eq!(standing("2027-07-17"), ("met".into(), Some(1)));
    assert_eq!(standing("2027-07-18"), ("expired".into(), Some(1)));
    let output = becket(&["equipment", &boat, "--until", "2027-07-18", "--waters", "coastal"]);
    let text = out(&output);
    assert_laid_out(&text);
    for words in
        ["Aboard, but not in date through the last day (1)", "s. 205 item 2(b)", "no country of the European"]
    {
        assert!(text.contains(words), "{words}: {text}");
    }
    // A list that asks for nothing that she lacks: the United Kingdom's has no row, and says so.
    let (data, code) = json(&["equipment", &boat, "--until", "2027-07-18", "--rules", "uk"]);
    assert_eq!((code, data["checks"][0]["coverage"]["equipment"].as_str()), (Some(0), Some("nothing")));
}

#[test]
fn an_answer_is_taken_and_children_are_counted_by_weight() {
    let boat = sora("law-say");
    let args = [
        "equipment",
        &boat,
        "--until",
        "2027-07-10",
        "--child",
        "14 kg",
        "--child",
        "31 lb",
        "--say",
        "high_climb=no",
    ];
    let (data, _) = json(&args);
    assert_eq!(data["asked"]["facts"]["high_climb"], false);
    let weights = data["asked"]["children_kg"].as_array().unwrap();
    assert!((weights[1].as_f64().unwrap() - 14.06).abs() < 0.01, "{weights:?}");
    let said = refused(&["equipment", &boat, "--until", "2027-07-10", "--say", "wings=yes"]);
    assert!(said.contains("No rule asks for “wings”") && said.contains("high_climb"), "{said}");
    let said = refused(&["equipment", &boat, "--until", "2027-07-10", "--rules", "Greece"]);
    assert!(said.contains("not known here"), "{said}");
}

/// # Source
/// Transport Canada's sewage page: untreated not within 3 nautical miles (trade-facts, section 4).
#[test]
fn waste_is_told_for_a_place_and_as_a_list() {
    let boat = sora("law-waste");
    let verdict = |off: &str| {
        let (data, code) = json(&["waste", &boat, "--waters", "coastal", "--off", off]);
        assert_eq!(code, Some(0));
        data["authorities"][0]["here"]["sewage_untreated"]["verdict"].clone()
    };
    assert_eq!((verdict("3 nmi"), verdict("3.1 nmi")), ("forbidden".into(), "conditions".into()));
    let text = out(&becket(&["waste", "whimbrel"]));
    assert_laid_out(&text);
    for words in [
        "Plastic goes overboard nowhere.",
        "keep it aboard and ask the authority",
        "secured, not merely shut",
    ] {
        assert!(text.contains(words), "{words}: {text}");
    }
    assert!(!text.contains("extinguishers marked"), "what is about equipment stands elsewhere: {text}");
}

#[test]
fn the_tide_of_a_day_is_told_with_what_it_leaves_out() {
    let day = [
        "tide",
        "whimbrel",
        "--day",
        "2027-07-10",
        "--at",
        "2027-07-10T14:00",
        "--until",
        "2027-07-11T09:00",
    ];
    let text = out(&becket(&[&day[..], &["--depth", "1.5 m", "--clearance", "0.5 m"]].concat()));
    assert_laid_out(&text);
    for words in [
        "Tide at Boston, 112 nautical miles away",
        "may be hours earlier or later",
        "America/New_York",
        "Water enough, that is 1.10 m or more",
        "Not for navigation.",
        "mean lower low water",
    ] {
        assert!(text.replace('\n', " ").contains(words), "{words}: {text}");
    }
    assert_eq!(text.matches("  high  ").count(), 2, "{text}");
    let (data, code) = json(&["tide", "--station", "8729840", "--day", "2026-07-10"]);
    assert_eq!((code, &data["station"]["name"]), (Some(0), &"Pensacola".into()));
    let said = refused(&["tide", "--station", "Atlantis", "--day", "2026-07-10"]);
    assert!(said.contains("Known are Boston"), "{said}");
    let said = refused(&["tide", "whimbrel", "--day", "2027-07-10", "--depth", "1.5 m"]);
    assert!(said.contains("--clearance"), "how much to keep below the keel is not guessed: {said}");
}

/// The rules of the stations' clocks against the IANA time zone database that is compiled into the program, each half hour
/// around every change and every ten days, through the years in which the rule is in force.
#[test]
fn the_clocks_of_the_stations_are_those_of_the_time_zone_database() {
    for (station, zone, posix) in pages::CLOCKS {
        assert!(almanac::tide::station(station).is_some(), "{station}");
        let own = TimeZone::posix(posix).unwrap();
        let known = TimeZone::get(zone).unwrap();
        let mut at: Timestamp = "2008-01-01T00:00:00Z".parse().unwrap();
        let end: Timestamp = "2037-12-31T00:00:00Z".parse().unwrap();
        let same = |at: Timestamp| assert_eq!(own.to_offset(at), known.to_offset(at), "{zone} at {at}");
        while at < end {
            same(at);
            at += SignedDuration::from_hours(240);
        }
        let mut changes = 0;
        for change in known
            .following("2008-01-01T00:00:00Z".parse().unwrap())
            .take_while(|change| change.timestamp() < end)
        {
            for minutes in [-30, -1, 0, 30] {
                same(change.timestamp() + SignedDuration::from_mins(minutes));
            }
            changes += 1;
        }
        assert_eq!(changes, 60, "{zone}: two a year for thirty years");
    }
    let without = almanac::tide::stations()
        .iter()
        .filter(|one| pages::CLOCKS.iter().all(|row| Some(row.0) != one.id.as_deref()));
    assert_eq!(without.count(), 0, "every station that is compiled in has its clocks");
}
