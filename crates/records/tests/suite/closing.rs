//! What is over is closed, and the boat stands by what is left as by everything.

use proptest::prelude::*;
use quantity::{Mass, Ratio, Time, Volume};
use records::{
    Amount, BoatId, CharterId, Closed, DeviceId, Event, EventId, Held, Level, Local, Look, Moment, PersonId,
    Pieces, Plan, Reading, Records, Role, Severity, Showing, Taken, Walk, What,
};

use crate::aid::{DAY, Dice, HOUR, MINUTE, SATURDAY, account, crew, defect, signed, withdrawn};

/// What is over for so long is closed.
const WEEKS_KEPT: i64 = 8;
const WEEK: i64 = 7 * DAY;

fn moment(at: i64) -> Moment {
    Moment::from_milliseconds(SATURDAY + at)
}

fn small(dice: &mut Dice, end: u64) -> u32 {
    u32::try_from(dice.below(end)).unwrap()
}

/// Years of a boat with a charter a week, as her devices tell them.
struct Teller {
    dice: Dice,
    all: Vec<Taken>,
    /// How seldom a clock is wrong, or an event reaches far back: one in so many; never if nothing.
    odd: Option<u64>,
    /// Events that may be answered: counts and readings, and all if something is odd.
    known: Vec<EventId>,
}

impl Teller {
    fn oddly(&mut self) -> bool {
        self.odd.is_some_and(|odd| self.dice.below(odd) == 0)
    }

    fn tell(&mut self, at: i64, charter: Option<&str>, what: What) -> EventId {
        let device = self.dice.below(4);
        // A page is loaded some time before it is sent; a device without signal is heard of later.
        let made = at - i64::try_from(self.dice.below(30)).unwrap() * MINUTE;
        let late = i64::try_from(self.dice.below(if device == 3 { 72 } else { 1 })).unwrap() * HOUR;
        let wrong = if self.oddly() {
            let times = [2 * DAY, -3 * HOUR, -100 * DAY, 400 * DAY, -SATURDAY];
            times[usize::try_from(self.dice.below(5)).unwrap()]
        } else {
            0
        };
        let id = EventId::version_7(moment(made + wrong), u128::from(self.dice.next()));
        let who = if device == 2 { crew("link") } else { account("jo") };
        let (device, boat) = (DeviceId::new(format!("d{device}")), BoatId::new("whimbrel"));
        let mut event = Event::new(id, moment(at + wrong), who, device, boat, what);
        if let Some(charter) = charter {
            event = event.on(CharterId::new(charter));
        }
        let walks = matches!(event.what, What::Counted { .. } | What::Read { .. });
        let far = self.oddly();
        if !self.known.is_empty() && (far || walks && self.dice.below(12) == 0) {
            let back = if far { self.known.len() } else { self.known.len().min(10) };
            let to = self.known.len() - 1 - usize::try_from(self.dice.below(back as u64)).unwrap();
            // A correction is made after what it corrects.
            if far || self.known[to] < id {
                event = event.answering(self.known[to]);
                if self.dice.below(2) == 0 {
                    event.what = withdrawn();
                }
            }
        }
        if walks || self.odd.is_some() {
            self.known.push(id);
        }
        let received = (!self.oddly()).then(|| moment(at + late));
        self.all.push(Taken { event, received });
        id
    }

    fn go_over(&mut self, at: i64, charter: &str, walk: Walk) {
        for line in 0..4 {
            let count = small(&mut self.dice, 5);
            let what = What::Counted { walk, line: format!("line_{line}"), count, note: None };
            self.tell(at + i64::from(line) * MINUTE, Some(charter), what);
        }
        let item = format!("item_{}", self.dice.below(8));
        self.tell(at, Some(charter), What::Checked { walk, item, look: Look::Ok, note: None });
        let level = Level::Part(Ratio::percent(f64::from(small(&mut self.dice, 100))));
        let reading = Reading::Tank { store: "diesel".to_owned(), level };
        self.tell(at, Some(charter), What::Read { walk, reading });
        self.hours(at, Some(charter), walk);
    }

