//! `spares`: how many of each part to hold.

use std::collections::{BTreeMap, BTreeSet};

use boat::model::{FaultId, ItemId};
use clap::Args;
use quantity::Ratio;
use serde_json::{Value, json};
use trace::learn::Demand;
use trace::words::per_cent;

use super::wrong::number;
use crate::fleet::{self, Given, Unit};
use crate::layout::{self, Side};
use crate::load::Failure;
use crate::output::Printed;
use crate::seen::Records;

/// Names of parts are set in a column this wide.
const NAME: usize = 30;

#[derive(Args)]
pub(crate) struct SparesArgs {
    /// Boat files, or names of demo boats: those that share a store of parts.
    #[arg(required = true)]
    boats: Vec<String>,
    /// In how many of all cases there shall be enough of a part.
    #[arg(long, default_value = "95 %", value_name = "PART")]
    service: Ratio,
    /// For how many charter years.
    #[arg(long, default_value_t = 1.0)]
    years: f64,
    /// Records of failures, a CSV file as `becket rates` reads it: the rates are learned from it.
    #[arg(long, value_name = "FILE")]
    seen: Option<String>,
    /// Print JSON.
    #[arg(long)]
    json: bool,
}

/// What makes a part one: its name, and the class of the thing that it is for. A diaphragm of a pump is none of a
/// toilet.
type PartKey = (String, Option<String>);

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
}

/// How many of a part to hold.
struct Part {
    name: String,
    faults: Vec<(usize, FaultId)>,
    /// How many are wanted on average.
    mean: f64,
    hold: usize,
    /// The chance that so many are too few.
    short: f64,
    /// The same with one less; nothing if none need be held.
    short_with_less: Option<f64>,
    /// How many the boat files list as carried; nothing if they list none of it.
    aboard: Option<u32>,
}

impl SparesArgs {
    pub(crate) fn execute(self) -> Result<Printed, Failure> {
        let service = self.service.as_plain();
        if !(service > 0.0 && service < 1.0) {
            return Err(Failure(
                "No number of parts is enough for certain: give --service between 0 and 100 %, such as \"95 %\"."
                    .to_owned(),
            ));
        }
        if !(self.years > 0.0 && self.years <= 20.0) {
            return Err(Failure(
                "Give --years as a number of charter years, above 0 and at most 20.".to_owned(),
            ));
        }
        let boats = fleet::load(&self.boats)?;
        let records = self.seen.as_deref().map(|file| Records::read(file, &boats)).transpose()?;
        let parts = self.parts(&boats, records.as_ref())?;
        let failed = records.as_ref().is_some_and(Records::failed);
        if self.json {
            let value = json!({
                "service": service,
                "years": self.years,
                "parts": parts.iter().map(|part| to_json(&boats, part)).collect::<Vec<_>>(),
                "records": records.as_ref().map(Records::json).unwrap_or_default(),
            });
            return Ok(Printed::json(&value, failed));
        }
        let notes = records.as_ref().map_or_else(String::new, Records::text);
        Ok(Printed { text: notes + &self.text(&boats, &parts), failed })
    }

    fn parts(&self, boats: &[Given], records: Option<&Records>) -> Result<Vec<Part>, Failure> {
        let lines = records.map_or(&[][..], |records| &records.lines);
        let needs = |boat: usize, fault: FaultId| !boats[boat].boat.faults[fault].parts.is_empty();
        let time = fleet::charter_years(self.years);
        let mut all: BTreeMap<PartKey, Wanted> = BTreeMap::new();
        for kind in fleet::kinds(boats, lines, needs) {
            for (key, found) in by_part(boats, &kind.units) {
                let Some(demand) = kind.demand(&found.places, time) else { continue };
                match all.get_mut(&key) {
                    Some(wanted) => {
                        wanted.demand = wanted.demand.and(&demand);
                        wanted.faults.extend(found.faults);
                    }
                    None => {
                        all.insert(key, Wanted { name: found.name, faults: found.faults, demand });
                    }
                }
            }
        }
        let shared = |name: &str| all.keys().filter(|(other, _)| *other == fold(name)).count() > 1;
        let told = all.values().map(|wanted| self.part(boats, wanted, shared(&wanted.name)));
        let mut parts = told.collect::<Result<Vec<Part>, Failure>>()?;
        parts.sort_by(|a, b| b.mean.total_cmp(&a.mean).then(a.name.cmp(&b.name)));
        Ok(parts)
    }

    /// How many of a part to hold; `shared` if parts for things of another class go by the same name.
    fn part(&self, boats: &[Given], wanted: &Wanted, shared: bool) -> Result<Part, Failure> {
        let demand = &wanted.demand;
        let hold = demand.stock(self.service).ok_or_else(|| {
            Failure(format!(
                "So many of \"{}\" may be wanted that no number can be told. Look at the rates of the faults that it is \
                 for, or ask for fewer years.",
                wanted.name
            ))
        })?;
        let (boat, fault) = wanted.faults[0];
        let boat = &boats[boat].boat;
        let of =
            if shared { format!(" ({})", boat.items[boat.faults[fault].item].name) } else { String::new() };
        let short = |stock: usize| (1.0 - demand.at_most(stock).as_plain()).max(0.0);
        Ok(Part {
            name: format!("{}{of}", wanted.name),
            aboard: aboard(boats, wanted),
            faults: wanted.faults.clone(),
            mean: demand.mean(),
            hold,
            short: short(hold),
            short_with_less: hold.checked_sub(1).map(short),
        })
    }

