//! Trip plans: what is written reads back as the same plan, and no text makes the reader panic.

use boat::model::Activity;
use boat::source::Span;
use boat::trip::{
    Clock, Day, Dock, EngineRun, Habits, Leg, Level, Saving, Sight, Sighting, Trip, Weather, compile, write,
};
use proptest::prelude::*;
use proptest::sample::Index;
use quantity::{Angle, Current, Length, Ratio, RotationalSpeed, Temperature, Time, Voltage, Volume};

use crate::cases::{Text, cases};
use crate::properties::{edit, edited, lies_inside};
use crate::tape::Tape;

/// A plan that uses every key.
const WHOLE: &str = r#"trip = 1

[plan]
boat = "Whimbrel"
crew = 4
starts = 2027-07-10
from = "15:00"
until = "10:00"
ends = 2027-07-12
quiet_from = "21:30"
quiet_until = "08:00"
low = "12 °C"
high = "21 °C"
cloud = "40 %"
water_each = "20 L"
flushes_each = 4
meals = 2
utc_offset = "-4 h"
latitude = "43.9°"
longitude = "-69.6°"
levels = [{ store = "house", level = "90 %" }]
off_at_night = ["refrigerator"]
off = ["heater"]

[[days]]
legs = [{ by = "motor", from = "16:00", for = "1 h", rpm = "2000 rpm" }]
night = "anchored"
chain = "40 m"

[[days]]
legs = [{ by = "motor", from = "09:00", for = "30 min" }, { by = "sail", from = "09:30", for = "5 h" }]
engine = [{ from = "18:00", for = "1 h", rpm = "1500 rpm" }]
night = "moored"
cloud = "90 %"

[[days]]
legs = [{ by = "motor", from = "08:00", for = "1 h" }]
night = "alongside"
pedestal = "30 A"
water = true
pump_out = true
fuel = true
gas = true

[[readings]]
day = 2
at = "07:30"
store = "house"
voltage = "12.4 V"

[[readings]]
day = 2
at = "07:31"
store = "diesel"
level = "75 %"

[[readings]]
day = 3
at = "09:00"
engine = "3.5 h"
"#;

/// A plan without its places in the text.
fn plain(trip: &Trip) -> String {
    let mut trip = trip.clone();
    trip.span = Span::default();
    trip.days.iter_mut().for_each(|day| day.span = Span::default());
    trip.levels.iter_mut().for_each(|level| level.span = Span::default());
    trip.readings.iter_mut().for_each(|reading| reading.span = Span::default());
    trip.off.iter_mut().chain(&mut trip.off_at_night).for_each(|saving| saving.span = Span::default());
    format!("{trip:#?}")
}

fn read(text: &str) -> Trip {
    let read = compile("plan.toml", text);
    let said: Vec<String> = read.diagnostics.iter().map(|found| found.plain(&read.sources)).collect();
    assert!(said.is_empty(), "{}\n{text}", said.join("\n"));
    read.trip.unwrap()
}

/// A number with as many places as floating point has, from 0 up to `most`.
fn some(tape: &mut Tape<'_>, most: f64) -> f64 {
    if tape.chance(4) {
        return most;
    }
    f64::from(u32::try_from(tape.below(1 << 20)).unwrap()) / f64::from(1 << 20) * most
}

fn clock(tape: &mut Tape<'_>) -> Clock {
    Clock::at(u16::try_from(tape.below(24)).unwrap(), u16::try_from(tape.below(60)).unwrap())
}

fn word(tape: &mut Tape<'_>) -> String {
    let words =
        ["house", "heater", "water_port", "a \"quoted\" one", "back\\slash", "ünïcode", "two\nlines", "x"];
    (*tape.one(&words)).to_owned()
}

fn weather(tape: &mut Tape<'_>) -> Weather {
    let low = some(tape, 50.0) - 30.0;
    Weather {
        low: Temperature::celsius(low),
        high: Temperature::celsius(low + some(tape, 30.0)),
        cloud: Ratio::plain(some(tape, 1.0)),
    }
}

