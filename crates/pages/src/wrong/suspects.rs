//! What is suspected, in words, per cent and bars; and what the reckoning does not know.

use maud::{Markup, html};
use trace::{Case, Cause, Suspect, words};

use super::ask::CaseAsk;
use crate::signs;
use crate::vessel::Vessel;
use crate::{caution, links, say};
use boat::model::{Hazard, SignalWord};

/// What is less likely is not shown to a crew.
const LEAST: f64 = 0.02;
/// How many are shown.
const MOST: usize = 5;
/// From so much on, the emergency list of a suspect is shown beside every question.
const WATCH: f64 = 0.05;

/// The likeliest causes, each with a bar.
pub(super) fn section(vessel: &Vessel, ask: &CaseAsk<'_>) -> Markup {
    let suspects: Vec<Suspect> =
        ask.case.suspects().into_iter().filter(|suspect| suspect.chance >= LEAST).take(MOST).collect();
    html! {
        section.block aria-labelledby="suspected" {
            h2 #suspected { "What is suspected" }
            @if suspects.is_empty() { p { "Nothing in particular." } }
            ol.shares.suspects { @for suspect in &suspects { li { (row(vessel, &ask.case, suspect)) } } }
            p.soft.small { "More than one may be so at once; what is unlikely is left out." }
        }
    }
}

fn row(vessel: &Vessel, case: &Case<'_>, suspect: &Suspect) -> Markup {
    let says = words::cause(case, suspect.cause);
    html! {
        span.what { (says) @if let Some(item) = thing(vessel, case, suspect.cause, &says) { span.soft { " (" (item) ")" } } }
        (bar(suspect.chance))
        span.figures { (words::how_sure(suspect.chance)) ", " (words::per_cent(suspect.chance).replace(' ', "\u{a0}")) }
    }
}

/// The item that would have failed, unless its name is said already: two tanks are empty in the same words.
pub(super) fn thing<'v>(
    vessel: &'v Vessel,
    case: &Case<'_>,
    suspected: Cause,
    said: &str,
) -> Option<&'v str> {
    let boat = &vessel.boat;
    let item = case.fault_of(suspected).map(|fault| boat.faults[fault].item)?;
    let name = boat.items[item].name.as_str();
    (!said.to_lowercase().contains(&name.to_lowercase())).then_some(name)
}

/// A bar of a chance; the words stand beside it.
pub(super) fn bar(chance: f64) -> Markup {
    html! {
        svg.share-bar viewBox="0 0 200 8" preserveAspectRatio="none" aria-hidden="true" focusable="false" {
            rect.share-track x="0.5" y="0.5" width="199" height="7" {}
            rect.share x="0.5" y="0.5" width=(format!("{:.1}", 199.0 * chance.clamp(0.0, 1.0))) height="7" {}
        }
    }
}

/// The list to know of while something is suspected that would be an emergency.
pub(super) fn watch(vessel: &Vessel, ask: &CaseAsk<'_>) -> Markup {
    let boat = &vessel.boat;
    let Some((fault, list)) = ask.case.watch_for(WATCH) else { return Markup::default() };
    let (fault, list) = (&boat.faults[fault], &boat.procedures[list]);
    html! {
        div class=(signs::signal_class(SignalWord::Warning)) role="note" {
            p.signal-head {
                (signs::hazard(fault.danger.unwrap_or(Hazard::Gear), SignalWord::Warning))
                strong { (signs::signal_word(SignalWord::Warning)) } " "
                span.hazard { "It may turn into an emergency" }
            }
            div.signal-text {
                p { "It may be this: " (say::prose(boat, &fault.name)) }
                p { "What you would see: " (say::prose(boat, &fault.seen)) }
                p { "If so, stop here and follow " a href=(links::steps(&vessel.slug, &list.id)) { (list.name) } " at once." }
            }
        }
    }
}

/// What the reckoning does not know, for whoever reads it.
pub(super) fn limits(ask: &CaseAsk<'_>) -> Markup {
    html! {
        details.block #limits {
            summary { "How far to trust this" }
            ul.plainly {
                li { "It looks at one or two things being wrong at once. Three or more are left out; "
                    "before the first check they are " (words::per_cent(ask.case.left_out())) " of such cases." }
                li { "How often things fail is judgement, unless the boat file names a source." }
                li { "It goes by your answers. If one of them was a guess, undo it." }
                li { "It knows what the boat file says. What was changed on the boat and not written down, it does not know." }
            }
        }
    }
}

/// Words of danger for a fault that only the base's own people check or mend.
pub(super) fn danger(hazard: Hazard) -> Markup {
    caution::plain_panel(
        SignalWord::Warning,
        hazard,
        &["Only the base's own people check or mend this. Everyone else leaves it alone."],
    )
}
