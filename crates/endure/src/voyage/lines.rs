//! The loads of a boat as lines of the reckoning: what each takes, from where, and when it runs.

use boat::diagnostic::Diagnostic;
use boat::model::{
    Activity, Boat, DayPart, Event, Liquid, Load, LoadId, LoadKind, Rate, Runs, StoreId, StoreKind, Without,
};
use boat::trip::{Saving, Trip};
use quantity::{Current, Power, Ratio, RotationalSpeed, Temperature, Time, Voltage};

use super::ledger::Ledgers;
use super::timeline::{BED, DAY_MINUTES, Stretch, Timeline, WAKE};
use crate::fuel::Engine;
use crate::stance::Stance;

/// Where a line takes from.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Account {
    /// A battery bank, by its place among the banks.
    Bank(usize),
    /// A set of tanks or bottles, by its place among the ledgers.
    Ledger(usize),
    /// Mains, of the shore or of an inverter.
    Mains,
}

/// What a line takes while it runs.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Take {
    /// Amperes of a bank.
    Current(Current),
    /// Watts, of a bank or of mains.
    Power(Power),
    /// Litres, or kilograms, in an hour.
    Hourly(f64),
    /// Litres of diesel in an hour by the engine's speed.
    Engine(Engine),
}

/// When a line runs.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Habit {
    /// Whenever it can, at this part of its rate.
    Steady(f64),
    /// Spread over a part of the day, so much of it.
    Spread {
        /// The part of the day.
        part: DayPart,
        /// The part of that time in which it runs.
        share: f64,
    },
    /// While it is dark.
    Dark,
    /// By a thermostat; its state is kept by the run.
    Thermostat {
        /// What it keeps.
        inside: Temperature,
        /// How far from the air it would bring it, run without a pause, at the usual duty.
        pull: f64,
        /// How fast it comes to the air, switched off.
        time_constant: Time,
    },
    /// At moments of the trip, for so long.
    Moments(Event, Time),
    /// While its engine runs.
    Engine,
}

/// A load in the reckoning.
#[derive(Debug, Clone)]
pub struct Line {
    /// The load.
    pub load: LoadId,
    /// Where it takes from.
    pub account: Account,
    /// What it takes while it runs.
    pub take: Take,
    /// When it runs.
    pub habit: Habit,
    /// How far the figure may be off: the standard deviation as a part.
    pub spread: f64,
    /// The line whose chance it shares (a pump with the water that it pumps), by its place; itself if none.
    pub with: usize,
    /// Whether it may run, by activity in the order of [`Activity::ALL`].
    pub allowed: [bool; 6],
    /// Whether it is switched off for the night.
    pub off_at_night: bool,
    /// The voltage at the bank under which it stops, cable counted.
    pub stops_below: Option<Voltage>,
}

/// How far figures are usually off, as parts (our judgement from the ranges that sources give for one kind).
fn usual_spread(load: &Load) -> f64 {
    match (load.kind, load.runs) {
        (LoadKind::Electric | LoadKind::Mains, Runs::Steady(_) | Runs::Dark) | (LoadKind::Diesel, _) => 0.15,
        (LoadKind::Electric, Runs::Thermostat { .. }) | (LoadKind::Water | LoadKind::Waste, _) => 0.25,
        (LoadKind::Electric | LoadKind::Mains | LoadKind::Gas, _) => 0.3,
    }
}

/// What the lines of one boat and trip are made from.
pub(super) struct Maker<'a> {
    pub(super) boat: &'a Boat,
    pub(super) trip: &'a Trip,
    pub(super) stances: &'a [Stance; 6],
    pub(super) banks: &'a [StoreId],
    pub(super) ledgers: &'a Ledgers,
    pub(super) faults: &'a mut Vec<Diagnostic>,
    pub(super) notes: &'a mut Vec<Diagnostic>,
}

