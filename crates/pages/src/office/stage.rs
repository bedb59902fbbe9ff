//! Where a charter stands, what is to be done next, and what is missing for it, in a few words.

use std::collections::{BTreeMap, BTreeSet};

use boat::model::{Boat, UpkeepLine};
use maud::{Markup, html};
use records::{
    AccountId, CharterId, CharterStanding, Force, Lack, Life, Need, Severity, Stage, Standing, Verdict,
    lacks, may_check_out, usual_rules,
};

use crate::dock::{Names, Walking, role_name, severity};
use crate::frame::{Role, Site};
use crate::vessel::Vessel;
use crate::{links, when, words};

/// A boat of the base with all that was told of her.
#[derive(Debug, Clone, Copy)]
pub struct Hull<'a> {
    /// The boat.
    pub vessel: &'a Vessel,
    /// How she and her charters stand.
    pub standing: &'a Standing,
}

/// One charter of a boat.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Trip<'a> {
    pub(crate) hull: Hull<'a>,
    pub(crate) id: &'a CharterId,
    pub(crate) stands: &'a CharterStanding,
}

impl<'a> Hull<'a> {
    /// The boat's name.
    pub(crate) fn name(&self) -> &'a str {
        &self.vessel.boat.particulars.name
    }

    /// Her charters whose plan is known.
    pub(crate) fn trips(self) -> impl Iterator<Item = Trip<'a>> {
        let planned = move |(id, stands): (&'a CharterId, &'a CharterStanding)| {
            stands.plan.as_ref().map(|_| Trip { hull: self, id, stands })
        };
        self.standing.charters.iter().filter_map(planned)
    }
}

/// How many sail: “4 people”.
pub(crate) fn people(crew: Option<u32>) -> String {
    match crew {
        Some(crew) => words::count(usize::try_from(crew).unwrap_or_default(), "person", "people"),
        None => "how many is not told".to_owned(),
    }
}

impl Trip<'_> {
    /// From when, and until when; the beginning of 1970 if there is no plan.
    pub(crate) fn times(&self) -> (records::Moment, records::Moment) {
        let none = records::Moment::from_milliseconds(0);
        let plan = self.stands.plan.as_ref();
        plan.map_or((none, none), |(_, plan)| (plan.from.moment(), plan.until.moment()))
    }

    /// Who booked, and how many sail: “Ada, 4 people”.
    pub(crate) fn crew(&self, names: &Names) -> String {
        let Some((_, plan)) = &self.stands.plan else { return String::new() };
        let count = people(plan.crew);
        match &plan.booked {
            Some(person) => format!("{}, {count}", names.of(person, self.hull.standing)),
            None => count,
        }
    }

    /// What is missing before the next stage.
    pub(crate) fn lacks(&self, managers: &BTreeSet<AccountId>) -> Vec<Lack> {
        let rules = usual_rules(&self.hull.vessel.boat);
        match next(self.stands.life) {
            Some(Stage::CheckedOut) => {
                match may_check_out(self.hull.standing, self.id, &rules, Some(managers)) {
                    Verdict::Yes => Vec::new(),
                    Verdict::YesBut(lacks) | Verdict::No(lacks) => lacks,
                }
            }
            Some(stage) => lacks(self.hull.standing, self.id, stage, &rules),
            None => Vec::new(),
        }
    }
}

/// The next stage that somebody brings about.
pub(crate) fn next(life: Life) -> Option<Stage> {
    match life {
        Life::At(Stage::Planned) => Some(Stage::Readied),
        Life::At(Stage::Readied) => Some(Stage::CheckedOut),
        Life::At(Stage::CheckedOut | Stage::Out) => Some(Stage::HandedBack),
        Life::At(Stage::HandedBack) => Some(Stage::Settled),
        Life::At(Stage::Settled) | Life::Unknown | Life::Cancelled => None,
    }
}

/// A stage as people say it.
pub(crate) fn stage(stage: Stage) -> &'static str {
    match stage {
        Stage::Planned => "Planned",
        Stage::Readied => "Ready",
        Stage::CheckedOut => "Checked out",
        Stage::Out => "Out",
        Stage::HandedBack => "Back, not settled",
        Stage::Settled => "Settled",
    }
}

/// Where a charter stands.
pub(crate) fn life(life: Life) -> &'static str {
    match life {
        Life::At(at) => stage(at),
        Life::Cancelled => "Cancelled",
        Life::Unknown => "No plan known",
    }
}

/// The way to the next stage, for who may go it.
pub(crate) fn step(site: &Site, trip: &Trip<'_>) -> Markup {
    let id = trip.id.as_str();
    let (words, address, role) = match next(trip.stands.life) {
        Some(Stage::Readied) => ("Ready her", links::walk(id, Walking::Readying.word()), Role::Hand),
        Some(Stage::CheckedOut) => ("Check out", links::walk(id, Walking::CheckOut.word()), Role::Skipper),
        Some(Stage::HandedBack) => ("Take back", links::walk(id, Walking::HandBack.word()), Role::Hand),
        Some(Stage::Settled) => ("Settle", links::charges(id), Role::Skipper),
        _ => return html! {},
    };
    html! {
        @if site.may(role) {
            a.button href=(address) { (words) span.vh { ": " (trip.hull.name()) } }
        } @else { p.hint { "Next: " (words.to_lowercase()) ", by a handover skipper." } }
    }
}

