//! `equipment`: what the law wants aboard, and what of it is missing or runs out.

use std::fmt::Write as _;

use boat::model::Boat;
use clap::Args;
use jiff::civil::Date;
use pages::{EquipmentAsk, equipment_data};
use quantity::{Mass, System};
use rules::{Authority, Check, Standing, words};

use crate::layout;
use crate::load::{self, Failure};
use crate::output::Printed;

#[derive(Args)]
pub(crate) struct EquipmentArgs {
    /// A boat file, or the name of a demo boat.
    boat: String,
    /// Whose rules, such as "canada"; those of her flag in the boat file if absent.
    #[arg(long)]
    rules: Option<String>,
    /// The last day of the charter, such as 2027-07-17: things must be in date through it.
    #[arg(long, value_parser = super::plan::day)]
    until: Date,
    /// The first day of the charter.
    #[arg(long, value_parser = super::plan::day)]
    from: Option<Date>,
    /// In which waters: `coastal`, `inland` or `inland_near_shore`.
    #[arg(long)]
    waters: Option<String>,
    /// How many adults come; as many as she has berths if absent.
    #[arg(long)]
    adults: Option<u32>,
    /// The weight of a child who comes, such as "14 kg"; once for each.
    #[arg(long)]
    child: Vec<Mass>,
    /// What the boat file does not say, such as "night=no"; may be given more than once.
    #[arg(long, value_name = "FACT=YES|NO")]
    say: Vec<String>,
    /// How many entrances there are to spaces with something that burns fuel, to sleeping spaces and to the machinery space.
    #[arg(long)]
    entrances: Option<u32>,
    /// Print JSON.
    #[arg(long)]
    json: bool,
}

/// What is wrong first.
const GROUPS: [(Standing, &str); 6] = [
    (Standing::Missing, "Not aboard"),
    (Standing::Expired, "Aboard, but not in date through the last day"),
    (Standing::Unknown, "Not known"),
    (Standing::MetByRelief, "Aboard by the lesser number that a rule allows"),
    (Standing::Met, "Aboard"),
    (Standing::NotRequired, "Not asked for, by what is said"),
];

impl EquipmentArgs {
    pub(crate) fn execute(&self) -> Result<Printed, Failure> {
        let boat = load::boat(&self.boat)?;
        let ask = EquipmentAsk::read(&boat, &self.pairs()?, self.from.unwrap_or(self.until));
        if let Some(what) = ask.flaws().or_else(|| ask.unknown()) {
            return Err(Failure(what));
        }
        let checks = ask.checks(&boat, None);
        let wrong = |standing: &Standing| matches!(standing, Standing::Missing | Standing::Expired);
        let failed = checks.iter().any(|(_, check)| check.findings.iter().any(|one| wrong(&one.standing)));
        if self.json {
            return Ok(Printed::json(&equipment_data(&boat, None, &ask), failed));
        }
        Ok(Printed { text: self.text(&boat, &checks), failed })
    }

    fn pairs(&self) -> Result<Vec<(String, String)>, Failure> {
        let mut pairs = vec![("until".to_owned(), self.until.to_string())];
        let mut add = |key: &str, value: Option<String>| {
            pairs.extend(value.map(|value| (key.to_owned(), value)));
        };
        add("rules", self.rules.clone());
        add("from", self.from.map(|day| day.to_string()));
        add("waters", self.waters.clone());
        add("adults", self.adults.map(|adults| adults.to_string()));
        add("entrances", self.entrances.map(|entrances| entrances.to_string()));
        let children: Vec<String> =
            self.child.iter().map(|mass| format!("{} kg", mass.as_kilograms())).collect();
        add("children", (!children.is_empty()).then(|| children.join("; ")));
        for said in &self.say {
            let (fact, so) = said.split_once('=').unwrap_or((said, "yes"));
            if rules::Fact::find(fact).is_none() {
                let known: Vec<&str> = rules::Fact::ALL.iter().map(|fact| fact.word()).collect();
                return Err(Failure(format!(
                    "No rule asks for “{fact}”. It may be one of: {}.",
                    known.join(", ")
                )));
            }
            add(fact, Some(so.to_owned()));
        }
        Ok(pairs)
    }

    fn text(&self, boat: &Boat, checks: &[(&Authority, Check)]) -> String {
        let names: Vec<&str> = checks.iter().map(|(authority, _)| authority.name.as_str()).collect();
        let mut out = format!(
            "{}, {}: what the law wants aboard through {}\nRules: {}\n",
            boat.particulars.name,
            boat.particulars.length.display(System::Metric),
            self.until,
            names.join(", within ")
        );
        for (standing, head) in GROUPS {
            let rows: Vec<String> =
                checks.iter().flat_map(|(_, check)| check.of(standing)).map(words::finding).collect();
            if !rows.is_empty() {
                let _ = writeln!(out, "\n{head} ({})", rows.len());
                out.extend(rows.iter().map(|row| layout::hang(row, "- ", "  ")));
            }
        }
        out.push_str("\nWhat is known here, and what is not\n");
        let known = checks.iter().flat_map(|(authority, _)| words::coverage(authority));
        let rest = [words::listed(), words::LAST_DAY.to_owned(), words::CAUTION.to_owned()];
        out.extend(known.chain(rest).map(|line| layout::hang(&line, "- ", "  ")));
        out
    }
}