impl Maker<'_> {
    /// The lines of all loads that have a store and are used.
    pub(super) fn lines(&mut self) -> Vec<Line> {
        self.unknown_savings();
        let mut lines: Vec<Line> = Vec::new();
        for (id, load) in self.boat.loads.iter_ids() {
            if self.saved(&self.trip.off, id) {
                continue;
            }
            if let Some(line) = self.line(id, load, lines.len()) {
                lines.push(line);
            }
        }
        tie(self.boat, &mut lines);
        lines
    }

    fn saved(&self, savings: &[Saving], id: LoadId) -> bool {
        savings.iter().any(|saving| saving.load == self.boat.loads[id].id)
    }

    fn unknown_savings(&mut self) {
        for saving in self.trip.off.iter().chain(&self.trip.off_at_night) {
            if !self.boat.loads.iter().any(|load| load.id == saving.load) {
                let ids = self.boat.loads.iter().map(|load| load.id.as_str());
                self.faults.push(
                    Diagnostic::error(
                        "unknown-name",
                        saving.span,
                        format!("The boat has no load \"{}\".", saving.load),
                    )
                    .expected("the id of an entry of [loads] of the boat file")
                    .near(boat::diagnostic::nearest(&saving.load, ids))
                    .mend("Mend the name."),
                );
            }
        }
    }

    fn line(&mut self, id: LoadId, load: &Load, at: usize) -> Option<Line> {
        let account = self.account(load)?;
        let (take, habit) = self.take_and_habit(load)?;
        let nights =
            load.do_without == Some(Without::AtNight) || load.do_without == Some(Without::Altogether);
        let off_at_night = self.saved(&self.trip.off_at_night, id);
        if off_at_night && !nights {
            let span =
                self.trip.off_at_night.iter().find(|saving| saving.load == load.id).map(|saving| saving.span);
            self.notes.push(
                Diagnostic::warning(
                    "needed",
                    span.unwrap_or(self.trip.span),
                    format!("{} is not meant to be switched off.", load.name),
                )
                .expected("a load with `do_without` in the boat file")
                .mend("Ask the base before doing without it."),
            );
        }
        let allowed = std::array::from_fn(|which| {
            let activity = Activity::ALL[which];
            let lying = if activity == Activity::Charging { Activity::Anchored } else { activity };
            let during =
                load.during.is_empty() || load.during.contains(&activity) || load.during.contains(&lying);
            during && self.stances[which].allows(self.boat, &load.when)
        });
        Some(Line {
            load: id,
            account,
            take,
            habit,
            spread: load.give_or_take.map_or_else(|| usual_spread(load), Ratio::as_plain),
            with: at,
            allowed,
            off_at_night,
            stops_below: stops_below(load),
        })
    }

    /// Where it takes from; a load without a store is told once and left out.
    fn account(&mut self, load: &Load) -> Option<Account> {
        let found = match load.kind {
            LoadKind::Mains => Some(Account::Mains),
            LoadKind::Electric => {
                let bank = load.stores.first().or(self.banks.first())?;
                self.banks.iter().position(|other| other == bank).map(Account::Bank)
            }
            LoadKind::Water => self.ledgers.of(self.boat, load, &StoreWanted::Liquid(Liquid::Water)),
            LoadKind::Waste => self.ledgers.of(self.boat, load, &StoreWanted::Liquid(Liquid::Waste)),
            LoadKind::Diesel => self.ledgers.of(self.boat, load, &StoreWanted::Liquid(Liquid::Diesel)),
            LoadKind::Gas => self.ledgers.of(self.boat, load, &StoreWanted::Bottle),
        };
        if found.is_none() {
            self.notes.push(no_store(self.trip.span, load));
        }
        found
    }

    fn take_and_habit(&self, load: &Load) -> Option<(Take, Habit)> {
        let rate = match load.rate {
            Some(Rate::Current(current)) => Some(Take::Current(current)),
            Some(Rate::Power(power)) => Some(Take::Power(power)),
            Some(Rate::Volume(rate)) => Some(Take::Hourly(rate.as_litres_per_hour())),
            Some(Rate::Mass(rate)) => Some(Take::Hourly(rate.as_kilograms_per_hour())),
            None => None,
        };
        match load.runs {
            Runs::Steady(duty) => Some((rate?, Habit::Steady(duty.as_plain()))),
            Runs::Dark => Some((rate?, Habit::Dark)),
            Runs::Thermostat { duty, duty_at, inside, time_constant } => {
                let pull = (duty_at - inside).as_kelvin() / duty.as_plain();
                if load.kind == LoadKind::Mains {
                    // Mains are reckoned by the stretch: what it draws on the mean, in the plan's mean air.
                    let air = self.trip.weather.low + (self.trip.weather.high - self.trip.weather.low) * 0.5;
                    let duty = ((air - inside).as_kelvin() / pull).clamp(0.0, 1.0);
                    return Some((rate?, Habit::Steady(duty)));
                }
                Some((rate?, Habit::Thermostat { inside, pull, time_constant }))
            }
            Runs::Engine(at) => self.engine(rate, at),
            Runs::Daily { boat, each, part } => self.daily(rate, (boat, each), part, load),
            Runs::Event { per, takes } => self.event(rate, per, takes, load),
        }
    }

    #[allow(clippy::unused_self, reason = "one of the ways in which a line is made")]
    fn engine(&self, rate: Option<Take>, at: RotationalSpeed) -> Option<(Take, Habit)> {
        let Some(Take::Hourly(litres)) = rate else { return None };
        let engine = Engine::known(quantity::VolumeRate::litres_per_hour(litres), at).ok()?;
        Some((Take::Engine(engine), Habit::Engine))
    }
}

