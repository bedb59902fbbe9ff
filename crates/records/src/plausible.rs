//! Whether a reading can be: what is impossible is refused, what is unlikely is asked again.

use boat::model::{Boat, Liquid, Store, StoreKind};
use quantity::{Mass, Ratio, Time, Voltage, Volume};

use crate::compare::volume;
use crate::moment::Moment;
use crate::standing::BoatStanding;
use crate::what::{Level, Meter, Reading};

/// The grain of an engine's meter: a tenth of an hour. Common practice.
const HOURS_GRAIN: Time = Time::minutes(6.0);

/// How far a tank's gauge may be off if the boat file does not say: a tenth. Judgement.
const GAUGE: Ratio = Ratio::percent(10.0);

/// The voltages that a bank of 12 V nominal may well show: 9 to 16 V; other banks in proportion. Common practice: below
/// it almost everything has stopped, above it no charger goes.
const VOLTS: (f64, f64) = (9.0 / 12.0, 16.0 / 12.0);

/// How far two weighings of one gas bottle may be apart: a digit and a half of a scale that shows tenths of a kilogram.
/// Judgement.
const SCALE: Mass = Mass::grams(150.0);

/// What the records say of the meter.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Past {
    /// What it showed last, and when; of an engine's new meter what it showed first. Nothing if it was never read.
    pub last: Option<(Reading, Moment)>,
    /// Whether something was put into the store since.
    pub filled: bool,
}

impl Past {
    /// What a boat's records say of a meter.
    pub fn of(boat: &BoatStanding, meter: &Meter) -> Self {
        let sight = boat.last(meter);
        let fresh = boat.meters_replaced.get(meter.of()).and_then(|all| all.last());
        if let (Some(fresh), Meter::EngineHours(engine)) = (fresh, meter) {
            if sight.is_none_or(|sight| sight.mark.when < fresh.mark.when) {
                let first = Reading::EngineHours { engine: engine.clone(), hours: fresh.new };
                return Self { last: Some((first, fresh.mark.when)), filled: false };
            }
        }
        let Some(sight) = sight else { return Self::default() };
        let filled = boat.filled_since(meter.of(), sight.mark.when);
        let filled = filled.iter().any(|filling| filling.amount.is_some());
        Self { last: Some((sight.reading.clone(), sight.mark.when)), filled }
    }
}

/// What to do with a reading.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Judged {
    /// Write it down.
    Accepted,
    /// Ask the hand to look again; if they say the same, write it down.
    AskAgain(Doubt),
    /// It can't be.
    Refused(Impossible),
}

/// Why a reading is unlikely.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Doubt {
    /// The engine would have run longer than it could since its meter was last read.
    MoreHoursThanTheClock {
        /// How long it would have run.
        ran: Time,
        /// How long ago its meter was read.
        passed: Time,
    },
    /// It is earlier than the last reading, so that nothing can be said of what came between.
    BeforeTheLast,
    /// The voltage is outside what such a bank shows.
    Voltage {
        /// The least that is likely.
        least: Voltage,
        /// The most that is likely.
        most: Voltage,
    },
    /// There is more in the tank than before, and nobody told of filling it.
    FullerUnfilled {
        /// How much more.
        more: Volume,
    },
    /// There is more gas than before, and nobody told of a fresh bottle.
    HeavierUnfilled {
        /// How much more.
        more: Mass,
    },
}

/// Why a reading can't be.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Impossible {
    /// It is not a number.
    NotANumber,
    /// It is less than nothing.
    Negative,
    /// The boat has no such item or store, or none of that kind.
    NoSuchThing,
    /// The tank does not hold so much.
    OverCapacity {
        /// What it holds.
        capacity: Volume,
    },
    /// The bottles do not hold so much.
    OverFilling {
        /// What they hold.
        filling: Mass,
    },
    /// A bank can't be fuller than full.
    OverFull,
    /// The meter would have gone back. If it was replaced, that must be told first.
    MeterWentBack {
        /// What it showed last.
        last: Time,
    },
}

