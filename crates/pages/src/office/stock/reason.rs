//! Why so many of a part are to be held, in words.

use trace::words::per_cent;

use super::super::stage::upkeep_name;
use super::StockAsk;
use super::shelf::{Shelf, Task};
use crate::words;

/// “3”, or “3 L” of what is counted in litres.
pub(super) fn amount(shelf: &Shelf, count: i64) -> String {
    if shelf.litres { format!("{count}\u{a0}L") } else { count.to_string() }
}

/// How many fail in a charter year: “about 0.4”.
fn wanted(mean: f64) -> String {
    if mean < 0.095 {
        "under 0.1".to_owned()
    } else {
        format!("about {}", words::trimmed_small((mean * 10.0).round() / 10.0))
    }
}

/// The same in a few words.
fn failing(shelf: &Shelf) -> Option<String> {
    let spare = shelf.spare.as_ref()?;
    let mean = wanted(spare.mean);
    Some(match spare.hold {
        0 => format!("{} fail in a charter year.", words::capital(&mean)),
        hold => format!(
            "{} fail in a charter year; with {hold} the chance to run out is {}.",
            words::capital(&mean),
            per_cent(spare.short)
        ),
    })
}

/// How many fail in a charter year, and what follows from it; nothing if no fault wants it.
pub(super) fn failures(shelf: &Shelf) -> Option<String> {
    let spare = shelf.spare.as_ref()?;
    let wanted = wanted(spare.mean);
    if spare.hold == 0 {
        return Some(format!(
            "Failures want {wanted} in a charter year, so none need be held: the chance that one is wanted is {}.",
            per_cent(spare.short)
        ));
    }
    let less = spare
        .short_with_less
        .map_or_else(String::new, |short| format!("; with {} it is {}", spare.hold - 1, per_cent(short)));
    Some(format!(
        "Failures want {wanted} in a charter year. With {} the chance that they do not last is {}{less}.",
        spare.hold,
        per_cent(spare.short)
    ))
}

/// When failures make it time to order; nothing if none need be held.
pub(super) fn lead(shelf: &Shelf) -> Option<String> {
    let at = shelf.spare.as_ref()?.order_at?;
    Some(match at {
        0 => "An order takes two weeks; none is likely to fail meanwhile, so order when none is left."
            .to_owned(),
        at => format!("An order takes two weeks; {at} are enough meanwhile, so order when {at} are left."),
    })
}

/// Upkeep that takes it: “Oil and filter of Whimbrel is due, takes 7 L”.
pub(super) fn task(ask: &StockAsk<'_>, shelf: &Shelf, task: &Task) -> String {
    let hull = ask.hulls[task.hull];
    let line = upkeep_name(&hull.vessel.boat, &hull.vessel.boat.upkeep[task.line]);
    let state = match task.state {
        records::State::Overdue => "overdue",
        records::State::Now => "due",
        records::State::Soon => "due soon",
        records::State::Unknown => "nobody can say when it is due",
        records::State::Later => "not due soon",
    };
    let only = task.only.as_ref().map_or_else(String::new, |only| format!(", {only}"));
    format!(
        "\u{201c}{line}\u{201d} of {} ({state}) takes {}{only}.",
        hull.name(),
        amount(shelf, i64::from(task.count))
    )
}

/// In a few words, for a list: upkeep that is due, then failures.
pub(super) fn short(ask: &StockAsk<'_>, shelf: &Shelf) -> Vec<String> {
    let due = shelf.upkeep.iter().filter(|task| task.counts());
    let mut all: Vec<String> = due.map(|one| task(ask, shelf, one)).collect();
    all.extend(failing(shelf));
    if all.is_empty() {
        let words = if shelf.upkeep.is_empty() {
            "No boat file says what it is for, so Becket can't say how many to hold."
        } else {
            "For upkeep only, and none of that is due within two weeks."
        };
        all.push(words.to_owned());
    }
    all
}

/// What it is for: the things of each boat.
pub(super) fn purpose(ask: &StockAsk<'_>, shelf: &Shelf) -> Vec<String> {
    let of = |at: &usize| {
        let mut items: Vec<&str> =
            shelf.items.iter().filter(|(hull, _)| hull == at).map(|(_, name)| name.as_str()).collect();
        items.sort_unstable();
        items.dedup();
        let name = ask.hulls[*at].name();
        if items.is_empty() { name.to_owned() } else { format!("{name}: {}", items.join(", ")) }
    };
    shelf.hulls().iter().map(of).collect()
}
