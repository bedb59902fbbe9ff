//! How often which fault came on which boat, and in how much time in use: what the fault finder learns from.

use std::collections::BTreeMap;

use quantity::Time;

use crate::ids::BoatId;
use crate::moment::Moment;
use crate::stage::Stage;
use crate::standing::Standing;

/// A fault on a boat.
#[derive(Debug, Clone, PartialEq)]
pub struct Failure {
    /// The boat.
    pub boat: BoatId,
    /// The fault, as her boat file names it.
    pub fault: String,
    /// How often it came: each defect once, and once more each time that it came again after it was closed.
    pub count: u32,
    /// In how much time in use.
    pub exposure: Time,
}

/// How often each fault that a defect names came on each boat until a moment, by boat and fault.
///
/// A fault that never came has no row: it came 0 times in the boat's [`exposure`].
pub fn failures(standing: &Standing, until: Moment) -> Vec<Failure> {
    let exposure = exposure(standing, until);
    let mut counts: BTreeMap<(&BoatId, &str), u32> = BTreeMap::new();
    for (id, boat) in &standing.boats {
        for defect in boat.defects.values().filter(|defect| defect.found.when <= until) {
            if let Some(fault) = &defect.fault {
                *counts.entry((id, fault)).or_default() += defect.times();
            }
        }
    }
    let row = |((boat, fault), count): ((&BoatId, &str), u32)| Failure {
        boat: boat.clone(),
        fault: fault.to_owned(),
        count,
        exposure: exposure.get(boat).copied().unwrap_or_default(),
    };
    counts.into_iter().map(row).collect()
}

/// How long each boat was with crews until a moment: from check-out to hand-back, or to the moment if she is still out.
///
/// A charter that was handed back without its check-out being told counts from the planned beginning, and one whose
/// hand-back is not told ends at the planned end at the latest.
pub fn exposure(standing: &Standing, until: Moment) -> BTreeMap<BoatId, Time> {
    let mut found: BTreeMap<BoatId, Time> =
        standing.boats.keys().map(|id| (id.clone(), Time::ZERO)).collect();
    for charter in standing.charters.values() {
        let plan = charter.plan.as_ref().map(|(_, plan)| plan);
        let back = charter.came_to(Stage::HandedBack);
        let out = charter.came_to(Stage::CheckedOut);
        let from = out.or_else(|| back.and(plan).map(|plan| plan.from.moment()));
        let Some(from) = from else { continue };
        let end = back.or_else(|| plan.map(|plan| plan.until.moment())).unwrap_or(until).min(until);
        *found.entry(charter.boat.clone()).or_default() += end.since(from).max(Time::ZERO);
    }
    found
}
