//! The boat made ready for running: expressions lowered, limits gathered by use, and who depends on whom.

use boat::model::{
    ActionId, Boat, CautionId, Compare, ConditionId, Expr, Id, Limit, LimitKind, Severity, Thing, Value,
    VarId, VarKind,
};
use quantity::{Quantity, Time};

use crate::stand::Stand;
use boat::lower::{all, bound, lower, mark_vars, not};

/// One boat, ready to be run, proven and searched. Made once, asked often.
#[derive(Debug)]
pub struct Model<'b> {
    pub(crate) boat: &'b Boat,
    pub(crate) conditions: Vec<Expr>,
    pub(crate) turns: Vec<TurnRow>,
    pub(crate) nevers: Vec<Expr>,
    pub(crate) controls: Vec<Option<ControlRow>>,
    pub(crate) actions: Vec<ActionRow>,
    pub(crate) clocks: Vec<Clock>,
    pub(crate) depends: Vec<Dependents>,
    pub(crate) given: Vec<bool>,
}

/// A change that happens by itself.
#[derive(Debug)]
pub(crate) struct TurnRow {
    pub(crate) var: VarId,
    /// Its place in the state's own list.
    pub(crate) at: usize,
    pub(crate) to: Value,
    pub(crate) when: Expr,
    /// Milliseconds; `None`: at once.
    pub(crate) after: Option<u64>,
}

/// A harm with its condition lowered.
#[derive(Debug)]
pub(crate) struct HarmRow {
    pub(crate) thing: Thing,
    pub(crate) to: Option<Value>,
    pub(crate) when: Expr,
    pub(crate) severity: Severity,
}

#[derive(Debug)]
pub(crate) struct MoveRow {
    pub(crate) to: Value,
    pub(crate) needs: Expr,
    pub(crate) takes: u64,
}

#[derive(Debug)]
pub(crate) struct ControlRow {
    pub(crate) moves: Vec<MoveRow>,
    pub(crate) harms: Vec<HarmRow>,
    pub(crate) bounds: Vec<Bound>,
}

#[derive(Debug)]
pub(crate) struct ActionRow {
    pub(crate) needs: Expr,
    pub(crate) harms: Vec<HarmRow>,
    pub(crate) bounds: Vec<Bound>,
    pub(crate) takes: Option<u64>,
}

/// A limit as it applies to one control or action.
#[derive(Debug)]
pub(crate) struct Bound {
    pub(crate) thing: Thing,
    pub(crate) kind: LimitKind,
    /// Milliseconds, for the limits that are times.
    pub(crate) time: u64,
    /// What must hold, for the limits that are readings.
    pub(crate) keeps: Expr,
    /// The clock that times it, shared by everything that the limit is on.
    pub(crate) clock: u16,
    /// `None`: past it, it just does not work.
    pub(crate) severity: Option<Severity>,
}

/// What one owner of time limits needs its clock for.
#[derive(Debug)]
pub(crate) struct Clock {
    pub(crate) owner: Thing,
    pub(crate) longest: u64,
    pub(crate) rest: u64,
    pub(crate) hold: u64,
}

/// What must be looked at again when a control or state has changed.
#[derive(Debug, Default, Clone)]
pub(crate) struct Dependents {
    pub(crate) instant: Vec<u16>,
    pub(crate) timed: Vec<u16>,
    pub(crate) nevers: Vec<u16>,
}

/// A time as whole milliseconds; times below zero count as none.
pub(crate) fn millis(time: Time) -> u64 {
    let value = libm::round(time.as_milliseconds());
    if value.is_finite() && value > 0.0 {
        #[expect(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "checked to be positive and finite; a cast saturates"
        )]
        let whole = value as u64;
        whole
    } else {
        0
    }
}

/// Milliseconds as a time.
pub(crate) fn time(millis: u64) -> Time {
    Time::milliseconds(millis as f64)
}

impl<'b> Model<'b> {
    /// Makes a boat ready.
    pub fn new(boat: &'b Boat) -> Self {
        let mut clocks = Vec::new();
        let conditions = boat.conditions.iter().map(|condition| lower(boat, &condition.when)).collect();
        let nevers = boat.nevers.iter().map(|never| lower(boat, &never.when)).collect();
        let turns = turn_rows(boat);
        let controls = boat.vars.iter_ids().map(|(id, _)| control_row(boat, id, &mut clocks)).collect();
        let actions = boat.actions.ids().map(|id| action_row(boat, id, &mut clocks)).collect();
        let given = boat
            .vars
            .iter()
            .map(|var| match &var.kind {
                VarKind::State(state) => state.given,
                VarKind::Control(_) => false,
            })
            .collect();
        let depends = dependents(boat, &turns);
        Self { boat, conditions, turns, nevers, controls, actions, clocks, depends, given }
    }

