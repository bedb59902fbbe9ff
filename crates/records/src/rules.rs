//! What must be there before a charter comes to a stage, as data, and what of it is missing.

use std::collections::BTreeSet;

use boat::model::{Boat, ItemId, Runs, StoreKind};

use crate::event::Hand;
use crate::ids::{AccountId, CharterId, EventId};
use crate::stage::{Life, Stage};
use crate::standing::{About, BoatStanding, CharterStanding, DefectStanding, Standing};
use crate::what::{Look, Meter, Role, Severity, Showing, Walk};

/// What must be there.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub enum Need {
    /// The charter has come to this stage.
    Stage(Stage),
    /// A kit line was counted.
    Counted(Walk, String),
    /// A meter was read.
    Read(Walk, Meter),
    /// An item was looked at and found as it should be.
    LookedAt(Walk, String),
    /// A topic was gone through, at least so.
    Briefed(String, Showing),
    /// Someone in this role put their name to it.
    Signed(Walk, Role),
    /// No defect this bad or worse is open, unless the manager lets her go with it and says why.
    NoDefect(Severity),
    /// Hands agree on what they counted and read.
    Agreed(Walk),
}

/// How much hangs on it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Force {
    /// It is shown, and she can go.
    Should,
    /// She can't go without it.
    Must,
}

/// A rule of the base.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub struct Rule {
    /// The stage that it stands before.
    pub before: Stage,
    /// What must be there.
    pub need: Need,
    /// How much hangs on it.
    pub force: Force,
}

/// Something that is missing.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub struct Lack {
    /// What.
    pub need: Need,
    /// How much hangs on it.
    pub force: Force,
    /// The events that stand in the way (open defects, counts that differ); none if something was not told at all.
    pub because: BTreeSet<EventId>,
}

/// Whether a boat may be checked out.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Verdict {
    /// Nothing is missing.
    Yes,
    /// She may; this should still be done.
    YesBut(Vec<Lack>),
    /// She may not, for these reasons, those that must be there first.
    No(Vec<Lack>),
}

/// The rules that suit most bases. They are common practice; local law and the base's insurer may ask for more.
///
/// Counts, readings and signatures belong to check-out and hand-back; a topic that is in every briefing must be gone
/// through, and shown if the boat file says so; the others at least read; a safety defect must not be open.
pub fn usual_rules(boat: &Boat) -> Vec<Rule> {
    let must = |before, need| Rule { before, need, force: Force::Must };
    let should = |before, need| Rule { before, need, force: Force::Should };
    let mut rules = vec![
        must(Stage::Readied, Need::Stage(Stage::Planned)),
        must(Stage::Readied, Need::NoDefect(Severity::Safety)),
        should(Stage::Readied, Need::NoDefect(Severity::Hinders)),
        must(Stage::CheckedOut, Need::Stage(Stage::Readied)),
        must(Stage::CheckedOut, Need::NoDefect(Severity::Safety)),
        must(Stage::CheckedOut, Need::Agreed(Walk::CheckOut)),
        must(Stage::CheckedOut, Need::Signed(Walk::CheckOut, Role::Skipper)),
        must(Stage::CheckedOut, Need::Signed(Walk::CheckOut, Role::Base)),
        must(Stage::Out, Need::Stage(Stage::CheckedOut)),
        must(Stage::HandedBack, Need::Stage(Stage::CheckedOut)),
        must(Stage::HandedBack, Need::Signed(Walk::HandBack, Role::Skipper)),
        must(Stage::HandedBack, Need::Signed(Walk::HandBack, Role::Base)),
        must(Stage::Settled, Need::Stage(Stage::HandedBack)),
        must(Stage::Settled, Need::Agreed(Walk::CheckOut)),
        must(Stage::Settled, Need::Agreed(Walk::HandBack)),
    ];
    for topic in &boat.topics {
        // What is not in every briefing may be left to reading.
        let showing = match (topic.always, topic.shown) {
            (true, true) => Showing::Shown,
            (true, false) => Showing::ToldOnly,
            (false, _) => Showing::Read,
        };
        let force = if topic.always { Force::Must } else { Force::Should };
        let need = Need::Briefed(topic.id.clone(), showing);
        rules.push(Rule { before: Stage::CheckedOut, need, force });
    }
    for item in boat.items.iter().filter(|item| item.emergency) {
        rules.push(should(Stage::CheckedOut, Need::LookedAt(Walk::CheckOut, item.id.clone())));
    }
    for (before, walk) in [(Stage::CheckedOut, Walk::CheckOut), (Stage::HandedBack, Walk::HandBack)] {
        rules.extend(boat.kit.iter().map(|line| must(before, Need::Counted(walk, line.id.clone()))));
        rules.extend(meters(boat).into_iter().map(|meter| must(before, Need::Read(walk, meter))));
    }
    rules
}

/// Every engine and every tank. Bottles are weighed where a base does that: it is no rule everywhere.
fn meters(boat: &Boat) -> Vec<Meter> {
    let engines = engines(boat).into_iter().map(Meter::EngineHours);
    let stores = boat.stores.iter().filter_map(|store| match store.kind {
        StoreKind::Tank(..) => Some(Meter::Tank(store.id.clone())),
        StoreKind::Bottle(_) | StoreKind::Battery(_) => None,
    });
    engines.chain(stores).collect()
}

/// The items that have a meter of engine hours: those that burn fuel by their speed, in the order of the file.
pub(crate) fn engines(boat: &Boat) -> Vec<String> {
    let burning = boat.loads.iter().filter(|load| matches!(load.runs, Runs::Engine(_)));
    let items: BTreeSet<ItemId> = burning.filter_map(|load| load.item).collect();
    items.into_iter().map(|item| boat.items[item].id.clone()).collect()
}

