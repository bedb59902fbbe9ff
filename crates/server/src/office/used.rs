//! The rows of a form for the parts that were used.

use pages::dock::Flaw;
use pages::office::{MORE_ROWS, MOST_ROWS};
use quantity::{Money, Time};
use records::Priced;

use super::base;
use super::stock::{self, Room};
use crate::form::Form;

/// The most pieces in one row.
const MOST: u32 = 999;

/// The longest time that one piece of work takes: thirty days of ten hours.
const LONGEST: Time = Time::hours(300.0);

/// The parts that a form says were used on the boat at this place, each with what it cost: as it was typed, or by the last
/// price. What can't be taken is told by its field.
pub(super) fn parts(room: &Room, form: &Form, at: usize, flaws: &mut Vec<Flaw>) -> Vec<Priced> {
    let rows: usize = form.get("rows").parse().unwrap_or_default();
    (0..rows.min(MOST_ROWS)).filter_map(|row| one(room, form, at, row, flaws)).collect()
}

fn one(room: &Room, form: &Form, at: usize, row: usize, flaws: &mut Vec<Flaw>) -> Option<Priced> {
    let field = |name: &str| format!("{name}-{row}");
    let (part, count) = (form.get(&field("part")), form.get(&field("count")));
    let costs = !form.get(&field("cost")).is_empty();
    // Parts that are expected stand there already; without a number they were not used.
    if count.is_empty() && !costs && (part.is_empty() || room.shelves.name(part).is_some()) {
        return None;
    }
    let name = stock::name(part);
    if name.is_none() {
        flaws.push(Flaw::wrong(&field("part"), "Say which part it is."));
    }
    let number = count.parse().ok().filter(|number| (1..=MOST).contains(number));
    if number.is_none() {
        let words = if count.is_empty() {
            format!("Write how many of \u{201c}{part}\u{201d} were used.")
        } else {
            format!("\u{201c}{count}\u{201d} is no count. Write a whole number from 1 to {MOST}.")
        };
        flaws.push(Flaw::wrong(&field("count"), words));
    }
    let cost = money(form, &field("cost"), flaws);
    let (name, number) = (name?, number?);
    let aboard = (form.get(&field("held")) == "aboard").then_some(at);
    let cost = cost.or_else(|| room.shelves.price_of(&name, number).filter(|_| !costs));
    Some(Priced { pieces: room.pieces(&name, number, aboard), cost })
}

/// An amount of money in a field; what can't be read is told.
pub(super) fn money(form: &Form, field: &str, flaws: &mut Vec<Flaw>) -> Option<Money> {
    base::money(form, field).unwrap_or_else(|words| {
        flaws.push(Flaw::wrong(field, words));
        None
    })
}

/// How long something took; what can't be read is told.
pub(super) fn took(form: &Form, field: &str, flaws: &mut Vec<Flaw>) -> Option<Time> {
    let text = form.get(field);
    if text.is_empty() {
        return None;
    }
    let read = Time::parse(text).ok().filter(|took| *took > Time::ZERO && *took <= LONGEST);
    if read.is_none() {
        let words =
            format!("\u{201c}{text}\u{201d} is no time that work takes. Write it such as 1 h 30 min.");
        flaws.push(Flaw::wrong(field, words));
    }
    read
}

/// The fields again with more rows, if that is what was asked for.
pub(super) fn more(form: &Form) -> Option<Vec<(String, String)>> {
    (!form.get("more").is_empty()).then(|| {
        let rows: usize = form.get("rows").parse().unwrap_or_default();
        let count = (rows.min(MOST_ROWS) + MORE_ROWS).min(MOST_ROWS).to_string();
        let keep = form.pairs().iter().filter(|(field, _)| field != "rows").cloned();
        keep.chain([("rows".to_owned(), count)]).collect()
    })
}
