//! All charters by week, and the form in which one is planned or changed.

use jiff::Span;
use jiff::civil::Date;
use maud::{Markup, html};
use records::{CharterId, Life, Plan, Stage};

use super::stage::{self, Hull, Trip};
use crate::dock::{Flaw, Kept, Names};
use crate::frame::{Desk, Role, Site, desk_page, seal};
use crate::{links, when, words};

/// Which charters are asked for.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct ChartersAsk {
    /// The boat's part of the address; all if empty.
    pub boat: String,
    /// The word of a stage; all if empty.
    pub stage: String,
    /// `past` for those that are over; else what comes, and the last week.
    pub when: String,
}

/// The words of stages in addresses, and as people say them.
const STAGES: [(&str, &str); 6] = [
    ("planned", "Planned"),
    ("ready", "Ready"),
    ("out", "Out"),
    ("back", "Back, not settled"),
    ("settled", "Settled"),
    ("cancelled", "Cancelled"),
];

fn is_at(life: Life, word: &str) -> bool {
    match word {
        "planned" => life == Life::At(Stage::Planned),
        "ready" => life == Life::At(Stage::Readied),
        "out" => matches!(life, Life::At(Stage::CheckedOut | Stage::Out)),
        "back" => life == Life::At(Stage::HandedBack),
        "settled" => life == Life::At(Stage::Settled),
        "cancelled" => life == Life::Cancelled,
        _ => true,
    }
}

/// The most charters that are listed at once.
const MOST: usize = 500;

/// The names of the charters that the list shows.
pub fn charters_listed(site: &Site, hulls: &[Hull<'_>], ask: &ChartersAsk) -> Vec<CharterId> {
    listed(site, hulls, ask).iter().take(MOST).map(|trip| trip.id.clone()).collect()
}

fn listed<'a>(site: &Site, hulls: &[Hull<'a>], ask: &ChartersAsk) -> Vec<Trip<'a>> {
    let past = ask.when == "past";
    let today = when::zoned(site, site.now).date();
    // A base has years of charters: their ends are compared as moments, without a calendar.
    let week_ago = today.checked_sub(Span::new().days(7)).unwrap_or(today);
    let since = week_ago.to_zoned(site.zone.clone()).map_or(0, |start| start.timestamp().as_millisecond());
    let wanted = |trip: &Trip<'a>| {
        let over = matches!(trip.stands.life, Life::Cancelled | Life::At(Stage::Settled))
            && trip.times().1.milliseconds() < since;
        (ask.boat.is_empty() || ask.boat == trip.hull.vessel.slug)
            && is_at(trip.stands.life, &ask.stage)
            && over == past
    };
    let mut trips: Vec<Trip<'a>> = hulls.iter().flat_map(|hull| hull.trips()).filter(wanted).collect();
    trips.sort_by_key(super::stage::Trip::times);
    if past {
        trips.reverse();
    }
    trips
}

