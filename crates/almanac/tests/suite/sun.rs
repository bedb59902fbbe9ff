//! The sun against tables, and what holds for it anywhere.

use almanac::sun::{self, Daylight, Twilight};
use jiff::civil::Date;
use jiff::{Span, Timestamp, Unit};
use proptest::prelude::*;

use crate::reference::{Table, Worst, after, date, path, place, seconds, time};

/// The centre of the sun at rise and set: upper edge on the horizon, lifted by 34 minutes of arc.
const AT_RISE: f64 = -50.0 / 60.0;

fn ordinary(daylight: Daylight) -> (Timestamp, Timestamp) {
    match daylight {
        Daylight::Ordinary { rise, set } => (rise, set),
        other => panic!("not an ordinary day: {other:?}"),
    }
}

fn next(date: Date, days: i64) -> Date {
    date.checked_add(Span::new().days(days)).unwrap()
}

/// Skyfield with the ephemeris DE421 of JPL: the rounded minute is the value to meet.
#[test]
fn rise_and_set_meet_the_table() {
    let (mut to_the_minute, mut to_the_second) = (Worst::default(), Worst::default());
    for row in Table::read("sun_times.csv").rows() {
        let day = row.text("local_solar_date");
        let (rise, set) = ordinary(sun::day(row.place(), date(day)));
        for (event, name) in [(rise, "rise"), (set, "set")] {
            let at = || format!("{name} {} {day}", row.text("place"));
            let minute = row.text(&format!("{name}_utc_minute")).replace('Z', ":00Z");
            let rounded = event.round(Unit::Minute).unwrap();
            to_the_minute.note(seconds(rounded, time(&minute)) / 60.0, at);
            // The seconds of the table are cut off, not rounded.
            to_the_second.note(seconds(event, time(row.text(&format!("{name}_skyfield")))), at);
        }
    }
    to_the_minute.check("rise and set, rounded minutes apart", 0.0);
    to_the_second.check("rise and set, seconds from Skyfield", 2.0);
}

/// A ready-made routine elsewhere gave, past UTC midnight, the time of one UTC day with the label of the next, up
/// to 130 s off. West of Greenwich the set is on the next UTC date, far east the rise is on the one before.
#[test]
fn an_event_on_the_neighbouring_utc_date_belongs_to_the_day_asked_for() {
    let (mut on_next, mut on_last) = (Worst::default(), Worst::default());
    for row in Table::read("sun_times.csv").rows() {
        let day = row.text("local_solar_date");
        let (rise, set) = ordinary(sun::day(row.place(), date(day)));
        let at = || format!("{} {day}", row.text("place"));
        if !row.text("set_skyfield").starts_with(day) {
            assert!(set.to_string().starts_with(&next(date(day), 1).to_string()), "{set}");
            on_next.note(seconds(set, time(row.text("set_skyfield"))), at);
        }
        if !row.text("rise_skyfield").starts_with(day) {
            assert!(rise.to_string().starts_with(&next(date(day), -1).to_string()), "{rise}");
            on_last.note(seconds(rise, time(row.text("rise_skyfield"))), at);
        }
    }
    on_next.check("sets on the next UTC date, seconds", 2.0);
    on_last.check("rises on the UTC date before, seconds", 2.0);
}

/// Where an event crosses UTC midnight through the year, no day repeats or skips a step of it.
#[test]
fn the_days_of_a_year_follow_each_other_smoothly() {
    for (latitude, longitude) in [(49.2, -123.9), (-36.8, 174.8), (51.5, 0.0)] {
        let events: Vec<_> = (0..366)
            .map(|days| ordinary(sun::day(place(latitude, longitude), next(date("2026-01-01"), days))))
            .collect();
        let mut bend = Worst::default();
        for (day, three) in events.windows(3).enumerate() {
            for [a, b, c] in [[three[0].0, three[1].0, three[2].0], [three[0].1, three[1].1, three[2].1]] {
                bend.note(seconds(c, b) - seconds(b, a), || format!("day {day} at {latitude} {longitude}"));
            }
        }
        bend.check("from day to day the step changes by seconds", 8.0);
    }
}

