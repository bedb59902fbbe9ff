//! Placeholders in prose: `{thing.limit}` must name a limit that the boat has.

use super::Compiler;
use crate::diagnostic::{Diagnostic, nearest};
use crate::model::Boat;
use crate::prose::{self, Piece};
use crate::source::Span;

impl Compiler<'_> {
    pub(super) fn check_words(&mut self, boat: &Boat) {
        let known = prose::limit_names(boat);
        for (text, span, from) in std::mem::take(&mut self.reader.words) {
            self.reader.from = from;
            let exact = self.reader.sources.words(span) == text;
            for piece in prose::pieces(&text) {
                let (at, headline, name) = match piece {
                    Piece::Text(_) => continue,
                    Piece::Limit { thing, kind, at } => {
                        let name = format!("{thing}.{kind}");
                        if known.contains(&name) {
                            continue;
                        }
                        (at, format!("\"{name}\" is not a limit of this boat."), name)
                    }
                    Piece::Broken { at } => {
                        (at, "A curly bracket in words begins the name of a limit.".to_owned(), String::new())
                    }
                };
                let span = if exact {
                    Span::new(span.source, span.start + at.start, span.start + at.end)
                } else {
                    span
                };
                self.reader.report(
                    Diagnostic::error("placeholder", span, headline)
                        .expected("{thing.limit} with an item, control or action and longest, rest, hold, least, most or clear, such as {bow_thruster.longest}")
                        .near(nearest(&name, known.iter().map(String::as_str)))
                        .mend("Mend the name, or write the limit where it belongs."),
                );
            }
        }
        self.reader.from = None;
    }
}
