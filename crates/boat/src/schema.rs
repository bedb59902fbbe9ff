//! The format as JSON Schema for editors and as a reference page for people, both from the one table.

use std::fmt::Write as _;

use crate::format::{Key, Kind, PARTICULARS, SECTIONS, Section};
use crate::library;

/// The JSON Schema (draft 2020-12) of a boat file, as text: for completion and checking in editors.
///
/// # Source
/// JSON Schema, draft 2020-12, core and validation.
pub fn schema() -> String {
    let mut properties = vec![
        property("becket", "The edition of the boat file.", "\"const\": 1"),
        property("boat", "Name, hull, rig and measures.", &table(PARTICULARS)),
    ];
    for section in SECTIONS {
        let body = format!(
            "\"type\": \"object\", \"additionalProperties\": false, \"patternProperties\": {{ \"^[a-z][a-z0-9_]*$\": {{ {} }} }}",
            table(section.keys)
        );
        properties.push(property(section.name, section.about, &body));
    }
    let text = format!(
        "{{ \"$schema\": \"https://json-schema.org/draft/2020-12/schema\", \"title\": \"Boat file, edition 1\", \
         \"type\": \"object\", \"additionalProperties\": false, \"required\": [\"becket\", \"boat\"], \
         \"properties\": {{ {} }} }}",
        properties.join(", ")
    );
    indent(&text)
}

fn property(name: &str, about: &str, body: &str) -> String {
    format!("{}: {{ \"description\": {}, {body} }}", string(name), string(about))
}

fn table(keys: &[Key]) -> String {
    let properties: Vec<String> =
        keys.iter().map(|key| property(key.name, key.about, &kind(key.kind))).collect();
    let needed: Vec<String> = keys.iter().filter(|key| key.required).map(|key| string(key.name)).collect();
    format!(
        "\"type\": \"object\", \"additionalProperties\": false, \"required\": [{}], \"properties\": {{ {} }}",
        if by_class(keys) { String::new() } else { needed.join(", ") },
        properties.join(", ")
    )
}

/// Whether rows of these keys may be filled in by a class: then an editor can't know what is missing.
fn by_class(keys: &[Key]) -> bool {
    SECTIONS.iter().any(|section| std::ptr::eq(section.keys, keys))
}

fn kind(kind: Kind) -> String {
    let text = "\"type\": \"string\", \"minLength\": 1";
    let id = "\"type\": \"string\", \"pattern\": \"^[a-z][a-z0-9_]*$\"";
    let list = |of: &str| format!("\"type\": \"array\", \"items\": {{ {of} }}");
    match kind {
        Kind::Text
        | Kind::Words
        | Kind::Fact
        | Kind::Assign
        | Kind::Side
        | Kind::QuantityOrMeasured
        | Kind::ValueName
        | Kind::Signed(_) => text.to_owned(),
        Kind::Texts | Kind::Assigns => list(text),
        Kind::Integer(least, most) => {
            format!("\"type\": \"integer\", \"minimum\": {least}, \"maximum\": {most}")
        }
        Kind::Number(least, most) => {
            format!("\"type\": \"number\", \"minimum\": {least}, \"maximum\": {most}")
        }
        Kind::Bool => "\"type\": \"boolean\"".to_owned(),
        Kind::Choice(words) => {
            let words: Vec<String> = words.iter().map(|word| string(word)).collect();
            format!("\"enum\": [{}]", words.join(", "))
        }
        Kind::Choices(words) => {
            let words: Vec<String> = words.iter().map(|word| string(word)).collect();
            list(&format!("\"enum\": [{}]", words.join(", ")))
        }
        Kind::Quantity(dimension) => format!("{text}, \"examples\": [{}]", string(dimension.example())),
        Kind::Clock => "\"type\": \"string\", \"pattern\": \"^[0-9]{1,2}:[0-9]{2}$\"".to_owned(),
        Kind::OneOf(dimensions) => {
            let examples: Vec<String> = dimensions.iter().map(|one| string(one.example())).collect();
            format!("{text}, \"examples\": [{}]", examples.join(", "))
        }
        Kind::AnyQuantity => format!("{text}, \"examples\": [\"3 s\", \"1500 rpm\"]"),
        Kind::Ref(_) | Kind::Measured => id.to_owned(),
        Kind::Refs(_) => list(id),
        Kind::ValueNames => {
            format!(
                "{}, \"minItems\": 2, \"uniqueItems\": true",
                list("\"type\": \"string\", \"pattern\": \"^[a-z0-9_]+$\"")
            )
        }
        Kind::WordsByValue | Kind::QuantityByValue => {
            format!("\"type\": \"object\", \"additionalProperties\": {{ {text} }}")
        }
        Kind::Parameters => {
            "\"type\": \"object\", \"additionalProperties\": { \"type\": [\"string\", \"number\"] }"
                .to_owned()
        }
        Kind::Date => "\"type\": \"string\", \"pattern\": \"^[0-9]{4}-[0-9]{2}-[0-9]{2}$\"".to_owned(),
        Kind::Money => "\"type\": \"string\", \"pattern\": \"^[0-9]+(\\\\.[0-9]+)? [A-Z]{3}$\"".to_owned(),
        Kind::Row(keys) => table(keys),
        Kind::Rows(keys) => list(&table(keys)),
        Kind::Class => {
            let classes: Vec<String> = library::classes().map(string).collect();
            format!("\"enum\": [{}]", classes.join(", "))
        }
    }
}

