//! `remedy`: the least that has to be done otherwise so that everything lasts.

use boat::trip::Trip;
use clap::{Args, ValueEnum};
use endure::change::apply_all;
use endure::remedy::{self, Remedy, Terms};
use endure::words;
use quantity::Ratio;
use serde_json::{Value, json};

use super::plan::{PlanArgs, refused};
use crate::layout;
use crate::load::{self, Failure};
use crate::output::Printed;

#[derive(Args)]
pub(crate) struct RemedyArgs {
    #[command(flatten)]
    plan: PlanArgs,
    /// In how many of all trips everything has to last.
    #[arg(long, default_value = "90 %", value_name = "PART")]
    sure: Ratio,
    /// What may not be part of it beyond what the plan has; may be given again.
    #[arg(long, value_enum, value_name = "WHAT")]
    no: Vec<Means>,
    /// Steps of ten minutes, in millions, that may be reckoned before the search ends with what it has.
    #[arg(long, default_value_t = 4, value_parser = clap::value_parser!(u64).range(1..=10_000))]
    millions: u64,
    /// Print the changed plan as text, for --plan.
    #[arg(long, conflicts_with = "json")]
    write_plan: bool,
    /// Print JSON.
    #[arg(long)]
    json: bool,
}

/// What a remedy may be made of.
#[derive(Clone, Copy, PartialEq, Eq, ValueEnum)]
enum Means {
    /// Nights alongside with shore power.
    Nights,
    /// The engine run for the batteries.
    Engine,
}

impl RemedyArgs {
    pub(crate) fn execute(self) -> Result<Printed, Failure> {
        let boat = load::boat(&self.plan.boat)?;
        let planned = self.plan.trip(&boat)?;
        let usual = Terms::default();
        let drawings = self.plan.drawings(u64::from(usual.drawings));
        let terms = Terms {
            seed: self.plan.seed,
            drawings: u32::try_from(drawings).unwrap_or(u32::MAX),
            sure: self.sure.as_plain(),
            nights: !self.no.contains(&Means::Nights),
            engine: !self.no.contains(&Means::Engine),
            effort: self.millions * 1_000_000,
            ..usual
        };
        // Faults of the plan are told as `forecast` tells them.
        planned.voyage(&boat)?;
        let found = remedy::least(&boat, &planned.trip, &terms)
            .map_err(|faults| refused(&faults, &planned.sources))?;
        let failed = !found.cannot.is_empty() || found.lasts < terms.sure;
        let changed = apply_all(&planned.trip, &found.changes);
        if self.write_plan {
            return Ok(Printed { text: boat::trip::write(&changed), failed });
        }
        if self.json {
            return Ok(Printed::json(&to_json(&found, &changed), failed));
        }
        let mut text = layout::wrap(&planned.head(&boat), "");
        text.push('\n');
        text.push_str(&told(&found, &planned.trip));
        Ok(Printed { text, failed })
    }
}

fn told(found: &Remedy, trip: &Trip) -> String {
    let before =
        format!("As planned, everything lasts in {} trips like this one.", words::of_a_hundred(found.before));
    let mut out = layout::wrap(&before, "");
    if !found.sentences.is_empty() {
        out.push_str("\nThe least to do otherwise:\n");
    }
    for (at, sentence) in found.sentences.iter().enumerate() {
        out.push_str(&layout::hang(sentence, &format!("{:>3}. ", at + 1), "     "));
    }
    if !found.cautions.is_empty() {
        out.push_str("\nWhile you do it:\n");
    }
    for caution in &found.cautions {
        out.push_str(&layout::hang(caution, "  - ", "    "));
    }
    out.push('\n');
    for note in &found.notes {
        out.push_str(&layout::wrap(note, ""));
    }
    if !found.changes.is_empty() {
        let cost = format!(
            "It costs {:.0} points of trouble; a point is about a minute of the crew's time. Searched with {} ways \
             in which the trip may go, checked with {} others.",
            found.cost, found.drawings, found.checks
        );
        out.push_str(&layout::wrap(&cost, ""));
        out.push_str(&layout::wrap("--write-plan prints the plan with these changes.", ""));
    }
    if !trip.readings.is_empty() {
        out.push_str(&layout::wrap(
            "The plan's readings are not reckoned with here: `becket forecast` tells what they say.",
            "",
        ));
    }
    out
}

fn to_json(found: &Remedy, changed: &Trip) -> Value {
    json!({
        "sentences": found.sentences,
        "cautions": found.cautions,
        "cost": found.cost,
        "lower_bound": found.lower_bound,
        "gap": found.gap,
        "cannot": found.cannot,
        "before": found.before,
        "lasts": found.lasts,
        "lasts_error": found.lasts_error,
        "drawings": found.drawings,
        "checks": found.checks,
        "notes": found.notes,
        "plan": boat::trip::write(changed),
    })
}
