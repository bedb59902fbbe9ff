//! What was found on the walks of a charter, for signing and for the sheets.

use std::collections::BTreeSet;

use boat::model::PlaceId;
use maud::{Markup, html};
use records::{
    DefectStanding, Known, Look, Looked, Mark, Meter, Moment, Role, Showing, Signed, Stroke, Strokes, Walk,
    Walked,
};

use super::figures::{self, meter_name};
use super::handover::{Handover, Walking};
use super::lack::severity;
use super::stops;
use crate::frame::Site;
use crate::{links, when, words};

/// What hands say of one thing; that they differ, if they do.
pub(crate) fn known<T>(known: Option<&Known<T>>, show: impl Fn(&T) -> String) -> Markup {
    html! {
        @match known {
            None => span.soft { "not done" },
            Some(Known::Agreed(one)) => (show(one)),
            Some(Known::Disputed(all)) => {
                strong { "hands differ: " }
                (all.iter().map(&show).collect::<Vec<_>>().join(" or "))
            }
        }
    }
}

/// Counts by place, a column for each walk.
pub(crate) fn kit(over: &Handover<'_>, walks: &[Walking]) -> Markup {
    let boat = over.boat();
    let found: Vec<Walked> = walks.iter().map(|walk| Walked::of(over.stands, walk.walk())).collect();
    let places: Vec<PlaceId> =
        stops::stops(boat, Walking::Readying).iter().filter_map(|stop| stop.place).collect();
    html! {
        table.list.sheet-kit {
            thead { tr { th scope="col" { "What" } th scope="col" { "Listed" }
                @for walk in walks { th scope="col" { (walk.name()) } } } }
            @for place in places.into_iter().filter(|place| boat.kit.iter().any(|line| line.place == *place)) {
                tbody {
                    tr.group { th colspan=(2 + walks.len()) scope="rowgroup" { (boat.places[place].name) } }
                    @for line in boat.kit.iter().filter(|line| line.place == place) {
                        tr {
                            th scope="row" { (line.name) (kit_notes(over, walks, &line.id)) }
                            td.number data-name="Listed" { (line.count) }
                            @for (walk, walked) in walks.iter().zip(&found) {
                                @let count = walked.counts.get(&line.id);
                                @let short = matches!(count, Some(Known::Agreed(count)) if *count < line.count);
                                td.number data-name=(walk.name()) {
                                    @if short { strong { (known(count, u32::to_string)) " (fewer)" } } @else { (known(count, u32::to_string)) }
                                }
                            }
                        }
                    }
                }
            }
        }
    }
}

fn kit_notes(over: &Handover<'_>, walks: &[Walking], line: &str) -> Markup {
    let said = walks
        .iter()
        .flat_map(|walk| over.stands.counts.get(&(walk.walk(), line.to_owned())).into_iter().flatten());
    html! { @for note in said.filter_map(|one| one.note.as_deref()) { br; span.soft { (words::sentence(note)) } } }
}

/// Meters, a column for each walk.
pub(crate) fn readings(over: &Handover<'_>, walks: &[Walking]) -> Markup {
    let found: Vec<Walked> = walks.iter().map(|walk| Walked::of(over.stands, walk.walk())).collect();
    let there =
        |meter: &Meter| stops::asked(meter) || found.iter().any(|walked| walked.readings.contains_key(meter));
    html! {
        table.list {
            thead { tr { th scope="col" { "Meter" } @for walk in walks { th scope="col" { (walk.name()) } } } }
            tbody {
                @for meter in stops::meters(over.boat()).into_iter().filter(there) {
                    tr {
                        th scope="row" { (meter_name(over, &meter)) }
                        @for (walk, walked) in walks.iter().zip(&found) {
                            td.number data-name=(walk.name()) { (known(walked.readings.get(&meter), |reading| figures::reading(over.boat(), reading))) }
                        }
                    }
                }
            }
        }
    }
}

