//! Words of warning as panels: a sign, a signal word, what to mind and what to do.

use boat::model::{Boat, Caution, CautionId, Hazard, SignalWord, Step, StepKind, Value, VarId, VarKind};
use maud::{Markup, html};

use crate::{say, signs};

/// The cautions that belong to a step: its own, then those of the harms and limits of what is done there.
///
/// Each once, gravest first; among equals in the order in which they are met.
pub fn cautions_at(boat: &Boat, step: &Step) -> Vec<CautionId> {
    let mut all: Vec<CautionId> = step.cautions.clone();
    match &step.kind {
        StepKind::Set { var, to, .. } => all.extend(of_setting(boat, *var, *to)),
        StepKind::Do { action, .. } => {
            let action = &boat.actions[*action];
            all.extend(action.harms.iter().filter_map(|harm| harm.caution));
            all.extend(action.limits.iter().filter_map(|limit| limit.caution));
            let item = action.item.iter().flat_map(|item| &boat.items[*item].limits);
            all.extend(item.filter_map(|limit| limit.caution));
        }
        StepKind::Look { .. } | StepKind::Wait { .. } => {}
    }
    ranked(boat, all)
}

/// The cautions of the harms and limits of setting a control so.
pub(crate) fn of_setting(boat: &Boat, var: VarId, to: Value) -> Vec<CautionId> {
    let VarKind::Control(control) = &boat.vars[var].kind else { return Vec::new() };
    let harms = control.harms.iter().filter(|harm| harm.to.is_none_or(|at| at == to));
    let limits = control.limits.iter().filter_map(|limit| limit.caution);
    harms.filter_map(|harm| harm.caution).chain(limits).collect()
}

/// Each caution once, gravest first.
pub(crate) fn ranked(boat: &Boat, all: impl IntoIterator<Item = CautionId>) -> Vec<CautionId> {
    let mut once: Vec<CautionId> = Vec::new();
    for id in all {
        if !once.contains(&id) {
            once.push(id);
        }
    }
    once.sort_by_key(|id| std::cmp::Reverse(boat.cautions[*id].word));
    once
}

/// Cautions as panels, those of one signal word and one danger together.
pub(crate) fn panels(boat: &Boat, ids: &[CautionId]) -> Markup {
    let mut groups: Vec<(SignalWord, Hazard, Vec<CautionId>)> = Vec::new();
    for id in ids {
        let Caution { word, hazard, .. } = &boat.cautions[*id];
        match groups.iter_mut().find(|(known, danger, _)| (known, danger) == (word, hazard)) {
            Some((_, _, together)) => together.push(*id),
            None => groups.push((*word, *hazard, vec![*id])),
        }
    }
    html! {
        @for (word, hazard, together) in groups {
            (plain_panel(word, hazard, &together.iter().map(|id| say::prose(boat, &boat.cautions[*id].text)).collect::<Vec<_>>()))
        }
    }
}

/// Words of warning that no boat file says, as a panel.
pub(crate) fn plain_panel<T: AsRef<str>>(word: SignalWord, hazard: Hazard, texts: &[T]) -> Markup {
    titled_panel(word, hazard, signs::hazard_word(hazard), texts)
}

/// The same under a title of its own.
pub(crate) fn titled_panel<T: AsRef<str>>(
    word: SignalWord,
    hazard: Hazard,
    title: &str,
    texts: &[T],
) -> Markup {
    html! {
        div class=(signs::signal_class(word)) role="note" {
            p.signal-head {
                (signs::hazard(hazard, word))
                strong { (signs::signal_word(word)) } " "
                span.hazard { (title) }
            }
            div.signal-text { @for text in texts { p { (text.as_ref()) } } }
        }
    }
}
