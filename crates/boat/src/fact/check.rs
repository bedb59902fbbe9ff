//! Names to things: a tree becomes a typed fact, or says which name or kind does not fit.

use quantity::Dimension;

use super::{Fault, Side, Tree, Word};
use crate::diagnostic::nearest;
use crate::format::quoted_list;
use crate::model::{ConditionId, Expr, Operand, ReadingId, Value, VarId};

/// What a name of the boat file stands for in a fact.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Meaning {
    /// A control or state; with the dimension of its quantities, if it has any.
    Var(VarId, Option<Dimension>),
    /// A named fact.
    Condition(ConditionId),
    /// A named quantity and its dimension, if that could be read.
    Reading(ReadingId, Option<Dimension>),
}

/// The values of a control or state by name.
pub(crate) trait ValueNames {
    /// The value names of a control or state, in order.
    fn values(&self, var: VarId) -> &[String];
}

/// What a fact may speak of.
pub(crate) trait Names: ValueNames {
    /// What a name stands for.
    fn meaning(&self, name: &str) -> Option<Meaning>;
    /// All names, for finding the nearest.
    fn all(&self) -> Vec<&str>;
}

/// Resolves a fact; `None` if something does not fit, then there is at least one fault (or one where a control
/// is written that has no sound positions).
pub(crate) fn check(tree: &Tree, names: &dyn Names, faults: &mut Vec<Fault>) -> Option<Expr> {
    match tree {
        Tree::Const(yes) => Some(Expr::Const(*yes)),
        Tree::Name(word) => check_name(word, names, faults),
        Tree::Is { name, values, not } => {
            let var = check_var(name, names, faults)?;
            let values: Vec<Option<Value>> =
                values.iter().map(|value| check_value(name, value, var, names, faults)).collect();
            let mut parts: Vec<Expr> = values
                .into_iter()
                .collect::<Option<Vec<_>>>()?
                .into_iter()
                .map(|value| Expr::Is(var, value))
                .collect();
            let is = if parts.len() == 1 { parts.remove(0) } else { Expr::Or(parts) };
            Some(if *not { Expr::Not(Box::new(is)) } else { is })
        }
        Tree::Compare { left, how, right, at } => {
            let left = check_side(left, names, faults);
            let right = check_side(right, names, faults);
            let ((left, left_is), (right, right_is)) = (left?, right?);
            if let (Some(a), Some(b)) = (left_is, right_is) {
                if a != b {
                    let headline = format!(
                        "{} can't be compared with {}.",
                        capital(&a.with_article()),
                        b.with_article()
                    );
                    faults.push(
                        Fault::new("fact-type", at.clone(), headline)
                            .expected(format!("two quantities of one kind, such as {}", a.example()))
                            .mend(format!("Compare with {}, such as {}.", a.with_article(), a.example())),
                    );
                    return None;
                }
            }
            Some(Expr::Compare(left, *how, right))
        }
        Tree::Not(inner) => check(inner, names, faults).map(|inner| Expr::Not(Box::new(inner))),
        Tree::And(parts) => check_all(parts, names, faults).map(Expr::And),
        Tree::Or(parts) => check_all(parts, names, faults).map(Expr::Or),
    }
}

/// All parts are looked at, so that all their faults are told at once.
fn check_all(parts: &[Tree], names: &dyn Names, faults: &mut Vec<Fault>) -> Option<Vec<Expr>> {
    let parts: Vec<Option<Expr>> = parts.iter().map(|part| check(part, names, faults)).collect();
    parts.into_iter().collect()
}

/// Resolves "name is value".
pub(crate) fn check_assign(
    name: &Word,
    value: &Word,
    names: &dyn Names,
    faults: &mut Vec<Fault>,
) -> Option<(VarId, Value)> {
    let var = check_var(name, names, faults)?;
    check_value(name, value, var, names, faults).map(|value| (var, value))
}

