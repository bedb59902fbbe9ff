//! What a boat can't do or what contradicts itself is refused, or flagged, with a place in the plan and how to mend it;
//! what a boat file lacks for a forecast is told with a place in the boat file. Faults of the plan's text alone are in
//! `crates/boat/tests/broken_trips`.

mod check;

use boat::diagnostic::{Diagnostic, Severity};
use boat::model::Boat;
use endure::forecast::as_planned;
use endure::{Forecast, Voyage, reckon};

use crate::budgets::demo;
use crate::laws::random::{self, trip};

/// Everything that is said about a plan for a boat, and whether it was refused.
fn said(boat: &Boat, plan: &str) -> (Vec<Diagnostic>, bool) {
    let read = boat::trip::compile("plan.toml", plan);
    let Some(trip) = read.trip else { return (read.diagnostics, true) };
    match Voyage::new(boat, &trip) {
        Ok(voyage) => (voyage.notes, false),
        Err(faults) => (faults, true),
    }
}

/// A plan for Whimbrel with more keys in [plan], and days.
fn plan(keys: &str, days: &str) -> String {
    format!("trip = 1\n[plan]\nboat = \"Whimbrel\"\ncrew = 4\nstarts = 2027-07-10\n{keys}\n{days}")
}

const DAY: &str = "[[days]]\nnight = \"anchored\"\n";
const HOME: &str = "[[days]]\nlegs = [{ by = \"motor\", from = \"08:00\", for = \"1 h\" }]\nnight = \"alongside\"\npedestal = \"none\"\n";

/// Looks for a finding by its code and some of its words, with a place, what is expected and how to mend it.
fn finding<'a>(found: &'a [Diagnostic], code: &str, words: &str, plan: &str) -> &'a Diagnostic {
    let all: Vec<String> = found.iter().map(|one| format!("[{}] {}", one.code, one.headline)).collect();
    let one = found
        .iter()
        .find(|one| one.code == code && one.headline.contains(words))
        .unwrap_or_else(|| panic!("no [{code}] with \"{words}\" in:\n{}\n{plan}", all.join("\n")));
    assert!(one.expected.is_some() && one.mend.is_some(), "{all:?}");
    let span = one.primary.span;
    assert!(plan.get(span.start..span.end).is_some_and(|text| !text.is_empty()), "{span:?} {all:?}");
    assert!(
        one.headline.ends_with('.') && one.mend.as_ref().is_some_and(|mend| mend.ends_with('.')),
        "{all:?}"
    );
    one
}

