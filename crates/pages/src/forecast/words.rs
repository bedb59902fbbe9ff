//! Words of the forecast: days, levels, how sure it is.

use endure::forecast::{Sort, StoreForecast};
use endure::words::{SURE, moment, spent};

/// A day of the trip from zero, as "day 3 (Mon)".
pub(super) fn day(starts: &str, day: u32) -> String {
    let text = moment(starts, day * 1440);
    text.split_once(',').map_or(text.clone(), |(day, _)| day.to_owned())
}

/// The day of the week alone, "Mon"; the number if the calendar has none.
pub(super) fn weekday(starts: &str, number: u32) -> String {
    let text = day(starts, number);
    let inner = text.split_once('(').and_then(|(_, rest)| rest.split_once(')'));
    inner.map_or_else(|| (number + 1).to_string(), |(name, _)| name.to_owned())
}

/// How sure it is that a store lasts.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Sure {
    Lasts,
    InDoubt,
    Fails,
}

impl Sure {
    pub(super) fn of(chance: f64) -> Self {
        if chance >= SURE {
            Self::Lasts
        } else if chance >= 0.5 {
            Self::InDoubt
        } else {
            Self::Fails
        }
    }

    pub(super) fn word(self) -> &'static str {
        match self {
            Self::Lasts => "Lasts",
            Self::InDoubt => "In doubt",
            Self::Fails => "Does not last",
        }
    }

    pub(super) fn class(self) -> &'static str {
        match self {
            Self::Lasts => "sure lasts",
            Self::InDoubt => "sure doubt",
            Self::Fails => "sure fails",
        }
    }
}

/// When a store is spent, in words.
pub(super) fn when_spent(store: &StoreForecast, starts: &str) -> String {
    let what = spent(store.sort);
    let Some(usual) = store.usual else { return "Not on this trip.".to_owned() };
    let usual = moment(starts, usual);
    match store.earliest.map(|minute| moment(starts, minute)) {
        Some(early) if store.lasts < 0.05 && early == usual => format!("It is {what} by {usual}."),
        Some(early) if store.lasts < 0.05 => {
            format!("It is {what} by {usual} in half of the trips, by {early} in one of ten.")
        }
        Some(early) => {
            format!(
                "If it fails, it is {what} by {usual} in half of those trips. One trip in ten: by {early}."
            )
        }
        None => format!("In the few trips that fail, it is {what} by {usual} in half of them."),
    }
}

/// A level in percent.
pub(super) fn percent(part: impl Into<f64>) -> String {
    format!("{:.0} %", part.into() * 100.0)
}

/// An amount with its unit, with a digit behind the point only when it is small.
pub(super) fn amount(amount: f64, unit: &str) -> String {
    if amount < 10.0 { format!("{amount:.1} {unit}") } else { format!("{amount:.0} {unit}") }
}

/// What is in a store, for people.
pub(super) fn sort(sort: Sort) -> &'static str {
    match sort {
        Sort::Battery => "power",
        Sort::Water => "fresh water",
        Sort::Waste => "waste",
        Sort::Diesel => "fuel",
        Sort::Gas => "cooking gas",
    }
}

/// The class of the style sheet that gives a store its colour.
pub(super) fn class(sort: Sort) -> &'static str {
    match sort {
        Sort::Battery => "power",
        Sort::Water => "fresh",
        Sort::Waste => "waste",
        Sort::Diesel => "fuel",
        Sort::Gas => "gas",
    }
}