/// NREL/TP-560-34302, worked example: zenith and azimuth, confirmed by computation.
#[test]
fn the_worked_example_of_the_algorithm_is_met() {
    let example = worked_example();
    let given = |name: &str| example["input"][name].as_f64().unwrap();
    let published = |name: &str| example["published"][name].as_f64().unwrap();
    let here = place(given("lat"), given("lon"));
    let found = sun::height(here, time(example["input"]["local"].as_str().unwrap()));

    // The example's own air; equation 42 of the report. Its height above the sea shifts the sun by 0.000001°.
    let level = found.elevation.as_degrees();
    let phase = (level + 10.3 / (level + 5.11)).to_radians();
    let lift = given("pressure_mbar") / 1010.0 * 283.0 / (273.0 + given("temperature_c")) * 1.02
        / (60.0 * phase.tan());
    let mut degrees = Worst::default();
    degrees.note(90.0 - level - lift - published("topocentric_zenith_deg"), || "zenith".to_owned());
    degrees.note(found.azimuth.as_degrees() - published("topocentric_azimuth_deg"), || "azimuth".to_owned());
    // The algorithm's own claim.
    degrees.check("worked example, degrees", 0.0003);
}

/// The rise, set and transit of the same example, with the fractions of a second that pvlib computes.
///
/// The report counts days by UTC: its set of the 17th, 00:20 UTC, is the evening of the 16th by local time. It also
/// reckons rise and set from the middle of the earth; from where people stand the sun is lower by its parallax
/// (the report's equation 34), which is 0.8 s of its rising here.
#[test]
fn the_worked_example_rises_and_sets_but_for_the_parallax() {
    let example = worked_example();
    let here = place(example["input"]["lat"].as_f64().unwrap(), example["input"]["lon"].as_f64().unwrap());
    let computed = |name: &str| time(example["computed_pvlib"][name].as_str().unwrap());
    let parallax = 8.794 / 3600.0 / example["published"]["R_au"].as_f64().unwrap();
    let day = date("2003-10-17");
    let (rise, set_of_the_17th) = ordinary(sun::day(here, day));
    let (_, set_of_the_16th) = ordinary(sun::day(here, next(day, -1)));

    let mut apart = Worst::default();
    for (event, reported, name) in
        [(rise, computed("sunrise"), "rise"), (set_of_the_16th, after(computed("sunset"), -86_400), "set")]
    {
        let elevation = |seconds| sun::height(here, after(event, seconds)).elevation.as_degrees();
        let degrees_a_second = (elevation(30) - elevation(-30)) / 60.0;
        apart.note(seconds(event, reported) - parallax / degrees_a_second, || name.to_owned());
    }
    apart.note(seconds(sun::noon(here, day), computed("transit")), || "transit".to_owned());
    // Half of the second that the report prints; its own rise and set are one step of interpolation.
    apart.check("worked example, seconds", 0.5);

    let label = seconds(computed("sunset"), set_of_the_17th);
    assert!((80.0..100.0).contains(&label), "the report's set is of another evening: {label}");
}

fn worked_example() -> serde_json::Value {
    let text = std::fs::read_to_string(path("sun_spa_example.json")).unwrap();
    serde_json::from_str(&text).unwrap()
}

/// The means over each hour that pvlib's SPA has; the table has three decimals.
#[test]
fn elevations_meet_the_hourly_table() {
    let mut degrees = Worst::default();
    crate::sky::each_hour(|row, here, start| {
        let minutes = (0..60).map(|minute| sun::height(here, after(start, 60 * minute + 30)));
        let mean = minutes.map(|height| height.elevation.as_degrees()).sum::<f64>() / 60.0;
        degrees.note(mean - row.number("elevation_deg"), || {
            format!("{} {} h {}", row.text("place"), row.text("date_local"), row.text("hour_standard_time"))
        });
    });
    degrees.check("hourly elevation, degrees", 0.001);
}

