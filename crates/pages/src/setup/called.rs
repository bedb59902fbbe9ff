//! What keys and sections of a boat file are called on the pages, where the file's own word is too short for people.

use crate::words;

/// What the pages call a section.
pub(super) fn section(name: &str) -> String {
    match name {
        "procedures" => "Step lists".to_owned(),
        "never" => "Forbidden states".to_owned(),
        "topics" => "Briefing topics".to_owned(),
        "modes" => "How she stands".to_owned(),
        other => words::capital(other),
    }
}

/// One of a section, with its article; `one` is the format's own word.
pub(super) fn one<'o>(section: &str, one: &'o str) -> &'o str {
    match section {
        "procedures" => "a step list",
        "never" => "a forbidden state",
        "topics" => "a briefing topic",
        "modes" => "how she stands",
        _ => one,
    }
}

/// What the pages call a field: `name` is its whole name in the form, such as `f.steps.2.look`.
pub(super) fn field(name: &str) -> String {
    let key = name.rsplit('.').next().unwrap_or(name);
    let of_step = name.contains(".steps.");
    let said = match key {
        "set" if of_step => "Set a control",
        "to" if of_step => "To which position",
        "do" if of_step => "Or do something else",
        "look" if of_step => "Or look, listen, smell or feel",
        "wait" if of_step => "Or wait",
        "for" if of_step => "For how long",
        "rest" if of_step => "Rest after it",
        "say" if of_step => "The words read out",
        "aft" => "From the bow",
        "side" => "From the middle line",
        "long" => "Length, fore and aft",
        "wide" => "Width, side to side",
        "in" => "Inside of",
        "level" => "Level",
        "find" => "How to find it",
        "also" => "Other words for it",
        "with" => "What its class asks",
        "omit" => "Parts of the class that she does not have",
        "written_out" => "The class is written out already",
        "reach" => "What it takes to reach it",
        "way" => "How to get there",
        "counts_as" => "Counts as gear",
        "expires" => "Use by",
        "check" => "What to look at",
        "takes" => "How long it takes",
        "who" => "Who may do it",
        "leaves" => "What it leaves otherwise than at rest",
        "air_draught" => "Height above the water",
        "most_rpm" => "Highest engine speed",
        "utc_offset" => "Hours ahead of UTC",
        "source" => "Where the facts come from",
        "harms" => "What may go wrong",
        "moves" => "Moves that need something",
        "turns" => "How it changes by itself",
        other => return words::capital(&words::spaced(other)),
    };
    said.to_owned()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_same_key_is_called_for_what_it_does_where_it_stands() {
        assert_eq!(field("f.steps.2.look"), "Or look, listen, smell or feel");
        assert_eq!(field("f.look"), "Look");
        assert_eq!(field("f.most_of_it"), "Most of it");
        assert_eq!(section("procedures"), "Step lists");
        assert_eq!(one("kit", "a kit line"), "a kit line");
    }
}
