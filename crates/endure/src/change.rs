//! Changes to a plan: what a crew could do otherwise, for “what if” and for remedies.

use boat::model::Activity;
use boat::trip::{Clock, EngineRun, Saving, Trip};
use quantity::{Current, Time, Volume};

/// Something done otherwise.
#[derive(Debug, Clone, PartialEq)]
pub enum Change {
    /// A load is switched off for the night.
    OffAtNight(String),
    /// A load is not used at all.
    Without(String),
    /// The night after this day, from zero, is spent alongside with shore power, water and pump-out.
    Alongside {
        /// The day, from zero.
        day: usize,
        /// What the pedestal gives.
        pedestal: Current,
    },
    /// The engine runs for the batteries on this day.
    Engine {
        /// The day, from zero.
        day: usize,
        /// When.
        from: Clock,
        /// How long.
        lasts: Time,
    },
    /// Waste tanks are pumped out when she comes in on this day.
    PumpOut(usize),
    /// Water tanks are filled when she comes in on this day.
    Water(usize),
    /// Diesel is filled when she comes in on this day.
    Fuel(usize),
    /// Empty bottles are changed when she comes in on this day.
    Gas(usize),
    /// Each person uses so much water a day.
    WaterEach(Volume),
    /// Each person flushes so many times a day.
    FlushesEach(f64),
}

impl Change {
    /// The plan with this done otherwise.
    #[must_use]
    pub fn apply(&self, trip: &Trip) -> Trip {
        let mut trip = trip.clone();
        let saving = |load: &String| Saving { load: load.clone(), span: trip.span };
        match self {
            Self::OffAtNight(load) => trip.off_at_night.push(saving(load)),
            Self::Without(load) => trip.off.push(saving(load)),
            Self::WaterEach(volume) => trip.habits.water_each = Some(*volume),
            Self::FlushesEach(times) => trip.habits.flushes_each = *times,
            Self::Alongside { day, pedestal } => {
                if let Some(day) = trip.days.get_mut(*day) {
                    day.night = Activity::Alongside;
                    day.engine.clear();
                    day.dock.pedestal = Some(*pedestal);
                    day.dock.no_pedestal = false;
                    day.dock.water = true;
                    day.dock.pump_out = true;
                }
            }
            Self::Engine { day, from, lasts } => {
                if let Some(day) = trip.days.get_mut(*day) {
                    day.engine.push(EngineRun { from: *from, lasts: *lasts, rpm: None });
                }
            }
            Self::PumpOut(day) => dock(&mut trip, *day, |dock| dock.pump_out = true),
            Self::Water(day) => dock(&mut trip, *day, |dock| dock.water = true),
            Self::Fuel(day) => dock(&mut trip, *day, |dock| dock.fuel = true),
            Self::Gas(day) => dock(&mut trip, *day, |dock| dock.gas = true),
        }
        trip
    }
}

fn dock(trip: &mut Trip, day: usize, set: impl FnOnce(&mut boat::trip::Dock)) {
    if let Some(day) = trip.days.get_mut(day) {
        set(&mut day.dock);
    }
}

/// The plan with all of these done otherwise.
pub fn apply_all(trip: &Trip, changes: &[Change]) -> Trip {
    changes.iter().fold(trip.clone(), |trip, change| change.apply(&trip))
}
