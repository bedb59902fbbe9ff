//! The owner's month: where a boat was, what broke, what was done to her, and what it cost.

use std::collections::BTreeSet;

use jiff::civil::Date;
use maud::{Markup, html};
use quantity::Time;
use records::{BoatId, BoatStanding, Costs, DefectStanding, Life, Mark, Meter, Moment, Month, Stage, Sums};

use super::cost::month_costs;
use super::spent;
use super::stage::{self, Hull, Trip, item_name, upkeep_of};
use crate::dock::severity;
use crate::frame::{Desk, Site, desk_page};
use crate::{links, when, words};

/// The month before.
pub fn month_before(month: Month) -> Month {
    match month.month {
        1 => Month { year: month.year.saturating_sub(1), month: 12 },
        later => Month { month: later - 1, ..month },
    }
}

/// The month after.
pub fn month_after(month: Month) -> Month {
    match month.month {
        12 => Month { year: month.year.saturating_add(1), month: 1 },
        earlier => Month { month: earlier + 1, ..month },
    }
}

/// A month as addresses have it: `2026-06`; nothing if it is none from 1970 to 2200.
pub fn month_of(text: &str) -> Option<Month> {
    let (year, month) = text.split_once('-')?;
    let shaped =
        year.len() == 4 && month.len() == 2 && text.bytes().all(|byte| byte.is_ascii_digit() || byte == b'-');
    let month = Month { year: year.parse().ok()?, month: month.parse().ok()? };
    (shaped && (1..=12).contains(&month.month) && (1970..=2200).contains(&month.year)).then_some(month)
}

/// A month with what it begins and ends with.
struct Span {
    month: Month,
    from: Moment,
    until: Moment,
}

impl Span {
    fn of(site: &Site, month: Month) -> Self {
        let begin = |month: Month| {
            let day = Date::new(month.year, month.month, 1).ok();
            let at = day.and_then(|day| day.to_zoned(site.zone.clone()).ok());
            Moment::from_milliseconds(at.map_or(0, |at| at.timestamp().as_millisecond()))
        };
        Self { month, from: begin(month), until: begin(month_after(month)) }
    }

    fn has(&self, moment: Moment) -> bool {
        self.from <= moment && moment < self.until
    }
}

/// The report, by the clocks of the base.
pub fn month_page(site: &Site, hull: Hull<'_>, month: Month) -> String {
    let span = Span::of(site, month);
    let none = BoatStanding::default();
    let boat = hull.standing.boats.get(&BoatId::new(hull.vessel.slug.as_str())).unwrap_or(&none);
    let title = format!("{}: {} {}", hull.name(), when::month(month.month), month.year);
    let (before, after) = (month_before(month), month_after(month));
    let link = |month: Month| links::month(&hull.vessel.slug, &month.to_string());
    let name = |month: Month| format!("{} {}", when::month(month.month), month.year);
    let body = html! {
        div.title {
            h1 { (title) }
            p.lead { "The month for her owner, from what was told at " (site.base) "." }
        }
        p.fleet-links.no-print {
            @for other in [before, after].into_iter().filter(|other| month_of(&other.to_string()).is_some()) {
                a.button.plain href=(link(other)) { (name(other)) }
            }
        }
        @if span.until > site.now { p.notice { "The month is not over yet, so this is not the whole of it." } }
        (charters(site, hull, &span))
        (hours(hull, boat, &span))
        (defects(site, hull, boat, &span))
        (mended(site, hull, boat, &span))
        (upkeep(site, hull, boat, &span))
        (money(site, hull, &span))
        p.hint.no-print { "To keep it as a PDF, print this page from your browser and choose PDF as the printer." }
    };
    desk_page(site, &title, Desk::Boats, &body)
}

/// From when and until when the crew had her; nothing if they did not.
fn out(site: &Site, trip: &Trip<'_>) -> Option<(Moment, Moment)> {
    let from = trip.stands.came_to(Stage::CheckedOut)?;
    Some((from, trip.stands.came_to(Stage::HandedBack).unwrap_or(site.now)))
}

