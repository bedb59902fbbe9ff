//! Texts and places in them: what a diagnostic points at.

/// Which text of [`Sources`].
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Default)]
pub struct SourceId(pub(crate) u16);

impl SourceId {
    /// The boat file itself.
    pub const BOAT: Self = Self(0);
}

/// A stretch of a text, in bytes from its start.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Default)]
pub struct Span {
    /// Which text.
    pub source: SourceId,
    /// First byte.
    pub start: usize,
    /// Past the last byte.
    pub end: usize,
}

impl Span {
    /// The stretch from `start` to `end` of a text.
    pub fn new(source: SourceId, start: usize, end: usize) -> Self {
        Self { source, start, end }
    }
}

/// A line and a column, both from 1; the column counts characters.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct Position {
    /// The line.
    pub line: usize,
    /// The column.
    pub column: usize,
}

/// A named text.
#[derive(Debug, Clone)]
pub struct Source {
    /// How people know it, such as a file name.
    pub name: String,
    /// The text.
    pub text: String,
    line_starts: Vec<usize>,
}

impl Source {
    /// A text by its name.
    pub fn new(name: impl Into<String>, text: impl Into<String>) -> Self {
        let text = text.into();
        let line_starts = std::iter::once(0).chain(text.match_indices('\n').map(|(at, _)| at + 1)).collect();
        Self { name: name.into(), text, line_starts }
    }

    /// The line and column of a byte; a byte past the end counts as the end.
    pub fn position(&self, byte: usize) -> Position {
        let mut byte = byte.min(self.text.len());
        while !self.text.is_char_boundary(byte) {
            byte -= 1;
        }
        let line = self.line_starts.partition_point(|&start| start <= byte);
        let start = self.line_starts[line - 1];
        // A byte order mark, which some editors put before the first letter, is no column.
        let before = self.text[start..byte].trim_start_matches('\u{feff}');
        Position { line, column: before.chars().count() + 1 }
    }

    /// The text of a line (from 1), without its line end; empty if there is no such line.
    pub fn line(&self, line: usize) -> &str {
        let Some(&start) = line.checked_sub(1).and_then(|at| self.line_starts.get(at)) else { return "" };
        let end = self.line_starts.get(line).copied().unwrap_or(self.text.len());
        self.text[start..end].trim_end_matches(['\n', '\r'])
    }
}

/// The texts that a boat is compiled from.
#[derive(Debug, Clone, Default)]
pub struct Sources {
    all: Vec<Source>,
}

impl Sources {
    /// Adds a text.
    ///
    /// # Panics
    /// If there are 65,536 texts already.
    pub fn add(&mut self, source: Source) -> SourceId {
        self.all.push(source);
        SourceId(u16::try_from(self.all.len() - 1).expect("a boat is compiled from fewer than 65,536 texts"))
    }

    /// The text of an id.
    pub fn get(&self, id: SourceId) -> &Source {
        &self.all[usize::from(id.0)]
    }

    /// All texts, the boat file first.
    pub fn iter(&self) -> impl Iterator<Item = &Source> {
        self.all.iter()
    }

    /// The words of a span; empty if it lies outside its text.
    pub fn words(&self, span: Span) -> &str {
        self.get(span.source).text.get(span.start..span.end).unwrap_or("")
    }

    /// The name of a span's text and the position of its start.
    pub fn locate(&self, span: Span) -> (&str, Position) {
        let source = self.get(span.source);
        (&source.name, source.position(span.start))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn positions_count_lines_and_characters() {
        let source = Source::new("x", "ab\nçd\r\n");
        assert_eq!(source.position(0), Position { line: 1, column: 1 });
        assert_eq!(source.position(5), Position { line: 2, column: 2 });
        assert_eq!(source.position(4), Position { line: 2, column: 1 }, "inside a character: its start");
        assert_eq!(source.position(99), Position { line: 3, column: 1 });
        assert_eq!(source.line(2), "çd");
        assert_eq!(source.line(9), "");
    }
}
