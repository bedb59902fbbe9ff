//! Making events: hands at desks, with clocks that tests set.

use boat::model::Boat;
use records::{
    AccountId, BoatId, CharterId, Defect, DeviceId, Event, EventId, Flag, Hand, LinkId, Local, Moment,
    PersonId, Plan, Records, Role, Severity, Signature, Standing, Strokes, Walk, What, Why,
};

/// Saturday, 6 June 2026, 08:00 UTC.
pub(crate) const SATURDAY: i64 = 1_780_732_800_000;
pub(crate) const MINUTE: i64 = 60_000;
pub(crate) const HOUR: i64 = 60 * MINUTE;
pub(crate) const DAY: i64 = 24 * HOUR;

/// The moment so many minutes after Saturday morning.
pub(crate) fn at(minutes: i64) -> Moment {
    Moment::from_milliseconds(SATURDAY + minutes * MINUTE)
}

pub(crate) fn account(name: &str) -> Hand {
    Hand::Account(AccountId::new(name))
}

pub(crate) fn crew(name: &str) -> Hand {
    Hand::Crew(LinkId::new(name))
}

pub(crate) fn whimbrel() -> BoatId {
    BoatId::new("whimbrel")
}

pub(crate) fn charter() -> CharterId {
    CharterId::new("c1")
}

/// The boat of the tests, compiled.
pub(crate) fn sanderling() -> Boat {
    let text = include_str!("boats/sanderling.toml");
    let compiled = boat::compile("sanderling.toml", text);
    assert!(compiled.boat.is_some(), "{:#?}", compiled.diagnostics);
    compiled.boat.unwrap()
}

/// Events as they are made; the event at index `n` has the name `name(n)`.
pub(crate) struct Log {
    pub(crate) records: Records,
    made: u128,
    /// Whether events belong to the charter of the tests.
    pub(crate) on_charter: bool,
    pub(crate) who: Hand,
    pub(crate) device: DeviceId,
    pub(crate) boat: BoatId,
}

impl Log {
    pub(crate) fn new() -> Self {
        Self {
            records: Records::new(),
            made: 0,
            on_charter: true,
            who: account("jo"),
            device: DeviceId::new("dock-1"),
            boat: whimbrel(),
        }
    }

    /// The same on no charter.
    pub(crate) fn of_boat() -> Self {
        Self { on_charter: false, ..Self::new() }
    }

    /// Whoever speaks next, and on what.
    pub(crate) fn hand(&mut self, who: Hand, device: &str) -> &mut Self {
        self.who = who;
        self.device = DeviceId::new(device);
        self
    }

    /// An event that is not yet taken in.
    pub(crate) fn make(&mut self, minutes: i64, what: What) -> Event {
        self.made += 1;
        let when = at(minutes);
        let id = EventId::version_7(when, self.made);
        let event = Event::new(id, when, self.who.clone(), self.device.clone(), self.boat.clone(), what);
        if self.on_charter { event.on(charter()) } else { event }
    }

    /// An event that is taken in.
    pub(crate) fn say(&mut self, minutes: i64, what: What) -> EventId {
        let event = self.make(minutes, what);
        self.put(event)
    }

    /// An event that answers another.
    pub(crate) fn answer(&mut self, minutes: i64, to: EventId, what: What) -> EventId {
        let event = self.make(minutes, what).answering(to);
        self.put(event)
    }

    pub(crate) fn put(&mut self, event: Event) -> EventId {
        let id = event.id;
        self.records.take(event, None);
        id
    }

    pub(crate) fn standing(&self) -> Standing {
        self.records.standing()
    }
}

pub(crate) fn local(text: &str) -> Local {
    text.parse().unwrap()
}

pub(crate) fn plan() -> What {
    What::Planned(Plan {
        from: local("2026-06-06T16:00:00-04:00"),
        until: local("2026-06-13T09:00:00-04:00"),
        crew: Some(5),
        booked: Some(PersonId::new("p1")),
    })
}

pub(crate) fn count(walk: Walk, line: &str, count: u32) -> What {
    What::Counted { walk, line: line.to_owned(), count, note: None }
}

pub(crate) fn defect(item: &str, severity: Severity) -> What {
    let (item, words) = (item.to_owned(), "It is cracked.".to_owned());
    What::Found(Defect { item, words, severity, photos: Vec::new(), fault: None })
}

pub(crate) fn withdrawn() -> What {
    What::Withdrawn { reason: "Wrong boat.".to_owned() }
}

pub(crate) fn signed(walk: Walk, role: Role, person: &str) -> What {
    What::Signed(Signature {
        walk,
        role,
        person: PersonId::new(person),
        strokes: Strokes::Points(Vec::new()),
    })
}

/// What is odd about an event.
pub(crate) fn odd(standing: &Standing, event: EventId) -> Vec<Why> {
    standing.flags.iter().filter(|flag| flag.event == event).map(|Flag { why, .. }| *why).collect()
}

/// A row of chance that is the same on every machine.
///
/// # Source
/// G. L. Steele, D. Lea, C. H. Flood, "Fast splittable pseudorandom number generators", OOPSLA 2014 (from memory).
pub(crate) struct Dice(pub(crate) u64);

impl Dice {
    pub(crate) fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let one = (self.0 ^ (self.0 >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        let two = (one ^ (one >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        two ^ (two >> 31)
    }

    /// A number below `end`.
    pub(crate) fn below(&mut self, end: u64) -> u64 {
        self.next() % end
    }

    pub(crate) fn shuffle<T>(&mut self, row: &mut [T]) {
        for end in (1..row.len()).rev() {
            let with = usize::try_from(self.below(end as u64 + 1)).unwrap();
            row.swap(end, with);
        }
    }
}
