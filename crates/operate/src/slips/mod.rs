//! What slips do: each step of a list left out, mistimed, repeated, set wrong, held too long or too short, in every
//! world that the list may begin in; each played to the end and judged.

mod back;
mod judge;
mod kinds;
mod play;
mod rates;
mod sights;
mod tell;

use std::collections::btree_map::Entry;
use std::collections::{BTreeMap, BTreeSet};
use std::rc::Rc;

use boat::model::{ProcedureId, Severity, Value, VarId, Who};

use crate::model::Model;
use crate::rehearse::{Rehearsal, rehearse};
use crate::stand::Stand;
use crate::world::{Event, World};
use boat::lower::lower;

pub use back::Back;
pub use kinds::SlipKind;
pub use rates::{Rate, Read, Use, rates, weight};

use back::{Hands, Promise, Rescue};
use judge::{Judge, Verdict};
use kinds::Played;
use play::{Outcome, Player};
use sights::Sights;

/// What became of a slip, from least to worst.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Class {
    /// It ends as the list promises, and nothing happened on the way.
    NoMatter,
    /// The list does not do what it is for; nothing is harmed.
    DoesNotWork,
    /// The list is gone through, but something is left otherwise than promised and not at rest. With the worst harm
    /// that is one further step, or one day, away from there and would not be if all were as promised.
    LeftStanding(Option<Severity>),
    /// Gear is damaged or the water fouled.
    Damage,
    /// Someone can be hurt, or the boat lost.
    Injury,
}

/// The moment at which a person can notice.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Notice {
    /// The step, from zero.
    pub step: usize,
    /// What there is to see.
    pub words: String,
}

/// A slip and what became of it, in the world in which it is worst.
#[derive(Debug, Clone, PartialEq)]
pub struct Slip {
    /// The list.
    pub procedure: ProcedureId,
    /// The step, from zero.
    pub step: usize,
    /// How it is done wrong. Of several with the same outcome, the first.
    pub kind: SlipKind,
    /// How many slips of this kind at this step have the same outcome and are told as one.
    pub count: usize,
    /// What became of it.
    pub class: Class,
    /// What happened that should not have.
    pub events: Vec<Event>,
    /// What happens, full sentences.
    pub what: Vec<String>,
    /// For a thing left standing: the harm that is near.
    pub threat: Option<String>,
    /// What is left otherwise than the list promises: which, how it is, how it should be.
    pub left: Vec<(VarId, Value, Value)>,
    /// When it can be noticed before the end, if it can.
    pub noticed: Option<Notice>,
    /// The step whose look stops the list, if one does.
    pub stopped: Option<usize>,
    /// The states of the world in which it is so bad, if it is not so in all.
    pub world: Vec<(VarId, Value)>,
    /// The safe way back.
    pub back: Back,
    /// The row that says how often.
    pub rate: Rate,
    /// How likely it is each time the list is followed.
    pub probability: f64,
    /// Probability times weight: what slips are ranked by.
    pub risk: f64,
}

/// The slips of one list or of all.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Slips {
    /// Worst first.
    pub slips: Vec<Slip>,
    /// How many slips were played, each in every world.
    pub played: usize,
    /// How many ended in how many different ways.
    pub ends: usize,
}

/// The slips of one step list.
pub fn slips(model: &Model<'_>, procedure: ProcedureId, used: Use) -> Slips {
    let mut all = Slips::default();
    let hands = Hands::new(model, helper(model.boat.procedures[procedure].who));
    of_list(model, procedure, used, &hands, &mut all);
    rank(&mut all);
    all
}

/// The slips of every step list of a boat, ranked together.
pub fn all_slips(model: &Model<'_>, used: Use) -> Slips {
    let mut all = Slips::default();
    for who in [Who::Skipper, Who::Base] {
        let mut lists = model.boat.procedures.iter_ids().filter(|(_, row)| helper(row.who) == who).peekable();
        if lists.peek().is_some() {
            let hands = Hands::new(model, who);
            lists.for_each(|(id, _)| of_list(model, id, used, &hands, &mut all));
        }
    }
    rank(&mut all);
    all
}

/// Who puts a slip right: the skipper is always aboard.
fn helper(who: Who) -> Who {
    match who {
        Who::Crew | Who::Skipper => Who::Skipper,
        Who::Base => Who::Base,
    }
}

fn rank(all: &mut Slips) {
    all.slips.sort_by(|a, b| {
        b.risk
            .total_cmp(&a.risk)
            .then_with(|| b.class.cmp(&a.class))
            .then_with(|| (a.procedure, a.step, a.kind.family()).cmp(&(b.procedure, b.step, b.kind.family())))
    });
}

