//! Charters read in from a calendar or a table: what would become of each, before anything is taken.

use maud::{Markup, html};
use records::Moment;

use crate::frame::{Desk, Site, desk_page, seal};
use crate::{links, when, words};

/// What becomes of a charter of the file.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Fate {
    /// It can't be taken; somebody should look.
    NotUnderstood,
    /// It is planned.
    New,
    /// Its plan is changed.
    Changed,
    /// It is cancelled.
    Cancelled,
    /// It is here already, or over.
    Unchanged,
    /// Nothing becomes of it; worth knowing.
    Remark,
}

const FATES: [(Fate, &str, &str); 6] = [
    (Fate::NotUnderstood, "unread", "Not understood"),
    (Fate::New, "new", "New"),
    (Fate::Changed, "changed", "Changed"),
    (Fate::Cancelled, "cancelled", "Cancelled"),
    (Fate::Unchanged, "unchanged", "Nothing to do"),
    (Fate::Remark, "remarks", "Remarks"),
];

/// A charter of the file, or a remark on a line.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ImportRow {
    /// What becomes of it.
    pub fate: Fate,
    /// The line of the file, from 1.
    pub line: usize,
    /// The boat's name; empty if it is not known.
    pub boat: String,
    /// From when and until when; nothing for a remark.
    pub span: Option<(Moment, Moment)>,
    /// What the file calls it.
    pub called: String,
    /// What is to be said of it, and how to mend it.
    pub words: String,
}

/// The page.
#[derive(Debug, Clone, Copy, Default)]
pub struct ImportAsk<'a> {
    /// The text that was sent.
    pub text: &'a str,
    /// In which order the table's dates are: `dmy`, `mdy`, or empty.
    pub order: &'a str,
    /// What becomes of its charters; nothing before a text was sent.
    pub rows: Option<&'a [ImportRow]>,
    /// What is wrong with what was sent.
    pub wrong: Option<&'a str>,
    /// How many charters were just taken.
    pub taken: Option<usize>,
}

/// Where a file is given, and what would become of it.
pub fn import_page(site: &Site, ask: &ImportAsk<'_>) -> String {
    let body = html! {
        div.title {
            h1 { "Read charters in" }
            p.lead { "From a calendar (iCalendar, .ics) or a table (.csv). Nothing is taken before you have seen it." }
        }
        @if let Some(taken) = ask.taken { p.notice role="status" { (words::capital(&words::count(taken, "charter was", "charters were"))) " taken in." } }
        @if let Some(wrong) = ask.wrong { div.answer-wrong role="alert" { p { (wrong) } } }
        @if let Some(rows) = ask.rows { (preview(site, ask, rows)) }
        (form(site, ask))
    };
    desk_page(site, "Read charters in", Desk::Charters, &body)
}

fn form(site: &Site, ask: &ImportAsk<'_>) -> Markup {
    html! {
        section #give {
            h2 { @if ask.rows.is_some() { "Another file" } @else { "The file" } }
            form.tell-form method="post" action=(links::IMPORT) enctype="multipart/form-data" {
                (seal(site))
                input type="hidden" name="do" value="look";
                div.field { label for="file" { "A file, at most 2 MB" } input #file name="file" type="file" accept=".ics,.csv,text/calendar,text/csv"; }
                div.field { label for="text" { "Or its text" }
                    textarea #text name="text" rows="8" spellcheck="false" { @if ask.rows.is_none() { (ask.text) } } }
                div.field { label for="order" { "Dates such as 03/04/2026 in a table are" }
                    select #order name="order" {
                        @for (word, name) in [("", "not there"), ("dmy", "day, month, year"), ("mdy", "month, day, year")] {
                            option value=(word) selected[ask.order == word] { (name) }
                        }
                    } }
                button #look-button type="submit" { "Look at it" }
            }
            details { summary { "What a table must have" }
                p { "A first row with the headings boat, from and until; party, adults, children, note, reference and cancelled may be there too. Times are written such as 2026-06-13 16:00. A reference lets a charter be found again when it has changed." } }
        }
    }
}

fn preview(site: &Site, ask: &ImportAsk<'_>, rows: &[ImportRow]) -> Markup {
    let takes =
        rows.iter().filter(|row| matches!(row.fate, Fate::New | Fate::Changed | Fate::Cancelled)).count();
    html! {
        section #preview {
            h2 { "What becomes of it" }
            @for (fate, id, heading) in FATES {
                @let own: Vec<_> = rows.iter().filter(|row| row.fate == fate).collect();
                @if !own.is_empty() {
                    h3 id=(id) { (heading) " (" (own.len()) ")" }
                    (table(site, &own))
                }
            }
            @if takes == 0 { p { "There is nothing to take in." } }
            @else {
                form method="post" action=(links::IMPORT) enctype="multipart/form-data" {
                    (seal(site))
                    input type="hidden" name="do" value="take";
                    input type="hidden" name="order" value=(ask.order);
                    textarea hidden name="text" aria-label="The text of the file" { "\n" (ask.text) }
                    button #take-button type="submit" { "Take " (words::count(takes, "charter", "charters")) " in" }
                }
            }
        }
    }
}

fn table(site: &Site, rows: &[&ImportRow]) -> Markup {
    html! {
        table.list {
            thead { tr { th scope="col" { "Line" } th scope="col" { "Boat" } th scope="col" { "From" } th scope="col" { "Until" } th scope="col" { "What" } } }
            tbody { @for row in rows { tr {
                th scope="row" { "Line " (row.line) }
                td data-name="Boat" { @if row.boat.is_empty() { "not known" } @else { (row.boat) } }
                td data-name="From" { @if let Some((from, _)) = row.span { (when::moment(site, from)) } }
                td data-name="Until" { @if let Some((_, until)) = row.span { (when::moment(site, until)) } }
                td data-name="What" { (row.called) @if !row.words.is_empty() { " " span.soft { (row.words) } } }
            } } }
        }
    }
}