/// The library bends light by itself; here it is bent once for light and height alike.
#[test]
fn the_seen_height_is_that_of_the_library() {
    use solar_positioning::time::JulianDate;
    use solar_positioning::{Location, RefractionCorrection, SolarPositions};
    let here = place(43.9, -69.6);
    let start = time("2026-07-17T00:00:00Z");
    let mut degrees = Worst::default();
    for minute in 0..1440 {
        let found = sun::height(here, after(start, 60 * minute));
        let day = 2_461_238.5 + f64::from(i32::try_from(minute).unwrap()) / 1440.0;
        let place = Location { latitude: 43.9, longitude: -69.6 };
        let seen = SolarPositions::new()
            .at_from_julian(
                JulianDate::new(day, 69.14).unwrap(),
                place,
                0.0,
                Some(RefractionCorrection::standard()),
            )
            .unwrap();
        degrees.note(found.apparent.as_degrees() - seen.elevation_angle(), || format!("minute {minute}"));
    }
    degrees.check("seen height, degrees", 0.00001);
}

#[test]
fn within_the_polar_circles_the_sun_stays_up_or_down() {
    for (latitude, month_up, month_down) in [(70.0, 6, 12), (-70.0, 12, 6), (90.0, 6, 12), (-90.0, 12, 6)] {
        let here = place(latitude, 25.0);
        assert_eq!(sun::day(here, Date::constant(2026, month_up, 21)), Daylight::AlwaysUp, "{latitude}");
        assert_eq!(sun::day(here, Date::constant(2026, month_down, 21)), Daylight::NeverUp, "{latitude}");
    }
    // In December the sun is down at 70 N all day, but noon is no darker than civil twilight.
    let twilight = sun::twilight(place(70.0, 25.0), date("2026-12-21"), Twilight::Civil);
    ordinary(twilight);
    assert_eq!(
        sun::twilight(place(60.0, 25.0), date("2026-06-21"), Twilight::Astronomical),
        Daylight::AlwaysUp
    );
}

/// Through a polar year each day begins as the one before ended, and every kind of day occurs.
#[test]
fn a_polar_year_hangs_together() {
    for (latitude, longitude) in [(70.0, -179.9), (-78.0, 166.0), (66.5, 0.0)] {
        let days: Vec<_> =
            (0..365).map(|day| sun::day(place(latitude, longitude), next(date("2026-01-01"), day))).collect();
        let up_at_end = |day| matches!(day, Daylight::AlwaysUp | Daylight::UpFrom { .. });
        let up_at_start = |day| matches!(day, Daylight::AlwaysUp | Daylight::UpUntil { .. });
        for (day, two) in days.windows(2).enumerate() {
            let at = format!("day {day} at {latitude} {longitude}: {two:?}");
            assert_eq!(up_at_end(two[0]), up_at_start(two[1]), "{at}");
            assert!(
                two[0].set().is_none()
                    || two[0].set() < two[1].rise().or(two[1].set()).or(Some(Timestamp::MAX)),
                "{at}"
            );
        }
        assert!(days.contains(&Daylight::AlwaysUp));
        assert_eq!(days.contains(&Daylight::NeverUp), latitude.abs() > 67.5, "{latitude}");
        assert_eq!(days.iter().filter(|day| matches!(day, Daylight::UpFrom { .. })).count(), 1, "{latitude}");
        assert_eq!(
            days.iter().filter(|day| matches!(day, Daylight::UpUntil { .. })).count(),
            1,
            "{latitude}"
        );
    }
}