/// The days of the month on which a crew had her.
fn days_out(site: &Site, trips: &[Trip<'_>], span: &Span) -> BTreeSet<Date> {
    let mut days = BTreeSet::new();
    for (from, until) in trips.iter().filter_map(|trip| out(site, trip)) {
        let last = when::zoned(site, until).date();
        let mut day = when::zoned(site, from.max(span.from)).date();
        while day <= last && Month::of(day) == span.month {
            days.insert(day);
            let Ok(next) = day.tomorrow() else { break };
            day = next;
        }
    }
    days
}

fn charters(site: &Site, hull: Hull<'_>, span: &Span) -> Markup {
    let here = |trip: &Trip<'_>| {
        let (from, until) = out(site, trip).unwrap_or_else(|| trip.times());
        trip.stands.life != Life::Cancelled && from < span.until && until >= span.from
    };
    let mut trips: Vec<Trip<'_>> = hull.trips().filter(here).collect();
    trips.sort_by_key(Trip::times);
    let days = days_out(site, &trips, span);
    html! {
        section #charters {
            h2 { "Charters" }
            p { (words::capital(&words::count(trips.len(), "charter", "charters"))) ", "
                (words::count(days.len(), "day", "days")) " with a crew aboard." }
            @if !trips.is_empty() { table.list {
                thead { tr { th scope="col" { "From" } th scope="col" { "Until" } th scope="col" { "People" } th scope="col" { "Stands" } } }
                tbody { @for trip in &trips {
                    @let (from, until) = trip.times();
                    tr {
                        th scope="row" { a href=(links::charter(trip.id.as_str())) { (when::moment(site, from)) } }
                        td data-name="Until" { (when::moment(site, until)) }
                        td data-name="People" { (trip.stands.plan.as_ref().and_then(|(_, plan)| plan.crew).map_or_else(|| "not told".to_owned(), |crew| crew.to_string())) }
                        td data-name="Stands" { (stage::life(trip.stands.life)) }
                    }
                } }
            } }
        }
    }
}

fn hours(hull: Hull<'_>, boat: &BoatStanding, span: &Span) -> Markup {
    let ran = |sights: &[records::Sight]| -> Option<Time> {
        let total = |until: Moment| {
            sights.iter().filter(|sight| sight.mark.when < until).filter_map(|sight| sight.total).next_back()
        };
        let first = total(span.from).or_else(|| sights.iter().find_map(|sight| sight.total))?;
        Some(total(span.until)? - first)
    };
    let engines: Vec<(&str, Option<Time>)> = boat
        .meters
        .iter()
        .filter_map(|(meter, sights)| match meter {
            Meter::EngineHours(id) => Some((id.as_str(), ran(sights))),
            _ => None,
        })
        .collect();
    html! {
        section #hours {
            h2 { "Engine hours" }
            @if engines.is_empty() { p { "No engine's meter was read yet." } }
            ul { @for (id, ran) in &engines { li { (item_name(&hull.vessel.boat, id)) ": "
                @match ran {
                    Some(ran) => { (words::trimmed(ran.as_hours())) " hours, from the last reading before the month to the last one in it." }
                    None => { "not read in this month or before." }
                }
            } } }
        }
    }
}

/// Whether a defect was there on some day of the month: it was found, seen again or closed in it, or open as it began.
fn stood(defect: &DefectStanding, span: &Span) -> bool {
    let closed = || defect.closed.iter().map(|one| &one.mark);
    let seen = || defect.seen.iter().map(|one| &one.mark);
    let last = |marks: &mut dyn Iterator<Item = &Mark>| {
        marks.map(|mark| (mark.when, mark.event)).filter(|mark| mark.0 < span.from).max()
    };
    let (closed_last, seen_last) = (last(&mut closed()), last(&mut seen()));
    let began = defect.found.when < span.from && (closed_last.is_none() || seen_last > closed_last);
    began || span.has(defect.found.when) || closed().chain(seen()).any(|mark| span.has(mark.when))
}

fn defects(site: &Site, hull: Hull<'_>, boat: &BoatStanding, span: &Span) -> Markup {
    let mut rows: Vec<_> = boat.defects.values().filter(|defect| stood(defect, span)).collect();
    rows.sort_by_key(|defect| defect.found.when);
    html! {
        section #defects {
            h2 { "Defects" }
            @if rows.is_empty() { p { "None was found, closed or open in this month." } }
            @else { table.list {
                thead { tr { th scope="col" { "What" } th scope="col" { "Found" } th scope="col" { "How bad" } th scope="col" { "Now" } } }
                tbody { @for defect in rows { tr {
                    th scope="row" { a href=(links::defect(&defect.id().to_string())) { (item_name(&hull.vessel.boat, &defect.defect.item)) } br; span.soft { (words::sentence(&defect.defect.words)) } }
                    td data-name="Found" { (when::day(site, when::zoned(site, defect.found.when).date())) }
                    td data-name="How bad" { (severity(defect.severity)) }
                    td data-name="Now" { @match defect.closed.last() {
                        Some(one) if !defect.open() => { "closed " (when::day(site, when::zoned(site, one.mark.when).date())) }
                        _ => "open",
                    } }
                } } }
            } }
        }
    }
}

