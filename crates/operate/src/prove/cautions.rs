//! Harms, breaches and never-states without words of warning: `harm-without-caution`.

use boat::diagnostic::Diagnostic;
use boat::model::{Boat, Harm, Limit, Thing};

use super::at;
use crate::model::Model;
use crate::words;

pub(super) fn find(model: &Model<'_>, found: &mut Vec<Diagnostic>) {
    let boat = model.boat;
    for (id, _, control) in boat.controls() {
        harms(boat, &control.harms, |at| Thing::VarHarm(id, at), found);
        limits(boat, &control.limits, |at| Thing::VarLimit(id, at), found);
    }
    for (id, action) in boat.actions.iter_ids() {
        harms(boat, &action.harms, |at| Thing::ActionHarm(id, at), found);
        limits(boat, &action.limits, |at| Thing::ActionLimit(id, at), found);
    }
    for (id, item) in boat.items.iter_ids() {
        limits(boat, &item.limits, |at| Thing::ItemLimit(id, at), found);
    }
    for (id, never) in boat.nevers.iter_ids() {
        if never.caution.is_none() {
            warn(
                boat,
                Thing::Never(id),
                &format!("Nothing warns of “{}”", never.name.trim_end_matches('.')),
                found,
            );
        }
    }
}

fn harms(boat: &Boat, harms: &[Harm], thing: impl Fn(usize) -> Thing, found: &mut Vec<Diagnostic>) {
    for (place, harm) in harms.iter().enumerate().filter(|(_, harm)| harm.caution.is_none()) {
        let name = words::thing(boat, thing(place));
        warn(
            boat,
            thing(place),
            &format!("Nothing warns of this harm of {name}: {}", harm.what.trim_end_matches('.')),
            found,
        );
    }
}

fn limits(boat: &Boat, limits: &[Limit], thing: impl Fn(usize) -> Thing, found: &mut Vec<Diagnostic>) {
    for (place, limit) in limits.iter().enumerate() {
        let harmful = limit.breach.as_ref().is_some_and(|breach| breach.severity.is_some());
        if harmful && limit.caution.is_none() {
            let name = words::thing(boat, thing(place));
            let kind = words::kind_spoken(limit.kind);
            warn(boat, thing(place), &format!("Nothing warns of passing the {kind} of {name}"), found);
        }
    }
}

fn warn(boat: &Boat, thing: Thing, headline: &str, found: &mut Vec<Diagnostic>) {
    found.push(
        Diagnostic::warning("harm-without-caution", at(boat, thing), format!("{headline}."))
            .mend("Write the caution under `cautions` and name it here as `caution`."),
    );
}
