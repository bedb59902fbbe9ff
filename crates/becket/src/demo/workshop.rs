//! Defects, upkeep and stock of the demo boats.

use boat::model::{Boat, UpkeepLine};
use quantity::{Money, Time};
use records::{Defect, Held, Pieces, Severity, What};

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

/// The service plan was kept, but for a line here and there.
pub(super) fn upkeep(teller: &mut Teller, slug: &str, boat: &Boat) {
    for (at_line, line) in boat.upkeep.iter().enumerate() {
        let ago = match at_line % 9 {
            3 => 380,
            6 => 355,
            spread => 30 + 4 * i32::try_from(spread).unwrap_or_default(),
        };
        teller.tell(Who::Hand, at(-ago, 15, 30), slug, None, done(line, ago));
    }
}

fn done(line: &UpkeepLine, ago: i32) -> What {
    let by_hours = line.every.engine_hours.is_some();
    // About an hour and a third a day before now.
    let hours = by_hours.then(|| Time::hours((1240.0 - f64::from(ago) * 1.3).round()));
    let cost = Money::from_minor(1_500 + 700 * i64::try_from(line.parts.len()).unwrap_or_default(), "USD");
    What::UpkeepDone { line: line.id.clone(), hours, parts: Vec::new(), took: None, work: None, cost }
}

/// Spares aboard, and parts for the service in the base's store.
pub(super) fn stock(teller: &mut Teller, slug: &str, boat: &Boat) {
    let when = at(-85, 9, 30);
    let mut tell = |part: String, count: u32, held: Held| {
        let pieces = Pieces { part, count, held };
        teller.tell(Who::Hand, when, slug, None, What::StockCounted(pieces));
    };
    let mut aboard: Vec<&str> =
        boat.items.iter().flat_map(|item| &item.spares).map(|spare| spare.name.as_str()).collect();
    aboard.sort_unstable();
    aboard.dedup();
    for part in aboard {
        tell(part.to_owned(), 1, Held::Aboard);
    }
    for part in MENDED.iter().filter(|one| one.0 == slug).map(|one| one.4) {
        tell(part.to_owned(), 3, Held::Ashore);
    }
    let mut service: Vec<String> = boat.upkeep.iter().flat_map(|line| &line.parts).cloned().collect();
    service.sort_unstable();
    service.dedup();
    for (at_part, part) in service.into_iter().enumerate() {
        tell(part, u32::try_from(at_part % 4).unwrap_or_default(), Held::Ashore);
    }
}
