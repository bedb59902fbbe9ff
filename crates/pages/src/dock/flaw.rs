//! What is wrong with something typed, said beside its field; nothing typed is lost by it.

use maud::{Markup, html};

/// What is wrong with a field.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Flaw {
    /// The field.
    pub field: String,
    /// What is wrong, and what to do.
    pub words: String,
    /// Whether it is only unlikely, so that saying it again makes it count.
    pub unlikely: bool,
}

impl Flaw {
    /// It can't be taken as it is.
    pub fn wrong(field: &str, words: impl Into<String>) -> Self {
        Self { field: field.to_owned(), words: words.into(), unlikely: false }
    }
}

/// What was typed into a form, and what is wrong with it.
#[derive(Debug, Clone, Default)]
pub(crate) struct Kept<'a> {
    /// The fields as they came.
    pub(crate) typed: &'a [(String, String)],
    /// What is wrong.
    pub(crate) flaws: &'a [Flaw],
}

impl<'a> Kept<'a> {
    /// What was typed into a field.
    pub(crate) fn get(&self, field: &str) -> &'a str {
        self.typed.iter().find(|(own, _)| own == field).map_or("", |(_, value)| value.as_str())
    }

    /// What is wrong with a field.
    pub(crate) fn flaw(&self, field: &str) -> Option<&'a Flaw> {
        self.flaws.iter().find(|flaw| flaw.field == field)
    }

    /// The words beside a field.
    pub(crate) fn beside(&self, field: &str) -> Markup {
        html! { @if let Some(flaw) = self.flaw(field) { p.flaw id=(flaw_id(field)) { (flaw.words) } } }
    }

    /// What a field that has a flaw names as its description.
    pub(crate) fn described(&self, field: &str) -> Option<String> {
        self.flaw(field).map(|_| flaw_id(field))
    }

    /// The words at the top of a page, with links to the fields.
    pub(crate) fn top(&self, before: &str) -> Markup {
        html! {
            @if !self.flaws.is_empty() {
                div.answer-wrong role="alert" {
                    p { (before) }
                    ul { @for flaw in self.flaws { li { a href=(format!("#{}", flaw_id(&flaw.field))) { (flaw.words) } } } }
                }
            }
        }
    }
}

fn flaw_id(field: &str) -> String {
    format!("flaw-{field}")
}
