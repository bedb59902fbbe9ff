//! Lifejackets that fit: an adult's for each adult, and for each child one whose weights include the child's.

use boat::model::Gear;
use quantity::Mass;

use crate::check::{Inquiry, Need, Use, UseState};
use crate::need::{Number, Stock};

/// One jacket that is not given out yet.
struct Jacket {
    line: usize,
    gear: Gear,
    state: UseState,
    free: bool,
}

/// Whether a jacket is known to fit, known not to, or neither.
fn fits(inquiry: &Inquiry, jacket: &Jacket, weight: Mass) -> Option<bool> {
    let line = &inquiry.aboard[jacket.line];
    match (line.fits_from, line.fits_to) {
        // An adult's jacket of which no weights are said is for adults.
        (None, None) => (jacket.gear == Gear::LifejacketAdult).then_some(false),
        (from, to) => {
            let within = from.is_none_or(|from| weight >= from) && to.is_none_or(|to| weight <= to);
            match (within, from.is_some() && to.is_some()) {
                (true, true) => Some(true),
                (true, false) => None,
                (false, _) => Some(false),
            }
        }
    }
}

/// What is aboard for adults and for children, with what there is to say about children for whom nothing fits.
pub(crate) fn lifejackets(stock: &Stock<'_>, inquiry: &Inquiry) -> (Vec<Need>, Vec<String>) {
    let mut jackets = Vec::new();
    for (line, carried) in inquiry.aboard.iter().enumerate() {
        let worn = [Gear::LifejacketAdult, Gear::LifejacketChild];
        if let Some(gear) = worn.into_iter().find(|gear| carried.counts_as.contains(gear)) {
            let state = stock.state(carried, gear);
            jackets.extend((0..carried.count).map(|_| Jacket { line, gear, state, free: true }));
        }
    }
    let mut reasons = Vec::new();
    let mut weights = inquiry.crew.children.clone();
    weights.sort_by(Mass::total_cmp);
    let number = u32::try_from(weights.len()).unwrap_or(u32::MAX);
    let mut children = Need::nothing(&[Gear::LifejacketChild], &Number::just(number));
    children.aboard = count(&jackets, Gear::LifejacketChild, None);
    for weight in &weights {
        give(&mut jackets, inquiry, *weight, &mut children, &mut reasons);
    }
    children.uses = uses(inquiry, Gear::LifejacketChild, stock);
    children.missing = children.short();
    let mut adults = Need::nothing(&[Gear::LifejacketAdult], &Number::just(inquiry.crew.adults));
    adults.aboard = count(&jackets, Gear::LifejacketAdult, None);
    adults.in_date = count(&jackets, Gear::LifejacketAdult, Some(UseState::InDate));
    adults.undated = count(&jackets, Gear::LifejacketAdult, Some(UseState::Undated));
    adults.expired = count(&jackets, Gear::LifejacketAdult, Some(UseState::Expired));
    adults.uses = uses(inquiry, Gear::LifejacketAdult, stock);
    adults.missing = adults.short();
    let needs = if weights.is_empty() { vec![adults] } else { vec![adults, children] };
    (needs, reasons)
}

/// Gives a child a jacket. The lightest child comes first and takes the jacket with the least greatest weight, so that
/// as many children as possible get one.
fn give(
    jackets: &mut [Jacket],
    inquiry: &Inquiry,
    weight: Mass,
    children: &mut Need,
    reasons: &mut Vec<String>,
) {
    let best = |state: UseState, known: Option<bool>| {
        let fitting = jackets.iter().enumerate().filter(|(_, jacket)| {
            jacket.free && jacket.state == state && fits(inquiry, jacket, weight) == known
        });
        let greatest = |jacket: &Jacket| inquiry.aboard[jacket.line].fits_to.unwrap_or(Mass::tonnes(1.0));
        fitting.min_by(|a, b| greatest(a.1).total_cmp(&greatest(b.1))).map(|(at, _)| at)
    };
    let kilograms = weight.to_string();
    if let Some(at) = best(UseState::InDate, Some(true)) {
        jackets[at].free = false;
        children.in_date += 1;
    } else if let Some(at) = best(UseState::InDate, None).or_else(|| best(UseState::Undated, Some(true))) {
        jackets[at].free = false;
        children.undated += 1;
        let name = &inquiry.aboard[jackets[at].line].name;
        reasons.push(format!("Whether “{name}” fits a child of {kilograms}, or is in date, is not said."));
    } else if let Some(at) = best(UseState::Expired, Some(true)) {
        jackets[at].free = false;
        children.expired += 1;
    } else {
        reasons.push(format!("No lifejacket that is left fits a child of {kilograms}."));
    }
}

fn count(jackets: &[Jacket], gear: Gear, state: Option<UseState>) -> u32 {
    let alike = jackets.iter().filter(|jacket| jacket.gear == gear);
    let counted = alike.filter(|jacket| state.is_none_or(|state| jacket.free && jacket.state == state));
    u32::try_from(counted.count()).unwrap_or(u32::MAX)
}

fn uses(inquiry: &Inquiry, gear: Gear, stock: &Stock<'_>) -> Vec<Use> {
    let lines = inquiry.aboard.iter().filter(|line| line.counts_as.contains(&gear));
    lines.map(|line| Use::of(line, stock.state(line, gear))).collect()
}
