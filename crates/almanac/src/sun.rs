//! Where the sun stands, and when it rises and sets.
//!
//! The position is that of the Solar Position Algorithm (Reda and Andreas, Solar Energy 76 (2004) 577), by the
//! library `solar-positioning`, which also finds the crossings. It holds for a horizon at sea level with
//! nothing in the way: hills and trees take light away, weather bends it by minutes. Moments carry milliseconds
//! only so that who rounds them to the minute rounds once; they are right to about a second.

use jiff::Timestamp;
use jiff::civil::Date;
use quantity::Angle;
use solar_positioning::time::JulianDate;
use solar_positioning::{Horizon, Location, SolarEvents, SolarPosition, SolarPositions};

use crate::Position;
use crate::moment::Moment;

/// Where the centre of the sun stands in the sky.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Height {
    /// Above the level, as geometry has it, without the bending of light by the air.
    pub elevation: Angle,
    /// Above the level, as the eye sees it through air of 1013.25 mbar and 15 °C.
    ///
    /// It is the same as `elevation` where the sun is too low to be seen.
    pub apparent: Angle,
    /// Bearing, clockwise from true north, from 0 up to but not including 360 degrees.
    pub azimuth: Angle,
}

/// How light it is through a day.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Daylight {
    /// The sun rises, then sets.
    Ordinary {
        /// When it rises.
        rise: Timestamp,
        /// When it sets, after `rise`.
        set: Timestamp,
    },
    /// The sun does not set.
    AlwaysUp,
    /// The sun does not rise.
    NeverUp,
    /// The polar day begins: the sun rises and is still up at the next solar midnight.
    UpFrom {
        /// When it rises.
        rise: Timestamp,
    },
    /// The polar day ends: the sun is up from solar midnight and sets.
    UpUntil {
        /// When it sets.
        set: Timestamp,
    },
}

/// How dark it may be while there is still twilight.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Twilight {
    /// Sun down to 6 degrees below the level: light enough to work on deck in fair weather.
    Civil,
    /// Down to 12 degrees: the horizon can be seen at sea.
    Nautical,
    /// Down to 18 degrees: beyond it the sky is as dark as it gets.
    Astronomical,
}

impl Daylight {
    /// When the sun rises, if it does.
    pub const fn rise(self) -> Option<Timestamp> {
        match self {
            Self::Ordinary { rise, .. } | Self::UpFrom { rise } => Some(rise),
            Self::AlwaysUp | Self::NeverUp | Self::UpUntil { .. } => None,
        }
    }

    /// When the sun sets, if it does.
    pub const fn set(self) -> Option<Timestamp> {
        match self {
            Self::Ordinary { set, .. } | Self::UpUntil { set } => Some(set),
            Self::AlwaysUp | Self::NeverUp | Self::UpFrom { .. } => None,
        }
    }
}

/// Where the sun stands at a moment.
///
/// Outside the years 1800 to 2199 it is a rough answer: the sun of the same date of those years, which the
/// calendar repeats every 400 years.
pub fn height(position: Position, at: Timestamp) -> Height {
    let place = level_position(position, Moment::of(at));
    let elevation = place.elevation_angle();
    Height {
        elevation: Angle::degrees(elevation),
        apparent: Angle::degrees(apparent(elevation)),
        azimuth: Angle::degrees(place.azimuth()),
    }
}

/// When the sun rises and sets on a day.
///
/// The upper edge of the sun is on the horizon and the air lifts it by 34 minutes of arc: the centre stands at
/// -50 minutes (-0.8333 degrees), as is usual for tables.
///
/// The day is that of the place's own sun: from one solar midnight to the next, about the noon of `date` by
/// local mean time. So an event may carry the neighbouring UTC date: where the longitude is west, the evening is
/// on the next one. Where clocks are set to the other side of the date line, [`solar_date`] tells which day to
/// ask for.
pub fn day(position: Position, date: Date) -> Daylight {
    crossings(position, date, Horizon::SunriseSunset)
}

