//! The plan of a briefing: what, in which order, how deep, and where; and what is left to reading.

use boat::model::Boat;
use brief::{Always, Briefing, Depth, Origin, Plan, Stop, Topic, sources};
use maud::{Markup, html};
use records::BoatStanding;

use super::ask::{BriefAsk, CREWS, TRIPS, checklists};
use super::visits::{Visit, clock, depth_words, drawings, short_time, visits};
use super::{CAUTION, briefing_of};
use crate::dock::Handover;
use crate::frame::{Aboard, Site, page, seal};
use crate::links::{self, Room};
use crate::vessel::Vessel;
use crate::{caution, say, words};

/// The plan of a boat's briefing, for any crew.
pub fn briefing_page(
    site: &Site,
    vessel: &Vessel,
    standing: Option<&BoatStanding>,
    ask: &BriefAsk,
) -> String {
    let action = vessel.link(Room::Briefing);
    let body = html! {
        div.title {
            h1 { "Briefing" }
            p.lead { "What the crew is told and shown before they sail, in the time there is." }
        }
        (form(ask, &action, "Plan it"))
        @if ask.is_sound() { (answer(vessel, standing, ask)) }
        (beside(vessel, ask))
    };
    let aboard = Aboard { slug: &vessel.slug, name: &vessel.boat.particulars.name, room: Room::Briefing };
    page(site, "Briefing", Some(aboard), &body)
}

/// The plan of a charter's briefing, with the button that begins it.
pub fn charter_briefing_page(site: &Site, over: &Handover<'_>, ask: &BriefAsk) -> String {
    let charter = over.charter.as_str();
    let action = links::charter_briefing(charter);
    let gone = over.stands.briefed.values().filter(|shown| shown.showing > records::Showing::Read).count();
    let body = html! {
        div.title {
            p.small { a href=(over.home()) { (over.line(site)) } }
            h1 { "Briefing" }
            p.lead { "Ask the crew how well they know boats like her, and what they mean to do. Then say how long there is." }
        }
        (form(ask, &action, "Plan it"))
        @if ask.is_sound() {
            form.begin-talk method="post" action=(links::run(charter)) {
                (seal(site))
                @for (name, value) in ask.pairs() { @if name != "began" { input type="hidden" name=(name) value=(value); } }
                button type="submit" name="begin" value="yes" {
                    @if gone > 0 { "Go on with the briefing" } @else { "Begin the briefing" }
                }
                @if gone > 0 { p.hint { (words::capital(&words::count(gone, "topic is", "topics are"))) " done already; the clock starts anew." } }
            }
            (answer(over.vessel, over.records(), ask))
        }
    };
    over.page(site, "Briefing", &body)
}

fn form(ask: &BriefAsk, action: &str, button: &str) -> Markup {
    let flaw = |field: &str| ask.given.faults.iter().find(|fault| fault.field == field);
    let trip = [ask.trip.anchoring, ask.trip.cold, ask.trip.children, ask.trip.dark];
    let minutes = if flaw("minutes").is_some() {
        ask.given.value("minutes").to_owned()
    } else {
        ask.minutes.to_string()
    };
    html! {
        form.brief-ask method="get" action=(action) {
            @if !ask.given.faults.is_empty() {
                div.faults role="alert" { ul { @for fault in &ask.given.faults { li { (fault.what) } } } }
            }
            div {
                div.field {
                    label for="minutes" { "Minutes there are" }
                    input #minutes type="text" inputmode="numeric" name="minutes" value=(minutes) list="times" aria-invalid=[flaw("minutes").map(|_| "true")];
                    datalist #times { @for time in [30, 45, 60, 90, 120] { option value=(time) {} } }
                }
                div.field {
                    label for="list" { "Go through a published list as well" }
                    select #list name="list" {
                        option value="" { "None" }
                        @for list in checklists() { option value=(list.id) selected[ask.list.is_some_and(|own| own.id == list.id)] { (list.title) } }
                    }
                }
            }
            fieldset.field {
                legend { "The crew" }
                @for (word, name, experience) in CREWS {
                    label.tick { input type="radio" name="crew" value=(word) checked[ask.experience == experience]; " " (name) }
                }
            }
            fieldset.field {
                legend { "Their trip" }
                @for ((word, name), so) in TRIPS.into_iter().zip(trip) {
                    label.tick { input type="checkbox" name=(word) value="yes" checked[so]; " " (name) }
                }
            }
            button type="submit" { (button) }
        }
    }
}

