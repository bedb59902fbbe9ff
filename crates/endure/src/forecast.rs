//! The forecast: many drawings of one trip, told as bands, chances and reasons.

use boat::model::{Boat, Liquid, LoadId, StoreId};

use crate::log::{Ledgered, Logger};
use crate::luck::Luck;
use crate::marks::{Marker, Marks};
use crate::run::Runner;
use crate::voyage::{Account, Voyage};

/// Reckons the drawings of these numbers. Ranges can be reckoned side by side and put together in order.
pub fn reckon(voyage: &Voyage, seed: u64, numbers: std::ops::Range<u64>) -> Vec<Marks> {
    let mut runner = Runner::new(voyage);
    numbers
        .map(|number| {
            let luck = Luck::draw(voyage, seed, number);
            let mut marker = Marker::new(voyage);
            runner.run(&luck, &mut marker);
            marker.into_marks()
        })
        .collect()
}

/// Reckons one trip with all as planned.
pub fn as_planned(voyage: &Voyage) -> (Marks, Ledgered) {
    let luck = Luck::middle(voyage);
    let mut runner = Runner::new(voyage);
    let mut both = (Marker::new(voyage), Logger::new(voyage));
    runner.run(&luck, &mut both);
    (both.0.into_marks(), both.1.into_log())
}

/// What a store of the forecast holds.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Sort {
    /// Charge of a bank.
    Battery,
    /// Fresh water.
    Water,
    /// Waste.
    Waste,
    /// Diesel.
    Diesel,
    /// Cooking gas.
    Gas,
}

impl Sort {
    /// Of what a tank holds; bottles hold nothing liquid.
    pub(crate) fn of_liquid(liquid: Option<Liquid>) -> Self {
        match liquid {
            Some(Liquid::Water) => Self::Water,
            Some(Liquid::Waste) => Self::Waste,
            Some(Liquid::Diesel) => Self::Diesel,
            None => Self::Gas,
        }
    }
}

/// Eight of ten trips lie between low and high.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Band {
    /// One trip in ten is below.
    pub low: f32,
    /// Half of the trips are below.
    pub middle: f32,
    /// One trip in ten is above.
    pub high: f32,
}

/// What one load takes of a store.
#[derive(Debug, Clone, PartialEq)]
pub struct Use {
    /// The load.
    pub load: LoadId,
    /// Its name.
    pub name: String,
    /// Ah, litres or kilograms, over the whole trip.
    pub amount: f64,
    /// Its part of all that was taken until the store was spent, or over the whole trip.
    pub share: f64,
}

/// When a crew changes from one tank or bottle to the next, if all goes as planned.
#[derive(Debug, Clone, PartialEq)]
pub struct ChangeOver {
    /// Minutes since midnight of the first day.
    pub minute: u32,
    /// What is spent.
    pub from: StoreId,
    /// What is used next.
    pub to: StoreId,
}

/// The forecast of one store.
#[derive(Debug, Clone)]
pub struct StoreForecast {
    /// The stores that it is made of, in the order used.
    pub stores: Vec<StoreId>,
    /// Its name for people.
    pub name: String,
    /// What it holds.
    pub sort: Sort,
    /// All that it holds, in `unit`; of a bank, its rated charge.
    pub capacity: f64,
    /// `Ah`, `L` or `kg`.
    pub unit: &'static str,
    /// The level, as a part, past which it counts as spent: below it, or of waste above it.
    pub limit: f64,
    /// Levels as parts at each whole hour from the start.
    pub hours: Vec<Band>,
    /// Of a bank: volts at each whole hour.
    pub volts: Vec<Band>,
    /// The chance that it lasts the trip.
    pub lasts: f64,
    /// The minute by which it is spent in one trip of ten of all; told if it is spent in two of ten at least, so that
    /// it is never after `usual`.
    pub earliest: Option<u32>,
    /// Of trips in which it does not: the minute by which half of them have spent it.
    pub usual: Option<u32>,
    /// The minute at which it is spent if all goes as planned.
    pub planned: Option<u32>,
    /// The level at the worst moment of each trip.
    pub worst: Band,
    /// What takes it (of waste: fills it), the largest first.
    pub uses: Vec<Use>,
    /// Changes from tank to tank.
    pub change_overs: Vec<ChangeOver>,
}

