//! How one boat stands, for the base: readings, defects, upkeep, kit, charters, notes; and the same in a line.

use boat::model::Boat;
use maud::{Markup, html};
use records::{BoatId, BoatStanding, Due, Life, Meter, Month, Severity, Stage, State, Window, due};

use super::crossed;
use super::speech::store_name;
use super::stage::{self, Hull, Trip, item_name, upkeep_name};
use crate::dock::{Names, reading, severity};
use crate::frame::{Desk, Role, Site, desk_page};
use crate::links::{self, Room};
use crate::{when, words};

/// The most notes that are shown.
const NOTES: usize = 20;

/// The page.
pub fn standing_page(site: &Site, hull: Hull<'_>, names: &Names) -> String {
    let none = BoatStanding::default();
    let boat = records_of(hull).unwrap_or(&none);
    let month = Month::of(when::zoned(site, site.now).date()).to_string();
    let year = when::zoned(site, site.now).date().year();
    let slug = &hull.vessel.slug;
    let body = html! {
        div.title {
            h1 { "How " (hull.name()) " stands" }
            p.lead { (line_words(site, hull)) }
        }
        p.fleet-links.no-print {
            a.button.plain href=(links::room(slug, Room::Plan)) { "Her pages" }
            a.button.plain href=(links::found(slug)) { "Something is broken" }
            @if site.may(Role::Manager) {
                a.button.plain href=(links::month(slug, &month)) { "The owner's month" }
                a.button.plain href=(links::boat_costs(slug, year)) { "What she cost" }
            }
        }
        (readings(site, hull, boat))
        (defects(site, hull, boat))
        (upkeep(site, hull, boat))
        (kit(site, hull, boat))
        (charters(site, hull))
        section #notes {
            h2 { "Notes" }
            @if boat.notes.is_empty() { p { "None." } }
            ul { @for (mark, words) in boat.notes.iter().rev().take(NOTES) {
                li { (words::sentence(words)) " " span.soft { (names.hand(&mark.who)) ", " (when::moment(site, mark.when)) "." } " " (crossed::link(site, &mark.content.to_string())) }
            } }
        }
    };
    desk_page(site, &format!("How {} stands", hull.name()), Desk::Boats, &body)
}

fn records_of(hull: Hull<'_>) -> Option<&BoatStanding> {
    hull.standing.boats.get(&BoatId::new(hull.vessel.slug.as_str()))
}

fn pressing(site: &Site, hull: Hull<'_>) -> Vec<Due> {
    let none = BoatStanding::default();
    let today = when::zoned(site, site.now).date();
    let all = due(&hull.vessel.boat, records_of(hull).unwrap_or(&none), today, &Window::USUAL);
    all.into_iter().filter(|due| due.state > State::Later).collect()
}

/// Where she is, how many defects are open, and how much upkeep is due, in one line.
pub(crate) fn line_words(site: &Site, hull: Hull<'_>) -> String {
    let out = hull.trips().find(|trip| matches!(trip.stands.life, Life::At(Stage::CheckedOut | Stage::Out)));
    let today = when::zoned(site, site.now).date();
    let place = match out {
        Some(trip) => {
            let until = trip.times().1;
            let day = when::zoned(site, until).date();
            match () {
                () if until < site.now => format!("Out, was to be back {}", stage::time(site, until)),
                () if day == today => format!("Comes back {}", stage::time(site, until)),
                () => format!("Out until {}", when::day(site, day)),
            }
        }
        None => "In".to_owned(),
    };
    let open: Vec<Severity> =
        records_of(hull).into_iter().flat_map(BoatStanding::open_defects).map(|one| one.severity).collect();
    let safety = match open.iter().filter(|severity| **severity == Severity::Safety).count() {
        0 => String::new(),
        all if all == open.len() => ", for safety".to_owned(),
        some => format!(", {some} for safety"),
    };
    let due =
        pressing(site, hull).iter().filter(|due| matches!(due.state, State::Now | State::Overdue)).count();
    format!(
        "{place}. {}{safety}. {}.",
        words::capital(&words::count(open.len(), "defect is open", "defects are open")),
        words::capital(&words::count(due, "line of upkeep is due", "lines of upkeep are due"))
    )
}

fn meter(boat: &Boat, meter: &Meter) -> String {
    let store = |id: &str| store_name(boat, id);
    match meter {
        Meter::EngineHours(id) => format!("{}: hours", item_name(boat, id)),
        Meter::Tank(id) => format!("{}: level", store(id)),
        Meter::Voltage(id) => format!("{}: voltage", store(id)),
        Meter::Charge(id) => format!("{}: charge", store(id)),
        Meter::Gas(id) => format!("{}: gas left", store(id)),
    }
}

