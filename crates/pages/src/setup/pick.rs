//! What can be picked: entries by place, positions, facts, classes.

use std::collections::BTreeMap;

use boat::edit::{Deck, Entry, Value, class_name};
use maud::{Markup, html};

use crate::words;

/// Options in groups: the group's words (none for no group), then values with their words.
pub(super) type Groups = Vec<(String, Vec<(String, String)>)>;

/// A list to choose one from. What is chosen and not in the list stays, and is said to be unknown.
pub(super) fn select(
    id: &str,
    name: &str,
    hint: &str,
    groups: &[(String, Vec<(String, String)>)],
    chosen: &str,
) -> Markup {
    let known = groups.iter().any(|(_, options)| options.iter().any(|(value, _)| value == chosen));
    html! {
        select id=(id) name=(name) aria-describedby=(hint) {
            option value="" selected[chosen.is_empty()] { "Not said" }
            @if !chosen.is_empty() && !known { option value=(chosen) selected { (chosen) " (the file has no such entry)" } }
            @for (group, options) in groups {
                @if group.is_empty() { (options_of(options, chosen)) }
                @else { optgroup label=(group) { (options_of(options, chosen)) } }
            }
        }
    }
}

fn options_of(options: &[(String, String)], chosen: &str) -> Markup {
    html! { @for (value, words) in options { option value=(value) selected[value == chosen] { (words) } } }
}

/// Several to choose: each chosen one in a list of its own, and one more.
pub(super) fn several(
    id: &str,
    name: &str,
    hint: &str,
    groups: &[(String, Vec<(String, String)>)],
    value: Option<&Value>,
) -> Markup {
    let chosen: Vec<&str> =
        value.map(Value::list).unwrap_or_default().iter().filter_map(Value::as_text).collect();
    html! {
        @for (at, one) in chosen.iter().copied().chain([""]).enumerate() {
            label.vh for=(format!("{id}-{at}")) { "Choice " (at + 1) }
            (select(&format!("{id}-{at}"), name, hint, groups, one))
        }
    }
}

/// Several lines to pick from one of the page's lists by typing a few letters.
pub(super) fn several_lines(id: &str, name: &str, list: &str, value: Option<&Value>) -> Markup {
    let chosen: Vec<&str> =
        value.map(Value::list).unwrap_or_default().iter().filter_map(Value::as_text).collect();
    html! {
        @for (at, one) in chosen.iter().copied().chain(["", ""]).enumerate() {
            label.vh for=(format!("{id}-{at}")) { "Line " (at + 1) }
            input id=(format!("{id}-{at}")) name=(name) type="text" list=(list) value=(one) autocomplete="off" placeholder="Type a few letters and choose";
        }
    }
}

/// A fact: picked part by part if it is a plain one, or a line.
pub(super) fn fact(id: &str, name: &str, typed: &str) -> Markup {
    let (any, parts) = plain_parts(typed);
    let is_plain = typed.is_empty() || !parts.is_empty();
    let line = html! {
        label for=(id) { "As a line" }
        input id=(id) name=(name) type="text" value=(if is_plain { "" } else { typed }) autocomplete="off" data-fact;
    };
    html! {
        @if is_plain {
            div.fact {
                label for=(format!("{id}-join")) { "It is so if" }
                select id=(format!("{id}-join")) name=(format!("{name}~join")) {
                    option value="all" selected[!any] { "all of these are so" }
                    option value="any" selected[any] { "any of these is so" }
                }
                @for (at, part) in parts.iter().copied().chain(["", ""]).enumerate() {
                    label.vh for=(format!("{id}-part-{at}")) { "Part " (at + 1) }
                    input id=(format!("{id}-part-{at}")) name=(format!("{name}~part")) type="text" list="facts" value=(part) autocomplete="off" placeholder="Type a few letters and choose";
                }
            }
            details { summary { "Write it out instead" } (line) }
        } @else {
            p.small { "This one has brackets or compares quantities, so it stands as a line." }
            (line)
        }
    }
}

/// A fact as parts joined by one word, if it is such a one; whether they are joined by `or`.
fn plain_parts(fact: &str) -> (bool, Vec<&str>) {
    let simple = |part: &&str| {
        let words: Vec<&str> = part.split_whitespace().collect();
        !part.contains(['(', ')', '<', '>', ','])
            && (1..=4).contains(&words.len())
            && !words.contains(&"or")
            && !words.contains(&"and")
    };
    let joined = |word: &str| -> Option<Vec<&str>> {
        let parts: Vec<&str> = fact.split(word).collect();
        parts.iter().all(simple).then_some(parts)
    };
    if fact.trim().is_empty() {
        return (false, Vec::new());
    }
    if let Some(parts) = joined(" and ") {
        return (false, parts);
    }
    joined(" or ").map_or((false, Vec::new()), |parts| (true, parts))
}

/// The entries of a section for picking, by place where they have one.
pub(super) fn entries(deck: &Deck, section: &str) -> Groups {
    let all = deck.section(section);
    if section == "places" {
        return by_level(all);
    }
    let mut groups: Groups = Vec::new();
    let mut at: BTreeMap<String, usize> = BTreeMap::new();
    for entry in all {
        let place = entry.place.as_deref().and_then(|place| deck.find("places", place));
        let group = place.map_or_else(String::new, |place| place.name.clone());
        let slot = *at.entry(group.clone()).or_insert_with(|| {
            groups.push((group, Vec::new()));
            groups.len() - 1
        });
        groups[slot].1.push((entry.id.clone(), words_of(entry, all)));
    }
    groups
}

