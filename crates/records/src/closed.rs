//! What of a boat's events need not be at hand any more: what was told on charters that are long over.
//!
//! A boat has tens of thousands of events after some years, and most of them are counts and looks of charters that
//! nobody will change again. [`Closed::further`] splits them: it gives the events that still matter to what is to come,
//! and a line for each charter that is over. [`Closed::standing`] folds the former and puts the latter beside them; the
//! boat, and every charter that is not over, then stand as by all events. Of what is over only the line is there; who
//! wants more folds all events.
//!
//! What stays at hand, besides everything after the moment of closing:
//! - all of a charter that is not settled or cancelled, or of which anything was told or promised after that moment;
//! - whatever tells of defects, upkeep, replaced meters, stock or removed persons, of any age;
//! - the last reading of each meter before that moment, the last count, look and filling, and the readings by which
//!   the engines' hours are reckoned at upkeep;
//! - all that a device with an odd clock told, since its events move others in time;
//! - what any of these name or answer, and what answers them.
//!
//! An event that comes later may reach back: it is about a charter that is over, answers what was told before the moment
//! of closing, or was made before it. [`Closed::fits`] tells, and whoever keeps the events then begins again with all of
//! them.

use std::collections::{BTreeMap, BTreeSet};

use serde::{Deserialize, Serialize};

use crate::clock::{EARLIEST, SLACK_MILLISECONDS};
use crate::ids::{BoatId, CharterId, DeviceId, EventId};
use crate::moment::Moment;
use crate::set::Kept;
use crate::stage::{Life, Stage};
use crate::standing::{BoatStanding, CharterStanding, Mark, Standing};
use crate::what::{Meter, Plan, What};
use crate::{Event, Records};

/// How far from an event that was moved in time others of its device may have had a hand in it: a day. Judgement: a
/// page is filled in within that.
const NEAR_MILLISECONDS: i64 = 24 * 3_600_000;

/// How often closing is tried again with more devices kept, before nothing is closed.
const TRIES: usize = 4;

/// The line of a charter that is over.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Over {
    boat: BoatId,
    planned: Mark,
    plan: Plan,
    life: Life,
    furthest: Option<Stage>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    out: Option<Mark>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    back: Option<Mark>,
}

/// What is closed of a boat's events.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize)]
pub struct Closed {
    /// The moment of closing; nothing if nothing is closed.
    since: Option<Moment>,
    /// The charters that are over.
    charters: BTreeMap<CharterId, Over>,
}

impl Over {
    fn of(stands: &CharterStanding) -> Option<Self> {
        let (planned, plan) = stands.plan.clone()?;
        let first = |stage: Stage| stands.stages.get(&stage).and_then(|marks| marks.first()).cloned();
        Some(Self {
            boat: stands.boat.clone(),
            planned,
            plan,
            life: stands.life,
            furthest: stands.furthest,
            out: first(Stage::CheckedOut),
            back: first(Stage::HandedBack),
        })
    }

    fn standing(&self) -> CharterStanding {
        let mut stands = CharterStanding::new(self.boat.clone());
        stands.plan = Some((self.planned.clone(), self.plan.clone()));
        stands.life = self.life;
        stands.furthest = self.furthest;
        for (stage, mark) in [(Stage::CheckedOut, &self.out), (Stage::HandedBack, &self.back)] {
            if let Some(mark) = mark {
                stands.stages.insert(stage, vec![mark.clone()]);
            }
        }
        stands
    }
}

impl Closed {
    /// Closes, of the events at hand, what was over by a moment. Gives the events that stay at hand and all that is
    /// closed then; what was given, if the clocks are such that the boat would stand otherwise by fewer events.
    pub fn further(&self, kept: &Records, since: Moment) -> (Records, Self) {
        let standing = self.standing(kept);
        let since = self.since.map_or(since, |before| before.max(since));
        let mut split = Split::new(self, kept, &standing, since);
        for _ in 0..TRIES {
            let (fewer, closed) = split.divide();
            let own = closed.standing(&fewer);
            if closed.differs(&fewer, &own, &standing).is_none() {
                return (fewer, closed);
            }
            let moved = fewer.kept().filter(|(id, _)| own.when.get(id) != standing.when.get(id));
            let devices: Vec<DeviceId> =
                moved.flat_map(|(_, kept)| kept.contents.iter().map(|event| event.device.clone())).collect();
            if devices.is_empty() {
                break;
            }
            split.odd.extend(devices);
        }
        (kept.clone(), self.clone())
    }

    /// Whether a charter is over, so that only its line is at hand.
    pub fn holds(&self, charter: &CharterId) -> bool {
        self.charters.contains_key(charter)
    }

