//! `wrong`: from what a crew sees to its cause, one question at a time.

mod details;
mod dialogue;
mod standing;

use std::io::{IsTerminal, stdin, stdout};

use clap::Args;
use serde_json::{Value, json};
use trace::{About, Symptom};

use super::case::{CaseArgs, Desk, Meant};
use super::{symptoms, urgent};
use crate::layout;
use crate::load::Failure;
use crate::output::Printed;

pub(super) use details::number;
pub(super) use standing::{minding, minutes, place, say};

/// How many symptoms are listed where several fit.
const MOST_LISTED: usize = 12;

#[derive(Args)]
pub(crate) struct WrongArgs {
    #[command(flatten)]
    case: CaseArgs,
    /// Ask one thing at a time and read the replies line by line, though this is no terminal or answers are given.
    #[arg(long, conflicts_with_all = ["json", "details"])]
    ask: bool,
    /// Print all that is known of the case: every suspect with the source of its rate, what may be so together, and all
    /// that could be asked.
    #[arg(long)]
    details: bool,
    /// Print JSON.
    #[arg(long)]
    json: bool,
}

impl WrongArgs {
    pub(crate) fn execute(self) -> Result<Printed, Failure> {
        let desk = self.case.desk()?;
        let asks = self.asks();
        let meant = self.case.meant(&desk)?;
        let symptom = match meant {
            Meant::One(symptom) => symptom,
            Meant::Several(fits) if asks => match dialogue::choose(&desk, &fits)? {
                Some(symptom) => symptom,
                None => return Ok(Printed::well("")),
            },
            Meant::Several(fits) => return Ok(self.several(&desk, &fits)),
        };
        let failed = desk.failed();
        let (Some(case), About::Fails(_) | About::Sign(_)) = (desk.open(&symptom), symptom.about) else {
            return Ok(Printed { text: self.emergency(&desk, &symptom), failed });
        };
        let cases = desk.answered(case, &self.case.told)?;
        if asks {
            return dialogue::hold(&desk, &symptom, cases);
        }
        let case = &cases[cases.len() - 1];
        if self.json {
            let mut value = pages::case_json(&desk.boat, &symptom, case, &case.next());
            add_records(&desk, &mut value);
            return Ok(Printed::json(&value, failed));
        }
        let mut text = desk.notes();
        text.push_str(&standing::of(&desk, &symptom, case));
        if self.details {
            text.push_str(&details::of(&desk, case));
        }
        Ok(Printed { text, failed })
    }

    /// Whether to hold a dialogue: where somebody sits at a terminal and has not answered already.
    fn asks(&self) -> bool {
        let plain = !self.json && !self.details && self.case.told.is_empty();
        self.ask || (plain && stdin().is_terminal() && stdout().is_terminal())
    }

    /// Several symptoms fit: which they are, and how to choose.
    fn several(&self, desk: &Desk, fits: &[Symptom]) -> Printed {
        let boat = &desk.boat;
        if self.json {
            let rows: Vec<Value> = fits.iter().map(|symptom| symptoms::to_json(boat, symptom)).collect();
            return Printed::json(&json!({ "boat": boat.particulars.name, "fits": rows }), true);
        }
        let mut text = layout::wrap(
            &format!(
                "{} things that can be wrong fit \"{}\", the best first:",
                fits.len(),
                self.case.typed()
            ),
            "",
        );
        text.push('\n');
        text.push_str(&symptoms::list(boat, fits.iter().take(MOST_LISTED)));
        text.push('\n');
        if fits.len() > MOST_LISTED {
            let more = format!("{} more fit. Say it in more words to see fewer.", fits.len() - MOST_LISTED);
            text.push_str(&layout::wrap(&more, ""));
        }
        text.push_str(&layout::wrap(&symptoms::how_to_go_on(&desk.argument), ""));
        Printed { text, failed: true }
    }

    /// An emergency: nothing is asked.
    fn emergency(&self, desk: &Desk, symptom: &Symptom) -> String {
        let About::Emergency(list) = symptom.about else { return String::new() };
        if self.json {
            let value = json!({
                "boat": desk.boat.particulars.name,
                "symptom": symptoms::to_json(&desk.boat, symptom),
                "next": urgent::to_json(&desk.boat, list),
            });
            return format!("{value:#}\n");
        }
        format!("This is an emergency. Begin at once.\n\n{}", urgent::steps(&desk.boat, list))
    }
}

/// What records taught, beside a case for programs.
fn add_records(desk: &Desk, value: &mut Value) {
    if let Some(records) = &desk.records {
        value["learned"] = json!(desk.taught);
        value["records"] = json!(records.json());
    }
}