/// Whether anything was counted on a walk.
pub(crate) fn counted(over: &Handover<'_>, walk: Walking) -> bool {
    over.stands.counts.keys().any(|(at, _)| *at == walk.walk())
}

/// Kit of which a walk found another number than the list has, in words.
pub(crate) fn unlike_the_list(over: &Handover<'_>, walk: Walking) -> Vec<String> {
    let walked = Walked::of(over.stands, walk.walk());
    let mut unlike = Vec::new();
    for line in &over.boat().kit {
        if let Some(Known::Agreed(count)) = walked.counts.get(&line.id) {
            if *count != line.count {
                unlike.push(format!("{}: {count} of {}", line.name, line.count));
            }
        }
    }
    unlike
}

/// What was looked at on a walk: what is not as it should be, and how many are.
pub(crate) fn looks(over: &Handover<'_>, walk: Walking) -> Markup {
    let here = over.stands.looks.iter().filter(|((at, _), _)| *at == walk.walk());
    let all: Vec<(&String, &Looked)> =
        here.flat_map(|((_, item), said)| said.iter().map(move |one| (item, one))).collect();
    let well: BTreeSet<&String> =
        all.iter().filter(|(_, one)| one.look == Look::Ok).map(|(item, _)| *item).collect();
    let bad: Vec<&(&String, &Looked)> = all.iter().filter(|(_, one)| one.look == Look::NotOk).collect();
    html! {
        @if well.is_empty() && bad.is_empty() { p { "Nothing was looked at." } }
        @if !well.is_empty() { p { (words::capital(&words::count(well.len(), "thing", "things"))) " looked at and found OK." } }
        @if !bad.is_empty() {
            ul { @for (item, one) in bad {
                li { strong { (over.item(item)) ": not OK. " } @if let Some(note) = &one.note { (words::sentence(note)) } }
            } }
        }
    }
}

/// Defects that were open at a moment, with their photos.
pub(crate) fn defects(site: &Site, over: &Handover<'_>, at: Moment) -> Markup {
    let open: Vec<&DefectStanding> = over
        .records()
        .into_iter()
        .flat_map(|records| records.defects.values())
        .filter(|defect| {
            defect.found.when <= at
                && (defect.open() || defect.closed.last().is_some_and(|last| last.mark.when > at))
        })
        .collect();
    html! {
        @if open.is_empty() { p { "No defect was known." } } @else {
            ul.known-defects { @for defect in open {
                li {
                    strong { (over.item(&defect.defect.item)) } ": " (words::sentence(&defect.defect.words)) " "
                    span.tag { (severity(defect.severity)) } " "
                    span.soft { "Found " (when::moment(site, defect.found.when)) "." }
                    @if let Some(sails) = defect.let_go(over.charter).last() {
                        " " span { "The manager lets her go with it: " (words::sentence(&sails.reason)) }
                    }
                    (photos(defect.defect.photos.iter().map(ToString::to_string)))
                }
            } }
        }
    }
}

/// Photos as small pictures.
pub(crate) fn photos(hashes: impl Iterator<Item = String>) -> Markup {
    let all: Vec<String> = hashes.collect();
    html! {
        @if !all.is_empty() {
            div.photos { @for (hash, at) in all.iter().zip(1..) {
                a href=(links::photo(hash)) { img src=(links::photo(hash)) alt=(format!("Photo {at}")) loading="lazy"; }
            } }
        }
    }
}

/// What the crew was shown.
pub(crate) fn briefing(over: &Handover<'_>) -> Markup {
    let of = |showing: Option<Showing>| -> Vec<&str> {
        let here = over.boat().topics.iter();
        let said = |id: &str| over.stands.briefed.get(id).map(|shown| shown.showing);
        here.filter(|topic| said(&topic.id) == showing).map(|topic| topic.name.as_str()).collect()
    };
    let all = [
        (Some(Showing::Shown), "The crew did it themselves"),
        (Some(Showing::ToldOnly), "The crew was told"),
        (Some(Showing::Read), "The crew has read it"),
        (Some(Showing::NotDone), "Left out"),
        (None, "Nobody ticked it off"),
    ];
    html! {
        @for (showing, words) in all {
            @let names = of(showing);
            @if !names.is_empty() { p { strong { (words) ": " } (names.join("; ")) "." } }
        }
    }
}

