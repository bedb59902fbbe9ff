//! The tide against two programs by other authors, and what holds for any tide.

use almanac::tide::{self, Constituent, Extreme, Level, Period, PeriodError, Station, Water};
use jiff::Timestamp;
use proptest::prelude::*;
use quantity::{Length, Time};

use crate::reference::{Row, Table, Worst, after, path, seconds, time};

fn period(from: &str, until: &str) -> Period {
    Period::new(time(from), time(until)).unwrap()
}

fn metres(station: &Station, at: Timestamp) -> f64 {
    tide::height(station, at).as_metres()
}

/// The station without the two constituents about which the programs do not agree.
fn without(station: &Station, names: &[&str]) -> Station {
    let mut less = station.clone();
    less.constituents.retain(|harmonic| !names.contains(&harmonic.constituent.name()));
    assert_eq!(less.constituents.len() + names.len(), station.constituents.len());
    less
}

/// Each row of the hourly table, with its station and moment.
fn hourly(mut see: impl FnMut(Row<'_>, &'static Station, Timestamp)) {
    for row in Table::read("tides_hourly.csv").rows() {
        let station = tide::station(row.text("station")).unwrap();
        see(row, station, time(&row.text("time_utc").replace('Z', ":00Z")));
    }
}

/// `tides_hourly.csv`: two programs with Schureman's factors, and one with those of the IHO.
#[test]
fn heights_meet_the_tables_without_the_two_doubtful_constituents() {
    let mut worst = [Worst::default(), Worst::default(), Worst::default()];
    hourly(|row, station, at| {
        let found = metres(&without(station, &["M1", "M3"]), at);
        let columns = ["schureman_no_m1m3_m", "pytides2_no_m1m3_m", "iho_no_m1m3_m"];
        for (worst, column) in worst.iter_mut().zip(columns) {
            worst.note(found - row.number(column), || format!("{} {at}", station.name));
        }
    });
    worst[0].check("height against Schureman's factors, m", 0.005);
    worst[1].check("height against pytides2, m", 0.005);
    worst[2].check("height against the factors of the IHO, m", tide::GIVE_OR_TAKE.as_metres());
}

/// With all constituents the programs differ among themselves by up to 5.7 cm; the README allows 6 cm.
#[test]
fn heights_with_all_constituents_meet_the_tables() {
    let mut worst = [Worst::default(), Worst::default(), Worst::default()];
    hourly(|row, station, at| {
        for (worst, column) in worst.iter_mut().zip(["schureman_m", "pytides2_m", "iho_m"]) {
            worst.note(metres(station, at) - row.number(column), || format!("{} {at}", station.name));
        }
    });
    worst[0].check("all constituents against the first program with Schureman's factors, m", 0.06);
    worst[1].check("all constituents against pytides2, m", 0.06);
    worst[2].check("all constituents against the factors of the IHO, m", 0.06);
}

/// Schureman's Table 2 prints the speeds, here as they stand in public programs made from it; M1's without the turning
/// of its angle, which Table 2 has as T - s + h.
#[test]
fn periods_are_those_of_the_speeds_in_print() {
    let speeds = [
        ("M2", 28.9841042),
        ("S2", 30.0),
        ("N2", 28.4397295),
        ("K1", 15.0410686),
        ("O1", 13.9430356),
        ("M6", 86.9523127),
        ("MK3", 44.0251729),
        ("MN4", 57.4238337),
        ("NU2", 28.5125831),
        ("MU2", 27.9682084),
        ("2N2", 27.8953548),
        ("OO1", 16.1391017),
        ("LAM2", 29.4556253),
        ("J1", 15.5854433),
        ("MM", 0.5443747),
        ("SSA", 0.0821373),
        ("SA", 0.0410686),
        ("MSF", 1.0158958),
        ("MF", 1.0980331),
        ("RHO", 13.4715145),
        ("Q1", 13.3986609),
        ("T2", 29.9589333),
        ("R2", 30.0410667),
        ("2Q1", 12.8542862),
        ("P1", 14.9589314),
        ("2SM2", 31.0158958),
        ("M3", 43.4761563),
        ("L2", 29.5284789),
        ("2MK3", 42.9271398),
        ("K2", 30.0821373),
        ("M8", 115.9364169),
        ("MS4", 58.9841042),
        ("M1", 14.4920521),
    ];
    for (name, speed) in speeds {
        let found = 360.0 / Constituent::find(name).unwrap().period().as_hours();
        assert!((found - speed).abs() < 2e-7, "{name}: {found} {speed}");
    }
    assert_eq!(Constituent::all().count(), 37);
    assert_eq!(Constituent::find("lambda2"), Constituent::find("LAM2"));
    assert_eq!(Constituent::find("M7"), None);
}

