//! Puts a person's boat file in order and keeps every remark: one blank line before each heading, one space around
//! `=`, no spaces at line ends. The order of headings is the person's own: many write a boat system by system, so it
//! stays. Values stay as they are written.

use toml_edit::{Decor, DocumentMut, Item, Table};

use crate::diagnostic::Diagnostic;
use crate::document;
use crate::source::{Source, SourceId, Sources};

/// A file that can't be put in order because it can't be read as TOML.
#[derive(Debug, Clone)]
pub struct Untidy {
    /// What is wrong.
    pub diagnostics: Vec<Diagnostic>,
    /// The text that the diagnostics point at.
    pub sources: Sources,
}

/// A boat file's text in order, with every remark kept beside what it stood beside.
///
/// It says the same as before: only white space changes. Tidying twice changes nothing.
///
/// # Errors
/// All places where the text is not TOML.
pub fn tidy(name: &str, text: &str) -> Result<String, Untidy> {
    let mut sources = Sources::default();
    sources.add(Source::new(name, text));
    let mut diagnostics = Vec::new();
    document::parse(text, SourceId::BOAT, &mut diagnostics);
    if !diagnostics.is_empty() {
        return Err(Untidy { diagnostics, sources });
    }
    let mut document: DocumentMut = match text.parse() {
        Ok(document) => document,
        Err(error) => {
            let at = error.span().unwrap_or(0..0);
            let span = crate::source::Span::new(SourceId::BOAT, at.start, at.end);
            diagnostics.push(Diagnostic::error(
                "toml-syntax",
                span,
                format!("The file can't be read here: {}.", error.message()),
            ));
            return Err(Untidy { diagnostics, sources });
        }
    };
    tidy_values(document.as_table_mut());
    for (_, item) in document.as_table_mut().iter_mut() {
        tidy_item(item);
    }
    let trailing = remarks(document.trailing().as_str().unwrap_or_default(), true);
    document.set_trailing(trailing);
    let mut out = document.to_string();
    let kept = out.trim_start_matches('\n').trim_end().len();
    let skipped = out.len() - out.trim_start_matches('\n').len();
    out.truncate(skipped + kept);
    out.drain(..skipped);
    out.push('\n');
    Ok(out)
}

fn tidy_item(item: &mut Item) {
    match item {
        Item::Table(table) => tidy_table(table),
        Item::ArrayOfTables(tables) => tables.iter_mut().for_each(tidy_table),
        _ => {}
    }
}

fn tidy_table(table: &mut Table) {
    if !table.is_dotted() {
        let decor = table.decor_mut();
        let prefix = remarks(decor_prefix(decor), true);
        // One blank line before the heading, its remarks directly above it.
        decor.set_prefix(if prefix.starts_with('\n') { prefix } else { format!("\n{prefix}") });
        let suffix = trailing_remark(decor.suffix().and_then(|suffix| suffix.as_str()).unwrap_or_default());
        decor.set_suffix(suffix);
    }
    tidy_values(table);
    for (_, item) in table.iter_mut() {
        tidy_item(item);
    }
}

/// Keys with values: one space around `=`, remarks kept.
fn tidy_values(table: &mut Table) {
    for (mut key, item) in table.iter_mut() {
        let Item::Value(value) = item else { continue };
        if value.as_inline_table().is_some_and(toml_edit::InlineTable::is_dotted) {
            continue;
        }
        let decor = key.leaf_decor_mut();
        let prefix = remarks(decor_prefix(decor), false);
        decor.set_prefix(prefix);
        decor.set_suffix(" ");
        let decor = value.decor_mut();
        let suffix = trailing_remark(decor.suffix().and_then(|suffix| suffix.as_str()).unwrap_or_default());
        decor.set_prefix(" ");
        decor.set_suffix(suffix);
    }
}

fn decor_prefix(decor: &Decor) -> &str {
    decor.prefix().and_then(|prefix| prefix.as_str()).unwrap_or_default()
}

/// The remark lines of the space between two things: each on its own line, no spaces before it; a run of blank
/// lines becomes one. `blanks`: whether a blank line at the start is kept.
fn remarks(space: &str, blanks: bool) -> String {
    let mut out = String::new();
    let mut blank = false;
    // What follows the last line end is the indent of the thing itself.
    let lines = space.rsplit_once('\n').map_or("", |(lines, _)| lines);
    for line in lines.split('\n').map(str::trim) {
        if line.is_empty() {
            blank = true;
            continue;
        }
        if blank && (blanks || !out.is_empty()) {
            out.push('\n');
        }
        blank = false;
        out.push_str(line);
        out.push('\n');
    }
    out
}

/// A remark behind a value: two spaces before it.
fn trailing_remark(space: &str) -> String {
    let remark = space.trim();
    if remark.is_empty() { String::new() } else { format!("  {remark}") }
}

#[cfg(test)]
mod tests {
    use super::*;

    const WILD: &str = "# The tender of our fleet.\nbecket=1\n\n\n\n[items.lamp]   # up the mast\nname   =  \"Lamp\" # 25 W\n  # the place:\n  place=\"mast\"\n# all places\n[places.mast]\nname='Mast'\n\n# measured in spring\naft = \"5 m\"\n[boat]\nname=\"Sora\"\n# the end\n";

    #[test]
    fn white_space_comes_in_order_and_remarks_stay_where_they_belong() {
        let tidied = tidy("x", WILD).unwrap();
        assert_eq!(
            tidied,
            "# The tender of our fleet.\nbecket = 1\n\n[items.lamp]  # up the mast\nname = \"Lamp\"  # 25 W\n# the place:\nplace = \"mast\"\n\n# all places\n[places.mast]\nname = 'Mast'\n# measured in spring\naft = \"5 m\"\n\n[boat]\nname = \"Sora\"\n# the end\n"
        );
        assert_eq!(tidy("x", &tidied).unwrap(), tidied, "tidying twice changes nothing");
    }

    #[test]
    fn what_is_not_toml_is_refused_whole() {
        let untidy = tidy("x", "becket = 1\n[boat]\nname = \nrig = \"sloop\n").unwrap_err();
        assert_eq!(untidy.diagnostics.len(), 2, "{:?}", untidy.diagnostics);
    }
}
