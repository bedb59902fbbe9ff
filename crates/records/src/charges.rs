//! What a charter costs its crew: a bill with the reason of every line, exact to the coin.

use boat::model::{Boat, Liquid, StoreKind};
use quantity::{Money, Time, Volume};

use crate::compare::Differences;
use crate::event::Hand;
use crate::ids::EventId;
use crate::stage::Stage;
use crate::standing::CharterStanding;
use crate::tariff::Tariff;
use crate::what::{ChargeKey, Meter};

/// One line of a bill.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Line {
    /// What it is for.
    pub key: ChargeKey,
    /// What it comes to by the prices.
    pub price: Money,
    /// What of that is waived, never more than the price.
    pub waived: Money,
    /// The events that waive it.
    pub waivers: Vec<EventId>,
    /// What is owed of it.
    pub owed: Money,
}

/// Something that is not on the bill because it can't be priced.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub enum Unpriced {
    /// Kit is missing, and the boat file has no price for it.
    NoPrice(String),
    /// Hands disagree on the count of this kit line.
    DisputedKit(String),
    /// Hands disagree on what this meter showed.
    DisputedMeter(Meter),
    /// This kit line was not counted on both walks.
    Uncounted(String),
    /// This meter was not read on both walks.
    Unread(Meter),
    /// Nobody has said what this damage costs.
    NoEstimate(EventId),
    /// Damage to an item of which a defect was known before the crew had her.
    KnownBefore(EventId),
}

/// Who owes whom in the end.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Outcome {
    /// The crew pays this.
    CrewPays(Money),
    /// The base returns this.
    BaseReturns(Money),
    /// Nobody owes anything.
    Even,
}

/// What a charter costs its crew.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Bill {
    /// The lines: kit, stores, engines, cleaning, lateness, damage, what was added.
    pub lines: Vec<Line>,
    /// What could not be priced, and is therefore not on the bill.
    pub unpriced: Vec<Unpriced>,
    /// What of damage is over the most that is charged for it.
    pub over_the_most: Money,
    /// What is owed for all lines.
    pub total: Money,
    /// What the crew has left with the base.
    pub deposit: Money,
    /// Who owes whom in the end.
    pub outcome: Outcome,
}

/// Why there is no bill.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum ChargeError {
    /// An amount is in another currency than the bill.
    Currencies {
        /// The amount.
        found: Money,
        /// Nothing, in the currency of the bill.
        bill: Money,
    },
    /// An amount is too large, or a measured one is less than nothing or not a number.
    OutOfRange,
}

impl std::fmt::Display for ChargeError {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            Self::Currencies { found, bill } => {
                write!(f, "{found} is not in the currency of the bill, {}.", bill.currency())
            }
            Self::OutOfRange => f.write_str("An amount is too large, or can't be reckoned with."),
        }
    }
}

impl std::error::Error for ChargeError {}

/// The bill of a charter.
///
/// Of tanks and bottles what is charged is what is missing against check-out, whatever was burnt and bought in between.
/// What hands disagree on is not charged until they agree. A waiver needs a reason and one of the base's own hands.
///
/// # Errors
/// If an amount is in another currency than the tariff, or too large.
pub fn charges(
    differences: &Differences,
    charter: &CharterStanding,
    boat: &Boat,
    tariff: &Tariff,
) -> Result<Bill, ChargeError> {
    let mut billing = Billing { boat, tariff, charter, lines: Vec::new(), unpriced: Vec::new() };
    billing.kit(differences)?;
    billing.stores(differences)?;
    billing.engines(differences)?;
    billing.standing_charges()?;
    billing.gaps(differences);
    let over_the_most = billing.damage(differences)?;
    for (event, added) in &charter.added {
        if good(&added.mark.who, &added.reason) {
            billing.line(ChargeKey::Added(*event), added.amount)?;
        }
    }
    billing.total(over_the_most)
}

/// Whether a decision about money counts.
fn good(who: &Hand, reason: &str) -> bool {
    matches!(who, Hand::Account(_)) && !reason.trim().is_empty()
}

