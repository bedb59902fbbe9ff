//! What commands of fault finding can be told, and the case that it makes.

use std::collections::BTreeMap;

use boat::model::Boat;
use clap::Args;
use quantity::Time;
use trace::{About, Ask, Case, Rates, Symptom, Terms, Told, by_id, find, symptoms};

use super::symptoms::nothing;
use super::way::Hands;
use crate::fleet;
use crate::load::Failure;
use crate::seen::Records;

/// What fits less than so well beside the best is not meant. Judgement.
const NEAR: f64 = 0.5;

/// What can be said of a case.
#[derive(Args)]
pub(crate) struct CaseArgs {
    /// A boat file, or the name of a demo boat.
    pub(crate) boat: String,
    /// The symptom's name as `becket symptoms` lists it, or what you see in your own words.
    #[arg(required = true, value_name = "SYMPTOM_OR_WORDS")]
    words: Vec<String>,
    /// Who stands before the boat: nobody is asked for what is for others to do.
    #[arg(long, value_enum, default_value = "crew")]
    who: Hands,
    /// An answer that was given, such as "set.engine_seacock.yes"; may be given again, in order.
    #[arg(long = "told", value_name = "TOKEN")]
    pub(crate) told: Vec<String>,
    /// What calling the base costs, in time of your own.
    #[arg(long, default_value = "90 min", value_name = "TIME")]
    call: Time,
    /// How many things may be the matter at once.
    #[arg(long, default_value_t = 2, value_parser = clap::value_parser!(u8).range(1..=3))]
    most: u8,
    /// Records of failures, a CSV file as `becket rates` reads it: the rates are learned from it.
    #[arg(long, value_name = "FILE")]
    seen: Option<String>,
    /// Another boat of the fleet, whose records in --seen teach as well; may be given again.
    #[arg(long, value_name = "BOAT", requires = "seen")]
    fleet: Vec<String>,
}

/// A boat, her rates, and on what terms a case of her is worked.
pub(crate) struct Desk {
    /// How she was asked for.
    pub(crate) argument: String,
    pub(crate) boat: Boat,
    pub(crate) rates: Rates,
    /// The rates that records taught, by the fault's id.
    pub(crate) taught: BTreeMap<String, f64>,
    pub(crate) records: Option<Records>,
    terms: Terms,
}

/// What the words mean.
pub(crate) enum Meant {
    One(Symptom),
    /// All that fits about as well, the best first.
    Several(Vec<Symptom>),
}

impl CaseArgs {
    /// The boat with her rates.
    pub(crate) fn desk(&self) -> Result<Desk, Failure> {
        if self.call < Time::ZERO {
            return Err(Failure(
                "A call to the base costs no less than nothing: give --call a time.".to_owned(),
            ));
        }
        let arguments: Vec<String> = std::iter::once(&self.boat).chain(&self.fleet).cloned().collect();
        let mut boats = fleet::load(&arguments)?;
        let records = self.seen.as_deref().map(|file| Records::read(file, &boats)).transpose()?;
        let taught = records
            .as_ref()
            .map(|records| trace::fleet::taught(&fleet::boats(&boats), &records.lines))
            .unwrap_or_default();
        let boat = boats.swap_remove(0).boat;
        let rates = Rates::learned(&boat, &taught);
        let terms = Terms {
            most: usize::from(self.most),
            call: self.call.as_minutes(),
            ..Terms::new(self.who.who())
        };
        Ok(Desk { argument: self.boat.clone(), boat, rates, taught, records, terms })
    }

    /// The symptom that is meant, by its name, by the name of an emergency list, or by words that fit.
    pub(crate) fn meant(&self, desk: &Desk) -> Result<Meant, Failure> {
        let boat = &desk.boat;
        let mut all = symptoms(boat);
        let words = self.words.join(" ");
        let list = boat.procedure(&words).filter(|list| boat.procedures[*list].emergency);
        let of_list = || {
            all.iter().position(|symptom| list.is_some_and(|list| symptom.about == About::Emergency(list)))
        };
        if let Some(at) = by_id(&all, &words).or_else(of_list) {
            return Ok(Meant::One(all.swap_remove(at)));
        }
        let found = find(boat, &all, &words);
        let best = found.first().map_or(0.0, |(_, fits)| *fits);
        let near = found.iter().filter(|(_, fits)| *fits >= NEAR * best);
        let mut fits: Vec<Symptom> = near.map(|(at, _)| all[*at].clone()).collect();
        match fits.len() {
            0 => Err(nothing(boat, &self.boat, &words)),
            1 => Ok(Meant::One(fits.swap_remove(0))),
            _ => Ok(Meant::Several(fits)),
        }
    }

    /// The words as they were typed.
    pub(crate) fn typed(&self) -> String {
        self.words.join(" ")
    }
}

impl Desk {
    /// Opens a case; nothing for an emergency.
    pub(crate) fn open(&self, symptom: &Symptom) -> Option<Case<'_>> {
        Case::open(&self.boat, &self.rates, symptom, self.terms)
    }

    /// Takes in answers that were given as tokens; what came of each stands in the list, the case as it is now last.
    pub(crate) fn answered<'b>(
        &'b self,
        case: Case<'b>,
        tokens: &[String],
    ) -> Result<Vec<Case<'b>>, Failure> {
        let mut cases = vec![case];
        for token in tokens {
            let mut case = cases[cases.len() - 1].clone();
            let refused = |why: &str| Failure(format!("The answer \"{token}\" {why}"));
            let told = Told::read(&self.boat, token).filter(|told| case.knows(told.ask)).ok_or_else(|| {
                refused(
                    "does not belong to this case. Each question is printed with the answers that it takes, such as \
                     \"works.no\"; give them in the order in which they were given.",
                )
            })?;
            if told.ask != Ask::Works && case.told().iter().any(|other| other.ask == told.ask) {
                return Err(refused(
                    "is given to something that was answered before. Leave out one of the two.",
                ));
            }
            case.tell(told);
            cases.push(case);
        }
        Ok(cases)
    }

    /// Lines of the records that could not be read, for a terminal.
    pub(crate) fn notes(&self) -> String {
        self.records.as_ref().map_or_else(String::new, Records::text)
    }

    /// Whether a line of the records could not be read.
    pub(crate) fn failed(&self) -> bool {
        self.records.as_ref().is_some_and(Records::failed)
    }
}
