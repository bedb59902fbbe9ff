//! How many of each part to hold, and which things and which upkeep of which boats take it.

use std::collections::{BTreeMap, BTreeSet};
use std::fmt;

use boat::model::{Boat, FaultId, ItemId, UpkeepId};
use quantity::{Ratio, Time};

use crate::fleet::{Seen, Unit, charter_years, kinds};
use crate::learn::Demand;

/// How a store of parts is kept.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Keeping {
    /// In how many of all cases there shall be enough; above none and below all.
    pub service: Ratio,
    /// For how many charter years.
    pub years: f64,
    /// How long an order is on its way, in time in use.
    pub lead: Time,
}

impl Keeping {
    /// 95 %, a charter year, two weeks. Judgement: parts are bought before the season, and a chandler sends within two
    /// weeks.
    pub const USUAL: Self = Self { service: Ratio::plain(0.95), years: 1.0, lead: Time::weeks(2.0) };
}

/// How many of a part to hold against failures.
#[derive(Debug, Clone, PartialEq)]
pub struct Spare {
    /// Its name, as the first boat file has it.
    pub name: String,
    /// The class of the things that it is for. A diaphragm of a pump is none of a toilet.
    pub class: Option<String>,
    /// Whether a part for things of another class goes by the same name.
    pub shared: bool,
    /// The faults that name it, each with the boat's place among those asked about.
    pub faults: Vec<(usize, FaultId)>,
    /// How many are wanted on average.
    pub mean: f64,
    /// How many to hold.
    pub hold: usize,
    /// The chance that so many are too few.
    pub short: f64,
    /// The same with one less; nothing if none need be held.
    pub short_with_less: Option<f64>,
    /// Once so many or fewer are left it is time to order: they are enough while the order is on its way. Always fewer
    /// than are to be held; nothing if none need be held.
    pub order_at: Option<usize>,
    /// How many the boat files list as carried; nothing if they list none of it.
    pub aboard: Option<u32>,
}

impl Spare {
    /// Its name, with the first thing that it is for if another part goes by the same.
    pub fn label(&self, boats: &[&Boat]) -> String {
        match self.faults.first().filter(|_| self.shared) {
            Some((boat, fault)) => {
                let boat = boats[*boat];
                format!("{} ({})", self.name, boat.items[boat.faults[*fault].item].name)
            }
            None => self.name.clone(),
        }
    }
}

/// So many of a part may be wanted that no number can be told.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct TooMany {
    /// The part.
    pub part: String,
}

impl fmt::Display for TooMany {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(
            f,
            "So many of \"{}\" may be wanted that no number can be told. Look at the rates of the faults that it is for, or \
             ask for fewer years.",
            self.part
        )
    }
}

impl std::error::Error for TooMany {}

/// What makes a part one: its name, and the class of the thing that it is for.
type Key = (String, Option<String>);

/// The faults of one kind that name a part.
#[derive(Default)]
struct Found {
    name: String,
    /// By their places in the kind.
    places: Vec<usize>,
    faults: Vec<(usize, FaultId)>,
}

/// How many of a part are wanted, and for which faults of which boats.
struct Wanted {
    name: String,
    faults: Vec<(usize, FaultId)>,
    demand: Demand,
    meanwhile: Demand,
}

/// How many of each part to hold against failures, those that are wanted most first.
///
/// Counted are the faults that name a part, each with one piece; what upkeep uses up comes on top.
///
/// # Errors
/// If so many of a part may be wanted that no number can be told.
pub fn spares(boats: &[&Boat], seen: &[Seen], keeping: &Keeping) -> Result<Vec<Spare>, TooMany> {
    let needs = |boat: usize, fault: FaultId| !boats[boat].faults[fault].parts.is_empty();
    let time = charter_years(keeping.years);
    let mut all: BTreeMap<Key, Wanted> = BTreeMap::new();
    for kind in kinds(boats, seen, needs) {
        for (key, found) in by_part(boats, &kind.units) {
            let demands = kind.demand(&found.places, time).zip(kind.demand(&found.places, keeping.lead));
            let Some((demand, meanwhile)) = demands else { continue };
            match all.get_mut(&key) {
                Some(wanted) => {
                    wanted.demand = wanted.demand.and(&demand);
                    wanted.meanwhile = wanted.meanwhile.and(&meanwhile);
                    wanted.faults.extend(found.faults);
                }
                None => {
                    all.insert(key, Wanted { name: found.name, faults: found.faults, demand, meanwhile });
                }
            }
        }
    }
    let shared = |name: &str| all.keys().filter(|(other, _)| other == name).count() > 1;
    let told = all.iter().map(|(key, wanted)| spare(boats, wanted, key.1.clone(), shared(&key.0), keeping));
    let mut spares = told.collect::<Result<Vec<Spare>, TooMany>>()?;
    spares.sort_by(|a, b| b.mean.total_cmp(&a.mean).then_with(|| a.label(boats).cmp(&b.label(boats))));
    Ok(spares)
}