/// The list.
pub fn charters_page(site: &Site, hulls: &[Hull<'_>], names: &Names, ask: &ChartersAsk) -> String {
    let past = ask.when == "past";
    let all = listed(site, hulls, ask);
    let trips = &all[..all.len().min(MOST)];
    let body = html! {
        div.title {
            h1 { "Charters" }
            @if site.may(Role::Skipper) { p { a.button href=(links::NEW_CHARTER) { "Plan a charter" } " " a.button.plain href=(links::IMPORT) { "Read charters from a file" } } }
        }
        (filter(hulls, ask))
        p.tabs-line {
            @if past { a.quiet href=(links::CHARTERS) { "What comes" } } @else { a.quiet href={ (links::CHARTERS) "?when=past" } { "Those that are over" } }
        }
        @if trips.is_empty() { p { "There is no such charter." } } @else { (weeks(site, names, trips)) }
        @if all.len() > MOST { p.notice { "There are more: the " @if past { "latest " } @else { "next " } (MOST) " are shown. Choose a boat to see hers." } }
    };
    desk_page(site, "Charters", Desk::Charters, &body)
}

fn filter(hulls: &[Hull<'_>], ask: &ChartersAsk) -> Markup {
    html! {
        form.filter method="get" action=(links::CHARTERS) {
            (stage::boat_choice(hulls, &ask.boat))
            div.field { label for="stage" { "Stands" }
                select #stage name="stage" {
                    option value="" { "All" }
                    @for (word, name) in STAGES { option value=(word) selected[ask.stage == word] { (name) } }
                }
            }
            @if !ask.when.is_empty() { input type="hidden" name="when" value=(ask.when); }
            button.plain type="submit" { "Show" }
        }
    }
}

/// The Monday of a day's week.
fn monday(date: Date) -> Date {
    let back = i32::from(date.weekday().to_monday_zero_offset());
    date.checked_sub(Span::new().days(back)).unwrap_or(date)
}

fn weeks(site: &Site, names: &Names, trips: &[Trip<'_>]) -> Markup {
    let week = |trip: &Trip<'_>| monday(when::zoned(site, trip.times().0).date());
    html! {
        @for one in trips.chunk_by(|one, other| week(one) == week(other)) {
            section.week {
                h2 { "Week of " (when::day(site, week(&one[0]))) }
                table.list {
                    thead { tr { th scope="col" { "Boat" } th scope="col" { "From" } th scope="col" { "Until" } th scope="col" { "Crew" } th scope="col" { "Stands" } } }
                    tbody { @for trip in one {
                        @let (from, until) = trip.times();
                        tr {
                            th scope="row" { a href=(links::charter(trip.id.as_str())) { (trip.hull.name()) } }
                            td data-name="From" { (when::moment(site, from)) }
                            td data-name="Until" { (when::moment(site, until)) }
                            td data-name="Crew" { (trip.crew(names)) }
                            td { span.tag { (stage::life(trip.stands.life)) } }
                        }
                    } }
                }
            }
        }
    }
}

/// What was typed into the form of a plan, and what is wrong with it.
#[derive(Debug, Clone, Copy, Default)]
pub struct PlanForm<'a> {
    /// The fields as they came.
    pub typed: &'a [(String, String)],
    /// What is wrong with them.
    pub flaws: &'a [Flaw],
}

/// The form for a new charter.
pub fn new_charter_page(site: &Site, boats: &[(String, String)], form: &PlanForm<'_>) -> String {
    let kept = Kept { typed: form.typed, flaws: form.flaws };
    let body = html! {
        div.title { h1 { "Plan a charter" } }
        (kept.top("Not planned yet:"))
        form.tell-form method="post" action=(links::NEW_CHARTER) {
            (seal(site))
            div.field {
                label for="boat" { "Boat" }
                select #boat name="boat" required aria-describedby=[kept.described("boat")] {
                    option value="" { "Choose" }
                    @for (slug, name) in boats { option value=(slug) selected[kept.get("boat") == slug] { (name) } }
                }
                (kept.beside("boat"))
            }
            (times(&kept))
            div.field {
                label for="name" { "Who booked" }
                input #name name="name" type="text" maxlength="120" required autocomplete="off" value=(kept.get("name")) aria-describedby=[kept.described("name")];
                (kept.beside("name"))
                p.hint { "The name is kept apart from the records, so that it can be removed." }
            }
            (asked_again(&kept))
            button #plan-button type="submit" { "Plan it" }
        }
    };
    desk_page(site, "Plan a charter", Desk::Charters, &body)
}

/// The form in which the plan of a charter is changed.
pub(crate) fn change_form(site: &Site, charter: &str, form: &PlanForm<'_>) -> Markup {
    let kept = Kept { typed: form.typed, flaws: form.flaws };
    html! {
        (kept.top("Not changed yet:"))
        form.tell-form method="post" action=(links::charter_part(charter, "change")) {
            (seal(site))
            (times(&kept))
            (asked_again(&kept))
            button #change-button type="submit" { "Change it" }
        }
        p.hint { "For another boat, cancel this charter and plan it anew: each boat has her own records." }
    }
}

fn times(kept: &Kept<'_>) -> Markup {
    let end = |name: &str, title: &str| {
        let (day, time) = (format!("{name}_day"), format!("{name}_time"));
        html! {
            fieldset.when-field {
                legend { (title) }
                div.field { label for=(day) { "Day" }
                    input id=(day) name=(day) type="date" required value=(kept.get(&day)) aria-describedby=[kept.described(&day)]; }
                div.field { label for=(time) { "Time" }
                    input id=(time) name=(time) type="time" required value=(kept.get(&time)) aria-describedby=[kept.described(&time)]; }
                (kept.beside(&day)) (kept.beside(&time))
            }
        }
    };
    html! {
        (end("from", "The crew has her from"))
        (end("until", "Until"))
        div.field {
            label for="crew" { "How many people sail (empty as long as you don't know)" }
            input #crew name="crew" type="number" min="1" max="99" inputmode="numeric" value=(kept.get("crew")) aria-describedby=[kept.described("crew")];
            (kept.beside("crew"))
        }
    }
}

/// The question whether two charters of one boat at one time are meant.
fn asked_again(kept: &Kept<'_>) -> Markup {
    html! {
        @if kept.flaw("overlap").is_some() {
            div.field {
                (kept.beside("overlap"))
                label.tick { input type="checkbox" name="overlap" value="yes"; "Plan it all the same" }
            }
        }
    }
}

/// The fields of a plan as they are typed.
pub fn typed_plan(site: &Site, plan: &Plan) -> Vec<(String, String)> {
    let mut fields = Vec::from_iter(plan.crew.map(|crew| ("crew".to_owned(), crew.to_string())));
    for (name, at) in [("from", plan.from), ("until", plan.until)] {
        let zoned = when::zoned(site, at.moment());
        fields.push((format!("{name}_day"), zoned.date().to_string()));
        fields.push((format!("{name}_time"), format!("{:02}:{:02}", zoned.hour(), zoned.minute())));
    }
    fields
}

/// That another charter of the boat is at the same time, in words.
pub fn overlap_words(site: &Site, boat: &str, other: &Plan) -> String {
    format!(
        "{} is on another charter then: {} to {}.",
        words::capital(boat),
        when::moment(site, other.from.moment()),
        when::moment(site, other.until.moment())
    )
}
