//! Today: who leaves, who comes back, who is late, who is out, and what is not ready.

use std::collections::BTreeSet;

use jiff::Span;
use jiff::civil::Date;
use maud::{Markup, html};
use records::{AccountId, DefectStanding, Life, Severity, Stage};

use super::stage::{self, Hull, Trip};
use crate::dock::Names;
use crate::frame::{Desk, Role, Site, desk_page};
use crate::links::{self, Room};
use crate::{tides, when, words};

/// What is known at the base this morning.
#[derive(Debug, Clone, Copy)]
pub struct Morning<'a> {
    /// All boats whose files can be read.
    pub hulls: &'a [Hull<'a>],
    /// What people are called.
    pub names: &'a Names,
    /// The accounts that may let a boat go with a safety defect.
    pub managers: &'a BTreeSet<AccountId>,
}

/// How many reasons a row shows.
const REASONS: usize = 4;

/// The page.
pub fn today_page(site: &Site, morning: &Morning<'_>) -> String {
    let today = when::zoned(site, site.now).date();
    // Years of charters are over, and none of them is today's work.
    let goes_on = |trip: &Trip<'_>| !trip.stands.life.is_over();
    let mut trips: Vec<Trip<'_>> =
        morning.hulls.iter().flat_map(|hull| hull.trips()).filter(goes_on).collect();
    trips.sort_by_key(super::stage::Trip::times);
    let soon = today.checked_add(Span::new().days(1)).unwrap_or(today);
    let days = |trip: &Trip<'_>| {
        let (from, until) = trip.times();
        (when::zoned(site, from).date(), when::zoned(site, until).date())
    };
    let ashore = |trip: &&Trip<'_>| matches!(trip.stands.life, Life::At(Stage::Planned | Stage::Readied));
    let leaving: Vec<_> = trips.iter().filter(ashore).filter(|trip| days(trip).0 <= soon).collect();
    let next: Vec<_> =
        trips.iter().filter(ashore).filter(|trip| days(trip).0 > soon && near(today, days(trip).0)).collect();
    let gone = |trip: &&Trip<'_>| matches!(trip.stands.life, Life::At(Stage::CheckedOut | Stage::Out));
    let mut back: Vec<_> = trips.iter().filter(gone).filter(|trip| days(trip).1 <= soon).collect();
    let mut out: Vec<_> = trips.iter().filter(gone).filter(|trip| days(trip).1 > soon).collect();
    back.sort_by_key(|trip| trip.times().1);
    out.sort_by_key(|trip| trip.times().1);
    let owed: Vec<_> = trips.iter().filter(|trip| trip.stands.life == Life::At(Stage::HandedBack)).collect();
    let body = html! {
        div.title {
            h1 { "Today" }
            p.lead { (when::day(site, today)) " at " (site.base) }
            @if site.may(Role::Skipper) { p { a.button.plain href=(links::NEW_CHARTER) { "Plan a charter" } } }
        }
        (late(site, &trips))
        (dangers(site, morning))
        (part(site, morning, "Leaving", "leaving", "Nobody leaves today or tomorrow.", &leaving, Side::From))
        (part(site, morning, "Coming back", "coming-back", "Nobody comes back today or tomorrow.", &back, Side::Until))
        (part(site, morning, "Out", "out", "No boat is out for longer.", &out, Side::Until))
        @if !owed.is_empty() { (part(site, morning, "Back, to be settled", "owed", "", &owed, Side::Until)) }
        (part(site, morning, "In the days after", "next", "Nobody leaves in the week after.", &next, Side::From))
        (tides::today(site, morning.hulls.iter().map(|hull| &hull.vessel.boat)))
    };
    desk_page(site, "Today", Desk::Today, &body)
}

fn near(today: Date, day: Date) -> bool {
    today.checked_add(Span::new().days(7)).is_ok_and(|last| day <= last)
}

/// Which end of a charter a row is about.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Side {
    From,
    Until,
}

impl Side {
    fn of(self, trip: &Trip<'_>) -> records::Moment {
        let (from, until) = trip.times();
        if self == Self::From { from } else { until }
    }
}

