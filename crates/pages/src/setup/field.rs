//! One field of a form for each kind of the format's table: a picker where there is something to pick.

use boat::edit::{Deck, Key, Kind, Value, parameters, unit_choices};
use maud::{Markup, html};
use quantity::Dimension;

use super::form::ROOT;
use super::{called, pick, spot};
use crate::words;

/// What fields need at hand.
#[derive(Clone, Copy)]
pub(super) struct Desk<'a> {
    /// The boat file, laid out.
    pub(super) deck: &'a Deck,
    /// The whole entry as it stands in the form.
    pub(super) row: &'a Value,
    /// All of the entry with what its class brings.
    pub(super) full: &'a Value,
    /// What is wrong, by field.
    pub(super) wrong: &'a [(String, String)],
    /// The field or the entry of a list at which somebody is, by its name; empty if nowhere.
    pub(super) at: &'a str,
}

impl Desk<'_> {
    fn wrong(&self, name: &str) -> Option<&str> {
        self.wrong.iter().find(|(own, _)| own == name).map(|(_, words)| words.as_str())
    }

    /// Whether something is wrong with a field or within it, or somebody is there.
    fn draws(&self, name: &str) -> bool {
        let within =
            |own: &str| own.strip_prefix(name).is_some_and(|rest| rest.is_empty() || rest.starts_with('.'));
        self.wrong.iter().any(|(own, _)| within(own)) || within(self.at)
    }

    /// The positions or values of the entry itself.
    fn own_names(&self) -> Vec<String> {
        let own = self.row.get("positions").or_else(|| self.row.get("values"));
        let own = own.or_else(|| self.full.get("positions")).or_else(|| self.full.get("values"));
        own.map(Value::list)
            .unwrap_or_default()
            .iter()
            .filter_map(Value::as_text)
            .map(str::to_owned)
            .collect()
    }
}

/// All fields of a table: `table` is what it says now, `brought` what a class brings. What is needed or filled in most
/// stands first; the rest is folded up below, open if any of it is filled in or flawed.
pub(super) fn fields(
    desk: Desk<'_>,
    keys: &'static [Key],
    name: &str,
    table: &Value,
    brought: Option<&Value>,
) -> Markup {
    let own = |key: &Key| format!("{name}.{}", key.name);
    let (first, more): (Vec<&Key>, Vec<&Key>) =
        keys.iter().partition(|key| key.required || stands_first(keys.len(), name, key.name, table));
    let says = |key: &&Key| table.get(key.name).is_some() || desk.draws(&own(key));
    let (said, open): (Vec<&Key>, Vec<&Key>) = more.into_iter().partition(says);
    let one = |key: &Key| {
        let from_class =
            brought.and_then(|brought| brought.get(key.name)).filter(|_| table.get(key.name).is_none());
        field(desk, *key, &own(key), table, from_class)
    };
    let names = |keys: &[&Key]| {
        let names: Vec<String> = keys.iter().map(|key| called::field(&own(key))).collect();
        names.join(" \u{b7} ")
    };
    let rest = |heading: &str| {
        html! {
            @if !open.is_empty() {
                details.more-fields {
                    summary { span { (heading) span.more-names { (names(&open)) } } }
                    div.inner { @for key in &open { (one(key)) } }
                }
            }
        }
    };
    html! {
        @for key in first { (one(key)) }
        @if said.is_empty() { (rest("More about it")) } @else {
            details.more-fields open {
                summary { span { "More about it" } }
                div.inner { @for key in &said { (one(key)) } (rest("Still open")) }
            }
        }
    }
}

/// Whether a field that may be left open stands first: if people look for it. A step that does one thing shows that.
fn stands_first(keys: usize, name: &str, key: &str, table: &Value) -> bool {
    let done = |key: &str| table.get(key).is_some();
    if name.contains(".steps.") {
        let one_way = ["set", "do", "look", "wait"].into_iter().any(done);
        return STEP.contains(&key) && (!one_way || done(key) || key == "to" && done("set"));
    }
    keys <= SHORT && name != ROOT || USUAL.contains(&key)
}

/// The ways of a step.
const STEP: [&str; 5] = ["set", "to", "do", "look", "wait"];

/// So few fields of a part are all shown.
const SHORT: usize = 5;

