//! What a crew could do otherwise, as switches: read from the address, told in words, applied to the plan.

use boat::model::{Activity, Boat, Liquid, LoadId, SourceKind, Without};
use boat::trip::{Clock, Trip};
use endure::change::{Change, apply_all};
use maud::{Markup, html};
use quantity::Time;

use super::ask::{CAREFUL, ForecastAsk, holds, inlet, spared};
use super::outlook::Told;
use super::words;

/// Hours of engine for the batteries on each day.
const CHARGING: Time = Time::hours(2.0);
/// When they begin: after the morning's quiet hours, or before the evening's.
const MORNING: Clock = Clock::at(8, 0);
/// As above.
const EVENING: Clock = Clock::at(18, 0);

/// The names of all switches in addresses.
pub(super) fn keys(boat: &Boat) -> Vec<String> {
    let off = spared(boat).map(|(id, _)| format!("off.{}", boat.loads[id].id));
    off.chain(["marina", "charge", "careful", "pump", "fill"].map(str::to_owned)).collect()
}

/// What can't be understood of them: the field, and what to mend.
pub(super) fn faults(ask: &ForecastAsk, boat: &Boat) -> Vec<(String, String)> {
    let mut found = Vec::new();
    for id in ask.switched_off() {
        if !spared(boat).any(|(load, _)| boat.loads[load].id == id) {
            found.push((
                format!("off.{id}"),
                format!("This boat has nothing called \u{201c}{id}\u{201d} that a crew can do without."),
            ));
        }
    }
    if let Some(night) = ask.given("marina").filter(|_| ask.plan().is_none()) {
        if !night.parse().is_ok_and(|night: u32| (1..ask.days()).contains(&night)) {
            found.push((
                "marina".to_owned(),
                format!("The trip has no night \u{201c}{night}\u{201d}. Choose one from the list."),
            ));
        }
    }
    if let Some(part) = ask.given("charge").filter(|part| !["morning", "evening"].contains(part)) {
        found.push((
            "charge".to_owned(),
            format!(
                "\u{201c}{part}\u{201d} is no part of the day for the engine. Choose morning or evening."
            ),
        ));
    }
    found
}

/// The plan with a night alongside.
pub(super) fn alongside(boat: &Boat, trip: &Trip, day: usize) -> Trip {
    if let Some(pedestal) = inlet(boat) {
        return Change::Alongside { day, pedestal }.apply(trip);
    }
    // A boat without an inlet finds water and a pump-out there all the same.
    let mut trip = trip.clone();
    if let Some(day) = trip.days.get_mut(day) {
        day.night = Activity::Alongside;
        day.engine.clear();
        day.dock.no_pedestal = true;
        day.dock.water = true;
        day.dock.pump_out = true;
    }
    trip
}

/// The day, from zero, in the middle of a trip.
fn middle(trip: &Trip) -> usize {
    trip.days.len() / 2
}

pub(super) fn changes(ask: &ForecastAsk, boat: &Boat, trip: &Trip) -> Vec<Change> {
    let mut all = Vec::new();
    for (id, without) in spared(boat) {
        let load = &boat.loads[id].id;
        if ask.given(&format!("off.{load}")).is_some() {
            all.push(match without {
                Without::AtNight => Change::OffAtNight(load.clone()),
                Without::Altogether => Change::Without(load.clone()),
            });
        }
    }
    let marina = ask.given("marina").and_then(|night| night.parse::<usize>().ok());
    if let (Some(night), Some(pedestal)) = (marina, inlet(boat)) {
        all.push(Change::Alongside { day: night.saturating_sub(1), pedestal });
    }
    match ask.given("charge") {
        Some("morning") => all.extend(mornings(trip, marina)),
        Some("evening") => all.extend(evenings(trip, marina)),
        _ => {}
    }
    if ask.given("careful").is_some() {
        all.push(Change::WaterEach(CAREFUL));
    }
    if ask.given("pump").is_some() {
        all.push(Change::PumpOut(middle(trip)));
    }
    if ask.given("fill").is_some() {
        all.push(Change::Water(middle(trip)));
    }
    all
}

/// The plan with all of it done otherwise.
pub(super) fn applied(trip: &Trip, changes: &[Change]) -> Trip {
    apply_all(trip, changes)
}

/// Whether she lies at anchor or on a buoy in the night after a day, from zero.
fn lies_out(trip: &Trip, day: usize, marina: Option<usize>) -> bool {
    trip.days.get(day).is_some_and(|row| row.night != Activity::Alongside) && marina != Some(day + 1)
}

fn mornings(trip: &Trip, marina: Option<usize>) -> impl Iterator<Item = Change> {
    let days = (1..trip.days.len()).filter(move |day| lies_out(trip, day - 1, marina));
    days.map(|day| Change::Engine { day, from: MORNING, lasts: CHARGING })
}

fn evenings(trip: &Trip, marina: Option<usize>) -> impl Iterator<Item = Change> {
    let days = (0..trip.days.len().saturating_sub(1)).filter(move |day| lies_out(trip, *day, marina));
    days.map(|day| Change::Engine { day, from: EVENING, lasts: CHARGING })
}