/// Near a pole the lowest sun comes some minutes after solar midnight: it may set, and rise again, before the day
/// that ends with the evening's set.
#[test]
fn a_set_just_after_midnight_is_not_taken_for_that_of_the_evening() {
    for (latitude, day) in [(85.365, "2026-09-13"), (88.065, "2026-09-20"), (-89.79, "2026-03-22")] {
        let here = place(latitude, -60.0);
        let midnight = after(sun::noon(here, date(day)), -43_200 + 20);
        assert!(sun::height(here, midnight).elevation.as_degrees() > AT_RISE, "{latitude}: no such case");
        let (rise, set) = ordinary(sun::day(here, date(day)));
        assert!(rise < set && seconds(set, midnight) > 12.0 * 3600.0, "{latitude}: {rise} {set}");
    }
}

#[test]
fn across_the_date_line_the_same_sun_rises_on_another_date() {
    for (latitude, day) in [(-18.0, "2026-03-01"), (52.0, "2026-06-21"), (0.0, "2026-12-31")] {
        let day = date(day);
        let (east, west) = (place(latitude, 179.9), place(latitude, -179.9));
        let (east_rise, east_set) = ordinary(sun::day(east, next(day, 1)));
        let (west_rise, west_set) = ordinary(sun::day(west, day));
        // A fifth of a degree is 48 seconds of the earth's turning.
        for (later, earlier) in [(east_rise, west_rise), (east_set, west_set)] {
            assert!((seconds(later, earlier) - 48.0).abs() < 3.0, "{earlier} {later}");
        }
        let line = ordinary(sun::day(place(latitude, 180.0), next(day, 1)));
        assert_eq!(line, ordinary(sun::day(place(latitude, -180.0), day)));
        assert_eq!(sun::solar_date(east, east_rise), next(day, 1));
        assert_eq!(sun::solar_date(west, west_rise), day);
    }
}

#[test]
fn in_the_southern_hemisphere_december_is_summer_and_noon_is_north() {
    let here = place(-36.8, 174.8);
    let length = |day| {
        let (rise, set) = ordinary(sun::day(here, date(day)));
        seconds(set, rise) / 3600.0
    };
    assert!(length("2026-12-21") > 14.0 && length("2026-06-21") < 10.0);
    for day in ["2026-06-21", "2026-12-21"] {
        let azimuth = sun::height(here, sun::noon(here, date(day))).azimuth.as_degrees();
        assert!(azimuth.min(360.0 - azimuth) < 0.05, "{azimuth}");
    }
}

#[test]
fn the_leap_day_is_a_day_like_its_neighbours() {
    let here = place(43.9, -69.6);
    let days = ["2028-02-28", "2028-02-29", "2028-03-01"].map(|day| ordinary(sun::day(here, date(day))));
    for two in days.windows(2) {
        // In Maine the sun rises earlier by a minute or two each day then.
        let step = seconds(two[1].0, two[0].0) - 86_400.0;
        assert!((-120.0..-60.0).contains(&step), "{step}");
        assert!(two[0].1 < two[1].0);
    }
    assert_eq!(sun::solar_date(here, days[1].1), date("2028-02-29"));
}

#[test]
fn every_date_of_the_calendar_has_an_answer() {
    for day in
        [Date::MIN, date("1799-12-31"), date("1800-01-01"), date("2199-12-31"), date("2200-01-01"), Date::MAX]
    {
        for longitude in [-180.0, 0.0, 180.0] {
            let (rise, set) = ordinary(sun::day(place(20.0, longitude), day));
            assert!(rise <= set, "{day} {longitude}");
        }
    }
    for at in [Timestamp::MIN, Timestamp::MAX] {
        let height = sun::height(place(20.0, 30.0), at);
        assert!(height.elevation.is_finite() && height.azimuth.is_finite());
        sun::solar_date(place(20.0, 180.0), at);
        sun::solar_date(place(20.0, -180.0), at);
    }
    // 2226 is asked as 1826, and the answer is on the date asked for.
    let (rise, _) = ordinary(sun::day(place(20.0, 30.0), date("2226-07-17")));
    assert_eq!(sun::solar_date(place(20.0, 30.0), rise), date("2226-07-17"));
}