/// What people fill in most, and so look for, beside what is needed.
const USUAL: [&str; 14] = [
    "name", "class", "with", "item", "place", "find", "in", "side", "rest", "when", "steps", "to", "look",
    "kind",
];

fn field(desk: Desk<'_>, key: Key, name: &str, table: &Value, brought: Option<&Value>) -> Markup {
    let id = name.replace(['.', '~'], "-");
    let value = table.get(key.name);
    let wrong = desk.wrong(name);
    let grouped = matches!(
        key.kind,
        Kind::Choices(_)
            | Kind::Refs(_)
            | Kind::Assigns
            | Kind::Side
            | Kind::Fact
            | Kind::Row(_)
            | Kind::Rows(_)
            | Kind::WordsByValue
            | Kind::QuantityByValue
            | Kind::Parameters
    ) || matches!(key.kind, Kind::Choice(words) if words.len() <= FEW)
        || matches!(key.kind, Kind::Bool);
    let empty = matches!(key.kind, Kind::Parameters) && pick::class_of(table).is_none();
    let called = called::field(name);
    let said_already = key.about.trim_end_matches('.') == called;
    let label = html! { (called) @if key.required { " " span.needed { "(needed)" } } };
    let inside = html! {
        @if let Some(wrong) = wrong { p.answer-wrong id=(format!("{id}-wrong")) { (wrong) } }
        (control(desk, key, name, &id, table, value))
        p.hint.vh[said_already] id=(format!("{id}-hint")) { (key.about)
            @if let Some(brought) = brought { " " span.from-class { "Its class says: " (brought.typed()) } } }
    };
    html! {
        @if !empty {
            @if grouped {
                fieldset.set-field.wrong-field[wrong.is_some()] id=(anchor(name)) aria-describedby=(hints(desk, name, &id)) {
                    legend { (label) }
                    (inside)
                }
            } @else {
                div.set-field.wrong-field[wrong.is_some()] id=(anchor(name)) {
                    label for=(id) { (label) }
                    (inside)
                }
            }
        }
    }
}

/// The id of the whole of a field or of an entry of a list, to be led to.
pub(super) fn anchor(name: &str) -> String {
    format!("{}-field", name.replace(['.', '~'], "-"))
}

/// What is read out with a field: what is wrong with it, then what it means.
fn hints(desk: Desk<'_>, name: &str, id: &str) -> String {
    let wrong = if desk.wrong(name).is_some() { format!("{id}-wrong ") } else { String::new() };
    format!("{wrong}{id}-hint")
}

/// Up to so many words stand as buttons to press, more in a list.
const FEW: usize = 5;

