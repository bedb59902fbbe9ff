//! One topic a screen: where to stand, what to say, what to point at, how it went.

use brief::{Always, Depth, Stop, Topic};
use maud::{Markup, html};
use records::Moment;

use super::ask::BriefAsk;
use super::run::{Run, ShownFlaw};
use super::visits::{clock, short_time};
use crate::dock::Handover;
use crate::frame::{Site, seal};
use crate::{caution, links, medium, plan, say, words};

/// The topic that comes next, or the one that was asked for; `None` if nothing is left.
pub fn run_page(
    site: &Site,
    over: &Handover<'_>,
    ask: &BriefAsk,
    run: &Run<'_>,
    wanted: Option<&str>,
    flaw: Option<ShownFlaw>,
) -> Option<String> {
    let stop = run.stop(wanted)?;
    let topic = &run.briefing.topics[stop.topic];
    let charter = over.charter.as_str();
    let pairs = ask.pairs();
    let own: Vec<(&str, &str)> = pairs.iter().map(|(name, value)| (*name, value.as_str())).collect();
    let to_topic = |topic: &Topic| {
        links::query(&links::run(charter), &[&own[..], &[("topic", topic.key.as_str())]].concat())
    };
    let next = run.plan.stops.iter().find(|next| next.topic != stop.topic);
    let body = html! {
        (progress(ask, run))
        @if let Some(flaw) = flaw { p.faults role="alert" { (flaw_words(flaw)) } }
        div.title.talk-title {
            h1 { (topic.name) }
            p.tags {
                @match stop.depth {
                    Depth::Shown => span.tag.depth { "The crew does it" },
                    Depth::Told => span.tag { "Tell it" },
                    Depth::Short | Depth::Reading => span.tag { "In short" },
                }
                @if topic.always.is_some() { span.tag { "Must" } }
                span.tag { (short_time(stop.lasts)) }
            }
            (short_of_time(topic, &stop))
        }
        (place(over, topic))
        section.talk-words { p { (say::prose(over.boat(), &topic.words)) } }
        (caution::panels(over.boat(), &caution::ranked(over.boat(), topic.cautions.iter().copied())))
        (items(over, topic))
        (lists(over, topic))
        form.talk-form method="post" action=(links::run(charter)) {
            (seal(site))
            input type="hidden" name="topic" value=(topic.key);
            @for (name, value) in &pairs { input type="hidden" name=(name) value=(value); }
            div.talk-go {
                button class=[(!topic.shown).then_some("plain")] type="submit" name="answer" value="shown" { "They showed me" }
                button class=[topic.shown.then_some("plain")] type="submit" name="answer" value="told" { "Told only" }
                button.plain type="submit" name="answer" value="not-done" { "Not done" }
            }
            @if stop.then_stop { p.engine-note { "Then stop the engine, as they have seen it done." } }
        }
        @if let Some(next) = next { (next_line(over, run, next)) }
        (others(run, to_topic))
        p.actions { a.quiet href=(links::query(&links::ending(charter), &own)) { "End the briefing here" } }
    };
    Some(over.page(site, &topic.name, &body))
}

/// How far it has come, and the clock.
fn progress(ask: &BriefAsk, run: &Run<'_>) -> Markup {
    let done = run.done.len();
    let all = done + run.plan.stops.len();
    let began = ask.began.map(Moment::milliseconds);
    html! {
        div.talk-clock data-talk data-began=[began] data-minutes=(ask.minutes) {
            p { strong { "Topic " (done + 1) " of " (all.max(done + 1)) } }
            p data-talk-words {
                @if run.remains.as_seconds() >= 0.0 { (clock(run.gone)) " gone, " strong { (clock(run.remains)) " left" } }
                @else { strong { "Over time by " (clock(-run.remains)) } }
            }
            progress max=(all.max(1)) value=(done) aria-label="Topics gone through" {}
            p.small.soft role="status" {
                @if run.plan.over.as_seconds() > 0.0 {
                    "What must be in takes " (short_time(run.plan.over)) " more than there is, even in short."
                } @else {
                    "The rest takes " (short_time(run.plan.total)) "; " (words::count(run.plan.reading.len(), "topic is", "topics are")) " left to reading."
                }
            }
        }
    }
}

