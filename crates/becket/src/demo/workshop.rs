//! Defects, upkeep and stock of the demo boats.

use boat::model::{Boat, UpkeepId, UpkeepLine};
use quantity::{Money, Time};
use records::{Defect, Held, Pieces, Priced, Severity, What};
use trace::spares::{Part, ServicePart};

use super::teller::{At, Teller, Who, at};

/// A defect that was mended: boat, item, what was seen, what was to be done, part, what was done, days ago.
type Mended = (&'static str, &'static str, &'static str, &'static str, &'static str, &'static str, i32);

const MENDED: [Mended; 3] = [
    (
        "whimbrel",
        "windlass",
        "The windlass stops under load after a few seconds",
        "Clean and tighten its terminals",
        "Cable lug 10 mm",
        "Both lugs renewed, terminals greased; lifts all chain without stopping",
        37,
    ),
    (
        "dunlin",
        "refrigerator",
        "The refrigerator does not get cold",
        "Look at the fan of the refrigerator",
        "Refrigerator fan",
        "Fan renewed; 4 degrees after two hours",
        30,
    ),
    (
        "turnstone",
        "port_raw_water_pump",
        "A drip of sea water under the port engine's pump",
        "Renew the shaft seal of the pump",
        "Shaft seal",
        "Seal and impeller renewed; dry after an hour's run",
        44,
    ),
];

/// A defect that is open: boat, item, what was seen, how bad, days ago.
const OPEN: [(&str, &str, &str, Severity, i32); 3] = [
    ("dunlin", "bilge_alarm", "The bilge alarm makes no sound when its float is lifted", Severity::Safety, 2),
    ("whimbrel", "fans", "One of the cabin fans does not turn", Severity::Hinders, 4),
    ("turnstone", "swim_ladder", "A scratch in the swim ladder's step", Severity::Cosmetic, 12),
];

/// How long an engine runs in a day of the season, on average.
const HOURS_A_DAY: f64 = 1.3;

/// What is wrong with a boat, and what was mended.
pub(super) fn defects(teller: &mut Teller, slug: &str) {
    for (_, item, seen, task, part, done, ago) in MENDED.into_iter().filter(|one| one.0 == slug) {
        let defect = found(teller, slug, item, seen, Severity::Hinders, at(-ago, 11, 10));
        let words = task.to_owned();
        let by = teller.local(at(3 - ago, 12, 0));
        teller.tell(Who::Manager, at(-ago, 13, 45), slug, None, What::TaskSet { defect, words, by });
        let pieces = Pieces { part: part.to_owned(), count: 1, held: Held::Ashore };
        let cost = Money::from_minor(3_850, "USD");
        teller.tell(Who::Hand, at(1 - ago, 10, 0), slug, None, What::PartUsed { defect, pieces, cost });
        let (took, cost) = (Some(Time::minutes(95.0)), Money::from_minor(9_500, "USD"));
        let words = done.to_owned();
        teller.tell(Who::Hand, at(1 - ago, 11, 40), slug, None, What::Mended { defect, words, took, cost });
        let words = "Tried twice, it works".to_owned();
        teller.tell(Who::Skipper, at(1 - ago, 14, 5), slug, None, What::Closed { defect, words });
    }
    for (_, item, seen, severity, ago) in OPEN.into_iter().filter(|one| one.0 == slug) {
        let defect = found(teller, slug, item, seen, severity, at(-ago, 17, 20));
        if severity == Severity::Safety {
            let words = "Measure the float switch, renew it if it is open".to_owned();
            let by = teller.local(at(1, 12, 0));
            teller.tell(Who::Manager, at(-1, 9, 0), slug, None, What::TaskSet { defect, words, by });
        }
    }
}

fn found(
    teller: &mut Teller,
    slug: &str,
    item: &str,
    seen: &str,
    severity: Severity,
    when: At,
) -> records::EventId {
    let defect =
        Defect { item: item.to_owned(), words: seen.to_owned(), severity, photos: Vec::new(), fault: None };
    teller.tell(Who::Hand, when, slug, None, What::Found(defect))
}

/// The service plan was kept, but for a line here and there. `takes` says which parts a line took.
pub(super) fn upkeep(
    teller: &mut Teller,
    slug: &str,
    boat: &Boat,
    takes: impl Fn(UpkeepId) -> Vec<ServicePart>,
) {
    for (at_line, (id, line)) in boat.upkeep.iter_ids().enumerate() {
        let every = days(line);
        let ago = match at_line {
            late if late % 23 == 3 => every + 4,
            soon if soon % 11 == 6 => every - 6,
            spread => every * i32::try_from(2 + spread % 5).unwrap_or(2) / 10,
        };
        let ago = ago.clamp(1, 500);
        teller.tell(Who::Hand, at(-ago, 15, 30), slug, None, done(line, &takes(id), ago));
    }
}

