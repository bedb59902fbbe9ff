//! Facts, positions and steps of the boat in words for people.

use boat::model::{Boat, Compare, Expr, Operand, Step, StepKind, Value, VarId};

use quantity::System;

use crate::words;

/// A fact as the parts that must all hold, each in words; none if it always holds.
pub(crate) fn parts(boat: &Boat, fact: &Expr) -> Vec<String> {
    match fact {
        Expr::Const(true) => Vec::new(),
        Expr::And(all) => all.iter().flat_map(|part| parts(boat, part)).collect(),
        other => vec![self::fact(boat, other)],
    }
}

/// A fact in words, without a full stop.
pub(crate) fn fact(boat: &Boat, fact: &Expr) -> String {
    match fact {
        Expr::Const(true) => "always".to_owned(),
        Expr::Const(false) => "never".to_owned(),
        Expr::Is(var, is) => boat.value_words(*var, *is),
        Expr::Holds(condition) => boat.conditions[*condition].name.trim_end_matches('.').to_owned(),
        Expr::Compare(left, how, right) => {
            format!("{} {} {}", words::capital(&operand(boat, left)), compare(*how), operand(boat, right))
        }
        Expr::Not(inner) => match &**inner {
            Expr::Is(var, is) => format!("{}: not {}", boat.vars[*var].name, boat.vars[*var].label(*is)),
            other => format!("not so: {}", nested(boat, other)),
        },
        Expr::And(all) => joined(boat, all, " and "),
        Expr::Or(all) => match same_var(all) {
            Some((var, values)) => {
                let values: Vec<&str> = values.iter().map(|is| boat.vars[var].label(*is)).collect();
                format!("{}: {}", boat.vars[var].name, values.join(" or "))
            }
            None => joined(boat, all, ", or "),
        },
    }
}

/// The control or state that all parts ask about, if it is one, with the values that they name.
fn same_var(all: &[Expr]) -> Option<(VarId, Vec<Value>)> {
    let each: Option<Vec<(VarId, Value)>> = all
        .iter()
        .map(|part| match part {
            Expr::Is(var, value) => Some((*var, *value)),
            _ => None,
        })
        .collect();
    let each = each?;
    let first = each.first()?.0;
    each.iter().all(|(var, _)| *var == first).then(|| (first, each.iter().map(|(_, value)| *value).collect()))
}

fn joined(boat: &Boat, all: &[Expr], word: &str) -> String {
    all.iter().map(|part| nested(boat, part)).collect::<Vec<_>>().join(word)
}

fn nested(boat: &Boat, part: &Expr) -> String {
    match part {
        Expr::And(_) | Expr::Or(_) => format!("({})", fact(boat, part)),
        _ => fact(boat, part),
    }
}

/// A side of a comparison in words.
pub(crate) fn operand(boat: &Boat, side: &Operand) -> String {
    match side {
        Operand::Quantity(quantity) => words::quantity(*quantity),
        Operand::Var(var) => boat.vars[*var].name.clone(),
        Operand::Reading(reading) => boat.readings[*reading].name.clone(),
    }
}

fn compare(how: Compare) -> &'static str {
    match how {
        Compare::Less => "below",
        Compare::AtMost => "at most",
        Compare::More => "above",
        Compare::AtLeast => "at least",
    }
}

/// What the boat file says, for people: its limits filled in, as a sentence.
pub(crate) fn prose(boat: &Boat, text: &str) -> String {
    words::sentence(&boat.say(text, System::Metric))
}

/// The words read out at a step, verb first.
pub(crate) fn step(boat: &Boat, step: &Step) -> String {
    if let Some(say) = &step.say {
        return prose(boat, say);
    }
    match &step.kind {
        StepKind::Set { var, to, .. } => set(boat, *var, *to),
        StepKind::Do { action, .. } => prose(boat, &boat.actions[*action].name),
        StepKind::Look { look, .. } => prose(boat, look),
        StepKind::Wait { time, .. } => format!("Wait {}.", words::time(*time)),
    }
}

/// The words for setting a control.
pub(crate) fn set(boat: &Boat, var: VarId, to: Value) -> String {
    format!("Set the {} to {}.", uncapital(&boat.vars[var].name), boat.vars[var].label(to))
}

/// The first letter small, unless the word is all capitals.
fn uncapital(name: &str) -> String {
    let mut chars = name.chars();
    let Some(first) = chars.next() else { return String::new() };
    if chars.clone().next().is_some_and(char::is_uppercase) {
        return name.to_owned();
    }
    first.to_lowercase().chain(chars).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn boat() -> Boat {
        let compiled = boat::compile("wader.toml", include_str!("../tests/wader.toml"));
        compiled.boat.expect("the test boat compiles")
    }

    fn is(boat: &Boat, var: &str, value: u8) -> Expr {
        Expr::Is(boat.var(var).expect("the test boat has it"), Value(value))
    }

    #[test]
    fn facts_are_told_in_the_words_of_the_boat() {
        let boat = boat();
        let live = Expr::Holds(boat.condition("panel_live").expect("the test boat has it"));
        assert_eq!(fact(&boat, &live), "The panel has current");
        assert_eq!(fact(&boat, &Expr::Not(Box::new(live.clone()))), "not so: The panel has current");
        assert_eq!(fact(&boat, &is(&boat, "house_switch", 1)), "House battery switch: ON");
        let either = Expr::Or(vec![is(&boat, "gas_bottle", 0), is(&boat, "gas_bottle", 1)]);
        assert_eq!(fact(&boat, &either), "Gas bottle: shut or open");
        let both = Expr::And(vec![live, is(&boat, "gas_bottle", 1)]);
        assert_eq!(parts(&boat, &both), ["The panel has current", "Gas bottle: open"]);
        assert!(parts(&boat, &Expr::Const(true)).is_empty());
    }

    #[test]
    fn steps_begin_with_a_verb_and_limits_are_filled_in() {
        let boat = boat();
        let list = boat.procedure("light_stove").expect("the test boat has it");
        assert_eq!(step(&boat, &boat.procedures[list].steps[0]), "Set the gas bottle to open.");
        assert_eq!(prose(&boat, "hold it {burner.hold} or longer"), "Hold it 5 s or longer.");
        assert_eq!(uncapital("VHF radio"), "VHF radio", "a name in capitals stays");
    }

    #[test]
    fn one_stands_where_the_control_is_unless_the_step_says_otherwise() {
        let boat = boat();
        let list = boat.procedure("use_thruster").expect("the test boat has it");
        let place = boat.step_place(&boat.procedures[list].steps[1]);
        assert_eq!(place, boat.place("helm"));
        assert_eq!(boat.step_place(&boat.procedures[list].steps[0]), None, "a look has no place of its own");
    }
}