    /// How the boat and her charters stand by the events that are at hand.
    pub fn standing(&self, kept: &Records) -> Standing {
        let mut standing = kept.standing();
        if self.charters.is_empty() {
            return standing;
        }
        for (id, over) in &self.charters {
            standing.charters.insert(id.clone(), over.standing());
        }
        standing.disagreements.retain(|one| !self.holds(&one.charter));
        let over = |event: EventId| kept.get(event).is_some_and(|event| self.concerns(event));
        standing.flags.retain(|flag| !over(flag.event));
        for boat in standing.boats.values_mut() {
            boat.taken.retain(|(_, id)| !self.holds(id));
        }
        for (id, over) in &self.charters {
            if let Some(out) = &over.out {
                let boat = standing.boats.entry(over.boat.clone()).or_default();
                boat.taken.push((out.when, id.clone()));
            }
        }
        for boat in standing.boats.values_mut() {
            boat.taken.sort();
        }
        standing
    }

    /// Whether an event that comes now, to those at hand, changes nothing of what is closed.
    pub fn fits(&self, kept: &Records, event: &Event) -> bool {
        let Some(since) = self.since else { return true };
        let after = |event: &Event| event.at > since && event.id.made().is_some_and(|made| made > since);
        if !after(event) || self.concerns(event) {
            return false;
        }
        if event.what.names().is_some_and(|named| kept.get(named).is_none()) {
            return false;
        }
        let mut answered = event.answers;
        let mut seen = BTreeSet::from([event.id]);
        while let Some(id) = answered.filter(|id| seen.insert(*id)) {
            match kept.get(id) {
                Some(there) if after(there) && !self.concerns(there) => answered = there.answers,
                _ => return false,
            }
        }
        true
    }

    /// The charters that are over.
    pub fn charters(&self) -> impl Iterator<Item = &CharterId> {
        self.charters.keys()
    }

    /// What differs between the standing by the events at hand and that by all of them, in what is not closed; nothing
    /// if it is the same.
    pub fn differs(&self, kept: &Records, own: &Standing, all: &Standing) -> Option<&'static str> {
        let here = |id: &EventId| kept.get(*id).is_some();
        let charters = all.charters.iter().map(|(id, stands)| match self.charters.get(id) {
            Some(over) => (id, Over::of(stands).as_ref() == Some(over)),
            None => (id, own.charters.get(id) == Some(stands)),
        });
        let flags = all.flags.iter().filter(|flag| kept.get(flag.event).is_some_and(|it| !self.concerns(it)));
        let open = all.disagreements.iter().filter(|one| !self.holds(&one.charter));
        let parts = [
            ("charters", charters.clone().count() == own.charters.len() && charters.clone().all(|one| one.1)),
            ("boats", own.boats.keys().eq(all.boats.keys())),
            ("ashore", own.ashore == all.ashore),
            ("removed", own.removed == all.removed),
            ("waiting", own.waiting == all.waiting),
            ("disagreements", own.disagreements.iter().eq(open)),
            ("flags", own.flags.iter().eq(flags)),
            ("when", own.when.iter().eq(all.when.iter().filter(|(id, _)| here(id)))),
            (
                "answers",
                own.answers.iter().eq(all.answers.iter().filter(|(id, _)| own.answers.contains_key(id))),
            ),
        ];
        let mut boats = own.boats.values().zip(all.boats.values());
        let part = parts.into_iter().find(|(_, same)| !same).map(|(part, _)| part);
        part.or_else(|| boats.find_map(|(own, all)| boat_differs(&here, own, all)))
    }

    fn concerns(&self, event: &Event) -> bool {
        event.charter.as_ref().is_some_and(|id| self.holds(id))
    }
}

fn boat_differs(
    here: &impl Fn(&EventId) -> bool,
    own: &BoatStanding,
    all: &BoatStanding,
) -> Option<&'static str> {
    let meters = all.meters.iter().all(|(meter, sights)| {
        let there = own.meters.get(meter).map_or(&[][..], Vec::as_slice);
        let left = sights.iter().filter(|sight| here(&sight.mark.content));
        sights.last() == there.last() && left.eq(there)
    });
    let fillings = all.fillings.iter().all(|(store, all)| {
        let there = own.fillings.get(store).map_or(&[][..], Vec::as_slice);
        let left = all.iter().filter(|filling| here(&filling.mark.content));
        all.last() == there.last() && left.eq(there)
    });
    let parts = [
        ("meters", meters),
        ("fillings", fillings),
        ("meters replaced", own.meters_replaced == all.meters_replaced),
        ("upkeep", own.upkeep == all.upkeep),
        ("defects", own.defects == all.defects),
        ("counted", own.counted == all.counted),
        ("looked", own.looked == all.looked),
        ("stock", own.stock == all.stock),
        ("taken", own.taken == all.taken),
        ("notes", own.notes == all.notes),
    ];
    parts.into_iter().find(|(_, same)| !same).map(|(part, _)| part)
}

