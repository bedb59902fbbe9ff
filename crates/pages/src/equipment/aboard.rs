//! What is aboard: by the boat file, with the last count of each kit line where it was counted, and what is known to be
//! broken.

use boat::model::{Boat, KitLine};
use jiff::civil::Date;
use records::BoatStanding;
use rules::Carried;

/// What of her counts by the rules. A kit line that was counted has as many pieces as were counted last.
pub(super) fn aboard(boat: &Boat, standing: Option<&BoatStanding>) -> Vec<Carried> {
    let mut all = Carried::of(boat);
    for one in &mut all {
        let counted =
            one.id.strip_prefix("kit.").zip(standing).and_then(|(line, stands)| stands.counted.get(line));
        if let Some(counting) = counted {
            one.count = counting.count;
        }
    }
    all
}

/// What counts and is told to be broken: the item's name, what is wrong with it.
pub(super) fn broken<'a>(boat: &'a Boat, standing: Option<&'a BoatStanding>) -> Vec<(&'a str, &'a str)> {
    let counts = |id: &str| boat.items.iter().find(|item| item.id == id && !item.counts_as.is_empty());
    standing
        .into_iter()
        .flat_map(BoatStanding::open_defects)
        .filter_map(|open| {
            counts(&open.defect.item).map(|item| (item.name.as_str(), open.defect.words.as_str()))
        })
        .collect()
}

/// The kit lines with a last day, the earliest first.
pub(super) fn dated(boat: &Boat) -> Vec<(Date, &KitLine)> {
    let day = |line: &KitLine| line.expires.as_deref().and_then(|text| text.parse().ok());
    let mut all: Vec<(Date, &KitLine)> =
        boat.kit.iter().filter_map(|line| day(line).map(|day| (day, line))).collect();
    all.sort_by_key(|(day, _)| *day);
    all
}
