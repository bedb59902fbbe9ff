//! What is asked in fault finding, read from the parts of an address: the whole state of a case is its address.

use boat::model::{Boat, ItemId, ProcedureId, Who};
use trace::{About, Ask, Case, Next, Rates, Reply, Step, Symptom, Terms, Told, by_id, symptoms};

use crate::links::{self, CaseForm};
use crate::vessel::Vessel;

/// A case has no more answers than this: more than bear on any symptom.
const MOST_ANSWERS: usize = 100;

/// Who may stand before the boat: the name in addresses, the name for people.
pub(super) const WHO: [(Who, &str, &str); 3] =
    [(Who::Crew, "crew", "Crew"), (Who::Skipper, "skipper", "Skipper"), (Who::Base, "base", "Base")];

/// What is looked for among all that can be wrong.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct WrongAsk {
    /// In the crew's own words; may be empty.
    pub(super) q: String,
    /// Only what concerns this item.
    pub(super) item: Option<ItemId>,
    /// Only what shows after this step list.
    pub(super) list: Option<ProcedureId>,
}

impl WrongAsk {
    /// Reads it from the names and values of an address; an unknown item or list is taken as none.
    pub fn read(boat: &Boat, pairs: &[(String, String)]) -> Self {
        let find =
            |key: &str| pairs.iter().find(|(name, _)| name == key).map_or("", |(_, value)| value.trim());
        Self { q: find("q").to_owned(), item: boat.item(find("item")), list: boat.procedure(find("list")) }
    }
}

/// Why there is no case to show.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Refused {
    /// The boat has no such symptom; a full sentence.
    Unknown(String),
    /// It is an emergency, of which nothing is asked: the address of its step list.
    Emergency(String),
    /// Something of the address can't be understood; full sentences that say what to do.
    Unclear(String),
}

/// A case as it is asked for.
#[derive(Debug, Clone)]
pub struct CaseAsk<'b> {
    /// What seems to be wrong.
    pub symptom: Symptom,
    /// The case with all answers taken in.
    pub case: Case<'b>,
    /// A question that was chosen out of order.
    pub(super) chosen: Option<Step>,
}

impl<'b> CaseAsk<'b> {
    /// Reads a case: `symptom` is its name, `who` is crew, skipper or base, each `a` an answer in the order given,
    /// `ask` a question to ask before what would be asked next.
    pub fn read(vessel: &'b Vessel, symptom: &str, pairs: &[(String, String)]) -> Result<Self, Refused> {
        let boat = &vessel.boat;
        let mut all = symptoms(boat);
        let Some(at) = by_id(&all, symptom) else {
            return Err(Refused::Unknown(format!(
                "{} knows nothing called \u{201c}{symptom}\u{201d} that can be wrong. Choose what you see from the list.",
                boat.particulars.name
            )));
        };
        let symptom = all.swap_remove(at);
        let who = who(pairs).map_err(Refused::Unclear)?;
        let Some(case) = Case::open(boat, &Rates::of(boat), &symptom, Terms::new(who)) else {
            let list = match symptom.about {
                About::Emergency(list) => links::steps(&vessel.slug, &boat.procedures[list].id),
                About::Fails(_) | About::Sign(_) => links::alarm(&vessel.slug),
            };
            return Err(Refused::Emergency(list));
        };
        let mut ask = Self { symptom, case, chosen: None };
        ask.take_in(boat, pairs).map_err(Refused::Unclear)?;
        Ok(ask)
    }

    fn take_in(&mut self, boat: &Boat, pairs: &[(String, String)]) -> Result<(), String> {
        let values =
            |key: &'static str| pairs.iter().filter(move |(name, value)| name == key && !value.is_empty());
        if values("a").count() > MOST_ANSWERS {
            return Err(format!("A case has at most {MOST_ANSWERS} answers. Start anew with what you see."));
        }
        for (_, token) in values("a") {
            let told = Told::read(boat, token).filter(|told| self.case.knows(told.ask)).ok_or_else(|| {
                format!(
                    "The answer \u{201c}{token}\u{201d} does not belong to this case. The link may have been cut short \
                     or be for another boat. Start anew with what you see, or have the link sent again."
                )
            })?;
            let twice = told.ask != Ask::Works && self.case.told().iter().any(|other| other.ask == told.ask);
            if twice {
                return Err(format!(
                    "The answer \u{201c}{token}\u{201d} is given to something that was answered before. \
                     Start anew with what you see, or have the link sent again."
                ));
            }
            self.case.tell(told);
        }
        if let Some((_, token)) = values("ask").next() {
            let asked = Ask::read(boat, token);
            self.chosen = self.case.choices().into_iter().find(|step| Some(step.ask) == asked);
            if self.chosen.is_none() {
                return Err(format!(
                    "\u{201c}{token}\u{201d} can't be asked here: it was answered, or is for others."
                ));
            }
        }
        Ok(())
    }

    /// What comes now: the question that was chosen, or what the case says.
    pub fn next(&self) -> Next {
        self.chosen.map_or_else(|| self.case.next(), Next::Ask)
    }

    /// The address of the list to begin at once, if what was found is an emergency and a crew stands before it. The
    /// base is shown the case instead.
    pub fn at_once(&self, vessel: &Vessel) -> Option<String> {
        match self.next() {
            Next::Emergency(list) if self.case.who() != Who::Base => {
                Some(links::steps(&vessel.slug, &vessel.boat.procedures[list].id))
            }
            _ => None,
        }
    }

    /// The address of the case as it stands, for `who` and in a form.
    pub(super) fn address(&self, vessel: &Vessel, form: CaseForm, who: Who) -> String {
        links::case(&vessel.slug, &self.symptom.id, form, who_code(who), &self.tokens(vessel), None)
    }

    /// The address after one more answer.
    pub(super) fn after(&self, vessel: &Vessel, ask: Ask, reply: Reply) -> String {
        let mut tokens = self.tokens(vessel);
        tokens.push(Told { ask, reply }.token(&vessel.boat));
        self.with(vessel, &tokens, None)
    }

    /// The address with only the first so many answers.
    pub(super) fn before(&self, vessel: &Vessel, count: usize) -> String {
        let tokens = self.tokens(vessel);
        self.with(vessel, &tokens[..count.min(tokens.len())], None)
    }

    /// The address at which this is asked now.
    pub(super) fn asking(&self, vessel: &Vessel, ask: Ask) -> String {
        self.with(vessel, &self.tokens(vessel), Some(&ask.token(&vessel.boat)))
    }

    fn with(&self, vessel: &Vessel, tokens: &[String], ask: Option<&str>) -> String {
        let who = who_code(self.case.who());
        links::case(&vessel.slug, &self.symptom.id, CaseForm::Screen, who, tokens, ask)
    }

    fn tokens(&self, vessel: &Vessel) -> Vec<String> {
        self.case.told().iter().map(|told| told.token(&vessel.boat)).collect()
    }
}

fn who(pairs: &[(String, String)]) -> Result<Who, String> {
    let Some((_, code)) = pairs.iter().find(|(name, value)| name == "who" && !value.is_empty()) else {
        return Ok(Who::Crew);
    };
    WHO.iter()
        .find(|(_, name, _)| name == code)
        .map(|(who, _, _)| *who)
        .ok_or_else(|| format!("\u{201c}{code}\u{201d} is nobody aboard. It is crew, skipper or base."))
}

/// The name of a rank in addresses.
pub(super) fn who_code(who: Who) -> &'static str {
    WHO.iter().find(|(other, _, _)| *other == who).map_or("crew", |(_, code, _)| code)
}
