//! The same events give the same standing, in any order, however often each came, and in whatever batches.

use proptest::prelude::*;
use quantity::{Ratio, Time, Voltage};
use records::{
    BoatId, CharterId, DeviceId, Event, EventId, Held, Level, Look, Moment, PersonId, Pieces, Plan, Reading,
    Records, Severity, Showing, Taken, Took, Walk, What, fold,
};

use crate::aid::{DAY, Dice, HOUR, MINUTE, SATURDAY, account, crew, local};

const WALKS: [Walk; 5] = [Walk::Readying, Walk::CheckOut, Walk::UnderWay, Walk::HandBack, Walk::Between];
const SEVERITIES: [Severity; 3] = [Severity::Cosmetic, Severity::Hinders, Severity::Safety];

fn one_of<T: Copy>(dice: &mut Dice, row: &[T]) -> T {
    row[usize::try_from(dice.below(row.len() as u64)).unwrap()]
}

fn count(dice: &mut Dice, end: u64) -> u32 {
    u32::try_from(dice.below(end)).unwrap()
}

fn reading(dice: &mut Dice) -> Reading {
    let store = || "house".to_owned();
    let steps = f64::from(count(dice, 1000));
    match dice.below(4) {
        0 => Reading::EngineHours { engine: "engine".to_owned(), hours: Time::hours(steps / 10.0) },
        1 => Reading::Tank { store: "diesel".to_owned(), level: Level::Part(Ratio::percent(steps / 10.0)) },
        2 => Reading::Voltage { store: store(), voltage: Voltage::volts(steps / 60.0) },
        _ => Reading::Charge { store: store(), charge: Ratio::percent(steps / 10.0) },
    }
}

/// What someone may say; `known` are events that may be named.
fn what(dice: &mut Dice, known: &[EventId]) -> What {
    let words = || "Words.".to_owned();
    let line = format!("line_{}", dice.below(4));
    let pieces = Pieces { part: "Impeller".to_owned(), count: count(dice, 4), held: Held::Ashore };
    let named = if known.is_empty() { EventId::from_bits(1) } else { one_of(dice, known) };
    let (walk, severity) = (one_of(dice, &WALKS), one_of(dice, &SEVERITIES));
    let plan = Plan {
        from: local("2026-06-06T16:00:00-04:00"),
        until: local("2026-06-13T09:00:00-04:00"),
        crew: Some(count(dice, 8)).filter(|crew| *crew > 0),
        booked: None,
    };
    match dice.below(26) {
        0 => What::Planned(plan),
        1 => What::Changed(plan),
        2 => What::Cancelled { reason: words() },
        3 => What::Readied,
        4 => What::CheckedOut,
        5 => What::Left,
        6 => What::HandedBack,
        7 => What::Settled,
        8..=10 => What::Read { walk, reading: reading(dice) },
        11..=13 => What::Counted { walk, line, count: count(dice, 5), note: None },
        14 => What::Checked { walk, item: line, look: one_of(dice, &[Look::Ok, Look::NotOk]), note: None },
        15 => What::Briefed { topic: line, showing: one_of(dice, &[Showing::ToldOnly, Showing::Shown]) },
        16 => crate::aid::defect(&line, severity),
        17 => What::SeenAgain { defect: named, words: words(), severity: Some(severity), photos: vec![] },
        18 => What::Closed { defect: named, words: words() },
        19 => What::SailsWith { defect: named, covers: severity, reason: words() },
        20 => What::StockCounted(pieces),
        21 => What::StockUsed(pieces),
        22 => What::UpkeepDone {
            line,
            hours: None,
            parts: vec![pieces.into()],
            took: None,
            work: Some("4.00 USD".parse().unwrap()),
            cost: Some("9.50 USD".parse().unwrap()),
        },
        23 => What::MeterReplaced { engine: "engine".to_owned(), old: None, new: Time::ZERO },
        24 => crate::aid::signed(walk, records::Role::Skipper, "p1"),
        _ => What::Withdrawn { reason: words() },
    }
}