/// What is missing before a charter comes to a stage; nothing if it is there already, or past it.
///
/// What must be there comes first. A charter that is not known lacks its plan.
pub fn lacks(standing: &Standing, charter: &CharterId, next: Stage, rules: &[Rule]) -> Vec<Lack> {
    missing(standing, charter, next, rules, None)
}

fn missing(
    standing: &Standing,
    id: &CharterId,
    next: Stage,
    rules: &[Rule],
    managers: Option<&BTreeSet<AccountId>>,
) -> Vec<Lack> {
    let known = standing.charters.get(id);
    let Some(charter) = known.filter(|charter| charter.life != Life::Unknown) else {
        let need = Need::Stage(Stage::Planned);
        return vec![Lack { need, force: Force::Must, because: BTreeSet::new() }];
    };
    if matches!(charter.life, Life::At(stage) if stage >= next) {
        return Vec::new();
    }
    let empty = BoatStanding::default();
    let boat = standing.boats.get(&charter.boat).unwrap_or(&empty);
    let asked = Asked { standing, id, charter, boat, managers };
    let mut lacks: Vec<Lack> = rules
        .iter()
        .filter(|rule| rule.before == next)
        .filter_map(|rule| {
            let because = asked.unmet(&rule.need)?;
            Some(Lack { need: rule.need.clone(), force: rule.force, because })
        })
        .collect();
    lacks.sort_by(|one, other| (other.force, &one.need).cmp(&(one.force, &other.need)));
    lacks
}

/// Whether a charter's boat may be checked out, by the base's rules.
///
/// Whatever the rules say, she may not go with an open safety defect unless one of `managers` lets her and says why, nor
/// on a charter that was cancelled. If no managers are named, any of the base's own people can decide that.
pub fn may_check_out(
    standing: &Standing,
    charter: &CharterId,
    rules: &[Rule],
    managers: Option<&BTreeSet<AccountId>>,
) -> Verdict {
    let always =
        Rule { before: Stage::CheckedOut, need: Need::NoDefect(Severity::Safety), force: Force::Must };
    let mut rules: Vec<Rule> = rules.to_vec();
    rules.retain(|rule| rule.before != always.before || rule.need != always.need);
    rules.push(always);
    let mut lacks = missing(standing, charter, Stage::CheckedOut, &rules, managers);
    if let Some(gone) = standing.charters.get(charter).filter(|one| one.life == Life::Cancelled) {
        let because = gone.cancelled.iter().map(|(mark, _)| mark.content).collect();
        lacks.insert(0, Lack { need: Need::Stage(Stage::Planned), force: Force::Must, because });
    }
    match lacks.first().map(|lack| lack.force) {
        None => Verdict::Yes,
        Some(Force::Should) => Verdict::YesBut(lacks),
        Some(Force::Must) => Verdict::No(lacks),
    }
}

/// A charter of which something is asked.
struct Asked<'a> {
    standing: &'a Standing,
    id: &'a CharterId,
    charter: &'a CharterStanding,
    boat: &'a BoatStanding,
    managers: Option<&'a BTreeSet<AccountId>>,
}

impl Asked<'_> {
    /// What stands in the way; nothing if it is there.
    fn unmet(&self, need: &Need) -> Option<BTreeSet<EventId>> {
        let untold = |there: bool| (!there).then(BTreeSet::new);
        match need {
            Need::Stage(stage) => untold(matches!(self.charter.life, Life::At(at) if at >= *stage)),
            Need::Counted(walk, line) => untold(self.charter.counts.contains_key(&(*walk, line.clone()))),
            Need::Read(walk, meter) => untold(self.charter.readings.contains_key(&(*walk, meter.clone()))),
            Need::Briefed(topic, least) => {
                untold(self.charter.briefed.get(topic).is_some_and(|shown| shown.showing >= *least))
            }
            Need::Signed(walk, role) => {
                let theirs = |one: &crate::Signed| one.signature.walk == *walk && one.signature.role == *role;
                untold(self.charter.signed.iter().any(theirs))
            }
            Need::LookedAt(walk, item) => self.unsound(*walk, item),
            Need::NoDefect(severity) => {
                let open = self.boat.open_defects().filter(|defect| defect.severity >= *severity);
                some(open.filter(|defect| !self.let_go(defect)).map(DefectStanding::id).collect())
            }
            Need::Agreed(walk) => {
                let here = self.standing.disagreements.iter();
                let here = here.filter(|one| one.charter == *self.id && one.walk == *walk);
                // How an item is does not touch what was handed over.
                let counts = here.filter(|one| !matches!(one.about, About::Item(_)));
                some(counts.flat_map(|one| one.events.iter().copied()).collect())
            }
        }
    }

    fn unsound(&self, walk: Walk, item: &str) -> Option<BTreeSet<EventId>> {
        let Some(looks) = self.charter.looks.get(&(walk, item.to_owned())) else {
            return Some(BTreeSet::new());
        };
        let bad = looks.iter().filter(|one| one.look == Look::NotOk).map(|one| one.mark.content);
        let bad: BTreeSet<EventId> = bad.collect();
        let good = bad.is_empty() && looks.iter().any(|one| one.look == Look::Ok);
        (!good).then_some(bad)
    }

    fn let_go(&self, defect: &DefectStanding) -> bool {
        let may = |who: &Hand| match (self.managers, who) {
            (_, Hand::Crew(_)) => false,
            (None, Hand::Account(_)) => true,
            (Some(managers), Hand::Account(account)) => managers.contains(account),
        };
        defect.let_go(self.id).any(|sails| may(&sails.mark.who))
    }
}

fn some(events: BTreeSet<EventId>) -> Option<BTreeSet<EventId>> {
    (!events.is_empty()).then_some(events)
}
