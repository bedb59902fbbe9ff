//! The base's parts: how many there are, how many should be, and why.

use std::collections::BTreeMap;

use boat::model::{Boat, UpkeepId};
use jiff::civil::Date;
use quantity::Money;
use records::{BoatId, BoatStanding, Moment, State, Stock, Turnover, Window, due, exposure, failures};
use trace::fleet::{Seen, charter_years};
use trace::spares::{Keeping, Part, Spare, alike, fold, parts};

use crate::office::stage::Hull;

/// What is known of the parts of all boats.
#[derive(Debug)]
pub struct Shelves {
    /// The parts by name.
    pub(crate) all: Vec<Shelf>,
    /// Why no numbers to hold are told, if they are not.
    pub(crate) trouble: Option<String>,
}

/// One part.
#[derive(Debug)]
pub(crate) struct Shelf {
    /// Its name in the store.
    pub(crate) name: String,
    /// Whether it is counted in litres.
    pub(crate) litres: bool,
    /// What was told of it in the base's store; nothing if nothing was.
    pub(crate) ashore: Option<Stock>,
    /// How many are aboard, by the place of the boat.
    pub(crate) aboard: BTreeMap<usize, Aboard>,
    /// The things that it is for, by the place of the boat.
    pub(crate) items: Vec<(usize, String)>,
    /// All upkeep that takes it.
    pub(crate) upkeep: Vec<Task>,
    /// How many to hold against failures.
    pub(crate) spare: Option<Spare>,
}

/// How many of a part are on board of a boat.
#[derive(Debug)]
pub(crate) struct Aboard {
    /// How many.
    pub(crate) count: i64,
    /// The name under which it is told there.
    pub(crate) name: String,
    /// What was told of it; nothing if the count is what her file says.
    pub(crate) told: Option<Stock>,
}

/// Upkeep that takes a part.
#[derive(Debug)]
pub(crate) struct Task {
    /// The boat, by her place.
    pub(crate) hull: usize,
    /// The line of her service plan.
    pub(crate) line: UpkeepId,
    /// How many each time.
    pub(crate) count: u32,
    /// Only in this case, in words that begin with "if".
    pub(crate) only: Option<String>,
    /// How pressing it is.
    pub(crate) state: State,
}

impl Task {
    /// Whether it is due within two weeks, and takes the part in every case.
    pub(crate) fn counts(&self) -> bool {
        self.only.is_none() && matches!(self.state, State::Soon | State::Now | State::Overdue)
    }
}

impl Shelf {
    fn named(name: &str) -> Self {
        Self {
            name: name.to_owned(),
            litres: false,
            ashore: None,
            aboard: BTreeMap::new(),
            items: Vec::new(),
            upkeep: Vec::new(),
            spare: None,
        }
    }

    fn of(boats: &[&Boat], states: &[BTreeMap<UpkeepId, State>], part: Part) -> Self {
        let named = |(at, item): &(usize, _)| (*at, boats[*at].items[*item].name.clone());
        let task = |(at, line, words): (usize, UpkeepId, trace::spares::ServicePart)| Task {
            hull: at,
            line,
            count: words.count,
            only: words.only,
            state: states[at].get(&line).copied().unwrap_or(State::Later),
        };
        let listed = |(at, count): (usize, u32)| {
            (at, Aboard { count: i64::from(count), name: part.name.clone(), told: None })
        };
        Self {
            litres: part.litres,
            ashore: None,
            aboard: part.carried.into_iter().map(listed).collect(),
            items: part.items.iter().map(named).collect(),
            upkeep: part.upkeep.into_iter().map(task).collect(),
            spare: part.spare,
            name: part.name,
        }
    }

    /// How many are in the base's store; none if it was only told that some were used.
    pub(crate) fn here(&self) -> i64 {
        self.ashore.as_ref().filter(|_| self.is_known()).map_or(0, |stock| stock.count)
    }

    /// How many there are, ashore and aboard.
    pub(crate) fn have(&self) -> i64 {
        self.here() + self.aboard.values().map(|aboard| aboard.count).sum::<i64>()
    }

    /// Whether it was ever told that it is in the base's store: that it was counted, or came.
    pub(crate) fn is_known(&self) -> bool {
        self.ashore.iter().flat_map(|stock| &stock.moves).any(|one| one.turnover != Turnover::Used)
    }

    /// How many upkeep takes that is due within two weeks.
    pub(crate) fn soon(&self) -> i64 {
        self.upkeep.iter().filter(|task| task.counts()).map(|task| i64::from(task.count)).sum()
    }

