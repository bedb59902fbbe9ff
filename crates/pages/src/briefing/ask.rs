//! What is asked of a briefing: how long, for whom, for what trip; read from the parts of an address.

use brief::{Ask, Experience, Trip};
use quantity::Time;
use records::Moment;
use rules::Checklist;

use crate::given::Given;

/// The shortest and the longest talk, in minutes.
const LEAST: u32 = 5;
const MOST: u32 = 480;
/// The talk that is planned when nothing is asked.
const USUAL: u32 = 60;

/// Answers to "how well do you know boats like her": the word in addresses, the words for people.
pub(super) const CREWS: [(&str, &str, Experience); 3] = [
    ("new", "She is new to us", Experience::New),
    ("some", "We have sailed boats like her", Experience::Some),
    ("often", "We sail boats like her often", Experience::Often),
];

/// What the trip brings: the word in addresses, the words for people.
pub(super) const TRIPS: [(&str, &str); 4] = [
    ("anchoring", "We will anchor"),
    ("cold", "Cold water or cold nights"),
    ("children", "Children come along"),
    ("dark", "We may be out in the dark"),
];

/// What is asked of a briefing.
#[derive(Debug, Clone, PartialEq)]
pub struct BriefAsk {
    pub(super) given: Given,
    /// How long there is.
    pub(super) minutes: u32,
    /// How well the crew knows such boats.
    pub(super) experience: Experience,
    /// What the trip brings.
    pub(super) trip: Trip,
    /// The published list that is gone through line by line.
    pub(super) list: Option<&'static Checklist>,
    /// When the talk began, if it has.
    pub(super) began: Option<Moment>,
}

impl BriefAsk {
    /// Reads what is asked from the names and values of an address or a form.
    pub fn read(pairs: &[(String, String)]) -> Self {
        let mut ask = Self {
            given: Given::new(pairs),
            minutes: USUAL,
            experience: Experience::default(),
            trip: Trip::default(),
            list: None,
            began: None,
        };
        ask.read_minutes();
        ask.read_crew();
        let yes = |ask: &Self, key: &str| ask.given.value(key) == "yes";
        ask.trip = Trip {
            anchoring: yes(&ask, "anchoring") || ask.given.is_empty(),
            cold: yes(&ask, "cold"),
            children: yes(&ask, "children"),
            dark: yes(&ask, "dark"),
        };
        ask.read_list();
        ask.read_began();
        ask
    }

    /// Whether all of it was understood.
    pub fn is_sound(&self) -> bool {
        self.given.is_sound()
    }

    /// What could not be understood, for programs; nothing if all of it was.
    pub fn flaws(&self) -> Option<String> {
        self.given.flaws()
    }

    /// The names and values that ask the same again.
    pub fn pairs(&self) -> Vec<(&'static str, String)> {
        let mut pairs = vec![("minutes", self.minutes.to_string())];
        let crew = CREWS.iter().find(|row| row.2 == self.experience).map_or("new", |row| row.0);
        pairs.push(("crew", crew.to_owned()));
        let trip = [self.trip.anchoring, self.trip.cold, self.trip.children, self.trip.dark];
        pairs.extend(TRIPS.iter().zip(trip).filter(|(_, so)| *so).map(|(row, _)| (row.0, "yes".to_owned())));
        pairs.extend(self.list.map(|list| ("list", list.id.clone())));
        pairs.extend(self.began.map(|began| ("began", began.milliseconds().to_string())));
        pairs
    }

    /// The same, begun at a moment.
    #[must_use]
    pub fn beginning(mut self, now: Moment) -> Self {
        self.began = Some(now);
        self
    }

    /// How long there is in all.
    pub(super) fn time(&self) -> Time {
        Time::minutes(f64::from(self.minutes))
    }

    /// What is asked of the planning, nothing done yet.
    pub(super) fn plain(&self) -> Ask {
        Ask { experience: self.experience, trip: self.trip, ..Ask::new(self.time()) }
    }