/// Any day of two hundred years.
fn any_day() -> impl Strategy<Value = Date> {
    (0..73_000_i64).prop_map(|days| next(date("1900-01-01"), days))
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(100))]

    #[test]
    fn rise_comes_before_set_with_the_sun_on_the_horizon(
        latitude in -89.0..89.0_f64,
        longitude in -180.0..=180.0_f64,
        day in any_day(),
    ) {
        let here = place(latitude, longitude);
        let daylight = sun::day(here, day);
        for event in [daylight.rise(), daylight.set()].into_iter().flatten() {
            let elevation = sun::height(here, event).elevation.as_degrees();
            prop_assert!((elevation - AT_RISE).abs() < 0.01, "{elevation}");
        }
        if let Daylight::Ordinary { rise, set } = daylight {
            prop_assert!(rise < set);
            prop_assert!(seconds(set, rise) < 86_430.0);
        }
    }

    /// The height at each tenth of an hour, worked out by itself, agrees with what the day is said to be.
    #[test]
    fn the_sun_is_up_when_the_day_says_so(
        latitude in prop_oneof![-89.0..89.0_f64, 60.0..75.0_f64, -75.0..-60.0_f64],
        longitude in -180.0..=180.0_f64,
        day in any_day(),
    ) {
        let here = place(latitude, longitude);
        let daylight = sun::day(here, day);
        let noon = sun::noon(here, day);
        for tenth in -119..=119 {
            let at = after(noon, 360 * tenth);
            let up = match daylight {
                Daylight::AlwaysUp => true,
                Daylight::NeverUp => false,
                Daylight::Ordinary { rise, set } => rise <= at && at <= set,
                Daylight::UpFrom { rise } => rise <= at,
                Daylight::UpUntil { set } => at <= set,
            };
            let above = sun::height(here, at).elevation.as_degrees() - AT_RISE;
            prop_assert!(above.abs() < 0.01 || up == (above > 0.0), "{at} {above} {daylight:?}");
        }
    }

    #[test]
    fn twilight_lies_around_the_day_and_the_darker_around_the_lighter(
        latitude in -48.0..48.0_f64,
        longitude in -180.0..=180.0_f64,
        day in any_day(),
    ) {
        let here = place(latitude, longitude);
        let (mut rise, mut set) = ordinary(sun::day(here, day));
        prop_assert!(rise < sun::noon(here, day) && sun::noon(here, day) < set);
        for (darkest, degrees) in
            [(Twilight::Civil, -6.0), (Twilight::Nautical, -12.0), (Twilight::Astronomical, -18.0)]
        {
            let (dawn, dusk) = ordinary(sun::twilight(here, day, darkest));
            prop_assert!(dawn < rise && set < dusk);
            for event in [dawn, dusk] {
                let elevation = sun::height(here, event).elevation.as_degrees();
                prop_assert!((elevation - degrees).abs() < 0.01, "{elevation}");
            }
            (rise, set) = (dawn, dusk);
        }
        prop_assert_eq!(sun::solar_date(here, rise), day);
        prop_assert_eq!(sun::solar_date(here, set), day);
    }

    #[test]
    fn a_seen_sun_stands_higher_by_at_most_the_lift_at_the_horizon(
        latitude in -90.0..=90.0_f64,
        longitude in -180.0..=180.0_f64,
        at in 0..4_102_444_800_i64,
    ) {
        let height = sun::height(place(latitude, longitude), Timestamp::from_second(at).unwrap());
        let lift = height.apparent.as_degrees() - height.elevation.as_degrees();
        // Overhead the formula's lift falls below nil, by under a ten-thousandth of a degree.
        prop_assert!((-0.0001..0.7).contains(&lift), "{lift}");
        prop_assert!((0.0..360.0).contains(&height.azimuth.as_degrees()));
        prop_assert!((-90.0..=90.0).contains(&height.elevation.as_degrees()));
    }
}