#[test]
fn what_can_t_be_is_refused() {
    let two = format!("{DAY}{HOME}");
    let reading = |lines: &str| format!("{DAY}{HOME}[[readings]]\nday = 1\nat = \"18:00\"\n{lines}\n");
    let leg = |from: &str, day: &str| {
        format!("[[days]]\nlegs = [{{ by = \"sail\", from = \"{from}\", for = \"1 h\" }}]\n{day}{HOME}")
    };
    let engine = |from: &str| format!("[[days]]\nengine = [{{ from = \"{from}\", for = \"2 h\" }}]\n{HOME}");
    let cases: Vec<(String, &str, &str)> = vec![
        (plan("ends = 2027-07-10", &two), "charter", "2 days, the charter 1"),
        (plan("ends = 2027-07-09", &two), "charter", "ends before it starts"),
        (plan("from = \"16:00\"\nuntil = \"10:00\"", DAY), "outside-trip", "handed back before"),
        (
            plan("", &leg("06:00", "")),
            "outside-trip",
            "A leg from 06:00 begins before the crew takes her over",
        ),
        (
            plan("until = \"08:30\"", &two),
            "outside-trip",
            "A leg from 08:00 goes on after she is handed back",
        ),
        (plan("", &engine("09:00")), "outside-trip", "An engine run from 09:00 begins before"),
        (
            plan("levels = [{ store = \"hous\", level = \"50 %\" }]", &two),
            "unknown-name",
            "no store \"hous\"",
        ),
        (plan("off = [\"heatr\"]", &two), "unknown-name", "no load \"heatr\""),
        (plan("off_at_night = [\"refrigerater\"]", &two), "unknown-name", "no load \"refrigerater\""),
        (plan("", &reading("store = \"hose\"\nvoltage = \"12.4 V\"")), "unknown-name", "no store \"hose\""),
        (plan("", &reading("store = \"diesel\"\nvoltage = \"12.4 V\"")), "reading", "no voltage"),
        (
            plan("", &format!("{two}[[readings]]\nday = 3\nat = \"12:00\"\nengine = \"2 h\"\n")),
            "outside-trip",
            "Day 3 at 12:00",
        ),
        (
            plan("", &format!("{two}[[readings]]\nday = 1\nat = \"12:00\"\nengine = \"2 h\"\n")),
            "outside-trip",
            "Day 1 at 12:00",
        ),
        (
            plan("", &format!("[[days]]\nnight = \"moored\"\npedestal = \"30 A\"\n{HOME}")),
            "not-alongside",
            "no pedestal where",
        ),
        (plan("levels = [{ store = \"house\", level = \"130 %\" }]", &two), "out-of-range", "more than full"),
        (
            plan("levels = [{ store = \"diesel\", level = \"-10 %\" }]", &two),
            "negative-quantity",
            "less than nothing",
        ),
        (plan("", ""), "missing-section", "no days"),
        (plan("", &DAY.repeat(61)), "out-of-range", "more than 60 days"),
        (plan("latitude = \"91°\"", &two), "out-of-range", "latitude"),
        (plan("", &two).replace("2027-07-10", "9999-12-30"), "out-of-range", "9999-12-30"),
    ];
    let boat = demo("whimbrel");
    for (plan, code, words) in cases {
        let (found, refused) = said(&boat, &plan);
        let one = finding(&found, code, words, &plan);
        assert!(refused && one.severity == Severity::Error, "[{code}] {words}");
    }
}

#[test]
fn near_names_are_offered() {
    let boat = demo("whimbrel");
    let text =
        plan("off = [\"heatr\"]\nlevels = [{ store = \"hous\", level = \"50 %\" }]", &format!("{DAY}{HOME}"));
    let (found, _) = said(&boat, &text);
    assert_eq!(finding(&found, "unknown-name", "load", &text).near.as_deref(), Some("heater"));
    assert_eq!(finding(&found, "unknown-name", "store", &text).near.as_deref(), Some("house"));
    // The place is the name itself, or its row.
    let span = finding(&found, "unknown-name", "load", &text).primary.span;
    assert_eq!(&text[span.start..span.end], "\"heatr\"");
}

#[test]
fn what_should_be_looked_at_is_flagged() {
    let boat = demo("whimbrel");
    let cases = [
        (
            plan("", &format!("{DAY}{}", HOME.replace("pedestal = \"none\"\n", ""))),
            "no-pedestal",
            "without shore power",
        ),
        (
            plan("", &format!("[[days]]\nengine = [{{ from = \"22:00\", for = \"1 h\" }}]\n{HOME}")),
            "quiet-hours",
            "quiet hours",
        ),
        (plan("", &format!("{DAY}{HOME}")).replace("Whimbrel", "Dunlin"), "another-boat", "\"Dunlin\""),
        (plan("off_at_night = [\"vhf\"]", &format!("{DAY}{HOME}")), "needed", "not meant to be switched off"),
    ];
    for (plan, code, words) in cases {
        let (found, refused) = said(&boat, &plan);
        let one = finding(&found, code, words, &plan);
        assert!(!refused && one.severity == Severity::Warning, "[{code}] {words}");
    }
    // In order: nothing to say.
    let (found, refused) = said(&boat, &plan("", &format!("{DAY}{HOME}")));
    assert!(found.is_empty() && !refused, "{found:?}");
}

