//! Stations as text: what is read, what is refused and where, and that what is written reads back.

use almanac::tide::{Constituent, Datum, Harmonic, Station, stations};
use proptest::prelude::*;
use quantity::{Angle, Length};

const GOOD: &str = "# A station of the base's own.
station  Juniper Ledge, inner float
place    43.9 N 69.6 W
datum    mean lower low water (MLLW)
mean     4.9 ft
source   invented

M2  4.3 ft  105°
K1  0.14 m  205.5 deg
";

/// The first fault of the good text in which `from` is written as `to`, as line, character, words.
fn fault(from: &str, to: &str) -> (usize, usize, String) {
    assert!(GOOD.contains(from), "{from}");
    let errors = Station::read(&GOOD.replace(from, to)).unwrap_err();
    let first = &errors.0[0];
    (first.line, first.column, first.words.clone())
}

#[test]
fn a_station_of_the_base_is_read() {
    let station = Station::read(GOOD).unwrap();
    assert_eq!(station.name, "Juniper Ledge, inner float");
    assert_eq!(station.datum.mean, Length::feet(4.9));
    assert_eq!(station.id, None);
    assert_eq!(station.constituents.len(), 2);
    assert_eq!(station.constituents[1].phase, Angle::degrees(205.5));
    assert_eq!(Station::read(&GOOD.replace('\n', "\r\n")).unwrap(), station);
}

#[test]
fn faults_say_where_and_how() {
    let cases = [
        ("M2  4.3 ft  105°", "M2  4.3 s  105°", 8, 5, "length"),
        ("M2  4.3 ft  105°", "M2  4.3 ft  105 m", 8, 13, "angle"),
        ("M2  4.3 ft  105°", "M2  4.3 ft", 8, 5, "its amplitude and its phase"),
        ("M2  4.3 ft  105°", "  M7  4.3 ft  105°", 8, 3, "neither a constituent that is known"),
        ("M2  4.3 ft  105°", "M2  -4.3 ft  105°", 8, 5, "0 to 10 m"),
        ("M2  4.3 ft  105°", "M2  4.3 ft  1050°", 8, 13, "at most 360"),
        ("K1  0.14 m", "M2  0.14 m", 9, 1, "given twice"),
        ("mean     4.9 ft", "mean     high", 5, 10, ""),
        ("mean     4.9 ft", "mean     4.9 ft\nmean  1 m", 6, 1, "said twice"),
        ("mean     4.9 ft", "mean", 5, 1, "Nothing stands behind"),
        ("mean     4.9 ft", "mean     4.9 ft\nlowest  5 ft", 6, 9, "above the mean level"),
        ("mean     4.9 ft", "mean     4.9 ft\nhighest  4 ft", 6, 10, "below the mean level"),
        ("place    43.9 N 69.6 W", "place    43.9 N", 3, 10, "not a position"),
        ("source   invented", "", 9, 1, "“source” is missing"),
        ("station  Juniper", "stations  Juniper", 2, 1, "neither a constituent"),
    ];
    for (from, to, line, column, words) in cases {
        let found = fault(from, to);
        assert_eq!((found.0, found.1), (line, column), "{to}: {}", found.2);
        assert!(found.2.contains(words) && found.2.ends_with('.'), "{to}: {}", found.2);
    }
}

#[test]
fn all_faults_are_told_at_once() {
    let errors = Station::read("M2 1 m 400°\nM9 1 m 3°\nplace nowhere\n").unwrap_err();
    let words = errors.to_string();
    // The phase, the unknown name, the position, and four things that are missing.
    assert_eq!(errors.0.len(), 7, "{words}");
    assert!(words.starts_with("Line 1, character 8: "), "{words}");
    assert!(!Station::read("").unwrap_err().0.is_empty());
}

#[test]
fn compiled_in_stations_read_back_as_written() {
    assert_eq!(stations().len(), 3);
    for station in stations() {
        assert_eq!(Station::read(&station.to_string()).as_ref(), Ok(station));
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(200))]

    #[test]
    fn what_is_written_reads_back(
        name in "[A-Za-z][A-Za-z0-9 ,.]{0,20}[a-z]",
        id in proptest::option::of("[0-9]{1,8}"),
        (latitude, longitude) in (-90.0..=90.0_f64, -180.0..=180.0_f64),
        mean in 0.0..9.0_f64,
        sizes in proptest::collection::vec((0.0..=10.0_f64, -360.0..=360.0_f64), 1..37),
    ) {
        let constituents = Constituent::all()
            .zip(&sizes)
            .map(|(constituent, (size, phase))| Harmonic {
                constituent,
                amplitude: Length::metres(*size),
                phase: Angle::degrees(*phase),
            })
            .collect();
        let datum = Datum { name: name.clone(), mean: Length::metres(mean), lowest: None, highest: None };
        let place = crate::reference::place(latitude, longitude);
        let station = Station { name, id, place, datum, constituents, source: "a test".to_owned() };
        prop_assert_eq!(Station::read(&station.to_string()), Ok(station));
    }

    #[test]
    fn no_text_makes_it_fall_over(text in "(\\PC|\n){0,200}") {
        let _ = Station::read(&text);
    }

    #[test]
    fn near_texts_do_not_either(at in 0..GOOD.len(), put in "(\\PC|\n){0,3}") {
        let at = (0..=at).rev().find(|at| GOOD.is_char_boundary(*at)).unwrap();
        let _ = Station::read(&format!("{}{put}{}", &GOOD[..at], &GOOD[at..]));
    }
}
