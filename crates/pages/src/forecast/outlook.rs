//! The trip that is asked about, made ready and reckoned: as planned, and with what is done otherwise.

use std::ops::Range;

use boat::diagnostic::Diagnostic;
use boat::model::Boat;
use boat::source::Sources;
use boat::trip::Trip;
use endure::change::Change;
use endure::marks::Marks;
use endure::meter::{Checked, check_marks};
use endure::remedy::{Remedy, Terms, least};
use endure::{Forecast, Voyage};

use super::ask::ForecastAsk;
use super::what_if;

/// Steps that all drawings of a forecast may take together: a week's worth of [`MOST_DRAWINGS`].
const MOST_STEPS: u64 = 2_000_000;
/// Drawings of a trip of a week or less: what a small server reckons twice, before and after, within half a second.
const MOST_DRAWINGS: u64 = 200;
/// Drawings of the longest trip.
const LEAST_DRAWINGS: u64 = 50;

/// One seed for all, so that one question has one answer.
const SEED: u64 = 1;

/// Reckons the drawings of some numbers under a seed, in their order; it may share them out.
pub type Reckon<'a> = &'a dyn Fn(&Voyage, u64, Range<u64>) -> Vec<Marks>;

/// A trip with its forecast.
#[derive(Debug)]
pub(super) struct Told {
    pub(super) trip: Trip,
    pub(super) voyage: Voyage,
    pub(super) forecast: Forecast,
    /// What the readings of the plan say, if it has any; the forecast then counts them.
    pub(super) checked: Option<Checked>,
}

/// What asking about a trip came to.
#[derive(Debug)]
pub struct Outlook {
    /// The plan as text: as it was written, or as the form says.
    pub(super) text: String,
    pub(super) sources: Sources,
    /// What is wrong with the plan.
    pub(super) found: Vec<Diagnostic>,
    /// As planned; none if the plan can't be reckoned.
    pub(super) planned: Option<Told>,
    /// What is done otherwise.
    pub(super) changes: Vec<Change>,
    /// With that; none if nothing is, or if it can't be reckoned.
    pub(super) changed: Option<Told>,
    /// What would make it last at least cost, if it was asked for.
    pub(super) remedy: Option<Result<Remedy, Vec<Diagnostic>>>,
}

impl Outlook {
    /// Reckons what is asked. `reckon` is [`endure::reckon`](fn@endure::reckon), or the same shared out.
    pub fn look(boat: &Boat, ask: &ForecastAsk, reckon: Reckon<'_>) -> Self {
        let written = ask.plan().map(str::to_owned);
        let text = written.or_else(|| ask.trip(boat).map(|trip| boat::trip::write(&trip)));
        let Some(text) = text else { return Self::empty() };
        // The form's plan is read back from its text too, so that a fault points at a line that people can see.
        let read = boat::trip::compile("The plan", &text);
        let mut outlook = Self { text, sources: read.sources, found: read.diagnostics, ..Self::empty() };
        let Some(trip) = read.trip else { return outlook };
        outlook.changes = ask.changes(boat, &trip);
        if !ask.is_sound() {
            return outlook;
        }
        let changed = (!outlook.changes.is_empty()).then(|| what_if::applied(&trip, &outlook.changes));
        outlook.planned = outlook.tell(boat, trip, reckon);
        outlook.changed = changed.and_then(|trip| outlook.tell(boat, trip, reckon));
        if ask.given("remedy").is_some() {
            outlook.remedy = outlook.told().map(|told| least(boat, &told.trip, &Terms::default()));
        }
        outlook
    }

    /// Whether there is a forecast to show.
    pub fn is_sound(&self) -> bool {
        self.planned.is_some()
    }

    fn empty() -> Self {
        Self {
            text: String::new(),
            sources: Sources::default(),
            found: Vec::new(),
            planned: None,
            changes: Vec::new(),
            changed: None,
            remedy: None,
        }
    }

    fn tell(&mut self, boat: &Boat, trip: Trip, reckon: Reckon<'_>) -> Option<Told> {
        match Voyage::new(boat, &trip) {
            Ok(voyage) => {
                let drawings =
                    (MOST_STEPS / (voyage.steps as u64).max(1)).clamp(LEAST_DRAWINGS, MOST_DRAWINGS);
                let marks = reckon(&voyage, SEED, 0..drawings);
                let checked = (!voyage.readings.is_empty()).then(|| check_marks(boat, &voyage, SEED, &marks));
                let forecast = checked
                    .as_ref()
                    .map_or_else(|| Forecast::of(boat, &voyage, &marks), |checked| checked.forecast.clone());
                for note in &voyage.notes {
                    if !self.found.contains(note) {
                        self.found.push(note.clone());
                    }
                }
                Some(Told { trip, voyage, forecast, checked })
            }
            Err(faults) => {
                self.found.extend(faults);
                None
            }
        }
    }

    /// The forecast that the page tells in full: with what is done otherwise, if that could be reckoned.
    pub(super) fn told(&self) -> Option<&Told> {
        self.changed.as_ref().or(self.planned.as_ref())
    }
}
