//! What one doing or one defect cost, in words.

use records::{DefectStanding, Done, Priced, Sums};

/// Sums as people write them: “95.00 USD and 20.00 EUR”; nothing if there are none.
pub(super) fn sums(sums: &Sums) -> String {
    let all: Vec<String> = sums.iter().map(|money| money.to_string()).collect();
    let all = all.join(" and ");
    if sums.too_much() { format!("{all}, and more than can be added up") } else { all }
}

/// What a doing of upkeep cost: work, parts and the rest together.
pub(super) fn of_done(done: &Done) -> Sums {
    let mut all = Sums::default();
    let parts = done.parts.iter().map(|part| part.cost);
    for amount in [done.work, done.cost].into_iter().chain(parts).flatten() {
        all.put(amount);
    }
    all
}

/// The same in words.
pub(super) fn done(done: &Done) -> String {
    sums(&of_done(done))
}

/// What the work on a defect cost, and its parts.
pub(super) fn of_defect(defect: &DefectStanding) -> (Sums, Sums) {
    let (mut work, mut parts) = (Sums::default(), Sums::default());
    defect.mended.iter().filter_map(|one| one.cost).for_each(|cost| work.put(cost));
    defect.parts.iter().filter_map(|(_, _, cost)| *cost).for_each(|cost| parts.put(cost));
    (work, parts)
}

/// “2 × Belt (37.00 USD), 7 × Engine oil”.
pub(super) fn parts(parts: &[Priced]) -> String {
    let one = |part: &Priced| {
        let cost = part.cost.map_or_else(String::new, |cost| format!(" ({cost})"));
        format!("{} \u{d7} {}{cost}", part.pieces.count, part.pieces.part)
    };
    parts.iter().map(one).collect::<Vec<_>>().join(", ")
}
