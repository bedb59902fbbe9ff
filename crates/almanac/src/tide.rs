//! The tide at a station: how high the water stands, when it turns, and when there is enough of it.
//!
//! A station's harmonic constants (the regular swings that its tide was measured to be made of) are put together
//! again for any moment, with the moon's slow changes as Schureman gives them (Manual of Harmonic Analysis and
//! Prediction of Tides, 1958). Heights are above the station's datum, which is named; a charted depth may only be
//! added to them if the chart counts from the same one.
//!
//! **What is not in it:** wind, air pressure, rivers and surge. Show [`CAUTION`] where a height is shown.
//!
//! Between this and a table of the same constants lie about [`GIVE_OR_TAKE`]: the authority that publishes these
//! constants takes the moon's slow changes once a year, here they are taken at each moment.
//!
//! The constituents M1 and M3 are taken as Schureman's Table 2 has them, M1 with its angle Q in the quarter of the
//! moon's anomaly. The list of the International Hydrographic Organization says the same in other words; the two
//! agree to 3 mm. Some programs differ by up to twice the amplitude of M1 (1 to 5 cm), since they mix two ways of
//! counting hours or count the moon's perigee twice: the tests show that this is all that the difference is.

use jiff::Timestamp;
use quantity::{Length, Time};

mod constituent;
mod moon;
mod station;
mod turn;
mod window;

pub use constituent::Constituent;
pub use station::{Datum, Harmonic, Station, StationError, StationErrors, nearest, station, stations};
pub use turn::{Extreme, Range, Water, extremes, range};
pub use window::{Level, Window, depths, enough_room, enough_water, windows};

use moon::Heavens;

/// What a reader of any height must know, for people.
pub const CAUTION: &str = "These heights come from the regular tide of the station alone. Wind, air pressure, rain and \
surge are not in them: on an ordinary day the water can stand some decimetres higher or lower, in a storm a metre or \
more, and high and low water can come early or late. Check them against the official tide tables, and against the \
water itself, before a boat goes over a shoal or under a bridge, or is left at anchor or at a dock.";

/// How far these heights may lie from official tables of the same constants, apart from weather.
///
/// The tests hold them within 5 mm of other programs that count alike, and within 2 cm of those that count the moon's
/// slow changes otherwise.
pub const GIVE_OR_TAKE: Length = Length::centimetres(2.0);

/// A stretch of time that the tide is asked about.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Period {
    from: Timestamp,
    until: Timestamp,
}

/// Why a stretch of time can't be asked about; `Display` says it in full sentences.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
#[non_exhaustive]
pub enum PeriodError {
    /// It ends before it begins.
    Backwards,
    /// It is longer than 400 days.
    TooLong,
    /// It lies outside the years 1900 to 2099, for which the moon's course is given here.
    TooFar,
}

/// The first moments of 1900 and of 2100, in seconds after 1970.
const YEARS: (i64, i64) = (-2_208_988_800, 4_102_444_800);

impl Period {
    /// From a moment until another, which is not part of it: at most 400 days, within the years 1900 to 2099.
    pub fn new(from: Timestamp, until: Timestamp) -> Result<Self, PeriodError> {
        if until < from {
            return Err(PeriodError::Backwards);
        }
        if from.as_second() < YEARS.0 || until.as_second() >= YEARS.1 {
            return Err(PeriodError::TooFar);
        }
        if until.duration_since(from).as_hours() > 400 * 24 {
            return Err(PeriodError::TooLong);
        }
        Ok(Self { from, until })
    }

    /// When it begins.
    pub const fn from(self) -> Timestamp {
        self.from
    }

    /// When it ends.
    pub const fn until(self) -> Timestamp {
        self.until
    }
}

impl std::fmt::Display for PeriodError {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(match self {
            Self::Backwards => "The end of the time asked about lies before its beginning.",
            Self::TooLong => "The tide is worked out for at most 400 days at once. Ask for a shorter time.",
            Self::TooFar => "The tide is worked out for the years 1900 to 2099 only.",
        })
    }
}

impl std::error::Error for PeriodError {}

/// How high the water stands above the station's datum; below it is negative.
///
/// Outside the years 1900 to 2099 it is a rough answer, since the moon's course is not given so far off.
/// ```
/// use almanac::tide;
/// let boston = tide::station("Boston").expect("it is compiled in");
/// let water = tide::height(boston, "2026-07-10T00:00Z".parse()?);
/// assert!((water.as_metres() - 3.02).abs() < 0.02);
/// # Ok::<(), jiff::Error>(())
/// ```
pub fn height(station: &Station, at: Timestamp) -> Length {
    Length::metres(state(station, seconds(at)).height)
}

/// How much the water rises in the next hour if it goes on as at this moment; while it falls this is negative.
pub fn rise_an_hour(station: &Station, at: Timestamp) -> Length {
    Length::metres(state(station, seconds(at)).slope)
}

/// How deep the water is where a chart shows a depth, which is negative for what dries.
///
/// The chart must count from the station's datum.
pub fn depth(station: &Station, charted: Length, at: Timestamp) -> Length {
    charted + height(station, at)
}

/// What a chart would show where a depth was measured: to turn a sounding at anchor into a depth at low water.
pub fn charted(station: &Station, sounded: Length, at: Timestamp) -> Length {
    sounded - height(station, at)
}

/// Height in metres above the datum, and how it changes, in metres an hour.
struct State {
    height: f64,
    slope: f64,
}

/// The curve at so many seconds after 1970.
fn state(station: &Station, seconds: f64) -> State {
    let heavens = Heavens::at(seconds);
    let mut state = State { height: station.datum.mean.as_metres(), slope: 0.0 };
    for harmonic in &station.constituents {
        let (factor, argument) = harmonic.constituent.swing(&heavens);
        let size = factor * harmonic.amplitude.as_metres();
        let angle = (argument - harmonic.phase.as_degrees()).to_radians();
        state.height += size * libm::cos(angle);
        state.slope -= size * harmonic.constituent.speed().to_radians() * libm::sin(angle);
    }
    state
}

fn seconds(at: Timestamp) -> f64 {
    at.as_second() as f64 + f64::from(at.subsec_nanosecond()) / 1e9
}

/// The moment to the second; within the years of a [`Period`] there always is one.
fn moment(seconds: f64) -> Timestamp {
    let time = Time::seconds(seconds.round());
    jiff::SignedDuration::try_from_secs_f64(time.as_seconds())
        .and_then(Timestamp::from_duration)
        .unwrap_or(if seconds < 0.0 { Timestamp::MIN } else { Timestamp::MAX })
}

/// Where a curve that changes its sign between two moments is nil, to a tenth of a second.
fn root(mut before: f64, mut after: f64, curve: impl Fn(f64) -> f64) -> f64 {
    let falling = curve(before) > 0.0;
    while after - before > 0.1 {
        let middle = f64::midpoint(before, after);
        if (curve(middle) > 0.0) == falling {
            before = middle;
        } else {
            after = middle;
        }
    }
    f64::midpoint(before, after)
}