/// The forecast of a trip.
#[derive(Debug, Clone)]
pub struct Forecast {
    /// How many drawings it rests on.
    pub drawings: usize,
    /// Banks, then tanks and bottles.
    pub stores: Vec<StoreForecast>,
    /// The chance that all of them last.
    pub all_last: f64,
    /// Hours that an engine runs as planned.
    pub engine_hours: f64,
    /// Hours in which mains ask for more than the pedestal gives, as planned.
    pub overloaded_hours: f64,
}

impl Forecast {
    /// Puts drawings together, all of one weight.
    pub fn of(boat: &Boat, voyage: &Voyage, marks: &[Marks]) -> Self {
        Self::weighed(boat, voyage, marks, &vec![1.0; marks.len()])
    }

    /// Puts drawings together by their weights (a meter check gives them).
    pub fn weighed(boat: &Boat, voyage: &Voyage, marks: &[Marks], weights: &[f64]) -> Self {
        let (planned, log) = as_planned(voyage);
        let scale = Scale { marks, weights, total: weights.iter().sum() };
        let places = voyage.banks.len() + voyage.ledgers.len();
        let stores = (0..places).map(|place| scale.store(boat, voyage, place, &planned, &log)).collect();
        let all_last = scale.chance(|marks| marks.spent.iter().all(Option::is_none));
        Self {
            drawings: marks.len(),
            stores,
            all_last,
            engine_hours: log.engine_hours,
            overloaded_hours: log.overloaded_hours,
        }
    }
}

/// Drawings with their weights.
struct Scale<'a> {
    marks: &'a [Marks],
    weights: &'a [f64],
    total: f64,
}

impl Scale<'_> {
    fn chance(&self, holds: impl Fn(&Marks) -> bool) -> f64 {
        let with: f64 =
            self.marks.iter().zip(self.weights).filter(|(marks, _)| holds(marks)).map(|(_, w)| w).sum();
        if self.total > 0.0 { (with / self.total).clamp(0.0, 1.0) } else { f64::NAN }
    }

    fn band(&self, value: impl Fn(&Marks) -> f32) -> Band {
        let mut values: Vec<(f32, f64)> =
            self.marks.iter().zip(self.weights).map(|(marks, weight)| (value(marks), *weight)).collect();
        values.sort_by(|a, b| a.0.total_cmp(&b.0));
        let at = |part: f64| quantile(&values, part * self.total);
        Band { low: at(0.1), middle: at(0.5), high: at(0.9) }
    }

    fn store(
        &self,
        boat: &Boat,
        voyage: &Voyage,
        place: usize,
        planned: &Marks,
        log: &Ledgered,
    ) -> StoreForecast {
        let head = Head::of(boat, voyage, place);
        let hours = planned.levels[place].len();
        let step_minute = |step: u32| {
            #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "within the trip")]
            let minute = voyage.minute(step as usize) as u32;
            minute
        };
        let mut spent: Vec<(f32, f64)> = Vec::new();
        for (marks, weight) in self.marks.iter().zip(self.weights) {
            if let Some(step) = marks.spent[place] {
                #[allow(clippy::cast_precision_loss, reason = "steps of some weeks")]
                spent.push((step as f32, *weight));
            }
        }
        spent.sort_by(|a, b| a.0.total_cmp(&b.0));
        let gone: f64 = spent.iter().map(|(_, weight)| weight).sum();
        let at = |weight: f64| {
            #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "a step")]
            let step = quantile(&spent, weight) as u32;
            step_minute(step)
        };
        let tenth = 0.1 * self.total;
        StoreForecast {
            hours: (0..hours).map(|hour| self.band(|marks| marks.levels[place][hour])).collect(),
            volts: if place < voyage.banks.len() {
                (0..hours).map(|hour| self.band(|marks| marks.volts[place][hour])).collect()
            } else {
                Vec::new()
            },
            lasts: self.chance(|marks| marks.spent[place].is_none()),
            earliest: (gone >= 2.0 * tenth && gone > 0.0).then(|| at(tenth)),
            usual: (gone > 0.0).then(|| at(gone / 2.0)),
            planned: planned.spent[place].map(step_minute),
            worst: self.band(|marks| marks.worst[place]),
            uses: uses(boat, voyage, place, log),
            change_overs: change_overs(voyage, place, planned),
            stores: head.stores,
            name: head.name,
            sort: head.sort,
            capacity: head.capacity,
            unit: head.unit,
            limit: head.limit,
        }
    }
}