#[test]
fn quiet_hours_over_midnight_and_within_a_day() {
    let boat = demo("whimbrel");
    let quiet = |keys: &str, from: &str| {
        let days = format!("{DAY}[[days]]\nengine = [{{ from = \"{from}\", for = \"1 h\" }}]\n{HOME}");
        said(&boat, &plan(keys, &days)).0.iter().any(|found| found.code == "quiet-hours")
    };
    assert!(!quiet("", "08:00") && !quiet("", "20:00") && quiet("", "07:30") && quiet("", "20:30"));
    let nap = "quiet_from = \"13:00\"\nquiet_until = \"15:00\"";
    assert!(!quiet(nap, "08:00") && !quiet(nap, "22:00") && quiet(nap, "12:30") && quiet(nap, "14:59"));
    assert!(!quiet(nap, "12:00") && !quiet(nap, "15:00"));
}

#[test]
fn a_pedestal_without_an_inlet_is_refused() {
    let boat = random::boat(random::HEAD);
    let text = "trip = 1\n[plan]\ncrew = 2\nstarts = 2027-07-10\n[[days]]\nnight = \"alongside\"\npedestal = \"30 A\"\n[[days]]\n";
    let (found, refused) = said(&boat, text);
    assert!(refused);
    finding(&found, "no-inlet", "no shore inlet", text);
}

const BANK: &str = "\n[stores.house]\nname = \"House bank\"\nkind = \"battery\"\nchemistry = \"agm\"\ncapacity = \"400 Ah\"\n";
const TWO_DAYS: &str = "trip = 1\n[plan]\ncrew = 2\nstarts = 2027-07-10\n[[days]]\n[[days]]\n";

#[test]
fn what_a_boat_lacks_is_told_with_the_plan() {
    let boat = random::boat(&format!("{}{BANK}", random::HEAD));
    let (found, refused) = said(&boat, TWO_DAYS);
    assert!(!refused);
    finding(&found, "no-charger", "House bank", TWO_DAYS);
    // A load without its store.
    let gas = "\n[loads.stove]\nname = \"Stove\"\nkind = \"gas\"\nruns = \"daily\"\na_day_each = \"45 g\"\n";
    let (found, _) = said(&random::boat(&format!("{}{gas}", random::HEAD)), TWO_DAYS);
    finding(&found, "no-store", "Stove", TWO_DAYS);
    // The engine runs, and nothing charges.
    let motor = "trip = 1\n[plan]\ncrew = 2\nstarts = 2027-07-10\n[[days]]\nlegs = [{ by = \"motor\", from = \"17:00\", for = \"1 h\" }]\n[[days]]\n";
    let (found, _) = said(&boat, motor);
    finding(&found, "no-charger", "The engine runs", motor);
    // Nobody says where she sails.
    let lost = random::HEAD.replace("latitude = \"43.9°\"\n", "");
    let (found, _) = said(&random::boat(&lost), TWO_DAYS);
    finding(&found, "no-position", "where she sails", TWO_DAYS);
}

#[test]
fn a_bank_that_can_t_be_is_refused() {
    for wrong in [
        "voltage = \"9 V\"",
        "bulk = \"20 V\"",
        "bulk = \"13.6 V\"\nfloat = \"14.4 V\"",
        "accepts = \"5000 %\"",
    ] {
        let boat = random::boat(&format!("{}{BANK}{wrong}\n", random::HEAD));
        let (found, refused) = said(&boat, TWO_DAYS);
        assert!(refused, "{wrong}");
        finding(&found, "bank", "House bank", TWO_DAYS);
    }
}

/// A waste tank that may be filled to its brim is spent when no more goes in.
#[test]
fn a_full_waste_tank_is_spent_even_if_all_of_it_is_usable() {
    let text = format!(
        "{}\n[stores.holding]\nname = \"Holding tank\"\nkind = \"waste\"\ncapacity = \"20 L\"\n\n[loads.head]\nname = \"Head\"\nkind = \"waste\"\nruns = \"event\"\nper = \"flush\"\ntakes = \"5 L\"\n",
        random::HEAD
    );
    let voyage = Voyage::new(&random::boat(&text), &trip(TWO_DAYS)).unwrap();
    let (marks, _) = as_planned(&voyage);
    assert!(marks.spent[0].is_some() && marks.wanting[0] > 0.0);
}

