//! Holding what is aboard against an authority's rows, for a boat, a crew and the dates of a charter.

use boat::model::Gear;
use jiff::civil::Date;
use serde::{Serialize, Serializer};

use crate::aboard::{Carried, Crew, Dates, Vessel, Waters};
use crate::authority::{Authority, Citation, Coverage};
use crate::need::{Number, Stock};
use crate::requirement::{Asked, Relief, Requirement, Section, gears};
use crate::worn;

/// What is asked.
#[derive(Debug, Clone, PartialEq)]
pub struct Inquiry {
    /// The boat.
    pub vessel: Vessel,
    /// Who comes aboard.
    pub crew: Crew,
    /// The days of the charter.
    pub dates: Dates,
    /// In which waters, if it is said.
    pub waters: Option<Waters>,
    /// What is aboard.
    pub aboard: Vec<Carried>,
}

/// How a requirement is met.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Standing {
    /// It is not for this boat and use.
    NotRequired,
    /// Enough is aboard and in date through the last day.
    Met,
    /// Enough for the lesser number that a rule allows: read it, for it may have changed.
    MetByRelief,
    /// Something that it depends on is not said.
    Unknown,
    /// Enough is aboard, but not in date through the last day.
    Expired,
    /// Too few are aboard.
    Missing,
}

/// Whether something aboard may be used.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum UseState {
    /// Through the last day of the charter, for all that is known.
    InDate,
    /// It should show a date, and the boat file has none.
    Undated,
    /// Its last day comes before the last day of the charter.
    Expired,
}

/// Something aboard that was counted.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Use {
    /// The name used in the boat file, such as `kit.flares_hand`.
    pub id: String,
    /// The name for people.
    pub name: String,
    /// Where it is, in words; empty if it is not said.
    pub place: String,
    /// How many pieces.
    pub count: u32,
    /// Its last day.
    #[serde(serialize_with = "day")]
    pub expires: Option<Date>,
    /// Whether it may be used.
    pub state: UseState,
}

/// One thing asked for, with what is aboard of it.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Need {
    /// Any of these counts.
    #[serde(with = "gears")]
    pub one_of: Vec<Gear>,
    /// How many are asked for; `None` if that depends on what is not said.
    pub required: Option<u32>,
    /// How many are asked for at least.
    pub at_least: u32,
    /// How many are asked for at most; `None` if no bound is known.
    pub at_most: Option<u32>,
    /// How many pieces are aboard, in date or not.
    pub aboard: u32,
    /// How many count and are in date through the last day.
    pub in_date: u32,
    /// How many count but are without a known date, or not known to fit.
    pub undated: u32,
    /// How many are expired by the last day.
    pub expired: u32,
    /// How many are missing to what is asked, those without a date not taken for missing.
    pub missing: u32,
    /// What was counted.
    pub uses: Vec<Use>,
}

/// Less that will do.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct ReliefFound {
    /// The rule.
    pub relief: Relief,
    /// Whether what it asks for to be aboard is.
    pub applies: bool,
}

/// How one requirement is met.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Finding {
    /// The requirement's name.
    pub id: String,
    /// Under which head it stands.
    pub section: Section,
    /// What it is about.
    pub title: String,
    /// The rule in words.
    pub rule: String,
    /// How it is met.
    pub standing: Standing,
    /// What is asked for, in the way that comes nearest to being met.
    pub needs: Vec<Need>,
    /// Why it is not known, or what does not fit: full sentences.
    pub reasons: Vec<String>,
    /// How long such things last by this authority: full sentences.
    pub lasts: Vec<String>,
    /// Less that will do, where a rule says so.
    pub relief: Option<ReliefFound>,
    /// What the source adds.
    pub note: Option<String>,
    /// Where the rule comes from.
    pub citation: Citation,
}

/// All findings of an authority.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Check {
    /// The authority's id.
    pub authority: String,
    /// The authority's name.
    pub name: String,
    /// The boat's name.
    pub boat: String,
    /// The last day of the charter.
    #[serde(serialize_with = "one_day")]
    pub last_day: Date,
    /// How much of its rules is known. Show it: no table is whole.
    pub coverage: Coverage,
    /// The findings in the order of the table; those that are not required are there too.
    pub findings: Vec<Finding>,
}

