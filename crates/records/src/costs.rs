//! What boats cost, by boat and month: the owner's report as data.

use std::collections::BTreeMap;

use quantity::{Money, Time};

use crate::ids::BoatId;
use crate::moment::{Moment, Month};
use crate::standing::{BoatStanding, Standing};

/// Sums of money by currency; currencies never mix.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Sums {
    by_currency: BTreeMap<String, Money>,
    too_much: bool,
}

impl Sums {
    /// Each currency's sum, in the order of their codes.
    pub fn iter(&self) -> impl Iterator<Item = Money> {
        self.by_currency.values().copied()
    }

    /// The sum in one currency, if anything was in it.
    pub fn of(&self, currency: &str) -> Option<Money> {
        self.by_currency.get(currency).copied()
    }

    /// Whether a sum did not fit, so that some amount is left out.
    pub fn too_much(&self) -> bool {
        self.too_much
    }

    /// Adds another's sums, each in its currency.
    pub fn join(&mut self, other: &Self) {
        for amount in other.iter() {
            self.add(Some(amount));
        }
        self.too_much |= other.too_much;
    }

    /// Adds an amount in its currency.
    pub fn put(&mut self, amount: Money) {
        self.add(Some(amount));
    }

    fn add(&mut self, amount: Option<Money>) {
        let Some(amount) = amount else { return };
        let place = self.by_currency.entry(amount.currency().to_owned());
        let mut fits = true;
        place
            .and_modify(|sum| match *sum + amount {
                Some(more) => *sum = more,
                None => fits = false,
            })
            .or_insert(amount);
        self.too_much |= !fits;
    }
}

/// What a boat cost in a month, parted in two ways: by what it was for, and into work, parts and the rest. Parts count
/// when they are used, not when they are bought.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Costs {
    /// Work, of upkeep and of mending.
    pub work: Sums,
    /// Parts, of upkeep and of mending.
    pub parts: Sums,
    /// All else: upkeep whose work and parts were told in one sum, and what was put into tanks and bottles.
    pub other: Sums,
    /// Upkeep.
    pub upkeep: Sums,
    /// Mending: work and parts.
    pub mending: Sums,
    /// What was put into tanks and bottles.
    pub filling: Sums,
    /// Doings and mendings of which nobody said what they cost.
    pub unpriced: u32,
}

impl Costs {
    /// Adds another month's, each sum to its own.
    pub fn join(&mut self, other: &Self) {
        let Self { work, parts, other: rest, upkeep, mending, filling, unpriced } = other;
        self.work.join(work);
        self.parts.join(parts);
        self.other.join(rest);
        self.upkeep.join(upkeep);
        self.mending.join(mending);
        self.filling.join(filling);
        self.unpriced += unpriced;
    }
}

/// What each boat cost in each month, by the clocks `offset` ahead of UTC.
pub fn costs(standing: &Standing, offset: Time) -> BTreeMap<(BoatId, Month), Costs> {
    let mut found = BTreeMap::new();
    for (id, boat) in &standing.boats {
        of_boat(id, boat, offset, &mut found);
    }
    found
}

fn of_boat(id: &BoatId, boat: &BoatStanding, offset: Time, found: &mut BTreeMap<(BoatId, Month), Costs>) {
    let mut add = |when: Moment, add: &dyn Fn(&mut Costs)| {
        if let Some(date) = when.date(offset) {
            add(found.entry((id.clone(), Month::of(date))).or_default());
        }
    };
    for done in boat.upkeep.values().flatten() {
        add(done.mark.when, &|costs| {
            for amount in [done.work, done.cost].into_iter().chain(done.parts.iter().map(|part| part.cost)) {
                costs.upkeep.add(amount);
            }
            costs.work.add(done.work);
            costs.other.add(done.cost);
            for part in &done.parts {
                costs.parts.add(part.cost);
            }
            let told = done.cost.is_some() || done.work.is_some();
            // A sum for everything covers the parts too.
            let parts = done.cost.is_some() || done.parts.iter().all(|part| part.cost.is_some());
            costs.unpriced += u32::from(!parts || (!told && done.parts.is_empty()));
        });
    }
    for defect in boat.defects.values() {
        for mending in &defect.mended {
            add(mending.mark.when, &|costs| {
                costs.mending.add(mending.cost);
                costs.work.add(mending.cost);
                costs.unpriced += u32::from(mending.cost.is_none());
            });
        }
        for (mark, _, cost) in &defect.parts {
            add(mark.when, &|costs| {
                costs.mending.add(*cost);
                costs.parts.add(*cost);
                costs.unpriced += u32::from(cost.is_none());
            });
        }
    }
    for filling in boat.fillings.values().flatten() {
        add(filling.mark.when, &|costs| {
            costs.filling.add(filling.cost);
            costs.other.add(filling.cost);
        });
    }
}
