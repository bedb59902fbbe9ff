//! The boat's first page: her plan, what is where, and her particulars.

use std::collections::BTreeSet;

use boat::model::{Boat, ItemId, Particulars, PlaceId};
use maud::{Markup, html};

use crate::frame::{Aboard, Site, page};
use crate::known::{self, Known};
use crate::links::{self, Room};
use crate::plan::{self, Sheet};
use crate::vessel::Vessel;
use crate::{find, say, there, words};

/// What is asked of the plan.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct PlanAsk {
    /// The sheet to show, by its name in addresses.
    pub level: Option<String>,
    /// The place to pick out, by its id.
    pub place: Option<String>,
    /// The words of a thing that is looked for.
    pub q: String,
}

/// What the asked words mean on this boat.
struct Answer {
    sheet: Sheet,
    chosen: Option<PlaceId>,
    results: Vec<ItemId>,
    found: BTreeSet<PlaceId>,
}

/// The plan page. An unknown place or sheet is taken as none asked for.
pub fn plan_page(site: &Site, vessel: &Vessel, known: Known<'_>, ask: &PlanAsk) -> String {
    let boat = &vessel.boat;
    let answer = answer(boat, ask);
    let body = html! {
        div.masthead {
            (heading(vessel))
            (search_form(vessel, ask))
        }
        div #live data-live-region {
            p.vh role="status" data-announce { (announce(boat, ask, &answer)) }
            (tabs(boat, vessel, ask, &answer))
            div.chart {
                (drawing(vessel, known, ask, &answer))
                (panel(site, vessel, known, ask, &answer))
            }
        }
        (broken(site, vessel, known))
        (emergency_gear(boat, vessel))
        (particulars(&boat.particulars))
    };
    let aboard = Aboard { slug: &vessel.slug, name: &boat.particulars.name, room: Room::Plan };
    page(site, "Plan", Some(aboard), &body)
}

fn answer(boat: &Boat, ask: &PlanAsk) -> Answer {
    let chosen = ask.place.as_deref().and_then(|id| boat.place(id));
    let results = find::items(boat, &ask.q);
    let found: BTreeSet<PlaceId> = results.iter().map(|id| boat.items[*id].place).collect();
    let asked = ask.level.as_deref().and_then(Sheet::by_key);
    let first = chosen.or_else(|| results.first().map(|id| boat.items[*id].place));
    let sheet = asked
        .or_else(|| first.map(|place| Sheet::of(boat.places[place].level)))
        .unwrap_or_else(|| first_sheet(boat));
    Answer { sheet, chosen, results, found }
}

/// Below if anything is there, for that is where most things are; else the first sheet with a place.
fn first_sheet(boat: &Boat) -> Sheet {
    let drawn = |sheet: &Sheet| !sheet.places(boat).is_empty();
    [Sheet::Below].into_iter().chain(Sheet::ALL).find(drawn).unwrap_or(Sheet::Deck)
}

fn heading(vessel: &Vessel) -> Markup {
    let boat = &vessel.boat.particulars;
    html! {
        div.title {
            h1 { (boat.name) }
            p.lead { (model_words(boat)) @if let Some(built) = boat.built { ", built " (built) } "." }
            p { (vessel.state_line()) }
        }
    }
}

/// "13 m sloop"; the rig besides only if the model does not say it.
pub(crate) fn model_words(boat: &Particulars) -> String {
    if boat.model.to_lowercase().contains(&boat.rig.to_lowercase()) {
        boat.model.clone()
    } else {
        format!("{}, {}", boat.model, boat.rig)
    }
}

fn search_form(vessel: &Vessel, ask: &PlanAsk) -> Markup {
    html! {
        form.search role="search" method="get" action=(links::room(&vessel.slug, Room::Plan)) data-live-form {
            label for="q" { "Find a thing aboard" }
            div.search-line {
                input #q type="search" name="q" value=(ask.q) autocomplete="off" autocapitalize="off"
                    spellcheck="false" aria-describedby="q-hint";
                button type="submit" { "Find" }
            }
            p.hint #q-hint { "In your own words: main switch, loo, fire, flares." }
        }
    }
}