/// A boat's season as devices told it: clocks fast, slow and set back, corrections, withdrawals, twins, a removal.
fn season(seed: u64, devices: u64, each: u64) -> Vec<Taken> {
    let mut dice = Dice(seed);
    let mut known: Vec<EventId> = Vec::new();
    let mut events = Vec::new();
    for step in 0..each {
        for device in 0..devices {
            let true_time = SATURDAY + i64::try_from(step * devices + device).unwrap() * MINUTE;
            let wrong = match device % 5 {
                1 => 2 * DAY,
                2 => -3 * HOUR,
                3 if step > each / 2 => -DAY,
                4 if dice.below(50) == 0 => -true_time,
                _ => 0,
            };
            let at = Moment::from_milliseconds(true_time + wrong);
            let id = EventId::version_7(at, u128::from(dice.next()));
            let who = if device % 2 == 0 { account("jo") } else { crew("link") };
            let boat = BoatId::new(format!("boat-{}", dice.below(3)));
            let said = what(&mut dice, &known);
            let mut event = Event::new(id, at, who, DeviceId::new(format!("d{device}")), boat, said);
            if dice.below(4) > 0 {
                event = event.on(CharterId::new(format!("c{}", dice.below(5))));
            }
            let answers = matches!(event.what, What::Withdrawn { .. }) || dice.below(6) == 0;
            if answers && !known.is_empty() {
                let recent = known.len() - known.len().min(30);
                event = event.answering(one_of(&mut dice, &known[recent..]));
            }
            let received =
                Moment::from_milliseconds(true_time + i64::try_from(dice.below(3)).unwrap() * HOUR);
            let received = (dice.below(3) > 0).then_some(received);
            // Seldom an answer that was made before what it answers, a lost event, and two contents of one name.
            if dice.below(40) > 0 {
                events.push(Taken { event: event.clone(), received });
            }
            if dice.below(60) == 0 {
                let twin = Event { what: What::Noted { words: format!("Twin {step}.") }, ..event };
                events.push(Taken { event: twin, received });
            }
            known.push(id);
        }
    }
    let removal = What::PersonRemoved { person: PersonId::new("p1") };
    let mut last = events[0].clone();
    last.event = Event { id: EventId::from_bits(99), what: removal, answers: None, ..last.event };
    events.push(last);
    events
}