pub(super) enum StoreWanted {
    Liquid(Liquid),
    Bottle,
}

impl StoreWanted {
    pub(super) fn fits(&self, kind: &StoreKind) -> bool {
        match (self, kind) {
            (Self::Liquid(wanted), StoreKind::Tank(liquid, _)) => wanted == liquid,
            (Self::Bottle, StoreKind::Bottle(_)) => true,
            _ => false,
        }
    }
}

fn no_store(span: boat::source::Span, load: &Load) -> Diagnostic {
    Diagnostic::warning(
        "no-store",
        span,
        format!("{} is not counted: the boat file has no store that it takes from.", load.name),
    )
    .expected("a store of its kind in [stores]")
    .mend("Add the battery, tank or bottle to the boat file.")
}

/// The bank's voltage at which a load's own end of the cable falls to where it stops.
fn stops_below(load: &Load) -> Option<Voltage> {
    let cuts_out = load.cuts_out?;
    let drop = match (load.rate, load.cable) {
        (Some(Rate::Current(current)), Some(cable)) => current * cable,
        _ => Voltage::ZERO,
    };
    Some(cuts_out + drop)
}

/// A pump that runs by the litre shares its chance with the water; a head's pump with its waste; a heater's fan with
/// its fuel.
fn tie(boat: &Boat, lines: &mut [Line]) {
    for at in 0..lines.len() {
        let load = &boat.loads[lines[at].load];
        let water = matches!(load.runs, Runs::Event { per: Event::Litre, .. });
        let partner = lines[..].iter().position(|other| {
            let other = &boat.loads[other.load];
            let same_item = load.item.is_some() && other.item == load.item && other.kind != load.kind;
            if water { other.kind == LoadKind::Water } else { same_item }
        });
        if let Some(partner) = partner.filter(|partner| *partner != at && (water || *partner < at)) {
            lines[at].with = lines[partner].with;
        }
    }
}

/// Minutes of a part of the day; an evening is as long as on a usual day.
pub(super) fn part_minutes(part: DayPart) -> f64 {
    f64::from(match part {
        DayPart::Waking => BED.minutes() - WAKE.minutes(),
        DayPart::Day => 10 * 60,
        DayPart::Evening => 4 * 60,
        DayPart::Meals => 5 * 60,
    })
}

/// Whether a minute of the trip lies in a part of the day.
pub(super) fn in_part(part: DayPart, minute: u32) -> bool {
    let clock = minute % DAY_MINUTES;
    let within = |from: u32, to: u32| (from * 60..to * 60).contains(&clock);
    match part {
        DayPart::Waking => (WAKE.minutes()..BED.minutes()).contains(&clock),
        DayPart::Day => within(9, 19),
        DayPart::Evening => within(18, 22),
        DayPart::Meals => within(7, 9) || within(12, 13) || within(18, 20),
    }
}

/// Minutes of a day at which some part begins or ends.
pub(super) const PART_EDGES: [u32; 9] =
    [7 * 60, 9 * 60, 12 * 60, 13 * 60, 18 * 60, 19 * 60, 20 * 60, 22 * 60, 0];

impl Line {
    /// Litres or kilograms of a whole day, of a line that is spread over a part of the day.
    pub fn of_a_day(&self) -> Option<f64> {
        match (self.take, self.habit) {
            (Take::Hourly(rate), Habit::Spread { part, share }) => {
                Some(rate * share * part_minutes(part) / 60.0)
            }
            _ => None,
        }
    }

    /// The part of its rate at which it runs in a stretch that begins at `minute`, its moments and thermostat apart.
    pub(super) fn share(&self, timeline: &Timeline, stretch: &Stretch, minute: u32) -> f64 {
        if !self.allowed[stretch.activity as usize] {
            return 0.0;
        }
        let clock = minute % DAY_MINUTES;
        if self.off_at_night && !(WAKE.minutes()..BED.minutes()).contains(&clock) {
            return 0.0;
        }
        match self.habit {
            Habit::Steady(duty) => duty,
            Habit::Spread { part, share } => {
                if in_part(part, minute) {
                    share
                } else {
                    0.0
                }
            }
            Habit::Dark => f64::from(u8::from(timeline.is_dark(minute))),
            Habit::Engine => f64::from(u8::from(stretch.rpm.is_some())),
            // Whether it may run; how much, its thermostat decides.
            Habit::Thermostat { .. } => 1.0,
            Habit::Moments(..) => 0.0,
        }
    }
}
