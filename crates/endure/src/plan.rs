//! A plain plan for a crew that has none: an hour under engine, an afternoon's sail, a night at anchor.

use boat::model::{Activity, Boat};
use boat::source::Span;
use boat::trip::{Clock, Day, Dock, Habits, Leg, Trip, Weather};
use jiff::civil::Date;
use quantity::{Ratio, Temperature, Time};

/// What a crew says of its trip when it has no plan.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Wish {
    /// People aboard.
    pub crew: u32,
    /// The first day.
    pub starts: Date,
    /// Days, those of take-over and hand-back included.
    pub days: u32,
    /// Hours under engine on a full day.
    pub motor: Time,
    /// Hours under sail on a full day.
    pub sail: Time,
    /// The weather.
    pub weather: Weather,
}

impl Wish {
    /// A week from this day: an hour under engine and four under sail a day, in a temperate summer.
    pub const fn week(crew: u32, starts: Date) -> Self {
        Self {
            crew,
            starts,
            days: 8,
            motor: Time::hours(1.0),
            sail: Time::hours(4.0),
            weather: Weather {
                low: Temperature::celsius(15.0),
                high: Temperature::celsius(24.0),
                cloud: Ratio::plain(0.5),
            },
        }
    }
}

/// The plan of a usual trip: out on the first afternoon, back on the last morning, at anchor every night.
pub fn usual(boat: &Boat, wish: &Wish) -> Trip {
    let last = wish.days.max(1) - 1;
    let days = (0..=last).map(|number| day(wish, number, last)).collect();
    Trip {
        boat: Some(boat.particulars.name.clone()),
        crew: wish.crew,
        starts: wish.starts.to_string(),
        from: Clock::at(15, 0),
        until: if last == 0 { Clock::at(20, 0) } else { Clock::at(10, 0) },
        ends: None,
        quiet_from: Clock::at(21, 0),
        quiet_until: Clock::at(8, 0),
        weather: wish.weather,
        habits: Habits { water_each: None, flushes_each: 5.0, meals: 2.0 },
        utc_offset: None,
        latitude: None,
        longitude: None,
        levels: Vec::new(),
        off_at_night: Vec::new(),
        off: Vec::new(),
        days,
        readings: Vec::new(),
        span: Span::default(),
    }
}

fn day(wish: &Wish, number: u32, last: u32) -> Day {
    let motor = |from, lasts| Leg { activity: Activity::Motoring, from, lasts, rpm: None };
    let mut legs = Vec::new();
    let hour = Time::hours(1.0);
    if number == 0 {
        legs.push(motor(Clock::at(16, 30), wish.motor.min(hour * 2.0)));
    } else if number == last {
        legs.push(motor(Clock::at(8, 0), wish.motor.min(hour * 1.5)));
    } else {
        // Out under engine, sail, in under engine.
        let half = (wish.motor / 2.0).min(hour * 3.0);
        legs.push(motor(Clock::at(9, 30), half));
        let sail = wish.sail.min(hour * 8.0);
        let sets = after(Clock::at(9, 30), half);
        legs.push(Leg { activity: Activity::Sailing, from: sets, lasts: sail, rpm: None });
        legs.push(motor(after(sets, sail), half));
    }
    legs.retain(|leg| leg.lasts >= Time::minutes(1.0));
    let home = number == last;
    Day {
        legs,
        engine: Vec::new(),
        night: if home { Activity::Alongside } else { Activity::Anchored },
        dock: Dock { no_pedestal: home, ..Dock::default() },
        chain: None,
        weather: None,
        span: Span::default(),
    }
}

fn after(clock: Clock, lasts: Time) -> Clock {
    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "within a day")]
    let minutes = clock.minutes() as u16 + lasts.as_minutes().ceil() as u16;
    Clock::at(minutes / 60 % 24, minutes % 60)
}