fn spare(
    boats: &[&Boat],
    wanted: &Wanted,
    class: Option<String>,
    shared: bool,
    keeping: &Keeping,
) -> Result<Spare, TooMany> {
    let demand = &wanted.demand;
    let too_many = || TooMany { part: wanted.name.clone() };
    let hold = demand.stock(keeping.service).ok_or_else(too_many)?;
    let meanwhile = wanted.meanwhile.stock(keeping.service).ok_or_else(too_many)?;
    let short = |stock: usize| (1.0 - demand.at_most(stock).as_plain()).max(0.0);
    Ok(Spare {
        name: wanted.name.clone(),
        class,
        shared,
        aboard: aboard(boats, wanted),
        faults: wanted.faults.clone(),
        mean: demand.mean(),
        hold,
        short: short(hold),
        short_with_less: hold.checked_sub(1).map(short),
        order_at: hold.checked_sub(1).map(|most| meanwhile.min(most)),
    })
}

/// The faults of one kind by the parts that they name; most often all name the same.
fn by_part(boats: &[&Boat], units: &[Unit]) -> BTreeMap<Key, Found> {
    let mut by: BTreeMap<Key, Found> = BTreeMap::new();
    for (at, unit) in units.iter().enumerate() {
        let boat = boats[unit.boat];
        let fault = &boat.faults[unit.fault];
        let class = &boat.items[fault.item].class;
        for name in &fault.parts {
            let found = by.entry((fold(name), class.clone())).or_default();
            // A fault that names a part twice wants it once: the file has no counts.
            if found.places.last() != Some(&at) {
                found.name.clone_from(name);
                found.places.push(at);
                found.faults.push((unit.boat, unit.fault));
            }
        }
    }
    by
}

/// A part's name as it is compared: without spaces around it, in small letters.
pub fn fold(name: &str) -> String {
    name.trim().to_lowercase()
}

/// How many the files list: as spares of the very things that it is for, or by the same name in the kit. What a file
/// lists in both is one thing.
fn aboard(boats: &[&Boat], wanted: &Wanted) -> Option<u32> {
    let things: BTreeSet<(usize, ItemId)> =
        wanted.faults.iter().map(|(at, fault)| (*at, boats[*at].faults[*fault].item)).collect();
    let whose: BTreeSet<usize> = things.iter().map(|(at, _)| *at).collect();
    let of = |at: usize| {
        let items = things.iter().filter(|(whose, _)| *whose == at).map(|(_, item)| *item);
        carried(boats[at], items, &wanted.name)
    };
    Some(whose.into_iter().map(of).sum()).filter(|count| *count > 0)
}

/// How many of a part a boat's file lists as carried for these things.
fn carried(boat: &Boat, items: impl Iterator<Item = ItemId>, name: &str) -> u32 {
    let spares = items.flat_map(|item| &boat.items[item].spares);
    let spares: u32 = spares.filter(|spare| alike(&spare.name, name)).map(|_| 1).sum();
    let kit: u32 = boat.kit.iter().filter(|line| fold(&line.name) == fold(name)).map(|line| line.count).sum();
    spares.max(kit)
}

/// Whether two names of a part for the same thing mean the same: all words of one are in the other, as in "Filter
/// element" and "Fuel filter element".
pub fn alike(one: &str, other: &str) -> bool {
    let words = |name: &str| -> BTreeSet<String> {
        fold(name)
            .split(|c: char| !c.is_alphanumeric())
            .filter(|word| !word.is_empty())
            .map(str::to_owned)
            .collect()
    };
    let (one, other) = (words(one), words(other));
    one.is_subset(&other) || other.is_subset(&one)
}

/// What a service plan says of a part: "Engine oil 7 L", "Impeller 1", "Bellows 1 if cracked".
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ServicePart {
    /// The part.
    pub name: String,
    /// How many each time; one if nothing is said.
    pub count: u32,
    /// Whether they are litres rather than pieces.
    pub litres: bool,
    /// Only in this case, in words that begin with "if".
    pub only: Option<String>,
}

impl ServicePart {
    /// Reads the words of a service plan. Words that end in no number are a name, and mean one piece.
    pub fn read(words: &str) -> Self {
        let words = words.trim();
        let (what, only) = match words.find(" if ") {
            Some(at) => (words[..at].trim_end(), Some(words[at + 1..].to_owned())),
            None => (words, None),
        };
        let (counted, litres) = match what.strip_suffix(" L") {
            Some(rest) => (rest, true),
            None => (what, false),
        };
        let read = counted.rsplit_once(' ').and_then(|(name, count)| Some((name, count.parse().ok()?)));
        match read.filter(|(name, count)| !name.trim().is_empty() && *count > 0) {
            Some((name, count)) => Self { name: name.trim().to_owned(), count, litres, only },
            None => Self { name: what.to_owned(), count: 1, litres: false, only },
        }
    }
}