/// From one pole to the other, in light and dark, on the last day that the sun is known for.
#[test]
fn any_place_and_any_day_is_reckoned() {
    let boat = demo("whimbrel");
    for latitude in ["90°", "89.99°", "78°", "66.6°", "0°", "-66.6°", "-90°"] {
        for longitude in ["180°", "-180°", "0°"] {
            for starts in ["2027-03-18", "2027-06-21", "2027-09-22", "2027-12-21", "1900-01-01", "2199-12-30"]
            {
                for offset in ["-12 h", "14 h"] {
                    let keys = format!(
                        "latitude = \"{latitude}\"\nlongitude = \"{longitude}\"\nutc_offset = \"{offset}\""
                    );
                    let text = plan(&keys, &format!("{DAY}{DAY}{HOME}")).replace("2027-07-10", starts);
                    let voyage = Voyage::new(&boat, &trip(&text)).unwrap();
                    let dark: u32 = voyage.timeline.dark.iter().map(|(from, to)| to - from).sum();
                    let all = voyage.timeline.end - voyage.timeline.begin;
                    assert!(dark <= all, "{dark} of {all} minutes: {text}");
                    let ordered = voyage.timeline.dark.windows(2).all(|pair| pair[0].1 <= pair[1].0);
                    assert!(ordered, "{:?}", voyage.timeline.dark);
                    assert!(voyage.sun.iter().all(|sun| sun.is_finite() && *sun >= 0.0));
                    match (latitude, starts) {
                        ("78°", "2027-06-21") => assert_eq!(dark, 0, "midnight sun"),
                        ("78°", "2027-12-21") => assert_eq!(dark, all, "polar night"),
                        ("0°", _) => assert!((all / 3..all * 2 / 3).contains(&dark), "{dark} of {all}"),
                        _ => {}
                    }
                }
            }
        }
    }
}

/// The longest trip with the most people, everything empty at the start.
#[test]
fn a_trip_at_all_its_limits_is_reckoned() {
    let boat = demo("whimbrel");
    let empty = "levels = [{ store = \"house\", level = \"0 %\" }, { store = \"start\", level = \"0 %\" }, { store = \"diesel\", level = \"0 %\" }]\nlow = \"-40 °C\"\nhigh = \"60 °C\"\ncloud = \"100 %\"\nwater_each = \"500 L\"\nflushes_each = 30\nmeals = 10";
    let text = plan(empty, &DAY.repeat(60)).replace("crew = 4", "crew = 40");
    let voyage = Voyage::new(&boat, &trip(&text)).unwrap();
    let forecast = Forecast::of(&boat, &voyage, &reckon(&voyage, 1, 0..2));
    assert!(forecast.all_last.abs() < 1e-12);
    assert!(forecast.stores.iter().all(|store| store.hours.iter().all(|band| band.middle.is_finite())));
}

#[test]
fn no_drawings_are_no_forecast_and_no_panic() {
    let boat = demo("whimbrel");
    let voyage = Voyage::new(&boat, &trip(&plan("", &format!("{DAY}{HOME}")))).unwrap();
    assert!(Forecast::of(&boat, &voyage, &[]).all_last.is_nan());
}

#[test]
fn a_boat_without_stores_has_a_forecast_of_nothing() {
    let boat = random::boat(random::HEAD);
    let voyage = Voyage::new(&boat, &trip(TWO_DAYS)).unwrap();
    let forecast = Forecast::of(&boat, &voyage, &reckon(&voyage, 1, 0..3));
    assert!(forecast.stores.is_empty());
    assert!(endure::words::verdict(&voyage, &forecast, "2027-07-10").contains("no stores"));
}
