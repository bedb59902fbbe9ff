//! A finding with its place in the file, drawn with the lines around it.

use boat::diagnostic::{Diagnostic, Label, Severity};
use boat::source::{Sources, Span};
use maud::{Markup, html};

use crate::words;

/// A finding: what is wrong, where, and how to mend it.
pub(crate) fn finding(sources: &Sources, finding: &Diagnostic) -> Markup {
    html! {
        article.finding {
            h3 { (severity(finding.severity)) ": " (ticked(&finding.headline)) }
            (excerpt(sources, &finding.primary))
            @for label in &finding.secondary { (excerpt(sources, label)) }
            @if let Some(expected) = &finding.expected { p { "Expected: " (ticked(expected)) } }
            @if let Some(near) = &finding.near { p { "Did you mean " code { (near) } "?" } }
            @if let Some(mend) = &finding.mend { p { strong { "To mend it: " } (ticked(mend)) } }
            p.small.soft { "Kind of finding: " code { (finding.code) } }
        }
    }
}

fn severity(severity: Severity) -> &'static str {
    match severity {
        Severity::Note => "Note",
        Severity::Warning => "Remark",
        Severity::Error => "To mend",
    }
}

/// Words between backticks are names from the file.
pub(crate) fn ticked(text: &str) -> Markup {
    html! {
        @for (at, part) in text.split('`').enumerate() {
            @if at % 2 == 1 { code { (part) } } @else { (part) }
        }
    }
}

/// Lines of the file shown around a place.
const AROUND: usize = 1;

fn excerpt(sources: &Sources, label: &Label) -> Markup {
    let source = sources.get(label.span.source);
    let start = source.position(label.span.start);
    html! {
        p.small.soft {
            (words::file_name(&source.name)) ", line " (start.line)
            @if !label.text.is_empty() { ": " (ticked(&label.text)) }
        }
        pre.excerpt tabindex="0" role="region" aria-label=(format!("{}, line {}", words::file_name(&source.name), start.line)) {
            @for line in lines(sources, label.span) {
                (format!("{:>4}  ", line.number)) (line.before)
                @if !line.marked.is_empty() { mark { (line.marked) } }
                (line.after) "\n"
            }
        }
    }
}

/// A line of a file, cut where a span begins and ends.
#[derive(Debug, PartialEq, Eq)]
struct Line<'a> {
    number: usize,
    before: &'a str,
    marked: &'a str,
    after: &'a str,
}

/// The first line of a span with its neighbours; a span over more lines is marked to the end of its first.
fn lines(sources: &Sources, span: Span) -> Vec<Line<'_>> {
    let source = sources.get(span.source);
    let at = source.position(span.start);
    let from = at.line.saturating_sub(AROUND).max(1);
    (from..=at.line + AROUND)
        .map(|number| {
            let text = source.line(number);
            if number != at.line {
                return Line { number, before: text, marked: "", after: "" };
            }
            let begin = text.char_indices().nth(at.column - 1).map_or(text.len(), |(byte, _)| byte);
            let long = span.end.saturating_sub(span.start).min(text.len() - begin);
            let end =
                (begin + long..=text.len()).find(|byte| text.is_char_boundary(*byte)).unwrap_or(text.len());
            Line { number, before: &text[..begin], marked: &text[begin..end], after: &text[end..] }
        })
        .filter(|line| line.number == at.line || !line.before.is_empty())
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use boat::source::Source;

    #[test]
    fn the_span_is_marked_within_its_line() {
        let mut sources = Sources::default();
        let id = sources.add(Source::new("x.toml", "a = 1\né = \"two\"\nb = 3\n"));
        let start = "a = 1\né = ".len();
        let found = lines(&sources, Span::new(id, start, start + 5));
        assert_eq!(found[1], Line { number: 2, before: "é = ", marked: "\"two\"", after: "" });
        assert_eq!(found.len(), 3);
    }

    #[test]
    fn a_span_past_the_end_marks_nothing() {
        let mut sources = Sources::default();
        let id = sources.add(Source::new("x.toml", "a = 1"));
        let found = lines(&sources, Span::new(id, 5, 90));
        assert_eq!(found, [Line { number: 1, before: "a = 1", marked: "", after: "" }]);
    }

    #[test]
    fn backticks_become_code() {
        assert_eq!(ticked("say `a<b` now").into_string(), "say <code>a&lt;b</code> now");
    }
}