fn announce(boat: &Boat, ask: &PlanAsk, answer: &Answer) -> String {
    if let Some(place) = answer.chosen {
        return format!("{} is shown.", boat.places[place].name);
    }
    if ask.q.trim().is_empty() { String::new() } else { result_words(ask, answer) }
}

fn result_words(ask: &PlanAsk, answer: &Answer) -> String {
    let things = words::capital(&words::count(answer.results.len(), "thing fits", "things fit"));
    format!("{things} \u{201c}{}\u{201d}.", ask.q.trim())
}

fn tabs(boat: &Boat, vessel: &Vessel, ask: &PlanAsk, answer: &Answer) -> Markup {
    let room = links::room(&vessel.slug, Room::Plan);
    html! {
        nav.tabs aria-label="Levels of the boat" {
            @for sheet in Sheet::ALL.into_iter().filter(|sheet| !sheet.places(boat).is_empty()) {
                @let here = answer.found.iter().filter(|place| Sheet::of(boat.places[**place].level) == sheet).count();
                a href=(links::query(&room, &[("level", sheet.key()), ("q", &ask.q)])) data-live
                    aria-current=[(sheet == answer.sheet).then_some("true")] {
                    (sheet.name())
                    @if here > 0 { " " span.tally { (here) span.vh { " found" } } }
                }
            }
        }
    }
}

fn drawing(vessel: &Vessel, known: Known<'_>, ask: &PlanAsk, answer: &Answer) -> Markup {
    let boat = &vessel.boat;
    let room = links::room(&vessel.slug, Room::Plan);
    let broken = known.places(boat);
    let href = |place: PlaceId| {
        let pairs = [("place", boat.places[place].id.as_str()), ("q", ask.q.as_str())];
        format!("{}#there", links::query(&room, &pairs))
    };
    let view = plan::View {
        boat,
        sheet: answer.sheet,
        chosen: answer.chosen,
        found: &answer.found,
        broken: &broken,
        href: &href,
    };
    let key = |drawing: &plan::Drawing, class: &str| {
        html! {
            @if !drawing.numbers.is_empty() {
                ol class=(class) {
                    @for (place, number) in &drawing.numbers {
                        li {
                            a href=(href(*place)) data-live
                                aria-current=[(answer.chosen == Some(*place)).then_some("true")] {
                                span.disc-number { (number) } " " (boat.places[*place].name)
                            }
                        }
                    }
                }
            }
        }
    };
    let (upright, lying) = (plan::draw_upright(&view), plan::draw_lying(&view));
    html! {
        figure.sheet {
            (upright.svg) (key(&upright, "key upright"))
            (lying.svg) (key(&lying, "key lying"))
            @if broken.iter().any(|place| Sheet::of(boat.places[*place].level) == answer.sheet) {
                figcaption.broken-key { (plan::broken_sign()) " Something there is known to be wrong." }
            }
        }
    }
}

fn panel(site: &Site, vessel: &Vessel, known: Known<'_>, ask: &PlanAsk, answer: &Answer) -> Markup {
    let boat = &vessel.boat;
    let class = match (answer.chosen, ask.q.trim().is_empty()) {
        (Some(_), _) => "panel held",
        (None, false) => "panel listing",
        (None, true) => "panel",
    };
    html! {
        section class=(class) aria-label="What is there" {
            @if let Some(place) = answer.chosen {
                (there::there(site, vessel, known, place))
                p.close {
                    a.quiet href=(links::query(&links::room(&vessel.slug, Room::Plan),
                        &[("level", answer.sheet.key()), ("q", &ask.q)])) data-live { "Close" }
                }
            } @else if !ask.q.trim().is_empty() {
                (results(vessel, ask, answer))
            } @else {
                h2.tap { "Tap a place" }
                p.tap { "Each shape is a place aboard. Tap one to see what is there, how to find it and how it is left. "
                    "Small places have a number, named below the drawing." }
                (place_list(boat, vessel, answer.sheet))
            }
        }
    }
}

