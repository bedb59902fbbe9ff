//! What is asked about the tide: where, which days, at what moment, over what depth, and for how long she stays.

use almanac::Position;
use almanac::tide::{self, Period, Station};
use boat::model::Boat;
use jiff::civil::{Date, DateTime};
use jiff::tz::TimeZone;
use jiff::{Span, Timestamp};
use quantity::Length;

use super::clock::Clock;
use crate::given::Given;

/// How many days are shown when nobody says, and at most.
const USUAL_DAYS: u32 = 7;
const MOST_DAYS: u32 = 31;

/// Up to this far off a station's tide is told without a warning. Judgement: at the next harbour the tide may already
/// differ, and only the official tables of that harbour say by how much.
pub(crate) const NEAR: Length = Length::nautical_miles(10.0);

/// What is known when a tide is asked for.
#[derive(Debug, Clone)]
pub struct Shore<'a> {
    /// The boat that it is asked for.
    pub boat: Option<&'a Boat>,
    /// A place of the base, if no boat says one.
    pub base: Option<Position>,
    /// Now.
    pub now: Timestamp,
    /// The clocks of the base.
    pub zone: TimeZone,
}

/// What is asked about the tide.
#[derive(Debug, Clone, PartialEq)]
pub struct TidesAsk {
    pub(super) given: Given,
    /// Where it is asked for, and how that is known, to follow “from”.
    pub(super) place: Option<(Position, String)>,
    pub(super) station: &'static Station,
    pub(super) clock: Clock,
    pub(super) first: Date,
    pub(super) days: u32,
    /// From the beginning of the first day to the end of the last.
    pub(super) period: Option<Period>,
    /// The moment whose height is asked for.
    pub(super) at: Timestamp,
    /// Until when she stays from that moment on.
    pub(super) until: Option<Timestamp>,
    pub(super) shoal: Option<Shoal>,
}

/// Where a boat is to float.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Shoal {
    /// The depth that the chart shows; negative for what dries.
    pub(super) charted: Length,
    pub(super) draught: Length,
    /// Water to keep below the keel.
    pub(super) clearance: Length,
}

impl Shoal {
    /// How high the water must stand above the datum.
    pub(super) fn level(self) -> Length {
        self.draught + self.clearance - self.charted
    }
}

impl TidesAsk {
    /// Reads what is asked from the names and values of an address.
    #[allow(clippy::missing_panics_doc, reason = "stations are compiled in")]
    pub fn read(shore: &Shore<'_>, pairs: &[(String, String)]) -> Self {
        let mut given = Given::new(pairs);
        let place = read_place(&mut given, shore);
        let station = read_station(&mut given, place.as_ref().map(|(place, _)| *place));
        let clock = Clock::of(station, &shore.zone);
        let first = given.day("from", "The first day").unwrap_or_else(|| clock.day(shore.now));
        let days = given.whole("days", "The number of days", 1, MOST_DAYS).unwrap_or(USUAL_DAYS);
        let at = read_moment(&mut given, &clock, "at", "The moment").unwrap_or(shore.now);
        let until = read_moment(&mut given, &clock, "until", "The end of the stay");
        let shoal = read_shoal(&mut given, shore.boat);
        let mut ask = Self { given, place, station, clock, first, days, period: None, at, until, shoal };
        ask.period = ask.read_period();
        ask.check_stay();
        ask
    }

    /// Whether all of it was understood.
    pub fn is_sound(&self) -> bool {
        self.given.is_sound()
    }

    /// What could not be understood, for programs; nothing if all of it was.
    pub fn flaws(&self) -> Option<String> {
        self.given.flaws()
    }

    /// How far the station is from the place that is asked for.
    pub(super) fn away(&self) -> Option<Length> {
        self.place.as_ref().map(|(place, _)| place.distance(self.station.place))
    }

    /// The days that are shown.
    pub(super) fn all_days(&self) -> impl Iterator<Item = Date> {
        self.first.series(Span::new().days(1)).take(self.days as usize)
    }

    /// The stretch of one day.
    pub(super) fn day(&self, day: Date) -> Option<Period> {
        let next = day.tomorrow().ok()?;
        Period::new(self.clock.begins(day)?, self.clock.begins(next)?).ok()
    }

