//! What is left of a briefing to reading, for the crew: each topic with a tick of its own.

use brief::Topic;
use maud::{Markup, html};
use records::{BoatStanding, CharterStanding, Showing, What};

use super::briefing_of;
use crate::dock::Handover;
use crate::frame::{Site, Viewer, seal};
use crate::vessel::Vessel;
use crate::{caution, links, say, words};

/// Why what was ticked is not taken.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum ReadFlaw {
    /// Nothing was ticked.
    Nothing,
}

/// What a crew still has to read, and what it has read.
pub fn reading_page(site: &Site, over: &Handover<'_>, flaw: Option<ReadFlaw>) -> String {
    let briefing = briefing_of(over.vessel, over.records(), None);
    let showing = |topic: &Topic| over.stands.briefed.get(&topic.key).map(|shown| shown.showing);
    let open: Vec<&Topic> =
        briefing.topics.iter().filter(|topic| showing(topic) < Some(Showing::Read)).collect();
    let read: Vec<&Topic> =
        briefing.topics.iter().filter(|topic| showing(topic) == Some(Showing::Read)).collect();
    let charter = over.charter.as_str();
    let crew = matches!(site.viewer, Viewer::Crew { .. });
    let body = html! {
        div.title {
            h1 { "To read before you sail" }
            p.lead { "What there was no time for. Read it with the boat around you, and tick what you have read. Ask the base about anything that is not clear." }
        }
        @if flaw == Some(ReadFlaw::Nothing) { p.faults role="alert" { "Nothing is ticked. Tick what you have read, then press the button again." } }
        @if open.is_empty() {
            p { strong { "Nothing is left to read." } }
        } @else {
            form.reading method="post" action=(links::reading(charter)) {
                (seal(site))
                @for topic in &open { (one(over, topic, crew)) }
                @if crew { div.stop-go { button type="submit" { "We have read what is ticked" } } }
            }
            @if !crew { p.hint { "The crew ticks these off by its own link." } }
        }
        @if !read.is_empty() {
            section.block {
                h2 { "Read" }
                ul { @for topic in read { li { (topic.name) } } }
            }
        }
        @if crew { p { a.quiet href="/crew" { "Back to the first page" } } } @else { p { a.quiet href=(over.home()) { "Back to the charter" } } }
    };
    over.page(site, "To read before you sail", &body)
}

fn one(over: &Handover<'_>, topic: &Topic, crew: bool) -> Markup {
    let boat = over.boat();
    html! {
        section.reading-topic id=(topic.key) {
            h2 { (topic.name) }
            @if let Some(place) = topic.place { p.small.soft { "At: " a href=(links::place(&over.vessel.slug, &boat.places[place].id)) { (boat.places[place].name) } } }
            p { (say::prose(boat, &topic.words)) }
            (caution::panels(boat, &caution::ranked(boat, topic.cautions.iter().copied())))
            (super::topics_page::points(boat, over.vessel, topic))
            @if crew {
                label.choice.wide { input type="checkbox" name="read" value=(topic.key); span { "Read: " (words::capital(&topic.name)) } }
            }
        }
    }
}

/// How many topics a crew has neither been told nor read.
pub fn left_to_read(vessel: &Vessel, standing: Option<&BoatStanding>, stands: &CharterStanding) -> usize {
    let briefing = briefing_of(vessel, standing, None);
    let told =
        |topic: &Topic| stands.briefed.get(&topic.key).is_some_and(|shown| shown.showing >= Showing::Read);
    briefing.topics.iter().filter(|topic| !told(topic)).count()
}

/// What was ticked: the events to make, one a topic.
///
/// # Errors
/// If nothing was ticked that the briefing has.
pub fn read_topics(over: &Handover<'_>, pairs: &[(String, String)]) -> Result<Vec<What>, ReadFlaw> {
    let briefing = briefing_of(over.vessel, over.records(), None);
    let ticked = |topic: &&Topic| pairs.iter().any(|(name, value)| name == "read" && *value == topic.key);
    let new = |topic: &&Topic| {
        over.stands.briefed.get(&topic.key).is_none_or(|shown| shown.showing < Showing::Read)
    };
    let said: Vec<What> = briefing
        .topics
        .iter()
        .filter(ticked)
        .filter(new)
        .map(|topic| What::Briefed { topic: topic.key.clone(), showing: Showing::Read })
        .collect();
    if pairs.iter().any(|(name, _)| name == "read") { Ok(said) } else { Err(ReadFlaw::Nothing) }
}