/// When twilight begins and ends on a day: `rise` is dawn, `set` is dusk, and “up” means that it is at least
/// twilight.
///
/// The centre of the sun stands at -6, -12 or -18 degrees, without the bending of light. The day is as in [`day`].
pub fn twilight(position: Position, date: Date, darkest: Twilight) -> Daylight {
    let horizon = match darkest {
        Twilight::Civil => Horizon::CivilTwilight,
        Twilight::Nautical => Horizon::NauticalTwilight,
        Twilight::Astronomical => Horizon::AstronomicalTwilight,
    };
    crossings(position, date, horizon)
}

/// Solar noon of a date: when the sun stands on the meridian. The day is as in [`day`].
pub fn noon(position: Position, date: Date) -> Timestamp {
    let mean_noon = Moment::mean_noon(date, position.longitude().as_degrees());
    mean_noon.at_day(transit(mean_noon.day, location(position), mean_noon.delta_t())).timestamp()
}

/// The date of the place's own sun at a moment, by local mean time: the one to ask [`day`] for.
///
/// For what people call today, ask with noon by their clocks.
pub fn solar_date(position: Position, at: Timestamp) -> Date {
    Moment::mean_date(at, position.longitude().as_degrees())
}

/// The sine of the geometric elevation.
pub(crate) fn sine_of_elevation(position: Position, moment: Moment) -> f64 {
    libm::sin(level_position(position, moment).elevation_angle().to_radians())
}

/// The elevation as it is seen through air of 1013.25 mbar and 15 °C, by the geometric one, in degrees.
///
/// Reda and Andreas 2004, equation 42: the lift is left out where the whole sun is below the horizon.
pub(crate) fn apparent(elevation: f64) -> f64 {
    const SEMIDIAMETER: f64 = 0.26667;
    const LIFT_AT_HORIZON: f64 = 0.5667;
    const AIR: f64 = 1013.25 / 1010.0 * 283.0 / (273.0 + 15.0);
    if elevation < -(SEMIDIAMETER + LIFT_AT_HORIZON) {
        return elevation;
    }
    let phase = elevation + 10.3 / (elevation + 5.11);
    elevation + AIR * 1.02 / (60.0 * libm::tan(phase.to_radians()))
}

/// Where the sun stands, without the bending of light.
fn level_position(position: Position, moment: Moment) -> SolarPosition {
    JulianDate::new(moment.day, moment.delta_t())
        .and_then(|time| SolarPositions::new().at_from_julian(time, location(position), 0.0, None))
        .expect("place and years lie within those of the library")
}

fn location(position: Position) -> Location {
    Location { latitude: position.latitude().as_degrees(), longitude: position.longitude().as_degrees() }
}

/// What the sun does at a horizon, from the solar midnight before a date's noon to the one after.
fn crossings(position: Position, date: Date, horizon: Horizon) -> Daylight {
    let mean_noon = Moment::mean_noon(date, position.longitude().as_degrees());
    let delta_t = mean_noon.delta_t();
    let place = location(position);
    let [before, noon, after] = [-1.0, 0.0, 1.0].map(|days| transit(mean_noon.day + days, place, delta_t));
    let (start, end) = (f64::midpoint(before, noon), f64::midpoint(noon, after));

    let events = SolarEvents::new();
    let known = "place and years lie within those of the library";
    let rise = events.next_rise_from_julian(start, end, place, delta_t, horizon).expect(known);
    let set = events.next_set_from_julian(rise.unwrap_or(start), end, place, delta_t, horizon).expect(known);
    let time = |day| mean_noon.at_day(day).timestamp();
    match (rise.map(time), set.map(time)) {
        (Some(rise), Some(set)) => Daylight::Ordinary { rise, set },
        (Some(rise), None) => Daylight::UpFrom { rise },
        (None, Some(set)) => Daylight::UpUntil { set },
        (None, None) => {
            let height = level_position(position, mean_noon.at_day(noon)).elevation_angle();
            if height > horizon.elevation_angle() { Daylight::AlwaysUp } else { Daylight::NeverUp }
        }
    }
}

/// The Julian day on which the sun stands on the meridian, near a mean noon.
fn transit(mean_noon: f64, place: Location, delta_t: f64) -> f64 {
    // Sundial and clock are never as much as 17 minutes apart; half an hour holds the one noon.
    let reach = 1.0 / 48.0;
    SolarEvents::new()
        .next_transit_from_julian(mean_noon - reach, mean_noon + reach, place.longitude, delta_t)
        .expect("place and years lie within those of the library")
        .unwrap_or(mean_noon)
}