/// Extremes of the tables by 60 s steps, with the same constituents left out, and no smaller than 5 cm.
#[test]
fn high_and_low_water_meet_the_tables() {
    let rows = Table::read("tides_extremes.csv");
    let (mut minutes, mut height) = (Worst::default(), Worst::default());
    for station in tide::stations() {
        let less = without(station, &["M1", "M3"]);
        let ten_days = period("2026-07-10T00:00:00Z", "2026-07-20T00:00:01Z");
        let found = tide::extremes(&less, ten_days);
        for row in rows.rows().filter(|row| row.text("station") == station.id.as_deref().unwrap()) {
            let method = row.text("method");
            if row.number("prominence_m") < 0.05 {
                continue;
            }
            let want = if row.text("type") == "high" { Water::High } else { Water::Low };
            let at = time(row.text("time_utc"));
            let where_ = || format!("{} {method} {at}", station.name);
            let near = |turns: &[Extreme]| {
                let alike = turns.iter().filter(|turn| turn.water == want);
                *alike.min_by(|a, b| seconds(a.at, at).abs().total_cmp(&seconds(b.at, at).abs())).unwrap()
            };
            if method.ends_with("_no_m1m3") {
                minutes.note(seconds(near(&found).at, at) / 60.0, where_);
                let tolerance = if method.starts_with("iho") { 0.02 } else { 0.005 };
                height.note((near(&found).height.as_metres() - row.number("height_m")) / tolerance, where_);
            }
        }
    }
    minutes.check("high and low water, minutes", 5.0);
    height.check("high and low water, height in parts of the tolerance", 1.0);
}

/// Prominent turns are as many as the tables have: none is made up, none missed.
#[test]
fn as_many_turns_are_found_as_in_the_tables() {
    let rows = Table::read("tides_extremes.csv");
    for station in tide::stations() {
        let found = tide::extremes(
            &without(station, &["M1", "M3"]),
            period("2026-07-10T00:00:00Z", "2026-07-20T00:00:00Z"),
        );
        let theirs = rows.rows().filter(|row| {
            row.text("station") == station.id.as_deref().unwrap() && row.text("method") == "schureman_no_m1m3"
        });
        assert_eq!(found.len(), theirs.count(), "{}", station.name);
    }
}

/// The astronomical extremes that the authority publishes are the greatest of 19 years. The highest spring tides of three
/// years come near and none goes far beyond.
#[test]
fn the_published_lowest_and_highest_are_not_passed() {
    for station in tide::stations() {
        let (lowest, highest) = (station.datum.lowest.unwrap(), station.datum.highest.unwrap());
        let mut found = (f64::INFINITY, f64::NEG_INFINITY);
        for hour in 0..(24 * 365 * 3) {
            let height = metres(station, after(time("2005-01-01T00:00:00Z"), 3600 * hour));
            found = (found.0.min(height), found.1.max(height));
        }
        let span = (highest - lowest).as_metres();
        for (found, want) in [(-found.0, -lowest.as_metres()), (found.1, highest.as_metres())] {
            assert!(found < want + 0.02 && found > want - 0.1 * span, "{}: {found} {want}", station.name);
        }
    }
}

/// The mean of 29 days is near the mean level: no constituent but the yearly ones is left in it.
#[test]
fn the_mean_of_a_moon_is_the_mean_level_and_the_season() {
    for station in tide::stations() {
        let season: f64 = station
            .constituents
            .iter()
            .filter(|harmonic| harmonic.constituent.period() > Time::days(20.0))
            .map(|harmonic| harmonic.amplitude.as_metres())
            .sum();
        let start = time("2026-03-01T00:00:00Z");
        let hours = 24 * 29;
        let sum: f64 = (0..hours).map(|hour| metres(station, after(start, 3600 * hour))).sum();
        let mean = sum / f64::from(i32::try_from(hours).unwrap());
        assert!((mean - station.datum.mean.as_metres()).abs() < season + 0.03, "{} {mean}", station.name);
    }
}

#[test]
fn a_period_is_refused_that_makes_no_sense() {
    let at = |text: &str| time(text);
    let (day, next) = (at("2026-07-10T00:00:00Z"), at("2026-07-11T00:00:00Z"));
    assert_eq!(Period::new(next, day), Err(PeriodError::Backwards));
    assert_eq!(Period::new(day, at("2027-08-15T00:00:00Z")), Err(PeriodError::TooLong));
    assert_eq!(Period::new(day, Timestamp::MAX), Err(PeriodError::TooFar));
    assert_eq!(Period::new(Timestamp::MIN, day), Err(PeriodError::TooFar));
    assert_eq!(Period::new(at("2099-12-31T00:00:00Z"), at("2100-01-01T00:00:00Z")), Err(PeriodError::TooFar));
    Period::new(day, at("2027-08-14T00:00:00Z")).unwrap();
    let nothing = Period::new(day, day).unwrap();
    let boston = tide::station("boston").unwrap();
    assert!(tide::extremes(boston, nothing).is_empty());
    assert!(tide::windows(boston, nothing, Level::AtLeast(Length::ZERO)).is_empty());
    for error in [PeriodError::Backwards, PeriodError::TooLong, PeriodError::TooFar] {
        assert!(error.to_string().ends_with('.'));
    }
}