fn control(desk: Desk<'_>, key: Key, name: &str, id: &str, table: &Value, value: Option<&Value>) -> Markup {
    let typed = value.map(Value::typed).unwrap_or_default();
    let hint = hints(desk, name, id);
    let line = |kind: &str| html! { input id=(id) name=(name) type=(kind) value=(typed) autocomplete="off" aria-describedby=(hint); };
    match key.kind {
        Kind::Words => html! { textarea id=(id) name=(name) rows="2" aria-describedby=(hint) { (typed) } },
        Kind::Texts => one_a_line(id, name, &hint, value),
        Kind::ValueNames => html! {
            (one_a_line(id, name, &hint, value))
            (show(name, &format!("Use these {} below", words::spaced(key.name))))
        },
        Kind::Integer(..) => {
            html! { input id=(id) name=(name) type="text" inputmode="numeric" value=(typed) aria-describedby=(hint); }
        }
        Kind::Number(..) => {
            html! { input id=(id) name=(name) type="text" inputmode="decimal" value=(typed) aria-describedby=(hint); }
        }
        Kind::Bool => radios(name, id, &[("yes", "Yes"), ("no", "No")], &typed, !key.required),
        Kind::Choice(words) if words.len() <= FEW => {
            let words: Vec<(&str, &str)> = words.iter().map(|word| (*word, *word)).collect();
            radios(name, id, &words, &typed, !key.required)
        }
        Kind::Choice(words) => {
            let options =
                words.iter().map(|word| ((*word).to_owned(), words::capital(&words::spaced(word)))).collect();
            pick::select(id, name, &hint, &[(String::new(), options)], &typed)
        }
        Kind::Choices(words) => checks(name, id, words, value),
        Kind::Quantity(dimension) | Kind::Signed(dimension) => amount(name, id, &hint, &[dimension], &typed),
        Kind::OneOf(dimensions) => amount(name, id, &hint, dimensions, &typed),
        Kind::Date => line("date"),
        Kind::Ref(section) => html! {
            (pick::select(id, name, &hint, &pick::entries(desk.deck, section), &typed))
            // With a script the positions follow by themselves.
            @if key.name == "set" { noscript { (show(name, "Show its positions")) } }
        },
        Kind::Refs(section) => html! {
            (pick::several(id, name, &hint, &pick::entries(desk.deck, section), value))
            (show(name, "Room for one more"))
        },
        Kind::Class => html! {
            (pick::select(id, name, &hint, &pick::classes(), &typed))
            (show(name, "Show what this class asks"))
        },
        Kind::Measured => pick::select(id, name, &hint, &pick::measured(desk.deck), &typed),
        Kind::ValueName => {
            let of_itself = !name.contains(".steps.");
            let picker =
                pick::select(id, name, &hint, &pick::values(desk.deck, table, &desk.own_names()), &typed);
            html! { div data-own[of_itself] { (picker) } }
        }
        Kind::Assign => {
            html! { input id=(id) name=(name) type="text" list="assigns" value=(typed) autocomplete="off" aria-describedby=(hint); }
        }
        Kind::Assigns => pick::several_lines(id, name, "assigns", value),
        Kind::Fact => pick::fact(id, name, &typed),
        Kind::WordsByValue | Kind::QuantityByValue => by_value(desk, name, id, value),
        Kind::Parameters => class_fields(desk, name, table, value),
        Kind::Row(keys) => {
            html! { div.inner { (fields(desk, keys, name, value.unwrap_or(&Value::Table(Vec::new())), None)) } }
        }
        Kind::Rows(keys) => rows(desk, keys, key.name, name, value),
        Kind::Side => spot::side(name, id, &hint, &typed),
        Kind::Text | Kind::Clock | Kind::AnyQuantity | Kind::QuantityOrMeasured | Kind::Money => line("text"),
    }
}

fn one_a_line(id: &str, name: &str, hint: &str, value: Option<&Value>) -> Markup {
    let lines: Vec<String> = value.map(Value::list).unwrap_or_default().iter().map(Value::typed).collect();
    html! {
        textarea id=(id) name=(name) rows=(lines.len().max(1) + 1) aria-describedby=(hint) { (lines.join("\n")) }
        p.hint { "One a line." }
    }
}

fn radios(name: &str, id: &str, options: &[(&str, &str)], chosen: &str, may_be_open: bool) -> Markup {
    html! {
        div.choices.few {
            @for (at, (value, words)) in options.iter().enumerate() {
                label for=(format!("{id}-{at}")) {
                    input id=(format!("{id}-{at}")) type="radio" name=(name) value=(value) checked[*value == chosen];
                    (words::capital(&words::spaced(words)))
                }
            }
            @if may_be_open {
                label for=(format!("{id}-none")) {
                    input id=(format!("{id}-none")) type="radio" name=(name) value="" checked[chosen.is_empty()];
                    "Not said"
                }
            }
        }
    }
}

fn checks(name: &str, id: &str, options: &[&str], value: Option<&Value>) -> Markup {
    let chosen: Vec<&str> =
        value.map(Value::list).unwrap_or_default().iter().filter_map(Value::as_text).collect();
    html! {
        details open[!chosen.is_empty()] {
            summary { @if chosen.is_empty() { "None chosen" } @else { (chosen.len()) " chosen" } }
            div.choices {
                @for (at, word) in options.iter().enumerate() {
                    label for=(format!("{id}-{at}")) {
                        input id=(format!("{id}-{at}")) type="checkbox" name=(name) value=(word) checked[chosen.contains(word)];
                        (words::capital(&words::spaced(word)))
                    }
                }
            }
        }
    }
}

