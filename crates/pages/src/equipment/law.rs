//! What the law asks for and is aboard, for the briefing: the crew must be shown where it is.

use std::collections::BTreeMap;

use boat::model::Boat;
use brief::Law;
use jiff::civil::Date;
use rules::{Authority, Carried, Crew, Dates, Inquiry, Standing, Vessel, check};

use crate::authority::usual;

/// What the authority of her flag asks for and she has aboard; nothing if nothing is known of its rules.
pub fn law_of(boat: &Boat) -> Vec<Law> {
    usual(boat).map_or_else(Vec::new, |authority| law(boat, authority))
}

/// What an authority, and those within which it is, ask for and she has aboard, each thing once.
///
/// For as many people as she has berths; what is not said of her or of her use counts as asking for it. Ground tackle is
/// left out: it is no single thing to point at, and its own topics show it.
fn law(boat: &Boat, authority: &Authority) -> Vec<Law> {
    let inquiry = Inquiry {
        vessel: Vessel::of(boat),
        crew: Crew { adults: boat.particulars.berths, children: Vec::new() },
        // Where a thing is does not depend on its date.
        dates: Dates::new(Date::MIN, Date::MIN),
        waters: None,
        aboard: Carried::of(boat),
    };
    let mut found: BTreeMap<String, Law> = BTreeMap::new();
    for authority in authority.chain() {
        let findings = check(authority, &inquiry).findings;
        let asked = findings.iter().filter(|finding| finding.standing != Standing::NotRequired);
        for used in asked.flat_map(|finding| &finding.needs).flat_map(|need| &need.uses) {
            if let Some(law) = thing(boat, &used.id) {
                found.entry(used.id.clone()).or_insert(law);
            }
        }
    }
    found.into_values().collect()
}

/// The kit line or the item of a name as the rules give it.
fn thing(boat: &Boat, id: &str) -> Option<Law> {
    if let Some(line) = id.strip_prefix("kit.") {
        let line = boat.kit.iter().find(|row| row.id == line)?;
        return Some(Law { name: line.name.clone(), item: None, place: line.place });
    }
    let item = id.strip_prefix("items.")?;
    let (id, item) = boat.items.iter_ids().find(|(_, row)| row.id == item)?;
    Some(Law { name: item.name.clone(), item: Some(id), place: item.place })
}