    /// How many to hold: against failures, and for upkeep that is due soon.
    pub(crate) fn hold(&self) -> i64 {
        let spare = self.spare.as_ref().map_or(0, |spare| i64::try_from(spare.hold).unwrap_or(i64::MAX / 4));
        spare + self.soon()
    }

    /// Once so many or fewer are left it is time to order; nothing if none need be held.
    pub(crate) fn order_at(&self) -> Option<i64> {
        let spare = self.spare.as_ref().and_then(|spare| spare.order_at);
        match spare.map(|at| i64::try_from(at).unwrap_or(i64::MAX / 4)) {
            Some(at) => Some(at + self.soon()),
            None => Some(self.soon() - 1).filter(|at| *at >= 0),
        }
    }

    /// How many to order now; 0 if there are enough.
    pub(crate) fn order(&self) -> i64 {
        match self.order_at() {
            Some(at) if self.have() <= at => (self.hold() - self.have()).max(1),
            _ => 0,
        }
    }

    /// How many are missing for upkeep that is due.
    pub(crate) fn missing(&self) -> i64 {
        (self.soon() - self.have()).max(0)
    }

    /// What so many cost by the last price, ashore or aboard.
    pub(crate) fn price_of(&self, count: u32) -> Option<Money> {
        let aboard = self.aboard.values().filter_map(|aboard| aboard.told.as_ref());
        self.ashore.iter().chain(aboard).find_map(|stock| stock.price_of(count))
    }

    /// Whether a boat takes it, or has it aboard.
    pub(crate) fn is_of(&self, hull: usize) -> bool {
        self.items.iter().any(|(at, _)| *at == hull)
            || self.upkeep.iter().any(|task| task.hull == hull)
            || self.aboard.contains_key(&hull)
    }

    /// The boats that take it, or have it aboard, by their places.
    pub(crate) fn hulls(&self) -> Vec<usize> {
        let items = self.items.iter().map(|(at, _)| *at);
        let upkeep = self.upkeep.iter().map(|task| task.hull);
        let mut all: Vec<usize> = items.chain(upkeep).chain(self.aboard.keys().copied()).collect();
        all.sort_unstable();
        all.dedup();
        all
    }
}

/// What the records of all boats teach of their faults.
#[derive(Debug, Clone, PartialEq)]
pub struct Learnt(Vec<Seen>);

