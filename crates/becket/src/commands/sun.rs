//! `sun`: when it is light.

use std::fmt::Write as _;

use almanac::Position;
use almanac::sun::{self, Daylight, Twilight};
use clap::Args;
use jiff::Timestamp;
use jiff::civil::Date;
use quantity::Time;

use crate::load::{self, Failure};
use crate::output::Printed;

#[derive(Args)]
pub(crate) struct SunArgs {
    /// A boat file or the name of a demo boat: its base is taken.
    #[arg(required_unless_present = "at")]
    boat: Option<String>,
    /// A position, such as "43.9 N 69.6 W".
    #[arg(long, conflicts_with = "boat")]
    at: Option<String>,
    /// The day.
    #[arg(long, value_parser = super::plan::day)]
    day: Date,
    /// How far the clocks are ahead of UTC, such as "-4 h".
    #[arg(long, allow_hyphen_values = true)]
    offset: Option<Time>,
}

impl SunArgs {
    pub(crate) fn execute(self) -> Result<Printed, Failure> {
        let (position, own) = match (&self.at, &self.boat) {
            (Some(at), _) => (Position::parse(at).map_err(|error| Failure(error.to_string()))?, None),
            (None, Some(file)) => {
                let particulars = load::boat(file)?.particulars;
                let (Some(latitude), Some(longitude)) = (particulars.latitude, particulars.longitude) else {
                    return Err(Failure(
                        "The boat file gives no latitude and longitude. Add them to [boat], or use --at."
                            .to_owned(),
                    ));
                };
                let position =
                    Position::new(latitude, longitude).map_err(|error| Failure(error.to_string()))?;
                (position, particulars.utc_offset)
            }
            (None, None) => unreachable!("one of the two is asked for"),
        };
        let offset = self.offset.or(own).unwrap_or_default();
        let clock = |at: Timestamp| -> String {
            #[allow(clippy::cast_possible_truncation, reason = "some hours")]
            let seconds = (offset.as_seconds() + 30.0) as i64;
            let local = (at + jiff::SignedDuration::from_secs(seconds)).to_zoned(jiff::tz::TimeZone::UTC);
            format!("{:02}:{:02}", local.hour(), local.minute())
        };
        let rows = [
            ("Nautical twilight", sun::twilight(position, self.day, Twilight::Nautical)),
            ("Civil twilight", sun::twilight(position, self.day, Twilight::Civil)),
            ("Sun", sun::day(position, self.day)),
        ];
        let hours = offset.as_hours();
        let mut text = format!("{position}, {}, clocks at UTC{hours:+} h\n", self.day);
        for (name, light) in rows {
            let at = |moment: Option<Timestamp>| moment.map_or_else(|| "--:--".to_owned(), clock);
            // Writing to a String can't fail.
            let _ = writeln!(
                text,
                "{name:<18} {}",
                match light {
                    Daylight::AlwaysUp => "all day".to_owned(),
                    Daylight::NeverUp => "not at all".to_owned(),
                    light => format!("{} to {}", at(light.rise()), at(light.set())),
                }
            );
        }
        Ok(Printed::well(text))
    }
}
