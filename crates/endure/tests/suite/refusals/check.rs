//! What a boat file lacks for a forecast, told with a place in the boat file.

use boat::diagnostic::{Diagnostic, Severity};
use endure::check::check;

use crate::budgets::demo;
use crate::laws::random::{self, HEAD};

/// What is said of entries after a usual head, with all modes.
fn said(entries: &str) -> (Vec<Diagnostic>, String) {
    let modes: String = ["sailing", "motoring", "anchored", "moored", "alongside", "charging"]
        .iter()
        .map(|mode| {
            let motor = if ["motoring", "charging"].contains(mode) { "running" } else { "stopped" };
            format!("\n[modes.{mode}]\nname = \"{mode}\"\nholds = [\"motor is {motor}\"]\n")
        })
        .collect();
    let text = format!("{HEAD}{entries}{modes}");
    (check(&random::boat(&text)), text)
}

/// Exactly one finding, at an entry.
fn only(entries: &str, code: &str, heading: &str) -> Diagnostic {
    let (found, text) = said(entries);
    let [one] = found.as_slice() else { panic!("{found:#?}") };
    assert_eq!(one.code, code);
    let span = one.primary.span;
    assert!(text[..span.end].ends_with(heading), "{}", &text[span.start..span.end]);
    assert!(one.expected.is_some() && one.mend.is_some() && one.headline.ends_with('.'));
    one.clone()
}

const BANK: &str = "\n[stores.house]\nname = \"House bank\"\nkind = \"battery\"\nchemistry = \"agm\"\ncapacity = \"400 Ah\"\n";
const ALTERNATOR: &str =
    "\n[sources.alternator]\nname = \"Alternator\"\nkind = \"alternator\"\ngives = \"60 A\"\n";
const DIESEL: &str = "\n[stores.diesel]\nname = \"Diesel tank\"\nkind = \"diesel\"\ncapacity = \"200 L\"\n";

fn source(id: &str, lines: &str) -> String {
    format!("\n[sources.{id}]\nname = \"{id}\"\n{lines}\n")
}

fn load(id: &str, lines: &str) -> String {
    format!("\n[loads.{id}]\nname = \"{id}\"\n{lines}\n")
}

#[test]
fn the_demonstration_boats_lack_nothing() {
    for name in ["whimbrel", "dunlin", "turnstone"] {
        let found = check(&demo(name));
        let all: Vec<&str> = found.iter().map(|one| one.headline.as_str()).collect();
        assert!(all.is_empty(), "{name}:\n{}", all.join("\n"));
    }
}

#[test]
fn a_whole_boat_lacks_nothing() {
    let burn = load("fuel", "kind = \"diesel\"\nruns = \"engine\"\nburns = \"2.5 L/h\"\nat = \"2200 rpm\"");
    let (found, _) = said(&format!("{BANK}{ALTERNATOR}{DIESEL}{burn}"));
    assert!(found.is_empty(), "{found:?}");
    assert!(check(&random::boat(HEAD)).is_empty(), "a boat without stores is asked for none");
}

#[test]
fn a_bank_that_nothing_charges() {
    only(BANK, "no-charger", "house");
    let second = BANK.replace("stores.house", "stores.start").replace("House bank", "Engine battery");
    let found = only(&format!("{BANK}{second}{ALTERNATOR}"), "no-charger", "start");
    assert!(found.headline.contains("Engine battery"));
    // A combiner charges it.
    let combiner =
        source("combiner", "kind = \"combiner\"\ngives = \"100 A\"\nfrom = [\"house\"]\ninto = [\"start\"]");
    assert!(said(&format!("{BANK}{second}{ALTERNATOR}{combiner}")).0.is_empty());
}

#[test]
fn a_charger_without_an_inlet() {
    let charger = source("charger", "kind = \"charger\"\ngives = \"40 A\"");
    only(&format!("{BANK}{ALTERNATOR}{charger}"), "no-inlet", "charger");
    let inlet = source("shore", "kind = \"shore\"\ngives = \"30 A\"\nvoltage = \"120 V\"");
    assert!(said(&format!("{BANK}{charger}{inlet}")).0.is_empty());
}