fn rpm(tape: &mut Tape<'_>) -> Option<RotationalSpeed> {
    tape.chance(2).then(|| RotationalSpeed::rpm(1.0 + some(tape, 3999.0)))
}

/// Stretches of a day, one after the other, as minutes from and how many.
fn stretches(tape: &mut Tape<'_>, from: &mut u16) -> Vec<(Clock, Time)> {
    let mut made = Vec::new();
    for _ in 0..tape.below(4) {
        let begins = *from + u16::try_from(tape.below(120)).unwrap();
        let lasts = 1 + u16::try_from(tape.below(240)).unwrap();
        if begins + lasts > 1440 {
            break;
        }
        made.push((Clock::at(begins / 60, begins % 60), Time::minutes(f64::from(lasts))));
        *from = begins + lasts;
    }
    made
}

fn day(tape: &mut Tape<'_>) -> Day {
    let mut from = 0;
    let legs = stretches(tape, &mut from)
        .into_iter()
        .map(|(from, lasts)| Leg {
            activity: *tape.one(&[Activity::Sailing, Activity::Motoring]),
            from,
            lasts,
            rpm: rpm(tape),
        })
        .collect();
    let runs = stretches(tape, &mut from);
    let engine = runs.into_iter().map(|(from, lasts)| EngineRun { from, lasts, rpm: rpm(tape) }).collect();
    let pedestal = tape.chance(3).then(|| Current::amps(1.0 + some(tape, 99.0)));
    Day {
        legs,
        engine,
        night: *tape.one(&[Activity::Anchored, Activity::Moored, Activity::Alongside]),
        dock: Dock {
            no_pedestal: pedestal.is_none() && tape.chance(2),
            pedestal,
            water: tape.chance(2),
            pump_out: tape.chance(2),
            fuel: tape.chance(2),
            gas: tape.chance(2),
        },
        chain: tape.chance(2).then(|| Length::metres(some(tape, 100.0))),
        weather: tape.chance(3).then(|| weather(tape)),
        span: Span::default(),
    }
}

fn sighting(tape: &mut Tape<'_>) -> Sighting {
    let sight = match tape.below(3) {
        0 => Sight::Voltage(Voltage::volts(some(tape, 15.0))),
        1 => Sight::Level(Ratio::plain(some(tape, 1.0))),
        _ => Sight::EngineHours(Time::hours(some(tape, 40.0))),
    };
    Sighting {
        day: 1 + u32::try_from(tape.below(60)).unwrap(),
        at: clock(tape),
        store: (!matches!(sight, Sight::EngineHours(_))).then(|| word(tape)),
        sight,
        span: Span::default(),
    }
}

fn savings(tape: &mut Tape<'_>) -> Vec<Saving> {
    let mut loads: Vec<String> = (0..tape.below(4)).map(|_| word(tape)).collect();
    loads.sort();
    loads.dedup();
    loads.into_iter().map(|load| Saving { load, span: Span::default() }).collect()
}

fn random_trip(tape: &mut Tape<'_>) -> Trip {
    let year = 1900 + tape.below(300);
    Trip {
        boat: tape.chance(2).then(|| word(tape)),
        crew: 1 + u32::try_from(tape.below(40)).unwrap(),
        starts: format!("{year}-{:02}-{:02}", 1 + tape.below(12), 1 + tape.below(28)),
        from: clock(tape),
        until: clock(tape),
        ends: tape.chance(2).then(|| format!("{year}-12-{:02}", 1 + tape.below(31))),
        quiet_from: clock(tape),
        quiet_until: clock(tape),
        weather: weather(tape),
        habits: Habits {
            water_each: tape.chance(2).then(|| Volume::litres(some(tape, 100.0))),
            flushes_each: some(tape, 30.0),
            meals: some(tape, 10.0),
        },
        utc_offset: tape.chance(2).then(|| Time::hours(some(tape, 26.0) - 12.0)),
        latitude: tape.chance(2).then(|| Angle::degrees(some(tape, 180.0) - 90.0)),
        longitude: tape.chance(2).then(|| Angle::degrees(some(tape, 360.0) - 180.0)),
        levels: savings(tape)
            .into_iter()
            .map(|saving| Level {
                store: saving.load,
                level: Ratio::plain(some(tape, 1.0)),
                span: Span::default(),
            })
            .collect(),
        off_at_night: savings(tape),
        off: savings(tape),
        days: (0..=tape.below(6)).map(|_| day(tape)).collect(),
        readings: (0..tape.below(4)).map(|_| sighting(tape)).collect(),
        span: Span::default(),
    }
}

