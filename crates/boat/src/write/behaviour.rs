//! Controls, states, facts, readings, actions, never-states.

use super::{Inline, Out, ids, quantity_text, quoted};
use crate::model::{Boat, CautionId, Expr, Harm, Limit, Operand, Severity, Value, Var, Who};

pub(super) fn who_word(who: Who) -> &'static str {
    match who {
        Who::Crew => "crew",
        Who::Skipper => "skipper",
        Who::Base => "base",
    }
}

fn severity_word(severity: Severity) -> &'static str {
    match severity {
        Severity::Damage => "damage",
        Severity::Injury => "injury",
    }
}

fn caution(boat: &Boat, id: Option<CautionId>) -> Option<&str> {
    id.map(|id| boat.cautions[id].id.as_str())
}

fn value(var: &Var, value: Value) -> &str {
    &var.values[usize::from(value.0)]
}

/// A fact, unless it says nothing.
pub(super) fn fact(boat: &Boat, expr: &Expr) -> Option<String> {
    (*expr != Expr::Const(true)).then(|| boat.fact_text(expr))
}

fn harms(boat: &Boat, var: Option<&Var>, harms: &[Harm], out: &mut Out) {
    let rows: Vec<Inline> = harms
        .iter()
        .map(|harm| {
            let to = var.and_then(|var| harm.to.map(|to| value(var, to)));
            Inline::default()
                .maybe("to", to)
                .set("when", &boat.fact_text(&harm.when))
                .set("severity", severity_word(harm.severity))
                .set("what", &harm.what)
                .maybe("seen", harm.seen.as_deref())
                .maybe("caution", caution(boat, harm.caution))
        })
        .collect();
    out.rows("harms", &rows);
}

pub(super) fn limits(boat: &Boat, limits: &[Limit], out: &mut Out) {
    let rows: Vec<Inline> = limits
        .iter()
        .map(|limit| {
            let of = limit.of.as_ref().and_then(|of| match of {
                Operand::Var(id) => Some(boat.vars[*id].id.as_str()),
                Operand::Reading(id) => Some(boat.readings[*id].id.as_str()),
                Operand::Quantity(_) => None,
            });
            let mut row = Inline::default()
                .set("kind", limit.kind.word())
                .set("is", &quantity_text(limit.is))
                .maybe("of", of);
            if let Some(breach) = &limit.breach {
                let inner = Inline::default()
                    .maybe("severity", breach.severity.map(severity_word))
                    .set("what", &breach.what)
                    .maybe("seen", breach.seen.as_deref());
                row = row.raw("breach", &inner.text());
            }
            row.maybe("caution", caution(boat, limit.caution)).maybe("source", limit.source.as_deref())
        })
        .collect();
    out.rows("limits", &rows);
}

/// What controls and states have in common. Only labels that say more than the value itself are written.
fn var(var: &Var, key: &str, out: &mut Out) {
    out.texts(key, &var.values);
    let labels =
        var.values.iter().zip(&var.labels).filter(|(value, label)| **label != value.replace('_', " "));
    by_value("labels", labels.map(|(value, label)| (value, label.clone())), out);
    out.text("rest", value(var, var.rest));
    if let Some(reads) = &var.reads {
        by_value("reads", var.values.iter().zip(reads.iter().map(|read| quantity_text(*read))), out);
    }
    let tell = var.values.iter().zip(&var.tell).filter_map(|(value, tell)| Some((value, tell.clone()?)));
    by_value("tell", tell, out);
}

fn by_value<'v>(key: &str, entries: impl Iterator<Item = (&'v String, String)>, out: &mut Out) {
    let entries: Vec<String> = entries.map(|(value, text)| format!("{value} = {}", quoted(&text))).collect();
    if !entries.is_empty() {
        out.raw(key, &format!("{{ {} }}", entries.join(", ")));
    }
}