/// What is done otherwise in words, one each; charging on many days is one.
pub(super) fn told(boat: &Boat, trip: &Trip, changes: &[Change]) -> Vec<String> {
    let mut all: Vec<String> = Vec::new();
    for change in changes {
        let words = one(boat, trip, change);
        if !all.contains(&words) {
            all.push(words);
        }
    }
    all
}

/// A change in words, without a full stop.
pub(super) fn one(boat: &Boat, trip: &Trip, change: &Change) -> String {
    let name = |id: &str| {
        boat.loads.iter().find(|load| load.id == id).map_or_else(|| id.to_owned(), |load| load.name.clone())
    };
    let day = |day: &usize| words::day(&trip.starts, u32::try_from(*day).unwrap_or(0));
    match change {
        Change::OffAtNight(load) => format!("{}: off at night", name(load)),
        Change::Without(load) => format!("{}: not used", name(load)),
        Change::Alongside { day: night, .. } => {
            format!("The night after {} alongside, with shore power, water and pump-out", day(night))
        }
        Change::Engine { from, lasts, .. } => {
            format!("The engine for the batteries from {from} for {} a day", crate::words::time(*lasts))
        }
        Change::PumpOut(at) => format!("Holding tanks pumped out on {}", day(at)),
        Change::Water(at) => format!("Water tanks filled on {}", day(at)),
        Change::Fuel(at) => format!("Diesel filled on {}", day(at)),
        Change::Gas(at) => format!("Gas bottles changed on {}", day(at)),
        Change::WaterEach(each) => {
            format!("Water: {} a day for each person", crate::words::quantity((*each).into()))
        }
        Change::FlushesEach(times) => format!("Heads: {times} flushes a day for each person"),
    }
}

/// What a crew can do without, what takes most first; what takes nothing on this trip is left out.
fn worth_sparing(boat: &Boat, ask: &ForecastAsk, told: Option<&Told>) -> Vec<(LoadId, Without)> {
    let share = |id: LoadId| {
        let uses = told.iter().flat_map(|told| &told.forecast.stores).flat_map(|store| &store.uses);
        uses.filter(|row| row.load == id).map(|row| row.share).fold(0.0, f64::max)
    };
    let mut all: Vec<(LoadId, Without)> = spared(boat)
        .filter(|(id, _)| {
            let ticked = ask.given(&format!("off.{}", boat.loads[*id].id)).is_some();
            ticked || told.is_none() || share(*id) > 0.0
        })
        .collect();
    all.sort_by(|a, b| share(b.0).total_cmp(&share(a.0)).then(a.0.cmp(&b.0)));
    all
}

/// The switches, for the form.
pub(super) fn switches(boat: &Boat, ask: &ForecastAsk, told: Option<&Told>) -> Markup {
    let trip = told.map(|told| &told.trip);
    let engine = boat.feeds.iter().any(|source| matches!(source.kind, SourceKind::Alternator(_)));
    let dock_day = trip.map(|trip| words::day(&trip.starts, u32::try_from(middle(trip)).unwrap_or(0)));
    let at = dock_day.map_or_else(String::new, |day| format!(" on {day}"));
    html! {
        div.switches {
            @if holds(boat, Liquid::Water) {
                (tick(ask, "careful", &format!("Careful with water: {} a day for each person", crate::words::quantity(CAREFUL.into()))))
                (tick(ask, "fill", &format!("Stop at a dock{at} to fill water")))
            }
            @if holds(boat, Liquid::Waste) { (tick(ask, "pump", &format!("Stop at a pump-out station{at}"))) }
            @for (id, without) in worth_sparing(boat, ask, told) {
                @let load = &boat.loads[id];
                @let when = if without == Without::AtNight { "off at night" } else { "not used" };
                (tick(ask, &format!("off.{}", load.id), &format!("{}: {when}", load.name)))
            }
        }
        div.filters {
            @if inlet(boat).is_some() { (marina(ask, trip)) }
            @if engine { (charge(ask)) }
        }
    }
}

fn tick(ask: &ForecastAsk, key: &str, label: &str) -> Markup {
    html! {
        label.tick {
            input type="checkbox" name=(key) value="1" checked[ask.given(key).is_some()];
            span { (label) }
        }
    }
}

fn marina(ask: &ForecastAsk, trip: Option<&Trip>) -> Markup {
    html! {
        div.field {
            label for="marina" { "One night in a marina" }
            select #marina name="marina" {
                option value="" { "No" }
                @if let Some(trip) = trip {
                    @for night in 1..u32::try_from(trip.days.len()).unwrap_or(1) {
                        @let value = night.to_string();
                        option value=(value) selected[ask.given("marina") == Some(&value)] {
                            "After " (words::day(&trip.starts, night - 1))
                        }
                    }
                }
            }
        }
    }
}

fn charge(ask: &ForecastAsk) -> Markup {
    let chosen = ask.given("charge");
    html! {
        div.field {
            label for="charge" { "Engine for the batteries" }
            select #charge name="charge" {
                option value="" { "No" }
                option value="morning" selected[chosen == Some("morning")] { "Two hours each morning, from " (MORNING) }
                option value="evening" selected[chosen == Some("evening")] { "Two hours each evening, from " (EVENING) }
            }
        }
    }
}