/// The same events in another order, some of them again.
fn stirred(events: &[Taken], seed: u64) -> Vec<Taken> {
    let mut dice = Dice(seed);
    let mut all = events.to_vec();
    for event in events {
        if dice.below(3) == 0 {
            all.push(event.clone());
        }
    }
    dice.shuffle(&mut all);
    all
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(60))]

    #[test]
    fn order_and_repeats_do_not_matter(seed: u64, stir: u64) {
        let events = season(seed, 5, 16);
        let standing = fold(events.clone());
        prop_assert_eq!(&fold(stirred(&events, stir)), &standing);
        let mut back = events;
        back.reverse();
        prop_assert_eq!(&fold(back), &standing);
    }

    #[test]
    fn batches_do_not_matter(seed: u64, cuts in proptest::collection::vec(0_usize..70, 0..5), stir: u64) {
        let events = season(seed, 5, 16);
        let whole: Records = events.iter().cloned().collect();
        // Each batch goes to a device of its own; then the devices meet, in any order, some of them twice.
        let mut cuts = cuts;
        cuts.push(0);
        cuts.push(events.len());
        cuts.sort_unstable();
        let mut devices: Vec<Records> =
            cuts.windows(2).map(|cut| events[cut[0]..cut[1]].iter().cloned().collect()).collect();
        let mut dice = Dice(stir);
        dice.shuffle(&mut devices);
        let mut met = Records::new();
        for device in &devices {
            met.merge(device);
            if dice.below(2) == 0 {
                met.merge(&devices[0]);
            }
        }
        prop_assert_eq!(&met, &whole);
        prop_assert_eq!(met.standing(), whole.standing());
    }

    #[test]
    fn the_wire_does_not_matter(seed: u64) {
        let events = season(seed, 4, 10);
        let over_the_wire = events.iter().map(|Taken { event, received }| {
            let text = serde_json::to_string(event).unwrap();
            Taken { event: serde_json::from_str(&text).unwrap(), received: *received }
        });
        prop_assert_eq!(fold(over_the_wire), fold(events.clone()));
    }

    /// Every event is in the standing's moments, every answer is shown, and nothing comes from nowhere.
    #[test]
    fn nothing_is_lost(seed: u64) {
        let events = season(seed, 5, 16);
        let records: Records = events.into_iter().collect();
        let standing = records.standing();
        prop_assert_eq!(standing.when.len(), records.len());
        for (event, _) in records.events() {
            if let Some(to) = event.answers {
                let twin = standing.flags.iter().any(|flag| flag.event == event.id && flag.why == records::Why::Twin);
                prop_assert!(twin || standing.answers[&to].contains(&event.id));
                prop_assert!(twin || records.get(to).is_some() || standing.waiting[&to].contains(&event.id));
            }
        }
        for flag in &standing.flags {
            prop_assert!(records.get(flag.event).is_some());
        }
    }

    /// What is crossed out counts as if it had never been said. The clock is sound, so that no time hangs on it.
    #[test]
    fn crossed_out_is_never_said(seed: u64, which: prop::sample::Index) {
        let events = season(seed, 1, 70);
        let texts: Vec<String> =
            events.iter().map(|one| serde_json::to_string(&(&one.event.what, one.event.answers)).unwrap()).collect();
        let named = |one: &Taken| {
            let id = one.event.id.to_string();
            texts.iter().any(|text| text.contains(&id))
        };
        let twice = |one: &Taken| events.iter().filter(|other| other.event.id == one.event.id).count() > 1;
        let alone = |one: &&Taken| {
            let kept = matches!(one.event.what, What::PersonRemoved { .. } | What::Withdrawn { .. });
            !kept && one.event.answers.is_none() && !twice(one) && !named(one)
        };
        let free: Vec<&Taken> = events.iter().filter(alone).collect();
        prop_assume!(!free.is_empty());
        let crossed = which.get(&free);
        let at = Moment::from_milliseconds(SATURDAY + DAY);
        let reason = "Another boat.".to_owned();
        let out = Event {
            id: EventId::version_7(at, 7),
            at,
            device: DeviceId::new("desk"),
            answers: Some(crossed.event.id),
            what: What::Withdrawn { reason },
            ..crossed.event.clone()
        };
        let mut with = fold(events.iter().cloned().chain([Taken { event: out, received: Some(at) }]));
        let without = fold(events.iter().filter(|event| event.event.id != crossed.event.id).cloned());
        // What only that event named is still known by name, and nothing more.
        with.boats.retain(|id, boat| without.boats.contains_key(id) || *boat != records::BoatStanding::default());
        with.charters.retain(|id, charter| without.charters.contains_key(id) || charter.life != records::Life::Unknown);
        prop_assert_eq!(with.boats, without.boats);
        prop_assert_eq!(with.ashore, without.ashore);
        prop_assert_eq!(with.disagreements, without.disagreements);
        prop_assert_eq!(with.charters, without.charters);
    }

    /// With sound clocks an answer never comes before what it answers, and a device's events keep their order.
    #[test]
    fn causes_come_first(seed: u64) {
        let records: Records = season(seed, 5, 16).into_iter().collect();
        let standing = records.standing();
        let circles = standing.flags.iter().any(|flag| flag.why == records::Why::Circle);
        prop_assume!(!circles);
        for (event, _) in records.events() {
            let cause = event.answers.and_then(|to| standing.when.get(&to));
            prop_assert!(cause.is_none_or(|cause| *cause < standing.when[&event.id]) || twin(&standing, event.id));
        }
    }
}

