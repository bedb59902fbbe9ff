//! The slips that each step allows, after SHERPA's action errors (Embrey 1986): left out, mistimed, repeated, wrong
//! position, right move on the wrong control, too long, too short; a look left out; a wait cut short.

use boat::model::{ActionId, Boat, Id, ItemId, LimitKind, Step, StepKind, Value, VarId, VarKind};
use quantity::Time;

use super::rates::{HELD_ON, LET_GO, Rate, TWICE, Use, WRONG_CONTROL, WRONG_POSITION, omission};
use crate::model::{Model, millis, time};

/// One way of slipping at one step.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum SlipKind {
    /// The step is not done.
    LeftOut,
    /// The look is not taken; what follows is done whatever there was to see.
    LookLeftOut,
    /// The step is done before an earlier one (its place, from zero).
    TooEarly(usize),
    /// The step is done only after a later one (its place, from zero).
    TooLate(usize),
    /// The step and the next one change places.
    Swapped,
    /// The step is done twice.
    Repeated,
    /// The control is set to another position.
    WrongPosition(Value),
    /// The move is made on another control that looks alike, to this position of it.
    WrongControl(VarId, Value),
    /// Another action that is done at the same place on the same thing, or on one alike.
    WrongAction(ActionId),
    /// Held for this long only.
    HeldTooShort(Time),
    /// Held for as long as this.
    HeldTooLong(Time),
    /// Waited for this long only.
    WaitCutShort(Time),
    /// No rest after the run.
    RestLeftOut,
}

impl SlipKind {
    /// The kind without its particulars, for putting like with like.
    pub(super) fn family(&self) -> u8 {
        match self {
            Self::LeftOut => 0,
            Self::LookLeftOut => 1,
            Self::TooEarly(_) => 2,
            Self::TooLate(_) => 3,
            Self::Swapped => 4,
            Self::Repeated => 5,
            Self::WrongPosition(_) => 6,
            Self::WrongControl(..) => 7,
            Self::WrongAction(_) => 8,
            Self::HeldTooShort(_) => 9,
            Self::HeldTooLong(_) => 10,
            Self::WaitCutShort(_) => 11,
            Self::RestLeftOut => 12,
        }
    }
}

/// A slip as it is played: what is done in place of the steps from `at` up to `resume`.
pub(super) struct Played {
    pub(super) step: usize,
    pub(super) kind: SlipKind,
    pub(super) at: usize,
    /// The step of the list that each is, and what is done.
    pub(super) instead: Vec<(usize, StepKind)>,
    pub(super) resume: usize,
    pub(super) rate: Rate,
    pub(super) probability: f64,
}

/// Every slip that a list allows.
pub(super) fn of_list(model: &Model<'_>, steps: &[Step], used: Use) -> Vec<Played> {
    let mut all = Vec::new();
    let omitted = omission(steps.len(), used);
    for step in 0..steps.len() {
        let mut at_step = At { model, steps, step, omitted, all: &mut all };
        at_step.left_out();
        at_step.out_of_order();
        at_step.repeated();
        at_step.wrong_position();
        at_step.wrong_control();
        at_step.wrong_action();
        at_step.wrong_time();
    }
    all
}

struct At<'a, 'm> {
    model: &'a Model<'m>,
    steps: &'a [Step],
    step: usize,
    omitted: Rate,
    all: &'a mut Vec<Played>,
}

impl At<'_, '_> {
    fn kind(&self, step: usize) -> &StepKind {
        &self.steps[step].kind
    }

    fn is_look(&self, step: usize) -> bool {
        matches!(self.kind(step), StepKind::Look { .. })
    }

    /// A slip in which this step alone is done otherwise.
    fn here(&mut self, kind: SlipKind, instead: Vec<StepKind>, rate: Rate, probability: f64) {
        let (step, at) = (self.step, self.step);
        let instead = instead.into_iter().map(|kind| (step, kind)).collect();
        self.all.push(Played { step, kind, at, instead, resume: step + 1, rate, probability });
    }

    fn left_out(&mut self) {
        let kind = if self.is_look(self.step) { SlipKind::LookLeftOut } else { SlipKind::LeftOut };
        self.here(kind, Vec::new(), self.omitted, self.omitted.value);
    }

    /// The handbook has no row for order; together these count as one omission of the step at its place.
    fn out_of_order(&mut self) {
        if self.is_look(self.step) {
            return;
        }
        let (step, last) = (self.step, self.steps.len() - 1);
        let mut orders: Vec<(SlipKind, usize, Vec<usize>, usize)> = Vec::new();
        for early in 0..step.saturating_sub(1) {
            orders.push((
                SlipKind::TooEarly(early),
                early,
                std::iter::once(step).chain(early..step).collect(),
                step + 1,
            ));
        }
        if step < last {
            orders.push((SlipKind::Swapped, step, vec![step + 1, step], step + 2));
        }
        for late in step + 2..=last {
            orders.push((SlipKind::TooLate(late), step, (step + 1..=late).chain([step]).collect(), late + 1));
        }
        let share = self.omitted.value / (orders.len().max(1) as f64);
        for (kind, at, order, resume) in orders {
            let instead = order.into_iter().map(|step| (step, self.kind(step).clone())).collect();
            self.all.push(Played { step, kind, at, instead, resume, rate: self.omitted, probability: share });
        }
    }

    fn repeated(&mut self) {
        if !self.is_look(self.step) {
            let kind = self.kind(self.step).clone();
            self.here(SlipKind::Repeated, vec![kind.clone(), kind], TWICE, TWICE.value);
        }
    }