fn upkeep(site: &Site, hull: Hull<'_>, boat: &BoatStanding, span: &Span) -> Markup {
    let mut rows: Vec<_> = boat
        .upkeep
        .iter()
        .flat_map(|(line, all)| all.iter().map(move |done| (line, done)))
        .filter(|(_, done)| span.has(done.mark.when))
        .collect();
    rows.sort_by_key(|(_, done)| done.mark.when);
    html! {
        section #upkeep {
            h2 { "Upkeep" }
            @if rows.is_empty() { p { "None was told in this month." } }
            @else { table.list {
                thead { tr { th scope="col" { "What" } th scope="col" { "When" } th scope="col" { "Cost" } } }
                tbody { @for (line, done) in rows { tr {
                    @let sum = spent::done(done);
                    th scope="row" { (upkeep_of(&hull.vessel.boat, line))
                        @if !done.parts.is_empty() { br; span.soft { "Parts: " (spent::parts(&done.parts)) "." } } }
                    td data-name="When" { (when::day(site, when::zoned(site, done.mark.when).date())) }
                    td data-name="Cost" { @if sum.is_empty() { span.soft { "not told" } } @else { (sum) } }
                } } }
            } }
        }
    }
}

fn sum(sums: &Sums) -> String {
    let all = spent::sums(sums);
    if all.is_empty() { "nothing told".to_owned() } else { all }
}

/// What was mended in the month, with what that cost.
fn mended(site: &Site, hull: Hull<'_>, boat: &BoatStanding, span: &Span) -> Markup {
    let mut rows: Vec<(Moment, String)> = Vec::new();
    for defect in boat.defects.values() {
        let name = item_name(&hull.vessel.boat, &defect.defect.item);
        for one in defect.mended.iter().filter(|one| span.has(one.mark.when)) {
            let cost = one
                .cost
                .map_or_else(|| "nobody said what the work cost".to_owned(), |cost| format!("work {cost}"));
            rows.push((
                one.mark.when,
                format!("{name}: {} {}.", words::sentence(&one.words), words::capital(&cost)),
            ));
        }
        for (mark, pieces, cost) in defect.parts.iter().filter(|(mark, ..)| span.has(mark.when)) {
            let cost = cost.map_or_else(|| "nobody said what it cost".to_owned(), |cost| cost.to_string());
            rows.push((mark.when, format!("{name}: {} \u{d7} {}, {cost}.", pieces.count, pieces.part)));
        }
    }
    rows.sort();
    html! {
        @if !rows.is_empty() {
            section #mended {
                h2 { "Mended" }
                ul { @for (when, words) in &rows { li { (when::day(site, when::zoned(site, *when).date())) ": " (words) } } }
            }
        }
    }
}

fn all_of(costs: &Costs) -> Sums {
    let mut all = costs.upkeep.clone();
    all.join(&costs.mending);
    all.join(&costs.filling);
    all
}

fn money(site: &Site, hull: Hull<'_>, span: &Span) -> Markup {
    let boat = BoatId::new(hull.vessel.slug.as_str());
    let own = month_costs(&site.zone, hull.standing, &boat).remove(&span.month).unwrap_or_default();
    html! {
        section #costs {
            h2 { "Costs" }
            dl.facts {
                div { dt { "Upkeep" } dd { (sum(&own.upkeep)) } }
                div { dt { "Mending, work and parts" } dd { (sum(&own.mending)) } }
                div { dt { "Filling tanks and bottles" } dd { (sum(&own.filling)) } }
                div { dt { "All of it" } dd { (sum(&all_of(&own))) } }
            }
            p { "Of that work " (sum(&own.work)) ", parts " (sum(&own.parts)) ", all else " (sum(&own.other)) ". "
                a.no-print href=(links::boat_costs(&hull.vessel.slug, span.month.year)) { "The whole year" } }
            @if own.unpriced > 0 { p { "Of " (own.unpriced) " of these nobody said what it cost, so the sums are too small." } }
        }
    }
}
