//! What the law asks for and is aboard, for the briefing: the crew must be shown where it is.

use std::collections::BTreeMap;

use boat::model::{Boat, Gear, KitLine, Subject};
use brief::Law;
use jiff::civil::Date;
use rules::{Authority, Carried, Crew, Dates, Inquiry, Section, Standing, Vessel, check};

use crate::authority::usual;

/// What people must be able to lay hands on: the rest of what a law asks for need not be shown to a crew.
const SHOWN: [Section; 3] = [Section::LifeSaving, Section::Signals, Section::Fire];

/// What the authority of her flag asks for and she has aboard, as far as a crew must find it and no written topic shows it
/// in its place; nothing if nothing is known of the rules of that flag.
pub fn law_of(boat: &Boat) -> Vec<Law> {
    usual(boat).map_or_else(Vec::new, |authority| law(boat, authority))
}

/// The same by an authority and those within which it is, each thing once.
///
/// For as many people as she has berths; what is not said of her or of her use counts as asking for it.
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
        let asked = findings
            .iter()
            .filter(|finding| finding.standing != Standing::NotRequired && SHOWN.contains(&finding.section));
        for used in asked.flat_map(|finding| &finding.needs).flat_map(|need| &need.uses) {
            if let Some(law) = thing(boat, &used.id) {
                found.entry(used.id.clone()).or_insert(law);
            }
        }
    }
    found.into_values().collect()
}

/// The item of a name as the rules give it, or the kit line if no written topic of its subject shows it where it lies.
fn thing(boat: &Boat, id: &str) -> Option<Law> {
    if let Some(line) = id.strip_prefix("kit.") {
        let line = boat.kit.iter().find(|row| row.id == line)?;
        return (!is_shown(boat, line)).then(|| Law {
            name: line.name.clone(),
            item: None,
            place: line.place,
        });
    }
    let item = id.strip_prefix("items.")?;
    let (id, item) = boat.items.iter_ids().find(|(_, row)| row.id == item)?;
    Some(Law { name: item.name.clone(), item: Some(id), place: item.place })
}

/// Whether a written topic about such things stands, or points at something, in the line's place. A kit line is no item,
/// so no topic can point at it itself.
fn is_shown(boat: &Boat, line: &KitLine) -> bool {
    let subjects: Vec<Subject> = line.counts_as.iter().map(|gear| subject(*gear)).collect();
    boat.topics.iter().any(|topic| {
        let there = topic.place == Some(line.place)
            || topic.items.iter().any(|item| boat.items[*item].place == line.place);
        there && topic.about.iter().any(|about| subjects.contains(about))
    })
}

/// What a topic that shows such a thing is about.
fn subject(gear: Gear) -> Subject {
    match gear {
        Gear::LifejacketAdult | Gear::LifejacketChild => Subject::Lifejackets,
        Gear::Lifebuoy
        | Gear::LifebuoyLight
        | Gear::LifebuoyLine15
        | Gear::LifebuoyLine30
        | Gear::HeavingLine15
        | Gear::HeavingLine30
        | Gear::LiftingHarness
        | Gear::Reboarding => Subject::ManOverboard,
        Gear::FlareRocket
        | Gear::FlareStars
        | Gear::FlareHand
        | Gear::FlareSmoke
        | Gear::DistressLight
        | Gear::DistressFlag
        | Gear::Epirb
        | Gear::Plb => Subject::DistressSignals,
        Gear::Extinguisher5bc
        | Gear::Extinguisher10bc
        | Gear::Extinguisher20bc
        | Gear::FixedFireSystem
        | Gear::Axe
        | Gear::Bucket10
        | Gear::FirePump => Subject::Fire,
        _ => Subject::SafetyEquipment,
    }
}
