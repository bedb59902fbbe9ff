//! Every class of the library compiles on a boat that uses it, alone and together with all the others, and every
//! figure in it says where it comes from.

use boat::{class_text, classes, compile};
use toml_edit::{DocumentMut, Item as Toml, TableLike};

use crate::cases::sound;

/// What a parameter without a default stands for on the fixture boat: a class's own line before a line for all.
const PARAMETERS: &[(&str, &str, &str)] = &[
    ("*", "power", "always"),
    ("*", "engine", "diesel_engine is running"),
    ("*", "running", "diesel_engine is running"),
    ("bow_thruster", "engine", "diesel_engine"),
    ("windlass", "engine", "diesel_engine"),
    ("parallel_switch", "engine", "diesel_engine"),
    ("fuel_shutoff", "engine", "diesel_engine"),
    ("*", "started", "start_diesel_engine"),
    ("*", "ready", "make_ready"),
    ("*", "house_on", "make_ready"),
    ("*", "pumping", "make_ready"),
    ("*", "switch_on", "make_ready"),
    ("*", "connect", "make_ready"),
    ("*", "helm", "cockpit"),
    ("*", "filler", "cockpit"),
    ("*", "deck", "cockpit"),
    ("*", "mast", "cockpit"),
    ("*", "bow", "cockpit"),
    ("*", "stock", "cockpit"),
    ("*", "dinghy", "cockpit"),
    ("*", "breaker", "main"),
    ("*", "main", "main"),
    ("*", "switch", "main"),
    ("*", "pump", "main"),
    ("*", "valve", "main"),
    ("*", "loads_off", "main"),
    ("*", "battery_switch", "main"),
    ("*", "engine_switch", "main"),
    ("*", "seacock", "sea_valve"),
    ("deck_wash", "seacock", "sea_valve is open"),
    ("*", "inlet", "sea_valve"),
    ("*", "bottle", "sea_valve"),
    ("*", "supply", "always"),
    ("*", "water", "always"),
    ("*", "first_water", "always"),
    ("*", "second_water", "always"),
    ("*", "cooling", "sea_valve is open"),
    ("*", "flow", "sea_valve is open"),
    ("*", "bank", "always"),
    ("*", "shore", "always"),
    ("*", "gas", "always"),
    ("*", "tank", "always"),
    ("*", "way", "always"),
    ("*", "house", "always"),
    ("*", "starting", "always"),
    ("*", "flat", "charge"),
];

/// What the classes' parameters speak of, beside the sound boat.
const YARD: &str = r#"
[places.dock]
name = "Dock"
level = "dock"
aft = "5 m"
side = "3 m starboard"
long = "10 m"
wide = "1 m"

[controls.main]
place = "cockpit"
positions = ["off", "on"]
rest = "off"

[conditions.main_live]
name = "Current comes from the main switch."
when = "main is on"

[controls.sea_valve]
place = "engine_space"
positions = ["shut", "open"]
rest = "open"

[states.charge]
name = "Charge of the start battery"
values = ["good", "flat"]
rest = "good"

[procedures.make_ready]
name = "Switch on"
goal = "main is on"
leaves = ["main is on"]
steps = [{ set = "main", to = "on" }]
"#;

/// A boat with an item of each of these classes, and an engine of the class that others lean on.
pub(crate) fn fixture(wanted: &[&str]) -> String {
    let mut text = format!("{}{YARD}", sound());
    let engine = ["diesel_engine"].into_iter().filter(|engine| !wanted.contains(engine));
    for class in engine.chain(wanted.iter().copied()) {
        let with: Vec<String> = parameters(class)
            .into_iter()
            .filter(|(_, default)| default.is_none())
            .map(|(name, _)| format!("{name} = \"{}\"", stands_for(class, &name)))
            .collect();
        let name = class.replace('_', " ");
        let with = with.join(", ");
        let keys =
            format!("name = \"{name}\"\nclass = \"{class}\"\nwith = {{ {with} }}\nplace = \"cockpit\"");
        text = format!("{text}\n[items.{class}]\n{keys}\n");
    }
    text
}

