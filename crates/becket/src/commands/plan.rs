//! The trip that a command is about: a plan's text, or a usual trip from a few words.

use boat::diagnostic::Diagnostic;
use boat::model::Boat;
use boat::source::Sources;
use boat::trip::Trip;
use clap::Args;
use endure::marks::Marks;
use endure::plan::{Wish, usual};
use endure::{Voyage, reckon};
use jiff::civil::Date;
use quantity::{Ratio, Temperature, Time};

use crate::load::Failure;

/// What commands that reckon with a trip can be told.
#[derive(Args)]
pub(crate) struct PlanArgs {
    /// A boat file, or the name of a demo boat.
    pub(crate) boat: String,
    /// A trip plan, a file; without one a usual trip is taken, told by the options below.
    #[arg(long, value_name = "FILE", conflicts_with_all = ["crew", "days", "from", "motor", "sail", "low", "high", "cloud"])]
    plan: Option<String>,
    /// People aboard.
    #[arg(long, default_value_t = 4, value_parser = clap::value_parser!(u32).range(1..=40))]
    crew: u32,
    /// Days, those of take-over and hand-back included.
    #[arg(long, default_value_t = 8, value_parser = clap::value_parser!(u32).range(1..=60))]
    days: u32,
    /// The first day, such as 2027-07-10.
    #[arg(long, value_name = "DAY", default_value = "2027-07-10", value_parser = day)]
    from: Date,
    /// Time under engine on a full day.
    #[arg(long, default_value = "1 h")]
    motor: Time,
    /// Time under sail on a full day.
    #[arg(long, default_value = "4 h")]
    sail: Time,
    /// The air before dawn.
    #[arg(long, default_value = "15 °C")]
    low: Temperature,
    /// The air in the afternoon.
    #[arg(long, default_value = "24 °C")]
    high: Temperature,
    /// The part of the sky that is clouded.
    #[arg(long, default_value = "50 %")]
    cloud: Ratio,
    /// The id of a load that is switched off for the night, such as "refrigerator"; may be given again.
    #[arg(long, value_name = "LOAD")]
    off_at_night: Vec<String>,
    /// The id of a load that is not used at all; may be given again.
    #[arg(long, value_name = "LOAD")]
    without: Vec<String>,
    /// How many ways in which the trip may go are reckoned; 500 for a forecast and 200 for a remedy if absent.
    #[arg(long, value_parser = clap::value_parser!(u64).range(1..=100_000))]
    drawings: Option<u64>,
    /// The seed of chance: the same seed gives the same answer.
    #[arg(long, default_value_t = 1)]
    pub(crate) seed: u64,
}

/// A plan with the text that its faults point at.
pub(crate) struct Planned {
    pub(crate) trip: Trip,
    pub(crate) sources: Sources,
}

impl PlanArgs {
    /// The plan, from its text or as a usual one.
    pub(crate) fn trip(&self, boat: &Boat) -> Result<Planned, Failure> {
        let (name, text) = match &self.plan {
            Some(file) => (file.clone(), read(file)?),
            None => ("the usual plan".to_owned(), boat::trip::write(&usual(boat, &self.wish()))),
        };
        let read = boat::trip::compile(&name, &text);
        let Some(mut trip) = read.trip else {
            let last = format!("{name} must be mended first.");
            return Err(Failure::diagnosed(&read.diagnostics, &read.sources, Some(&last)));
        };
        let span = trip.span;
        let saving = |load: &String| boat::trip::Saving { load: load.clone(), span };
        trip.off_at_night.extend(self.off_at_night.iter().map(saving));
        trip.off.extend(self.without.iter().map(saving));
        Ok(Planned { trip, sources: read.sources })
    }

    /// How many ways in which the trip may go are reckoned.
    pub(crate) fn drawings(&self, usual: u64) -> u64 {
        self.drawings.unwrap_or(usual)
    }

    fn wish(&self) -> Wish {
        Wish {
            days: self.days,
            motor: self.motor,
            sail: self.sail,
            weather: boat::trip::Weather { low: self.low, high: self.high, cloud: self.cloud },
            ..Wish::week(self.crew, self.from)
        }
    }
}

impl Planned {
    /// The trip made ready to be reckoned.
    pub(crate) fn voyage(&self, boat: &Boat) -> Result<Voyage, Failure> {
        if boat.stores.is_empty() {
            return Err(Failure(
                "The boat file has no [stores], so nothing can be reckoned. Add her batteries, tanks and bottles: \
                 docs/boat-file.md tells how."
                    .to_owned(),
            ));
        }
        Voyage::new(boat, &self.trip).map_err(|faults| refused(&faults, &self.sources))
    }

    /// "Whimbrel, 4 people aboard, 8 days from 2027-07-10."
    pub(crate) fn head(&self, boat: &Boat) -> String {
        let count = |count: usize, one: &str, many: &str| {
            if count == 1 { format!("1 {one}") } else { format!("{count} {many}") }
        };
        format!(
            "{}, {} aboard, {} from {}.",
            boat.particulars.name,
            count(self.trip.crew as usize, "person", "people"),
            count(self.trip.days.len(), "day", "days"),
            self.trip.starts
        )
    }
}

/// What is wrong with a plan.
pub(crate) fn refused(faults: &[Diagnostic], sources: &Sources) -> Failure {
    Failure::diagnosed(faults, sources, Some("The plan must be mended first."))
}

/// A day of the calendar.
pub(crate) fn day(text: &str) -> Result<Date, String> {
    text.parse().map_err(|_| "write year, month and day, such as 2027-07-10".to_owned())
}

/// Reckons the drawings on all cores, in order.
pub(crate) fn reckon_all(voyage: &Voyage, seed: u64, drawings: u64) -> Vec<Marks> {
    let cores = std::thread::available_parallelism().map_or(1, std::num::NonZero::get) as u64;
    let share = drawings.div_ceil(cores.max(1)).max(1);
    std::thread::scope(|scope| {
        let handles: Vec<_> = (0..cores)
            .map(|core| (core * share).min(drawings)..((core + 1) * share).min(drawings))
            .filter(|range| !range.is_empty())
            .map(|range| scope.spawn(|| reckon(voyage, seed, range)))
            .collect();
        handles
            .into_iter()
            .flat_map(|handle| handle.join().unwrap_or_else(|panic| std::panic::resume_unwind(panic)))
            .collect()
    })
}

fn read(file: &str) -> Result<String, Failure> {
    std::fs::read_to_string(file)
        .map_err(|error| Failure(format!("{file} can't be read: {error}. Give a trip plan in UTF-8.")))
}
