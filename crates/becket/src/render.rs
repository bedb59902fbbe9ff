//! Diagnostics for people at a terminal (colour where it is one) and for programs (JSON).

use annotate_snippets::{AnnotationKind, Group, Level, Renderer, Snippet};
use boat::diagnostic::{Diagnostic, Label, Severity};
use boat::source::{SourceId, Sources};
use serde_json::{Value, json};

/// A diagnostic as several lines for a terminal.
pub(crate) fn terminal(diagnostic: &Diagnostic, sources: &Sources, colour: bool) -> String {
    let level = match diagnostic.severity {
        Severity::Error => Level::ERROR,
        Severity::Warning => Level::WARNING,
        Severity::Note => Level::NOTE,
    };
    let mut group = Group::with_title(level.primary_title(diagnostic.headline.as_str()).id(diagnostic.code));
    for snippet in snippets(diagnostic, sources) {
        group = group.element(snippet);
    }
    let notes = [
        ("expected", diagnostic.expected.as_deref()),
        ("did you mean", diagnostic.near.as_deref()),
        ("mend", diagnostic.mend.as_deref()),
    ];
    for (word, text) in notes.into_iter().filter_map(|(word, text)| text.map(|text| (word, text))) {
        group = group.element(Level::HELP.with_name(Some(word)).message(text.to_owned()));
    }
    let renderer = if colour { Renderer::styled() } else { Renderer::plain() };
    renderer.render(&[group])
}

/// One snippet a text, with the labels that lie in it.
fn snippets<'a>(
    diagnostic: &'a Diagnostic,
    sources: &'a Sources,
) -> Vec<Snippet<'a, annotate_snippets::Annotation<'a>>> {
    let mut texts: Vec<SourceId> = vec![diagnostic.primary.span.source];
    texts.extend(diagnostic.secondary.iter().map(|label| label.span.source));
    let first = texts[0];
    let mut seen: Vec<SourceId> = Vec::new();
    texts.retain(|id| {
        let new = !seen.contains(id);
        seen.push(*id);
        new
    });
    texts
        .into_iter()
        .map(|id| {
            let source = sources.get(id);
            let mut snippet = Snippet::source(&source.text).path(&source.name);
            if id == first {
                snippet = snippet.annotation(annotation(&diagnostic.primary, AnnotationKind::Primary));
            }
            for label in diagnostic.secondary.iter().filter(|label| label.span.source == id) {
                snippet = snippet.annotation(annotation(label, AnnotationKind::Context));
            }
            snippet
        })
        .collect()
}

fn annotation(label: &Label, kind: AnnotationKind) -> annotate_snippets::Annotation<'_> {
    kind.span(label.span.start..label.span.end).label(label.text.as_str())
}

/// A diagnostic for programs.
pub(crate) fn json(diagnostic: &Diagnostic, sources: &Sources) -> Value {
    let place = |label: &Label| {
        let (file, at) = sources.locate(label.span);
        json!({
            "file": file, "line": at.line, "column": at.column,
            "words": sources.words(label.span), "label": label.text,
        })
    };
    json!({
        "code": diagnostic.code,
        "severity": diagnostic.severity.word(),
        "headline": diagnostic.headline,
        "at": place(&diagnostic.primary),
        "see": diagnostic.secondary.iter().map(place).collect::<Vec<_>>(),
        "expected": diagnostic.expected,
        "near": diagnostic.near,
        "mend": diagnostic.mend,
    })
}
