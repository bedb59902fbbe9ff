//! "At anchor": how much to let out, whether it is enough, and how far she swings.

mod answer;
mod ask;
mod lying;
mod swinging;

pub use ask::AnchorAsk;

use boat::model::Boat;
use maud::{Markup, html};
use quantity::{Length, System};

use crate::frame::{Aboard, Site, page};
use crate::links::Room;
use crate::tides;
use crate::vessel::Vessel;
use ask::{BOTTOMS, MARGIN};

/// The page: the form, and below it the advice with its drawings.
pub fn anchor_page(site: &Site, vessel: &Vessel, ask: &AnchorAsk) -> String {
    let body = html! {
        div.title {
            h1 { "At anchor" }
            p.lead { "How much to let out, whether it is enough, and how far she swings." }
        }
        (trouble(ask))
        @if vessel.boat.tackle.is_empty() {
            p { "The boat file says nothing of her anchors, so nothing can be worked out. Ask the base." }
        } @else {
            (form(site, vessel, ask))
            @if let (Some(advice), Some(berth)) = (&ask.advice, &ask.berth) { (answer::markup(vessel, ask, berth, advice)) }
            @else { p.soft { "Nothing is worked out until depth and wind are given." } }
            (answer::cautions())
        }
    };
    let aboard = Aboard { slug: &vessel.slug, name: &vessel.boat.particulars.name, room: Room::Anchor };
    page(site, "At anchor", Some(aboard), &body)
}

fn trouble(ask: &AnchorAsk) -> Markup {
    html! {
        @if !ask.faults.is_empty() {
            section.verdict.trouble role="alert" aria-labelledby="trouble" {
                h2 #trouble { "Nothing can be worked out yet" }
                ul.plainly { @for fault in &ask.faults { li { (fault.what) } } }
            }
        }
    }
}

fn form(site: &Site, vessel: &Vessel, ask: &AnchorAsk) -> Markup {
    let boat = &vessel.boat;
    html! {
        form.anchoring.no-print method="get" action=(format!("{}#advice", vessel.link(Room::Anchor))) {
            fieldset {
                legend { "Where do you want to lie?" }
                div.filters {
                    (field(ask, "depth", "Depth now, from the surface (m)", "Add what the sounder leaves out above or below it.", true))
                    (field(ask, "rise", "The tide will still rise (m)", "From the tide table, through the whole stay.", false))
                    (field(ask, "fall", "The tide will still fall (m)", "Below the depth now.", false))
                    (field(ask, "wind", "Strongest wind of the stay, gusts too (kn)", "From the forecast, not the wind of now.", true))
                    (bottoms(ask))
                    @if boat.tackle.len() > 1 { (anchors(boat, ask)) }
                }
                p.hint { "A number alone is metres or knots; \u{201c}15 ft\u{201d} is understood as well. "
                    a href=(tides::stay(site, vessel)) { "Rise and fall from the tide of a station" } }
                p.actions { button type="submit" { "What to let out" } }
            }
        }
    }
}

fn field(ask: &AnchorAsk, key: &'static str, label: &str, hint: &str, needed: bool) -> Markup {
    let wrong = ask.faults.iter().find(|fault| fault.field == key);
    let described = if wrong.is_some() { format!("{key}-hint {key}-wrong") } else { format!("{key}-hint") };
    html! {
        div.field.wrong[wrong.is_some()] {
            label for=(key) { (label) @if !needed { span.soft { ", if any" } } }
            input id=(key) name=(key) type="text" inputmode="decimal" autocomplete="off" value=(ask.value(key))
                required[needed] aria-invalid=[wrong.map(|_| "true")] aria-describedby=(described);
            p.hint id=(format!("{key}-hint")) { (hint) }
            @if let Some(wrong) = wrong { p.wrong-words id=(format!("{key}-wrong")) { (wrong.what) } }
        }
    }
}

fn bottoms(ask: &AnchorAsk) -> Markup {
    html! {
        div.field {
            label for="bottom" { "The bottom" }
            select #bottom name="bottom" {
                option value="" { "Not known" }
                @for (key, name, _) in BOTTOMS { option value=(key) selected[ask.value("bottom") == key] { (name) } }
            }
        }
    }
}

fn anchors(boat: &Boat, ask: &AnchorAsk) -> Markup {
    html! {
        div.field {
            label for="anchor" { "The anchor" }
            select #anchor name="anchor" {
                @for (at, tackle) in boat.tackle.iter().enumerate() {
                    option value=(tackle.id) selected[at == ask.anchor] { (tackle.name) }
                }
            }
        }
    }
}

/// A length rounded up to whole metres, and to whole feet beside it: a hair too much rode or room is harmless.
fn up(length: Length) -> String {
    let up = |size: f64| (size * (1.0 - 1e-9)).ceil();
    let (metres, feet) = (Length::metres(up(length.as_metres())), Length::feet(up(length.as_feet())));
    let text = format!("{} ({})", metres.display(System::Metric), feet.display(System::UsCustomary));
    // A number and its unit stay on one line.
    text.replace(' ', "\u{a0}").replace("\u{a0}(", " (")
}

/// What is left out of the swing: how far beyond it to keep clear.
fn margin_words() -> String {
    format!("{} are added, since nobody knows to a metre where the anchor lies", crate::words::metres(MARGIN))
}