/// Events on the way to being closed.
struct Split<'a> {
    before: &'a Closed,
    records: &'a Records,
    standing: &'a Standing,
    since: Moment,
    /// The event that each goes back to; nothing for one that waits for another, or goes round in a circle.
    roots: BTreeMap<EventId, Option<EventId>>,
    /// Devices whose events all stay.
    odd: BTreeSet<DeviceId>,
}

impl<'a> Split<'a> {
    fn new(before: &'a Closed, records: &'a Records, standing: &'a Standing, since: Moment) -> Self {
        let roots = records.kept().map(|(id, _)| (id, root(records, id))).collect();
        let odd =
            records.kept().filter(|(_, kept)| is_odd(kept)).flat_map(|(_, kept)| devices(kept)).collect();
        Self { before, records, standing, since, roots, odd }
    }

    /// The events that stay, and what is closed.
    fn divide(&self) -> (Records, Closed) {
        let trees = self.trees();
        let over = self.over(&trees);
        let mut stay: BTreeSet<EventId> = self.lasting();
        for (root, tree) in &trees {
            let goes = root.is_some() && tree.iter().all(|(_, kept)| self.may_go(kept, &over));
            if !goes {
                stay.extend(tree.iter().map(|(id, _)| *id));
            }
        }
        self.complete(&trees, &mut stay);
        let kept: Records = self
            .records
            .kept()
            .filter(|(id, _)| stay.contains(id))
            .flat_map(|(_, kept)| {
                let received = kept.received;
                kept.contents.iter().map(move |event| crate::Taken { event: event.clone(), received })
            })
            .collect();
        (kept, Closed { since: Some(self.since), charters: over })
    }

    /// The events, by what they go back to.
    fn trees(&self) -> BTreeMap<Option<EventId>, Vec<(EventId, &'a Kept)>> {
        let mut trees: BTreeMap<Option<EventId>, Vec<(EventId, &'a Kept)>> = BTreeMap::new();
        for (id, kept) in self.records.kept() {
            trees.entry(self.roots.get(&id).copied().flatten()).or_default().push((id, kept));
        }
        trees
    }

    /// Whether an event is from before the moment of closing, by every clock, and nothing is odd about it.
    fn is_old(&self, kept: &Kept) -> bool {
        let [event] = &kept.contents[..] else { return false };
        let placed = self.standing.when.get(&event.id).is_some_and(|when| *when <= self.since);
        let made = event.id.made().is_some_and(|made| made <= self.since);
        event.at <= self.since && made && placed && !self.odd.contains(&event.device)
    }

    /// The charters that are over, and of which nothing is told in anything that is not old.
    fn over(&self, trees: &BTreeMap<Option<EventId>, Vec<(EventId, &Kept)>>) -> BTreeMap<CharterId, Over> {
        let mut open: BTreeSet<&CharterId> = BTreeSet::new();
        for (root, tree) in trees {
            if root.is_none() || !tree.iter().all(|(_, kept)| self.is_old(kept)) {
                let contents = tree.iter().flat_map(|(_, kept)| &kept.contents);
                open.extend(contents.filter_map(|event| event.charter.as_ref()));
            }
        }
        let ended = |stands: &CharterStanding| {
            stands.life.is_over()
                && stands.plan.as_ref().is_some_and(|(_, plan)| plan.until.moment() <= self.since)
        };
        let charters = self.standing.charters.iter();
        let over = charters.filter(|(id, stands)| ended(stands) && !open.contains(id));
        let fresh = over.filter_map(|(id, stands)| Some((id.clone(), Over::of(stands)?)));
        // What is closed stays so: not all of its events are here.
        fresh.chain(self.before.charters.clone()).collect()
    }

    /// Whether what an event says is closed with its charter, or outlived by what came after it.
    fn may_go(&self, kept: &Kept, over: &BTreeMap<CharterId, Over>) -> bool {
        let [event] = &kept.contents[..] else { return false };
        let of_charter = event.charter.as_ref().map(|id| over.contains_key(id));
        let kind = match &event.what {
            What::Counted { .. }
            | What::Checked { .. }
            | What::Read { .. }
            | What::Filled { .. }
            | What::Emptied { .. }
            | What::Withdrawn { .. } => of_charter != Some(false),
            What::Planned(_)
            | What::Changed(_)
            | What::Cancelled { .. }
            | What::Readied
            | What::CheckedOut
            | What::Left
            | What::HandedBack
            | What::Settled
            | What::Briefed { .. }
            | What::Signed(_)
            | What::Called { .. }
            | What::Damaged { .. }
            | What::Noted { .. }
            | What::ChargeAdded { .. }
            | What::ChargeWaived { .. } => of_charter == Some(true),
            _ => false,
        };
        kind && self.is_old(kept)
    }

    /// The last of each thing before the moment of closing, and the readings by which hours are reckoned at upkeep.
    fn lasting(&self) -> BTreeSet<EventId> {
        let before = |id: &EventId| {
            let root = self.roots.get(id).copied().flatten();
            root.and_then(|root| self.standing.when.get(&root)).is_some_and(|when| *when <= self.since)
        };
        let mut first = Records::new();
        for (event, received) in self.records.events().filter(|(event, _)| before(&event.id)) {
            first.take(event.clone(), received);
        }
        let mut marks: Vec<Mark> = Vec::new();
        for boat in first.standing().boats.into_values() {
            marks.extend(boat.meters.into_values().filter_map(|mut all| all.pop()).map(|one| one.mark));
            marks.extend(boat.counted.into_values().map(|one| one.mark));
            marks.extend(boat.looked.into_values().map(|one| one.mark));
            marks.extend(boat.fillings.into_values().filter_map(|mut all| all.pop()).map(|one| one.mark));
        }
        for boat in self.standing.boats.values() {
            marks.extend(reckoned_by(boat).cloned());
        }
        marks.into_iter().flat_map(|mark| [mark.event, mark.content]).collect()
    }

    /// Adds what those that stay name and answer, what answers them, and what may have moved them in time.
    fn complete(
        &self,
        trees: &BTreeMap<Option<EventId>, Vec<(EventId, &Kept)>>,
        stay: &mut BTreeSet<EventId>,
    ) {
        let by_device = self.by_device();
        let mut fresh: Vec<EventId> = stay.iter().copied().collect();
        while let Some(id) = fresh.pop() {
            let Some(event) = self.records.get(id) else { continue };
            let tree = trees.get(&self.roots.get(&id).copied().flatten()).into_iter().flatten();
            let mut wanted: Vec<EventId> = tree.map(|(id, _)| *id).chain(event.what.names()).collect();
            let moved = self.standing.when.get(&id).is_some_and(|when| *when != event.at);
            if let (true, Some(made)) = (moved, id.made()) {
                let least = EventId::version_7(made.plus_milliseconds(-NEAR_MILLISECONDS), 0);
                let most = EventId::version_7(made.plus_milliseconds(NEAR_MILLISECONDS), 0);
                wanted
                    .extend(by_device.get(&event.device).into_iter().flat_map(|ids| ids.range(least..most)));
            }
            fresh.extend(wanted.into_iter().filter(|id| self.roots.contains_key(id) && stay.insert(*id)));
        }
    }

    fn by_device(&self) -> BTreeMap<&'a DeviceId, BTreeSet<EventId>> {
        let mut found: BTreeMap<&DeviceId, BTreeSet<EventId>> = BTreeMap::new();
        for (event, _) in self.records.events() {
            found.entry(&event.device).or_default().insert(event.id);
        }
        found
    }
}

