//! Which trip is asked about: read from the parts of an address, kept as it was written, and turned into a plan.

use std::collections::BTreeMap;

use boat::model::{Activity, Boat, Liquid, LoadId, SourceKind, Store, Without};
use boat::trip::{Level, Trip, Weather};
use endure::change::Change;
use endure::plan::{self, Wish};
use quantity::{Ratio, Temperature, Time, Volume};

use super::what_if;

/// The most days that the form plans; a longer trip is written as text.
pub(super) const MOST_DAYS: u32 = 28;
/// The most hours of a day under engine and under sail that the usual day holds.
pub(super) const MOST_MOTOR: f64 = 6.0;
/// As above.
pub(super) const MOST_SAIL: f64 = 8.0;
/// The most people aboard.
const MOST_CREW: u32 = 40;
/// What a careful crew uses of fresh water, each on a day (common practice).
pub(super) const CAREFUL: Volume = Volume::litres(25.0);

/// Air of a temperate sailing season: its name in addresses, its name for people, low and high in °C.
pub(super) const AIR: [(&str, &str, f64, f64); 3] =
    [("cool", "Cool", 10.0, 17.0), ("usual", "Usual", 15.0, 24.0), ("warm", "Warm", 21.0, 31.0)];

/// The sky: its name in addresses, its name for people, the part that is clouded.
pub(super) const SKY: [(&str, &str, f64); 3] =
    [("clear", "Clear", 0.2), ("mixed", "Mixed", 0.5), ("grey", "Grey", 0.9)];

/// Where she lies for a night: the name in addresses, the name for people.
pub(super) const NIGHTS: [(&str, &str, Activity); 3] = [
    ("anchor", "At anchor", Activity::Anchored),
    ("mooring", "On a mooring", Activity::Moored),
    ("alongside", "Alongside: shore power, water, pump-out", Activity::Alongside),
];

/// A field of the form that can't be understood.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Fault {
    /// The field's name in addresses.
    pub(super) field: String,
    /// What to mend, a full sentence.
    pub(super) what: String,
}

/// What is asked about a trip, as it was written.
#[derive(Debug, Clone, PartialEq)]
pub struct ForecastAsk {
    given: BTreeMap<String, String>,
    today: String,
    berths: u32,
    pub(super) faults: Vec<Fault>,
    wish: Option<Wish>,
}

impl ForecastAsk {
    /// Reads what is asked from the names and values of an address; `today` is the first day if none is given,
    /// `YYYY-MM-DD`.
    ///
    /// Nothing is refused: what can't be understood is kept, and told on the page.
    pub fn read(boat: &Boat, pairs: &[(String, String)], today: &str) -> Self {
        let given = pairs
            .iter()
            .filter(|(_, value)| !value.trim().is_empty())
            .map(|(key, value)| {
                (key.clone(), if key == "plan" { value.clone() } else { value.trim().to_owned() })
            })
            .collect();
        let berths = boat.particulars.berths;
        let mut ask = Self { given, today: today.to_owned(), berths, faults: Vec::new(), wish: None };
        if ask.plan().is_none() {
            ask.wish = ask.read_wish();
            ask.check_nights();
            ask.check_levels(boat);
        }
        ask.check_what_if(boat);
        ask
    }

    /// Whether all of it was understood.
    pub fn is_sound(&self) -> bool {
        self.faults.is_empty()
    }

    /// The fewest names and values that ask the same, in the order of the form.
    pub fn shortest(&self, boat: &Boat) -> Vec<(String, String)> {
        let known: Vec<String> = if self.plan().is_some() {
            what_if::keys(boat).into_iter().chain(["plan".to_owned(), "remedy".to_owned()]).collect()
        } else {
            let nights = (1..=MOST_DAYS).map(|night| format!("night.{night}"));
            let levels = boat.stores.iter().map(|store| format!("level.{}", store.id));
            ["crew", "starts", "days", "motor", "sail", "air", "sky"]
                .map(str::to_owned)
                .into_iter()
                .chain(nights)
                .chain(levels)
                .chain(what_if::keys(boat))
                .chain(["remedy".to_owned()])
                .collect()
        };
        known
            .into_iter()
            .filter_map(|key| {
                let value = self.given.get(&key)?;
                (key == "starts" || *value != self.usual(&key)).then(|| (key, value.clone()))
            })
            .collect()
    }

