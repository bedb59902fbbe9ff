//! A place on the earth, as it is written on a chart.

use std::fmt;

use quantity::{Angle, Length};

/// The earth's mean radius (IUGG, 1980: two equatorial half-axes and the polar one, a third each).
const EARTH: Length = Length::kilometres(6371.0088);

/// A place on the earth: latitude, positive north, and longitude, positive east.
///
/// The latitude is within 90 degrees of the equator, the longitude within 180 degrees of Greenwich.
/// `Display` prints what [`Position::parse`] reads back as exactly the same place.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Position {
    latitude: Angle,
    longitude: Angle,
}

/// What is wrong with a position; `Display` says it in full sentences.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub enum PositionError {
    /// The latitude lies beyond a pole, or is no number.
    Latitude(Angle),
    /// The longitude lies more than half way round the earth, or is no number.
    Longitude(Angle),
    /// The text is no position.
    Unreadable {
        /// What was written.
        text: String,
    },
}

impl Position {
    /// Makes a position from latitude, positive north, and longitude, positive east.
    pub fn new(latitude: Angle, longitude: Angle) -> Result<Self, PositionError> {
        if !within(latitude, 90.0) {
            return Err(PositionError::Latitude(latitude));
        }
        if !within(longitude, 180.0) {
            return Err(PositionError::Longitude(longitude));
        }
        // Adding zero turns minus zero into zero, so that equal places print alike.
        Ok(Self { latitude: latitude + Angle::ZERO, longitude: longitude + Angle::ZERO })
    }

    /// Reads latitude, then longitude, each followed by its letter.
    ///
    /// Degrees may have minutes and seconds; the marks may be left out.
    /// ```
    /// use almanac::Position;
    /// let place = Position::parse("43.9 N 69.6 W")?;
    /// assert_eq!(Position::parse("43° 54' N, 069° 36' W")?, place);
    /// assert_eq!(Position::parse("43 54 n 69 36 0 w")?, place);
    /// assert_eq!(place.to_string(), "43.9 N 69.6 W");
    /// # Ok::<(), almanac::PositionError>(())
    /// ```
    pub fn parse(text: &str) -> Result<Self, PositionError> {
        let (latitude, longitude) =
            read(text).ok_or_else(|| PositionError::Unreadable { text: text.to_owned() })?;
        Self::new(latitude, longitude)
    }

    /// The latitude, positive north.
    pub const fn latitude(self) -> Angle {
        self.latitude
    }

    /// The longitude, positive east.
    pub const fn longitude(self) -> Angle {
        self.longitude
    }

    /// How far it is to another place along the great circle.
    ///
    /// The earth is taken as a sphere of its mean radius, which is true to half of a hundredth.
    pub fn distance(self, other: Self) -> Length {
        let [south, north] = [self, other].map(|place| place.latitude.as_radians());
        let across = libm::sin((other.longitude - self.longitude).as_radians() / 2.0);
        let up = libm::sin((north - south) / 2.0);
        let half = up * up + libm::cos(south) * libm::cos(north) * across * across;
        EARTH * (2.0 * libm::asin(libm::sqrt(half.min(1.0))))
    }
}

impl fmt::Display for Position {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let (latitude, longitude) = (self.latitude.as_degrees(), self.longitude.as_degrees());
        let north = if latitude < 0.0 { 'S' } else { 'N' };
        let east = if longitude < 0.0 { 'W' } else { 'E' };
        f.pad(&format!("{} {north} {} {east}", latitude.abs(), longitude.abs()))
    }
}

impl std::str::FromStr for Position {
    type Err = PositionError;

    fn from_str(text: &str) -> Result<Self, Self::Err> {
        Self::parse(text)
    }
}

impl fmt::Display for PositionError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Latitude(angle) => {
                let degrees = angle.as_degrees();
                write!(
                    f,
                    "A latitude of {degrees} degrees does not exist. It is at most 90 degrees, at a pole."
                )
            }
            Self::Longitude(angle) => {
                let degrees = angle.as_degrees();
                write!(
                    f,
                    "A longitude of {degrees} degrees does not exist. It is at most 180 degrees, east or west."
                )
            }
            Self::Unreadable { text } => {
                write!(
                    f,
                    "“{text}” is not a position. Write latitude, then longitude, such as 43.9 N 69.6 W."
                )
            }
        }
    }
}

impl std::error::Error for PositionError {}

/// Tells whether the angle is a number of at most `most` degrees to either side.
fn within(angle: Angle, most: f64) -> bool {
    angle.as_degrees().abs() <= most
}

fn read(text: &str) -> Option<(Angle, Angle)> {
    let text = text.trim();
    let split = text.find(['N', 'S', 'n', 's'])?;
    let (latitude, rest) = text.split_at(split);
    let (north, rest) = rest.split_at(1);
    let rest = rest.strip_prefix(',').unwrap_or(rest);
    let longitude = rest.strip_suffix(['E', 'W', 'e', 'w'])?;
    let south = north.eq_ignore_ascii_case("s");
    let west = rest.ends_with(['W', 'w']);
    Some((read_angle(latitude, south)?, read_angle(longitude, west)?))
}

/// Reads degrees, or degrees and minutes, or degrees, minutes and seconds.
fn read_angle(text: &str, negative: bool) -> Option<Angle> {
    let marks: [&[char]; 3] = [&['°', 'º'], &['\'', '′', '’'], &['"', '″', '”']];
    let mut rest = text.trim();
    let mut parts: Vec<f64> = Vec::new();
    for mark in marks {
        if rest.is_empty() {
            break;
        }
        let end = rest.find(|c: char| !c.is_ascii_digit() && c != '.').unwrap_or(rest.len());
        parts.push(rest[..end].parse().ok()?);
        rest = rest[end..].trim_start();
        rest = rest.strip_prefix(mark).unwrap_or(rest).trim_start();
    }
    let (last, before) = parts.split_last()?;
    let in_order = rest.is_empty()
        && before.iter().all(|part| part.fract() <= 0.0)
        && parts.iter().skip(1).all(|part| *part < 60.0)
        && last.is_finite();
    // From the smallest part up, so that 43° 54' is the number that 43.9 is read as.
    let degrees = parts.iter().rev().copied().reduce(|below, part| part + below / 60.0)?;
    in_order.then(|| Angle::degrees(if negative { -degrees } else { degrees }))
}
