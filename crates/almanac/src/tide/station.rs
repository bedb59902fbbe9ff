//! A tide station: its constants, those that are compiled in, and how one is read and written as text.

use std::fmt;
use std::sync::OnceLock;

use quantity::{Angle, Length, ParseError};

use super::Constituent;
use crate::{Position, PositionError};

/// Where the tide was measured, and what it was found to be made of.
///
/// `Display` writes it as [`Station::read`] reads it.
#[derive(Debug, Clone, PartialEq)]
pub struct Station {
    /// Its name.
    pub name: String,
    /// The number that its authority gave it.
    pub id: Option<String>,
    /// Where it is.
    pub place: Position,
    /// What heights are counted from.
    pub datum: Datum,
    /// The constituents, each once.
    pub constituents: Vec<Harmonic>,
    /// Who measured it, and who may use it.
    pub source: String,
}

/// What heights are counted from.
#[derive(Debug, Clone, PartialEq)]
pub struct Datum {
    /// Its name, such as mean lower low water (MLLW).
    pub name: String,
    /// How high the mean level of the sea stands above it.
    pub mean: Length,
    /// The lowest astronomical tide above it, which is usually negative, if it is known.
    pub lowest: Option<Length>,
    /// The highest astronomical tide above it, if it is known.
    pub highest: Option<Length>,
}

/// How large a constituent is at a station, and how late.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Harmonic {
    /// Which.
    pub constituent: Constituent,
    /// Half of its swing.
    pub amplitude: Length,
    /// How far it comes behind the moon and sun at Greenwich.
    pub phase: Angle,
}

/// One thing that is wrong with a station's text; `Display` says where and how.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct StationError {
    /// The line, from 1; the last one if something is missing.
    pub line: usize,
    /// The character of the line, from 1.
    pub column: usize,
    /// What is wrong and how to mend it, in full sentences.
    pub words: String,
}

/// All that is wrong with a station's text, in its order.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct StationErrors(pub Vec<StationError>);

impl fmt::Display for StationError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "Line {}, character {}: {}", self.line, self.column, self.words)
    }
}

impl fmt::Display for StationErrors {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let lines: Vec<String> = self.0.iter().map(ToString::to_string).collect();
        f.write_str(&lines.join("\n"))
    }
}

impl std::error::Error for StationError {}
impl std::error::Error for StationErrors {}

/// The stations that are compiled in: a half-daily, a mixed and a daily tide of the United States.
#[allow(clippy::missing_panics_doc, reason = "a test reads every station that is compiled in")]
pub fn stations() -> &'static [Station] {
    static STATIONS: OnceLock<Vec<Station>> = OnceLock::new();
    STATIONS.get_or_init(|| {
        let texts = [
            include_str!("stations/boston.txt"),
            include_str!("stations/friday_harbor.txt"),
            include_str!("stations/pensacola.txt"),
        ];
        texts
            .map(|text| Station::read(text).expect("the tests read every station that is compiled in"))
            .into()
    })
}

/// The compiled-in station of a name or number; capitals and small letters are alike.
pub fn station(name: &str) -> Option<&'static Station> {
    let name = name.trim();
    stations().iter().find(|one| one.name.eq_ignore_ascii_case(name) || one.id.as_deref() == Some(name))
}

/// All stations that are compiled in, the nearest to a place first, with how far off each is.
pub fn nearest(place: Position) -> Vec<(&'static Station, Length)> {
    let mut all: Vec<(&Station, Length)> =
        stations().iter().map(|one| (one, place.distance(one.place))).collect();
    all.sort_by(|one, other| one.1.total_cmp(&other.1));
    all
}