/// The name, with the id where two have the same name.
fn words_of(entry: &Entry, all: &[Entry]) -> String {
    let twice = all.iter().filter(|other| other.name == entry.name).count() > 1;
    if twice { format!("{} ({})", entry.name, words::spaced(&entry.id)) } else { entry.name.clone() }
}

fn by_level(places: &[Entry]) -> Groups {
    let mut groups: Groups = Vec::new();
    for level in ["deck", "below", "bilge", "aloft", "dock"] {
        let here =
            places.iter().filter(|place| place.full.get("level").and_then(Value::as_text) == Some(level));
        let options: Vec<_> = here.map(|place| (place.id.clone(), words_of(place, places))).collect();
        if !options.is_empty() {
            groups.push((words::capital(level), options));
        }
    }
    let rest = places
        .iter()
        .filter(|place| !groups.iter().any(|(_, own)| own.iter().any(|(id, _)| *id == place.id)));
    let rest: Vec<_> = rest.map(|place| (place.id.clone(), place.name.clone())).collect();
    if !rest.is_empty() {
        groups.push(("Elsewhere".to_owned(), rest));
    }
    groups
}

/// The classes of the library, by name.
pub(super) fn classes() -> Groups {
    let mut all: Vec<(String, String)> = boat::classes()
        .map(|class| (class.to_owned(), class_name(class).unwrap_or_else(|| words::spaced(class))))
        .collect();
    all.sort_by(|a, b| a.1.cmp(&b.1));
    vec![(String::new(), all)]
}

/// Controls, states and readings that stand for a quantity.
pub(super) fn measured(deck: &Deck) -> Groups {
    let of = |section: &str, all: bool| -> Vec<(String, String)> {
        let entries = deck.section(section).iter().filter(|entry| all || entry.full.get("reads").is_some());
        entries.map(|entry| (entry.id.clone(), entry.name.clone())).collect()
    };
    let groups = [
        ("Readings", of("readings", true)),
        ("Controls", of("controls", false)),
        ("States", of("states", false)),
    ];
    groups
        .into_iter()
        .filter(|(_, options)| !options.is_empty())
        .map(|(name, options)| (name.to_owned(), options))
        .collect()
}

/// The positions that fit: of the control that the same row sets, else of the entry itself.
pub(super) fn values(deck: &Deck, table: &Value, own: &[String]) -> Groups {
    let set = table.get("set").and_then(Value::as_text);
    let options = match set {
        Some(control) => deck.positions(control),
        None => own.iter().map(|name| (name.clone(), words::spaced(name))).collect(),
    };
    vec![(String::new(), options)]
}

pub(super) fn class_of(table: &Value) -> Option<&str> {
    table.get("class").and_then(Value::as_text)
}

/// The lists of the page from which facts and assignments are picked by typing.
pub(super) fn lists(deck: &Deck) -> Markup {
    let vars = || ["controls", "states"].into_iter().flat_map(|section| deck.section(section));
    html! {
        datalist #assigns {
            @for entry in vars() {
                @for (value, label) in deck.positions(&entry.id) {
                    option value=(format!("{} is {value}", entry.id)) label=(format!("{}: {label}", entry.name)) {}
                }
            }
        }
        datalist #facts {
            @for entry in vars() {
                @for (value, label) in deck.positions(&entry.id) {
                    option value=(format!("{} is {value}", entry.id)) label=(format!("{}: {label}", entry.name)) {}
                    option value=(format!("{} is not {value}", entry.id)) label=(format!("{}: not {label}", entry.name)) {}
                }
            }
            @for entry in deck.section("conditions") {
                option value=(entry.id) label=(entry.name) {}
                option value=(format!("not {}", entry.id)) label=(format!("Not so: {}", entry.name)) {}
            }
        }
    }
}

/// A row of a list in a few words: a step as it would be read out, else its first words.
pub(super) fn row_words(deck: &Deck, row: &Value) -> String {
    let text = |key: &str| row.get(key).and_then(Value::as_text);
    let name = |section: &str, id: &str| {
        deck.find(section, id).map_or_else(|| words::spaced(id), |entry| entry.name.clone())
    };
    if let Some(say) = text("say") {
        return say.to_owned();
    }
    match (text("set"), text("do"), text("look"), text("wait")) {
        (Some(control), ..) => {
            let to = text("to").unwrap_or_default();
            let label =
                deck.positions(control).into_iter().find(|(value, _)| value == to).map(|(_, label)| label);
            format!(
                "{}: {}",
                name("controls", control),
                label.unwrap_or_else(|| "no position chosen".to_owned())
            )
        }
        (_, Some(action), ..) => name("actions", action),
        (.., Some(look), _) => look.to_owned(),
        (.., Some(wait)) => format!("wait {wait}"),
        _ => row.entries().first().map_or_else(|| "nothing yet".to_owned(), |(_, value)| value.typed()),
    }
}
