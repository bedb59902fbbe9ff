//! Tanks and bottles that are used one after the other: to a crew they are one supply, changed over by hand.

use boat::model::{Boat, Id, Liquid, Load, Store, StoreId, StoreKind};

use super::lines::{Account, StoreWanted};

/// Tanks or bottles used in order.
#[derive(Debug, Clone)]
pub struct Ledger {
    /// The stores, in the order used.
    pub stores: Vec<StoreId>,
    /// What it holds; nothing for gas.
    pub liquid: Option<Liquid>,
    /// Litres or kilograms in each, in the order used; a set of bottles has an entry for each.
    pub parts: Vec<(StoreId, f64)>,
    /// Litres or kilograms that can be used (of waste: filled) of the whole.
    pub usable: f64,
    /// All that it holds.
    pub capacity: f64,
    /// How far its gauges may be off, as a part.
    pub gauge_error: f64,
}

impl Ledger {
    /// Whether it fills where others empty.
    pub fn fills(&self) -> bool {
        self.liquid == Some(Liquid::Waste)
    }

    /// Its unit, for people.
    pub fn unit(&self) -> &'static str {
        if self.liquid.is_none() { "kg" } else { "L" }
    }
}

/// A usual gauge (common practice: an eighth between its marks).
const USUAL_GAUGE: f64 = 0.06;

/// All tanks and bottles of a boat, grouped by what is used together.
#[derive(Debug, Clone, Default)]
pub(super) struct Ledgers {
    pub(super) all: Vec<Ledger>,
}

impl Ledgers {
    /// Stores that some load uses together are one ledger; a store that no load names stands with its kind.
    pub(super) fn of_boat(boat: &Boat) -> Self {
        let tanks: Vec<StoreId> =
            boat.stores.iter_ids().filter(|(_, store)| store.bank().is_none()).map(|(id, _)| id).collect();
        let mut group: Vec<usize> = (0..boat.stores.len()).collect();
        let mut order: Vec<Vec<StoreId>> = Vec::new();
        for load in &boat.loads {
            let wanted = match load.kind {
                boat::model::LoadKind::Water => StoreWanted::Liquid(Liquid::Water),
                boat::model::LoadKind::Waste => StoreWanted::Liquid(Liquid::Waste),
                boat::model::LoadKind::Diesel => StoreWanted::Liquid(Liquid::Diesel),
                boat::model::LoadKind::Gas => StoreWanted::Bottle,
                boat::model::LoadKind::Electric | boat::model::LoadKind::Mains => continue,
            };
            let used = used_by(boat, load, &wanted);
            for pair in used.windows(2) {
                let (from, to) = (group[pair[1].index()], group[pair[0].index()]);
                group.iter_mut().filter(|one| **one == from).for_each(|one| *one = to);
            }
            order.push(used);
        }
        let mut ledgers = Self::default();
        let mut done = Vec::new();
        for tank in &tanks {
            let key = group[tank.index()];
            if done.contains(&key) {
                continue;
            }
            done.push(key);
            let members: Vec<StoreId> =
                tanks.iter().copied().filter(|other| group[other.index()] == key).collect();
            // The order that a load gives, if one names them all; else that of the file.
            let stores =
                order.iter().find(|used| used.len() == members.len() && used.contains(tank)).cloned();
            ledgers.all.push(ledger(boat, stores.unwrap_or(members)));
        }
        ledgers
    }

    /// The ledger that a load uses.
    pub(super) fn of(&self, boat: &Boat, load: &Load, wanted: &StoreWanted) -> Option<Account> {
        let first = *used_by(boat, load, wanted).first()?;
        self.all.iter().position(|ledger| ledger.stores.contains(&first)).map(Account::Ledger)
    }

    /// The ledger that a store is part of.
    pub(super) fn of_store(&self, store: StoreId) -> Option<usize> {
        self.all.iter().position(|ledger| ledger.stores.contains(&store))
    }
}

fn used_by(boat: &Boat, load: &Load, wanted: &StoreWanted) -> Vec<StoreId> {
    if load.stores.is_empty() {
        return boat
            .stores
            .iter_ids()
            .filter(|(_, store)| wanted.fits(&store.kind))
            .map(|(id, _)| id)
            .collect();
    }
    load.stores.iter().copied().filter(|id| wanted.fits(&boat.stores[*id].kind)).collect()
}

fn ledger(boat: &Boat, stores: Vec<StoreId>) -> Ledger {
    let mut parts = Vec::new();
    let (mut usable, mut capacity) = (0.0, 0.0);
    let mut gauge_error: f64 = 0.0;
    for id in &stores {
        let store = &boat.stores[*id];
        let size = size(store);
        for _ in 0..store.count {
            parts.push((*id, size));
            capacity += size;
            usable += size * store.usable.as_plain();
        }
        gauge_error = gauge_error.max(store.gauge_error.map_or(USUAL_GAUGE, quantity::Ratio::as_plain));
    }
    let liquid = stores.first().and_then(|id| boat.stores[*id].liquid());
    Ledger { stores, liquid, parts, usable, capacity, gauge_error }
}

fn size(store: &Store) -> f64 {
    match &store.kind {
        StoreKind::Battery(_) => 0.0,
        StoreKind::Tank(_, volume) => volume.as_litres(),
        StoreKind::Bottle(mass) => mass.as_kilograms(),
    }
}
