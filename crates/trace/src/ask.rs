//! What can be asked of whoever stands before the boat, what it costs, and who may do it.

use boat::model::{
    Boat, ConditionId, Expr, FaultId, Id, Level, PlaceId, Procedure, ProcedureId, Reach, Step, StepKind,
    VarId, VarKind, Who,
};
use quantity::Time;

use crate::hope::{Hope, is_control};

/// One thing to look at or to do.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Ask {
    /// Is this fact so? It is looked at, nothing is touched.
    Fact(ConditionId),
    /// Does this control or state stand as it should? A control that does not is set right at once, unless that may do
    /// harm: then it is only looked at, and set by its step list.
    Position(VarId),
    /// Is this the matter? It is checked as the boat file says.
    Fault(FaultId),
    /// This was found: mend it. Does it work then?
    Mend(FaultId),
    /// This control or state is not as it should be: follow the step list that makes it so. Does it work then?
    Restore(VarId),
    /// Does it work now?
    Works,
}

/// What was answered.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Reply {
    /// It is so; or: done, and it works.
    Yes,
    /// It is not so; or: done, and it does not work.
    No,
    /// "I can't check that."
    Cannot,
}

/// A question with its answer.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct Told {
    /// What was asked.
    pub ask: Ask,
    /// What was answered.
    pub reply: Reply,
}

impl Told {
    /// As one word for addresses and commands, such as `set.engine_seacock.yes`.
    pub fn token(&self, boat: &Boat) -> String {
        let reply = match self.reply {
            Reply::Yes => "yes",
            Reply::No => "no",
            Reply::Cannot => "cannot",
        };
        format!("{}.{reply}", self.ask.token(boat))
    }

    /// Reads such a word; `None` if it names nothing of the boat.
    pub fn read(boat: &Boat, token: &str) -> Option<Self> {
        let (ask, reply) = token.rsplit_once('.')?;
        let reply = match reply {
            "yes" => Reply::Yes,
            "no" => Reply::No,
            "cannot" => Reply::Cannot,
            _ => return None,
        };
        Some(Self { ask: Ask::read(boat, ask)?, reply })
    }
}

impl Ask {
    /// As one word, such as `set.engine_seacock`.
    pub fn token(self, boat: &Boat) -> String {
        match self {
            Self::Fact(condition) => format!("fact.{}", boat.conditions[condition].id),
            Self::Position(var) => format!("set.{}", boat.vars[var].id),
            Self::Fault(fault) => format!("fault.{}", boat.faults[fault].id),
            Self::Mend(fault) => format!("mend.{}", boat.faults[fault].id),
            Self::Restore(var) => format!("restore.{}", boat.vars[var].id),
            Self::Works => "works".to_owned(),
        }
    }

    /// Reads such a word; `None` if it names nothing of the boat.
    pub fn read(boat: &Boat, token: &str) -> Option<Self> {
        if token == "works" {
            return Some(Self::Works);
        }
        let (kind, id) = token.split_once('.')?;
        match kind {
            "fact" => boat.condition(id).map(Self::Fact),
            "set" => boat.var(id).map(Self::Position),
            "fault" => boat.fault(id).map(Self::Fault),
            "mend" => boat.fault(id).map(Self::Mend),
            "restore" => boat.var(id).map(Self::Restore),
            _ => None,
        }
    }

    /// Where one must be for it.
    pub fn place(self, boat: &Boat) -> Option<PlaceId> {
        match self {
            Self::Fact(condition) => {
                boat.conditions[condition].items.first().map(|item| boat.items[*item].place)
            }
            Self::Position(var) | Self::Restore(var) => {
                boat.control_place(var).or_else(|| boat.var_item(var).map(|item| boat.items[item].place))
            }
            Self::Fault(fault) | Self::Mend(fault) => Some(boat.items[boat.faults[fault].item].place),
            Self::Works => None,
        }
    }

    /// Who may do it, before it is known how she stands: `None` if nobody can, for want of a way to see it.
    pub fn who(self, boat: &Boat, hope: &Hope) -> Option<Who> {
        let row = |fault: FaultId| &boat.faults[fault];
        match self {
            Self::Works => Some(Who::Crew),
            Self::Fact(condition) => boat.conditions[condition].look.is_some().then_some(Who::Crew),
            Self::Fault(fault) => {
                row(fault).check.as_ref()?;
                let who = if row(fault).danger.is_some() { Who::Base } else { row(fault).check_who };
                Some(who.max(who_reaches(boat, self.place(boat))))
            }
            Self::Mend(fault) => {
                let who = if row(fault).danger.is_some() { Who::Base } else { row(fault).mend_who };
                let list = row(fault).mend_by.map_or(Who::Crew, |list| boat.procedures[list].who);
                Some(who.max(list).max(who_reaches(boat, self.place(boat))))
            }
            Self::Position(var) if is_control(boat, var) => {
                let danger = boat
                    .faults
                    .iter()
                    .any(|fault| fault.danger.is_some() && fault.means.is_some_and(|means| means.var == var));
                let hands = if danger { Who::Base } else { who_sets(boat, var) };
                Some(hands.max(who_reaches(boat, self.place(boat))))
            }
            Self::Position(var) => {
                boat.vars[var].tell.iter().any(Option::is_some).then(|| who_reaches(boat, self.place(boat)))
            }
            Self::Restore(var) => restores(boat, hope, var).map(|list| boat.procedures[list].who),
        }
    }

