//! Choosing an item of the boat, and photos, in a form.

use maud::{Markup, html};

use super::flaw::Kept;
use super::glance;
use crate::frame::{Site, Viewer};
use crate::vessel::Vessel;
use crate::words;

/// The most bytes of photos that are taken with one form: 12 MB.
pub(crate) const PHOTO_WORDS: &str =
    "Up to 6 photos, 12 MB together. Where they were taken is removed from them.";

/// All items of the boat by place; with the script there is a field to find one by what it is called.
pub(crate) fn item(vessel: &Vessel, kept: &Kept<'_>) -> Markup {
    let boat = &vessel.boat;
    html! {
        div.field data-narrow {
            label for="item" { "What" }
            input.narrow #narrow type="search" autocomplete="off" placeholder="Find it by name" aria-label="Find it by name" hidden data-narrow-by;
            select #item name="item" required aria-describedby=[kept.described("item")] {
                option value="" { "Choose" }
                @for (id, place) in boat.places.iter_ids() {
                    @if boat.items.iter().any(|item| item.place == id) {
                        optgroup label=(place.name) {
                            @for item in boat.items.iter().filter(|item| item.place == id) {
                                option value=(item.id) selected[item.id == kept.get("item")] data-also=[(!item.also.is_empty()).then(|| item.also.join(" "))] { (item.name) }
                            }
                        }
                    }
                }
            }
            (kept.beside("item"))
        }
    }
}

/// What is said of it.
pub(crate) fn said(kept: &Kept<'_>, label: &str) -> Markup {
    html! {
        div.field {
            label for="words" { (label) }
            textarea #words name="words" rows="4" maxlength="2000" required aria-describedby=[kept.described("words")] { (kept.get("words")) }
            (kept.beside("words"))
        }
    }
}

/// Photos to send; those that came with an earlier try of the same form are kept.
pub(crate) fn photos(site: &Site, kept: &Kept<'_>) -> Markup {
    let here: Vec<String> =
        kept.typed.iter().filter(|(field, _)| field == "photo").map(|(_, hash)| hash.clone()).collect();
    let shown = matches!(site.viewer, Viewer::Member { .. });
    html! {
        div.field {
            label for="photos" { "Photos" }
            input #photos type="file" name="photos" accept="image/jpeg,image/png" multiple data-photos;
            p.hint { (PHOTO_WORDS) }
            @for hash in &here { input type="hidden" name="photo" value=(hash); }
            @if !here.is_empty() {
                p { (words::capital(&words::count(here.len(), "photo is", "photos are"))) " kept from before." }
                @if shown { (glance::photos(here.iter().cloned())) }
            }
            (kept.beside("photos"))
        }
    }
}