/// What is missing, a line each: what must be there, then what should be. Counts and the like are put together.
pub(crate) fn reasons(trip: &Trip<'_>, lacks: &[Lack]) -> Vec<(Force, String)> {
    let boat = &trip.hull.vessel.boat;
    let mut out = Vec::new();
    let mut tally: BTreeMap<(Force, &'static str), usize> = BTreeMap::new();
    for lack in lacks {
        match &lack.need {
            Need::NoDefect(least) => out.extend(defects(trip, *least, lack)),
            Need::Stage(at) => {
                out.push((lack.force, format!("Not {} yet.", stage(*at).to_lowercase())));
            }
            Need::Signed(_, role) => {
                out.push((lack.force, format!("Signature of {} is missing.", role_name(*role))));
            }
            Need::Agreed(_) => {
                out.push((lack.force, "Hands differ on what they counted or read.".to_owned()));
            }
            Need::LookedAt(_, item) if !lack.because.is_empty() => {
                out.push((lack.force, format!("{} is not as it should be.", item_name(boat, item))));
            }
            Need::Counted(..) => *tally.entry((lack.force, "kit")).or_default() += 1,
            Need::Read(..) => *tally.entry((lack.force, "meters")).or_default() += 1,
            Need::LookedAt(..) => *tally.entry((lack.force, "items")).or_default() += 1,
            Need::Briefed(..) => *tally.entry((lack.force, "topics")).or_default() += 1,
        }
    }
    for ((force, kind), count) in tally {
        let sentence = match kind {
            "kit" => format!("{} to count.", words::count(count, "line of kit", "lines of kit")),
            "meters" => {
                format!("{} to read.", words::count(count, "meter or gauge", "meters and gauges"))
            }
            "items" => format!("{} to look at.", words::count(count, "item", "items")),
            _ => format!("{} of the briefing to go through.", words::count(count, "subject", "subjects")),
        };
        out.push((force, words::capital(&sentence)));
    }
    out.sort_by_key(|one| std::cmp::Reverse(one.0));
    out
}

fn defects(trip: &Trip<'_>, least: Severity, lack: &Lack) -> Vec<(Force, String)> {
    let Some(records) = trip.hull.standing.boats.get(&trip.stands.boat) else { return Vec::new() };
    let open = lack.because.iter().filter_map(|id| records.defects.get(id));
    // A safety defect is told once, where it stands in the way.
    let open = open.filter(|one| least == Severity::Safety || one.severity < Severity::Safety);
    open.map(|one| {
        let item = item_name(&trip.hull.vessel.boat, &one.defect.item);
        let words = words::sentence(&one.defect.words);
        (lack.force, format!("Open defect ({}): {item}. {words}", severity(one.severity)))
    })
    .collect()
}

/// The field in which one boat or all are chosen, of a form that asks for a list.
pub(crate) fn boat_choice(hulls: &[Hull<'_>], chosen: &str) -> Markup {
    html! {
        div.field { label for="boat" { "Boat" }
            select #boat name="boat" {
                option value="" { "All boats" }
                @for hull in hulls { option value=(hull.vessel.slug) selected[chosen == hull.vessel.slug] { (hull.name()) } }
            }
        }
    }
}

/// What an item is called.
pub(crate) fn item_name(boat: &Boat, id: &str) -> String {
    let found = boat.items.iter().find(|item| item.id == id);
    found.map_or_else(|| format!("“{id}” (no longer in the boat file)"), |item| item.name.clone())
}

/// What a line of the service plan is called, with the thing that it is about unless its name says it: a boat has many
/// seacocks, and each is opened and shut once a year.
pub(crate) fn upkeep_name(boat: &Boat, line: &UpkeepLine) -> String {
    let item = line.item.map(|item| &boat.items[item].name);
    let said = |item: &&String| line.name.to_lowercase().contains(&item.to_lowercase());
    match item.filter(|item| !said(item)) {
        Some(item) => format!("{} ({item})", line.name),
        None => line.name.clone(),
    }
}

/// The same of a line that is named in the records; the name by which it is told, if the boat file has it no more.
pub(crate) fn upkeep_of(boat: &Boat, id: &str) -> String {
    let found = boat.upkeep.iter().find(|line| line.id == id);
    found.map_or_else(|| words::spaced(id), |line| upkeep_name(boat, line))
}

/// What a line of kit is called.
pub(crate) fn kit_name(boat: &Boat, id: &str) -> String {
    let found = boat.kit.iter().find(|line| line.id == id);
    found.map_or_else(|| format!("“{id}” (no longer in the boat file)"), |line| line.name.clone())
}

/// The list of what is missing; nothing if nothing is.
pub(crate) fn missing(trip: &Trip<'_>, managers: &BTreeSet<AccountId>, most: usize) -> Markup {
    let all = reasons(trip, &trip.lacks(managers));
    html! {
        @if !all.is_empty() {
            ul.reasons-short {
                @for (force, words) in all.iter().take(most) {
                    li { @if *force == Force::Should { span.soft { "Should: " } } (words) }
                }
                @if all.len() > most { li { (words::capital(&words::count(all.len() - most, "more thing", "more things"))) "." } }
            }
        }
    }
}

/// “today, 16:00”, “Sat 27 June, 10:00”.
pub(crate) fn time(site: &Site, at: records::Moment) -> String {
    let zoned = when::zoned(site, at);
    format!("{}, {:02}:{:02}", when::near(site, zoned.date()), zoned.hour(), zoned.minute())
}