/// The plan itself.
fn answer(vessel: &Vessel, standing: Option<&BoatStanding>, ask: &BriefAsk) -> Markup {
    let briefing = briefing_of(vessel, standing, ask.list);
    let plan = briefing.plan(&ask.plain());
    let visits = visits(&briefing, &plan);
    let boat = &vessel.boat;
    html! {
        section #plan {
            p.print-only.asked { (asked(ask)) }
            (summary(&plan, ask))
            (only_told(&briefing, &plan))
            h2 { "The walk" }
            @if visits.is_empty() { p { "There is nothing to tell." } }
            (drawings(boat, &visits))
            (table(&briefing, vessel, &visits))
            (left_to_reading(&briefing, vessel, &plan))
            (caution::plain_panel(boat::model::SignalWord::Caution, boat::model::Hazard::Overboard, &[CAUTION]))
            (how(&plan))
        }
    }
}

/// What was asked, for a sheet without the form.
fn asked(ask: &BriefAsk) -> String {
    let crew = CREWS.iter().find(|row| row.2 == ask.experience).map_or("", |row| row.1);
    let trip = [ask.trip.anchoring, ask.trip.cold, ask.trip.children, ask.trip.dark];
    let trip = TRIPS.iter().zip(trip).filter(|(_, so)| *so).map(|(row, _)| format!(" {}.", row.1));
    let list =
        ask.list.map_or_else(String::new, |list| format!(" With the list \u{201c}{}\u{201d}.", list.title));
    format!("{} minutes. The crew says: {crew}.{}{list}", ask.minutes, trip.collect::<String>())
}

fn summary(plan: &Plan, ask: &BriefAsk) -> Markup {
    let count = |depth: Depth| plan.stops.iter().filter(|stop| stop.depth == depth).count();
    html! {
        p.lead role="status" {
            @if plan.over.as_seconds() > 0.0 {
                strong { "Too short by " (short_time(plan.over)) "." } " What must be in takes " (short_time(plan.total)) " even when it is only told. Make time, or begin before they come aboard."
            } @else {
                strong { (short_time(plan.total)) } " of " (ask.minutes) " min, " (short_time(plan.walk)) " of it walking. "
                (words::capital(&words::count(plan.stops.len(), "topic", "topics"))) ": "
                (count(Depth::Shown)) " done by the crew, " (count(Depth::Told)) " told, " (count(Depth::Short)) " in short; "
                (plan.reading.len()) " left to reading."
            }
        }
        p {
            @match plan.starts {
                0 => "The engine is not started.",
                1 => "The engine is started once.",
                more => { "The engine is started " (more) " times." }
            }
            " It takes away " strong { (format!("{:.0} %", plan.taken_away * 100.0)) } " of the risk that a talk without end could."
        }
    }
}

/// What must be shown and is only told, for lack of time.
fn only_told(briefing: &Briefing<'_>, plan: &Plan) -> Markup {
    let must: Vec<&Topic> = plan
        .only_told
        .iter()
        .map(|at| &briefing.topics[*at])
        .filter(|topic| topic.always == Some(Always::File))
        .collect();
    html! {
        @if !must.is_empty() {
            div.note-box {
                p { strong { "The time is too short to let the crew do all that they must." } " These are only told: "
                    @for (at, topic) in must.iter().enumerate() { @if at > 0 { "; " } (topic.name) } ". "
                    "Check-out asks for them all the same: take more time, or let the crew do them while the boat is counted." }
            }
        }
    }
}