    fn hours(&mut self, at: i64, charter: Option<&str>, walk: Walk) {
        let hours = Time::hours((at / HOUR) as f64 / 20.0);
        let reading = Reading::EngineHours { engine: "engine".to_owned(), hours };
        self.tell(at, charter, What::Read { walk, reading });
    }

    fn week(&mut self, week: i64) {
        let begin = week * WEEK;
        let id = format!("c{week}");
        let charter = Some(id.as_str());
        let local = |at: i64| {
            let stamp = jiff::Timestamp::from_millisecond(SATURDAY + at).unwrap();
            stamp.to_string().replace('Z', "+00:00").parse::<Local>().unwrap()
        };
        let booked = Some(PersonId::new(format!("p{week}")));
        let (from, until) = (local(begin + 8 * HOUR), local(begin + 6 * DAY));
        let plan = Plan { from, until, crew: Some(4), booked };
        self.tell(begin - 20 * DAY, charter, What::Planned(plan.clone()));
        match self.dice.below(9) {
            0 => {
                let reason = "The crew can't come.".to_owned();
                self.tell(begin - DAY, charter, What::Cancelled { reason });
                return;
            }
            1 => {
                self.tell(begin - DAY, charter, What::Changed(Plan { crew: Some(5), ..plan }));
            }
            _ => {}
        }
        self.go_over(begin + 2 * HOUR, &id, Walk::Readying);
        self.tell(begin + 4 * HOUR, charter, What::Readied);
        self.go_over(begin + 6 * HOUR, &id, Walk::CheckOut);
        let showing = Showing::Shown;
        self.tell(begin + 7 * HOUR, charter, What::Briefed { topic: "gas".to_owned(), showing });
        self.tell(begin + 7 * HOUR, charter, signed(Walk::CheckOut, Role::Skipper, &format!("p{week}")));
        self.tell(begin + 8 * HOUR, charter, What::CheckedOut);
        self.way(begin, &id);
        self.go_over(begin + 6 * DAY, &id, Walk::HandBack);
        self.tell(begin + 6 * DAY + HOUR, charter, What::HandedBack);
        self.after(begin + 6 * DAY + 2 * HOUR);
        // Some are never settled, some long after.
        match self.dice.below(20) {
            0 => {}
            1 => {
                self.tell(begin + 40 * DAY, charter, What::Settled);
            }
            _ => {
                self.tell(begin + 6 * DAY + 5 * HOUR, charter, What::Settled);
            }
        }
    }

    /// What happens on the way.
    fn way(&mut self, begin: i64, id: &str) {
        if self.dice.below(3) == 0 {
            let found = self.tell(begin + 3 * DAY, Some(id), defect("windlass", Severity::Hinders));
            let words = "It does it again.".to_owned();
            let seen = |defect, words| What::SeenAgain { defect, words, severity: None, photos: Vec::new() };
            if self.dice.below(2) == 0 {
                self.tell(begin + 10 * DAY, Some(id), seen(found, words.clone()));
            }
            if self.dice.below(3) > 0 {
                self.tell(begin + 12 * DAY, None, What::Closed { defect: found, words });
            }
        }
        if self.dice.below(8) == 0 {
            let words = "The hull was scraped.".to_owned();
            let what = What::Damaged { item: "hull".to_owned(), words, photos: Vec::new(), estimate: None };
            let event = self.tell(begin + 4 * DAY, Some(id), what);
            let charge = records::ChargeKey::Damage(event);
            let what = What::ChargeWaived { charge, amount: None, reason: "It was ours.".to_owned() };
            self.tell(begin + 6 * DAY + 3 * HOUR, Some(id), what);
        }
    }

