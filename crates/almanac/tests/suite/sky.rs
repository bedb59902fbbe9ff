//! Clear skies and level panels against tables, and what holds for them anywhere.

use almanac::Position;
use almanac::sky::{self, Course, Irradiance, Panel, Turbidity};
use almanac::sun;
use jiff::Timestamp;
use proptest::prelude::*;
use quantity::{Power, Ratio, Temperature, Time};

use crate::reference::{Row, Table, Worst, after, place, time};

/// Midnight of the standard time that the tables go by: the whole hours nearest to the longitude.
fn midnight(here: Position, day: &str) -> Timestamp {
    let hours = (here.longitude().as_degrees() / 15.0).round();
    let offset = Time::hours(hours).as_seconds();
    #[allow(clippy::cast_possible_truncation, reason = "at most twelve hours")]
    after(time(&format!("{day}T00:00:00Z")), -(offset as i64))
}

/// The tables are sampled at the middle of each minute.
fn minutes(start: Timestamp, count: i64) -> impl Iterator<Item = Timestamp> {
    (0..count).map(move |minute| after(start, 60 * minute + 30))
}

/// Calls with each line of the hourly table, its place, and when its hour starts.
pub(crate) fn each_hour(mut call: impl FnMut(Row<'_>, Position, Timestamp)) {
    let days = Table::read("solar_panel_daily.csv");
    for row in Table::read("solar_panel_hourly.csv").rows() {
        let day = day_of(&days, row);
        let start = midnight(day.place(), row.text("date_local"));
        let hour: i64 = row.text("hour_standard_time").parse().unwrap();
        call(row, day.place(), after(start, 3600 * hour));
    }
}

/// The line of the daily table that an hour belongs to.
fn day_of<'t>(days: &'t Table, hour: Row<'_>) -> Row<'t> {
    days.rows()
        .find(|day| ["place", "date_local"].iter().all(|column| day.text(column) == hour.text(column)))
        .expect("each hour belongs to a day of the daily table")
}

fn watts(light: Irradiance) -> f64 {
    light.as_watts_per_square_metre()
}

/// pvlib: the sum outside the air within 0.5 %, a day's light and panel energy within 5 % of the same model, here
/// held to 1 %. The table takes 1366.1 W/m² for the sun where IAU 2015 has 1361, which is 0.37 % of the difference.
#[test]
fn daily_sums_meet_the_table() {
    let names = ["outside the air", "clear sky", "strongest light", "panel, 100 W"];
    let mut worst = names.map(|_| Worst::default());
    for row in Table::read("solar_panel_daily.csv").rows() {
        let here = row.place();
        let turbidity = Turbidity::linke(row.number("linke_turbidity")).unwrap();
        let (panel, air) = (Panel::rated(Power::watts(100.0)), Temperature::celsius(row.number("ambient_c")));
        let (mut outside, mut clear, mut strongest, mut made) = (0.0, 0.0, 0.0_f64, 0.0);
        for at in minutes(midnight(here, row.text("date_local")), 1440) {
            let light = sky::clear(here, at, turbidity);
            outside += watts(sky::top_of_atmosphere(here, at)) / 60.0;
            clear += watts(light) / 60.0;
            strongest = strongest.max(watts(light));
            made += panel.power(light, air).as_watts() / 60.0;
        }
        let pairs = [
            (outside, "toa_horizontal_wh_m2"),
            (clear, "ghi_ineichen_wh_m2"),
            (strongest, "ghi_peak_w_m2"),
            (made, "energy_100w_dc_wh"),
        ];
        for (worst, (found, column)) in worst.iter_mut().zip(pairs) {
            let percent = (found / row.number(column) - 1.0) * 100.0;
            worst.note(percent, || format!("{} {}", row.text("place"), row.text("date_local")));
        }
    }
    for ((worst, name), allowed) in worst.iter().zip(names).zip([0.5, 1.0, 1.0, 1.0]) {
        worst.check(&format!("{name}, % of the day"), allowed);
    }
}

/// pvlib: means over each hour, of full sun (1000 W/m²) and of the panel's rating (100 W).
#[test]
fn hourly_means_meet_the_table() {
    let days = Table::read("solar_panel_daily.csv");
    let (mut light, mut power) = (Worst::default(), Worst::default());
    each_hour(|row, here, start| {
        let air = Temperature::celsius(day_of(&days, row).number("ambient_c"));
        let panel = Panel::rated(Power::watts(100.0));
        let clear: Vec<_> = minutes(start, 60).map(|at| sky::clear(here, at, Turbidity::FAIR)).collect();
        let mean = clear.iter().copied().map(watts).sum::<f64>() / 60.0;
        let made = clear.iter().map(|light| panel.power(*light, air).as_watts()).sum::<f64>() / 60.0;
        let at = || {
            format!("{} {} h {}", row.text("place"), row.text("date_local"), row.text("hour_standard_time"))
        };
        light.note(mean - row.number("ghi_ineichen_w_m2"), at);
        power.note(made - row.number("dc_100w_w"), at);
    });
    light.check("hourly light, W/m²", 5.0);
    power.check("hourly power of 100 W, W", 0.5);
}

/// The data sheet's two conditions, by their definition (IEC 61215 as commonly cited).
#[test]
fn a_panel_gives_its_rating_where_it_is_rated() {
    let panel = Panel::rated(Power::watts(100.0));
    let light = Irradiance::watts_per_square_metre;
    let close = |found: f64, wanted: f64| assert!((found - wanted).abs() < 1e-9, "{found} {wanted}");
    // In full sun the cells are 31.25 K above the air, so 25 °C in air of -6.25 °C.
    close(panel.power(light(1000.0), Temperature::celsius(-6.25)).as_watts(), 100.0);
    close(panel.cells(light(800.0), Temperature::celsius(20.0)).as_celsius(), 45.0);
    close(panel.power(light(800.0), Temperature::celsius(20.0)).as_watts(), 80.0 * (1.0 - 0.004 * 20.0));
    assert_eq!(panel.power(Irradiance::ZERO, Temperature::celsius(20.0)), Power::ZERO);
    assert_eq!(panel.power(light(-5.0), Temperature::celsius(20.0)), Power::ZERO);
    let hopeless = Panel { per_kelvin: Ratio::percent(-4.0), ..panel };
    assert_eq!(hopeless.power(light(1000.0), Temperature::celsius(30.0)), Power::ZERO);
}

#[test]
fn a_turbidity_is_at_least_that_of_clean_dry_air() {
    assert_eq!(Turbidity::linke(3.0), Some(Turbidity::FAIR));
    assert_eq!(Turbidity::linke(0.99), None);
    assert_eq!(Turbidity::linke(f64::NAN), None);
    assert_eq!(Turbidity::linke(f64::INFINITY), None);
}

#[test]
fn light_prints_in_watts_per_square_metre() {
    let light = Irradiance::watts_per_square_metre(985.43);
    assert_eq!(light.to_string(), "985 W/m²");
    assert_eq!(format!("{light:.1}"), "985.4 W/m²");
    assert_eq!((light * Ratio::percent(50.0)).to_string(), "493 W/m²");
    assert_eq!((light * 2.0).to_string(), "1971 W/m²");
}

/// The distance of the sun enters as its square: perihelion and aphelion of 2026, 0.9833 and 1.0167 astronomical
/// units (from memory, as every almanac has them), with 1361 W/m² at the mean (IAU 2015 B3).
#[test]
fn the_sun_is_nearer_in_january_than_in_july() {
    for (day, distance) in [("2026-01-03", 0.9833), ("2026-07-06", 1.0167)] {
        let here = place(0.0, 0.0);
        let noon = sun::noon(here, day.parse().unwrap());
        let sine = libm::sin(sun::height(here, noon).elevation.as_radians());
        let facing = watts(sky::top_of_atmosphere(here, noon)) / sine;
        assert!((facing * distance * distance / 1361.0 - 1.0).abs() < 2e-4, "{day} {facing}");
    }
}

/// A week drawn through ten-minute steps against moments worked out one by one, at every part of a step.
#[test]
fn a_course_agrees_with_moments_worked_out_one_by_one() {
    let [mut sine, mut low, mut high, mut light] = [(); 4].map(|()| Worst::default());
    for (latitude, longitude, start) in [
        (43.9, -69.6, "2026-07-10T03:17:41Z"),
        (-36.8, 174.8, "2026-12-18T00:00:00Z"),
        (17.1, -61.8, "2026-05-05T12:00:00Z"),
        (0.0, 0.0, "2026-03-17T00:00:00Z"),
        (78.0, 15.0, "2026-10-20T00:00:00Z"),
    ] {
        let (here, start) = (place(latitude, longitude), time(start));
        let course = Course::new(here, start, Time::days(7.0));
        for minute in (0..=7 * 1440).step_by(7) {
            let at = after(start, 60 * minute);
            let where_and_when = || format!("{here} {at}");
            let (drawn, exact) = (course.elevation(at), sun::height(here, at).elevation);
            let off = drawn.as_degrees() - exact.as_degrees();
            sine.note(libm::sin(drawn.as_radians()) - libm::sin(exact.as_radians()), where_and_when);
            if exact.as_degrees().abs() < 89.5 { &mut low } else { &mut high }.note(off, where_and_when);
            let clear =
                watts(course.clear(at, Turbidity::FAIR)) - watts(sky::clear(here, at, Turbidity::FAIR));
            light.note(clear, where_and_when);
        }
    }
    sine.check("course, sine of elevation", 2e-7);
    low.check("course, degrees of elevation", 0.001);
    high.check("course, degrees within half of overhead or underfoot", 0.05);
    light.check("course, clear sky in W/m²", 0.001);
}

#[test]
fn outside_its_time_a_course_works_out_the_exact_answer() {
    let (here, start) = (place(43.9, -69.6), time("2026-07-10T12:00:00Z"));
    for length in [Time::days(1.0), Time::ZERO, Time::days(-3.0), Time::days(f64::NAN)] {
        let course = Course::new(here, start, length);
        for at in [after(start, -86_400), after(start, 2 * 86_400 + 3600), Timestamp::MAX, Timestamp::MIN] {
            assert_eq!(course.clear(at, Turbidity::FAIR), sky::clear(here, at, Turbidity::FAIR), "{at}");
        }
        let first = watts(course.top_of_atmosphere(start)) - watts(sky::top_of_atmosphere(here, start));
        assert!(first.abs() < 0.001);
    }
}

/// Any second from 1970 to 2100.
fn any_time() -> impl Strategy<Value = Timestamp> {
    (0..4_102_444_800_i64).prop_map(|second| Timestamp::from_second(second).unwrap())
}

proptest! {
    #[test]
    fn a_clear_sky_lets_through_no_more_than_comes(
        latitude in -90.0..=90.0_f64,
        longitude in -180.0..=180.0_f64,
        at in any_time(),
        linke in 1.0..10.0_f64,
    ) {
        let here = place(latitude, longitude);
        let clear = sky::clear(here, at, Turbidity::linke(linke).unwrap());
        let outside = sky::top_of_atmosphere(here, at);
        prop_assert!(clear >= Irradiance::ZERO);
        prop_assert!(clear <= outside);
        prop_assert!(watts(outside) < 1361.0 * 1.035);
        // Haze takes light away, and never gives any.
        let hazier = sky::clear(here, at, Turbidity::linke(linke + 1.0).unwrap());
        prop_assert!(hazier <= clear);
        let up = sun::height(here, at).elevation.as_degrees() > 0.0;
        prop_assert_eq!(outside > Irradiance::ZERO, up);
        prop_assert!(up || clear == Irradiance::ZERO);
    }

    #[test]
    fn a_panel_gives_less_the_warmer_the_air(
        light in 0.0..1100.0_f64,
        air in -20.0..45.0_f64,
    ) {
        let panel = Panel::rated(Power::watts(100.0));
        let light = Irradiance::watts_per_square_metre(light);
        let power = panel.power(light, Temperature::celsius(air));
        prop_assert!(power >= Power::ZERO && power <= Power::watts(120.0));
        prop_assert!(panel.power(light, Temperature::celsius(air + 5.0)) <= power);
        prop_assert_eq!(panel.power(Irradiance::ZERO, Temperature::celsius(air)), Power::ZERO);
    }
}