impl Station {
    /// Reads a station: a line for each thing said of it, then a line for each constituent.
    ///
    /// ```
    /// let text = "
    ///     ## A line that begins with # is not read.
    ///     station  Juniper Ledge
    ///     place    43.9 N 69.6 W
    ///     datum    mean lower low water (MLLW)
    ///     mean     1.5 m
    ///     source   invented for an example
    ///     M2  1.3 m  105°
    ///     S2  0.2 m  140°
    /// ";
    /// let station = almanac::tide::Station::read(text)?;
    /// assert_eq!(station.constituents.len(), 2);
    /// # Ok::<(), almanac::tide::StationErrors>(())
    /// ```
    /// `id`, `lowest` and `highest` may be added: its number, and the lowest and highest astronomical tide above the
    /// datum. Lengths may be in feet. Phases are behind Greenwich and UTC, not local ones. A station may leave
    /// constituents out.
    pub fn read(text: &str) -> Result<Self, StationErrors> {
        Reader::default().station(text)
    }
}

impl fmt::Display for Station {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        writeln!(f, "station   {}", self.name)?;
        if let Some(id) = &self.id {
            writeln!(f, "id        {id}")?;
        }
        writeln!(f, "place     {}", self.place)?;
        writeln!(f, "datum     {}", self.datum.name)?;
        writeln!(f, "mean      {}", self.datum.mean)?;
        for (key, level) in [("lowest", self.datum.lowest), ("highest", self.datum.highest)] {
            if let Some(level) = level {
                writeln!(f, "{key:<9} {level}")?;
            }
        }
        writeln!(f, "source    {}\n", self.source)?;
        for harmonic in &self.constituents {
            writeln!(f, "{:<5} {}  {}", harmonic.constituent, harmonic.amplitude, harmonic.phase)?;
        }
        Ok(())
    }
}

/// What is said of a station, before its constituents.
const KEYS: [&str; 8] = ["station", "id", "place", "datum", "mean", "lowest", "highest", "source"];

/// The lines read so far, with what was wrong.
#[derive(Default)]
struct Reader<'t> {
    said: Vec<(&'t str, Line<'t>)>,
    constituents: Vec<Harmonic>,
    errors: Vec<StationError>,
}

/// What stands behind the first word of a line.
#[derive(Clone, Copy)]
struct Line<'t> {
    number: usize,
    column: usize,
    rest: &'t str,
}

impl<'t> Reader<'t> {
    fn station(mut self, text: &'t str) -> Result<Station, StationErrors> {
        let mut lines = 0;
        for (at, line) in text.lines().enumerate() {
            lines = at + 1;
            self.line(at + 1, line);
        }
        let end = Line { number: lines.max(1), column: 1, rest: "" };
        if self.constituents.is_empty() && self.errors.is_empty() {
            self.wrong(
                end,
                "No constituent is given. Write at least one, such as M2  1.3 m  105°.".to_owned(),
            );
        }
        let name = self.needed("station", end).map(|line| line.rest.to_owned());
        let place =
            self.needed("place", end).and_then(|line| self.checked(line, line.rest.parse::<Position>()));
        let datum = self.needed("datum", end).map(|line| line.rest.to_owned());
        let mean = self.needed("mean", end).and_then(|line| self.checked(line, Length::parse(line.rest)));
        let source = self.needed("source", end).map(|line| line.rest.to_owned());
        let id = self.find("id").map(|line| line.rest.to_owned());
        let [lowest, highest] = ["lowest", "highest"]
            .map(|key| self.find(key).and_then(|line| self.checked(line, Length::parse(line.rest))));
        self.levels(lowest, mean, highest);
        match (name, place, datum, mean, source) {
            (Some(name), Some(place), Some(datum), Some(mean), Some(source)) if self.errors.is_empty() => {
                let datum = Datum { name: datum, mean, lowest, highest };
                Ok(Station { name, id, place, datum, constituents: self.constituents, source })
            }
            _ => {
                self.errors.sort_by_key(|error| (error.line, error.column));
                Err(StationErrors(self.errors))
            }
        }
    }

