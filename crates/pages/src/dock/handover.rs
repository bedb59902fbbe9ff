//! A charter whose boat is handed over: who looks, what is known, what people are called.

use std::collections::{BTreeMap, BTreeSet};

use boat::model::Boat;
use maud::Markup;
use records::{
    AccountId, BoatStanding, CharterId, CharterStanding, DeviceId, Hand, Mark, Name, Person, PersonId,
    Persons, Stage, Standing, Walk,
};

use crate::frame::{Desk, Site, Viewer, desk_page, page};
use crate::office::stage::{item_name, kit_name};
use crate::vessel::Vessel;
use crate::{links, when};

/// What people are called: the base's own by their accounts, crews by their records.
#[derive(Debug, Clone, Default)]
pub struct Names {
    accounts: BTreeMap<String, String>,
    persons: Persons,
    crew: Vec<PersonId>,
}

impl Names {
    /// Takes in what an account is called.
    pub fn account(&mut self, id: &str, name: &str) {
        self.accounts.insert(id.to_owned(), name.to_owned());
    }

    /// Takes in the record of a person of the charter.
    pub fn person(&mut self, person: Person) {
        self.crew.push(person.id.clone());
        self.persons.put(person);
    }

    /// Who made an event, as people say it.
    pub(crate) fn hand(&self, hand: &Hand) -> String {
        match hand {
            Hand::Crew(_) => "the crew".to_owned(),
            Hand::Account(id) => {
                self.accounts.get(id.as_str()).cloned().unwrap_or_else(|| id.as_str().to_owned())
            }
        }
    }

    /// The name of whoever signed or booked; that it was removed, if it was.
    pub(crate) fn of(&self, id: &PersonId, standing: &Standing) -> String {
        match self.persons.name(id, standing) {
            Name::Known(name) => name.to_owned(),
            Name::Removed => "(name removed on request)".to_owned(),
            Name::NotHere => "(name not kept here)".to_owned(),
        }
    }

    /// The charter's persons whose names are still kept, with their names.
    pub(crate) fn crew(&self, standing: &Standing) -> Vec<(PersonId, String)> {
        let known = |id: &PersonId| match self.persons.name(id, standing) {
            Name::Known(name) => Some((id.clone(), name.to_owned())),
            Name::Removed | Name::NotHere => None,
        };
        self.crew.iter().filter_map(known).collect()
    }
}

/// A charter whose boat is handed over, as somebody looks at it.
#[derive(Debug, Clone, Copy)]
pub struct Handover<'a> {
    /// The boat.
    pub vessel: &'a Vessel,
    /// The charter.
    pub charter: &'a CharterId,
    /// How that charter stands.
    pub stands: &'a CharterStanding,
    /// How all of its boat's records stand.
    pub standing: &'a Standing,
    /// What people are called.
    pub names: &'a Names,
    /// The accounts that may let a boat go with a safety defect.
    pub managers: &'a BTreeSet<AccountId>,
    /// Who looks, on which device; nobody, who only reads.
    pub me: Option<(&'a Hand, &'a DeviceId)>,
}

impl<'a> Handover<'a> {
    /// The boat as her file has her.
    pub(crate) fn boat(&self) -> &'a Boat {
        &self.vessel.boat
    }

    /// How the boat stands, if anything was told of her.
    pub(crate) fn records(&self) -> Option<&'a BoatStanding> {
        self.standing.boats.get(&self.stands.boat)
    }

    /// Whether something was said by whoever looks, on the device that they look with.
    pub(crate) fn mine(&self, mark: &Mark) -> bool {
        self.me.is_some_and(|(hand, device)| mark.who == *hand && mark.device == *device)
    }

    /// Who said something and when, in a few words.
    pub(crate) fn by(&self, site: &Site, mark: &Mark) -> String {
        format!("{}, {}", self.names.hand(&mark.who), when::moment(site, mark.when))
    }

    /// “Whimbrel, Sat 27 June to Sat 4 July”.
    pub(crate) fn line(&self, site: &Site) -> String {
        let name = &self.boat().particulars.name;
        match &self.stands.plan {
            Some((_, plan)) => {
                let days = |at: jiff::civil::Date| when::day(site, at);
                format!("{name}, {} to {}", days(plan.from.date()), days(plan.until.date()))
            }
            None => name.clone(),
        }
    }

    /// What an item is called: what its boat file says, or the name in the record if the file has it no more.
    pub(crate) fn item(&self, id: &str) -> String {
        item_name(self.boat(), id)
    }

    /// What a kit line is called.
    pub(crate) fn kit(&self, id: &str) -> String {
        kit_name(self.boat(), id)
    }

    /// A whole page about the charter: among the base's rooms, or by itself for a crew.
    pub(crate) fn page(&self, site: &Site, title: &str, body: &Markup) -> String {
        let title = format!("{title} - {}", self.boat().particulars.name);
        match site.viewer {
            Viewer::Member { .. } => desk_page(site, &title, Desk::Charters, body),
            Viewer::Crew { .. } | Viewer::Nobody => page(site, &title, None, body),
        }
    }

    /// The address of the charter's page.
    pub(crate) fn home(&self) -> String {
        links::charter(self.charter.as_str())
    }
}

/// A walk over the boat that has pages: one on which she lies at the base.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Walking {
    /// The base makes her ready.
    Readying,
    /// The crew takes her over.
    CheckOut,
    /// The base takes her back.
    HandBack,
}

impl Walking {
    /// All of them, in order.
    pub const ALL: [Self; 3] = [Self::Readying, Self::CheckOut, Self::HandBack];

    /// Its word in addresses.
    pub fn word(self) -> &'static str {
        match self {
            Self::Readying => "readying",
            Self::CheckOut => "check-out",
            Self::HandBack => "hand-back",
        }
    }

    /// The walk of that word.
    pub fn of(word: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|walk| walk.word() == word)
    }

    /// As the records have it.
    pub fn walk(self) -> Walk {
        match self {
            Self::Readying => Walk::Readying,
            Self::CheckOut => Walk::CheckOut,
            Self::HandBack => Walk::HandBack,
        }
    }

    /// The stage that comes of it.
    pub fn stage(self) -> Stage {
        match self {
            Self::Readying => Stage::Readied,
            Self::CheckOut => Stage::CheckedOut,
            Self::HandBack => Stage::HandedBack,
        }
    }

    /// Its name on pages.
    pub(crate) fn name(self) -> &'static str {
        match self {
            Self::Readying => "Making ready",
            Self::CheckOut => "Check-out",
            Self::HandBack => "Hand-back",
        }
    }

    /// What is told when it is complete.
    pub(crate) fn done(self) -> &'static str {
        match self {
            Self::Readying => "She is ready",
            Self::CheckOut => "The crew has her",
            Self::HandBack => "She is back",
        }
    }
}

/// An occasion in a few words.
pub(crate) fn occasion(walk: Walk) -> &'static str {
    match walk {
        Walk::Readying => "making ready",
        Walk::CheckOut => "check-out",
        Walk::UnderWay => "under way",
        Walk::HandBack => "hand-back",
        Walk::Between => "at the base",
    }
}
