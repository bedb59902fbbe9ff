//! A slip in words: in a row of the table, or short.

use boat::model::{Boat, Severity, Step};
use maud::{Markup, html};
use operate::{Back, Class, Rate, Read, Slip, SlipKind};

use super::ask::Outcome;
use crate::vessel::Vessel;
use crate::{links, say, words};

pub(super) fn table(vessel: &Vessel, slips: &[&Slip], with_list: bool) -> Markup {
    html! {
        @if !slips.is_empty() {
            div.scroll tabindex="0" role="region" aria-label="Slips" {
                table.list.slips {
                    thead { tr { th scope="col" { "What slips" } th scope="col" { "What follows" }
                        th scope="col" { "What you see" } th scope="col" { "The way back" } th scope="col" { "How often" } } }
                    tbody { @for slip in slips { (row(vessel, slip, with_list)) } }
                }
            }
        }
    }
}

fn row(vessel: &Vessel, slip: &Slip, with_list: bool) -> Markup {
    let boat = &vessel.boat;
    html! {
        tr {
            th scope="row" {
                @if with_list {
                    a.soft href=(links::steps(&vessel.slug, &boat.procedures[slip.procedure].id)) { (boat.procedures[slip.procedure].name) }
                    br;
                }
                (slip_words(boat, slip))
                p.small.soft { (step_words(boat, slip)) }
            }
            td data-name="What follows" { (follows(boat, slip)) }
            td data-name="What you see" { (seen(boat, slip)) }
            td data-name="The way back" { (first(slip)) (back(boat, &slip.back)) }
            td data-name="How often" { (often(slip)) }
        }
    }
}

/// A slip in a few lines, for the page of its own list.
pub(super) fn short(vessel: &Vessel, slip: &Slip) -> Markup {
    let boat = &vessel.boat;
    html! {
        li {
            p { strong { (slip_words(boat, slip)) } }
            (follows(boat, slip))
            @if let Some(notice) = &slip.noticed { p.soft { "You see: " (say::prose(boat, &notice.words)) } }
        }
    }
}

/// What is done wrong, as a sentence.
fn slip_words(boat: &Boat, slip: &Slip) -> String {
    let at = slip.step + 1;
    match slip.kind {
        SlipKind::LeftOut => format!("Step {at} is left out."),
        SlipKind::LookLeftOut => format!("Nobody looks at step {at}."),
        SlipKind::TooEarly(earlier) => format!("Step {at} is done before step {}.", earlier + 1),
        SlipKind::TooLate(later) => format!("Step {at} is done only after step {}.", later + 1),
        SlipKind::Swapped => format!("Steps {at} and {} change places.", at + 1),
        SlipKind::Repeated => format!("Step {at} is done twice."),
        SlipKind::WrongPosition(to) => {
            let wrong = match &boat.procedures[slip.procedure].steps[slip.step].kind {
                boat::model::StepKind::Set { var, .. } => boat.vars[*var].label(to),
                _ => "another position",
            };
            format!("At step {at} it is set to {wrong}.")
        }
        SlipKind::WrongControl(var, to) => {
            format!(
                "At step {at} the wrong one is taken: {} is set to {}.",
                boat.vars[var].name,
                boat.vars[var].label(to)
            )
        }
        SlipKind::WrongAction(action) => {
            format!("At step {at} the wrong thing is done: {}.", boat.actions[action].name)
        }
        SlipKind::HeldTooShort(time) => format!("Step {at} is held for only {}.", words::time(time)),
        SlipKind::HeldTooLong(time) => format!("Step {at} is held for {}.", words::time(time)),
        SlipKind::WaitCutShort(time) => format!("At step {at} one waits for only {}.", words::time(time)),
        SlipKind::RestLeftOut => format!("After step {at} there is no rest."),
    }
}

fn step_words(boat: &Boat, slip: &Slip) -> String {
    let step: &Step = &boat.procedures[slip.procedure].steps[slip.step];
    format!("Step {}: {}", slip.step + 1, say::step(boat, step))
}