fn results(vessel: &Vessel, ask: &PlanAsk, answer: &Answer) -> Markup {
    let boat = &vessel.boat;
    let room = links::room(&vessel.slug, Room::Plan);
    html! {
        h2 { (result_words(ask, answer)) }
        @if answer.results.is_empty() {
            p { "Try fewer letters or another word, or look through "
                a href=(links::room(&vessel.slug, Room::Items)) { "everything aboard" } "." }
        }
        ul.results {
            @for id in answer.results.iter().take(12) {
                @let item = &boat.items[*id];
                @let place = &boat.places[item.place];
                li {
                    a.result href=(format!("{}#there", links::query(&room, &[("place", &place.id), ("q", &ask.q)]))) data-live {
                        strong { (item.name) } " "
                        span.soft { (place.name) ", " (words::level(place.level)) }
                    }
                    @if let Some(find) = &item.find { p { (say::prose(boat, find)) } }
                }
            }
        }
        @if answer.results.len() > 12 {
            p { a href=(links::query(&links::room(&vessel.slug, Room::Items), &[("q", &ask.q)])) {
                "See all " (answer.results.len()) } }
        }
    }
}

fn place_list(boat: &Boat, vessel: &Vessel, sheet: Sheet) -> Markup {
    let mut places = sheet.places(boat);
    places.sort_by(|a, b| {
        boat.places[*a].aft.as_metres().total_cmp(&boat.places[*b].aft.as_metres()).then(a.cmp(b))
    });
    html! {
        h3.tap { "Places on this sheet, from the bow" }
        ul.places {
            @for id in places {
                @let things = boat.items.iter().filter(|item| item.place == id).count();
                li { a href=(links::place(&vessel.slug, &boat.places[id].id)) data-live {
                    (boat.places[id].name) @if things > 0 { " " span.soft { (words::count(things, "thing", "things")) } }
                } }
            }
        }
    }
}

/// What is known to be wrong with her, before anybody wonders.
fn broken(site: &Site, vessel: &Vessel, known: Known<'_>) -> Markup {
    let open = known.open();
    let title = words::capital(&words::count(open.len(), "defect is known:", "defects are known:"));
    known::here(site, vessel, &title, &open)
}

fn emergency_gear(boat: &Boat, vessel: &Vessel) -> Markup {
    let gear: Vec<_> = boat.items.iter().filter(|item| item.emergency).collect();
    html! {
        @if !gear.is_empty() {
            section.block aria-labelledby="emergency-gear" {
                h2 #emergency-gear { "Emergency gear" }
                p { "Everyone aboard should be able to reach these in the dark, without asking." }
                ul.gear {
                    @for item in gear {
                        @let place = &boat.places[item.place];
                        li { a href=(links::place(&vessel.slug, &place.id)) data-live {
                            (there::emergency_sign(item)) strong { (item.name) } span.soft { (place.name) }
                        } }
                    }
                }
            }
        }
    }
}

fn particulars(boat: &Particulars) -> Markup {
    let mut rows: Vec<(&str, String)> = vec![
        ("Length over all", words::both_lengths(boat.length)),
        ("Beam", words::both_lengths(boat.beam)),
        ("Draught", words::both_lengths(boat.draught)),
    ];
    if let Some(air) = boat.air_draught {
        rows.push(("Height above water", words::both_lengths(air)));
    }
    rows.push(("Berths", boat.berths.to_string()));
    let texts = [
        ("Engine", &boat.engine),
        ("Batteries", &boat.batteries),
        ("Flag", &boat.flag),
        ("Waters", &boat.waters),
    ];
    rows.extend(texts.into_iter().filter_map(|(name, text)| text.clone().map(|text| (name, text))));
    if let Some(rpm) = boat.most_rpm {
        rows.push(("Highest engine speed", rpm.to_string()));
    }
    html! {
        section.block aria-labelledby="particulars" {
            h2 #particulars { "Her particulars" }
            dl.facts { @for (name, value) in rows { div { dt { (name) } dd { (value) } } } }
            @if !boat.notes.is_empty() { ul.plainly { @for note in &boat.notes { li { (note) } } } }
        }
    }
}
