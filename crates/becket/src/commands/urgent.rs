//! Emergencies on the command line: no question is asked, the steps are printed.

use boat::model::{Boat, Procedure, ProcedureId};
use operate::{Model, cautions, step_words};
use quantity::System;
use serde_json::{Value, json};

use crate::layout;
use crate::say;

/// Words in the name of a list for what may come up while one looks for something else.
const GAS_FIRE_WATER: &[&str] = &["gas", "fire", "smoke", "burn", "coming in", "flood", "leak"];

/// What holds where a boat file has no list (common practice).
pub(crate) const HELP: &str = "Get everyone on deck with lifejackets on, away from it. VHF radio, channel 16: Mayday. \
                               No radio: the emergency number of the country that you are in.";

/// All emergency lists: those for gas, fire and water first, else in the order of the file.
pub(crate) fn lists(boat: &Boat) -> Vec<ProcedureId> {
    let mut lists: Vec<ProcedureId> =
        boat.procedures.iter_ids().filter(|(_, list)| list.emergency).map(|(id, _)| id).collect();
    lists.sort_by_key(|id| !is_gas_fire_or_water(&boat.procedures[*id]));
    lists
}

fn is_gas_fire_or_water(list: &Procedure) -> bool {
    let name = list.name.to_lowercase();
    GAS_FIRE_WATER.iter().any(|word| name.contains(word))
}

/// The line that stands wherever something is asked; `how` says how to get at the lists.
pub(crate) fn line(boat: &Boat, argument: &str, by_key: bool) -> String {
    let what = "If you smell gas, see smoke or fire, or water comes in, stop here and look for no cause.";
    if by_key {
        return format!("{what} Type e for the emergency lists.");
    }
    let ids: Vec<&str> = lists(boat)
        .into_iter()
        .map(|id| &boat.procedures[id])
        .filter(|list| is_gas_fire_or_water(list))
        .map(|list| list.id.as_str())
        .collect();
    if ids.is_empty() {
        return format!("{what} {HELP}");
    }
    format!("{what} The steps: becket wrong {argument} LIST, where LIST is one of {}.", ids.join(", "))
}

/// A step list as it is to be followed, with its cautions.
pub(crate) fn steps(boat: &Boat, id: ProcedureId) -> String {
    let list = &boat.procedures[id];
    let model = Model::new(boat);
    let mut out = format!("{}\n", list.name);
    if let Some(about) = &list.about {
        out.push_str(&layout::wrap(&boat.say(about, System::Metric), ""));
    }
    let mut told = list.cautions.clone();
    for caution in &list.cautions {
        out.push_str(&layout::wrap(&say::caution(boat, *caution), ""));
    }
    out.push('\n');
    for (at, step) in list.steps.iter().enumerate() {
        let place =
            boat.step_place(step).map_or_else(String::new, |id| format!(" [{}]", boat.places[id].name));
        let words = format!("{}{place}", step_words(boat, step));
        out.push_str(&layout::hang(&words, &format!("{:>3}. ", at + 1), "     "));
        for caution in cautions(&model, step) {
            // A caution that was told is not told at every step.
            if !told.contains(&caution) {
                out.push_str(&layout::wrap(&say::caution(boat, caution), "     "));
                told.push(caution);
            }
        }
    }
    out
}

/// The same for programs.
pub(crate) fn to_json(boat: &Boat, id: ProcedureId) -> Value {
    let list = &boat.procedures[id];
    json!({
        "kind": "emergency",
        "list": list.id,
        "name": list.name,
        "steps": list.steps.iter().map(|step| json!({
            "words": step_words(boat, step),
            "place": boat.step_place(step).map(|place| boat.places[place].id.as_str()),
        })).collect::<Vec<_>>(),
    })
}
