//! Text laid out for a terminal: sentences wrapped, columns lined up.

/// Sentences are wrapped at this many characters, and columns are laid out within it.
const WIDTH: usize = 88;

/// A sentence in lines, each begun by `indent`; a figure stays with its unit.
pub(crate) fn wrap(text: &str, indent: &str) -> String {
    hang(text, indent, indent)
}

/// A sentence in lines, the first begun by `first` and the others by `rest`.
pub(crate) fn hang(text: &str, first: &str, rest: &str) -> String {
    let mut out = String::from(first);
    let mut at = width(first);
    let mut begun = false;
    for word in words(text) {
        let long = width(&word);
        if begun && at + 1 + long > WIDTH {
            out.push('\n');
            out.push_str(rest);
            at = width(rest);
        } else if begun {
            out.push(' ');
            at += 1;
        }
        out.push_str(&word);
        at += long;
        begun = true;
    }
    out.push('\n');
    out
}

/// A name in lines of at most so many characters.
pub(crate) fn folded(name: &str, wide: usize) -> Vec<String> {
    let mut lines: Vec<String> = Vec::new();
    for word in words(name) {
        match lines.last_mut() {
            Some(line) if width(line) + 1 + width(&word) <= wide => {
                line.push(' ');
                line.push_str(&word);
            }
            _ => lines.push(word),
        }
    }
    lines
}

/// Words of a sentence; a word of figures takes the next one with it.
fn words(text: &str) -> Vec<String> {
    let mut words: Vec<String> = Vec::new();
    let mut joins = false;
    for word in text.split_whitespace() {
        match words.last_mut() {
            Some(last) if joins => {
                last.push(' ');
                last.push_str(word);
            }
            _ => words.push(word.to_owned()),
        }
        joins = word.bytes().all(|byte| byte.is_ascii_digit() || byte == b'.')
            && word.bytes().last().is_some_and(|byte| byte.is_ascii_digit());
    }
    words
}

/// How a column is set.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Side {
    Left,
    Right,
}

/// Rows in columns, two spaces apart, each line begun by `indent`. Nothing trails at the end of a line.
pub(crate) fn columns<const N: usize>(indent: &str, sides: [Side; N], rows: &[[String; N]]) -> String {
    let mut widths = [0; N];
    for row in rows {
        for (widest, cell) in widths.iter_mut().zip(row) {
            *widest = width(cell).max(*widest);
        }
    }
    let mut out = String::new();
    for row in rows {
        let mut line = String::from(indent);
        for (at, cell) in row.iter().enumerate() {
            let space = " ".repeat(widths[at] - width(cell));
            if at > 0 {
                line.push_str("  ");
            }
            match sides[at] {
                Side::Left => line.extend([cell.as_str(), space.as_str()]),
                Side::Right => line.extend([space.as_str(), cell.as_str()]),
            }
        }
        out.push_str(line.trim_end());
        out.push('\n');
    }
    out
}

fn width(text: &str) -> usize {
    text.chars().count()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn sentences_are_wrapped_and_a_figure_keeps_its_unit() {
        let text = format!("{} 12 V and more.", "a".repeat(WIDTH - 3));
        assert_eq!(wrap(&text, ""), format!("{}\n12 V and more.\n", "a".repeat(WIDTH - 3)));
        assert_eq!(hang("one two", "- ", "  "), "- one two\n");
        assert!(wrap(&"word ".repeat(60), "  ").lines().all(|line| width(line) <= WIDTH));
    }

    #[test]
    fn a_name_is_folded_at_its_words() {
        assert_eq!(folded("Impeller, gasket and puller", 16), ["Impeller, gasket", "and puller"]);
        assert!(folded("", 5).is_empty());
    }

    #[test]
    fn columns_line_up_and_nothing_trails() {
        let row = |left: &str, right: &str, last: &str| [left, right, last].map(str::to_owned);
        let rows = [row("tank", "5 %", "a"), row("bank", "100 %", "")];
        let text = columns(" ", [Side::Left, Side::Right, Side::Left], &rows);
        assert_eq!(text, " tank    5 %  a\n bank  100 %\n");
    }
}
