//! How the engine must be for a topic to be shown, from how the boat stands where its step lists begin and end.

use boat::model::{Activity, Boat, Value, VarId, VarKind};

use crate::played::Played;
use crate::topic::Engine;

/// The states that are so while she is under engine and not while she sails: her engines run.
pub(crate) fn running(boat: &Boat) -> Vec<(VarId, Value)> {
    let mode = |activity| boat.modes.iter().find(|mode| mode.activity == activity);
    let Some(motoring) = mode(Activity::Motoring) else { return Vec::new() };
    let sails = mode(Activity::Sailing).map(|mode| mode.holds.as_slice()).unwrap_or_default();
    let states = motoring.holds.iter().filter(|holds| {
        let var = &boat.vars[holds.var];
        matches!(var.kind, VarKind::State(_)) && holds.value != var.rest && !sails.contains(holds)
    });
    states.map(|holds| (holds.var, holds.value)).collect()
}

/// How the engine must be for these step lists to be gone through by the crew, the first of them first.
///
/// A topic whose first list begins with the engine running needs it; one of which a list leaves it running starts it.
/// Lists for an emergency are not gone through in earnest, so that they must not be among these.
pub(crate) fn of_lists(running: &[(VarId, Value)], lists: &[&Played]) -> Engine {
    let runs = |stand: &[(VarId, Value)]| running.iter().any(|state| stand.contains(state));
    let Some(first) = lists.first() else { return Engine::Either };
    if runs(&first.starts) {
        Engine::Runs
    } else if lists.iter().any(|list| !runs(&list.starts) && runs(&list.ends)) {
        Engine::Starts
    } else {
        Engine::Stopped
    }
}