fn follows(boat: &Boat, slip: &Slip) -> Markup {
    let outcome = Outcome::of(slip.class);
    html! {
        p { span class=(outcome.class()) { (outcome.name()) } }
        @for what in &slip.what { p { (say::prose(boat, what)) } }
        @for (var, is, should) in &slip.left {
            p { (boat.vars[*var].name) " is " strong { (boat.vars[*var].label(*is)) } " and should be " (boat.vars[*var].label(*should)) "." }
        }
        @if let (Class::LeftStanding(Some(severity)), Some(threat)) = (slip.class, &slip.threat) {
            p { (match severity { Severity::Injury => "Then one step from someone hurt: ", Severity::Damage => "Then one step from damage: " })
                (say::prose(boat, threat)) }
        }
        @if !slip.world.is_empty() {
            p.soft { "If: "
                @for (at, (var, value)) in slip.world.iter().enumerate() {
                    @if at > 0 { ", " } (boat.vars[*var].name) ": " (boat.vars[*var].label(*value))
                } "." }
        }
    }
}

fn seen(boat: &Boat, slip: &Slip) -> Markup {
    html! {
        @match &slip.noticed {
            Some(notice) => { (say::prose(boat, &notice.words)) " " span.soft { "(at step " (notice.step + 1) ")" } },
            None => span.soft { "Nothing before the end." },
        }
        @if let Some(step) = slip.stopped { p.soft { "The look at step " (step + 1) " stops the list." } }
    }
}

/// What comes before any way back when something has happened already.
fn first(slip: &Slip) -> Markup {
    html! {
        @match slip.class {
            Class::Injury => p { strong { "People first:" } " follow the emergency list that fits, call for help. Only then:" },
            Class::Damage => p { "What is damaged stays so: tell the base. Then:" },
            Class::NoMatter | Class::DoesNotWork | Class::LeftStanding(_) => {}
        }
    }
}

fn back(boat: &Boat, back: &Back) -> Markup {
    match back {
        Back::NotNeeded => html! { "None is needed." },
        Back::ToPromised(steps) => way(boat, steps, "To finish as promised"),
        Back::ToRest(steps) => way(boat, steps, "To bring her to rest"),
        Back::OnceClear { world, steps } => html! {
            p { "Once "
                @for (at, (var, value)) in world.iter().enumerate() {
                    @if at > 0 { ", " } (boat.vars[*var].name) ": " (boat.vars[*var].label(*value))
                } ":" }
            (way(boat, steps, "To finish as promised"))
        },
        Back::Trap => html! { strong { "There is no safe one." } " Stop and call the base." },
        Back::Unknown => html! { "None was found in good time. Stop and call the base." },
    }
}

fn way(boat: &Boat, steps: &[Step], what: &str) -> Markup {
    html! {
        @match steps {
            [] => "Everything stands as it should at the end of the list; what happened is not undone.",
            [step] => { (say::step(boat, step)) },
            steps => details {
                summary { (what) ": " (steps.len()) " steps" }
                ol { @for step in steps { li { (say::step(boat, step)) } } }
            },
        }
    }
}

fn often(slip: &Slip) -> Markup {
    html! {
        span.number-line { (one_in(slip.probability)) }
        @if slip.count > 1 { span.soft { " (" (slip.count) " slips with the same end)" } }
        p.small.soft { (rate_short(&slip.rate)) }
    }
}

/// A probability for people: "about once in 330 times".
fn one_in(probability: f64) -> String {
    if !(probability > 0.0 && probability.is_finite()) {
        return "never counted".to_owned();
    }
    let times = 1.0 / probability;
    let step = if times < 100.0 {
        1.0
    } else if times < 1000.0 {
        10.0
    } else {
        100.0
    };
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "a cast saturates, and a count of times is positive"
    )]
    let rounded = ((times / step + 0.5).floor() * step) as u64;
    format!("about once in {} times", words::grouped(rounded))
}

/// Where a figure comes from, in a few words.
fn rate_short(rate: &Rate) -> String {
    rate.table.map_or_else(|| "A judgement".to_owned(), |table| format!("Handbook table {table}"))
}

/// Where a figure comes from, with its row.
pub(super) fn rate_words(rate: &Rate) -> String {
    let table = rate.table.map_or_else(String::new, |table| format!(", table {table}"));
    let read = match rate.read {
        Read::In(text) => format!("read in {text}"),
        Read::FromMemory => "from memory of the handbook".to_owned(),
        Read::Judged => "a judgement, not from the handbook".to_owned(),
    };
    format!("{} {}{table}; {read}.", rate.says, words::trimmed_small(rate.value))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn chances_are_told_in_times() {
        assert_eq!(one_in(0.003), "about once in 330 times");
        assert_eq!(one_in(0.05), "about once in 20 times");
        assert_eq!(one_in(0.00003), "about once in 33,300 times");
        assert_eq!(one_in(0.0), "never counted");
    }
}
