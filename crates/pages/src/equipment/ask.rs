//! What is asked about equipment: whose rules, in which waters, on which days, for whom; and what the boat file does not
//! say of the boat.

use std::collections::{BTreeMap, BTreeSet};

use boat::model::Boat;
use jiff::Span;
use jiff::civil::Date;
use quantity::Mass;
use records::BoatStanding;
use rules::{Authority, Carried, Check, Crew, Dates, Fact, Inquiry, Vessel, Waters, check};

use super::aboard::aboard;
use crate::authority::Whose;
use crate::given::{self, Given};

/// How long a charter is when nobody says.
const USUAL_DAYS: i32 = 7;
/// The most adults, and the most children, that are counted.
const MOST_PEOPLE: u32 = 99;
/// What a child weighs: below and above it is no child's weight, so that a slip of the hand is asked again.
const CHILD: (f64, f64) = (2.0, 120.0);

/// What is asked about equipment.
#[derive(Debug, Clone, PartialEq)]
pub struct EquipmentAsk {
    pub(super) given: Given,
    pub(super) whose: Whose,
    pub(super) waters: Option<Waters>,
    pub(super) dates: Dates,
    pub(super) crew: Crew,
    /// What was answered of the boat and her use.
    pub(super) facts: BTreeMap<Fact, bool>,
    pub(super) entrances: Option<u32>,
}

impl EquipmentAsk {
    /// Reads what is asked from the names and values of an address; a charter of no said days begins today.
    pub fn read(boat: &Boat, pairs: &[(String, String)], today: Date) -> Self {
        let mut given = Given::new(pairs);
        let whose = Whose::read(&given, boat);
        let waters = given.choice("waters", "The waters", Waters::find);
        let dates = read_dates(&mut given, today);
        let crew = read_crew(&mut given, boat);
        let mut facts = BTreeMap::new();
        for fact in Fact::ALL {
            let yes_or_no =
                |word: &str| [("yes", true), ("no", false)].iter().find(|one| one.0 == word).map(|one| one.1);
            if let Some(so) = given.choice(fact.word(), fact.question(), yes_or_no) {
                facts.insert(fact, so);
            }
        }
        let entrances = given.whole("entrances", "The number of entrances", 1, MOST_PEOPLE);
        Self { given, whose, waters, dates, crew, facts, entrances }
    }

    /// Whether all of it was understood.
    pub fn is_sound(&self) -> bool {
        self.given.is_sound()
    }

    /// What could not be understood, for programs; nothing if all of it was.
    pub fn flaws(&self) -> Option<String> {
        self.given.flaws()
    }

    /// Why there is no answer, if there can be none.
    pub fn unknown(&self) -> Option<String> {
        self.whose.unknown()
    }

    /// What is aboard against the rows of each authority whose rules hold; nothing if none of them is listed.
    pub fn checks(&self, boat: &Boat, standing: Option<&BoatStanding>) -> Vec<(&'static Authority, Check)> {
        let inquiry = self.inquiry(boat, aboard(boat, standing));
        self.whose.chain().into_iter().map(|authority| (authority, check(authority, &inquiry))).collect()
    }

    /// The question as the rules take it.
    pub(super) fn inquiry(&self, boat: &Boat, aboard: Vec<Carried>) -> Inquiry {
        let mut vessel = Vessel::of(boat);
        for (fact, so) in &self.facts {
            // What the boat file says stands.
            vessel.facts.entry(*fact).or_insert(*so);
        }
        vessel.entrances = self.entrances;
        Inquiry { vessel, crew: self.crew.clone(), dates: self.dates, waters: self.waters, aboard }
    }

    /// What the rules depend on and the boat file does not say.
    pub(super) fn questions(&self, boat: &Boat) -> BTreeSet<Fact> {
        let length = boat.particulars.length;
        let all: BTreeSet<Fact> =
            self.whose.chain().iter().flat_map(|authority| authority.depends_on(length)).collect();
        let vessel = Vessel::of(boat);
        all.into_iter().filter(|fact| vessel.says(*fact).is_none()).collect()
    }

    /// Whether a rule counts entrances.
    pub(super) fn asks_entrances(&self, boat: &Boat) -> bool {
        self.whose.chain().iter().any(|authority| authority.counts_entrances(boat.particulars.length))
    }
}

fn read_dates(given: &mut Given, today: Date) -> Dates {
    let from = given.day("from", "The first day");
    let first = from.unwrap_or(today);
    let until = given.day("until", "The last day");
    let last = until.unwrap_or_else(|| first.saturating_add(Span::new().days(USUAL_DAYS)));
    if last < first {
        given.fault("until", "The last day comes before the first. Turn them round.");
    }
    Dates::new(first, last)
}

fn read_crew(given: &mut Given, boat: &Boat) -> Crew {
    let adults = given.whole("adults", "The number of adults", 0, MOST_PEOPLE);
    let children = match weights(given.value("children")) {
        Ok(children) => children,
        Err(what) => {
            given.fault("children", what);
            Vec::new()
        }
    };
    let crew = Crew { adults: adults.unwrap_or(boat.particulars.berths), children };
    if crew.persons() == 0 && given.is_sound() {
        given.fault("adults", "Nobody is aboard. Say how many adults come, or the weights of the children.");
    }
    crew
}

/// The weights of the children, as people write them: `14 kg, 22 kg` or `14 22`.
fn weights(written: &str) -> Result<Vec<Mass>, String> {
    let like = "Write the weight of each child with a space between, such as 14 kg 22 kg";
    let mut found = Vec::new();
    let mut words =
        written.split([' ', ';', '\u{a0}']).filter(|word| !matches!(*word, "" | "and" | "+")).peekable();
    while let Some(word) = words.next() {
        let word = word.trim_end_matches(',');
        // “14,22” may be one child or two.
        if word.contains(',') {
            return Err(format!("\u{201c}{word}\u{201d} may be one weight or two. {like}."));
        }
        let unit = words.next_if(|next| next.starts_with(char::is_alphabetic));
        let text =
            unit.map_or_else(|| word.to_owned(), |unit| format!("{word} {}", unit.trim_end_matches(',')));
        let read: Option<Mass> = given::quantity(&text, "kg");
        match read.filter(|mass| (CHILD.0..=CHILD.1).contains(&mass.as_kilograms())) {
            Some(mass) => found.push(mass),
            None => {
                return Err(format!(
                    "\u{201c}{text}\u{201d} is no child's weight from {} to {} kg. {like}.",
                    CHILD.0, CHILD.1
                ));
            }
        }
        if found.len() > MOST_PEOPLE as usize {
            return Err(format!("More than {MOST_PEOPLE} children are not counted here."));
        }
    }
    Ok(found)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_weights_of_children_are_read_as_people_write_them() {
        let kilograms = |text: &str| {
            weights(text).map(|all| all.iter().map(|mass| mass.as_kilograms().round()).collect::<Vec<_>>())
        };
        assert_eq!(kilograms(""), Ok(vec![]));
        assert_eq!(kilograms("14 kg, 22 kg"), Ok(vec![14.0, 22.0]));
        assert_eq!(kilograms("14, 22 and 30kg"), Ok(vec![14.0, 22.0, 30.0]));
        assert_eq!(kilograms("31 lb; 14.4"), Ok(vec![14.0, 14.0]));
        assert!(kilograms("14,22").unwrap_err().contains("one weight or two"));
        for wrong in ["big", "14 m", "1", "300", "-14", "14 kg kg"] {
            assert!(kilograms(wrong).unwrap_err().contains("no child's weight"), "{wrong}");
        }
    }
}