pub(super) fn controls(boat: &Boat, out: &mut Out) {
    for (_, row, control) in boat.controls() {
        out.heading("controls", &row.id);
        out.text("name", &row.name);
        out.maybe("item", control.item.map(|id| boat.items[id].id.as_str()));
        out.maybe("place", control.place.map(|id| boat.places[id].id.as_str()));
        var(row, "positions", out);
        let moves: Vec<Inline> = control
            .moves
            .iter()
            .map(|change| {
                Inline::default()
                    .set("to", value(row, change.to))
                    .maybe("needs", fact(boat, &change.needs).as_deref())
                    .maybe("fails", change.fails.as_deref())
                    .shown("takes", change.takes.as_ref())
            })
            .collect();
        out.rows("moves", &moves);
        harms(boat, Some(row), &control.harms, out);
        limits(boat, &control.limits, out);
        out.maybe("source", row.source.as_deref());
    }
}

pub(super) fn states(boat: &Boat, out: &mut Out) {
    for (_, row, state) in boat.states() {
        out.heading("states", &row.id);
        out.text("name", &row.name);
        out.maybe("item", state.item.map(|id| boat.items[id].id.as_str()));
        out.yes("given", state.given);
        var(row, "values", out);
        let turns: Vec<Inline> = state
            .turns
            .iter()
            .map(|turn| {
                Inline::default()
                    .set("to", value(row, turn.to))
                    .set("when", &boat.fact_text(&turn.when))
                    .shown("after", turn.after.as_ref())
                    .maybe("seen", turn.seen.as_deref())
            })
            .collect();
        out.rows("turns", &turns);
        out.maybe("source", row.source.as_deref());
    }
}

pub(super) fn conditions(boat: &Boat, out: &mut Out) {
    for condition in &boat.conditions {
        out.heading("conditions", &condition.id);
        out.text("name", &condition.name);
        out.text("when", &boat.fact_text(&condition.when));
        out.texts("items", &ids(&boat.items, &condition.items, |row| &row.id));
        out.maybe("symptom", condition.symptom.as_deref());
        out.maybe("look", condition.look.as_deref());
        out.maybe("source", condition.source.as_deref());
    }
}

pub(super) fn readings(boat: &Boat, out: &mut Out) {
    for reading in &boat.readings {
        out.heading("readings", &reading.id);
        out.text("name", &reading.name);
        let cases: Vec<Inline> = reading
            .cases
            .iter()
            .map(|case| {
                Inline::default()
                    .set("when", &boat.fact_text(&case.when))
                    .set("reads", &boat.case_text(&case.reads))
            })
            .collect();
        if cases.is_empty() {
            out.raw("cases", "[]");
        }
        out.rows("cases", &cases);
        out.text("otherwise", &quantity_text(reading.otherwise));
    }
}

pub(super) fn actions(boat: &Boat, out: &mut Out) {
    for action in &boat.actions {
        out.heading("actions", &action.id);
        out.text("name", &action.name);
        out.maybe("item", action.item.map(|id| boat.items[id].id.as_str()));
        out.maybe("place", action.place.map(|id| boat.places[id].id.as_str()));
        out.maybe("needs", fact(boat, &action.needs).as_deref());
        out.maybe("fails", action.fails.as_deref());
        out.texts("makes", &action.makes.iter().map(|assign| boat.assign_text(assign)).collect::<Vec<_>>());
        out.shown("takes", action.takes.as_ref());
        out.maybe("tell", action.tell.as_deref());
        out.text("who", who_word(action.who));
        harms(boat, None, &action.harms, out);
        limits(boat, &action.limits, out);
        out.maybe("source", action.source.as_deref());
    }
}

pub(super) fn nevers(boat: &Boat, out: &mut Out) {
    for never in &boat.nevers {
        out.heading("never", &never.id);
        out.text("name", &never.name);
        out.text("when", &boat.fact_text(&never.when));
        out.text("severity", severity_word(never.severity));
        out.text("what", &never.what);
        out.maybe("seen", never.seen.as_deref());
        out.maybe("caution", caution(boat, never.caution));
    }
}