/// A part of the base's boats: what takes it, and how many to hold.
#[derive(Debug, Clone, PartialEq)]
pub struct Part {
    /// Its name in the base's store, different from that of every other part.
    pub name: String,
    /// Whether it is counted in litres.
    pub litres: bool,
    /// The things that it is for, each with the boat's place among those asked about.
    pub items: BTreeSet<(usize, ItemId)>,
    /// The upkeep that takes it, with how many each time, and whether in every case.
    pub upkeep: Vec<(usize, UpkeepId, ServicePart)>,
    /// How many each boat's file lists as carried, for those that list any.
    pub carried: BTreeMap<usize, u32>,
    /// How many to hold against failures; nothing if no fault names it, or if it is counted in litres: failures count
    /// pieces.
    pub spare: Option<Spare>,
}

#[derive(Default)]
struct Gathered {
    name: String,
    litres: bool,
    items: BTreeSet<(usize, ItemId)>,
    upkeep: Vec<(usize, UpkeepId, ServicePart)>,
    spare: Option<Spare>,
}

/// All parts that the boats' files know, by name: for faults, for upkeep, and those carried as spares.
///
/// # Errors
/// As [`spares`].
pub fn parts(boats: &[&Boat], seen: &[Seen], keeping: &Keeping) -> Result<Vec<Part>, TooMany> {
    let mut all: BTreeMap<Key, Gathered> = BTreeMap::new();
    for spare in spares(boats, seen, keeping)? {
        let items = spare.faults.iter().map(|(at, fault)| (*at, boats[*at].faults[*fault].item)).collect();
        let key = (fold(&spare.name), spare.class.clone());
        let name = spare.name.clone();
        all.insert(key, Gathered { name, items, spare: Some(spare), ..Gathered::default() });
    }
    for (at, boat) in boats.iter().enumerate() {
        for fault in &boat.faults {
            // Also of those that never come.
            for name in &fault.parts {
                gather(&mut all, boat, name, Some(fault.item)).items.insert((at, fault.item));
            }
        }
        for (id, line) in boat.upkeep.iter_ids() {
            for words in &line.parts {
                let part = ServicePart::read(words);
                let there = gather(&mut all, boat, &part.name, line.item);
                there.items.extend(line.item.map(|item| (at, item)));
                there.litres |= part.litres;
                there.upkeep.push((at, id, part));
            }
        }
        for (id, item) in boat.items.iter_ids() {
            for spare in &item.spares {
                let known =
                    all.values().any(|one| one.items.contains(&(at, id)) && alike(&one.name, &spare.name));
                if !known {
                    gather(&mut all, boat, &spare.name, Some(id)).items.insert((at, id));
                }
            }
        }
    }
    Ok(named(boats, all))
}

/// The place of a part that is named for a thing. Where no thing is named, or none of the classes that take a part of
/// this name is its own, it is that part if there is only one.
fn gather<'a>(
    all: &'a mut BTreeMap<Key, Gathered>,
    boat: &Boat,
    name: &str,
    item: Option<ItemId>,
) -> &'a mut Gathered {
    let exact = (fold(name), item.and_then(|item| boat.items[item].class.clone()));
    let key = if all.contains_key(&exact) {
        exact
    } else {
        let mut same = all.keys().filter(|(other, _)| *other == exact.0);
        match (same.next(), same.next()) {
            (Some(only), None) if item.is_none() || only.1.is_none() => only.clone(),
            _ => exact,
        }
    };
    let there = all.entry(key).or_default();
    if there.name.is_empty() {
        name.trim().clone_into(&mut there.name);
    }
    there
}

/// The parts by name, each with a name of its own.
fn named(boats: &[&Boat], all: BTreeMap<Key, Gathered>) -> Vec<Part> {
    let mut shared: BTreeMap<String, usize> = BTreeMap::new();
    for (name, _) in all.keys() {
        *shared.entry(name.clone()).or_default() += 1;
    }
    let part = |((folded, class), one): (Key, Gathered)| {
        let of = match class {
            _ if shared.get(&folded).is_none_or(|count| *count < 2) => String::new(),
            Some(class) => format!(" ({})", class.replace('_', " ")),
            None => " (other)".to_owned(),
        };
        let mut carried: BTreeMap<usize, u32> = BTreeMap::new();
        for (at, boat) in boats.iter().enumerate() {
            let items = one.items.iter().filter(|(whose, _)| *whose == at).map(|(_, item)| *item);
            let count = self::carried(boat, items, &one.name);
            if count > 0 {
                carried.insert(at, count);
            }
        }
        Part {
            name: format!("{}{of}", one.name),
            litres: one.litres,
            carried,
            items: one.items,
            upkeep: one.upkeep,
            spare: one.spare.filter(|_| !one.litres),
        }
    };
    all.into_iter().map(part).collect()
}