    fn line(&mut self, number: usize, line: &'t str) {
        let text = line.trim_end();
        let word = text.trim_start();
        let indent = text.len() - word.len();
        let end = word.find(char::is_whitespace).unwrap_or(word.len());
        let (word, behind) = word.split_at(end);
        if word.is_empty() || word.starts_with('#') {
            return;
        }
        let rest = behind.trim_start();
        let before = &text[..text.len() - rest.len()];
        let line = Line { number, column: before.chars().count() + 1, rest };
        let start = Line { column: text[..indent].chars().count() + 1, ..line };
        if let Some(key) = KEYS.iter().find(|key| **key == word) {
            if self.find(key).is_some() {
                self.wrong(start, format!("“{key}” is said twice. Keep one of the lines."));
            } else if rest.is_empty() {
                self.wrong(start, format!("Nothing stands behind “{key}”."));
            }
            self.said.push((*key, line));
        } else if let Some(constituent) = Constituent::find(word) {
            self.constituent(constituent, start, line);
        } else {
            let known: Vec<&str> = Constituent::all().map(Constituent::name).collect();
            let words = format!(
                "“{word}” is neither a constituent that is known here ({}) nor one of {}.",
                known.join(", "),
                KEYS.join(", ")
            );
            self.wrong(start, words);
        }
    }

    fn constituent(&mut self, constituent: Constituent, start: Line<'t>, line: Line<'t>) {
        let name = constituent.name();
        if self.constituents.iter().any(|other| other.constituent == constituent) {
            self.wrong(start, format!("{name} is given twice. Keep one of the lines."));
        }
        let letter = line.rest.find(char::is_alphabetic).unwrap_or(0);
        let second = line.rest[letter..].find(|c: char| c.is_ascii_digit() || c == '-').map(|at| letter + at);
        let Some((amplitude, phase)) = second.map(|at| line.rest.split_at(at)) else {
            let words =
                format!("Behind {name} stand its amplitude and its phase, such as {name}  1.3 m  105°.");
            self.wrong(line, words);
            return;
        };
        let at_phase = Line { column: line.column + amplitude.chars().count(), ..line };
        let amplitude = self.checked(line, Length::parse(amplitude.trim()));
        let phase = self.checked(at_phase, Angle::parse(phase));
        let (Some(amplitude), Some(phase)) = (amplitude, phase) else { return };
        if !(0.0..=10.0).contains(&amplitude.as_metres()) {
            self.wrong(line, format!("An amplitude of {amplitude} can't be. It is 0 to 10 m."));
        }
        if phase.as_degrees().abs() > 360.0 {
            self.wrong(at_phase, format!("A phase of {phase} can't be. It is at most 360°."));
        }
        self.constituents.push(Harmonic { constituent, amplitude, phase });
    }

    fn find(&self, key: &str) -> Option<Line<'t>> {
        self.said.iter().find(|(said, _)| *said == key).map(|(_, line)| *line)
    }

    fn needed(&mut self, key: &str, end: Line<'t>) -> Option<Line<'t>> {
        let line = self.find(key);
        if line.is_none() {
            self.wrong(end, format!("“{key}” is missing. Every station says it."));
        }
        line
    }

    fn levels(&mut self, lowest: Option<Length>, mean: Option<Length>, highest: Option<Length>) {
        let Some(mean) = mean else { return };
        if lowest.is_some_and(|lowest| lowest > mean) {
            let line = self.find("lowest").expect("it was read");
            self.wrong(line, format!("The lowest tide lies above the mean level, {mean}."));
        }
        if highest.is_some_and(|highest| highest < mean) {
            let line = self.find("highest").expect("it was read");
            self.wrong(line, format!("The highest tide lies below the mean level, {mean}."));
        }
    }

    fn checked<T, E: Words>(&mut self, line: Line<'t>, read: Result<T, E>) -> Option<T> {
        read.map_err(|error| self.wrong(line, error.to_string())).ok()
    }

    fn wrong(&mut self, line: Line<'t>, words: String) {
        self.errors.push(StationError { line: line.number, column: line.column, words });
    }
}

/// Errors that say in full sentences what is wrong.
trait Words: fmt::Display {}
impl Words for ParseError {}
impl Words for PositionError {}