    /// What it costs, in minutes of whoever does it: reading it, getting there (unless one stands there already), the
    /// time it takes, tools.
    pub(crate) fn minutes(self, boat: &Boat, hope: &Hope, stands: Option<PlaceId>) -> f64 {
        let place = self.place(boat);
        let there = match place {
            Some(place) if Some(place) != stands => WALK + reach_minutes(boat.places[place].reach),
            _ => 0.0,
        };
        READ + match self {
            Self::Works => 0.0,
            Self::Fact(_) => 1.0 + there,
            Self::Position(_) => there,
            Self::Fault(fault) => {
                let row = &boat.faults[fault];
                row.check_takes.map_or(5.0, Time::as_minutes) + there + 2.0 * row.tools.len() as f64
            }
            Self::Mend(fault) => {
                let row = &boat.faults[fault];
                let list = || row.mend_by.map_or(10.0, |list| list_minutes(boat, list));
                row.mend_takes.map_or_else(list, Time::as_minutes)
            }
            Self::Restore(var) => restores(boat, hope, var).map_or(10.0, |list| list_minutes(boat, list)),
        }
    }
}

/// Minutes to read a question and answer it. Judgement.
const READ: f64 = 0.5;

/// Minutes to walk from one place of the boat to another. Judgement.
const WALK: f64 = 0.5;

/// Minutes to get at a place of each kind. Judgement.
fn reach_minutes(reach: Reach) -> f64 {
    match reach {
        Reach::AtHand => 0.5,
        Reach::Lid => 1.0,
        Reach::Boards => 3.0,
        Reach::Crawl => 6.0,
        Reach::Climb => 15.0,
        Reach::Tools => 10.0,
    }
}

/// A minute for each step.
fn list_minutes(boat: &Boat, list: ProcedureId) -> f64 {
    boat.procedures[list].steps.len() as f64
}

/// Nobody of a crew is sent up the mast, nor over the side or into what has to be climbed unless the boat's own step
/// lists send them there; and none but the one in charge opens what needs tools.
fn who_reaches(boat: &Boat, place: Option<PlaceId>) -> Who {
    let Some(place) = place else { return Who::Crew };
    let row = &boat.places[place];
    match (row.level, row.reach) {
        (Level::Aloft, _) => Who::Base,
        (_, Reach::Climb) => who_goes(boat, place),
        (_, Reach::Tools) => Who::Skipper,
        _ => Who::Crew,
    }
}

/// Who is sent to a place by a step list that is not for an emergency.
fn who_goes(boat: &Boat, place: PlaceId) -> Who {
    boat.procedures
        .iter()
        .filter(|list| !list.emergency && list.steps.iter().any(|step| boat.step_place(step) == Some(place)))
        .map(|list| list.who)
        .min()
        .unwrap_or(Who::Base)
}

/// Who sets a control in the boat's own step lists: nobody is asked for what no list teaches them, unless the file
/// knows no harm in it.
fn who_sets(boat: &Boat, var: VarId) -> Who {
    let harmless = match &boat.vars[var].kind {
        VarKind::Control(control) => control.harms.is_empty() && control.moves.is_empty(),
        VarKind::State(_) => true,
    };
    let sets = |step: &Step| matches!(step.kind, StepKind::Set { var: set, .. } if set == var);
    boat.procedures
        .iter()
        .filter(|list| list.steps.iter().any(sets))
        .map(|list| list.who)
        .min()
        .unwrap_or(if harmless { Who::Crew } else { Who::Base })
}

/// The step list that puts a control or state as it should be: of the list that was followed and those before it the
/// one that does so, or else one that begins with it otherwise, or one whose goal it is.
pub fn restores(boat: &Boat, hope: &Hope, var: VarId) -> Option<ProcedureId> {
    let should = hope.values[var.index()];
    let brings = |list: &Procedure| {
        list.steps.iter().any(|step| match &step.kind {
            StepKind::Set { var: set, to, .. } => *set == var && *to == should,
            StepKind::Do { action, .. } => {
                boat.actions[*action].makes.iter().any(|made| made.var == var && made.value == should)
            }
            StepKind::Look { .. } | StepKind::Wait { .. } => false,
        })
    };
    let otherwise =
        |list: &Procedure| list.start.iter().any(|start| start.var == var && start.value != should);
    let lists = || boat.procedures.iter_ids().filter(|(_, list)| !list.emergency);
    let followed = || {
        let mut chain: Vec<ProcedureId> = hope.followed.into_iter().collect();
        let mut at = 0;
        while at < chain.len() {
            let before = boat.procedures[chain[at]].after.iter().copied();
            chain.extend(before.filter(|list| !chain.contains(list)).collect::<Vec<_>>());
            at += 1;
        }
        chain.into_iter().find(|list| brings(&boat.procedures[*list]))
    };
    followed()
        .or_else(|| lists().find(|(_, list)| otherwise(list) && brings(list)).map(|(id, _)| id))
        .or_else(|| {
            let goal = |list: &Procedure| list.goal == Expr::Is(var, should);
            lists().find(|(_, list)| goal(list)).map(|(id, _)| id)
        })
}