    /// The boat that it was made from.
    pub fn boat(&self) -> &'b Boat {
        self.boat
    }

    /// The boat at rest, once everything that happens by itself at once has happened.
    pub fn at_rest(&self) -> Stand {
        self.settle(&Stand::at_rest(self.boat)).0
    }

    /// Whether an expression of the boat holds in a stand.
    pub fn holds(&self, stand: &Stand, expr: &Expr) -> bool {
        self.eval(&stand.0, &lower(self.boat, expr))
    }

    /// Whether a named fact holds in a stand.
    pub fn condition_holds(&self, stand: &Stand, condition: ConditionId) -> bool {
        self.eval(&stand.0, &self.conditions[condition.index()])
    }

    /// What a reading shows in a stand.
    pub fn reading(&self, stand: &Stand, reading: boat::model::ReadingId) -> Quantity {
        use boat::model::CaseValue;
        let row = &self.boat.readings[reading];
        for case in &row.cases {
            if self.holds(stand, &case.when) {
                return match &case.reads {
                    CaseValue::Fixed(quantity) => *quantity,
                    CaseValue::Of(var) => self.boat.vars[*var]
                        .reads
                        .as_ref()
                        .map_or(row.otherwise, |reads| reads[usize::from(stand.get(*var).0)]),
                };
            }
        }
        row.otherwise
    }

    /// Whether the world decides this state.
    pub(crate) fn is_given(&self, var: VarId) -> bool {
        self.given[var.index()]
    }

    /// Judges a lowered expression.
    pub(crate) fn eval(&self, values: &[u8], expr: &Expr) -> bool {
        match expr {
            Expr::Const(value) => *value,
            Expr::Is(var, value) => values[var.index()] == value.0,
            Expr::Holds(condition) => self.eval(values, &self.conditions[condition.index()]),
            Expr::Not(inner) => !self.eval(values, inner),
            Expr::And(parts) => parts.iter().all(|part| self.eval(values, part)),
            Expr::Or(parts) => parts.iter().any(|part| self.eval(values, part)),
            Expr::Compare(..) => self.eval(values, &lower(self.boat, expr)),
        }
    }

    /// What it takes to set a control to a position, beyond reaching for it.
    pub(crate) fn move_row(&self, var: VarId, to: Value) -> Option<&MoveRow> {
        self.controls[var.index()].as_ref()?.moves.iter().find(|row| row.to == to)
    }

    /// The words of warning that belong to setting a control to a position.
    pub(crate) fn set_cautions(&self, var: VarId, to: Value) -> Vec<CautionId> {
        let VarKind::Control(control) = &self.boat.vars[var].kind else { return Vec::new() };
        let harms = control.harms.iter().filter(|harm| harm.to.is_none() || harm.to == Some(to));
        harms
            .filter_map(|harm| harm.caution)
            .chain(control.limits.iter().filter_map(|limit| limit.caution))
            .collect()
    }

    /// The words of warning that belong to an action.
    pub(crate) fn action_cautions(&self, action: ActionId) -> Vec<CautionId> {
        let row = &self.boat.actions[action];
        let own = row.harms.iter().filter_map(|harm| harm.caution);
        let limits = row.limits.iter().filter_map(|limit| limit.caution);
        let item =
            row.item.iter().flat_map(|item| &self.boat.items[*item].limits).filter_map(|limit| limit.caution);
        own.chain(limits).chain(item).collect()
    }
}

fn turn_rows(boat: &Boat) -> Vec<TurnRow> {
    let rows = boat.states().flat_map(|(var, _, state)| {
        state.turns.iter().enumerate().map(move |(at, turn)| TurnRow {
            var,
            at,
            to: turn.to,
            when: lower(boat, &turn.when),
            after: turn.after.map(millis).filter(|after| *after > 0),
        })
    });
    rows.collect()
}

fn control_row(boat: &Boat, id: VarId, clocks: &mut Vec<Clock>) -> Option<ControlRow> {
    let VarKind::Control(control) = &boat.vars[id].kind else { return None };
    let moves = control.moves.iter().map(|row| MoveRow {
        to: row.to,
        needs: lower(boat, &row.needs),
        takes: row.takes.map_or(0, millis),
    });
    let harms = control.harms.iter().enumerate().map(|(at, harm)| HarmRow {
        thing: Thing::VarHarm(id, at),
        to: harm.to,
        when: lower(boat, &harm.when),
        severity: harm.severity,
    });
    let bounds = bounds(boat, &control.limits, |at| Thing::VarLimit(id, at), Thing::Var(id), clocks);
    Some(ControlRow { moves: moves.collect(), harms: harms.collect(), bounds })
}