    /// The plan as text, if it was given so.
    pub(super) fn plan(&self) -> Option<&str> {
        self.given.get("plan").map(String::as_str)
    }

    /// What stands in a field: what was written, or what is usual.
    pub(super) fn value(&self, key: &str) -> String {
        self.given.get(key).cloned().unwrap_or_else(|| self.usual(key))
    }

    /// Whether a box is ticked or a choice made.
    pub(super) fn given(&self, key: &str) -> Option<&str> {
        self.given.get(key).map(String::as_str)
    }

    /// The ids of all loads that are done without.
    pub(super) fn switched_off(&self) -> impl Iterator<Item = &str> {
        self.given.keys().filter_map(|key| key.strip_prefix("off."))
    }

    fn usual(&self, key: &str) -> String {
        match key {
            "crew" => self.berths.clamp(1, 4).to_string(),
            "starts" => self.today.clone(),
            "days" => "8".to_owned(),
            "motor" => "1".to_owned(),
            "sail" => "4".to_owned(),
            "air" => "usual".to_owned(),
            "sky" => "mixed".to_owned(),
            night if night.starts_with("night.") => "anchor".to_owned(),
            _ => String::new(),
        }
    }

    /// Days of the plan in the form, as far as they were understood.
    pub(super) fn days(&self) -> u32 {
        self.wish.map_or(8, |wish| wish.days)
    }

    /// The plan of the form.
    pub(super) fn trip(&self, boat: &Boat) -> Option<Trip> {
        let wish = self.wish.as_ref().filter(|_| self.is_sound())?;
        let mut trip = plan::usual(boat, wish);
        for night in 1..wish.days {
            let at = night as usize - 1;
            match self.value(&format!("night.{night}")).as_str() {
                "mooring" => trip.days[at].night = Activity::Moored,
                "alongside" => trip = what_if::alongside(boat, &trip, at),
                _ => {}
            }
        }
        for store in &boat.stores {
            if let Some(part) = self.given(&format!("level.{}", store.id)).and_then(percent) {
                let level = Ratio::plain(part / 100.0);
                trip.levels.push(Level { store: store.id.clone(), level, span: trip.span });
            }
        }
        Some(trip)
    }

    /// What is asked to be done otherwise.
    pub(super) fn changes(&self, boat: &Boat, trip: &Trip) -> Vec<Change> {
        what_if::changes(self, boat, trip)
    }

    fn fault(&mut self, field: &str, what: impl Into<String>) {
        self.faults.push(Fault { field: field.to_owned(), what: what.into() });
    }

    fn read_wish(&mut self) -> Option<Wish> {
        let crew = self.whole("crew", "The number of people", MOST_CREW);
        let days = self.whole("days", "The number of days", MOST_DAYS);
        let motor = self.hours("motor", "Hours under engine", MOST_MOTOR);
        let sail = self.hours("sail", "Hours under sail", MOST_SAIL);
        let starts = self.value("starts").parse();
        if starts.is_err() {
            let found = self.value("starts");
            self.fault(
                "starts",
                format!("\u{201c}{found}\u{201d} is no day of the calendar. Write it as 2027-07-10."),
            );
        }
        let weather = self.weather();
        Some(Wish {
            crew: crew?,
            starts: starts.ok()?,
            days: days?,
            motor: motor?,
            sail: sail?,
            weather: weather?,
        })
    }

    fn whole(&mut self, key: &str, what: &str, most: u32) -> Option<u32> {
        let written = self.value(key);
        let read = written.parse().ok().filter(|number| (1..=most).contains(number));
        if read.is_none() {
            self.fault(
                key,
                format!("{what} is a whole number from 1 to {most}, not \u{201c}{written}\u{201d}."),
            );
        }
        read
    }

