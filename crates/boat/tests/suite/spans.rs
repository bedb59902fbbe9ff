//! Where diagnostics point: into the boat file, or into a class and back at the item that brought it.

use boat::compile;
use boat::diagnostic::Diagnostic;
use boat::model::Thing;
use boat::source::{SourceId, Sources};

use crate::cases::sound;

const PUMP: &str = "\n[items.bilge_pump]\nname = \"Bilge pump\"\nclass = \"bilge_pump_electric\"\nwith = { power = \"nothing_such\" }\nplace = \"saloon\"\n";

/// The diagnostics about a sound boat with these lines added.
fn said(lines: &str) -> (Vec<Diagnostic>, Sources) {
    let compiled = compile("dunlin.toml", &format!("{}{lines}", sound()));
    (compiled.diagnostics, compiled.sources)
}

#[test]
fn a_fault_inside_a_class_names_the_class_and_points_back_at_the_item() {
    let (found, sources) = said(PUMP);
    assert!(!found.is_empty());
    for diagnostic in &found {
        let (name, at) = sources.locate(diagnostic.primary.span);
        assert_eq!(name, "class bilge_pump_electric");
        assert!(
            sources.words(diagnostic.primary.span).contains("<power>"),
            "the words of the class, as they stand there"
        );
        assert!(sources.get(diagnostic.primary.span.source).line(at.line).starts_with("when = "));
        let back = diagnostic.secondary.iter().find(|label| label.span.source == SourceId::BOAT).unwrap();
        assert_eq!(sources.words(back.span), "\"bilge_pump_electric\"");
        assert_eq!(sources.locate(back.span).0, "dunlin.toml");
        assert!(
            diagnostic.primary.text.contains("nothing_such"),
            "what the words became: {}",
            diagnostic.primary.text
        );
    }
}

#[test]
fn two_items_of_one_class_are_each_pointed_at() {
    let second = PUMP.replace("items.bilge_pump", "items.spare_pump");
    let (found, sources) = said(&format!("{PUMP}{second}"));
    let mut lines: Vec<usize> = found
        .iter()
        .flat_map(|diagnostic| &diagnostic.secondary)
        .filter(|label| label.span.source == SourceId::BOAT)
        .map(|label| sources.locate(label.span).1.line)
        .collect();
    lines.sort_unstable();
    lines.dedup();
    assert_eq!(lines.len(), 2, "{found:?}");
}

#[test]
fn a_class_is_one_source_however_often_it_is_used() {
    let sound_pump = PUMP.replace("nothing_such", "always");
    let second = sound_pump.replace("items.bilge_pump", "items.spare_pump");
    let compiled = compile("dunlin.toml", &format!("{}{sound_pump}{second}", sound()));
    let boat = compiled.boat.unwrap();
    let pumps = boat.sources().iter().filter(|source| source.name == "class bilge_pump_electric").count();
    assert_eq!(pumps, 1);
    assert_eq!(boat.sources().iter().next().unwrap().name, "dunlin.toml");
}

#[test]
fn what_the_boat_file_overrides_is_pointed_at_in_the_boat_file() {
    let lines =
        format!("{}\n[controls.bilge_pump]\nrest = \"automatic\"\n", PUMP.replace("nothing_such", "always"));
    let (found, sources) = said(&lines);
    let [only] = found.as_slice() else { panic!("{found:?}") };
    assert_eq!(only.code, "unknown-value");
    assert_eq!(sources.locate(only.primary.span).0, "dunlin.toml");
    assert_eq!(sources.words(only.primary.span), "automatic");
}

#[test]
fn things_know_where_they_were_written() {
    let text = format!("{}{}", sound(), PUMP.replace("nothing_such", "always"));
    let boat = compile("dunlin.toml", &text).boat.unwrap();
    let words = |thing: Thing| boat.span(thing).map(|span| boat.sources().words(span));
    assert_eq!(words(Thing::Item(boat.item("engine").unwrap())), Some("engine"));
    assert_eq!(words(Thing::Var(boat.var("motor").unwrap())), Some("motor"));
    assert_eq!(words(Thing::Particulars), Some("boat"));
    let start = boat.procedure("start_engine").unwrap();
    assert_eq!(words(Thing::Step(start, 1)), Some("{ do = \"crank\", for = \"5 s\" }"));
    assert_eq!(words(Thing::Step(start, 2)), None, "there is no third step");
    let ready = Thing::Condition(boat.condition("bilge_pump_ready").unwrap());
    assert_eq!(words(ready), Some("\"<self>_ready\""), "in the class, as it stands there");
    assert_eq!(boat.sources().locate(boat.span(ready).unwrap()).0, "class bilge_pump_electric");
}