/// The event that an event goes back to, if it is there.
fn root(records: &Records, id: EventId) -> Option<EventId> {
    let mut at = id;
    let mut seen = BTreeSet::new();
    loop {
        match records.get(at)?.answers {
            None => return Some(at),
            Some(next) if seen.insert(next) => at = next,
            Some(_) => return None,
        }
    }
}

fn devices(kept: &Kept) -> impl Iterator<Item = DeviceId> + '_ {
    kept.contents.iter().map(|event| event.device.clone())
}

/// Whether a clock, or a name, can't be right.
fn is_odd(kept: &Kept) -> bool {
    kept.contents.iter().any(|event| {
        let late = |other: Moment| event.at > other.plus_milliseconds(SLACK_MILLISECONDS);
        let named = event.id.made();
        let held = named.is_none_or(|made| made > event.at.plus_milliseconds(SLACK_MILLISECONDS));
        event.at < EARLIEST || held || kept.received.is_some_and(late)
    })
}

/// The readings of engines before each upkeep and each new meter.
fn reckoned_by(boat: &BoatStanding) -> impl Iterator<Item = &Mark> {
    let engine = |meter: &Meter| matches!(meter, Meter::EngineHours(_));
    let engines: Vec<_> = boat.meters.iter().filter(|(meter, _)| engine(meter)).map(|one| one.1).collect();
    let upkeep = boat.upkeep.values().flatten().map(|done| &done.mark);
    let meters = boat.meters_replaced.values().flatten().map(|new| &new.mark);
    upkeep.chain(meters).flat_map(move |mark| {
        let before = (mark.when, mark.event);
        let last = move |sights: &'_ Vec<crate::standing::Sight>| {
            sights.partition_point(|sight| (sight.mark.when, sight.mark.event) < before).checked_sub(1)
        };
        let found: Vec<&Mark> =
            engines.iter().filter_map(|sights| last(sights).map(|at| &sights[at].mark)).collect();
        found
    })
}
