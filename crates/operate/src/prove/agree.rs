//! The same limit said with different figures, and limits that can't both be kept: `limits-contradict`,
//! `limits-impossible`, `restates-nothing`.

use std::collections::BTreeMap;

use boat::diagnostic::Diagnostic;
use boat::model::{Boat, ItemId, Limit, LimitKind, Operand, Restated, Thing};
use quantity::Quantity;

use super::at;
use crate::model::Model;
use crate::words;
use boat::lower::holds;

/// A limit with where it is written.
#[derive(Clone, Copy)]
pub(super) struct Written<'a> {
    pub(super) thing: Thing,
    pub(super) limit: &'a Limit,
}

pub(super) fn find(model: &Model<'_>, found: &mut Vec<Diagnostic>) {
    let boat = model.boat;
    let by_item = by_item(boat);
    for (item, all) in &by_item {
        contradictions(boat, *item, all, found);
        impossible(boat, *item, all, found);
    }
    for (id, topic) in boat.topics.iter_ids() {
        restated(boat, &by_item, &topic.restates, |at| Thing::TopicLimit(id, at), found);
    }
    for (id, caution) in boat.cautions.iter_ids() {
        restated(boat, &by_item, &caution.restates, |at| Thing::CautionLimit(id, at), found);
    }
}

/// Every limit that is on an item: its own first, then those of its actions, then those of its controls.
pub(super) fn by_item(boat: &Boat) -> BTreeMap<ItemId, Vec<Written<'_>>> {
    let mut table: BTreeMap<ItemId, Vec<Written<'_>>> = BTreeMap::new();
    for (id, item) in boat.items.iter_ids() {
        for (at, limit) in item.limits.iter().enumerate() {
            table.entry(id).or_default().push(Written { thing: Thing::ItemLimit(id, at), limit });
        }
    }
    for (id, action) in boat.actions.iter_ids() {
        let Some(item) = action.item else { continue };
        for (at, limit) in action.limits.iter().enumerate() {
            table.entry(item).or_default().push(Written { thing: Thing::ActionLimit(id, at), limit });
        }
    }
    for (id, _, control) in boat.controls() {
        let Some(item) = control.item else { continue };
        for (at, limit) in control.limits.iter().enumerate() {
            table.entry(item).or_default().push(Written { thing: Thing::VarLimit(id, at), limit });
        }
    }
    table
}

/// Whether two bounds are the same figure.
pub(super) fn same(a: Quantity, b: Quantity) -> bool {
    a == b || a.to_string() == b.to_string()
}

fn of(limit: &Limit) -> Option<&Operand> {
    limit.of.as_ref()
}

fn contradictions(boat: &Boat, item: ItemId, all: &[Written<'_>], found: &mut Vec<Diagnostic>) {
    for (place, second) in all.iter().enumerate() {
        let first = all[..place].iter().find(|first| {
            first.limit.kind == second.limit.kind
                && of(first.limit) == of(second.limit)
                && !same(first.limit.is, second.limit.is)
        });
        let Some(first) = first else { continue };
        found.push(
            Diagnostic::error(
                "limits-contradict",
                at(boat, second.thing),
                format!(
                    "The {} of {} is {} here and {} there.",
                    words::kind_spoken(second.limit.kind),
                    boat.items[item].name,
                    second.limit.is,
                    first.limit.is
                ),
            )
            .label(format!("{} here, at {}", second.limit.is, words::thing(boat, second.thing)))
            .also(
                at(boat, first.thing),
                format!("{} there, at {}", first.limit.is, words::thing(boat, first.thing)),
            )
            .mend("Find out which is right and say it once, at the item."),
        );
    }
}

fn impossible(boat: &Boat, item: ItemId, all: &[Written<'_>], found: &mut Vec<Diagnostic>) {
    for (low_kind, high_kind) in [(LimitKind::Hold, LimitKind::Longest), (LimitKind::Least, LimitKind::Most)]
    {
        for low in all.iter().filter(|written| written.limit.kind == low_kind) {
            let high = all.iter().find(|high| {
                high.limit.kind == high_kind
                    && (low_kind == LimitKind::Hold || of(high.limit) == of(low.limit))
                    && holds(low.limit.is, boat::model::Compare::More, high.limit.is)
            });
            let Some(high) = high else { continue };
            found.push(
                Diagnostic::error(
                    "limits-impossible",
                    at(boat, low.thing),
                    format!(
                        "The limits of {} can't both be kept: {} {} and {} {}.",
                        boat.items[item].name,
                        words::kind_spoken(low_kind),
                        low.limit.is,
                        words::kind_spoken(high_kind),
                        high.limit.is
                    ),
                )
                .also(at(boat, high.thing), format!("{} = {}", high_kind.word(), high.limit.is))
                .mend("Correct one of the two."),
            );
        }
    }
}

fn restated(
    boat: &Boat,
    by_item: &BTreeMap<ItemId, Vec<Written<'_>>>,
    restates: &[Restated],
    thing: impl Fn(usize) -> Thing,
    found: &mut Vec<Diagnostic>,
) {
    for (place, said) in restates.iter().enumerate() {
        let here = at(boat, thing(place));
        let all = by_item.get(&said.item).map_or(&[][..], Vec::as_slice);
        let like: Vec<&Written<'_>> = all.iter().filter(|written| written.limit.kind == said.kind).collect();
        let name = &boat.items[said.item].name;
        let kind = words::kind_spoken(said.kind);
        let Some(first) = like.first() else {
            found.push(
                Diagnostic::warning(
                    "restates-nothing",
                    here,
                    format!("{name} has no {kind} that could be said again."),
                )
                .mend("Write the limit at the item, or take it out of `restates`."),
            );
            continue;
        };
        if like.iter().any(|written| same(written.limit.is, said.is)) {
            continue;
        }
        found.push(
            Diagnostic::error(
                "limits-contradict",
                here,
                format!("The {kind} of {name} is {} here and {} there.", said.is, first.limit.is),
            )
            .label(format!("{} here, in {}", said.is, words::thing(boat, thing(place))))
            .also(
                at(boat, first.thing),
                format!("{} there, at {}", first.limit.is, words::thing(boat, first.thing)),
            )
            .mend("Find out which is right and say it once, at the item."),
        );
    }
}