    fn read_minutes(&mut self) {
        let written = self.given.value("minutes").trim_end_matches("min").trim().to_owned();
        if written.is_empty() {
            return;
        }
        match written.parse::<u32>() {
            Ok(minutes) if (LEAST..=MOST).contains(&minutes) => self.minutes = minutes,
            _ => self.given.fault(
                "minutes",
                format!(
                    "\u{201c}{written}\u{201d} is no time for a talk. Write whole minutes from {LEAST} to {MOST}, such as 60."
                ),
            ),
        }
    }

    fn read_crew(&mut self) {
        let written = self.given.value("crew").to_owned();
        match CREWS.iter().find(|row| row.0 == written) {
            Some(row) => self.experience = row.2,
            None if written.is_empty() => {}
            None => self.given.fault(
                "crew",
                format!("\u{201c}{written}\u{201d} is none of the answers. Choose one of the three."),
            ),
        }
    }

    fn read_list(&mut self) {
        let written = self.given.value("list").to_owned();
        let list = checklists().find(|list| list.id == written);
        if list.is_none() && !written.is_empty() {
            self.given.fault(
                "list",
                format!("No list \u{201c}{written}\u{201d} is known here. Choose one of those offered."),
            );
        }
        self.list = list;
    }

    fn read_began(&mut self) {
        let written = self.given.value("began").to_owned();
        if written.is_empty() {
            return;
        }
        match written.parse::<i64>() {
            Ok(milliseconds) => self.began = Some(Moment::from_milliseconds(milliseconds)),
            Err(_) => {
                self.given.fault("began", "When the talk began can't be read. Begin it again.");
            }
        }
    }
}

/// All published lists that are known here.
pub(super) fn checklists() -> impl Iterator<Item = &'static Checklist> {
    rules::authorities().iter().flat_map(|authority| &authority.checklists)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn ask(pairs: &[(&str, &str)]) -> BriefAsk {
        let pairs: Vec<(String, String)> =
            pairs.iter().map(|(key, value)| ((*key).to_owned(), (*value).to_owned())).collect();
        BriefAsk::read(&pairs)
    }

    #[test]
    fn nothing_asked_is_an_hour_for_a_crew_that_anchors() {
        let usual = ask(&[]);
        assert!(usual.is_sound() && usual.trip.anchoring);
        assert_eq!((usual.minutes, usual.experience), (60, Experience::New));
        assert!(!ask(&[("minutes", "30")]).trip.anchoring, "what is not ticked is not so");
    }

    #[test]
    fn what_is_asked_can_be_asked_again() {
        let one = ask(&[
            ("minutes", "45 min"),
            ("crew", "some"),
            ("cold", "yes"),
            ("children", "yes"),
            ("list", "canada_rental_sample"),
            ("began", "1780000000000"),
        ]);
        assert!(one.is_sound(), "{:?}", one.given.faults);
        let pairs: Vec<(String, String)> =
            one.pairs().into_iter().map(|(key, value)| (key.to_owned(), value)).collect();
        let again = BriefAsk::read(&pairs);
        assert_eq!(again.pairs(), one.pairs());
        assert_eq!((again.minutes, again.trip, again.began), (one.minutes, one.trip, one.began));
    }

    #[test]
    fn what_can_t_be_understood_is_said_and_the_rest_kept() {
        let wrong =
            ask(&[("minutes", "-5"), ("crew", "old"), ("list", "x"), ("began", "noon"), ("cold", "yes")]);
        let fields: Vec<&str> = wrong.given.faults.iter().map(|fault| fault.field.as_str()).collect();
        assert_eq!(fields, ["minutes", "crew", "list", "began"]);
        assert!(wrong.trip.cold);
        assert_eq!(wrong.given.value("minutes"), "-5");
        assert!(!ask(&[("minutes", "4")]).is_sound() && !ask(&[("minutes", "481")]).is_sound());
        assert!(ask(&[("minutes", "5")]).is_sound() && ask(&[("minutes", "480")]).is_sound());
    }
}
