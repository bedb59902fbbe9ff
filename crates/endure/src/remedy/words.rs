//! The remedy in words for a crew: whole sentences, and what to mind.

use boat::model::Boat;
use boat::trip::Trip;

use crate::change::Change;
use crate::words::of_a_hundred;

/// What to mind while the engine runs for the batteries.
const ENGINE: [&str; 3] = [
    "While the engine runs at anchor, nobody is in the water and the ladder is up: first look, then start.",
    "Exhaust gas holds carbon monoxide, which nobody smells. Keep hatches and doors near the exhaust shut, air the \
     cabin from the bow, and stop the engine at once if an alarm sounds or somebody has a headache.",
    "Engine hours are kept out of the quiet hours of the plan. A neighbour close by may still mind: ask.",
];

/// Each change as a sentence.
pub fn sentences(boat: &Boat, trip: &Trip, changes: &[Change]) -> Vec<String> {
    changes.iter().map(|change| sentence(boat, trip, change)).collect()
}

/// A change as a sentence.
pub fn sentence(boat: &Boat, trip: &Trip, change: &Change) -> String {
    let name = |id: &str| {
        let load = boat.loads.iter().find(|load| load.id == id);
        load.map_or_else(|| id.to_owned(), |load| load.name.clone())
    };
    match change {
        Change::OffAtNight(load) => format!("Switch off for the night, every night: {}.", lower(&name(load))),
        Change::Without(load) => format!("Do without this on the whole trip: {}.", lower(&name(load))),
        Change::Alongside { day, .. } => format!(
            "Lie alongside with shore power for the night after {}: it also fills the water and empties the holding \
             tank.",
            named(trip, *day)
        ),
        Change::Engine { day, from, lasts } => {
            #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "within a day")]
            let end = from.minutes() + lasts.as_minutes().round() as u32;
            format!(
                "Run the engine for the batteries from {from} to {:02}:{:02} on {}.",
                end / 60 % 24,
                end % 60,
                named(trip, *day)
            )
        }
        Change::PumpOut(day) => {
            format!("Have the holding tank pumped out when you come in on {}.", named(trip, *day))
        }
        Change::Water(day) => format!("Fill the water tanks when you come in on {}.", named(trip, *day)),
        Change::Fuel(day) => format!("Fill diesel when you come in on {}.", named(trip, *day)),
        Change::Gas(day) => format!("Change empty gas bottles when you come in on {}.", named(trip, *day)),
        Change::WaterEach(each) => {
            format!("Be careful with water: {:.0} litres a day for each person.", each.as_litres())
        }
        Change::FlushesEach(times) => {
            format!("Flush less: {times:.0} times a day for each person, and use the heads ashore.")
        }
    }
}

/// What a crew has to mind with these changes.
pub fn cautions(changes: &[Change]) -> Vec<&'static str> {
    let engine = changes.iter().any(|change| matches!(change, Change::Engine { .. }));
    let mut all: Vec<&'static str> = if engine { ENGINE.to_vec() } else { Vec::new() };
    if changes.iter().any(|change| matches!(change, Change::Fuel(_) | Change::Gas(_))) {
        all.push(
            "Fuel and gas come aboard with the engine stopped, no flame anywhere and everybody on deck.",
        );
    }
    all
}

/// How good a remedy is, in a sentence or two.
pub(super) fn verdict(lasts: f64, error: f64, gap: f64, ended: bool, empty: bool) -> String {
    let what = if empty { "Nothing has to be done otherwise: everything" } else { "With this, everything" };
    // One point of a hundred is the finest that is told.
    let give = (error * 200.0).ceil().max(1.0);
    let mut text =
        format!("{what} lasts in {} trips like this one, give or take {give:.0}.", of_a_hundred(lasts));
    if !empty {
        let most = (gap * 100.0).ceil();
        let cheaper = if ended {
            "No cheaper remedy of this kind does, in the trips that were searched.".to_owned()
        } else {
            format!("A cheaper one may exist: it can save at most {most:.0} % of the trouble.")
        };
        text.push(' ');
        text.push_str(&cheaper);
    }
    text
}

/// When no remedy is good enough.
pub(super) fn least_bad(sure: f64) -> String {
    format!(
        "No remedy that was looked at keeps everything in {} trips: this is the least bad. Ask the base before \
         relying on it.",
        of_a_hundred(sure)
    )
}

/// What can't be kept.
pub(super) fn cannot(name: &str) -> String {
    format!(
        "{name}: nothing of what was looked at keeps it within its limit. Ask the base, plan fewer people or shorter \
         trips, or go alongside more often than the plan allows."
    )
}

/// A day of the trip, as `day 3 (Mon)`.
fn named(trip: &Trip, day: usize) -> String {
    let minute = u32::try_from(day).unwrap_or(0) * 1440;
    let moment = crate::words::moment(&trip.starts, minute);
    moment.split(',').next().unwrap_or_default().to_owned()
}

fn lower(name: &str) -> String {
    let mut letters = name.chars();
    letters.next().map_or_else(String::new, |first| first.to_lowercase().chain(letters).collect())
}
