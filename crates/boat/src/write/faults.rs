//! Faults.

use super::behaviour::who_word;
use super::parts::hazard_word;
use super::{Out, ids, list, number};
use crate::model::{Boat, Fault};
use quantity::Ratio;

pub(super) fn faults(boat: &Boat, out: &mut Out) {
    for fault in &boat.faults {
        out.heading("faults", &fault.id);
        fault_keys(boat, fault, out);
    }
}

fn fault_keys(boat: &Boat, fault: &Fault, out: &mut Out) {
    out.text("name", &fault.name);
    out.text("item", &boat.items[fault.item].id);
    out.text("seen", &fault.seen);
    out.raw("per_year", &number(fault.per_year));
    out.raw("weight", &number(fault.weight));
    // Nothing stopped is said too: else it would stand for all that needs the item.
    out.raw("stops", &list(&ids(&boat.conditions, &fault.stops, |row| &row.id)));
    out.maybe("means", fault.means.as_ref().map(|means| boat.assign_text(means)).as_deref());
    out.maybe("check", fault.check.as_deref());
    out.shown("check_takes", fault.check_takes.as_ref());
    out.text("check_who", who_word(fault.check_who));
    out.shown("sure", Some(&Ratio::plain(fault.sure)));
    out.texts("tools", &fault.tools);
    out.maybe("mend", fault.mend.as_deref());
    out.maybe("mend_by", fault.mend_by.map(|id| boat.procedures[id].id.as_str()));
    out.shown("mend_takes", fault.mend_takes.as_ref());
    out.text("mend_who", who_word(fault.mend_who));
    out.maybe("danger", fault.danger.map(hazard_word));
    out.maybe("emergency", fault.emergency.map(|id| boat.procedures[id].id.as_str()));
    out.texts("parts", &fault.parts);
    out.maybe("source", fault.source.as_deref());
}
