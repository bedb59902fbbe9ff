//! Text to nested lists of words, each with its place.

use super::{PddlError, Text};

/// Where something stands.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Place {
    pub(super) text: Text,
    line: usize,
    column: usize,
}

impl Place {
    pub(super) fn error(self, message: impl Into<String>) -> PddlError {
        PddlError { text: self.text, line: self.line, column: self.column, message: message.into() }
    }
}

/// A word (in lower case, as PDDL does not mind) or a list.
#[derive(Debug, Clone)]
pub(super) struct Item {
    pub(super) place: Place,
    pub(super) kind: Kind,
}

#[derive(Debug, Clone)]
pub(super) enum Kind {
    Word(String),
    List(Vec<Item>),
}

impl Item {
    pub(super) fn word(&self) -> Result<&str, PddlError> {
        match &self.kind {
            Kind::Word(word) => Ok(word),
            Kind::List(_) => Err(self.place.error("A name is expected here, not a list in parentheses.")),
        }
    }

    pub(super) fn list(&self) -> Result<&[Item], PddlError> {
        match &self.kind {
            Kind::List(items) => Ok(items),
            Kind::Word(word) => Err(self
                .place
                .error(format!("A list in parentheses is expected here, not \u{201c}{word}\u{201d}."))),
        }
    }

    /// The first word of a list and the rest of it.
    pub(super) fn headed(&self) -> Result<(&str, &[Item]), PddlError> {
        let [head, rest @ ..] = self.list()? else {
            return Err(self.place.error("This list is empty; it should begin with a name."));
        };
        Ok((head.word()?, rest))
    }
}

/// The one list that a text consists of.
pub(super) fn parse(text: &str, which: Text) -> Result<Item, PddlError> {
    let mut open: Vec<Item> = Vec::new();
    let mut whole: Option<Item> = None;
    let mut last = Place { text: which, line: 1, column: 1 };
    for (place, token) in tokens(text, which) {
        last = place;
        if whole.is_some() {
            return Err(place.error("The text should end here, after the list that it consists of."));
        }
        let item = match token.as_str() {
            "(" => {
                open.push(Item { place, kind: Kind::List(Vec::new()) });
                continue;
            }
            ")" => open.pop().ok_or_else(|| place.error("This parenthesis closes nothing."))?,
            _ => Item { place, kind: Kind::Word(token) },
        };
        match open.last_mut() {
            Some(Item { kind: Kind::List(items), .. }) => items.push(item),
            _ => whole = Some(item),
        }
    }
    if let Some(item) = open.last() {
        return Err(item.place.error("This parenthesis is never closed."));
    }
    whole.ok_or_else(|| last.error("The text is empty; \u{201c}(define ...)\u{201d} is expected."))
}

fn tokens(text: &str, which: Text) -> Vec<(Place, String)> {
    let mut found = Vec::new();
    for (line, content) in text.lines().enumerate() {
        let code = content.split(';').next().unwrap_or_default();
        let mut word: Option<(Place, String)> = None;
        for (column, letter) in code.chars().enumerate() {
            let place = Place { text: which, line: line + 1, column: column + 1 };
            if letter == '(' || letter == ')' || letter.is_whitespace() {
                found.extend(word.take());
                if !letter.is_whitespace() {
                    found.push((place, letter.to_string()));
                }
            } else {
                // A variable begins a new word even without a space before it; published domains rely on that.
                if letter == '?' {
                    found.extend(word.take());
                }
                word.get_or_insert_with(|| (place, String::new())).1.extend(letter.to_lowercase());
            }
        }
        found.extend(word);
    }
    found
}