#[test]
fn any_moment_of_the_calendar_has_a_finite_height() {
    for at in [Timestamp::MIN, Timestamp::MAX, time("1900-01-01T00:00:00Z")] {
        assert!(metres(tide::station("8443970").unwrap(), at).is_finite());
    }
}

/// Two metres over a bar that shows 1 m, drawing 2.1 m with half a metre to spare: the water must stand 1.6 m up.
#[test]
fn a_boat_waits_for_the_bar() {
    let boston = tide::station("Boston").unwrap();
    let day = period("2026-07-10T00:00:00Z", "2026-07-12T00:00:00Z");
    let (charted, draught, clearance) = (Length::metres(1.0), Length::metres(2.1), Length::metres(0.5));
    let found = tide::enough_water(boston, day, charted, draught, clearance);
    assert!(found.len() >= 4);
    assert!(found[0].began_before);
    for window in &found {
        let middle = after(window.from, window.until.duration_since(window.from).as_secs() / 2);
        assert!(tide::depth(boston, charted, middle) > draught + clearance);
        if !window.began_before {
            let depth = tide::depth(boston, charted, window.from).as_metres();
            assert!((depth - 2.6).abs() < 0.001, "{depth}");
        }
    }
    // Always enough, never enough.
    let always = tide::enough_water(boston, day, Length::metres(9.0), draught, clearance);
    assert_eq!(always.len(), 1);
    assert!(always[0].began_before && always[0].goes_on);
    assert_eq!((always[0].from, always[0].until), (day.from(), day.until()));
    assert!(tide::enough_water(boston, day, Length::metres(-5.0), draught, clearance).is_empty());
    // Under a bridge 20 m above the datum with a mast of 18.2 m: not at high water.
    let room =
        tide::enough_room(boston, day, Length::metres(20.0), Length::metres(18.2), Length::metres(0.3));
    for window in room {
        let middle = after(window.from, window.until.duration_since(window.from).as_secs() / 2);
        assert!(tide::height(boston, middle) < Length::metres(1.5));
    }
}

/// A sounding at anchor becomes a depth at low water and at high water.
#[test]
fn a_sounding_tells_the_least_and_the_greatest_depth_of_the_night() {
    let boston = tide::station("Boston").unwrap();
    let at = time("2026-07-10T23:00:00Z");
    let charted = tide::charted(boston, Length::metres(6.0), at);
    assert!((tide::depth(boston, charted, at).as_metres() - 6.0).abs() < 1e-12);
    let night = Period::new(at, after(at, 12 * 3600)).unwrap();
    let depths = tide::depths(boston, night, charted);
    let water = tide::range(boston, night);
    assert!((depths.span().as_metres() - water.span().as_metres()).abs() < 1e-12);
    assert!(depths.lowest < Length::metres(6.0) && depths.highest > Length::metres(6.0));
    assert_eq!((depths.lowest_at, depths.highest_at), (water.lowest_at, water.highest_at));
}

/// The oracle's own statement of what the station is.
#[test]
fn compiled_in_stations_are_those_of_the_oracle() {
    let text = std::fs::read_to_string(path("tides_stations.json")).unwrap();
    let theirs: serde_json::Value = serde_json::from_str(&text).unwrap();
    let theirs = theirs.as_array().unwrap();
    assert_eq!(theirs.len(), tide::stations().len());
    for want in theirs {
        let station = tide::station(want["id"].as_str().unwrap()).unwrap();
        let close = |found: f64, name: &serde_json::Value| {
            assert!((found - name.as_f64().unwrap()).abs() < 1e-9, "{found} {name}");
        };
        close(station.place.latitude().as_degrees(), &want["latitude"]);
        close(station.place.longitude().as_degrees(), &want["longitude"]);
        close(station.datum.mean.as_metres(), &want["msl_above_mllw_m"]);
        assert!(station.datum.name.contains(want["chart_datum"].as_str().unwrap()));
        let constituents = want["constituents"].as_array().unwrap();
        assert_eq!(constituents.len(), station.constituents.len());
        for (found, want) in station.constituents.iter().zip(constituents) {
            assert_eq!(found.constituent.name(), want["name"].as_str().unwrap());
            close(found.amplitude.as_metres(), &want["amplitude"]);
            close(found.phase.as_degrees(), &want["phase"]);
        }
    }
}

