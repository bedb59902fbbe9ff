//! Positions as they are written on charts.

use almanac::{Position, PositionError};
use proptest::prelude::*;
use quantity::Angle;

use crate::reference::place;

fn read(text: &str) -> Position {
    Position::parse(text).unwrap_or_else(|error| panic!("{text}: {error}"))
}

#[test]
fn positions_are_read_as_people_write_them() {
    for text in [
        "43.9 N 69.6 W",
        "43.9N 69.6W",
        "  43.9 n, 69.6 w ",
        "43.9° N 69.6° W",
        "43 54 N 69 36 W",
        "43° 54' N, 069° 36' W",
        "43°54′00″N 69°36′00″W",
        "43 54 0.0 N 69 36 0.0 W",
    ] {
        assert_eq!(read(text), place(43.9, -69.6), "{text}");
    }
    assert_eq!(read("36.8 S 174.8 E"), place(-36.8, 174.8));
    assert_eq!(read("0 N 180 W"), place(0.0, -180.0));
    assert_eq!(read("90 S 0 E"), place(-90.0, 0.0));
}

#[test]
fn what_is_no_position_is_refused() {
    for text in [
        "",
        "N W",
        "43.9 69.6",
        "43.9 N",
        "43.9 N 69.6",
        "43.9 W 69.6 N",
        "-43.9 N 69.6 W",
        "43,9 N 69,6 W",
        "43.9 N 69.6 W 3",
        "43.5 30 N 69.6 W",
        "43 60 N 69.6 W",
        "43' 9° N 69.6 W",
        "1 2 3 4 N 69.6 W",
        "4.3.9 N 69.6 W",
        "1e1 N 69.6 W",
        "inf N 69.6 W",
        "43.9 é N 69.6 W",
    ] {
        let error = Position::parse(text).expect_err(text);
        assert_eq!(error, PositionError::Unreadable { text: text.to_owned() }, "{text}");
    }
}

#[test]
fn places_beyond_the_poles_or_half_way_round_do_not_exist() {
    let error = Position::parse("90.5 N 10 E").unwrap_err();
    assert_eq!(
        error.to_string(),
        "A latitude of 90.5 degrees does not exist. It is at most 90 degrees, at a pole."
    );
    assert!(matches!(Position::parse("10 S 180.1 W"), Err(PositionError::Longitude(_))));
    let nan = Angle::degrees(f64::NAN);
    assert!(matches!(Position::new(nan, Angle::ZERO), Err(PositionError::Latitude(_))));
    assert!(matches!(Position::new(Angle::ZERO, nan), Err(PositionError::Longitude(_))));
}

proptest! {
    #[test]
    fn what_is_printed_reads_back(latitude in -90.0..=90.0_f64, longitude in -180.0..=180.0_f64) {
        let place = place(latitude, longitude);
        let back = read(&place.to_string());
        prop_assert_eq!(back, place);
        prop_assert_eq!(back.to_string(), place.to_string());
    }

    #[test]
    fn no_text_ends_the_reader(text in "[NSEWnsew0-9°º'’′\"″., é-]{0,24}") {
        if let Ok(place) = Position::parse(&text) {
            prop_assert_eq!(read(&place.to_string()), place);
        }
    }
}

/// # Source
/// Geometry of a sphere of 6371.0088 km: a degree of a great circle is 111.195 km, half of one is 20015.1 km.
#[test]
fn distances_are_those_of_a_sphere() {
    let close = |from: &str, to: &str, kilometres: f64| {
        let (from, to) = (read(from), read(to));
        let found = from.distance(to).as_kilometres();
        assert!((found - kilometres).abs() < 0.1, "{from} to {to}: {found} km");
        assert_eq!(from.distance(to).as_kilometres().to_bits(), to.distance(from).as_kilometres().to_bits());
    };
    close("0 N 0 E", "1 N 0 E", 111.195);
    close("0 N 179.5 E", "0 N 179.5 W", 111.195);
    close("60 N 0 E", "60 N 180 E", 60.0 * 111.195);
    close("0 N 0 E", "0 N 180 E", 20015.115);
    close("90 N 0 E", "90 S 0 E", 20015.115);
    close("43.9 N 69.6 W", "43.9 N 69.6 W", 0.0);
}
