//! What is wrong with a boat file, as data: what, where, what was expected, how to mend it.
//! Renderers for terminal, page and JSON live with those who show it; a plain one is here.

use std::fmt::Write as _;

use crate::source::{Sources, Span};

/// How much a diagnostic matters.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Severity {
    /// Worth knowing.
    Note,
    /// The boat can be used, but someone should look.
    Warning,
    /// The boat can't be used, or a step list is not safe.
    Error,
}

impl Severity {
    /// The word for it.
    pub fn word(self) -> &'static str {
        match self {
            Self::Note => "note",
            Self::Warning => "warning",
            Self::Error => "error",
        }
    }
}

/// A stretch of text with what there is to say about it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Label {
    /// Where.
    pub span: Span,
    /// What to say there; may be empty.
    pub text: String,
}

/// One thing that is wrong.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Diagnostic {
    /// A stable short name, such as `unknown-name`.
    pub code: &'static str,
    /// How much it matters.
    pub severity: Severity,
    /// What is wrong, one full sentence.
    pub headline: String,
    /// Where it is wrong.
    pub primary: Label,
    /// Other places that have to do with it.
    pub secondary: Vec<Label>,
    /// What would be right there.
    pub expected: Option<String>,
    /// The nearest name that would fit.
    pub near: Option<String>,
    /// How to mend it, a full sentence.
    pub mend: Option<String>,
}

impl Diagnostic {
    /// An error at a place.
    pub fn error(code: &'static str, span: Span, headline: impl Into<String>) -> Self {
        Self::new(code, Severity::Error, span, headline)
    }

    /// A warning at a place.
    pub fn warning(code: &'static str, span: Span, headline: impl Into<String>) -> Self {
        Self::new(code, Severity::Warning, span, headline)
    }

    /// A note at a place.
    pub fn note(code: &'static str, span: Span, headline: impl Into<String>) -> Self {
        Self::new(code, Severity::Note, span, headline)
    }

    fn new(code: &'static str, severity: Severity, span: Span, headline: impl Into<String>) -> Self {
        Self {
            code,
            severity,
            headline: headline.into(),
            primary: Label { span, text: String::new() },
            secondary: Vec::new(),
            expected: None,
            near: None,
            mend: None,
        }
    }

    /// Says something at the place itself.
    #[must_use]
    pub fn label(mut self, text: impl Into<String>) -> Self {
        self.primary.text = text.into();
        self
    }

    /// Points at another place that has to do with it.
    #[must_use]
    pub fn also(mut self, span: Span, text: impl Into<String>) -> Self {
        self.secondary.push(Label { span, text: text.into() });
        self
    }

    /// Says what would be right.
    #[must_use]
    pub fn expected(mut self, text: impl Into<String>) -> Self {
        self.expected = Some(text.into());
        self
    }

    /// Offers the nearest name, if there is one.
    #[must_use]
    pub fn near(mut self, name: Option<impl Into<String>>) -> Self {
        self.near = name.map(Into::into);
        self
    }

    /// Says how to mend it.
    #[must_use]
    pub fn mend(mut self, text: impl Into<String>) -> Self {
        self.mend = Some(text.into());
        self
    }

    /// The diagnostic as plain text of several lines, for logs, mail and tests.
    pub fn plain(&self, sources: &Sources) -> String {
        let mut out = String::new();
        let (name, at) = sources.locate(self.primary.span);
        // Writing to a String can't fail.
        let _ = writeln!(out, "{}:{}:{}: {} [{}]", name, at.line, at.column, self.severity.word(), self.code);
        let _ = writeln!(out, "  {}", self.headline);
        let words = shorten(sources.words(self.primary.span));
        if !words.is_empty() {
            let _ = writeln!(out, "  here: {words}{}", said(&self.primary.text));
        }
        for label in &self.secondary {
            let (name, at) = sources.locate(label.span);
            let words = shorten(sources.words(label.span));
            let _ = writeln!(out, "  see {}:{}:{}: {words}{}", name, at.line, at.column, said(&label.text));
        }
        for (word, text) in [("expected", &self.expected), ("did you mean", &self.near), ("mend", &self.mend)]
        {
            if let Some(text) = text {
                let _ = writeln!(out, "  {word}: {text}");
            }
        }
        out
    }
}

fn said(text: &str) -> String {
    if text.is_empty() { String::new() } else { format!(" ({text})") }
}

fn shorten(words: &str) -> String {
    let line = words.lines().next().unwrap_or("").trim();
    let cut = line.chars().count() > 80 || words.trim().lines().count() > 1;
    let mut short: String = line.chars().take(80).collect();
    if cut {
        short.push('…');
    }
    short
}

/// The name nearest to `wanted`, if one is near enough to be meant.
///
/// Case, hyphens and spaces count for nothing, then the Damerau-Levenshtein distance decides: at most a third of
/// the longer name's letters may differ. The first of equals wins.
pub fn nearest<'a>(wanted: &str, names: impl IntoIterator<Item = &'a str>) -> Option<&'a str> {
    let fold = |name: &str| name.to_lowercase().replace(['-', ' ', '.'], "_");
    let wanted = fold(wanted);
    let mut best: Option<(usize, &str)> = None;
    for name in names {
        let folded = fold(name);
        let distance = strsim::damerau_levenshtein(&wanted, &folded);
        let longer = wanted.chars().count().max(folded.chars().count());
        if distance * 3 <= longer && best.is_none_or(|(least, _)| distance < least) {
            best = Some((distance, name));
        }
    }
    best.map(|(_, name)| name)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn nearest_forgives_case_and_slips_but_not_strangers() {
        assert_eq!(nearest("House-Switch", ["house_switch", "engine_switch"]), Some("house_switch"));
        assert_eq!(nearest("saloonn", ["saloon", "galley"]), Some("saloon"));
        assert_eq!(nearest("teapot", ["saloon", "galley"]), None);
    }
}
