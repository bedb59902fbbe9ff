//! No text makes the compiler panic, and what it says always points into the text.

use boat::source::{Sources, Span};
use boat::{Compiled, compile};
use proptest::prelude::*;
use proptest::sample::Index;

use crate::cases::{Text, cases, completed, sound};

/// What holds for every text.
fn check(text: &str) -> Result<Compiled, TestCaseError> {
    let compiled = compile("any.toml", text);
    prop_assert_eq!(compiled.boat.is_none(), compiled.has_errors());
    let mut before = Span::default();
    for found in &compiled.diagnostics {
        let places = found.secondary.iter().chain([&found.primary]);
        for place in places {
            prop_assert!(
                lies_inside(&compiled.sources, place.span),
                "{:?} of {}",
                place.span,
                found.headline
            );
        }
        let here = Span { end: 0, ..found.primary.span };
        prop_assert!(before <= here, "in the order of the text: {}", found.headline);
        before = here;
        prop_assert!(!found.headline.is_empty() && found.mend.is_some() && found.expected.is_some());
        prop_assert!(found.plain(&compiled.sources).starts_with(&compiled.sources.get(here.source).name));
    }
    Ok(compiled)
}

/// Whether a span has its ends in order, inside its text and between characters.
pub(crate) fn lies_inside(sources: &Sources, span: Span) -> bool {
    sources.get(span.source).text.get(span.start..span.end).is_some()
}

/// A change of a text at places given as shares of its length.
#[derive(Debug, Clone)]
pub(crate) enum Edit {
    Delete(Index, usize),
    Double(Index, usize),
    Replace(Index, usize, String),
    SwapLines(Index, Index),
    DeleteLine(Index),
    DoubleLine(Index, Index),
}

pub(crate) fn edit() -> impl Strategy<Value = Edit> {
    let at = any::<Index>;
    let piece = prop_oneof![
        3 => "[\\[\\]{}\"'=,.#<>()\\\\ \n\r\t0-9a-z_-]{0,6}",
        2 => any::<String>().prop_map(|text| text.chars().take(8).collect()),
        3 => prop::sample::select(vec![
            "[items.", "[[items.x]]", "\"\"\"", "'''", "{", "}", "is", "always", "never", "-1", "1e999 m", "5 rpm",
            "\u{feff}", "…", "class = \"seacock\"\n", "{engine.longest}", "not not", "(((", "2027-05-31", "\\u00e9",
        ]).prop_map(String::from),
    ];
    prop_oneof![
        (at(), 1..40usize).prop_map(|(at, length)| Edit::Delete(at, length)),
        (at(), 1..40usize).prop_map(|(at, length)| Edit::Double(at, length)),
        (at(), 0..12usize, piece).prop_map(|(at, length, text)| Edit::Replace(at, length, text)),
        (at(), at()).prop_map(|(a, b)| Edit::SwapLines(a, b)),
        at().prop_map(Edit::DeleteLine),
        (at(), at()).prop_map(|(from, to)| Edit::DoubleLine(from, to)),
    ]
}

fn apply(text: &str, edit: &Edit) -> String {
    let bound = |mut at: usize| {
        at = at.min(text.len());
        while !text.is_char_boundary(at) {
            at -= 1;
        }
        at
    };
    let range = |at: &Index, length: usize| {
        let start = bound(at.index(text.len() + 1));
        (start, bound(start + length).max(start))
    };
    let mut lines: Vec<&str> = text.split_inclusive('\n').collect();
    let count = lines.len();
    match edit {
        Edit::Delete(at, length) => {
            let (start, end) = range(at, *length);
            return format!("{}{}", &text[..start], &text[end..]);
        }
        Edit::Double(at, length) => {
            let (start, end) = range(at, *length);
            return format!("{}{}", &text[..end], &text[start..]);
        }
        Edit::Replace(at, length, with) => {
            let (start, end) = range(at, *length);
            return format!("{}{with}{}", &text[..start], &text[end..]);
        }
        _ if count == 0 => {}
        Edit::SwapLines(a, b) => lines.swap(a.index(count), b.index(count)),
        Edit::DeleteLine(at) => {
            lines.remove(at.index(count));
        }
        Edit::DoubleLine(from, to) => lines.insert(to.index(count), lines[from.index(count)]),
    }
    lines.concat()
}

pub(crate) fn edited(text: &str, edits: &[Edit]) -> String {
    edits.iter().fold(text.to_owned(), |text, edit| apply(&text, edit))
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 2_000, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn a_changed_sound_file_is_read_or_refused(edits in prop::collection::vec(edit(), 1..8)) {
        check(&edited(sound(), &edits))?;
    }

    #[test]
    fn any_text_is_refused(text in any::<String>()) {
        prop_assert!(check(&text)?.boat.is_none());
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 1_000, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn text_made_of_the_signs_of_a_boat_file_is_refused(
        words in prop::collection::vec(prop::sample::select(SIGNS.to_vec()), 0..60)
    ) {
        prop_assert!(check(&words.concat())?.boat.is_none());
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 500, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn a_changed_broken_file_is_read_or_refused(at in any::<Index>(), edits in prop::collection::vec(edit(), 0..4)) {
        let cases = cases(Text::Boat);
        check(&edited(&completed(&at.get(&cases).text), &edits))?;
    }

    #[test]
    fn the_same_text_compiles_to_the_same(edits in prop::collection::vec(edit(), 0..6)) {
        let text = edited(sound(), &edits);
        let (first, second) = (compile("a.toml", &text), compile("a.toml", &text));
        prop_assert_eq!(first.diagnostics, second.diagnostics);
        prop_assert_eq!(first.boat, second.boat);
    }
}

const SIGNS: &[&str] = &[
    "becket = 1\n",
    "[boat]\n",
    "[items.a]\n",
    "[controls.a]\n",
    "[places.a]\n",
    "[procedures.a]\n",
    "[",
    "]",
    "[[",
    "]]",
    "{",
    "}",
    "\"",
    "'",
    "\"\"\"",
    "=",
    " ",
    "\n",
    "\r\n",
    ".",
    ",",
    "#",
    "name",
    "class",
    "\"seacock\"",
    "with",
    "omit",
    "positions",
    "[\"off\", \"on\"]",
    "rest",
    "\"off\"",
    "steps",
    "{ set = \"a\" }",
    "1",
    "1.5",
    "true",
    "2027-05-31",
    "\"3 s\"",
    "when",
    "\"a is on\"",
    "is",
    "\u{feff}",
    "é",
    "\\",
    "\t",
    "-",
    "_",
];

#[test]
fn deep_nesting_is_refused_not_overflowed() {
    let deep = 20_000;
    for text in [
        format!("a = {}", "[".repeat(deep)),
        format!("a = {}{}", "[".repeat(deep), "]".repeat(deep)),
        format!("a = {}", "{ a = ".repeat(deep)),
        format!("a{} = 1", ".a".repeat(deep)),
        format!("[items{}]\nname = \"x\"", ".a".repeat(deep)),
        format!("[[items{}]]\nname = \"x\"", ".a".repeat(deep)),
    ] {
        assert!(compile("deep.toml", &text).boat.is_none());
    }
}

#[test]
fn more_entries_than_ids_are_refused() {
    let caution =
        |at: usize| format!("[cautions.c{at}]\nword = \"notice\"\nhazard = \"gear\"\ntext = \"Mind.\"\n");
    let many: Vec<String> = (0..66_000).map(caution).collect();
    let compiled = compile("many.toml", &format!("{}\n{}", sound(), many.concat()));
    assert!(compiled.boat.is_none() && compiled.has_errors());
}
