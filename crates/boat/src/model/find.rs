//! Looking things up in a boat: where a hand stands, what it points at, the harm or limit that a [`Thing`] names.

use super::{
    ActionId, Boat, Breach, Harm, ItemId, Limit, PlaceId, Step, StepKind, Thing, Value, Var, VarId, VarKind,
};

impl Var {
    /// The words of one of its values, such as `ON`.
    ///
    /// # Panics
    /// If it has no such value.
    pub fn label(&self, value: Value) -> &str {
        &self.labels[usize::from(value.0)]
    }
}

impl Boat {
    /// A value for people, such as `House battery switch: ON`.
    pub fn value_words(&self, var: VarId, value: Value) -> String {
        let row = &self.vars[var];
        format!("{}: {}", row.name, row.label(value))
    }

    /// The item that a control or state belongs to.
    pub fn var_item(&self, var: VarId) -> Option<ItemId> {
        match &self.vars[var].kind {
            VarKind::Control(control) => control.item,
            VarKind::State(state) => state.item,
        }
    }

    /// Where a hand must be to set a control; a state has no such place.
    pub fn control_place(&self, var: VarId) -> Option<PlaceId> {
        let VarKind::Control(control) = &self.vars[var].kind else { return None };
        control.place.or_else(|| self.item_place(control.item))
    }

    /// Where a hand must be for an action.
    pub fn action_place(&self, action: ActionId) -> Option<PlaceId> {
        let row = &self.actions[action];
        row.place.or_else(|| self.item_place(row.item))
    }

    /// What a step points at.
    pub fn step_item(&self, step: &Step) -> Option<ItemId> {
        step.item.or_else(|| match &step.kind {
            StepKind::Set { var, .. } => self.var_item(*var),
            StepKind::Do { action, .. } => self.actions[*action].item,
            StepKind::Look { .. } | StepKind::Wait { .. } => None,
        })
    }

    /// Where a hand must be for a step: where the step says, else where its control or action says, else at the item
    /// that it points at.
    pub fn step_place(&self, step: &Step) -> Option<PlaceId> {
        let own = match &step.kind {
            StepKind::Set { var, .. } => match &self.vars[*var].kind {
                VarKind::Control(control) => control.place,
                VarKind::State(_) => None,
            },
            StepKind::Do { action, .. } => self.actions[*action].place,
            StepKind::Look { .. } | StepKind::Wait { .. } => None,
        };
        step.place.or(own).or_else(|| self.item_place(self.step_item(step)))
    }

    fn item_place(&self, item: Option<ItemId>) -> Option<PlaceId> {
        item.map(|item| self.items[item].place)
    }

    /// The harm that a thing names; `None` if it names something else.
    pub fn harm_at(&self, thing: Thing) -> Option<&Harm> {
        match thing {
            Thing::ActionHarm(action, at) => self.actions[action].harms.get(at),
            Thing::VarHarm(var, at) => match &self.vars[var].kind {
                VarKind::Control(control) => control.harms.get(at),
                VarKind::State(_) => None,
            },
            _ => None,
        }
    }

    /// What happens past the limit that a thing names, if the file says it.
    pub fn breach_at(&self, thing: Thing) -> Option<&Breach> {
        self.limit_at(thing)?.breach.as_ref()
    }

    /// The limit that a thing names; `None` if it names something else. What a topic or caution says again is no
    /// limit of its own.
    pub fn limit_at(&self, thing: Thing) -> Option<&Limit> {
        match thing {
            Thing::ItemLimit(item, at) => self.items[item].limits.get(at),
            Thing::ActionLimit(action, at) => self.actions[action].limits.get(at),
            Thing::VarLimit(var, at) => match &self.vars[var].kind {
                VarKind::Control(control) => control.limits.get(at),
                VarKind::State(_) => None,
            },
            _ => None,
        }
    }
}