#[test]
fn a_bank_that_can_t_be() {
    let found = only(&format!("{BANK}voltage = \"9 V\"\n{ALTERNATOR}"), "bank", "house");
    assert!(found.headline.starts_with("House bank:"), "{}", found.headline);
}

#[test]
fn a_load_without_its_store() {
    for (kind, keys) in [
        ("gas", "a_day_each = \"45 g\""),
        ("water", "a_day_each = \"20 L\""),
        ("electric", "draws = \"1 A\"\na_day = \"1 h\""),
    ] {
        only(&load("thing", &format!("kind = \"{kind}\"\nruns = \"daily\"\n{keys}")), "no-store", "thing");
    }
}

#[test]
fn mains_from_nowhere() {
    let kettle = load("kettle", "kind = \"mains\"\nruns = \"daily\"\ndraws = \"1800 W\"\na_day = \"10 min\"");
    only(&format!("{BANK}{ALTERNATOR}{kettle}"), "no-mains", "kettle");
    let inverter = source("inverter", "kind = \"inverter\"\ngives = \"2000 W\"");
    assert!(said(&format!("{BANK}{ALTERNATOR}{kettle}{inverter}")).0.is_empty());
    // Under way there is no shore power.
    let shore = source("shore", "kind = \"shore\"\ngives = \"30 A\"\nvoltage = \"120 V\"");
    let afloat = format!("{kettle}during = [\"sailing\"]\n");
    let found = only(&format!("{BANK}{ALTERNATOR}{afloat}{shore}"), "no-mains", "kettle");
    assert!(found.headline.contains("whenever it may run"));
}

#[test]
fn what_can_run_in_no_mode() {
    let lamp = load(
        "lamp",
        "runs = \"dark\"\ndraws = \"1 A\"\nwhen = \"motor is running\"\nduring = [\"anchored\"]",
    );
    // Charging is lying at anchor too, with the engine running.
    assert!(said(&format!("{BANK}{ALTERNATOR}{lamp}")).0.is_empty());
    let lamp = lamp.replace("anchored", "moored");
    only(&format!("{BANK}{ALTERNATOR}{lamp}"), "never-runs", "lamp");
    let never = ALTERNATOR.replace("gives", "when = \"motor is stopped\"\ngives");
    let found = only(&format!("{BANK}{never}"), "never-runs", "alternator");
    assert!(found.headline.contains("while an engine runs"));
}

#[test]
fn what_is_left_out() {
    let pump = load("pump", "runs = \"engine\"\ndraws = \"3 A\"\nat = \"2000 rpm\"");
    only(&format!("{BANK}{ALTERNATOR}{pump}"), "not-counted", "pump");
}

#[test]
fn a_tank_that_nothing_uses() {
    only(DIESEL, "unused", "diesel");
    let heater = load("heater", "kind = \"diesel\"\nruns = \"daily\"\nburns = \"0.2 L/h\"\na_day = \"3 h\"");
    only(&format!("{BANK}{ALTERNATOR}{DIESEL}{heater}"), "engine-burn", "diesel");
}

#[test]
fn modes_that_are_missing() {
    let text = format!("{HEAD}{BANK}{ALTERNATOR}");
    let found = check(&random::boat(&text));
    assert_eq!((found.len(), found[0].code, found[0].severity), (1, "no-modes", Severity::Warning));
    let one = format!("{text}\n[modes.sailing]\nname = \"Under sail\"\nholds = [\"motor is stopped\"]\n");
    let found = check(&random::boat(&one));
    assert_eq!((found.len(), found[0].code, found[0].severity), (1, "no-modes", Severity::Note));
    assert!(found[0].headline.contains("motoring, anchored, moored, alongside or charging"));
    assert!(found[0].expected.as_ref().is_some_and(|text| text.contains("[modes.motoring]")));
}