/// A JSON string.
fn string(text: &str) -> String {
    let mut out = String::from("\"");
    for c in text.chars() {
        match c {
            '"' => out.push_str("\\\""),
            '\\' => out.push_str("\\\\"),
            c if (c as u32) < 0x20 => {
                // Writing to a String can't fail.
                let _ = write!(out, "\\u{:04x}", c as u32);
            }
            c => out.push(c),
        }
    }
    out.push('"');
    out
}

/// Puts each key of JSON text on its own line.
fn indent(json: &str) -> String {
    let mut out = String::new();
    let (mut depth, mut quoted, mut escaped) = (0_usize, false, false);
    let mut letters = json.chars().peekable();
    while let Some(c) = letters.next() {
        if quoted {
            out.push(c);
            quoted = escaped || c != '"';
            escaped = !escaped && c == '\\';
            continue;
        }
        let empty = matches!((c, letters.peek()), ('{', Some('}')) | ('[', Some(']')));
        match c {
            ' ' => continue,
            '"' => quoted = true,
            '{' | '[' => depth += 1,
            '}' | ']' => depth -= 1,
            _ => {}
        }
        let closes_empty = matches!(c, '}' | ']') && out.ends_with(['{', '[']);
        if matches!(c, '}' | ']') && !closes_empty {
            new_line(&mut out, depth);
        }
        out.push(c);
        match c {
            '{' | '[' if !empty => new_line(&mut out, depth),
            ',' => new_line(&mut out, depth),
            ':' => out.push(' '),
            _ => {}
        }
    }
    out.push('\n');
    out
}

fn new_line(out: &mut String, depth: usize) {
    out.push('\n');
    out.push_str(&"  ".repeat(depth));
}

/// The reference of the boat file, in Markdown: every section, every key, what it means and what it takes.
pub fn reference() -> String {
    let mut out = String::from(
        "# The boat file\n\nWritten by `cargo xtask generate` from the format's own table.\n\n\
         A boat file is a TOML text, one a boat. It begins with `becket = 1`, the edition. Ids are small letters,\n\
         figures and `_`. Controls, states, conditions and readings share one set of names, since facts speak of all\n\
         four. A key marked **needed** must be there, unless the item's class brings it.\n\n\
         ## Facts\n\n\
         `x is on`, `x is not on`, `x is one of (a, b)`, a condition's name, comparisons of quantities\n\
         (`engine_rpm >= 1500 rpm`), joined by `and`, `or`, `not` and brackets; `always` and `never`.\n\
         `not` binds closest, then comparisons, then `and`, then `or`.\n\n\
         ## Words\n\n\
         Words for people may hold `{thing.limit}`, such as `{bow_thruster.longest}`: the limit is printed there, so\n\
         that a figure is written once.\n\n## `[boat]`\n\nName, hull, rig and measures.\n\n",
    );
    keys(PARTICULARS, &mut out, "");
    for section in SECTIONS {
        section_reference(section, &mut out);
    }
    out.push_str("\n## Classes\n\n");
    for class in library::classes() {
        let about = library::class_about(class);
        // Writing to a String can't fail.
        let _ = writeln!(out, "- `{class}`: {about}");
    }
    out
}

fn section_reference(section: &Section, out: &mut String) {
    let _ = write!(out, "\n## `[{}.id]`\n\n{}\n\n", section.name, section.about);
    keys(section.keys, out, "");
}

pub(crate) fn keys(keys_of: &[Key], out: &mut String, indent: &str) {
    for key in keys_of {
        let needed = if key.required { ", **needed**" } else { "" };
        let _ =
            writeln!(out, "{indent}- `{}`{needed}: {} Write {}.", key.name, key.about, key.kind.expected());
        if let Kind::Row(inner) | Kind::Rows(inner) = key.kind {
            keys(inner, out, &format!("{indent}  "));
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn indenting_keeps_what_is_in_quotes() {
        assert_eq!(
            indent(r#"{"a {": [], "b": {"c": "\"} ,"}}"#),
            "{\n  \"a {\": [],\n  \"b\": {\n    \"c\": \"\\\"} ,\"\n  }\n}\n"
        );
    }
}