fn readings(site: &Site, hull: Hull<'_>, records: &BoatStanding) -> Markup {
    let boat = &hull.vessel.boat;
    html! {
        section #readings {
            h2 { "Last readings" }
            @if records.meters.is_empty() { p { "No meter or gauge was read yet." } }
            @else { table.list {
                thead { tr { th scope="col" { "Meter or gauge" } th scope="col" { "Showed" } th scope="col" { "When" } } }
                tbody { @for (own, sights) in &records.meters { @if let Some(last) = sights.last() { tr {
                    th scope="row" { (meter(boat, own)) }
                    td data-name="Showed" { (reading(boat, &last.reading)) }
                    td data-name="When" { (when::moment(site, last.mark.when)) }
                } } } }
            } }
        }
    }
}

fn defects(site: &Site, hull: Hull<'_>, records: &BoatStanding) -> Markup {
    let mut open: Vec<_> = records.open_defects().collect();
    open.sort_by_key(|defect| std::cmp::Reverse(defect.severity));
    html! {
        section #defects {
            h2 { "Open defects" }
            @if open.is_empty() { p { "Nothing is known to be wrong." } }
            ul.standing-list { @for defect in open { li {
                a href=(links::defect(&defect.id().to_string())) { (item_name(&hull.vessel.boat, &defect.defect.item)) }
                ": " (words::sentence(&defect.defect.words)) " " span.tag { (severity(defect.severity)) } " "
                span.soft { "Since " (when::near(site, when::zoned(site, defect.found.when).date())) "." }
            } } }
        }
    }
}

fn upkeep(site: &Site, hull: Hull<'_>, _: &BoatStanding) -> Markup {
    let all = pressing(site, hull);
    let word = |state: State| match state {
        State::Overdue => "overdue",
        State::Now => "due now",
        State::Soon => "due soon",
        State::Unknown => "nobody can say",
        State::Later => "later",
    };
    let (soon, pressing): (Vec<&Due>, Vec<&Due>) = all.iter().partition(|due| due.state == State::Soon);
    let boat = &hull.vessel.boat;
    let list = |some: &[&Due]| {
        html! { ul.standing-list { @for due in some { li { (upkeep_name(boat, &boat.upkeep[due.line])) " " span.tag { (word(due.state)) } } } } }
    };
    html! {
        section #upkeep {
            h2 { "Upkeep" }
            @if all.is_empty() { p { "Nothing is due soon." } }
            (list(&pressing))
            @if !soon.is_empty() {
                @if pressing.is_empty() { p { "Nothing is due now." } }
                details { summary { (words::capital(&words::count(soon.len(), "line is due soon", "lines are due soon"))) } (list(&soon)) }
            }
            p { a.quiet href="/upkeep" { "Upkeep of all boats" } }
        }
    }
}

fn kit(site: &Site, hull: Hull<'_>, records: &BoatStanding) -> Markup {
    let lines = &hull.vessel.boat.kit;
    let unlike: Vec<_> = lines
        .iter()
        .filter_map(|line| {
            Some((line, records.counted.get(&line.id).filter(|counted| counted.count != line.count)?))
        })
        .collect();
    let never = lines.iter().filter(|line| !records.counted.contains_key(&line.id)).count();
    html! {
        section #kit {
            h2 { "Kit" }
            @if unlike.is_empty() && never == 0 { p { "All that was counted is as her file says." } }
            ul.standing-list { @for (line, counted) in &unlike { li {
                (line.name) ": " (counted.count) " counted, her file says " (line.count) ". "
                span.soft { (when::moment(site, counted.mark.when)) "." }
            } } }
            @if never > 0 { p { (words::capital(&words::count(never, "line was", "lines were"))) " never counted." } }
        }
    }
}

fn charters(site: &Site, hull: Hull<'_>) -> Markup {
    let coming = |trip: &Trip<'_>| {
        let over = matches!(
            trip.stands.life,
            Life::Cancelled | Life::Unknown | Life::At(Stage::HandedBack | Stage::Settled)
        );
        !over
    };
    let mut trips: Vec<Trip<'_>> = hull.trips().filter(coming).collect();
    trips.sort_by_key(Trip::times);
    html! {
        section #charters {
            h2 { "Next charters" }
            @if trips.is_empty() { p { "None is planned." } }
            ul.standing-list { @for trip in trips.iter().take(6) { li {
                @let (from, until) = trip.times();
                a href=(links::charter(trip.id.as_str())) { (when::moment(site, from)) " to " (when::moment(site, until)) } " "
                span.tag { (stage::life(trip.stands.life)) }
            } } }
        }
    }
}