/// Whether it should have left, or come back, before now.
fn is_late(site: &Site, trip: &Trip<'_>) -> Option<Side> {
    let (from, until) = trip.times();
    match trip.stands.life {
        Life::At(Stage::Planned | Stage::Readied) if from < site.now => Some(Side::From),
        Life::At(Stage::CheckedOut | Stage::Out) if until < site.now => Some(Side::Until),
        _ => None,
    }
}

fn late(site: &Site, trips: &[Trip<'_>]) -> Markup {
    let late: Vec<_> = trips.iter().filter_map(|trip| Some((trip, is_late(site, trip)?))).collect();
    html! {
        @if !late.is_empty() {
            section.late #late aria-labelledby="late-title" {
                h2 #late-title { "Late" }
                ul { @for (trip, side) in late {
                    li {
                        a href=(links::charter(trip.id.as_str())) { (trip.hull.name()) }
                        @if side == Side::Until { " is not back. She was due " } @else { " has not been checked out. She was to leave " }
                        (stage::time(site, side.of(trip))) "."
                    }
                } }
            }
        }
    }
}

/// Open defects of safety.
fn dangers(site: &Site, morning: &Morning<'_>) -> Markup {
    let grave = |defect: &&DefectStanding| defect.severity == Severity::Safety;
    let all: Vec<(&Hull<'_>, &DefectStanding)> = morning
        .hulls
        .iter()
        .flat_map(|hull| {
            hull.standing
                .boats
                .values()
                .flat_map(records::BoatStanding::open_defects)
                .map(move |defect| (hull, defect))
        })
        .filter(|(_, defect)| grave(defect))
        .collect();
    html! {
        @if !all.is_empty() {
            section.late #safety aria-labelledby="safety-title" {
                h2 #safety-title { "Open safety defects" }
                ul { @for (hull, defect) in all {
                    li {
                        strong { (hull.name()) } ", " (stage::item_name(&hull.vessel.boat, &defect.defect.item)) ": "
                        (words::sentence(&defect.defect.words)) " "
                        span.soft { (morning.names.hand(&defect.found.who)) ", " (when::moment(site, defect.found.when)) "." }
                    }
                } }
                p { a.quiet href="/defects" { "All defects" } }
            }
        }
    }
}

fn part(
    site: &Site,
    morning: &Morning<'_>,
    title: &str,
    id: &str,
    none: &str,
    trips: &[&Trip<'_>],
    end: Side,
) -> Markup {
    html! {
        section.block id=(id) {
            h2 { (title) }
            @if trips.is_empty() { p.soft { (none) } } @else {
                table.list.day-list {
                    thead { tr {
                        th scope="col" { "Boat" }
                        th scope="col" { @if end == Side::From { "Leaves" } @else { "Due back" } }
                        th scope="col" { "Crew" }
                        th scope="col" { "Stands" }
                        th scope="col" { "Next" }
                    } }
                    tbody { @for trip in trips { (row(site, morning, trip, end)) } }
                }
            }
        }
    }
}

fn row(site: &Site, morning: &Morning<'_>, trip: &Trip<'_>, end: Side) -> Markup {
    let slug = &trip.hull.vessel.slug;
    let out = matches!(trip.stands.life, Life::At(Stage::CheckedOut | Stage::Out));
    html! {
        tr id=(format!("row-{}", trip.id)) {
            th scope="row" { a href=(links::charter(trip.id.as_str())) { (trip.hull.name()) } }
            td.when data-name=(if end == Side::From { "Leaves" } else { "Due back" }) {
                strong { (stage::time(site, end.of(trip))) }
                @if is_late(site, trip) == Some(end) { " " span.tag.is-late { "Late" } }
            }
            td data-name="Crew" { (trip.crew(morning.names)) }
            td {
                span.tag { (stage::life(trip.stands.life)) }
                // What is missing before hand-back is asked when she is there.
                @if !out { (stage::missing(trip, morning.managers, REASONS)) }
            }
            td.next {
                (stage::step(site, trip))
                @if out { a.quiet href=(links::called(trip.id.as_str())) { "They called" } }
                @else { a.quiet href=(links::room(slug, Room::Plan)) { "The boat" } }
            }
        }
    }
}