    /// The stay, if one is asked for.
    pub(super) fn stay(&self) -> Option<Period> {
        self.until.and_then(|until| Period::new(self.at, until).ok())
    }

    fn read_period(&mut self) -> Option<Period> {
        let end = self.first.checked_add(Span::new().days(i64::from(self.days))).ok();
        let ends = end.and_then(|end| self.clock.begins(end));
        match self.clock.begins(self.first).zip(ends).map(|(from, until)| Period::new(from, until)) {
            Some(Ok(period)) => Some(period),
            Some(Err(error)) => {
                self.given.fault("from", error.to_string());
                None
            }
            None => {
                self.given.fault("from", tide::PeriodError::TooFar.to_string());
                None
            }
        }
    }

    fn check_stay(&mut self) {
        let ends = [Some(self.at), self.until].into_iter().flatten();
        let moments: Vec<Timestamp> = ends.collect();
        if moments.iter().any(|at| Period::new(*at, *at).is_err()) {
            self.given.fault("at", tide::PeriodError::TooFar.to_string());
        } else if let Some(Err(error)) = self.until.map(|until| Period::new(self.at, until)) {
            self.given.fault("until", error.to_string());
        }
    }
}

fn read_place(given: &mut Given, shore: &Shore<'_>) -> Option<(Position, String)> {
    let written = given.value("near").to_owned();
    if !written.is_empty() {
        return match Position::parse(&written) {
            Ok(place) => Some((place, "the place that you gave".to_owned())),
            Err(error) => {
                given.fault("near", error.to_string());
                None
            }
        };
    }
    let of_boat = shore.boat.and_then(|boat| {
        base_of(boat).map(|place| (place, format!("where {} is based", boat.particulars.name)))
    });
    of_boat.or_else(|| shore.base.map(|place| (place, "the base".to_owned())))
}

/// Where a boat is based, by her file.
pub fn base_of(boat: &Boat) -> Option<Position> {
    let (latitude, longitude) = (boat.particulars.latitude?, boat.particulars.longitude?);
    Position::new(latitude, longitude).ok()
}

fn read_station(given: &mut Given, place: Option<Position>) -> &'static Station {
    let first = &tide::stations()[0];
    let nearest = place.and_then(|place| tide::nearest(place).first().map(|(station, _)| *station));
    let written = given.value("station").to_owned();
    if written.is_empty() {
        return nearest.unwrap_or(first);
    }
    tide::station(&written).unwrap_or_else(|| {
        let names: Vec<&str> = tide::stations().iter().map(|one| one.name.as_str()).collect();
        given.fault(
            "station",
            format!("No station \u{201c}{written}\u{201d} is known here. Known are {}.", names.join(", ")),
        );
        first
    })
}

fn read_moment(given: &mut Given, clock: &Clock, key: &str, what: &str) -> Option<Timestamp> {
    let written = given.value(key).to_owned();
    if written.is_empty() {
        return None;
    }
    let read = written.parse::<DateTime>().ok().and_then(|shown| clock.moment(shown));
    if read.is_none() {
        let like = "is no day and time. Write it as 2027-07-10T16:00";
        given.fault(key, format!("{what}: \u{201c}{written}\u{201d} {like}."));
    }
    read
}

fn read_shoal(given: &mut Given, boat: Option<&Boat>) -> Option<Shoal> {
    let charted = given.quantity::<Length>("depth", "The depth on the chart", "m", "1.5, 1.5 m or 5 ft");
    let draught = given.quantity::<Length>("draught", "The draught", "m", "2.1, or 7 ft");
    let clearance = given.quantity::<Length>("clearance", "The water below the keel", "m", "0.5, or 2 ft");
    let negative = |length: Option<Length>| length.is_some_and(|length| length < Length::ZERO);
    if negative(draught) {
        given.fault("draught", "A draught can't be less than nothing.");
    }
    if negative(clearance) {
        given.fault("clearance", "The water below the keel can't be less than nothing.");
    }
    let draught = draught.or_else(|| boat.map(|boat| boat.particulars.draught));
    if charted.is_some() && draught.is_none() {
        given.fault("draught", "The draught is not given. Write it as 2.1, or 7 ft.");
    }
    Some(Shoal { charted: charted?, draught: draught?, clearance: clearance.unwrap_or(Length::ZERO) })
}
