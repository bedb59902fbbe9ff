//! The boat's things in words: a position, an expression, why something does not hold.

use boat::model::{Boat, Expr, Id, LimitKind, Operand, Step, StepKind, Thing, Value, VarId};

use crate::model::Model;
use boat::lower::lower;

/// Why an expression does not hold (or, with `wanted` false, why it does): the parts that are to blame,
/// down to values, each as it is.
pub(crate) fn blame(model: &Model<'_>, values: &[u8], what: &Expr, wanted: bool) -> Vec<String> {
    let mut found = Vec::new();
    dig(model, values, what, wanted, &mut found);
    found.dedup();
    found
}

fn dig(model: &Model<'_>, values: &[u8], what: &Expr, wanted: bool, found: &mut Vec<String>) {
    let boat = model.boat;
    let holds = model.eval(values, &lower(boat, what));
    if holds == wanted {
        return;
    }
    match what {
        Expr::Const(_) => {}
        Expr::Is(var, _) => {
            let now = Value(values[var.index()]);
            found.push(format!("`{}`", boat.fact_text(&Expr::Is(*var, now))));
        }
        Expr::Holds(condition) => {
            let row = &boat.conditions[*condition];
            let before = found.len();
            dig(model, values, &row.when, wanted, found);
            if found.len() == before {
                found.push(format!("`{}`{}", row.id, if wanted { " does not hold" } else { " holds" }));
            }
        }
        Expr::Compare(left, _, right) => {
            for side in [left, right] {
                let shown = boat::lower::cases(boat, side)
                    .into_iter()
                    .find(|(guard, _)| model.eval(values, guard))
                    .map(|(_, quantity)| quantity.to_string());
                if let (Some(shown), false) = (shown, matches!(side, Operand::Quantity(_))) {
                    found.push(format!("`{}` is {shown}", boat.operand_text(side)));
                }
            }
        }
        Expr::Not(inner) => dig(model, values, inner, !wanted, found),
        Expr::And(parts) | Expr::Or(parts) => {
            for part in parts {
                dig(model, values, part, wanted, found);
            }
        }
    }
}

/// The words read out at a step.
pub(crate) fn step(boat: &Boat, step: &Step) -> String {
    if let Some(say) = &step.say {
        return say.clone();
    }
    match &step.kind {
        StepKind::Set { var, to, .. } => set(boat, *var, *to),
        StepKind::Do { action, hold, .. } => {
            let name = &boat.actions[*action].name;
            hold.map_or_else(|| format!("{name}."), |hold| format!("{name} for {hold}."))
        }
        StepKind::Look { look, .. } => look.clone(),
        StepKind::Wait { time, .. } => format!("Wait {time}."),
    }
}

/// The words for setting a control.
pub(crate) fn set(boat: &Boat, var: VarId, to: Value) -> String {
    format!("Set {} to {}.", boat.vars[var].name, boat.vars[var].label(to))
}

/// The name of a limit's kind for people.
pub(crate) fn kind_spoken(kind: LimitKind) -> &'static str {
    match kind {
        LimitKind::Longest => "longest run",
        LimitKind::Rest => "rest between two runs",
        LimitKind::Hold => "shortest hold",
        LimitKind::Least => "least reading",
        LimitKind::Most => "highest reading",
        LimitKind::Clear => "clearance",
    }
}

/// The name of a thing for people.
pub(crate) fn thing(boat: &Boat, thing: Thing) -> String {
    match thing {
        Thing::Item(id) | Thing::ItemLimit(id, _) => boat.items[id].name.clone(),
        Thing::Var(id) | Thing::VarHarm(id, _) | Thing::VarLimit(id, _) => boat.vars[id].name.clone(),
        Thing::Action(id) | Thing::ActionHarm(id, _) | Thing::ActionLimit(id, _) => {
            boat.actions[id].name.clone()
        }
        Thing::Procedure(id) | Thing::Step(id, _) => boat.procedures[id].name.clone(),
        Thing::Never(id) => boat.nevers[id].name.clone(),
        Thing::Condition(id) => boat.conditions[id].name.clone(),
        Thing::Reading(id) => boat.readings[id].name.clone(),
        Thing::Caution(id) | Thing::CautionLimit(id, _) => boat.cautions[id].id.clone(),
        Thing::Topic(id) | Thing::TopicLimit(id, _) => boat.topics[id].name.clone(),
        Thing::Place(id) => boat.places[id].name.clone(),
        Thing::Kit(id) => boat.kit[id].name.clone(),
        Thing::Upkeep(id) => boat.upkeep[id].name.clone(),
        Thing::Store(id) => boat.stores[id].name.clone(),
        Thing::Feed(id) => boat.feeds[id].name.clone(),
        Thing::Load(id) => boat.loads[id].name.clone(),
        Thing::Mode(id) => boat.modes[id].name.clone(),
        Thing::Tackle(id) => boat.tackle[id].name.clone(),
        Thing::Fault(id) => boat.faults[id].name.clone(),
        Thing::Particulars => boat.particulars.name.clone(),
    }
}