    /// What the base does after a charter, and what comes in late.
    fn after(&mut self, at: i64) {
        let pieces =
            Pieces { part: "Impeller".to_owned(), count: small(&mut self.dice, 3), held: Held::Ashore };
        match self.dice.below(8) {
            0 => {
                let (line, parts) = ("oil".to_owned(), vec![pieces.into()]);
                self.tell(
                    at,
                    None,
                    What::UpkeepDone { line, hours: None, parts, took: None, work: None, cost: None },
                );
            }
            1 => {
                self.tell(at, None, What::StockCounted(pieces));
            }
            2 => {
                self.tell(at, None, What::StockUsed(pieces));
            }
            3 if self.dice.below(4) == 0 => {
                let old = (self.dice.below(2) == 0).then(|| Time::hours(900.0));
                let engine = "engine".to_owned();
                self.tell(at, None, What::MeterReplaced { engine, old, new: Time::ZERO });
            }
            4 => self.hours(at, None, Walk::Between),
            5 => {
                let amount = Amount::Mass(Mass::kilograms(2.0));
                self.tell(at, None, What::Filled { store: "gas".to_owned(), amount, cost: None });
            }
            6 if self.odd.is_some() => {
                let person = PersonId::new(format!("p{}", self.dice.below(30)));
                self.tell(at, None, What::PersonRemoved { person });
            }
            _ => {
                let amount = Amount::Volume(Volume::litres(40.0));
                self.tell(at, None, What::Filled { store: "diesel".to_owned(), amount, cost: None });
                self.tell(at, None, What::Emptied { store: "waste".to_owned() });
            }
        }
    }
}

fn told(seed: u64, weeks: i64, odd: Option<u64>) -> Vec<Taken> {
    let mut teller = Teller { dice: Dice(seed), all: Vec::new(), odd, known: Vec::new() };
    for week in 0..weeks {
        teller.week(week);
    }
    // By when the base has them; what it has not received it learns of when it happened.
    let mut all = teller.all;
    all.sort_by_key(|taken| (taken.received.unwrap_or(taken.event.at), taken.event.id));
    all
}

/// What was kept at hand, of how much, and how often all had to be taken up again.
struct Run {
    kept: usize,
    all: usize,
    begun_again: usize,
}

/// Takes events in as a base does: those at hand, closed now and then, and all of them if an event reaches back.
fn run(events: &[Taken], every: usize) -> Result<Run, TestCaseError> {
    let mut all = Records::new();
    let (mut kept, mut closed) = (Records::new(), Closed::default());
    let mut begun_again = 0;
    for (number, batch) in events.chunks(every).enumerate() {
        let now = batch.iter().filter_map(|taken| taken.received).max();
        let mut fits = true;
        for taken in batch {
            fits &= closed.fits(&kept, &taken.event);
            kept.take(taken.event.clone(), taken.received);
        }
        all.extend(batch.iter().cloned());
        if !fits {
            begun_again += 1;
            (kept, closed) = (all.clone(), Closed::default());
        }
        if let (Some(now), true) = (now, !fits || number % 8 == 7) {
            let since = Moment::from_milliseconds(now.milliseconds() - WEEKS_KEPT * WEEK);
            (kept, closed) = closed.further(&kept, since);
        }
        let differs = closed.differs(&kept, &closed.standing(&kept), &all.standing());
        prop_assert_eq!(differs, None, "after batch {}", number);
    }
    Ok(Run { kept: kept.len(), all: all.len(), begun_again })
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(24))]

    #[test]
    fn a_boat_stands_by_what_is_at_hand_as_by_everything(seed: u64) {
        let run = run(&told(seed, 40, None), 25)?;
        prop_assert!(run.kept * 2 < run.all, "{} of {} are at hand", run.kept, run.all);
        // A correction may come before what it corrects.
        prop_assert!(run.begun_again * 50 <= run.all, "{} times", run.begun_again);
    }

    #[test]
    fn so_she_does_if_clocks_are_wrong_and_events_reach_far_back(seed: u64, odd in 20..200_u64) {
        run(&told(seed, 30, Some(odd)), 13)?;
    }
}

#[test]
fn what_is_closed_reads_back() {
    let events: Records = told(3, 30, None).into_iter().collect();
    let (kept, closed) = Closed::default().further(&events, moment(20 * WEEK));
    assert!(closed.holds(&CharterId::new("c2")) && !closed.holds(&CharterId::new("c29")));
    assert!(kept.len() < events.len());
    let text = serde_json::to_string(&closed).unwrap();
    assert_eq!(serde_json::from_str::<Closed>(&text).unwrap(), closed);
}