/// The value below which so much of the weight lies.
fn quantile(sorted: &[(f32, f64)], weight: f64) -> f32 {
    let mut below = 0.0;
    for (value, own) in sorted {
        below += own;
        if below >= weight {
            return *value;
        }
    }
    sorted.last().map_or(f32::NAN, |(value, _)| *value)
}

/// What a store is.
struct Head {
    stores: Vec<StoreId>,
    name: String,
    sort: Sort,
    capacity: f64,
    unit: &'static str,
    limit: f64,
}

impl Head {
    fn of(boat: &Boat, voyage: &Voyage, place: usize) -> Self {
        if let Some(bank) = voyage.banks.get(place) {
            return Self {
                stores: vec![bank.store],
                name: boat.stores[bank.store].name.clone(),
                sort: Sort::Battery,
                capacity: bank.spec.capacity.as_amp_hours(),
                unit: "Ah",
                limit: 1.0 - bank.usable.as_plain(),
            };
        }
        let ledger = &voyage.ledgers[place - voyage.banks.len()];
        let sort = Sort::of_liquid(ledger.liquid);
        let usable = ledger.usable / ledger.capacity;
        Self {
            stores: ledger.stores.clone(),
            name: ledger_name(boat, &ledger.stores, sort),
            sort,
            capacity: ledger.capacity,
            unit: ledger.unit(),
            limit: if ledger.fills() { usable } else { 1.0 - usable },
        }
    }
}

/// One tank has its own name; several used together are a supply.
pub(crate) fn ledger_name(boat: &Boat, stores: &[StoreId], sort: Sort) -> String {
    if let [one] = stores {
        return boat.stores[*one].name.clone();
    }
    match sort {
        Sort::Battery => "Batteries",
        Sort::Water => "Fresh water",
        Sort::Waste => "Holding tanks",
        Sort::Diesel => "Diesel",
        Sort::Gas => "Cooking gas",
    }
    .to_owned()
}

fn uses(boat: &Boat, voyage: &Voyage, place: usize, log: &Ledgered) -> Vec<Use> {
    let banks = voyage.banks.len();
    let here = |line: &crate::voyage::Line| match line.account {
        Account::Bank(bank) => bank == place,
        Account::Ledger(ledger) => banks + ledger == place,
        // What an inverter takes is written to its bank.
        Account::Mains => {
            place < banks
                && voyage.feeds.iter().any(|feed| {
                    matches!(feed.kind, crate::voyage::FeedKind::Inverter(..)) && feed.from == Some(place)
                })
        }
    };
    let amounts = if log.spent[place].is_some() { &log.until_spent } else { &log.whole };
    let total: f64 =
        voyage.lines.iter().zip(amounts).filter(|(line, _)| here(line)).map(|(_, amount)| amount).sum();
    let mut uses: Vec<Use> = voyage
        .lines
        .iter()
        .enumerate()
        .filter(|(at, line)| here(line) && log.whole[*at] > 0.0)
        .map(|(at, line)| Use {
            load: line.load,
            name: boat.loads[line.load].name.clone(),
            amount: log.whole[at],
            share: if total > 0.0 { amounts[at] / total } else { 0.0 },
        })
        .collect();
    uses.sort_by(|a, b| b.share.total_cmp(&a.share).then(a.load.cmp(&b.load)));
    uses
}

/// When the next tank is turned to, from the hourly course as planned.
fn change_overs(voyage: &Voyage, place: usize, planned: &Marks) -> Vec<ChangeOver> {
    let Some(ledger) = place.checked_sub(voyage.banks.len()).map(|at| &voyage.ledgers[at]) else {
        return Vec::new();
    };
    let mut found = Vec::new();
    let mut used = 0.0;
    let start = f64::from(planned.levels[place].first().copied().unwrap_or(0.0));
    let part_usable = ledger.usable / ledger.capacity;
    for pair in ledger.parts.windows(2) {
        used += pair[0].1 * part_usable;
        let level = if ledger.fills() { used / ledger.capacity } else { 1.0 - used / ledger.capacity };
        let past = |now: f64| if ledger.fills() { now >= level } else { now <= level };
        if past(start) {
            continue;
        }
        if let Some(hour) = planned.levels[place].iter().position(|now| past(f64::from(*now))) {
            let step = (hour + 1) * voyage.steps_an_hour();
            #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "within the trip")]
            let minute = voyage.minute(step) as u32;
            found.push(ChangeOver { minute, from: pair[0].0, to: pair[1].0 });
        }
    }
    found
}