fn table(briefing: &Briefing<'_>, vessel: &Vessel, visits: &[Visit<'_>]) -> Markup {
    let boat = &vessel.boat;
    html! {
        ol.visits {
            @for visit in visits {
                li.visit {
                    h3 {
                        span.visit-number { (visit.number) } " "
                        @match visit.place {
                            Some(place) => a href=(links::place(&vessel.slug, &boat.places[place].id)) { (boat.places[place].name) },
                            None => "Anywhere",
                        }
                        " " span.soft.small { "from " (clock(visit.begins())) ", " (short_time(visit.lasts())) }
                    }
                    ul.visit-topics { @for stop in &visit.stops { (line(briefing, vessel, stop)) } }
                }
            }
        }
    }
}

fn line(briefing: &Briefing<'_>, vessel: &Vessel, stop: &Stop) -> Markup {
    let boat = &vessel.boat;
    let topic = &briefing.topics[stop.topic];
    html! {
        li.visit-topic {
            details {
                summary {
                    span.topic-name { (topic.name) } " "
                    span.tag.depth { (depth_words(stop.depth)) } " "
                    @if topic.always.is_some() { span.tag { "Must" } " " }
                    span.soft.small { (short_time(stop.lasts)) }
                }
                (body(boat, vessel, topic))
            }
            @if stop.then_stop { p.engine-note { "Then stop the engine, as they have seen it done." } }
        }
    }
}

/// What to say and to point at.
fn body(boat: &Boat, vessel: &Vessel, topic: &Topic) -> Markup {
    html! {
        p { (say::prose(boat, &topic.words)) }
        (why_here(topic))
        (caution::panels(boat, &caution::ranked(boat, topic.cautions.iter().copied())))
        (super::topics_page::points(boat, vessel, topic))
    }
}

/// Why a topic that the file does not write is there.
fn why_here(topic: &Topic) -> Markup {
    let why = match topic.origin {
        Origin::Written(_) => return html! {},
        Origin::StepList(_) => "No topic of the boat file teaches this step list.",
        Origin::Cautions => "No topic of the boat file gives this warning.",
        Origin::Find => {
            "To be found in an emergency, or asked for by law; no topic of the boat file points at it."
        }
        Origin::Defect => "Open in the boat's records.",
        Origin::Line => "Asked for by the published list; no topic of the boat file is about it.",
    };
    html! { p.small.soft { (why) } }
}

fn left_to_reading(briefing: &Briefing<'_>, vessel: &Vessel, plan: &Plan) -> Markup {
    html! {
        h2 { "Left to reading" }
        @if plan.reading.is_empty() { p { "Nothing: there is time for all of it." } } @else {
            p { "The crew finds these under its link and ticks them off there. What weighs most comes first." }
            ol.reading-list { @for at in &plan.reading {
                @let topic = &briefing.topics[*at];
                li { details { summary { (topic.name) } (body(&vessel.boat, vessel, topic)) } }
            } }
        }
    }
}

/// How the choice was made.
fn how(plan: &Plan) -> Markup {
    html! {
        details.how {
            summary { "How this is chosen" }
            p { "What must be in is always in, at least in short. The rest is what takes away most risk in the time. The order keeps what comes before what, starts the engine once, and walks as little as it can." }
            p {
                @if plan.gap < 0.0005 { "No other choice takes away more in this time." }
                @else { "Another choice could be better by " (format!("{:.1} %", plan.gap * 100.0)) " at most." }
                @if plan.excess.as_seconds() >= 1.0 { " Another order could save " (short_time(plan.excess)) " of walking at most." }
                @else { " No other order walks less." }
            }
            ul.plainly { @for one in sources() { li { (one.says) " " span.soft { "(" (one.source) ")" } } } }
        }
    }
}

fn beside(vessel: &Vessel, ask: &BriefAsk) -> Markup {
    let pairs = ask.pairs();
    let pairs: Vec<(&str, &str)> = pairs.iter().map(|(name, value)| (*name, value.as_str())).collect();
    html! {
        p.actions.beside {
            a.button.plain href=(links::topics(&vessel.slug)) { "All topics" }
            a.button.plain href=(links::checklists(&vessel.slug)) { "Published lists, line by line" }
            @if ask.is_sound() { a.quiet href=(links::query(&links::briefing_data(&vessel.slug), &pairs)) { "The plan as JSON" } }
        }
    }
}
