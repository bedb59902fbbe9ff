//! Where she sails, when the day begins there, and when it is dark.

use almanac::Position;
use almanac::sun::{self, Daylight};
use boat::diagnostic::Diagnostic;
use boat::model::Boat;
use boat::trip::Trip;
use jiff::Timestamp;
use jiff::civil::Date;
use quantity::{Angle, Time};

use super::timeline::DAY_MINUTES;

/// Where she sails, and whether it is known.
pub(super) fn position(boat: &Boat, trip: &Trip, faults: &mut Vec<Diagnostic>) -> (Position, bool) {
    let latitude = trip.latitude.or(boat.particulars.latitude);
    let longitude = trip.longitude.or(boat.particulars.longitude);
    let known = latitude.is_some() && longitude.is_some();
    let zero = Angle::degrees(0.0);
    let made = Position::new(latitude.unwrap_or(zero), longitude.unwrap_or(zero));
    let fallback = Position::new(zero, zero);
    match (made, fallback) {
        (Ok(position), _) => (position, known),
        (Err(error), Ok(fallback)) => {
            faults.push(
                Diagnostic::error("position", trip.span, error.to_string())
                    .expected("latitude from -90° to 90°, longitude from -180° to 180°")
                    .mend("Correct the position in [plan]."),
            );
            (fallback, false)
        }
        (Err(_), Err(_)) => unreachable!("nought north and nought east is a place"),
    }
}

/// Midnight of the first day by the clocks aboard.
pub(super) fn midnight(
    boat: &Boat,
    trip: &Trip,
    first: Date,
    position: Position,
    faults: &mut Vec<Diagnostic>,
) -> Timestamp {
    let nominal = Time::hours((position.longitude().as_degrees() / 15.0).round());
    let offset = trip.utc_offset.or(boat.particulars.utc_offset).unwrap_or(nominal);
    #[allow(clippy::cast_possible_truncation, reason = "some hours")]
    let seconds = offset.as_seconds().round() as i32;
    let zone = jiff::tz::Offset::from_seconds(seconds).ok();
    let known = (1800..2200).contains(&first.year());
    let midnight = zone.and_then(|zone| zone.to_timestamp(first.at(0, 0, 0, 0)).ok()).filter(|_| known);
    midnight.unwrap_or_else(|| {
        faults.push(
            Diagnostic::error("outside-calendar", trip.span, "The first day is outside the calendar.")
                .expected("a day of our time, and clocks within a day of UTC")
                .mend("Correct `starts` or `utc_offset`."),
        );
        Timestamp::UNIX_EPOCH
    })
}

/// Dark times between take-over and hand-back.
pub(super) fn dark(
    first: Date,
    midnight: Timestamp,
    position: Position,
    begin: u32,
    end: u32,
) -> Vec<(u32, u32)> {
    let minute = |at: Timestamp| {
        let seconds = at.duration_since(midnight).as_secs();
        u32::try_from((seconds + 30).div_euclid(60)).unwrap_or(0).clamp(begin, end)
    };
    let mut dark = Vec::new();
    let mut since = Some(begin);
    // From the day before: clocks may be set to the other side of the date line.
    for number in -1..=i64::from(end / DAY_MINUTES) + 1 {
        let Ok(day) = first.checked_add(jiff::Span::new().days(number)) else { break };
        let light = sun::day(position, day);
        // Near a pole the light may come or go without a rising or a setting that day.
        let from_midnight = u32::try_from(number).unwrap_or(0).saturating_mul(DAY_MINUTES).clamp(begin, end);
        let ends = light.rise().map(minute).or((light == Daylight::AlwaysUp).then_some(from_midnight));
        if let (Some(from), Some(ends)) = (since, ends) {
            dark.push((from, ends));
        }
        since = match light {
            Daylight::AlwaysUp | Daylight::UpFrom { .. } => None,
            Daylight::NeverUp => since.or(Some(from_midnight)),
            Daylight::Ordinary { set, .. } | Daylight::UpUntil { set } => Some(minute(set)),
        };
    }
    dark.extend(since.map(|from| (from, end)));
    dark.retain(|(from, to)| from < to);
    dark
}