    fn wrong_position(&mut self) {
        let StepKind::Set { var, to, hold } = *self.kind(self.step) else { return };
        let values = u8::try_from(self.model.boat.vars[var].values.len()).unwrap_or(u8::MAX);
        let wrong: Vec<u8> = (0..values).filter(|value| *value != to.0).collect();
        let share = WRONG_POSITION.value / (wrong.len().max(1) as f64);
        for value in wrong {
            let instead = StepKind::Set { var, to: Value(value), hold };
            self.here(SlipKind::WrongPosition(Value(value)), vec![instead], WRONG_POSITION, share);
        }
    }

    fn wrong_control(&mut self) {
        let StepKind::Set { var, to, hold } = *self.kind(self.step) else { return };
        let alike = alike_controls(self.model, &self.steps[self.step], var, to);
        let share = WRONG_CONTROL.value / (alike.len().max(1) as f64);
        for (other, value) in alike {
            let instead = StepKind::Set { var: other, to: value, hold };
            self.here(SlipKind::WrongControl(other, value), vec![instead], WRONG_CONTROL, share);
        }
    }

    fn wrong_action(&mut self) {
        let StepKind::Do { action, hold, rest } = *self.kind(self.step) else { return };
        let alike = alike_actions(self.model.boat, action);
        let share = WRONG_CONTROL.value / (alike.len().max(1) as f64);
        for other in alike {
            let instead = StepKind::Do { action: other, hold, rest };
            self.here(SlipKind::WrongAction(other), vec![instead], WRONG_CONTROL, share);
        }
    }

    fn wrong_time(&mut self) {
        match self.kind(self.step).clone() {
            StepKind::Set { var, to, hold } => {
                let bounds = self.model.controls[var.index()].as_ref().map_or(&[][..], |row| &row.bounds);
                let longest = longest(bounds);
                self.held(hold, longest.filter(|_| hold.is_some()), |hold| StepKind::Set {
                    var,
                    to,
                    hold: Some(hold),
                });
            }
            StepKind::Do { action, hold, rest } => {
                let row = &self.model.actions[action.index()];
                let longest = longest(&row.bounds);
                self.held(hold, longest, |hold| StepKind::Do { action, hold: Some(hold), rest });
                if rest.is_some() {
                    let instead = StepKind::Do { action, hold, rest: None };
                    self.here(SlipKind::RestLeftOut, vec![instead], self.omitted, self.omitted.value);
                }
            }
            StepKind::Wait { time: whole, until } => {
                let short = time(millis(whole) / 2);
                let instead = StepKind::Wait { time: short, until };
                self.here(SlipKind::WaitCutShort(short), vec![instead], self.omitted, self.omitted.value);
            }
            StepKind::Look { .. } => {}
        }
    }

    /// Half as long; twice as long, or twice the longest run if the step gives no time.
    fn held(&mut self, hold: Option<Time>, longest: Option<u64>, make: impl Fn(Time) -> StepKind) {
        if let Some(hold) = hold {
            let short = time(millis(hold) / 2);
            self.here(SlipKind::HeldTooShort(short), vec![make(short)], LET_GO, LET_GO.value);
        }
        let usual = hold.map(millis).into_iter().chain(longest).max();
        if let Some(usual) = usual {
            let long = time(usual * 2);
            self.here(SlipKind::HeldTooLong(long), vec![make(long)], HELD_ON, HELD_ON.value);
        }
    }
}

fn longest(bounds: &[crate::model::Bound]) -> Option<u64> {
    bounds.iter().filter(|bound| bound.kind == LimitKind::Longest).map(|bound| bound.time).min()
}

fn class(boat: &Boat, item: Option<ItemId>) -> Option<&str> {
    boat.items[item?].class.as_deref()
}

/// Controls at the same place whose things are of the same class, or that have the same positions, with the position
/// that the hand would set them to.
fn alike_controls(model: &Model<'_>, step: &Step, var: VarId, to: Value) -> Vec<(VarId, Value)> {
    let boat = model.boat;
    let row = &boat.vars[var];
    let VarKind::Control(own) = &row.kind else { return Vec::new() };
    let here = boat.step_place(step).or_else(|| boat.control_place(var));
    let mut alike = Vec::new();
    for (other, there, control) in boat.controls() {
        if other == var || here.is_none() || boat.control_place(other) != here {
            continue;
        }
        let same_class =
            class(boat, own.item).is_some() && class(boat, own.item) == class(boat, control.item);
        if !same_class && there.values != row.values {
            continue;
        }
        let name = &row.values[usize::from(to.0)];
        let value = there.values.iter().position(|value| value == name);
        if let Some(value) = value.and_then(|value| u8::try_from(value).ok()) {
            alike.push((other, Value(value)));
        }
    }
    alike
}

/// Actions on the same thing, or at the same place on a thing of the same class.
fn alike_actions(boat: &Boat, action: ActionId) -> Vec<ActionId> {
    let row = &boat.actions[action];
    let others = boat.actions.iter_ids().filter(|(id, other)| {
        let same_item = row.item.is_some() && row.item == other.item;
        let same_class = class(boat, row.item).is_some() && class(boat, row.item) == class(boat, other.item);
        *id != action
            && boat.action_place(action).is_some()
            && boat.action_place(*id) == boat.action_place(action)
            && (same_item || same_class)
    });
    others.map(|(id, _)| id).collect()
}
