//! `anchor`: how much to let out.

use boat::model::{Boat, GroundTackle};
use clap::{Args, ValueEnum};
use endure::tackle::{Advice, Berth, Bottom, Conditions, Enough, Hull, Tackle};
use quantity::{Force, Length, Speed, System};
use serde_json::{Value, json};

use crate::layout::{self, Side};
use crate::load::{self, Failure};
use crate::output::Printed;

#[derive(Args)]
pub(crate) struct AnchorArgs {
    /// A boat file, or the name of a demo boat.
    boat: String,
    /// Which ground tackle of the boat file; its first if not said.
    #[arg(long)]
    anchor: Option<String>,
    /// The depth now, from the surface, such as "5 m".
    #[arg(long)]
    depth: Length,
    /// How far the tide will still rise.
    #[arg(long, default_value = "0 m")]
    rise: Length,
    /// How far the tide will fall below the depth now.
    #[arg(long, default_value = "0 m")]
    fall: Length,
    /// The strongest wind forecast through the stay, gusts included, such as "25 kn".
    #[arg(long)]
    wind: Speed,
    /// Swell comes in: plan as for strong wind.
    #[arg(long)]
    swell: bool,
    /// What the bottom is, if the chart or the lead says it.
    #[arg(long, value_enum)]
    bottom: Option<Ground>,
    /// Room to keep beyond the swing.
    #[arg(long, default_value = "5 m")]
    margin: Length,
    /// Print JSON.
    #[arg(long)]
    json: bool,
}

/// What the bottom is.
#[derive(Clone, Copy, ValueEnum)]
enum Ground {
    /// Sand.
    Sand,
    /// Firm mud or clay.
    Mud,
    /// Soft mud.
    SoftMud,
    /// Weed.
    Weed,
    /// Shingle or gravel.
    Shingle,
    /// Rock.
    Rock,
}

impl Ground {
    fn bottom(self) -> Bottom {
        match self {
            Self::Sand => Bottom::Sand,
            Self::Mud => Bottom::Mud,
            Self::SoftMud => Bottom::SoftMud,
            Self::Weed => Bottom::Weed,
            Self::Shingle => Bottom::Shingle,
            Self::Rock => Bottom::Rock,
        }
    }
}

impl AnchorArgs {
    pub(crate) fn execute(self) -> Result<Printed, Failure> {
        let boat = load::boat(&self.boat)?;
        let written = find(&boat, self.anchor.as_deref())?;
        let tackle = Tackle::of(written).map_err(|error| Failure(error.to_string()))?;
        let berth = Berth {
            rise: self.rise,
            fall: self.fall,
            margin: self.margin,
            bottom: self.bottom.map(Ground::bottom),
            conditions: self.swell.then_some(Conditions::Heavy),
            ..Berth::new(self.depth, self.wind)
        };
        let advice = tackle.advise(&Hull::of(&boat), &berth).map_err(|error| Failure(error.to_string()))?;
        let failed = advice.short_by().is_some();
        if self.json {
            return Ok(Printed::json(&to_json(written, &advice), failed));
        }
        Ok(Printed { text: text(&boat, written, &advice), failed })
    }
}

fn find<'a>(boat: &'a Boat, named: Option<&str>) -> Result<&'a GroundTackle, Failure> {
    let found = match named {
        Some(id) => boat.tackle.iter().find(|row| row.id == id),
        None => boat.tackle.iter().next(),
    };
    found.ok_or_else(|| {
        let ids: Vec<&str> = boat.tackle.iter().map(|row| row.id.as_str()).collect();
        Failure(if ids.is_empty() {
            "The boat file has no [tackle], so nothing is known of her anchor. Add it with chain, rope and \
             bow_height."
                .to_owned()
        } else {
            format!("The boat file has no such ground tackle. It has: {}.", ids.join(", "))
        })
    })
}

fn text(boat: &Boat, written: &GroundTackle, advice: &Advice) -> String {
    let mut out = format!("{}: {}\n\n", boat.particulars.name, written.name);
    // The rules that she meets stand in the table below.
    let in_table =
        |line: &String| advice.met_rules().any(|rule| line.contains(rule.name) && line.contains(rule.source));
    for line in advice.say(System::Metric).iter().filter(|line| !in_table(line)) {
        out.push_str(&layout::hang(line, "- ", "  "));
    }
    out.push_str("\nWhat the rules ask for, and whether the rode aboard meets it\n");
    let rows: Vec<[String; 4]> = advice
        .rules
        .iter()
        .map(|rule| {
            let length = format!("{:.0} m", (rule.length.as_metres() * (1.0 - 1e-9)).ceil());
            let met = if rule.length <= advice.rode { "met" } else { "not met" };
            [length, met.to_owned(), rule.name.to_owned(), format!("({})", rule.source)]
        })
        .collect();
    out.push_str(&layout::columns("  ", [Side::Right, Side::Left, Side::Left, Side::Left], &rows));
    out.push_str("\nWhat these figures rest on\n");
    for line in &advice.assumptions {
        out.push_str(&layout::hang(line, "- ", "  "));
    }
    out.push_str("\nAt every anchor\n");
    for caution in advice.cautions() {
        out.push_str(&layout::hang(caution.text, "- ", "  "));
    }
    out
}

fn to_json(written: &GroundTackle, advice: &Advice) -> Value {
    let newtons = |force: Option<Force>| force.map(Force::as_newtons);
    json!({
        "tackle": written.id,
        "height_m": advice.height.as_metres(),
        "let_out_m": advice.let_out.as_metres(),
        "enough": match advice.enough {
            Enough::Yes { .. } => "yes",
            Enough::Short { .. } => "no",
            Enough::Unknown => "unknown",
        },
        "short_by_m": advice.short_by().map(Length::as_metres),
        "rode_m": advice.rode.as_metres(),
        "scope": advice.scope.as_plain(),
        "planned_load_n": newtons(advice.loads.planned),
        "lifting_load_n": newtons(advice.lifting_load),
        "pulls_up": advice.lifts(),
        "swing_low_m": advice.swing_low.map(|swing| swing.radius.as_metres()),
        "swing_high_m": advice.swing_high.map(|swing| swing.radius.as_metres()),
        "rules": advice.rules.iter().map(|rule| json!({
            "name": rule.name, "length_m": rule.length.as_metres(), "source": rule.source,
        })).collect::<Vec<_>>(),
        "says": advice.say(System::Metric),
        "assumptions": advice.assumptions,
        "cautions": advice.cautions().iter().map(|caution| caution.text).collect::<Vec<_>>(),
    })
}
