//! Comparisons of quantities as plain facts: every reading has finitely many cases, so a comparison is a
//! matter of which case holds. Engines ask of a lowered fact only what values and conditions are so; ids must be of
//! the same boat as is handed in.

use crate::model::{Boat, CaseValue, Compare, Expr, Id, Operand, ReadingId, Value, VarId};
use quantity::Quantity;

/// The expression with every comparison written as values and facts: it holds exactly where `expr` does, and has no
/// [`Expr::Compare`] in it. Conditions stay named ([`Expr::Holds`]).
pub fn lower(boat: &Boat, expr: &Expr) -> Expr {
    match expr {
        Expr::Compare(left, how, right) => compare(&cases(boat, left), *how, &cases(boat, right)),
        Expr::Not(inner) => not(lower(boat, inner)),
        Expr::And(parts) => all(parts.iter().map(|part| lower(boat, part))),
        Expr::Or(parts) => any(parts.iter().map(|part| lower(boat, part))),
        plain => plain.clone(),
    }
}

/// `of how is` as values and facts, such as "house voltage at least 12 V".
pub fn bound(boat: &Boat, of: &Operand, how: Compare, is: Quantity) -> Expr {
    compare(&cases(boat, of), how, &[(Expr::Const(true), is)])
}

/// What a side of a comparison can be, and when. The guards exclude each other and cover everything; they hold no
/// comparisons. A control or state without quantities has no cases.
pub fn cases(boat: &Boat, operand: &Operand) -> Vec<(Expr, Quantity)> {
    match operand {
        Operand::Quantity(quantity) => vec![(Expr::Const(true), *quantity)],
        Operand::Var(var) => var_cases(boat, *var),
        Operand::Reading(reading) => reading_cases(boat, *reading),
    }
}

fn var_cases(boat: &Boat, var: VarId) -> Vec<(Expr, Quantity)> {
    let reads = boat.vars[var].reads.iter().flatten();
    (0u8..).zip(reads).map(|(value, quantity)| (Expr::Is(var, Value(value)), *quantity)).collect()
}

fn reading_cases(boat: &Boat, reading: ReadingId) -> Vec<(Expr, Quantity)> {
    let mut found = Vec::new();
    let mut before: Vec<Expr> = Vec::new();
    for case in &boat.readings[reading].cases {
        let when = lower(boat, &case.when);
        let here = all(before.iter().cloned().map(not).chain([when.clone()]));
        match &case.reads {
            CaseValue::Fixed(quantity) => found.push((here, *quantity)),
            CaseValue::Of(var) => found.extend(
                var_cases(boat, *var)
                    .into_iter()
                    .map(|(guard, quantity)| (all([here.clone(), guard]), quantity)),
            ),
        }
        before.push(when);
    }
    found.push((all(before.into_iter().map(not)), boat.readings[reading].otherwise));
    found
}

fn compare(left: &[(Expr, Quantity)], how: Compare, right: &[(Expr, Quantity)]) -> Expr {
    any(left.iter().flat_map(|(here, a)| {
        right
            .iter()
            .filter(move |(_, b)| holds(*a, how, *b))
            .map(move |(there, _)| all([here.clone(), there.clone()]))
    }))
}

/// Whether two quantities compare so; quantities of different kinds never do.
pub fn holds(a: Quantity, how: Compare, b: Quantity) -> bool {
    match how {
        Compare::Less => a < b,
        Compare::AtMost => a <= b,
        Compare::More => a > b,
        Compare::AtLeast => a >= b,
    }
}

/// The opposite, with constants folded.
pub fn not(expr: Expr) -> Expr {
    match expr {
        Expr::Const(value) => Expr::Const(!value),
        Expr::Not(inner) => *inner,
        other => Expr::Not(Box::new(other)),
    }
}

/// All of them, with constants folded.
pub fn all(parts: impl IntoIterator<Item = Expr>) -> Expr {
    let mut kept = Vec::new();
    for part in parts {
        match part {
            Expr::Const(true) => {}
            Expr::Const(false) => return Expr::Const(false),
            Expr::And(inner) => kept.extend(inner),
            other => kept.push(other),
        }
    }
    match kept.len() {
        0 => Expr::Const(true),
        1 => kept.remove(0),
        _ => Expr::And(kept),
    }
}

/// At least one of them, with constants folded.
pub fn any(parts: impl IntoIterator<Item = Expr>) -> Expr {
    let mut kept = Vec::new();
    for part in parts {
        match part {
            Expr::Const(false) => {}
            Expr::Const(true) => return Expr::Const(true),
            Expr::Or(inner) => kept.extend(inner),
            other => kept.push(other),
        }
    }
    match kept.len() {
        0 => Expr::Const(false),
        1 => kept.remove(0),
        _ => Expr::Or(kept),
    }
}

/// Calls `visit` with every control or state that an expression looks at, also through conditions and readings; more
/// than once with one that it looks at more than once.
pub fn vars_of(boat: &Boat, expr: &Expr, visit: &mut impl FnMut(VarId)) {
    match expr {
        Expr::Const(_) => {}
        Expr::Is(var, _) => visit(*var),
        Expr::Holds(condition) => vars_of(boat, &boat.conditions[*condition].when, visit),
        Expr::Compare(left, _, right) => {
            for side in [left, right] {
                match side {
                    Operand::Quantity(_) => {}
                    Operand::Var(var) => visit(*var),
                    Operand::Reading(reading) => reading_vars(boat, *reading, visit),
                }
            }
        }
        Expr::Not(inner) => vars_of(boat, inner, visit),
        Expr::And(parts) | Expr::Or(parts) => {
            for part in parts {
                vars_of(boat, part, visit);
            }
        }
    }
}

fn reading_vars(boat: &Boat, reading: ReadingId, visit: &mut impl FnMut(VarId)) {
    for case in &boat.readings[reading].cases {
        if let CaseValue::Of(var) = &case.reads {
            visit(*var);
        }
        // A trait object, so that the recursion through readings has a finite type.
        let mut again: &mut dyn FnMut(VarId) = visit;
        vars_of(boat, &case.when, &mut again);
    }
}

/// Sets the flags, one for each of `boat.vars`, of the controls and states that an expression looks at; other flags
/// stay as they are.
///
/// # Panics
/// If there are fewer flags than controls and states.
pub fn mark_vars(boat: &Boat, expr: &Expr, marks: &mut [bool]) {
    vars_of(boat, expr, &mut |var| marks[var.index()] = true);
}