/// Judges a reading made at a moment by the boat file and by what the records say of the meter.
pub fn plausible(reading: &Reading, at: Moment, past: &Past, boat: &Boat) -> Judged {
    let judged = match reading {
        Reading::EngineHours { engine, hours } => {
            if boat.item(engine).is_some() {
                engine_hours(*hours, at, past)
            } else {
                Err(Judged::Refused(Impossible::NoSuchThing))
            }
        }
        Reading::Tank { store, level } => tank(boat, store, *level, past),
        Reading::Voltage { store, voltage } => voltage_of(boat, store, *voltage),
        Reading::Charge { store, charge } => charge_of(boat, store, *charge),
        Reading::Gas { store, mass } => gas(boat, store, *mass, past),
    };
    match judged {
        Err(judged) => judged,
        Ok(()) if past.last.as_ref().is_some_and(|(_, last)| *last > at) => {
            Judged::AskAgain(Doubt::BeforeTheLast)
        }
        Ok(()) => Judged::Accepted,
    }
}

type Verdict = Result<(), Judged>;

fn refuse(why: Impossible) -> Verdict {
    Err(Judged::Refused(why))
}

fn ask(why: Doubt) -> Verdict {
    Err(Judged::AskAgain(why))
}

/// Refuses what is no amount of anything.
fn amount(value: f64) -> Verdict {
    match value {
        value if !value.is_finite() => refuse(Impossible::NotANumber),
        value if value < 0.0 => refuse(Impossible::Negative),
        _ => Ok(()),
    }
}

fn find<'a>(boat: &'a Boat, store: &str) -> Result<&'a Store, Judged> {
    let row = boat.stores.iter().find(|row| row.id == store);
    row.ok_or(Judged::Refused(Impossible::NoSuchThing))
}

fn engine_hours(hours: Time, at: Moment, past: &Past) -> Verdict {
    amount(hours.as_hours())?;
    let Some((Reading::EngineHours { hours: last, .. }, when)) = &past.last else { return Ok(()) };
    let (ran, passed) = (hours - *last, at.since(*when));
    if ran < Time::ZERO {
        return refuse(Impossible::MeterWentBack { last: *last });
    }
    if passed >= Time::ZERO && ran > passed + HOURS_GRAIN {
        return ask(Doubt::MoreHoursThanTheClock { ran, passed });
    }
    Ok(())
}

fn tank(boat: &Boat, store: &str, level: Level, past: &Past) -> Verdict {
    let row = find(boat, store)?;
    let StoreKind::Tank(liquid, each) = row.kind else { return refuse(Impossible::NoSuchThing) };
    let capacity = each * f64::from(row.count);
    let now = volume(level, capacity);
    amount(now.as_litres())?;
    if now > capacity {
        return refuse(Impossible::OverCapacity { capacity });
    }
    let Some((Reading::Tank { level: last, .. }, _)) = &past.last else { return Ok(()) };
    let more = now - volume(*last, capacity);
    let off = capacity * row.gauge_error.unwrap_or(GAUGE);
    // Waste comes by itself.
    if liquid != Liquid::Waste && !past.filled && more > off {
        return ask(Doubt::FullerUnfilled { more });
    }
    Ok(())
}

fn voltage_of(boat: &Boat, store: &str, voltage: Voltage) -> Verdict {
    let Some(bank) = find(boat, store)?.bank() else { return refuse(Impossible::NoSuchThing) };
    amount(voltage.as_volts())?;
    let (least, most) = (bank.voltage * VOLTS.0, bank.voltage * VOLTS.1);
    if voltage < least || voltage > most { ask(Doubt::Voltage { least, most }) } else { Ok(()) }
}

fn charge_of(boat: &Boat, store: &str, charge: Ratio) -> Verdict {
    if find(boat, store)?.bank().is_none() {
        return refuse(Impossible::NoSuchThing);
    }
    amount(charge.as_plain())?;
    if charge > Ratio::plain(1.0) { refuse(Impossible::OverFull) } else { Ok(()) }
}

fn gas(boat: &Boat, store: &str, mass: Mass, past: &Past) -> Verdict {
    let row = find(boat, store)?;
    let StoreKind::Bottle(each) = row.kind else { return refuse(Impossible::NoSuchThing) };
    let filling = each * f64::from(row.count);
    amount(mass.as_kilograms())?;
    if mass > filling {
        return refuse(Impossible::OverFilling { filling });
    }
    let Some((Reading::Gas { mass: last, .. }, _)) = &past.last else { return Ok(()) };
    let more = mass - *last;
    if !past.filled && more > SCALE { ask(Doubt::HeavierUnfilled { more }) } else { Ok(()) }
}
