//! Steps and events in words, the same for the command line and the pages.

use boat::model::{Boat, Step, VarKind};
use quantity::System;

use crate::words;
use crate::world::Event;

/// The words of a step, with its limits filled in.
pub fn step_words(boat: &Boat, step: &Step) -> String {
    boat.say(&words::step(boat, step), System::Metric)
}

/// What happened by itself or should not have happened, a full sentence.
pub fn event_words(boat: &Boat, event: Event) -> String {
    let words = match event {
        Event::Turned(var, turn) => {
            let row = &boat.vars[var];
            let turn = match &row.kind {
                VarKind::State(state) => state.turns.get(turn),
                VarKind::Control(_) => None,
            };
            let seen = turn.and_then(|turn| turn.seen.clone());
            seen.unwrap_or_else(|| {
                let to = turn.map_or("another value", |turn| row.label(turn.to));
                format!("{} becomes: {to}.", row.name)
            })
        }
        Event::Harm(thing) => boat.harm_at(thing).map(|harm| harm.what.clone()).unwrap_or_default(),
        Event::Breach(thing) => {
            let breach = boat.limit_at(thing).and_then(|limit| limit.breach.as_ref());
            breach.map_or_else(
                || format!("A limit of {} is passed.", words::thing(boat, thing)),
                |breach| breach.what.clone(),
            )
        }
        Event::Never(id) => boat.nevers[id].what.clone(),
        Event::Endless => "Changes that happen by themselves go round in a circle.".to_owned(),
    };
    boat.say(&words, System::Metric)
}
