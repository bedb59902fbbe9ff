//! What is asked about an anchor berth: read from the parts of an address, kept as it was written.

use std::collections::BTreeMap;
use std::str::FromStr;

use boat::model::{Boat, GroundTackle};
use endure::tackle::{Advice, Berth, Bottom, Hull, Tackle};
use quantity::{Length, Speed};

/// Room to keep beyond the swing, since nobody knows to a metre where the anchor lies (common practice).
pub(super) const MARGIN: Length = Length::metres(5.0);

/// Bottoms: the name in addresses, the name for people.
pub(super) const BOTTOMS: [(&str, &str, Bottom); 6] = [
    ("sand", "Sand", Bottom::Sand),
    ("mud", "Firm mud or clay", Bottom::Mud),
    ("soft-mud", "Soft mud", Bottom::SoftMud),
    ("weed", "Weed", Bottom::Weed),
    ("shingle", "Shingle or gravel", Bottom::Shingle),
    ("rock", "Rock", Bottom::Rock),
];

/// A field that can't be understood, and what to mend.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Fault {
    pub(super) field: &'static str,
    pub(super) what: String,
}

/// What is asked about an anchor berth.
#[derive(Debug, Clone, PartialEq)]
pub struct AnchorAsk {
    given: BTreeMap<String, String>,
    pub(super) faults: Vec<Fault>,
    /// The anchor that was chosen, by its place in the boat file.
    pub(super) anchor: usize,
    /// The depth now, and the berth; none if it was not asked or not understood.
    pub(super) berth: Option<Berth>,
    /// What is advised.
    pub(super) advice: Option<Advice>,
}

impl AnchorAsk {
    /// Reads what is asked from the names and values of an address, and works out the advice.
    pub fn read(boat: &Boat, pairs: &[(String, String)]) -> Self {
        let given: BTreeMap<String, String> = pairs
            .iter()
            .map(|(key, value)| (key.clone(), value.trim().to_owned()))
            .filter(|(_, value)| !value.is_empty())
            .collect();
        let mut ask = Self { given, faults: Vec::new(), anchor: 0, berth: None, advice: None };
        ask.anchor = ask.chosen(boat);
        // The tide's page fills in rise and fall alone: then nothing is asked yet.
        if ["depth", "wind"].iter().any(|key| !ask.value(key).is_empty()) {
            ask.berth = ask.read_berth();
        }
        ask.advise(boat);
        ask
    }

    /// Whether all of it was understood.
    pub fn is_sound(&self) -> bool {
        self.faults.is_empty()
    }

    /// What was written in a field.
    pub(super) fn value(&self, key: &str) -> &str {
        self.given.get(key).map_or("", String::as_str)
    }

    /// The anchor that is asked about, if the boat file has any.
    pub(super) fn tackle<'b>(&self, boat: &'b Boat) -> Option<&'b GroundTackle> {
        boat.tackle.iter().nth(self.anchor)
    }

    fn fault(&mut self, field: &'static str, what: String) {
        self.faults.push(Fault { field, what });
    }

    fn chosen(&mut self, boat: &Boat) -> usize {
        let Some(id) = self.given.get("anchor").cloned() else { return 0 };
        let found = boat.tackle.iter().position(|tackle| tackle.id == id);
        if found.is_none() {
            self.fault(
                "anchor",
                format!("This boat has no anchor \u{201c}{id}\u{201d}. Choose one from the list."),
            );
        }
        found.unwrap_or(0)
    }

    fn read_berth(&mut self) -> Option<Berth> {
        let depth = self.needed("depth", "The depth now", " m", "4.5, 4.5 m or 15 ft");
        let wind = self.needed("wind", "The strongest wind", " kn", "18, or 18 kn");
        let rise = self.optional("rise", "The rise of the tide");
        let fall = self.optional("fall", "The fall of the tide");
        let bottom = match self.value("bottom") {
            "" => Some(None),
            key => BOTTOMS.iter().find(|row| row.0 == key).map(|row| Some(row.2)),
        };
        if bottom.is_none() {
            let found = self.value("bottom").to_owned();
            self.fault(
                "bottom",
                format!("\u{201c}{found}\u{201d} is no bottom that is known here. Choose one from the list."),
            );
        }
        let (depth, wind): (Length, Speed) = (depth?, wind?);
        let mut berth = Berth::new(depth, wind);
        berth.rise = rise?;
        berth.fall = fall?;
        berth.bottom = bottom?;
        berth.margin = MARGIN;
        Some(berth)
    }

    fn needed<T: FromStr>(&mut self, key: &'static str, what: &str, unit: &str, like: &str) -> Option<T> {
        let written = self.value(key).to_owned();
        let read = read(&written, unit);
        if written.is_empty() {
            self.fault(key, format!("{what} is not given. Write it as {like}."));
        } else if read.is_none() {
            self.fault(key, format!("{what} is written as \u{201c}{written}\u{201d}. Write it as {like}."));
        }
        read
    }

    fn optional(&mut self, key: &'static str, what: &str) -> Option<Length> {
        if self.value(key).is_empty() {
            Some(Length::ZERO)
        } else {
            self.needed(key, what, " m", "2, 2 m or 6 ft")
        }
    }

    fn advise(&mut self, boat: &Boat) {
        let (Some(berth), Some(tackle)) = (self.berth.filter(|_| self.is_sound()), self.tackle(boat)) else {
            return;
        };
        let advised = Tackle::of(tackle)
            .map_err(|unready| unready.to_string())
            .and_then(|tackle| tackle.advise(&Hull::of(boat), &berth).map_err(|fault| fault.to_string()));
        match advised {
            Ok(advice) => self.advice = Some(advice),
            Err(what) => self.fault("depth", what),
        }
    }
}

/// A quantity as people write it; a bare number has the field's unit.
fn read<T: FromStr>(written: &str, unit: &str) -> Option<T> {
    let with_point = written.replace(',', ".");
    let bare = with_point.parse::<f64>().is_ok_and(f64::is_finite);
    let text = if bare { format!("{with_point}{unit}") } else { with_point };
    text.parse().ok()
}
