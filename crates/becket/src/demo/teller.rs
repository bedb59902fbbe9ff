//! Makes the events of the demo base, each at its time and by its hand.

use jiff::civil::{Date, Weekday};
use jiff::tz::TimeZone;
use jiff::{Span, Zoned};
use records::{AccountId, BoatId, CharterId, DeviceId, Event, EventId, Hand, Local, Moment, PersonId, What};

/// Who at the demo base.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Who {
    /// Runs the base; at the office.
    Manager,
    /// Hands boats over; on the dock.
    Skipper,
    /// Readies boats, mends; on the dock.
    Hand,
}

impl Who {
    fn account(self) -> &'static str {
        match self {
            Self::Manager => "demo-manager",
            Self::Skipper => "demo-skipper",
            Self::Hand => "demo-hand",
        }
    }

    fn device(self) -> &'static str {
        match self {
            Self::Manager => "office",
            Self::Skipper | Self::Hand => "dock-1",
        }
    }
}

/// A time: so many days from today (before it, if less than nothing), at this hour and minute by the clocks of the base.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(super) struct At {
    /// Days from today.
    pub(super) day: i32,
    /// The hour.
    pub(super) hour: i8,
    /// The minute.
    pub(super) minute: i8,
}

/// At this hour of a day.
pub(super) fn at(day: i32, hour: i8, minute: i8) -> At {
    At { day, hour, minute }
}

/// Makes events.
pub(super) struct Teller {
    today: Date,
    now: Moment,
    zone: TimeZone,
    tail: u128,
    events: Vec<Event>,
    persons: Vec<store::Person>,
}

impl Teller {
    /// Nothing told yet.
    pub(super) fn new(now: &Zoned) -> Self {
        Self {
            today: now.date(),
            now: Moment::from_milliseconds(now.timestamp().as_millisecond()),
            zone: now.time_zone().clone(),
            tail: 0,
            events: Vec::new(),
            persons: Vec::new(),
        }
    }

    /// How many days before today, or this many at least, the last Saturday was.
    pub(super) fn saturday(&self, at_least_before: i32) -> i32 {
        let mut day = -at_least_before;
        while self.date(day).weekday() != Weekday::Saturday {
            day -= 1;
        }
        day
    }

    fn date(&self, day: i32) -> Date {
        self.today.checked_add(Span::new().days(day)).unwrap_or(self.today)
    }

    fn zoned(&self, at: At) -> Option<Zoned> {
        self.date(at.day).at(at.hour, at.minute, 0, 0).to_zoned(self.zone.clone()).ok()
    }

    /// A time as it was promised; nothing at the end of the calendar.
    pub(super) fn local(&self, at: At) -> Option<Local> {
        let zoned = self.zoned(at)?;
        Local::new(Moment::from_milliseconds(zoned.timestamp().as_millisecond()), zoned.offset())
    }

    fn moment(&self, at: At) -> Moment {
        let then = self
            .zoned(at)
            .map_or(self.now, |zoned| Moment::from_milliseconds(zoned.timestamp().as_millisecond()));
        then.min(self.now)
    }

    /// Somebody says something of a boat, on a charter or on none. The event's name is given.
    pub(super) fn tell(
        &mut self,
        who: Who,
        at: At,
        boat: &str,
        charter: Option<&str>,
        what: What,
    ) -> EventId {
        let moment = self.moment(at);
        self.tail += 1;
        let id = EventId::version_7(moment, self.tail);
        let hand = Hand::Account(AccountId::new(who.account()));
        let made = Event::new(id, moment, hand, DeviceId::new(who.device()), BoatId::new(boat), what);
        self.events.push(match charter {
            Some(charter) => made.on(CharterId::new(charter)),
            None => made,
        });
        id
    }

    /// Writes down what somebody on a charter is called.
    pub(super) fn person(&mut self, charter: &str, number: usize, name: &str) -> PersonId {
        let id = format!("p-{charter}-{number}");
        let fields = format!(r#"{{"name":"{name}"}}"#);
        self.persons.push(store::Person { id: id.clone(), charter: charter.to_owned(), fields });
        PersonId::new(id)
    }

    /// All that was told.
    pub(super) fn past(self, settings: Vec<(String, String)>) -> server::Past {
        server::Past { events: self.events, persons: self.persons, settings }
    }
}
