//! What is told of a boat: meters, kit, items, upkeep, stores and parts.

use std::collections::BTreeMap;

use quantity::{Money, Time};

use super::{Folding, Said};
use crate::flag::Why;
use crate::ids::{BoatId, EventId};
use crate::standing::{Counting, Done, Filling, Looked, Move, NewMeter, Sight, Turnover};
use crate::what::{Held, Meter, Pieces, Reading, What};

/// How far each engine's hours in all are ahead of its meter, and its last hours in all.
#[derive(Default)]
pub(super) struct Engines {
    ahead: BTreeMap<(BoatId, String), Time>,
    totals: BTreeMap<BoatId, BTreeMap<String, Time>>,
}

impl Engines {
    fn total(&mut self, boat: &BoatId, engine: &str, shown: Time) -> Time {
        let ahead = self.ahead.get(&(boat.clone(), engine.to_owned())).copied().unwrap_or_default();
        let total = shown + ahead;
        self.totals.entry(boat.clone()).or_default().insert(engine.to_owned(), total);
        total
    }

    /// A new meter that shows `new` takes the place of one that showed `old`, or its last reading.
    fn replace(&mut self, boat: &BoatId, engine: &str, old: Option<Time>, new: Time) {
        let read = |engines: &Self| engines.totals.get(boat)?.get(engine).copied();
        let total = match old {
            Some(old) => self.total(boat, engine, old),
            None => read(self).unwrap_or(new),
        };
        self.ahead.insert((boat.clone(), engine.to_owned()), total - new);
    }
}

impl Folding<'_> {
    pub(super) fn boat(&mut self, said: &Said<'_>, engines: &mut Engines) {
        let boat = &said.content.boat;
        self.standing.boats.entry(boat.clone()).or_default();
        match &said.content.what {
            What::StockCounted(pieces) => self.stock(said, pieces, Turnover::Counted, None),
            What::StockReceived(priced) => {
                self.stock(said, &priced.pieces, Turnover::Received, priced.cost);
            }
            What::StockUsed(pieces) => self.stock(said, pieces, Turnover::Used, None),
            What::PartUsed { pieces, cost, .. } => self.stock(said, pieces, Turnover::Used, *cost),
            What::UpkeepDone { line, hours, parts, took, work, cost } => {
                for priced in parts {
                    self.stock(said, &priced.pieces, Turnover::Used, priced.cost);
                }
                let totals = engines.totals.get(boat).cloned().unwrap_or_default();
                let mark = said.mark();
                let (hours, took, work, cost) = (*hours, *took, *work, *cost);
                let done = Done { mark, hours, totals, parts: parts.clone(), took, work, cost };
                self.of(boat).upkeep.entry(line.clone()).or_default().push(done);
            }
            What::MeterReplaced { engine, old, new } => {
                engines.replace(boat, engine, *old, *new);
                let fresh = NewMeter { mark: said.mark(), new: *new };
                self.of(boat).meters_replaced.entry(engine.clone()).or_default().push(fresh);
            }
            What::Read { walk, reading } => {
                let total = match reading {
                    Reading::EngineHours { engine, hours } => Some(engines.total(boat, engine, *hours)),
                    _ => None,
                };
                let sight = Sight { mark: said.mark(), walk: *walk, reading: reading.clone(), total };
                self.of(boat).meters.entry(reading.meter()).or_default().push(sight);
            }
            what => self.boat_things(said, what),
        }
    }

    fn boat_things(&mut self, said: &Said<'_>, what: &What) {
        let boat = &said.content.boat;
        let mark = said.mark();
        match what {
            What::Counted { walk, line, count, note } => {
                let counting = Counting { mark, walk: *walk, count: *count, note: note.clone() };
                self.of(boat).counted.insert(line.clone(), counting);
            }
            What::Checked { walk, item, look, note } => {
                let looked = Looked { mark, walk: *walk, look: *look, note: note.clone() };
                self.of(boat).looked.insert(item.clone(), looked);
            }
            What::Filled { store, amount, cost } => {
                let filling = Filling { mark, amount: Some(*amount), cost: *cost };
                self.of(boat).fillings.entry(store.clone()).or_default().push(filling);
            }
            What::Emptied { store } => {
                let filling = Filling { mark, amount: None, cost: None };
                self.of(boat).fillings.entry(store.clone()).or_default().push(filling);
            }
            What::Noted { words } if mark.charter.is_none() => {
                self.of(boat).notes.push((mark, words.clone()));
            }
            _ => {}
        }
    }

    fn of(&mut self, boat: &BoatId) -> &mut crate::standing::BoatStanding {
        self.standing.boats.entry(boat.clone()).or_default()
    }

    fn stock(&mut self, said: &Said<'_>, pieces: &Pieces, turnover: Turnover, cost: Option<Money>) {
        let stock = self.standing.stock(&said.content.boat, pieces);
        stock.add(Move { mark: said.mark(), turnover, count: pieces.count, cost });
        // A part that was never counted may well have been there. What is ashore is for all boats, and events of other
        // boats may tell of it that are not in this set.
        if stock.count < 0 && stock.counted.is_some() && pieces.held == Held::Aboard {
            self.standing.flags.insert(said.flag(Why::StockBelowNothing));
        }
    }

    /// The event that an event goes back to; itself, if it is not here.
    pub(super) fn root(&self, event: EventId) -> EventId {
        self.roots.get(&event).copied().unwrap_or(event)
    }
}

impl Meter {
    /// The thing that it tells of, as the boat file names it.
    pub fn of(&self) -> &str {
        match self {
            Self::EngineHours(name)
            | Self::Tank(name)
            | Self::Voltage(name)
            | Self::Charge(name)
            | Self::Gas(name) => name,
        }
    }
}