/// Who signed a walk, with what they drew.
pub(crate) fn signatures(site: &Site, over: &Handover<'_>, walk: Walking) -> Markup {
    let signed: Vec<&Signed> =
        over.stands.signed.iter().filter(|one| one.signature.walk == walk.walk()).collect();
    html! {
        @if signed.is_empty() { p { "Nobody has signed." } }
        div.signatures { @for one in signed {
            figure.signature {
                @match &one.signature.strokes {
                    Strokes::Points(strokes) if strokes.iter().all(|stroke| stroke.0.is_empty()) => p.typed-name { (over.names.of(&one.signature.person, over.standing)) },
                    Strokes::Points(strokes) => (drawing(strokes)),
                    Strokes::Picture(hash) => img src=(links::photo(&hash.to_string())) alt="Signature";,
                    Strokes::Removed => p.soft { "What was drawn was removed on request." },
                }
                figcaption {
                    strong { (over.names.of(&one.signature.person, over.standing)) }
                    ", " (signs_as(one.signature.role)) br; (when::moment(site, one.mark.when))
                    @if typed(&one.signature.strokes) { br; "Typed and ticked, not drawn." }
                    @if changed_after(over, walk.walk(), one.mark.when) { br; strong { "Something was changed after this was signed." } }
                }
            }
        } }
    }
}

fn typed(strokes: &Strokes) -> bool {
    matches!(strokes, Strokes::Points(strokes) if strokes.iter().all(|stroke| stroke.0.is_empty()))
}

/// As what somebody signs.
pub(crate) fn signs_as(role: Role) -> &'static str {
    match role {
        Role::Skipper => "skipper of the crew",
        Role::Crew => "of the crew",
        Role::Base => "for the base",
        Role::Manager => "manager of the base",
    }
}

/// Whether anything of a walk was said or corrected after a moment.
fn changed_after(over: &Handover<'_>, walk: Walk, when: Moment) -> bool {
    let later = |mark: &Mark| over.standing.when.get(&mark.content).copied().unwrap_or(mark.when) > when;
    let stands = over.stands;
    let counts = stands
        .counts
        .iter()
        .filter(|((at, _), _)| *at == walk)
        .flat_map(|(_, said)| said)
        .any(|one| later(&one.mark));
    let readings = stands
        .readings
        .iter()
        .filter(|((at, _), _)| *at == walk)
        .flat_map(|(_, said)| said)
        .any(|one| later(&one.mark));
    let looks = stands
        .looks
        .iter()
        .filter(|((at, _), _)| *at == walk)
        .flat_map(|(_, said)| said)
        .any(|one| later(&one.mark));
    counts || readings || looks
}

/// Strokes as a drawing.
fn drawing(strokes: &[Stroke]) -> Markup {
    let low =
        strokes.iter().flat_map(|stroke| &stroke.0).map(|point| point.1).max().unwrap_or_default().max(300);
    html! {
        svg.strokes viewBox=(format!("0 0 1000 {}", u32::from(low) + 20)) role="img" aria-label="Signature" {
            @for stroke in strokes { path d=(path(stroke)) {} }
        }
    }
}

fn path(stroke: &Stroke) -> String {
    let step = |(at, (x, y)): (usize, &(u16, u16))| format!("{}{x} {y}", if at == 0 { "M" } else { "L" });
    let path: String = stroke.0.iter().enumerate().map(step).collect();
    match stroke.0.as_slice() {
        // A point alone draws nothing; a dot is a line of no length with round ends.
        [(x, y)] => format!("{path}L{x} {y}"),
        _ => path,
    }
}