fn numbers() -> impl Strategy<Value = Vec<u32>> {
    prop::collection::vec(any::<u32>(), 0..160)
}

/// What holds for every text.
fn check(text: &str) -> Result<(), TestCaseError> {
    let read = compile("any.toml", text);
    let errors = read.diagnostics.iter().any(|found| found.severity == boat::diagnostic::Severity::Error);
    prop_assert_eq!(read.trip.is_none(), errors);
    for found in &read.diagnostics {
        for place in found.secondary.iter().chain([&found.primary]) {
            prop_assert!(lies_inside(&read.sources, place.span), "{:?} of {}", place.span, found.headline);
        }
        prop_assert!(!found.headline.is_empty() && found.mend.is_some() && found.expected.is_some());
    }
    if let Some(trip) = read.trip {
        let again = compile("again.toml", &write(&trip));
        prop_assert!(again.trip.is_some(), "{:?}\n{}", again.diagnostics, write(&trip));
    }
    Ok(())
}

#[test]
fn the_whole_plan_reads_back_as_itself() {
    let trip = read(WHOLE);
    assert_eq!(trip.days.len(), 3);
    assert_eq!(plain(&read(&write(&trip))), plain(&trip));
    // What a day does not say of its weather is the plan's.
    let weather = trip.days[1].weather.unwrap();
    assert_eq!(weather, Weather { cloud: Ratio::percent(90.0), ..trip.weather });
    assert_eq!(trip.days[0].weather, None);
}

#[test]
fn a_boat_file_and_a_plan_are_told_apart() {
    let found = compile("plan.toml", crate::cases::sound());
    assert!(found.trip.is_none() && found.diagnostics[0].headline.contains("a boat file"));
    assert!(boat::compile("boat.toml", WHOLE).boat.is_none());
}

#[test]
fn the_reference_names_every_key() {
    let reference = boat::trip::reference();
    for line in WHOLE.lines().filter_map(|line| line.split_once(" = ")).map(|(key, _)| key) {
        assert!(line == "trip" || reference.contains(&format!("`{line}`")), "{line}");
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 500, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn a_plan_written_reads_back_as_the_same(numbers in numbers()) {
        let trip = random_trip(&mut Tape::new(&numbers));
        let text = write(&trip);
        prop_assert_eq!(plain(&read(&text)), plain(&trip), "{}", text);
    }

    #[test]
    fn a_changed_plan_is_read_or_refused(edits in prop::collection::vec(edit(), 1..8)) {
        check(&edited(WHOLE, &edits))?;
    }

    #[test]
    fn a_changed_random_plan_is_read_or_refused(
        numbers in numbers(), edits in prop::collection::vec(edit(), 1..5)
    ) {
        check(&edited(&write(&random_trip(&mut Tape::new(&numbers))), &edits))?;
    }

    #[test]
    fn a_changed_broken_plan_is_read_or_refused(
        at in any::<Index>(), edits in prop::collection::vec(edit(), 0..4)
    ) {
        check(&edited(&at.get(&cases(Text::Trip)).text, &edits))?;
    }

    #[test]
    fn any_text_is_no_plan(text in any::<String>()) {
        prop_assert!(compile("any.toml", &text).trip.is_none());
        check(&text)?;
    }
}
