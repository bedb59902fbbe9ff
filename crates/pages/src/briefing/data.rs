//! The plan of a briefing for programs.

use brief::{Always, Briefing, Depth, Engine, Origin, Plan, Topic};
use quantity::System;
use records::BoatStanding;
use serde_json::{Value, json};

use super::ask::BriefAsk;
use super::briefing_of;
use crate::vessel::Vessel;

/// The plan as JSON: times in seconds from the beginning; topics by their keys.
pub fn briefing_data(vessel: &Vessel, standing: Option<&BoatStanding>, ask: &BriefAsk) -> Value {
    let briefing = briefing_of(vessel, standing, ask.list);
    let plan = briefing.plan(&ask.plain());
    let asked: serde_json::Map<String, Value> =
        ask.pairs().into_iter().map(|(name, value)| (name.to_owned(), Value::String(value))).collect();
    json!({
        "boat": vessel.boat.particulars.name,
        "asked": asked,
        "caution": super::CAUTION,
        "plan": plan_data(&briefing, &plan),
        "topics": briefing.topics.iter().map(|topic| topic_data(&briefing, vessel, topic)).collect::<Vec<_>>(),
    })
}

fn plan_data(briefing: &Briefing<'_>, plan: &Plan) -> Value {
    let key = |at: &usize| briefing.topics[*at].key.as_str();
    let stops = plan.stops.iter().map(|stop| {
        json!({
            "topic": key(&stop.topic),
            "depth": depth(stop.depth),
            "walk_s": stop.walk.as_seconds().round(),
            "begins_s": stop.begins.as_seconds().round(),
            "lasts_s": stop.lasts.as_seconds().round(),
            "then_stop_the_engine": stop.then_stop,
        })
    });
    json!({
        "stops": stops.collect::<Vec<_>>(),
        "reading": plan.reading.iter().map(key).collect::<Vec<_>>(),
        "only_told": plan.only_told.iter().map(key).collect::<Vec<_>>(),
        "total_s": plan.total.as_seconds().round(),
        "walk_s": plan.walk.as_seconds().round(),
        "too_long_by_s": plan.over.as_seconds().round(),
        "engine_starts": plan.starts,
        "risk_taken_away": plan.taken_away,
        "better_by_at_most": plan.gap,
        "walk_shorter_by_at_most_s": plan.excess.as_seconds().round(),
    })
}

fn topic_data(briefing: &Briefing<'_>, vessel: &Vessel, topic: &Topic) -> Value {
    let boat = &vessel.boat;
    json!({
        "key": topic.key,
        "name": topic.name,
        "from": origin(&topic.origin),
        "words": boat.say(&topic.words, System::Metric),
        "place": topic.place.map(|place| boat.places[place].id.as_str()),
        "items": topic.items.iter().map(|item| boat.items[*item].id.as_str()).collect::<Vec<_>>(),
        "step_lists": topic.procedures.iter().map(|list| boat.procedures[*list].id.as_str()).collect::<Vec<_>>(),
        "cautions": topic.cautions.iter().map(|caution| boat.cautions[*caution].id.as_str()).collect::<Vec<_>>(),
        "takes_s": topic.takes.as_seconds(),
        "takes_is_reckoned": topic.taken,
        "in_short_s": topic.short.as_seconds(),
        "crew_does_it": topic.shown,
        "always": topic.always.map(always),
        "about": topic.about.iter().map(|subject| subject.word()).collect::<Vec<_>>(),
        "engine": engine(topic.engine),
        "after": topic.after.iter().map(|at| briefing.topics[*at].key.as_str()).collect::<Vec<_>>(),
    })
}

fn depth(depth: Depth) -> &'static str {
    match depth {
        Depth::Reading => "reading",
        Depth::Short => "in_short",
        Depth::Told => "told",
        Depth::Shown => "shown",
    }
}

fn origin(origin: &Origin) -> &'static str {
    match origin {
        Origin::Written(_) => "boat_file",
        Origin::StepList(_) => "step_list",
        Origin::Cautions => "cautions",
        Origin::Find => "emergency_items",
        Origin::Defect => "defect",
        Origin::Line => "published_list",
    }
}

fn always(always: Always) -> &'static str {
    match always {
        Always::File => "boat_file",
        Always::Emergency => "emergency",
        Always::Defect => "safety_defect",
        Always::Law => "law_or_list",
    }
}

fn engine(engine: Engine) -> &'static str {
    match engine {
        Engine::Either => "either",
        Engine::Stopped => "stopped",
        Engine::Starts => "is_started",
        Engine::Runs => "runs",
    }
}