    fn text(&self, boats: &[Given], parts: &[Part]) -> String {
        let names: Vec<&str> = boats.iter().map(|given| given.boat.particulars.name.as_str()).collect();
        let years = if (self.years - 1.0).abs() < 1e-9 {
            "a charter year".to_owned()
        } else {
            format!("{} charter years", self.years)
        };
        let head = format!(
            "Parts for {} in {years}, held so that there are enough in at least {} of all cases",
            names.join(", "),
            per_cent(self.service.as_plain())
        );
        let mut out = layout::wrap(&head, "");
        if parts.is_empty() {
            out.push_str("\nNo fault of these boats names a part.\n");
            return out;
        }
        out.push('\n');
        let head = ["part", "wanted", "hold", "runs out", "with one less", "aboard"].map(str::to_owned);
        let mut cells = vec![head];
        cells.extend(parts.iter().flat_map(lines));
        let sides = [Side::Left, Side::Right, Side::Right, Side::Right, Side::Right, Side::Right];
        out.push_str(&layout::columns("  ", sides, &cells));
        out.push('\n');
        for note in [
            "Wanted is the average; runs out, the chance that so many are too few. Aboard is what the boat files list as carried; - where they list none, which does not \
             mean that there is none.",
            "Counted are the faults that name a part, each with one piece. What upkeep uses up comes on top. Parts of one \
             name are held as one only if they are for things of one class.",
        ] {
            out.push_str(&layout::wrap(note, ""));
        }
        out
    }
}

/// The faults of one kind by the parts that they name; most often all name the same.
fn by_part(boats: &[Given], units: &[Unit]) -> BTreeMap<PartKey, Found> {
    let mut by: BTreeMap<PartKey, Found> = BTreeMap::new();
    for (at, unit) in units.iter().enumerate() {
        let boat = &boats[unit.boat].boat;
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

fn fold(name: &str) -> String {
    name.trim().to_lowercase()
}

/// How many the files list: as spares of the very things that it is for, or by the same name in the kit. What a file
/// lists in both is one thing.
fn aboard(boats: &[Given], wanted: &Wanted) -> Option<u32> {
    let things: BTreeSet<(usize, ItemId)> =
        wanted.faults.iter().map(|(at, fault)| (*at, boats[*at].boat.faults[*fault].item)).collect();
    let whose: BTreeSet<usize> = things.iter().map(|(at, _)| *at).collect();
    let of = |at: usize| {
        let boat = &boats[at].boat;
        let items = things.iter().filter(|(whose, _)| *whose == at).map(|(_, item)| *item);
        let spares = items.flat_map(|item| &boat.items[item].spares);
        let spares: u32 = spares.filter(|spare| alike(&spare.name, &wanted.name)).map(|_| 1).sum();
        let kit = boat.kit.iter().filter(|line| fold(&line.name) == fold(&wanted.name));
        let kit: u32 = kit.map(|line| line.count).sum();
        spares.max(kit)
    };
    Some(whose.into_iter().map(of).sum()).filter(|count| *count > 0)
}

/// Whether two names of a part for the same thing mean the same: all words of one are in the other, as in "Filter
/// element" and "Fuel filter element".
fn alike(one: &str, other: &str) -> bool {
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

/// A row of the table, its name over as many lines as it takes.
fn lines(part: &Part) -> Vec<[String; 6]> {
    let figures = [
        number(part.mean),
        part.hold.to_string(),
        per_cent(part.short),
        part.short_with_less.map_or_else(|| "-".to_owned(), per_cent),
        part.aboard.map_or_else(|| "-".to_owned(), |count| count.to_string()),
    ];
    let folded = layout::folded(&part.name, NAME).into_iter().enumerate();
    let row = |(at, name): (usize, String)| {
        let [mean, hold, short, less, aboard] =
            if at == 0 { figures.clone() } else { <[String; 5]>::default() };
        [if at == 0 { name } else { format!("  {name}") }, mean, hold, short, less, aboard]
    };
    folded.map(row).collect()
}

fn to_json(boats: &[Given], part: &Part) -> Value {
    let faults = part.faults.iter().map(|(at, fault)| {
        let boat = &boats[*at].boat;
        json!({ "boat": boat.particulars.name, "fault": boat.faults[*fault].id })
    });
    json!({
        "part": part.name,
        "wanted": part.mean,
        "hold": part.hold,
        "runs_out": part.short,
        "runs_out_with_one_less": part.short_with_less,
        "aboard": part.aboard,
        "faults": faults.collect::<Vec<_>>(),
    })
}