/// A station, and a moment of the years 1990 to 2060.
fn any() -> impl Strategy<Value = (&'static Station, Timestamp)> {
    (0..3_usize, 631_152_000..2_840_140_800_i64)
        .prop_map(|(at, second)| (&tide::stations()[at], Timestamp::from_second(second).unwrap()))
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(60))]

    #[test]
    fn turns_alternate_are_level_and_bound_what_lies_between((station, from) in any(), days in 1..9_i64) {
        let period = Period::new(from, after(from, 86_400 * days)).unwrap();
        let turns = tide::extremes(station, period);
        for turn in &turns {
            // A second beside it the water is no higher (or lower) than a tenth of a millimetre.
            let rise = tide::rise_an_hour(station, turn.at).as_metres();
            prop_assert!(rise.abs() < 0.001, "{rise}");
            for beside in [-120, 120] {
                let there = tide::height(station, after(turn.at, beside)) - turn.height;
                let beyond = if turn.water == Water::High { there } else { -there };
                prop_assert!(beyond.as_metres() < 1e-6, "{turn:?} {beyond}");
            }
        }
        for two in turns.windows(2) {
            prop_assert!(two[0].at < two[1].at);
            prop_assert_ne!(two[0].water, two[1].water);
            let (low, high) = if two[0].water == Water::Low { (two[0], two[1]) } else { (two[1], two[0]) };
            let mut at = two[0].at;
            while at < two[1].at {
                let height = metres(station, at);
                prop_assert!(low.height.as_metres() - 1e-6 <= height, "{at}");
                prop_assert!(height <= high.height.as_metres() + 1e-6, "{at}");
                at = after(at, 1800);
            }
        }
    }

    #[test]
    fn two_halves_are_the_whole((station, from) in any(), days in 1..6_i64, part in 0.0..1.0_f64) {
        let until = after(from, 86_400 * days);
        #[allow(clippy::cast_possible_truncation, reason = "a few days of seconds")]
        let middle = after(from, (part * 86_400.0 * days as f64) as i64);
        let turns = |from, until| tide::extremes(station, Period::new(from, until).unwrap());
        let mut halves = turns(from, middle);
        halves.extend(turns(middle, until));
        prop_assert_eq!(halves, turns(from, until));
    }

    #[test]
    fn range_holds_every_hour((station, from) in any(), hours in 1..200_i64) {
        let range = tide::range(station, Period::new(from, after(from, 3600 * hours)).unwrap());
        for hour in 0..=hours {
            let height = tide::height(station, after(from, 3600 * hour));
            prop_assert!(height >= range.lowest - Length::millimetres(0.001));
            prop_assert!(height <= range.highest + Length::millimetres(0.001));
        }
        for (at, height) in [(range.lowest_at, range.lowest), (range.highest_at, range.highest)] {
            prop_assert!((tide::height(station, at) - height).abs() < Length::millimetres(0.001));
        }
    }

    #[test]
    fn windows_are_just_the_times_above(
        (station, from) in any(), days in 1..5_i64, part in -0.1..1.1_f64, most in proptest::bool::ANY,
    ) {
        let period = Period::new(from, after(from, 86_400 * days)).unwrap();
        let range = tide::range(station, period);
        let bound = range.lowest + range.span() * part;
        let level = if most { Level::AtMost(bound) } else { Level::AtLeast(bound) };
        let found = tide::windows(station, period, level);
        for two in found.windows(2) {
            prop_assert!(two[0].until < two[1].from);
        }
        for quarter in 0..(96 * days) {
            let at = after(from, 900 * quarter);
            let above = (tide::height(station, at) - bound).as_metres();
            // Within 2 s of a crossing the rounding to a second decides.
            let near = found.iter().any(|window| {
                seconds(window.from, at).abs() < 2.0 || seconds(window.until, at).abs() < 2.0
            });
            let inside = found.iter().any(|window| window.from <= at && at < window.until);
            prop_assert!(near || above.abs() < 1e-6 || inside == ((above >= 0.0) != most), "{at} {above}");
        }
    }
}

/// # Source
/// A chart: the coast of Maine is nearest to Boston, some 110 nautical miles off, the Gulf coast to Pensacola.
#[test]
fn the_nearest_station_comes_first_with_its_distance() {
    let order = |place: &str| {
        let found = tide::nearest(almanac::Position::parse(place).unwrap());
        assert_eq!(found.len(), tide::stations().len());
        assert!(found.windows(2).all(|pair| pair[0].1 <= pair[1].1));
        (found[0].0.name.clone(), found[0].1.as_nautical_miles())
    };
    let (name, miles) = order("43.9 N 69.6 W");
    assert!(name == "Boston" && (105.0..120.0).contains(&miles), "{name} {miles}");
    assert_eq!(order("30.4044 N 87.2112 W"), ("Pensacola".to_owned(), 0.0));
    assert_eq!(order("49 N 123.5 W").0, "Friday Harbor");
}