fn action_row(boat: &Boat, id: ActionId, clocks: &mut Vec<Clock>) -> ActionRow {
    let action = &boat.actions[id];
    let harms = action.harms.iter().enumerate().map(|(at, harm)| HarmRow {
        thing: Thing::ActionHarm(id, at),
        to: None,
        when: lower(boat, &harm.when),
        severity: harm.severity,
    });
    let mut all = bounds(boat, &action.limits, |at| Thing::ActionLimit(id, at), Thing::Action(id), clocks);
    if let Some(item) = action.item {
        let limits = &boat.items[item].limits;
        all.extend(bounds(boat, limits, |at| Thing::ItemLimit(item, at), Thing::Item(item), clocks));
    }
    ActionRow {
        needs: lower(boat, &action.needs),
        harms: harms.collect(),
        bounds: all,
        takes: action.takes.map(millis),
    }
}

fn bounds(
    boat: &Boat,
    limits: &[Limit],
    thing: impl Fn(usize) -> Thing,
    owner: Thing,
    clocks: &mut Vec<Clock>,
) -> Vec<Bound> {
    let clock = clock_of(limits, owner, clocks);
    let rows = limits.iter().enumerate().map(|(at, limit)| Bound {
        thing: thing(at),
        kind: limit.kind,
        time: Time::try_from(limit.is).map_or(0, millis),
        keeps: keeps(boat, limit),
        clock,
        severity: limit.breach.as_ref().map_or(Some(Severity::Damage), |breach| breach.severity),
    });
    rows.collect()
}

fn keeps(boat: &Boat, limit: &Limit) -> Expr {
    let how = match limit.kind {
        LimitKind::Least | LimitKind::Clear => Compare::AtLeast,
        LimitKind::Most => Compare::AtMost,
        LimitKind::Longest | LimitKind::Rest | LimitKind::Hold => return Expr::Const(true),
    };
    limit.of.as_ref().map_or(Expr::Const(true), |of| bound(boat, of, how, limit.is))
}

/// The clock of an owner of limits; made if any of the limits is a time.
fn clock_of(limits: &[Limit], owner: Thing, clocks: &mut Vec<Clock>) -> u16 {
    let found = clocks.iter().position(|clock| clock.owner == owner);
    let at = found.unwrap_or_else(|| {
        let of = |kind| {
            let times = limits.iter().filter(move |limit| limit.kind == kind);
            times.filter_map(|limit| Time::try_from(limit.is).ok()).map(millis)
        };
        if limits.is_empty() {
            return usize::from(u16::MAX);
        }
        clocks.push(Clock {
            owner,
            longest: of(LimitKind::Longest).min().unwrap_or(0),
            rest: of(LimitKind::Rest).max().unwrap_or(0),
            hold: of(LimitKind::Hold).max().unwrap_or(0),
        });
        clocks.len() - 1
    });
    u16::try_from(at).unwrap_or(u16::MAX)
}

fn dependents(boat: &Boat, turns: &[TurnRow]) -> Vec<Dependents> {
    let mut table = vec![Dependents::default(); boat.vars.len()];
    for (at, turn) in (0u16..).zip(turns) {
        let mut marks = vec![false; boat.vars.len()];
        mark_vars(boat, &turn.when, &mut marks);
        marks[turn.var.index()] = true;
        for (row, _) in table.iter_mut().zip(&marks).filter(|(_, marked)| **marked) {
            let list = if turn.after.is_some() { &mut row.timed } else { &mut row.instant };
            list.push(at);
        }
    }
    for (at, never) in (0u16..).zip(boat.nevers.iter()) {
        let mut marks = vec![false; boat.vars.len()];
        mark_vars(boat, &never.when, &mut marks);
        for (row, _) in table.iter_mut().zip(&marks).filter(|(_, marked)| **marked) {
            row.nevers.push(at);
        }
    }
    table
}

impl Model<'_> {
    /// What must hold so that planning may do it: the needs, no harm, every reading within its limits.
    pub(crate) fn safe(needs: &Expr, harms: &[HarmRow], bounds: &[Bound], to: Option<Value>) -> Expr {
        let harmless = harms
            .iter()
            .filter(|harm| harm.to.is_none() || to.is_none() || harm.to == to)
            .map(|harm| not(harm.when.clone()));
        all([needs.clone()].into_iter().chain(harmless).chain(bounds.iter().map(|bound| bound.keeps.clone())))
    }
}
