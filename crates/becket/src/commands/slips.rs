//! `slips`: what slips of the hand do, the worst and likeliest first.

use std::fmt::Write as _;

use boat::model::{Boat, Step};
use clap::{Args, ValueEnum};
use operate::{Back, Class, Model, Rate, Read, Slip, Slips, Use};
use quantity::System;
use serde_json::{Value, json};

use super::run;
use crate::load::{self, Failure};
use crate::output::Printed;

#[derive(Args)]
pub(crate) struct SlipsArgs {
    /// A boat file, or the name of a demo boat.
    boat: String,
    /// The step list's id; left out, all lists are ranked together.
    procedure: Option<String>,
    /// How the list is used; it decides how often a step is left out.
    #[arg(long, value_enum, default_value = "read")]
    used: Used,
    /// How many to print.
    #[arg(long, default_value_t = 20)]
    most: usize,
    /// Print JSON.
    #[arg(long)]
    json: bool,
}

#[derive(Clone, Copy, ValueEnum)]
enum Used {
    /// Every step is ticked off.
    Ticked,
    /// It is read, not ticked off.
    Read,
    /// It is there, but nobody takes it to hand.
    Ignored,
}

impl SlipsArgs {
    pub(crate) fn execute(self) -> Result<Printed, Failure> {
        let boat = load::boat(&self.boat)?;
        let model = Model::new(&boat);
        let used = match self.used {
            Used::Ticked => Use::Ticked,
            Used::Read => Use::Read,
            Used::Ignored => Use::Ignored,
        };
        let found = match &self.procedure {
            Some(id) => operate::slips(&model, run::find(&boat, id)?, used),
            None => operate::all_slips(&model, used),
        };
        if self.json {
            let slips: Vec<Value> =
                found.slips.iter().take(self.most).map(|slip| to_json(&boat, slip)).collect();
            return Ok(Printed::json(
                &json!({ "played": found.played, "ends": found.ends, "slips": slips }),
                false,
            ));
        }
        Ok(Printed::well(text(&boat, &found, self.most)))
    }
}

fn text(boat: &Boat, found: &Slips, most: usize) -> String {
    let mut out = String::new();
    for slip in found.slips.iter().take(most) {
        one(boat, slip, &mut out);
    }
    let matter = found.slips.iter().filter(|slip| slip.class != Class::NoMatter).count();
    // Writing to a String can't fail, here and below.
    let _ = writeln!(
        out,
        "{} slips were played to the end; {matter} outcomes matter, {} are shown. How often: nominal human error \
         probabilities of NUREG/CR-1278 (Swain and Guttmann 1983), for ranking, not for counting.",
        found.played,
        found.slips.len().min(most),
    );
    out
}

fn one(boat: &Boat, slip: &Slip, out: &mut String) {
    let words = |text: &str| boat.say(text, System::Metric);
    let _ = writeln!(out, "{}: {}", slip.class.says().to_uppercase(), boat.procedures[slip.procedure].name);
    let _ = writeln!(out, "  {}", words(&slip.says(boat)));
    for what in &slip.what {
        let _ = writeln!(out, "  {}", words(what));
    }
    for (var, is, should) in &slip.left {
        let should = boat.vars[*var].label(*should);
        let _ = writeln!(out, "  left: {}, should be {should}", boat.value_words(*var, *is));
    }
    if let Some(threat) = &slip.threat {
        let _ = writeln!(out, "  near: {}", words(threat));
    }
    match &slip.noticed {
        Some(notice) => {
            let _ = writeln!(out, "  seen at step {}: {}", notice.step + 1, words(&notice.words));
        }
        None => out.push_str("  seen: nothing before the end\n"),
    }
    let _ = writeln!(out, "  way back: {}{}", first(slip.class), back(boat, &slip.back));
    let _ = writeln!(out, "  how often: {:.4} each time ({})\n", slip.probability, rate(&slip.rate));
}

/// What comes before any way back when something has happened already.
fn first(class: Class) -> &'static str {
    match class {
        Class::Injury => "people first: follow the emergency list that fits, call for help; then ",
        Class::Damage => "what is damaged stays so, tell the base; then ",
        Class::NoMatter | Class::DoesNotWork | Class::LeftStanding(_) => "",
    }
}

fn back(boat: &Boat, back: &Back) -> String {
    let list = |steps: &[Step]| {
        let steps: Vec<String> = steps.iter().map(|step| operate::step_words(boat, step)).collect();
        if steps.is_empty() {
            "all stands as it should, what happened is not undone".to_owned()
        } else {
            steps.join(" ")
        }
    };
    match back {
        Back::NotNeeded => "none is needed".to_owned(),
        Back::ToPromised(steps) => list(steps),
        Back::ToRest(steps) => format!("to rest: {}", list(steps)),
        Back::OnceClear { world, steps } => {
            let world: Vec<String> =
                world.iter().map(|(var, value)| boat.value_words(*var, *value)).collect();
            format!("once {}: {}", world.join(", "), list(steps))
        }
        Back::Trap => "there is no safe one; stop and call the base".to_owned(),
        Back::Unknown => "none was found in good time; stop and call the base".to_owned(),
    }
}

fn rate(rate: &Rate) -> String {
    let table = rate.table.map_or_else(|| "judgement".to_owned(), |table| format!("table {table}"));
    match rate.read {
        Read::In(_) => table,
        Read::FromMemory => format!("{table}, from memory"),
        Read::Judged => "a judgement".to_owned(),
    }
}

fn to_json(boat: &Boat, slip: &Slip) -> Value {
    let words = |text: &str| boat.say(text, System::Metric);
    json!({
        "procedure": boat.procedures[slip.procedure].id,
        "step": slip.step + 1,
        "slip": words(&slip.says(boat)),
        "outcome": slip.class.says(),
        "what": slip.what.iter().map(|what| words(what)).collect::<Vec<_>>(),
        "left": slip.left.iter().map(|(var, is, should)| json!({
            "of": boat.vars[*var].id,
            "is": boat.vars[*var].values[usize::from(is.0)],
            "should": boat.vars[*var].values[usize::from(should.0)],
        })).collect::<Vec<_>>(),
        "near": slip.threat.as_deref().map(words),
        "seen": slip.noticed.as_ref().map(|notice| json!({ "step": notice.step + 1, "words": words(&notice.words) })),
        "way_back": back(boat, &slip.back),
        "probability": slip.probability,
        "source": rate(&slip.rate),
        "risk": slip.risk,
        "count": slip.count,
    })
}