fn check_name(word: &Word, names: &dyn Names, faults: &mut Vec<Fault>) -> Option<Expr> {
    match lookup(word, names, faults)? {
        Meaning::Condition(id) => Some(Expr::Holds(id)),
        Meaning::Var(var, _) => {
            let values = names.values(var);
            let example = values.last().map_or("on", String::as_str);
            faults.push(
                Fault::new(
                    "fact-type",
                    word.at.clone(),
                    format!("\"{}\" is set to a position or value; it is not a fact by itself.", word.text),
                )
                .expected(format!("\"{} is ...\" with {}", word.text, quoted_list(values)))
                .mend(format!("Write \"{} is {example}\".", word.text)),
            );
            None
        }
        Meaning::Reading(_, dimension) => {
            let example = dimension.map_or("1500 rpm", Dimension::example);
            faults.push(
                Fault::new(
                    "fact-type",
                    word.at.clone(),
                    format!("\"{}\" is a quantity; it is not a fact by itself.", word.text),
                )
                .expected("a comparison with <, <=, > or >=")
                .mend(format!("Write \"{} >= {example}\".", word.text)),
            );
            None
        }
    }
}

fn check_var(word: &Word, names: &dyn Names, faults: &mut Vec<Fault>) -> Option<VarId> {
    let (headline, mend) = match lookup(word, names, faults)? {
        Meaning::Var(var, _) => return Some(var),
        Meaning::Condition(_) => (
            format!("\"{}\" is a fact; it has no positions.", word.text),
            format!("Write \"{0}\" or \"not {0}\".", word.text),
        ),
        Meaning::Reading(..) => (
            format!("\"{}\" is a quantity; it has no positions.", word.text),
            format!("Compare it: \"{} >= ...\".", word.text),
        ),
    };
    faults.push(
        Fault::new("fact-type", word.at.clone(), headline)
            .expected("a control or a state before `is`")
            .mend(mend),
    );
    None
}

fn check_value(
    name: &Word,
    value: &Word,
    var: VarId,
    names: &dyn Names,
    faults: &mut Vec<Fault>,
) -> Option<Value> {
    let values = names.values(var);
    let found = values.iter().position(|known| *known == value.text);
    // A control whose positions can't be read is told of where it stands; then no position of it is known.
    if found.is_none() && !values.is_empty() {
        let near = nearest(&value.text, values.iter().map(String::as_str));
        faults.push(
            Fault::new(
                "unknown-value",
                value.at.clone(),
                format!("\"{}\" is never \"{}\".", name.text, value.text),
            )
            .expected(quoted_list(values))
            .near(near)
            .mend(format!("Use one of its values, or add \"{}\" to its list.", value.text)),
        );
    }
    found.map(|at| {
        Value(u8::try_from(at).expect("a control has fewer than 256 positions, checked when it is read"))
    })
}

fn check_side(
    side: &Side,
    names: &dyn Names,
    faults: &mut Vec<Fault>,
) -> Option<(Operand, Option<Dimension>)> {
    let word = match side {
        Side::Quantity(quantity, _) => {
            return Some((Operand::Quantity(*quantity), Some(quantity.dimension())));
        }
        Side::Name(word) => word,
    };
    match lookup(word, names, faults)? {
        Meaning::Reading(id, dimension) => Some((Operand::Reading(id), dimension)),
        Meaning::Var(var, Some(dimension)) => Some((Operand::Var(var), Some(dimension))),
        Meaning::Var(_, None) | Meaning::Condition(_) => {
            faults.push(
                Fault::new(
                    "fact-type",
                    word.at.clone(),
                    format!("\"{}\" has no quantity to compare.", word.text),
                )
                .expected("a reading, or a control or state with `reads`")
                .mend(format!("Give \"{}\" a `reads` table, or compare a reading.", word.text)),
            );
            None
        }
    }
}

fn lookup(word: &Word, names: &dyn Names, faults: &mut Vec<Fault>) -> Option<Meaning> {
    let found = names.meaning(&word.text);
    if found.is_none() {
        faults.push(
            Fault::new("unknown-name", word.at.clone(), format!("Nothing is called \"{}\".", word.text))
                .expected("a control, state, condition or reading of this boat")
                .near(nearest(&word.text, names.all()))
                .mend(format!("Mend the name, or add \"{}\" to the file.", word.text)),
        );
    }
    found
}

fn capital(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map_or_else(String::new, |first| first.to_uppercase().chain(letters).collect())
}