impl Learnt {
    /// Until this moment.
    pub fn of(hulls: &[Hull<'_>], until: Moment) -> Self {
        Self(hulls.iter().enumerate().flat_map(|(at, hull)| seen(at, *hull, until)).collect())
    }
}

/// How many of each part to hold. It takes long to work out, and changes only with what is learnt and with the boats'
/// files.
#[derive(Debug, Clone)]
pub struct Holding {
    parts: Vec<Part>,
    trouble: Option<String>,
}

impl Holding {
    /// By what the boats' files say and their records teach.
    pub fn of(hulls: &[Hull<'_>], learnt: &Learnt) -> Self {
        let boats: Vec<&Boat> = hulls.iter().map(|hull| &hull.vessel.boat).collect();
        match parts(&boats, &learnt.0, &Keeping::USUAL) {
            Ok(parts) => Self { parts, trouble: None },
            Err(too_many) => Self { parts: Vec::new(), trouble: Some(too_many.to_string()) },
        }
    }
}

impl Shelves {
    /// Puts together how many to hold, what was told of parts, and what is due on this day. `ashore` is what was told of
    /// the base's store in the events of all boats; the boats are those of the holding, in the same order.
    pub fn of(hulls: &[Hull<'_>], holding: &Holding, ashore: &BTreeMap<String, Stock>, today: Date) -> Self {
        let boats: Vec<&Boat> = hulls.iter().map(|hull| &hull.vessel.boat).collect();
        let states: Vec<_> = hulls.iter().map(|hull| states(*hull, today)).collect();
        let parts = holding.parts.iter().cloned();
        let mut all: Vec<Shelf> = parts.map(|part| Shelf::of(&boats, &states, part)).collect();
        for (name, stock) in ashore {
            shelf(&mut all, name, None).ashore = Some(stock.clone());
        }
        for (at, hull) in hulls.iter().enumerate() {
            for (name, stock) in own(*hull).into_iter().flat_map(|records| &records.stock) {
                let aboard = Aboard { count: stock.count, name: name.clone(), told: Some(stock.clone()) };
                shelf(&mut all, name, Some(at)).aboard.insert(at, aboard);
            }
        }
        all.sort_by_cached_key(|shelf| fold(&shelf.name));
        Self { all, trouble: holding.trouble.clone() }
    }

    /// The part of a name, however its letters are written.
    pub(crate) fn get(&self, name: &str) -> Option<&Shelf> {
        self.all.iter().find(|shelf| fold(&shelf.name) == fold(name))
    }

    /// A part's name as the store has it; nothing if it is not known.
    pub fn name(&self, typed: &str) -> Option<&str> {
        self.get(typed).map(|shelf| shelf.name.as_str())
    }

    /// The name under which a part is told of in the base's store, or aboard the boat at this place; what was typed, if it
    /// is not known.
    pub fn told_as(&self, typed: &str, aboard: Option<usize>) -> String {
        let Some(part) = self.get(typed) else { return typed.to_owned() };
        let own = aboard.and_then(|at| part.aboard.get(&at)).map(|aboard| &aboard.name);
        own.unwrap_or(&part.name).clone()
    }

    /// The names of all parts.
    pub fn names(&self) -> impl Iterator<Item = &str> {
        self.all.iter().map(|shelf| shelf.name.as_str())
    }

    /// How many of a part there are in the base's store, or aboard the boat at this place.
    pub fn count(&self, name: &str, aboard: Option<usize>) -> Option<i64> {
        let part = self.get(name)?;
        match aboard {
            None => part.is_known().then(|| part.here()),
            Some(at) => part.aboard.get(&at).map(|aboard| aboard.count),
        }
    }

    /// What so many of a part cost by the last price.
    pub fn price_of(&self, name: &str, count: u32) -> Option<Money> {
        self.get(name)?.price_of(count)
    }

    /// The boat in whose records it is told what happens to a part in the base's store, by her place: the first that
    /// takes it, for every event is of a boat; the first of all if none does.
    pub fn teller(&self, name: &str) -> usize {
        self.get(name).and_then(|shelf| shelf.hulls().first().copied()).unwrap_or_default()
    }

    /// What is to be ordered now: what upkeep waits for first, then what there is least of.
    pub(crate) fn to_order(&self) -> Vec<&Shelf> {
        let mut due: Vec<&Shelf> =
            self.all.iter().filter(|shelf| shelf.is_known() && shelf.order() > 0).collect();
        due.sort_by_key(|shelf| (std::cmp::Reverse(shelf.missing()), shelf.have(), fold(&shelf.name)));
        due
    }
}

/// The part that is told of under a name: of this name, or one of the same words for a thing of that boat.
fn shelf<'a>(all: &'a mut Vec<Shelf>, name: &str, hull: Option<usize>) -> &'a mut Shelf {
    let exact = all.iter().position(|shelf| fold(&shelf.name) == fold(name));
    let near = || {
        let hull = hull?;
        let free = |shelf: &Shelf| shelf.aboard.get(&hull).is_none_or(|aboard| aboard.told.is_none());
        all.iter().position(|shelf| shelf.is_of(hull) && alike(&shelf.name, name) && free(shelf))
    };
    let at = exact.or_else(near).unwrap_or_else(|| {
        all.push(Shelf::named(name));
        all.len() - 1
    });
    &mut all[at]
}

fn own(hull: Hull<'_>) -> Option<&BoatStanding> {
    hull.standing.boats.get(&BoatId::new(hull.vessel.slug.as_str()))
}

fn states(hull: Hull<'_>, today: Date) -> BTreeMap<UpkeepId, State> {
    let none = BoatStanding::default();
    let all = due(&hull.vessel.boat, own(hull).unwrap_or(&none), today, &Window::USUAL);
    all.into_iter().map(|due| (due.line, due.state)).collect()
}

/// What a boat's records teach of her faults. Those of a thing with a defect whose cause nobody told are left out: it
/// may have been any of them.
fn seen(at: usize, hull: Hull<'_>, now: Moment) -> Vec<Seen> {
    let id = BoatId::new(hull.vessel.slug.as_str());
    let Some(records) = own(hull) else { return Vec::new() };
    let used = exposure(hull.standing, now).get(&id).copied().unwrap_or_default();
    let years = used.as_hours() / charter_years(1.0).as_hours();
    if years <= 0.0 {
        return Vec::new();
    }
    let boat = &hull.vessel.boat;
    let counts: BTreeMap<String, u32> = failures(hull.standing, now)
        .into_iter()
        .filter(|failure| failure.boat == id)
        .map(|failure| (failure.fault, failure.count))
        .collect();
    let unclear = |item: &str| {
        records.defects.values().any(|defect| defect.fault.is_none() && defect.defect.item == item)
    };
    let known = boat.faults.iter_ids().filter(|(_, fault)| !unclear(&boat.items[fault.item].id));
    known
        .map(|(id, fault)| Seen {
            boat: at,
            fault: id,
            failures: counts.get(&fault.id).copied().unwrap_or_default(),
            years,
        })
        .collect()
}