fn stands_for(class: &str, parameter: &str) -> &'static str {
    let line = |wanted: &str| PARAMETERS.iter().find(|(of, name, _)| *of == wanted && *name == parameter);
    let found = line(class).or_else(|| line("*"));
    found.unwrap_or_else(|| panic!("say in PARAMETERS what {parameter} of {class} is on the fixture boat")).2
}

fn document(class: &str) -> DocumentMut {
    class_text(class).unwrap().parse().unwrap_or_else(|error| panic!("{class}: {error}"))
}

/// The parameters of a class with their defaults.
fn parameters(class: &str) -> Vec<(String, Option<String>)> {
    let document = document(class);
    let Some(params) = document.get("params").and_then(Toml::as_table_like) else { return Vec::new() };
    let default = |keys: &Toml| keys.get("default").and_then(Toml::as_str).map(ToOwned::to_owned);
    params.iter().map(|(name, keys)| (name.to_owned(), default(keys))).collect()
}

/// All that the compiler says about a boat with these classes.
fn said(wanted: &[&str]) -> Vec<String> {
    let compiled = compile("fixture.toml", &fixture(wanted));
    compiled.diagnostics.iter().map(|found| found.plain(&compiled.sources)).collect()
}

#[test]
fn every_class_compiles_alone() {
    for class in classes() {
        let said = said(&[class]);
        assert!(said.is_empty(), "{class}:\n{}", said.join("\n"));
    }
}

#[test]
fn all_classes_compile_together() {
    let all: Vec<&str> = classes().collect();
    let said = said(&all);
    assert!(said.is_empty(), "{}", said.join("\n"));
}

#[test]
fn every_parameter_is_used_and_every_word_in_angle_brackets_is_one() {
    for class in classes() {
        let text = class_text(class).unwrap();
        let parameters = parameters(class);
        for (name, _) in &parameters {
            assert!(text.contains(&format!("<{name}>")), "{class} never uses <{name}>");
        }
        for (at, _) in text.match_indices('<') {
            let Some((word, _)) = text[at + 1..].split_once('>') else { continue };
            if word.is_empty() || !word.chars().all(|c| c.is_ascii_lowercase() || c == '_') {
                continue;
            }
            let known = matches!(word, "self" | "name" | "noun" | "place")
                || parameters.iter().any(|(name, _)| name == word);
            assert!(known, "{class} speaks of <{word}>, which is no parameter");
        }
    }
}

#[test]
fn every_figure_of_a_class_has_a_source() {
    let mut missing = Vec::new();
    for class in classes() {
        let document = document(class);
        assert!(document.get("source").is_some_and(Toml::is_str), "{class} has no source");
        for (section, rows) in document.iter() {
            let Some(rows) = rows.as_table_like().filter(|_| section != "params") else { continue };
            for (id, row) in rows.iter() {
                let Some(row) = row.as_table_like() else { continue };
                let figures = matches!(
                    section,
                    "upkeep" | "faults" | "loads" | "sources" | "stores" | "modes" | "tackle"
                );
                if figures && !has_source(row) {
                    missing.push(format!("{class}: {section}.{id}"));
                }
                // A limit's own source, or that of the entry it stands in.
                let limits = row.get("limits").and_then(Toml::as_array).into_iter().flatten();
                let bare = limits.filter_map(|limit| limit.as_inline_table()).any(|limit| !has_source(limit));
                if bare && !has_source(row) {
                    missing.push(format!("{class}: {section}.{id}, limits"));
                }
            }
        }
    }
    assert!(missing.is_empty(), "without source:\n{}", missing.join("\n"));
}

fn has_source(row: &dyn TableLike) -> bool {
    row.get("source").and_then(Toml::as_str).is_some_and(|source| !source.trim().is_empty())
}
