//! `sun`: when it is light.

use almanac::Position;
use almanac::sun::{self, Daylight, Twilight};
use clap::Args;
use jiff::Timestamp;
use jiff::civil::Date;
use quantity::Time;
use serde_json::{Value, json};

use crate::layout::{self, Side};
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
    /// The day, such as 2027-07-10.
    #[arg(long, value_parser = super::plan::day)]
    day: Date,
    /// How far the clocks are ahead of UTC, such as "-4 h"; the boat's own if absent, or UTC with --at.
    #[arg(long, allow_hyphen_values = true)]
    offset: Option<Time>,
    /// Print JSON.
    #[arg(long)]
    json: bool,
}

/// Where, and by which clocks.
struct Place {
    position: Position,
    offset: Option<Time>,
    name: Option<String>,
}

impl SunArgs {
    pub(crate) fn execute(self) -> Result<Printed, Failure> {
        let place = self.place()?;
        let lights = [
            (
                "nautical_twilight",
                "Nautical twilight",
                sun::twilight(place.position, self.day, Twilight::Nautical),
            ),
            ("civil_twilight", "Civil twilight", sun::twilight(place.position, self.day, Twilight::Civil)),
            ("sun", "Sun", sun::day(place.position, self.day)),
        ];
        if self.json {
            let rows: serde_json::Map<String, Value> =
                lights.iter().map(|(key, _, light)| ((*key).to_owned(), to_json(*light))).collect();
            let base = json!({
                "position": place.position.to_string(),
                "day": self.day.to_string(),
                "offset_h": place.offset.map(Time::as_hours),
                "light": rows,
            });
            return Ok(Printed::json(&base, false));
        }
        let clocks = Clocks { day: self.day, offset: place.offset.unwrap_or_default() };
        let mut rows = vec![["", "begins", "ends", ""].map(str::to_owned)];
        rows.extend(lights.iter().map(|(_, name, light)| clocks.row(name, *light)));
        let mut text = format!("{}, {}\n", place.words(), self.day.strftime("%A %-d %B %Y"));
        text.push_str(&layout::columns("", [Side::Left, Side::Right, Side::Right, Side::Left], &rows));
        text.push_str(&layout::wrap(&place.clock_words(), ""));
        text.push_str(&layout::wrap(
            "For a horizon at sea level with nothing in the way: hills and trees take light away.",
            "",
        ));
        Ok(Printed::well(text))
    }

    fn place(&self) -> Result<Place, Failure> {
        if let Some(at) = &self.at {
            let position = Position::parse(at).map_err(|error| Failure(error.to_string()))?;
            return Ok(Place { position, offset: self.offset, name: None });
        }
        let boat = load::boat(self.boat.as_deref().unwrap_or_default())?;
        let particulars = boat.particulars;
        let (Some(latitude), Some(longitude)) = (particulars.latitude, particulars.longitude) else {
            return Err(Failure(
                "The boat file gives no latitude and longitude. Add them to [boat], or use --at.".to_owned(),
            ));
        };
        let position = Position::new(latitude, longitude).map_err(|error| Failure(error.to_string()))?;
        Ok(Place { position, offset: self.offset.or(particulars.utc_offset), name: Some(particulars.name) })
    }
}

impl Place {
    fn words(&self) -> String {
        match &self.name {
            Some(name) => format!("Where {name} is based, {}", self.position),
            None => self.position.to_string(),
        }
    }

    fn clock_words(&self) -> String {
        match self.offset {
            Some(offset) => format!("Times by clocks at UTC{:+} h.", offset.as_hours()),
            None => "Times are UTC; say --offset for other clocks.".to_owned(),
        }
    }
}

/// Clocks on a day.
struct Clocks {
    day: Date,
    offset: Time,
}

impl Clocks {
    fn row(&self, name: &str, light: Daylight) -> [String; 4] {
        let missing = || "-".to_owned();
        let cells = match light {
            Daylight::AlwaysUp => [missing(), missing(), "all day and night".to_owned()],
            Daylight::NeverUp => [missing(), missing(), "not at all".to_owned()],
            light => {
                let at = |moment: Option<Timestamp>| moment.map_or_else(missing, |at| self.clock(at));
                [at(light.rise()), at(light.set()), self.note(light)]
            }
        };
        let [begins, ends, note] = cells;
        [name.to_owned(), begins, ends, note]
    }

    /// The clocks' day and time, to the minute.
    fn local(&self, at: Timestamp) -> jiff::Zoned {
        #[allow(clippy::cast_possible_truncation, reason = "some hours")]
        let seconds = (self.offset.as_seconds() + 30.0) as i64;
        (at + jiff::SignedDuration::from_secs(seconds)).to_zoned(jiff::tz::TimeZone::UTC)
    }

    fn clock(&self, at: Timestamp) -> String {
        let local = self.local(at);
        format!("{:02}:{:02}", local.hour(), local.minute())
    }

    /// How long it lasts, and whether an end is on another day of the calendar.
    fn note(&self, light: Daylight) -> String {
        let mut parts = Vec::new();
        if let (Some(rise), Some(set)) = (light.rise(), light.set()) {
            let minutes = (set.as_second() - rise.as_second() + 30) / 60;
            parts.push(format!("{} h {:02} min", minutes / 60, minutes % 60));
        }
        if light.rise().is_some_and(|at| self.local(at).date() < self.day) {
            parts.push("begins the day before".to_owned());
        }
        if light.set().is_some_and(|at| self.local(at).date() > self.day) {
            parts.push("ends the day after".to_owned());
        }
        parts.join(", ")
    }
}

fn to_json(light: Daylight) -> Value {
    let at = |moment: Option<Timestamp>| moment.map(|at| at.to_string());
    json!({
        "rise": at(light.rise()),
        "set": at(light.set()),
        "always": matches!(light, Daylight::AlwaysUp),
        "never": matches!(light, Daylight::NeverUp),
    })
}