/// About how many days go from one doing of a line to the next: a charter takes a week, and an engine runs an hour and a
/// third a day.
fn days(line: &UpkeepLine) -> i32 {
    let every = &line.every;
    let whole = |days: u32| i32::try_from(days).unwrap_or(i32::MAX);
    // The days whose hours are fewer than these.
    let hours = |hours: Time| {
        (1..1_000).take_while(|day| f64::from(*day) * HOURS_A_DAY < hours.as_hours()).last().unwrap_or(1)
    };
    let all = [
        every.days.map(whole),
        every.charters.map(|charters| 7 * whole(charters)),
        every.engine_hours.map(hours),
    ];
    all.into_iter().flatten().min().unwrap_or(300)
}

/// The parts that a line of a boat's service plan takes in every case, by their names in the store.
pub(super) fn takes(parts: &[Part], boat: usize, line: UpkeepId) -> Vec<ServicePart> {
    let of = |part: &Part| {
        let own = part.upkeep.iter().find(|(at, id, _)| *at == boat && *id == line)?;
        let words = own.2.clone();
        words.only.is_none().then(|| ServicePart { name: part.name.clone(), ..words })
    };
    parts.iter().filter_map(of).collect()
}

fn done(line: &UpkeepLine, takes: &[ServicePart], ago: i32) -> What {
    let by_hours = line.every.engine_hours.is_some();
    let hours = by_hours.then(|| Time::hours((1240.0 - f64::from(ago) * HOURS_A_DAY).round()));
    let used = takes.iter().map(|part| {
        let cost = dollars(price(part) * i64::from(part.count));
        Priced { pieces: Pieces { part: part.name.clone(), count: part.count, held: Held::Ashore }, cost }
    });
    let parts = used.collect();
    // A mechanic is paid by the hour, in cents; the base's own hands are not counted.
    let minutes =
        |takes: Time| (1..=6_000).take_while(|minute| f64::from(*minute) <= takes.as_minutes()).count();
    let work = match (line.skill.as_deref(), line.takes) {
        (Some("mechanic"), Some(takes)) => dollars(125 * i64::try_from(minutes(takes)).unwrap_or_default()),
        _ => None,
    };
    What::UpkeepDone { line: line.id.clone(), hours, parts, took: line.takes, work, cost: None }
}

fn dollars(cents: i64) -> Option<Money> {
    Money::from_minor(cents, "USD")
}

/// What one of a part costs, in cents: invented, more for longer names, so that prices differ.
fn price(part: &ServicePart) -> i64 {
    let letters = i64::try_from(part.name.len()).unwrap_or_default();
    if part.litres { 900 + 10 * letters } else { 450 + 135 * letters }
}

/// Spares aboard.
pub(super) fn spares(teller: &mut Teller, slug: &str, boat: &Boat) {
    let mut aboard: Vec<&str> =
        boat.items.iter().flat_map(|item| &item.spares).map(|spare| spare.name.as_str()).collect();
    aboard.sort_unstable();
    aboard.dedup();
    for part in aboard {
        let pieces = Pieces { part: part.to_owned(), count: 1, held: Held::Aboard };
        teller.tell(Who::Hand, at(-85, 9, 30), slug, None, What::StockCounted(pieces));
    }
}

/// The parts in the base's store: they came in spring and were counted since. Of some there are too few, and some were
/// never counted.
pub(super) fn stock(teller: &mut Teller, boats: &[(String, Boat)], parts: &[Part]) {
    for (at_part, part) in parts.iter().enumerate().filter(|(at_part, _)| at_part % 11 != 7) {
        let holders = part.items.iter().map(|(at, _)| *at).chain(part.upkeep.iter().map(|(at, ..)| *at));
        let slug = &boats[holders.min().unwrap_or_default()].0;
        let each = part.upkeep.iter().map(|(_, _, part)| part.count).max().unwrap_or_default();
        let hold = part.spare.as_ref().map_or(0, |spare| u32::try_from(spare.hold).unwrap_or_default());
        let enough = hold + 2 * each;
        let left = if at_part % 6 == 4 { enough / 4 } else { enough };
        let pieces = |count| Pieces { part: part.name.clone(), count, held: Held::Ashore };
        let words = ServicePart { name: part.name.clone(), count: 1, litres: part.litres, only: None };
        if enough > 0 {
            let cost = dollars(price(&words) * i64::from(enough));
            let came = What::StockReceived(Priced { pieces: pieces(enough), cost });
            teller.tell(Who::Manager, at(-120, 10, 15), slug, None, came);
        }
        teller.tell(Who::Hand, at(-25, 9, 30), slug, None, What::StockCounted(pieces(left)));
    }
    for (slug, _, _, _, part, _, _) in MENDED {
        let pieces = Pieces { part: part.to_owned(), count: 2, held: Held::Ashore };
        teller.tell(Who::Hand, at(-25, 9, 50), slug, None, What::StockCounted(pieces));
    }
}