#[allow(clippy::ref_option, clippy::trivially_copy_pass_by_ref, reason = "serde hands over a reference")]
fn day<S: Serializer>(date: &Option<Date>, to: S) -> Result<S::Ok, S::Error> {
    date.map(|date| date.to_string()).serialize(to)
}

#[allow(clippy::trivially_copy_pass_by_ref, reason = "serde hands over a reference")]
fn one_day<S: Serializer>(date: &Date, to: S) -> Result<S::Ok, S::Error> {
    to.collect_str(date)
}

/// Holds what is aboard against an authority's rows.
///
/// Rows for boats of other lengths are left out. An item is in date if the day in the boat file, the last on which it
/// may be used, is not before the last day of the charter.
pub fn check(authority: &Authority, inquiry: &Inquiry) -> Check {
    let rows = authority.requirements.iter().filter(|row| row.is_for(inquiry.vessel.length));
    Check {
        authority: authority.id.clone(),
        name: authority.name.clone(),
        boat: inquiry.vessel.name.clone(),
        last_day: inquiry.dates.last(),
        coverage: authority.coverage.clone(),
        findings: rows.map(|row| finding(authority, inquiry, row)).collect(),
    }
}

impl Check {
    /// Those of one standing, in order.
    pub fn of(&self, standing: Standing) -> impl Iterator<Item = &Finding> {
        self.findings.iter().filter(move |finding| finding.standing == standing)
    }
}

/// One way to meet a requirement, weighed.
struct Way {
    standing: Standing,
    needs: Vec<Need>,
    reasons: Vec<String>,
}

fn finding(authority: &Authority, inquiry: &Inquiry, row: &Requirement) -> Finding {
    let (applies, mut unsaid) = applies(row, inquiry);
    let mut way = best(authority, inquiry, row);
    let relief = row.relief.as_ref().map(|relief| ReliefFound {
        applies: Stock::new(authority, inquiry).has(&relief.with),
        relief: relief.clone(),
    });
    if applies == Some(false) {
        (way.standing, way.reasons) = (Standing::NotRequired, Vec::new());
    } else {
        let eased = relief.as_ref().filter(|found| found.applies && way.standing != Standing::Met);
        if eased.is_some_and(|found| eased_way(authority, inquiry, row, &found.relief)) {
            way.standing = Standing::MetByRelief;
        }
        if applies.is_none() && !matches!(way.standing, Standing::Met | Standing::MetByRelief) {
            way.standing = Standing::Unknown;
            unsaid.append(&mut way.reasons);
            way.reasons = unsaid;
        }
    }
    let gear: Vec<Gear> = row.any.iter().flatten().flat_map(|asked| asked.one_of.iter().copied()).collect();
    Finding {
        id: row.id.clone(),
        section: row.section,
        title: row.title.clone(),
        rule: row.rule.clone(),
        standing: way.standing,
        needs: way.needs,
        reasons: way.reasons,
        lasts: authority.lives_of(&gear).map(|life| life.words.clone()).collect(),
        relief,
        note: row.note.clone(),
        citation: row.citation.clone(),
    }
}

/// Whether a row is for this boat and use; `None` with what is not said.
fn applies(row: &Requirement, inquiry: &Inquiry) -> (Option<bool>, Vec<String>) {
    let mut unsaid = Vec::new();
    let mut say = |fact: crate::Fact| {
        let so = inquiry.vessel.says(fact);
        if so.is_none() {
            unsaid.push(format!("Not said: {}.", fact.words()));
        }
        so
    };
    let any: Vec<Option<bool>> = row.if_any.iter().map(|fact| say(*fact)).collect();
    let all: Vec<Option<bool>> = row.if_all.iter().map(|fact| say(*fact)).collect();
    let any = if any.is_empty() { Some(true) } else { first(&any, true) };
    let all = first(&all, false);
    let waters = match inquiry.waters {
        Some(waters) => {
            Some((row.only_in.is_empty() || row.only_in.contains(&waters)) && !row.not_in.contains(&waters))
        }
        None if row.only_in.is_empty() && row.not_in.is_empty() => Some(true),
        None => {
            unsaid.push("Not said: in which waters she is.".to_owned());
            None
        }
    };
    let parts = [any, all, waters];
    if parts.contains(&Some(false)) {
        (Some(false), Vec::new())
    } else if parts.contains(&None) {
        (None, unsaid)
    } else {
        (Some(true), Vec::new())
    }
}