/// A number and its unit; what is no such pair, as "1 h 30 min", stays as it is written.
pub(super) fn amount(name: &str, id: &str, hint: &str, dimensions: &[Dimension], typed: &str) -> Markup {
    let units: Vec<&str> =
        dimensions.iter().flat_map(|dimension| unit_choices(*dimension)).copied().collect();
    // A number that can't be read stays one to mend, with its unit.
    let number = |text: &str| {
        !text.is_empty() && text.chars().all(|c| c.is_ascii_digit() || ",.-\u{2212}".contains(c))
    };
    let split = typed.rsplit_once(' ').filter(|(figure, unit)| units.contains(unit) && number(figure));
    let degrees = typed.strip_suffix('\u{b0}').filter(|figure| units.contains(&"\u{b0}") && number(figure));
    let split = split.or_else(|| degrees.map(|number| (number, "\u{b0}")));
    let (number, unit) = match split {
        Some((number, unit)) => (number, unit),
        None if typed.is_empty() => ("", units.first().copied().unwrap_or_default()),
        None => (typed, ""),
    };
    html! {
        div.amount {
            input id=(id) name=(name) type="text" inputmode="decimal" value=(number) autocomplete="off" aria-describedby=(hint);
            @if !units.is_empty() {
                select name=(format!("{name}~unit")) aria-label="Unit" {
                    @for choice in &units { option value=(choice) selected[*choice == unit] { (choice) } }
                    option value="" selected[unit.is_empty()] { "as written" }
                }
            }
        }
    }
}

fn by_value(desk: Desk<'_>, name: &str, id: &str, value: Option<&Value>) -> Markup {
    let names = desk.own_names();
    html! {
        @if names.is_empty() { p { "Name the positions first, and press the button there." } }
        @for position in &names {
            @let said = value.and_then(|value| value.get(position)).map(Value::typed).unwrap_or_default();
            label for=(format!("{id}-{position}")) { (words::spaced(position)) }
            input id=(format!("{id}-{position}")) name=(format!("{name}.{position}")) type="text" value=(said) autocomplete="off";
        }
    }
}

fn class_fields(desk: Desk<'_>, name: &str, table: &Value, value: Option<&Value>) -> Markup {
    let known = pick::class_of(table).map(parameters).unwrap_or_default();
    let none = Value::Table(Vec::new());
    html! {
        @if known.is_empty() { p { "This class asks for nothing." } }
        div.inner { @for parameter in known {
            // A parameter's name lives as long as the library.
            @let key = Key { name: &parameter.name, kind: parameter.kind, required: parameter.default.is_none(), about: &parameter.about };
            (field(desk, key, &format!("{name}.{}", parameter.name), value.unwrap_or(&none), None))
            @if let Some(default) = &parameter.default { p.hint { "If it is left open: " (default) } }
        } }
    }
}

/// A list of entries, each with its own fields and its buttons.
fn rows(desk: Desk<'_>, keys: &'static [Key], key: &str, name: &str, value: Option<&Value>) -> Markup {
    let list = value.map(Value::list).unwrap_or_default();
    let one = words::spaced(key.strip_suffix('s').unwrap_or(key));
    let row_name = |at: usize| format!("{name}.{at}");
    html! {
        ol.set-rows data-rows=(key) {
            @for (at, row) in list.iter().enumerate() {
                @let own = row_name(at);
                @let open = list.len() <= 3 || row.entries().is_empty() || desk.draws(&own);
                li.set-row id=(anchor(&own)) {
                    details open[open] {
                        summary { span.row-words { (words::capital(&one)) " " (at + 1) ": " (pick::row_words(desk.deck, row)) } }
                        input type="hidden" name=(format!("{own}.here")) value="yes";
                        (fields(desk, keys, &own, row, None))
                        div.actions.row-buttons {
                            @if at > 0 { (button(&format!("up {name} {at}"), "Up", &row_name(at - 1))) }
                            @if at + 1 < list.len() { (button(&format!("down {name} {at}"), "Down", &row_name(at + 1))) }
                            (button(&format!("below {name} {at}"), "Add one below", &row_name(at + 1)))
                            (button(&format!("drop {name} {at}"), "Take out", name))
                        }
                    }
                }
            }
        }
        @if list.is_empty() { p.soft { "None." } }
        (button(&format!("add {name}"), &format!("Add a {one}"), &row_name(list.len())))
    }
}

/// A button that shows the form again, at this field.
fn show(name: &str, words: &str) -> Markup {
    html! { p.show { (button(&format!("show {name}"), words, name)) } }
}

/// A button of the form; the page that it brings opens at `to`.
fn button(what: &str, words: &str, to: &str) -> Markup {
    html! {
        button.plain type="submit" name="do" value=(what) formaction=(format!("#{}", anchor(to))) formnovalidate { (words) }
    }
}
