//! `anchor`: how much to let out.

use clap::Args;
use endure::tackle::{Berth, Hull, Tackle};
use quantity::{Length, Speed, System};

use crate::load::{self, Failure};
use crate::output::Printed;

#[derive(Args)]
pub(crate) struct AnchorArgs {
    /// A boat file, or the name of a demo boat.
    boat: String,
    /// Which ground tackle of the boat file; its first if not said.
    #[arg(long)]
    anchor: Option<String>,
    /// The depth now, from the surface.
    #[arg(long)]
    depth: Length,
    /// How far the tide will still rise.
    #[arg(long, default_value = "0 m")]
    rise: Length,
    /// How far the tide will fall below the depth now.
    #[arg(long, default_value = "0 m")]
    fall: Length,
    /// The strongest wind forecast through the stay, gusts included.
    #[arg(long)]
    wind: Speed,
    /// Room to keep beyond the swing.
    #[arg(long, default_value = "5 m")]
    margin: Length,
}

impl AnchorArgs {
    pub(crate) fn execute(self) -> Result<Printed, Failure> {
        let boat = load::boat(&self.boat)?;
        let ids: Vec<&str> = boat.tackle.iter().map(|row| row.id.as_str()).collect();
        let found = match &self.anchor {
            Some(id) => boat.tackle.iter().find(|row| row.id == *id),
            None => boat.tackle.iter().next(),
        };
        let Some(written) = found else {
            return Err(Failure(if ids.is_empty() {
                "The boat file has no [tackle], so nothing is known of her anchor. Add it with chain, rope and bow_height."
                    .to_owned()
            } else {
                format!("The boat file has no such ground tackle. It has: {}.", ids.join(", "))
            }));
        };
        let tackle = Tackle::of(written).map_err(|error| Failure(error.to_string()))?;
        let berth = Berth {
            rise: self.rise,
            fall: self.fall,
            margin: self.margin,
            ..Berth::new(self.depth, self.wind)
        };
        let advice = tackle.advise(&Hull::of(&boat), &berth).map_err(|error| Failure(error.to_string()))?;
        let failed = advice.short_by().is_some();
        let mut text = format!("{}\n", written.name);
        for line in advice.say(System::Metric) {
            text.push_str(&line);
            text.push('\n');
        }
        Ok(Printed { text, failed })
    }
}
