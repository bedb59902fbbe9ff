//! Words for people with limits in them: `Run it {bow_thruster.longest} at most.`
//! A limit is written once and printed wherever it is spoken of.

use std::collections::BTreeSet;
use std::ops::Range;

use quantity::{Quantity, System};

use crate::model::{Boat, Limit, LimitKind, VarKind};

/// A piece of prose.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) enum Piece<'t> {
    Text(&'t str),
    Limit { thing: &'t str, kind: &'t str, at: Range<usize> },
    Broken { at: Range<usize> },
}

/// Splits prose at its placeholders.
pub(crate) fn pieces(text: &str) -> Vec<Piece<'_>> {
    let mut pieces = Vec::new();
    let mut at = 0;
    while let Some(open) = text[at..].find(['{', '}']).map(|open| at + open) {
        if open > at {
            pieces.push(Piece::Text(&text[at..open]));
        }
        let close = text[open..].find('}').map_or(text.len(), |close| open + close + 1);
        let inner = text[open..close].strip_prefix('{').and_then(|rest| rest.strip_suffix('}'));
        pieces.push(match inner.and_then(|inner| inner.split_once('.')) {
            Some((thing, kind)) => Piece::Limit { thing, kind, at: open..close },
            None => Piece::Broken { at: open..close },
        });
        at = close;
    }
    if at < text.len() {
        pieces.push(Piece::Text(&text[at..]));
    }
    pieces
}

/// Every `thing.limit` that the boat has.
pub(crate) fn limit_names(boat: &Boat) -> BTreeSet<String> {
    let mut names = BTreeSet::new();
    each_limit(boat, |id, limit| {
        names.insert(format!("{id}.{}", word(limit.kind)));
    });
    names
}

fn each_limit<'b>(boat: &'b Boat, mut f: impl FnMut(&'b str, &'b Limit)) {
    for item in &boat.items {
        item.limits.iter().for_each(|limit| f(&item.id, limit));
    }
    for var in &boat.vars {
        if let VarKind::Control(control) = &var.kind {
            control.limits.iter().for_each(|limit| f(&var.id, limit));
        }
    }
    for action in &boat.actions {
        for limit in &action.limits {
            f(&action.id, limit);
            if let Some(item) = action.item.and_then(|item| boat.items.get(item)) {
                f(&item.id, limit);
            }
        }
    }
    for var in &boat.vars {
        if let VarKind::Control(control) = &var.kind {
            if let Some(item) = control.item.and_then(|item| boat.items.get(item)) {
                control.limits.iter().for_each(|limit| f(&item.id, limit));
            }
        }
    }
}

fn word(kind: LimitKind) -> &'static str {
    kind.word()
}

impl Boat {
    /// The bound of a limit by the id of an item, control or action and the limit's word, such as
    /// ("bow_thruster", "longest"). An item also has the limits of the controls and actions that use it.
    pub fn limit(&self, thing: &str, kind: &str) -> Option<Quantity> {
        let mut found = None;
        each_limit(self, |id, limit| {
            if found.is_none() && id == thing && word(limit.kind) == kind {
                found = Some(limit.is);
            }
        });
        found
    }

    /// Prose with its limits filled in, in the units of `system`. A broken placeholder stays as it is written.
    pub fn say(&self, text: &str, system: System) -> String {
        pieces(text)
            .into_iter()
            .map(|piece| match piece {
                Piece::Text(text) => text.to_owned(),
                Piece::Limit { thing, kind, at } => {
                    self.limit(thing, kind).map_or_else(|| text[at].to_owned(), |bound| bound.display(system))
                }
                Piece::Broken { at } => text[at].to_owned(),
            })
            .collect()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn prose_splits_at_placeholders_and_keeps_every_letter() {
        assert_eq!(
            pieces("a {b.c} d"),
            [Piece::Text("a "), Piece::Limit { thing: "b", kind: "c", at: 2..7 }, Piece::Text(" d")]
        );
        assert_eq!(pieces("{b"), [Piece::Broken { at: 0..2 }]);
        assert_eq!(pieces("b}"), [Piece::Text("b"), Piece::Broken { at: 1..2 }]);
    }
}
