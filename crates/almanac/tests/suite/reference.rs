//! Reading the reference data, and gathering the largest difference from it.

use std::path::PathBuf;

use almanac::Position;
use jiff::Timestamp;
use jiff::civil::Date;
use quantity::Angle;

/// The file in `reference/oracles`; what each can judge is in the README there.
pub(crate) fn path(name: &str) -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("../../reference/oracles").join(name)
}

pub(crate) fn place(latitude: f64, longitude: f64) -> Position {
    Position::new(Angle::degrees(latitude), Angle::degrees(longitude)).unwrap()
}

pub(crate) fn date(text: &str) -> Date {
    text.parse().unwrap()
}

pub(crate) fn time(text: &str) -> Timestamp {
    text.parse().unwrap()
}

/// `seconds` after a moment.
pub(crate) fn after(at: Timestamp, seconds: i64) -> Timestamp {
    Timestamp::from_second(at.as_second() + seconds).unwrap()
}

/// Seconds from the second to the first.
pub(crate) fn seconds(later: Timestamp, earlier: Timestamp) -> f64 {
    later.duration_since(earlier).as_secs_f64()
}

/// A table with a head line.
pub(crate) struct Table {
    head: csv::StringRecord,
    rows: Vec<csv::StringRecord>,
}

/// One line of a table.
#[derive(Clone, Copy)]
pub(crate) struct Row<'t> {
    head: &'t csv::StringRecord,
    cells: &'t csv::StringRecord,
}

impl Table {
    pub(crate) fn read(name: &str) -> Self {
        let mut reader = csv::Reader::from_path(path(name)).unwrap();
        let head = reader.headers().unwrap().clone();
        let rows: Vec<_> = reader.records().map(Result::unwrap).collect();
        assert!(!rows.is_empty(), "{name} is empty");
        Self { head, rows }
    }

    pub(crate) fn rows(&self) -> impl Iterator<Item = Row<'_>> {
        self.rows.iter().map(|cells| Row { head: &self.head, cells })
    }
}

impl<'t> Row<'t> {
    pub(crate) fn text(self, column: &str) -> &'t str {
        let index = self.head.iter().position(|name| name == column).expect(column);
        &self.cells[index]
    }

    pub(crate) fn number(self, column: &str) -> f64 {
        self.text(column).parse().unwrap()
    }

    pub(crate) fn place(self) -> Position {
        place(self.number("lat"), self.number("lon"))
    }
}

/// The largest difference from a reference, with where it was.
#[derive(Default)]
pub(crate) struct Worst {
    size: f64,
    at: String,
    count: usize,
}

impl Worst {
    pub(crate) fn note(&mut self, difference: f64, at: impl FnOnce() -> String) {
        assert!(difference.is_finite(), "no number at {}", at());
        self.count += 1;
        if difference.abs() >= self.size {
            self.size = difference.abs();
            self.at = at();
        }
    }

    /// Holds the largest difference against what is allowed, and shows it.
    #[allow(clippy::print_stdout, reason = "the measured differences are shown with --no-capture")]
    pub(crate) fn check(&self, what: &str, allowed: f64) {
        println!("{what}: at most {:.9} of {allowed} ({} compared), at {}", self.size, self.count, self.at);
        assert!(self.count > 0, "{what}: nothing was compared");
        assert!(self.size <= allowed, "{what}: {} is more than {allowed}, at {}", self.size, self.at);
    }
}
