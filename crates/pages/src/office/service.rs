//! Upkeep of all boats: what is overdue, due, due soon, unknown and later.

use boat::model::UpkeepId;
use jiff::civil::Date;
use maud::{Markup, html};
use records::{BoatId, BoatStanding, Bound, Due, State, Window, due};

use super::spent;
use super::stage::{Hull, boat_choice, upkeep_name};
use crate::frame::{Desk, Site, desk_page};
use crate::{links, when, words};

const STATES: [(State, &str, &str); 5] = [
    (State::Overdue, "overdue", "Overdue"),
    (State::Now, "due", "Due now"),
    (State::Soon, "soon", "Due soon"),
    (State::Unknown, "unknown", "Nobody can say"),
    (State::Later, "later", "Later"),
];

/// The page, of one boat by her part of the address, or of all if there is none such.
pub fn service_page(site: &Site, hulls: &[Hull<'_>], only: &str) -> String {
    let one: Vec<Hull<'_>> = hulls.iter().filter(|hull| hull.vessel.slug == only).copied().collect();
    let shown = if one.is_empty() { hulls } else { &one };
    let today = when::zoned(site, site.now).date();
    let none = BoatStanding::default();
    let all: Vec<(Hull<'_>, Due)> = shown
        .iter()
        .flat_map(|hull| {
            let records = hull.standing.boats.get(&BoatId::new(hull.vessel.slug.as_str())).unwrap_or(&none);
            due(&hull.vessel.boat, records, today, &Window::USUAL).into_iter().map(|due| (*hull, due))
        })
        .collect();
    let body = html! {
        div.title {
            h1 { "Upkeep" }
            p.lead { "What the boats' service plans ask for, the most pressing first." }
        }
        @if hulls.len() > 1 {
            form.filter.no-print method="get" action=(links::UPKEEP) { (boat_choice(hulls, only)) button.plain type="submit" { "Show" } }
        }
        @if all.is_empty() { p { "The boat files have no service plan yet." } }
        @for (state, id, heading) in STATES {
            @let rows: Vec<_> = all.iter().filter(|(_, due)| due.state == state).collect();
            @if state == State::Later && !rows.is_empty() {
                details.later id=(id) { summary { h2 { (heading) " (" (rows.len()) ")" } } (table(site, &rows)) }
            } @else if !rows.is_empty() { section id=(id) {
                h2 { (heading) " (" (rows.len()) ")" }
                @if state == State::Unknown { p { "It was never told that these were done, or no reading says how long the engine has run since. Look, and tell it here." } }
                (table(site, &rows))
            } }
        }
    };
    desk_page(site, "Upkeep", Desk::Upkeep, &body)
}

fn table(site: &Site, rows: &[&(Hull<'_>, Due)]) -> Markup {
    html! {
        table.list {
            thead { tr { th scope="col" { "What" } th scope="col" { "Boat" } th scope="col" { "When" } th scope="col" { "Last done" } th.no-print scope="col" { "Tell" } th.print-only scope="col" { "Done" } } }
            tbody { @for (hull, due) in rows {
                @let line = &hull.vessel.boat.upkeep[due.line];
                tr {
                    th scope="row" { (line.name)
                        @if let Some(item) = line.item { br; span.soft { (hull.vessel.boat.items[item].name) } }
                        @if let Some(skill) = &line.skill { br; span.soft { "by " (skill) } } }
                    td data-name="Boat" { a href=(links::room(&hull.vessel.slug, links::Room::Upkeep)) { (hull.name()) } }
                    td data-name="When" { (due.bounds.iter().map(|bound| bound_words(site, bound)).collect::<Vec<_>>().join("; ")) }
                    td data-name="Last done" { (last(site, hull, due.line)) }
                    td.print-only.box {}
                    td.no-print { a.button.plain href=(links::upkeep_line(&hull.vessel.slug, &line.id)) aria-label=(format!("Tell it is done: {}, {}", upkeep_name(&hull.vessel.boat, line), hull.name())) { "Done" } }
                }
            } }
        }
    }
}

pub(super) fn bound_words(site: &Site, bound: &Bound) -> String {
    match bound {
        Bound::Hours { left, .. } if left.as_hours() < 0.0 => {
            format!("{:.0} engine hours over", -left.as_hours())
        }
        Bound::Hours { left, .. } => format!("in {:.0} engine hours", left.as_hours()),
        Bound::Days { on, left } | Bound::Date { on, left } => days(site, *on, *left),
        Bound::Charters { left } if *left < 0 => {
            format!(
                "{} over",
                words::count(usize::try_from(-left).unwrap_or_default(), "charter", "charters")
            )
        }
        Bound::Charters { left: 0 } => "before the next charter".to_owned(),
        Bound::Charters { left } => {
            format!("in {}", words::count(usize::try_from(*left).unwrap_or_default(), "charter", "charters"))
        }
        Bound::NeverDone => "never told as done".to_owned(),
        Bound::NoHours => "no engine hours known".to_owned(),
    }
}

fn days(site: &Site, on: Date, left: i32) -> String {
    let count = |days: i32| words::count(usize::try_from(days).unwrap_or_default(), "day", "days");
    match left {
        0 => "today".to_owned(),
        left if left < 0 => format!("{} over, since {}", count(-left), when::day(site, on)),
        left => format!("in {}, on {}", count(left), when::day(site, on)),
    }
}

fn last(site: &Site, hull: &Hull<'_>, line: UpkeepId) -> String {
    let records = hull.standing.boats.get(&BoatId::new(hull.vessel.slug.as_str()));
    let id = &hull.vessel.boat.upkeep[line].id;
    let done = records.and_then(|records| records.upkeep.get(id)).and_then(|all| all.last());
    done.map_or_else(
        || "never told".to_owned(),
        |done| {
            let sum = spent::done(done);
            let cost = if sum.is_empty() { String::new() } else { format!(", {sum}") };
            format!("{}{cost}", when::day(site, when::zoned(site, done.mark.when).date()))
        },
    )
}