/// `wanted` if one of the answers is that; else not known if one is not; else the other.
fn first(answers: &[Option<bool>], wanted: bool) -> Option<bool> {
    if answers.contains(&Some(wanted)) {
        Some(wanted)
    } else if answers.contains(&None) {
        None
    } else {
        Some(!wanted)
    }
}

/// The way that comes nearest to being met: the first of the best.
fn best(authority: &Authority, inquiry: &Inquiry, row: &Requirement) -> Way {
    let ways = row
        .any
        .iter()
        .map(|asked| if row.worn { worn_way(authority, inquiry) } else { way(authority, inquiry, asked) });
    let rank = |way: &Way| (way.standing, way.needs.iter().map(|need| need.missing).sum::<u32>());
    ways.min_by_key(rank).unwrap_or(Way {
        standing: Standing::Unknown,
        needs: Vec::new(),
        reasons: Vec::new(),
    })
}

fn way(authority: &Authority, inquiry: &Inquiry, asked: &[Asked]) -> Way {
    let mut stock = Stock::new(authority, inquiry);
    let mut reasons = Vec::new();
    let mut needs = Vec::new();
    for one in asked {
        let number = Number::of(one, inquiry);
        let need = stock.take(one, &number);
        if need.required.is_none() && need.at_most.is_none_or(|most| need.in_date < most) {
            reasons.extend(number.unsaid.iter().map(|words| format!("Not said: {words}.")));
        }
        if need.undated > 0 && need.in_date < need.required.unwrap_or(need.at_least) {
            let undated = need.uses.iter().filter(|found| found.state == UseState::Undated);
            reasons.extend(undated.map(|found| format!("The boat file has no date for “{}”.", found.name)));
        }
        needs.push(need);
    }
    Way { standing: standing(&needs), needs, reasons }
}

fn worn_way(authority: &Authority, inquiry: &Inquiry) -> Way {
    let (needs, reasons) = worn::lifejackets(&Stock::new(authority, inquiry), inquiry);
    Way { standing: standing(&needs), needs, reasons }
}

/// Whether a lesser number, as a relief allows it, is aboard and in date.
fn eased_way(authority: &Authority, inquiry: &Inquiry, row: &Requirement, relief: &Relief) -> bool {
    row.any.iter().any(|asked| {
        let eased: Vec<Asked> = asked
            .iter()
            .map(|one| Asked { count: relief.count, most_smoke: Some(relief.most_smoke), ..one.clone() })
            .collect();
        way(authority, inquiry, &eased).standing == Standing::Met
    })
}

fn standing(needs: &[Need]) -> Standing {
    if needs.iter().all(Need::is_met) {
        Standing::Met
    } else if needs.iter().all(|need| need.missing == 0) {
        Standing::Unknown
    } else if needs.iter().all(|need| need.missing <= need.expired) {
        Standing::Expired
    } else {
        Standing::Missing
    }
}

impl Need {
    pub(crate) fn nothing(one_of: &[Gear], number: &Number) -> Self {
        Self {
            one_of: one_of.to_vec(),
            required: number.most.filter(|most| *most == number.least),
            at_least: number.least,
            at_most: number.most,
            aboard: 0,
            in_date: 0,
            undated: 0,
            expired: 0,
            missing: 0,
            uses: Vec::new(),
        }
    }

    /// Whether enough is aboard and in date, whatever is not said.
    pub fn is_met(&self) -> bool {
        self.at_most.is_some_and(|most| self.in_date >= most)
    }

    /// How many are missing to what is asked at least.
    pub(crate) fn short(&self) -> u32 {
        self.required.unwrap_or(self.at_least).saturating_sub(self.in_date + self.undated)
    }
}

impl Use {
    pub(crate) fn of(line: &Carried, state: UseState) -> Self {
        Self {
            id: line.id.clone(),
            name: line.name.clone(),
            place: line.place.clone(),
            count: line.count,
            expires: line.expires,
            state,
        }
    }
}
