//! `spares`: how many of each part to hold.

use clap::Args;
use quantity::Ratio;
use serde_json::{Value, json};
use trace::spares::{Keeping, Spare, spares};
use trace::words::per_cent;

use super::wrong::number;
use crate::fleet::{self, Given};
use crate::layout::{self, Side};
use crate::load::Failure;
use crate::output::Printed;
use crate::seen::Records;

/// Names of parts are set in a column this wide.
const NAME: usize = 30;

#[derive(Args)]
pub(crate) struct SparesArgs {
    /// Boat files, or names of demo boats: those that share a store of parts.
    #[arg(required = true)]
    boats: Vec<String>,
    /// In how many of all cases there shall be enough of a part.
    #[arg(long, default_value = "95 %", value_name = "PART")]
    service: Ratio,
    /// For how many charter years.
    #[arg(long, default_value_t = 1.0)]
    years: f64,
    /// Records of failures, a CSV file as `becket rates` reads it: the rates are learned from it.
    #[arg(long, value_name = "FILE")]
    seen: Option<String>,
    /// Print JSON.
    #[arg(long)]
    json: bool,
}

impl SparesArgs {
    pub(crate) fn execute(self) -> Result<Printed, Failure> {
        let service = self.service.as_plain();
        if !(service > 0.0 && service < 1.0) {
            return Err(Failure(
                "No number of parts is enough for certain: give --service between 0 and 100 %, such as \"95 %\"."
                    .to_owned(),
            ));
        }
        if !(self.years > 0.0 && self.years <= 20.0) {
            return Err(Failure(
                "Give --years as a number of charter years, above 0 and at most 20.".to_owned(),
            ));
        }
        let boats = fleet::load(&self.boats)?;
        let records = self.seen.as_deref().map(|file| Records::read(file, &boats)).transpose()?;
        let parts = self.parts(&boats, records.as_ref())?;
        let failed = records.as_ref().is_some_and(Records::failed);
        if self.json {
            let value = json!({
                "service": service,
                "years": self.years,
                "parts": parts.iter().map(|part| to_json(&boats, part)).collect::<Vec<_>>(),
                "records": records.as_ref().map(Records::json).unwrap_or_default(),
            });
            return Ok(Printed::json(&value, failed));
        }
        let notes = records.as_ref().map_or_else(String::new, Records::text);
        Ok(Printed { text: notes + &self.text(&boats, &parts), failed })
    }

    fn parts(&self, boats: &[Given], records: Option<&Records>) -> Result<Vec<Spare>, Failure> {
        let lines = records.map_or(&[][..], |records| &records.lines);
        let keeping = Keeping { service: self.service, years: self.years, ..Keeping::USUAL };
        spares(&fleet::boats(boats), lines, &keeping).map_err(|too_many| Failure(too_many.to_string()))
    }

    fn text(&self, boats: &[Given], parts: &[Spare]) -> String {
        let names: Vec<&str> = boats.iter().map(|given| given.boat.particulars.name.as_str()).collect();
        let years = if (self.years - 1.0).abs() < 1e-9 {
            "a charter year".to_owned()
        } else {
            format!("{} charter years", self.years)
        };
        let head = format!(
            "Parts for {} in {years}, held so that there are enough in at least {} of all cases",
            names.join(", "),
            per_cent(self.service.as_plain())
        );
        let mut out = layout::wrap(&head, "");
        if parts.is_empty() {
            out.push_str("\nNo fault of these boats names a part.\n");
            return out;
        }
        out.push('\n');
        let head = ["part", "wanted", "hold", "runs out", "with one less", "aboard"].map(str::to_owned);
        let mut cells = vec![head];
        cells.extend(parts.iter().flat_map(|part| lines(boats, part)));
        let sides = [Side::Left, Side::Right, Side::Right, Side::Right, Side::Right, Side::Right];
        out.push_str(&layout::columns("  ", sides, &cells));
        out.push('\n');
        for note in [
            "Wanted is the average; runs out, the chance that so many are too few. Aboard is what the boat files list as carried; - where they list none, which does not \
             mean that there is none.",
            "Counted are the faults that name a part, each with one piece. What upkeep uses up comes on top. Parts of one \
             name are held as one only if they are for things of one class.",
        ] {
            out.push_str(&layout::wrap(note, ""));
        }
        out
    }
}

/// A row of the table, its name over as many lines as it takes.
fn lines(boats: &[Given], part: &Spare) -> Vec<[String; 6]> {
    let figures = [
        number(part.mean),
        part.hold.to_string(),
        per_cent(part.short),
        part.short_with_less.map_or_else(|| "-".to_owned(), per_cent),
        part.aboard.map_or_else(|| "-".to_owned(), |count| count.to_string()),
    ];
    let folded = layout::folded(&part.label(&fleet::boats(boats)), NAME).into_iter().enumerate();
    let row = |(at, name): (usize, String)| {
        let [mean, hold, short, less, aboard] =
            if at == 0 { figures.clone() } else { <[String; 5]>::default() };
        [if at == 0 { name } else { format!("  {name}") }, mean, hold, short, less, aboard]
    };
    folded.map(row).collect()
}

fn to_json(boats: &[Given], part: &Spare) -> Value {
    let faults = part.faults.iter().map(|(at, fault)| {
        let boat = &boats[*at].boat;
        json!({ "boat": boat.particulars.name, "fault": boat.faults[*fault].id })
    });
    json!({
        "part": part.label(&fleet::boats(boats)),
        "wanted": part.mean,
        "hold": part.hold,
        "runs_out": part.short,
        "runs_out_with_one_less": part.short_with_less,
        "aboard": part.aboard,
        "faults": faults.collect::<Vec<_>>(),
    })
}