    fn hours(&mut self, key: &str, what: &str, most: f64) -> Option<Time> {
        let written = self.value(key);
        let read = number(&written).filter(|hours| (0.0..=most).contains(hours));
        if read.is_none() {
            self.fault(
                key,
                format!("{what} are a number from 0 to {most:.0}, not \u{201c}{written}\u{201d}."),
            );
        }
        read.map(Time::hours)
    }

    fn weather(&mut self) -> Option<Weather> {
        let (air, sky) = (self.value("air"), self.value("sky"));
        let air_row = AIR.iter().find(|row| row.0 == air);
        let sky_row = SKY.iter().find(|row| row.0 == sky);
        if air_row.is_none() {
            self.fault(
                "air",
                format!("\u{201c}{air}\u{201d} is no choice for the air. Choose cool, usual or warm."),
            );
        }
        if sky_row.is_none() {
            self.fault(
                "sky",
                format!("\u{201c}{sky}\u{201d} is no choice for the sky. Choose clear, mixed or grey."),
            );
        }
        let (air, sky) = (air_row?, sky_row?);
        Some(Weather {
            low: Temperature::celsius(air.2),
            high: Temperature::celsius(air.3),
            cloud: Ratio::plain(sky.2),
        })
    }

    fn check_nights(&mut self) {
        let unknown: Vec<(String, String)> = self
            .given
            .iter()
            .filter(|(key, value)| key.starts_with("night.") && NIGHTS.iter().all(|night| night.0 != **value))
            .map(|(key, value)| (key.clone(), value.clone()))
            .collect();
        for (key, value) in unknown {
            self.fault(
                &key,
                format!(
                    "\u{201c}{value}\u{201d} is no place for a night. Choose anchor, mooring or alongside."
                ),
            );
        }
    }

    fn check_levels(&mut self, boat: &Boat) {
        let given: Vec<(String, String)> = self
            .given
            .iter()
            .filter_map(|(key, value)| Some((key.strip_prefix("level.")?.to_owned(), value.clone())))
            .collect();
        for (id, value) in given {
            if !boat.stores.iter().any(|store| store.id == id) {
                self.fault(
                    &format!("level.{id}"),
                    format!("This boat has no battery, tank or bottle \u{201c}{id}\u{201d}."),
                );
            } else if percent(&value).is_none() {
                self.fault(
                    &format!("level.{id}"),
                    format!("How full she starts is a number from 0 to 100, not \u{201c}{value}\u{201d}."),
                );
            }
        }
    }

    fn check_what_if(&mut self, boat: &Boat) {
        for (field, what) in what_if::faults(self, boat) {
            self.fault(&field, what);
        }
    }
}

/// A number as people write it, with a point or a comma.
fn number(text: &str) -> Option<f64> {
    text.replace(',', ".").parse().ok().filter(|number: &f64| number.is_finite())
}

/// A part in percent, with or without its sign.
fn percent(text: &str) -> Option<f64> {
    number(text.trim_end_matches('%').trim()).filter(|part| (0.0..=100.0).contains(part))
}

/// Whether the boat has a tank for this.
pub(super) fn holds(boat: &Boat, liquid: Liquid) -> bool {
    boat.stores.iter().any(|store: &Store| store.liquid() == Some(liquid))
}

/// The loads that a crew can do without, and when.
pub(super) fn spared(boat: &Boat) -> impl Iterator<Item = (LoadId, Without)> {
    boat.loads.iter_ids().filter_map(|(id, load)| load.do_without.map(|without| (id, without)))
}

/// What her shore inlet bears, if she has one.
pub(super) fn inlet(boat: &Boat) -> Option<quantity::Current> {
    boat.feeds.iter().find_map(|source| match source.kind {
        SourceKind::Shore(current) => Some(current),
        _ => None,
    })
}