/// What something comes to, if that can be reckoned.
type Price = Result<Money, ChargeError>;

struct Billing<'a> {
    boat: &'a Boat,
    tariff: &'a Tariff,
    charter: &'a CharterStanding,
    lines: Vec<Line>,
    unpriced: Vec<Unpriced>,
}

impl Billing<'_> {
    /// An amount, if it is in the bill's currency.
    fn like(&self, amount: Money) -> Result<Money, ChargeError> {
        let bill = self.tariff.nothing;
        if amount.currency() == bill.currency() {
            Ok(amount)
        } else {
            Err(ChargeError::Currencies { found: amount, bill })
        }
    }

    fn line(&mut self, key: ChargeKey, price: Money) -> Result<(), ChargeError> {
        let price = self.like(price)?;
        let here = self.charter.waived.iter().filter(|waiver| waiver.charge == key);
        let mut waived = self.tariff.nothing;
        let mut waivers = Vec::new();
        for waiver in here.filter(|waiver| good(&waiver.mark.who, &waiver.reason)) {
            let amount = self.like(waiver.amount.unwrap_or(price))?;
            waived = sum(waived, amount)?;
            waivers.push(waiver.mark.content);
        }
        let most = price.minor_units().max(0);
        let waived = like(waived.minor_units().clamp(0, most), price)?;
        let owed = like(price.minor_units() - waived.minor_units(), price)?;
        self.lines.push(Line { key, price, waived, waivers, owed });
        Ok(())
    }

    fn kit(&mut self, differences: &Differences) -> Result<(), ChargeError> {
        for missing in &differences.missing {
            let price = self.boat.kit.iter().find(|row| row.id == missing.line).and_then(|row| row.price);
            let Some(price) = price else {
                self.unpriced.push(Unpriced::NoPrice(missing.line.clone()));
                continue;
            };
            let all = price
                .times(missing.expected.saturating_sub(missing.counted))
                .ok_or(ChargeError::OutOfRange)?;
            self.line(ChargeKey::Kit(missing.line.clone()), all)?;
        }
        Ok(())
    }

    fn stores(&mut self, differences: &Differences) -> Result<(), ChargeError> {
        let mut filling = false;
        for tank in &differences.tanks {
            let kind = self.boat.stores.iter().find(|row| row.id == tank.of);
            let Some(StoreKind::Tank(liquid, each)) = kind.map(|row| &row.kind) else { continue };
            let short = (tank.out - tank.back).max(Volume::ZERO);
            let of = tank.of.clone();
            match liquid {
                Liquid::Diesel if short > Volume::ZERO => {
                    filling = true;
                    self.priced(ChargeKey::Fuel(of), self.tariff.fuel.map(|price| price.of(short)))?;
                }
                Liquid::Water if short > Volume::ZERO => {
                    self.priced(ChargeKey::Water(of), self.tariff.water.map(|price| price.of(short)))?;
                }
                Liquid::Waste => {
                    let count = kind.map_or(1, |row| row.count);
                    let most = *each * f64::from(count) * self.tariff.waste_allowed;
                    let full = tank.back > most;
                    let price = self.tariff.pump_out.filter(|_| full);
                    self.priced(ChargeKey::PumpOut(of), price.map(Ok))?;
                }
                Liquid::Diesel | Liquid::Water => {}
            }
        }
        if filling {
            self.priced(ChargeKey::Filling, self.tariff.filling.map(Ok))?;
        }
        for gas in differences.gas.iter().filter(|gas| gas.out > gas.back) {
            let price = self.tariff.gas.map(|price| price.of(gas.out - gas.back));
            self.priced(ChargeKey::Gas(gas.of.clone()), price)?;
        }
        Ok(())
    }

    /// Nothing on the bill if there is no price or it comes to nothing.
    fn priced(&mut self, key: ChargeKey, price: Option<Price>) -> Result<(), ChargeError> {
        let Some(price) = price.transpose()? else { return Ok(()) };
        if price.minor_units() == 0 { Ok(()) } else { self.line(key, price) }
    }

    fn engines(&mut self, differences: &Differences) -> Result<(), ChargeError> {
        for engine in &differences.hours {
            let over = (engine.used - self.tariff.free_hours).max(Time::ZERO);
            let price = self.tariff.hours.map(|price| price.of(over));
            self.priced(ChargeKey::Hours(engine.of.clone()), price)?;
        }
        Ok(())
    }

    fn standing_charges(&mut self) -> Result<(), ChargeError> {
        self.priced(ChargeKey::Cleaning, self.tariff.cleaning.map(Ok))?;
        let returned = self.charter.came_to(Stage::HandedBack);
        let promised = self.charter.plan.as_ref().map(|(_, plan)| plan.until.moment());
        let late = returned.zip(promised).map_or(Time::ZERO, |(returned, promised)| returned.since(promised));
        if late <= self.tariff.grace {
            return Ok(());
        }
        self.priced(ChargeKey::Late, self.tariff.late.map(|price| price.of(late.max(Time::ZERO))))
    }

    /// Puts damage on the bill; gives what of it is over the most that is charged.
    fn damage(&mut self, differences: &Differences) -> Result<Money, ChargeError> {
        let most = self.tariff.damage_at_most.map(|most| self.like(most)).transpose()?;
        let from = self.lines.len();
        for harmed in &differences.damage {
            match harmed.damage.estimate {
                _ if !harmed.known_before.is_empty() => {
                    self.unpriced.push(Unpriced::KnownBefore(harmed.event));
                }
                None => self.unpriced.push(Unpriced::NoEstimate(harmed.event)),
                Some(estimate) => self.line(ChargeKey::Damage(harmed.event), estimate)?,
            }
        }
        let owed: Vec<Money> = self.lines[from..].iter().map(|line| line.owed).collect();
        let all = owed.into_iter().try_fold(self.tariff.nothing, sum)?;
        let over = most.map(|most| difference(all, most)).transpose()?;
        like(over.map_or(0, Money::minor_units).max(0), self.tariff.nothing)
    }

    /// What nobody can be charged for until someone looks.
    fn gaps(&mut self, differences: &Differences) {
        let kit = differences.disputed_kit.iter().cloned().map(Unpriced::DisputedKit);
        let meters = differences.disputed_meters.iter().cloned().map(Unpriced::DisputedMeter);
        let uncounted = differences.uncounted.iter().cloned().map(Unpriced::Uncounted);
        let unread = differences.unread.iter().cloned().map(Unpriced::Unread);
        self.unpriced.extend(kit.chain(meters).chain(uncounted).chain(unread));
    }

    fn total(self, over_the_most: Money) -> Result<Bill, ChargeError> {
        let deposit = self.like(self.tariff.deposit.unwrap_or(self.tariff.nothing))?;
        let owed = self.lines.iter().map(|line| line.owed);
        let all = owed.into_iter().try_fold(self.tariff.nothing, sum)?;
        let total = difference(all, over_the_most)?;
        let left = difference(total, deposit)?;
        let outcome = match left.minor_units() {
            0 => Outcome::Even,
            owed if owed > 0 => Outcome::CrewPays(left),
            _ => Outcome::BaseReturns(difference(deposit, total)?),
        };
        let Self { lines, mut unpriced, .. } = self;
        unpriced.sort();
        Ok(Bill { lines, unpriced, over_the_most, total, deposit, outcome })
    }
}

fn like(minor: i64, of: Money) -> Result<Money, ChargeError> {
    Money::from_minor(minor, of.currency()).ok_or(ChargeError::OutOfRange)
}

/// The sum of two amounts in one currency.
fn sum(one: Money, other: Money) -> Result<Money, ChargeError> {
    if one.currency() != other.currency() {
        return Err(ChargeError::Currencies { found: other, bill: one });
    }
    (one + other).ok_or(ChargeError::OutOfRange)
}

fn difference(one: Money, other: Money) -> Result<Money, ChargeError> {
    let minor = one.minor_units().checked_sub(other.minor_units()).ok_or(ChargeError::OutOfRange)?;
    like(minor, one)
}
