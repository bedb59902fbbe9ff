//! Content lines of RFC 5545, section 3.1: folding, parameters, escaped text, each with its line number.

use crate::booking::Remark;

/// One unfolded line: `NAME;PARAMETER=value:value`.
#[derive(Debug, Clone)]
pub(crate) struct Line {
    pub(crate) number: usize,
    pub(crate) name: String,
    parameters: Vec<(String, String)>,
    pub(crate) value: String,
}

impl Line {
    pub(crate) fn parameter(&self, name: &str) -> Option<&str> {
        self.parameters.iter().find(|(key, _)| key == name).map(|(_, value)| value.as_str())
    }
}

/// The lines of a calendar. What is no line is told and left out.
pub(crate) fn lines(bytes: &[u8], remarks: &mut Vec<Remark>) -> Vec<Line> {
    if bytes.starts_with(&[0xff, 0xfe]) || bytes.starts_with(&[0xfe, 0xff]) {
        remarks.push(Remark::error(
            1,
            "The text is written in UTF-16, which calendars may not be. Nothing was read.",
            "Save it as UTF-8 and hand it in again.",
        ));
        return Vec::new();
    }
    let bytes = bytes.strip_prefix(b"\xef\xbb\xbf").unwrap_or(bytes);
    unfolded(bytes, remarks).into_iter().filter_map(|(number, raw)| decoded(number, &raw, remarks)).collect()
}

/// Lines joined with their continuations; before decoding, as some writers fold in the middle of a letter.
fn unfolded(bytes: &[u8], remarks: &mut Vec<Remark>) -> Vec<(usize, Vec<u8>)> {
    let mut whole: Vec<(usize, Vec<u8>)> = Vec::new();
    for (index, raw) in bytes.split(|byte| *byte == b'\n').enumerate() {
        let raw = raw.strip_suffix(b"\r").unwrap_or(raw);
        match (raw.first(), whole.last_mut()) {
            (None, _) => {}
            (Some(b' ' | b'\t'), Some((_, before))) => before.extend_from_slice(&raw[1..]),
            (Some(b' ' | b'\t'), None) => {
                if !raw.trim_ascii().is_empty() {
                    remarks.push(Remark::error(
                        index + 1,
                        "The text begins with the continuation of a line that is not there.",
                        "See whether the top of the calendar was cut off.",
                    ));
                }
            }
            (Some(_), _) => whole.push((index + 1, raw.to_vec())),
        }
    }
    whole
}

fn decoded(number: usize, raw: &[u8], remarks: &mut Vec<Remark>) -> Option<Line> {
    let text = String::from_utf8_lossy(raw);
    if std::str::from_utf8(raw).is_err() {
        remarks.push(Remark::warning(
            number,
            "The line holds bytes that are not UTF-8. They are shown as \u{fffd}.",
            "Save the calendar as UTF-8 and hand it in again.",
        ));
    }
    let line = parsed(number, &text);
    if line.is_none() {
        remarks.push(Remark::error(
            number,
            format!("The line \"{}\" is not of the form NAME:value. It was left out.", shown(&text)),
            "If it continues the line before, put a space before it; otherwise take it out.",
        ));
    }
    line
}

/// The first letters of a text, to show it in a remark.
pub(crate) fn shown(text: &str) -> String {
    match text.char_indices().nth(60) {
        Some((cut, _)) => format!("{}…", &text[..cut]),
        None => text.to_owned(),
    }
}

fn parsed(number: usize, text: &str) -> Option<Line> {
    let colon = end_of_head(text, ':')?;
    let (head, value) = (&text[..colon], text[colon + 1..].to_owned());
    let mut parts = split_outside_quotes(head, ';').into_iter();
    let name = parts.next().filter(|name| is_name(name))?.to_ascii_uppercase();
    let mut parameters = Vec::new();
    for part in parts {
        let (key, given) = part.split_once('=')?;
        if !is_name(key) {
            return None;
        }
        parameters.push((key.to_ascii_uppercase(), given.trim_matches('"').to_owned()));
    }
    Some(Line { number, name, parameters, value })
}

fn is_name(text: &str) -> bool {
    !text.is_empty() && text.bytes().all(|byte| byte.is_ascii_alphanumeric() || byte == b'-')
}

/// Where a mark first stands outside double quotes.
fn end_of_head(text: &str, mark: char) -> Option<usize> {
    let mut quoted = false;
    text.char_indices().find_map(|(at, letter)| {
        quoted ^= letter == '"';
        (letter == mark && !quoted).then_some(at)
    })
}

fn split_outside_quotes(text: &str, mark: char) -> Vec<&str> {
    let (mut rest, mut parts) = (text, Vec::new());
    while let Some(at) = end_of_head(rest, mark) {
        parts.push(&rest[..at]);
        rest = &rest[at + mark.len_utf8()..];
    }
    parts.push(rest);
    parts
}

/// A TEXT value as it is meant (RFC 5545, section 3.3.11): `\n`, `\,`, `\;` and `\\` undone.
#[must_use]
pub fn unescape(value: &str) -> String {
    let mut text = String::with_capacity(value.len());
    let mut letters = value.chars();
    while let Some(letter) = letters.next() {
        match (letter, letter == '\\') {
            (_, true) => match letters.next() {
                Some('n' | 'N') => text.push('\n'),
                Some(other @ (',' | ';' | '\\')) => text.push(other),
                Some(other) => text.extend(['\\', other]),
                None => text.push('\\'),
            },
            (other, false) => text.push(other),
        }
    }
    text
}

/// A text as a TEXT value (RFC 5545, section 3.3.11). Line ends become `\n`; control letters but the tab are dropped.
#[must_use]
pub fn escape(text: &str) -> String {
    let mut value = String::with_capacity(text.len());
    for letter in text.replace("\r\n", "\n").chars() {
        match letter {
            '\n' | '\r' => value.push_str("\\n"),
            ',' | ';' | '\\' => value.extend(['\\', letter]),
            '\t' => value.push(letter),
            other if other.is_control() => {}
            other => value.push(other),
        }
    }
    value
}

/// The parts of a list of TEXT values: split at commas that are not escaped, each unescaped.
pub(crate) fn text_list(value: &str) -> Vec<String> {
    let (mut parts, mut escaped) = (vec![String::new()], false);
    for letter in value.chars() {
        if letter == ',' && !escaped {
            parts.push(String::new());
        } else if let Some(part) = parts.last_mut() {
            part.push(letter);
        }
        escaped = letter == '\\' && !escaped;
    }
    parts.iter().map(|part| unescape(part.trim())).filter(|part| !part.is_empty()).collect()
}

/// Octets of a line at most, without its end (RFC 5545, section 3.1).
const WIDTH: usize = 75;

/// A line folded at 75 octets, never within a letter, with its CRLF.
#[must_use]
pub fn fold(line: &str) -> String {
    let (mut folded, mut width) = (String::with_capacity(line.len() + 8), 0);
    for letter in line.chars() {
        if width + letter.len_utf8() > WIDTH {
            folded.push_str("\r\n ");
            width = 1;
        }
        folded.push(letter);
        width += letter.len_utf8();
    }
    folded + "\r\n"
}