fn twin(standing: &records::Standing, event: EventId) -> bool {
    standing.flags.iter().any(|flag| flag.event == event && flag.why == records::Why::Twin)
}

#[test]
fn one_name_with_two_contents() {
    let mut log = crate::aid::Log::new();
    let event = log.make(0, crate::aid::count(Walk::CheckOut, "tether", 4));
    let twin = Event { what: crate::aid::count(Walk::CheckOut, "tether", 3), ..event.clone() };
    let mut one = Records::new();
    assert_eq!(one.take(event.clone(), None), Took::New);
    assert_eq!(one.take(event.clone(), None), Took::Again);
    assert_eq!(one.take(twin.clone(), None), Took::Twin);
    assert_eq!(one.take(twin.clone(), None), Took::Again);
    let mut other = Records::new();
    other.take(twin, None);
    other.take(event, None);
    assert_eq!(one, other);
    assert_eq!(one.events().count(), 2, "both are kept");
    assert_eq!(one.standing(), other.standing());
}

/// No event can stop the fold, however wild.
#[test]
fn extremes() {
    let mut records = Records::new();
    let ends = [i64::MIN, -1, 0, i64::MAX].map(Moment::from_milliseconds);
    let hours = |hours| Reading::EngineHours { engine: "engine".to_owned(), hours: Time::hours(hours) };
    let most = Pieces { part: "Impeller".to_owned(), count: u32::MAX, held: Held::Aboard };
    let whats = [
        What::Read { walk: Walk::Between, reading: hours(f64::MAX) },
        What::Read { walk: Walk::Between, reading: hours(f64::NAN) },
        What::MeterReplaced { engine: "engine".to_owned(), old: None, new: Time::hours(-f64::MAX) },
        What::StockUsed(most),
        What::UpkeepDone {
            line: "oil".to_owned(),
            hours: None,
            parts: vec![],
            took: None,
            work: None,
            cost: None,
        },
        What::CheckedOut,
        crate::aid::plan(),
    ];
    let mut tail = 0;
    for at in ends {
        for received in ends.into_iter().map(Some).chain([None]) {
            for what in whats.clone() {
                tail += 1;
                let id = EventId::version_7(at, tail);
                let event =
                    Event::new(id, at, account("jo"), DeviceId::new("a"), crate::aid::whimbrel(), what);
                let event = event.on(CharterId::new(format!("c{tail}")));
                assert_eq!(records.take(event.clone(), received), Took::New);
                assert_eq!(records.take(event, None), Took::Again, "even what is not a number is itself");
            }
        }
    }
    let standing = records.standing();
    assert_eq!(standing.when.len(), 140);
    let boat = crate::aid::sanderling();
    let day = jiff::civil::date(2026, 6, 6);
    let due = records::due(&boat, &standing.boats[&crate::aid::whimbrel()], day, &records::Window::USUAL);
    assert_eq!(due.len(), 4);
    for end in ends {
        assert_eq!(records::exposure(&standing, end).len(), 1);
    }
    assert!(records::costs(&standing, Time::hours(f64::NAN)).is_empty());
}

/// Fifty devices, a thousand events each.
#[test]
fn a_large_base() {
    let events = season(7, 50, 1000);
    assert!(events.len() > 48_000);
    let whole: Records = events.iter().cloned().collect();
    let standing = whole.standing();
    let stirred = fold(stirred(&events, 3));
    assert!(stirred == standing, "the same standing from a shuffled and repeated row");
    let mut halves = [Records::new(), Records::new()];
    for (at, Taken { event, received }) in events.into_iter().enumerate() {
        halves[usize::from(at % 7 < 3)].take(event, received);
    }
    let [mut one, other] = halves;
    one.merge(&other);
    assert!(one == whole, "the same events from two halves, and so the same standing");
    let counted: usize =
        standing.boats.values().map(|boat| boat.meters.values().map(Vec::len).sum::<usize>()).sum();
    assert!(counted > 1000, "it is a standing of something: {counted} readings");
}