fn of_list(model: &Model<'_>, id: ProcedureId, used: Use, hands: &Hands<'_, '_>, all: &mut Slips) {
    let procedure = &model.boat.procedures[id];
    let rehearsal = rehearse(model, id);
    let sights = Sights::new(model, &procedure.steps, &rehearsal);
    let mut player = Player::new(model, &procedure.steps, &sights);
    let mut judge = Judge::new(model, lower(model.boat, &procedure.goal));
    let right: Vec<Rc<Outcome>> =
        rehearsal.start.worlds.iter().map(|world| player.rest(0, world.clone())).collect();
    let mut ends: Vec<(Stand, bool)> = right.iter().map(|outcome| outcome.place()).collect();
    ends.sort_unstable();
    ends.dedup();
    let promises: Vec<Promise> =
        ends.iter().map(|(end, stopped)| hands.promise(procedure, end, *stopped)).collect();
    let mut rescue = Rescue::new(hands, &promises);
    let mut told: BTreeMap<Told, Slip> = BTreeMap::new();
    let mut seen: BTreeSet<Rc<World>> = BTreeSet::new();
    for slip in kinds::of_list(model, &procedure.steps, used) {
        let Some(worst) = worst(&slip, &rehearsal, &mut player, &mut judge, &right, &mut seen) else {
            continue;
        };
        all.played += rehearsal.steps[slip.at].len();
        let same = told.entry(worst.key(&slip));
        match same {
            Entry::Occupied(mut same) => {
                same.get_mut().count += 1;
                same.get_mut().probability += slip.probability;
            }
            Entry::Vacant(new) => {
                let back = if worst.verdict.class == Class::NoMatter {
                    Back::NotNeeded
                } else {
                    let place = ends
                        .binary_search(&right[worst.world].place())
                        .expect("every right end is among the ends");
                    rescue.back(&worst.outcome.end, place)
                };
                new.insert(tell(model, id, &slip, worst, back));
            }
        }
    }
    all.ends += seen.len();
    all.slips.extend(told.into_values().map(|mut slip| {
        slip.risk = slip.probability * weight(slip.class);
        slip
    }));
}

/// A slip in the world in which it is worst.
struct Worst {
    world: usize,
    outcome: Outcome,
    verdict: Verdict,
    /// What sets the worlds in which it is so bad apart from the others.
    only_in: Vec<(VarId, Value)>,
}

impl Worst {
    fn key(&self, slip: &Played) -> Told {
        Told {
            step: slip.step,
            family: slip.kind.family(),
            class: self.verdict.class,
            events: self.verdict.events.clone(),
            left: self.verdict.left.clone(),
        }
    }
}

/// Plays a slip in every world that gets to it; the first of the worst.
fn worst(
    slip: &Played,
    rehearsal: &Rehearsal,
    player: &mut Player<'_, '_>,
    judge: &mut Judge<'_, '_>,
    right: &[Rc<Outcome>],
    seen: &mut BTreeSet<Rc<World>>,
) -> Option<Worst> {
    let mut worst: Option<(usize, Outcome, Verdict)> = None;
    let mut as_bad = Vec::new();
    let reached = rehearsal.steps.get(slip.at)?;
    for taken in reached {
        let outcome = player.steps_then_rest(&slip.instead, slip.resume, taken.before.clone());
        let verdict = judge.judge(&outcome, &right[taken.world]);
        if !seen.contains(&outcome.end) {
            seen.insert(Rc::clone(&outcome.end));
        }
        match &worst {
            Some((_, _, bad)) if verdict.class < bad.class => {}
            Some((_, _, bad)) if verdict.class == bad.class => as_bad.push(taken.world),
            _ => {
                as_bad = vec![taken.world];
                worst = Some((taken.world, outcome, verdict));
            }
        }
    }
    let (world, outcome, verdict) = worst?;
    let reached: Vec<usize> = reached.iter().map(|taken| taken.world).collect();
    let only_in = only_in(&rehearsal.start.worlds, &rehearsal.start.open, &reached, &as_bad);
    Some(Worst { world, outcome, verdict, only_in })
}

/// What makes two slips the same to a reader.
#[derive(PartialEq, Eq, PartialOrd, Ord)]
struct Told {
    step: usize,
    family: u8,
    class: Class,
    events: Vec<Event>,
    left: Vec<(VarId, Value, Value)>,
}

fn tell(model: &Model<'_>, procedure: ProcedureId, slip: &Played, worst: Worst, back: Back) -> Slip {
    let Worst { outcome, verdict, only_in, .. } = worst;
    let mut what: Vec<String> =
        verdict.events.iter().filter_map(|event| judge::what(model, *event)).collect();
    let mut told = BTreeSet::new();
    what.retain(|words| told.insert(words.clone()));
    Slip {
        procedure,
        step: slip.step,
        kind: slip.kind,
        count: 1,
        class: verdict.class,
        what,
        threat: verdict.threat.and_then(|event| judge::what(model, event)),
        events: verdict.events,
        left: verdict.left,
        noticed: outcome.notice,
        stopped: outcome.stopped,
        world: only_in,
        back,
        rate: slip.rate,
        probability: slip.probability,
        risk: 0.0,
    }
}

/// The values of open states that all the bad worlds share and not all reached worlds have.
fn only_in(worlds: &[World], open: &[VarId], reached: &[usize], bad: &[usize]) -> Vec<(VarId, Value)> {
    let mut found = Vec::new();
    for var in open {
        let Some(first) = bad.first().map(|at| worlds[*at].is(*var)) else { continue };
        let shared = bad.iter().all(|at| worlds[*at].is(*var) == first);
        if shared && reached.iter().any(|at| worlds[*at].is(*var) != first) {
            found.push((*var, first));
        }
    }
    found
}
