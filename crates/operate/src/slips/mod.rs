//! What slips do: each step of a list left out, mistimed, repeated, set wrong, held too long or too short, in every
//! world that the list may begin in; each played to the end and judged.

mod back;
mod judge;
mod kinds;
mod play;
mod rates;

use std::collections::BTreeMap;
use std::rc::Rc;

use boat::model::{ProcedureId, Severity, Value, VarId};

use crate::lower::lower;
use crate::model::Model;
use crate::rehearse::rehearse;
use crate::world::{Event, World};

pub use back::Back;
pub use kinds::SlipKind;
pub use rates::{Rate, Read, Use, rates, weight};

use back::Rescue;
use judge::{Judge, Verdict};
use kinds::Played;
use play::{Outcome, Player};

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
    of_list(model, procedure, used, &mut Rescue::new(), &mut all);
    rank(&mut all);
    all
}

/// The slips of every step list of a boat, ranked together.
pub fn all_slips(model: &Model<'_>, used: Use) -> Slips {
    let mut all = Slips::default();
    let mut rescue = Rescue::new();
    for procedure in model.boat.procedures.ids() {
        of_list(model, procedure, used, &mut rescue, &mut all);
    }
    rank(&mut all);
    all
}

fn rank(all: &mut Slips) {
    all.slips.sort_by(|a, b| {
        b.risk
            .total_cmp(&a.risk)
            .then_with(|| b.class.cmp(&a.class))
            .then_with(|| (a.procedure, a.step, a.kind.family()).cmp(&(b.procedure, b.step, b.kind.family())))
    });
}

fn of_list<'m, 'b>(
    model: &'m Model<'b>,
    id: ProcedureId,
    used: Use,
    rescue: &mut Rescue<'m, 'b>,
    all: &mut Slips,
) {
    let procedure = &model.boat.procedures[id];
    let rehearsal = rehearse(model, id);
    let mut player = Player::new(model, &procedure.steps);
    let mut judge = Judge::new(model, lower(model.boat, &procedure.goal));
    let worlds = &rehearsal.start.worlds;
    let right: Vec<Rc<Outcome>> = worlds.iter().map(|world| player.rest(0, world.clone())).collect();
    let mut told: BTreeMap<Told, Slip> = BTreeMap::new();
    let mut ends: std::collections::BTreeSet<Rc<World>> = std::collections::BTreeSet::new();
    for slip in kinds::of_list(model, &procedure.steps, used) {
        let mut worst: Option<(usize, Outcome, Verdict)> = None;
        let mut as_bad = Vec::new();
        for taken in rehearsal.steps.get(slip.at).into_iter().flatten() {
            all.played += 1;
            let outcome = player.steps_then_rest(&slip.instead, slip.resume, taken.before.clone());
            let verdict = judge.judge(&outcome, &right[taken.world]);
            ends.insert(Rc::clone(&outcome.end));
            match &worst {
                Some((_, _, bad)) if verdict.class < bad.class => {}
                Some((_, _, bad)) if verdict.class == bad.class => as_bad.push(taken.world),
                _ => {
                    as_bad = vec![taken.world];
                    worst = Some((taken.world, outcome, verdict));
                }
            }
        }
        let Some((world, outcome, verdict)) = worst else { continue };
        let key = Told {
            step: slip.step,
            family: slip.kind.family(),
            class: verdict.class,
            events: verdict.events.clone(),
            left: verdict.left.clone(),
        };
        if let Some(same) = told.get_mut(&key) {
            same.count += 1;
            same.probability += slip.probability;
            continue;
        }
        let reached: Vec<usize> = rehearsal.steps[slip.at].iter().map(|taken| taken.world).collect();
        let only_in = only_in(worlds, &rehearsal.start.open, &reached, &as_bad);
        let back = match verdict.class {
            Class::NoMatter => Back::NotNeeded,
            _ => rescue.back(model, id, &outcome.end, &right[world].end),
        };
        told.insert(key, tell(model, id, &slip, outcome, verdict, only_in, back));
    }
    all.ends += ends.len();
    all.slips.extend(told.into_values().map(|mut slip| {
        slip.risk = slip.probability * weight(slip.class);
        slip
    }));
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

fn tell(
    model: &Model<'_>,
    procedure: ProcedureId,
    slip: &Played,
    outcome: Outcome,
    verdict: Verdict,
    world: Vec<(VarId, Value)>,
    back: Back,
) -> Slip {
    Slip {
        procedure,
        step: slip.step,
        kind: slip.kind,
        count: 1,
        class: verdict.class,
        what: verdict.events.iter().filter_map(|event| judge::what(model, *event)).collect(),
        threat: verdict.threat.and_then(|event| judge::what(model, event)),
        events: verdict.events,
        left: verdict.left,
        noticed: outcome.notice,
        stopped: outcome.stopped,
        world,
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
