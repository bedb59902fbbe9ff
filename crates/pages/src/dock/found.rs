//! Anybody tells that something of a boat is wrong.

use maud::{Markup, html};
use records::{BoatStanding, DefectStanding};

use super::flaw::{Flaw, Kept};
use super::picker;
use crate::frame::{Aboard, Desk, Site, Viewer, desk_page, page, seal};
use crate::links::{self, Room};
use crate::vessel::Vessel;
use crate::{when, words};

/// What was typed into the form, and what is wrong with it.
#[derive(Debug, Clone, Copy, Default)]
pub struct FoundAsk<'a> {
    /// The fields as they came.
    pub typed: &'a [(String, String)],
    /// What is wrong with them.
    pub flaws: &'a [Flaw],
    /// Whether something was told just now.
    pub told: bool,
}

const SEVERITIES: [(&str, &str, &str); 3] = [
    ("cosmetic", "Looks only", "It is seen, and everything works."),
    ("hinders", "Hinders", "Something can't be used, or not as it should be."),
    ("safety", "Safety", "Someone could be hurt, or the boat lost. She can't be handed over with it."),
];

/// The form.
pub fn found_page(
    site: &Site,
    vessel: &Vessel,
    records: Option<&BoatStanding>,
    ask: &FoundAsk<'_>,
) -> String {
    let kept = Kept { typed: ask.typed, flaws: ask.flaws };
    let name = &vessel.boat.particulars.name;
    let chosen = kept.get("item");
    let open: Vec<&DefectStanding> = records
        .into_iter()
        .flat_map(BoatStanding::open_defects)
        .filter(|defect| defect.defect.item == chosen)
        .collect();
    let crew = !matches!(site.viewer, Viewer::Member { .. });
    let body = html! {
        div.title {
            h1 { "What is broken?" }
            p.lead { "Tell what is wrong with " (name) ". The base sees it at once." }
        }
        @if ask.told { (thanks(vessel, kept.get("charter"), kept.get("walk"), crew)) }
        @if crew { p { "If someone is in danger, do not write: call. " a href=(links::alarm(&vessel.slug)) { "What to do in an emergency" } "." } }
        (kept.top("Not taken yet:"))
        form.tell-form method="post" action=(links::found(&vessel.slug)) enctype="multipart/form-data" {
            (seal(site))
            @if !kept.get("charter").is_empty() { input type="hidden" name="charter" value=(kept.get("charter")); }
            @if !kept.get("walk").is_empty() { input type="hidden" name="walk" value=(kept.get("walk")); }
            (picker::item(vessel, &kept))
            (again(site, &open, &kept))
            (picker::said(&kept, "What did you see?"))
            (how_bad(&kept))
            (picker::photos(site, &kept))
            button #tell-button type="submit" { "Tell the base" }
        }
    };
    if crew {
        return page(
            site,
            "What is broken",
            Some(Aboard { slug: &vessel.slug, name, room: Room::Wrong }),
            &body,
        );
    }
    desk_page(site, &format!("What is broken - {name}"), Desk::Defects, &body)
}

fn thanks(vessel: &Vessel, charter: &str, walk: &str, crew: bool) -> Markup {
    html! {
        div.told role="status" {
            p { strong { "It is told. " } @if crew { "The base sees it now. Thank you." } }
            p.actions {
                @if crew { a.button href="/crew" { "Back to your boat" } }
                @else if !charter.is_empty() && !walk.is_empty() { a.button href=(links::walk(charter, walk)) { "Back to the walk" } }
                @else { a.button.plain href=(links::room(&vessel.slug, Room::Plan)) { (vessel.boat.particulars.name) } }
            }
        }
    }
}

/// Whether it is a defect that is known already.
fn again(site: &Site, open: &[&DefectStanding], kept: &Kept<'_>) -> Markup {
    let said = kept.get("again");
    html! {
        @if !open.is_empty() {
            fieldset #again {
                legend { "Is it this one?" }
                @for defect in open {
                    @let id = defect.id().to_string();
                    label.choice.wide { input type="radio" name="again" value=(id) checked[said == id];
                        span { "Yes: " (words::sentence(&defect.defect.words)) " " span.soft { "Found " (when::moment(site, defect.found.when)) "." } } }
                }
                label.choice.wide { input type="radio" name="again" value="new" checked[said == "new"]; span { "No, it is something else" } }
                (kept.beside("again"))
            }
        }
    }
}

fn how_bad(kept: &Kept<'_>) -> Markup {
    html! {
        fieldset {
            legend { "How bad is it?" }
            @for (value, name, meaning) in SEVERITIES {
                label.choice.wide { input type="radio" name="severity" value=(value) required checked[kept.get("severity") == value];
                    span { strong { (name) } ". " (meaning) } }
            }
            (kept.beside("severity"))
        }
    }
}
