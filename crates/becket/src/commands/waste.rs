//! `waste`: what may go overboard, and where.

use std::fmt::Write as _;

use boat::model::Boat;
use clap::Args;
use pages::{WasteAsk, waste_data};
use quantity::Length;
use rules::words;

use crate::layout;
use crate::load::{self, Failure};
use crate::output::Printed;

#[derive(Args)]
pub(crate) struct WasteArgs {
    /// A boat file, or the name of a demo boat.
    boat: String,
    /// Whose rules, such as "canada"; those of her flag in the boat file if absent.
    #[arg(long)]
    rules: Option<String>,
    /// In which waters: `coastal`, `inland` or `inland_near_shore`. Without it, all rules are printed.
    #[arg(long)]
    waters: Option<String>,
    /// How far from the nearest land, such as "2.5 nmi".
    #[arg(long)]
    off: Option<Length>,
    /// Waters with rules of their own: `designated_sewage_area`, `no_discharge_zone`, `closed_lake` or `narrow`.
    #[arg(long)]
    zone: Option<String>,
    /// Print JSON.
    #[arg(long)]
    json: bool,
}

impl WasteArgs {
    pub(crate) fn execute(&self) -> Result<Printed, Failure> {
        let boat = load::boat(&self.boat)?;
        let ask = WasteAsk::read(&boat, &self.pairs());
        if let Some(what) = ask.flaws().or_else(|| ask.unknown()) {
            return Err(Failure(what));
        }
        if self.json {
            return Ok(Printed::json(&waste_data(&boat, &ask), false));
        }
        Ok(Printed::well(text(&boat, &ask)))
    }

    fn pairs(&self) -> Vec<(String, String)> {
        let off = self.off.map(|off| format!("{} nmi", off.as_nautical_miles()));
        let all = [("rules", &self.rules), ("waters", &self.waters), ("off", &off), ("zone", &self.zone)];
        let given =
            all.into_iter().filter_map(|(key, value)| value.clone().map(|value| (key.to_owned(), value)));
        given.collect()
    }
}

fn text(boat: &Boat, ask: &WasteAsk) -> String {
    let mut out = format!("{}: what may go overboard\n", boat.particulars.name);
    for authority in ask.authorities() {
        let _ = writeln!(out, "\nRules: {}", authority.name);
        let rows = match ask.answers(authority) {
            Some(answers) => answers
                .iter()
                .map(|(what, answer)| format!("{}: {}", what.words(), words::answer(answer)))
                .collect(),
            None => words::waste(authority),
        };
        let cautions = words::WASTE_CAUTION;
        out.extend(rows.iter().filter(|row| *row != cautions).map(|row| layout::hang(row, "- ", "  ")));
        for duty in authority.beside(true) {
            let line = format!("{} {}", duty.words, words::source(&duty.citation));
            out.push_str(&layout::hang(&line, "- ", "  "));
        }
    }
    out.push_str("\nWhat is known here, and what is not\n");
    let known = ask.authorities().into_iter().flat_map(words::coverage);
    let rest = [words::listed(), words::WASTE_CAUTION.to_owned()];
    out.extend(known.chain(rest).map(|line| layout::hang(&line, "- ", "  ")));
    out
}