fn flaw_words(flaw: ShownFlaw) -> &'static str {
    match flaw {
        ShownFlaw::NoTopic => {
            "That topic is no longer in the briefing: the boat file or her defects have changed. Go on with this one."
        }
        ShownFlaw::NoAnswer => "Say how it went: press one of the three buttons below.",
    }
}

/// That a topic is only told because time is short.
fn short_of_time(topic: &Topic, stop: &Stop) -> Markup {
    html! {
        @if topic.shown && stop.depth < Depth::Shown {
            p.small { "Time is short: say it, and go on. "
                @if topic.always == Some(Always::File) { "Check-out still asks that the crew does it." } }
        }
    }
}

fn place(over: &Handover<'_>, topic: &Topic) -> Markup {
    let boat = over.boat();
    html! {
        @if let Some(place) = topic.place {
            section.talk-place {
                p { "Stand at: " strong { (boat.places[place].name) } "."
                    @if let Some(way) = &boat.places[place].way { " " (say::prose(boat, way)) } }
                (plan::locator(boat, place))
            }
        }
    }
}

fn items(over: &Handover<'_>, topic: &Topic) -> Markup {
    let boat = over.boat();
    html! {
        @if !topic.items.is_empty() {
            h2 { "Point at" }
            ul.point-at { @for id in &topic.items {
                @let item = &boat.items[*id];
                li {
                    strong { (item.name) } " " (medium::mark(item))
                    @if topic.place != Some(item.place) { " " span.soft { "(" (boat.places[item.place].name) ")" } }
                    @if let Some(find) = &item.find { p.small { (say::prose(boat, find)) } }
                }
            } }
        }
    }
}

fn lists(over: &Handover<'_>, topic: &Topic) -> Markup {
    let boat = over.boat();
    html! {
        @if !topic.procedures.is_empty() {
            h2 { "Step lists" }
            @for id in &topic.procedures {
                @let list = &boat.procedures[*id];
                details.talk-steps open[topic.procedures.len() == 1 && list.steps.len() <= 8] {
                    summary { (list.name) " " span.soft.small { (words::count(list.steps.len(), "step", "steps")) } }
                    ol { @for step in &list.steps { li { (say::step(boat, step)) } } }
                    p.small { a href=(links::steps(&over.vessel.slug, &list.id)) { "With its cautions" } }
                }
            }
        }
    }
}

fn next_line(over: &Handover<'_>, run: &Run<'_>, next: &Stop) -> Markup {
    let topic = &run.briefing.topics[next.topic];
    html! {
        p.talk-next { "Next: " strong { (topic.name) }
            @if let Some(place) = topic.place { ", " (over.boat().places[place].name) } "." }
    }
}

/// Every topic, to jump to.
fn others(run: &Run<'_>, to_topic: impl Fn(&Topic) -> String) -> Markup {
    let link = |at: usize| {
        let topic = &run.briefing.topics[at];
        html! { a.list-link href=(to_topic(topic)) { (topic.name) } }
    };
    html! {
        details.talk-others { summary { "Another topic" }
            h3 { "Still to come" }
            ul.plainly { @for stop in &run.plan.stops { li { (link(stop.topic)) } } }
            @if !run.plan.reading.is_empty() { h3 { "Left to reading" } ul.plainly { @for at in &run.plan.reading { li { (link(*at)) } } } }
            @if !run.left.is_empty() { h3 { "Not done" } ul.plainly { @for at in &run.left { li { (link(*at)) } } } }
            @if !run.done.is_empty() { h3 { "Done" } ul.plainly { @for at in run.done.keys() { li { (link(*at)) } } } }
        }
    }
}
