//! Words, numbers and signs of a fact.

use std::ops::Range;

use super::Fault;

#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) enum Token {
    /// A name, a position or a word of the language; lower or upper case as written.
    Word(String),
    /// A number with its unit, as written, such as `1500 rpm` or `1 h 30 min`.
    Quantity(String),
    Open,
    Close,
    Comma,
    /// `<`, `<=`, `>`, `>=`
    Compare(&'static str),
}

pub(crate) type Spanned = (Token, Range<usize>);

/// Letters that names and positions are made of.
fn word_letter(c: char) -> bool {
    c.is_alphanumeric() || c == '_'
}

/// Splits a fact into tokens; a sign that has no place in a fact is reported and skipped.
pub(crate) fn lex(text: &str, faults: &mut Vec<Fault>) -> Vec<Spanned> {
    let mut tokens = Vec::new();
    let mut at = 0;
    while let Some(first) = text[at..].chars().next() {
        let start = at;
        if first.is_whitespace() {
            at += first.len_utf8();
        } else if let Some((token, length)) = sign(&text[at..]) {
            at += length;
            tokens.push((token, start..at));
        } else if starts_quantity(&text[at..], &tokens) {
            at = quantity_end(text, at);
            tokens.push((
                Token::Quantity(text[start..at].trim_end().to_owned()),
                start..start + text[start..at].trim_end().len(),
            ));
        } else if word_letter(first) {
            at += text[at..].find(|c| !word_letter(c)).unwrap_or(text.len() - at);
            tokens.push((Token::Word(text[start..at].to_owned()), start..at));
        } else {
            // Signs of programmers come in pairs: told once.
            let run = text[at..].find(|c| !matches!(c, '&' | '|' | '=' | '!')).unwrap_or(text.len() - at);
            at += run.max(first.len_utf8());
            faults.push(stray(&text[start..at], start..at));
        }
    }
    tokens
}

fn stray(sign: &str, at: Range<usize>) -> Fault {
    let mend = match sign {
        "&" | "&&" => "Write `and` for it.",
        "|" | "||" => "Write `or` for it.",
        "!" => "Write `not` for it.",
        "!=" | "!==" => "Write `is not` for it.",
        "=" | "==" | "===" => "Write `is` to compare a position, or >= and <= to compare a quantity.",
        _ => "Leave it out: a fact is made of names, `is`, `and`, `or`, `not`, brackets and comparisons.",
    };
    Fault::new("fact-syntax", at, format!("The sign \"{sign}\" has no meaning in a fact."))
        .expected("names, is, and, or, not, ( ), <, <=, >, >=, or a quantity")
        .mend(mend)
}

fn sign(rest: &str) -> Option<(Token, usize)> {
    [
        ("<=", Token::Compare("<=")),
        (">=", Token::Compare(">=")),
        ("<", Token::Compare("<")),
        (">", Token::Compare(">")),
        ("(", Token::Open),
        (")", Token::Close),
        (",", Token::Comma),
    ]
    .into_iter()
    .find(|(written, _)| rest.starts_with(written))
    .map(|(written, token)| (token, written.len()))
}

/// A number begins a quantity, unless it stands where a position stands (`selector is 1`, `one of (1, 2)`).
fn starts_quantity(rest: &str, before: &[Spanned]) -> bool {
    let digits = rest.strip_prefix('-').unwrap_or(rest);
    let number = digits.starts_with(|c: char| c.is_ascii_digit());
    number && !position_follows(before)
}

/// Whether a position comes next: after `is`, `is not`, `one of (` and the commas in it.
fn position_follows(before: &[Spanned]) -> bool {
    let word = |token: Option<&Spanned>, wanted: &str| matches!(token, Some((Token::Word(word), _)) if word == wanted);
    let (last, earlier) = match before {
        [] => return false,
        [earlier @ .., last] => (last, earlier.last()),
    };
    match &last.0 {
        Token::Word(found) if found == "not" => word(earlier, "is"),
        Token::Word(found) => found == "is",
        Token::Open => word(earlier, "of"),
        Token::Comma => true,
        _ => false,
    }
}

/// Past the quantity's last letter: it ends at a sign of the language or at one of its words.
fn quantity_end(text: &str, start: usize) -> usize {
    let mut at = start;
    while let Some(c) = text[at..].chars().next() {
        if at > start && matches!(c, '(' | ')' | '<' | '>' | '&' | '|' | '!' | '=') {
            break;
        }
        // "11,8 V" is a slip for "11.8 V"; any other comma ends the quantity.
        let decimal = |text: &str| text.starts_with(|c: char| c.is_ascii_digit());
        if c == ',' && !(text[..at].ends_with(|c: char| c.is_ascii_digit()) && decimal(&text[at + 1..])) {
            break;
        }
        let fresh = text[..at].ends_with(char::is_whitespace);
        let word: &str = &text[at..at + text[at..].find(|c| !word_letter(c)).unwrap_or(text.len() - at)];
        if fresh && matches!(word, "and" | "or" | "not" | "is") {
            break;
        }
        at += c.len_utf8();
    }
    at
}
