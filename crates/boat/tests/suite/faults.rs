//! Faults as the engines read them: what they stop, who checks and mends them, and that boats differ in them.

use boat::model::{Boat, Fault, Hazard, Id, ItemId, Who};
use boat::{class_text, classes, write};
use quantity::Time;
use toml_edit::{DocumentMut, Item as Toml, TableLike};

use crate::cases::sound;
use crate::library::fixture;
use crate::round_trip::sound_boat;

/// The sound boat with an emergency list, a condition that needs the engine sound, and these lines.
fn boat_with(lines: &str) -> Boat {
    let more = r#"
[conditions.turns]
name = "The engine turns."
when = "motor is running"
items = ["engine"]
look = "The needle of the engine speed stands above nothing."

[procedures.flood]
name = "Water comes in"
emergency = true
signs = ["Water over the floorboards", "The bilge alarm sounds"]
goal = "seacock is shut"
steps = [{ set = "seacock", to = "shut" }]
"#;
    sound_boat("dunlin.toml", &format!("{}{more}{lines}", sound())).unwrap_or_else(|said| panic!("{said}"))
}

const NEEDED: &str = r#"
[faults.first]
name = "The engine is seized"
item = "engine"
seen = "It does not turn."
per_year = 0.02
"#;

/// The only fault of the boat with the needed keys of a fault and these.
fn fault(lines: &str) -> (Boat, Fault) {
    let boat = boat_with(&format!("{NEEDED}{lines}"));
    let only = boat.faults[boat.fault("first").unwrap()].clone();
    (boat, only)
}

#[test]
fn what_is_not_written_has_its_usual_value() {
    let (boat, fault) = fault("");
    assert_eq!(fault.name, "The engine is seized");
    assert_eq!(Some(fault.item), boat.item("engine"));
    assert!((fault.per_year - 0.02).abs() < 1e-12);
    assert!((fault.weight - 1.0).abs() < 1e-12);
    assert!((fault.sure - 0.95).abs() < 1e-12);
    assert_eq!(fault.stops, [boat.condition("turns").unwrap()], "all that needs the engine sound");
    assert_eq!((fault.check_who, fault.mend_who), (Who::Crew, Who::Base), "nobody says how to mend it");
    assert_eq!((fault.means, fault.danger, fault.emergency), (None, None, None));
}

#[test]
fn all_keys_are_read() {
    let (boat, fault) = fault(
        r#"
weight = 4
stops = ["panel_live"]
means = "seacock is shut"
check = "Try to turn it by hand."
check_takes = "5 min"
check_who = "skipper"
sure = "80 %"
tools = ["spanner 19 mm"]
mend = "Free it."
mend_by = "start_engine"
mend_takes = "2 h"
mend_who = "skipper"
emergency = "flood"
parts = ["impeller"]
source = "judgement"
"#,
    );
    assert!((fault.weight - 4.0).abs() < 1e-12);
    assert!((fault.sure - 0.8).abs() < 1e-12);
    assert_eq!(fault.stops, [boat.condition("panel_live").unwrap()]);
    let means = fault.means.unwrap();
    assert_eq!(boat.value_words(means.var, means.value), "Seacock: shut");
    assert_eq!(fault.check.as_deref(), Some("Try to turn it by hand."));
    assert_eq!(fault.check_takes, Some(Time::minutes(5.0)));
    assert_eq!(fault.tools, ["spanner 19 mm"]);
    assert_eq!(fault.mend.as_deref(), Some("Free it."));
    assert_eq!(fault.mend_by, boat.procedure("start_engine"));
    assert_eq!(fault.mend_takes, Some(Time::hours(2.0)));
    assert_eq!((fault.check_who, fault.mend_who), (Who::Skipper, Who::Skipper));
    assert_eq!(fault.emergency, boat.procedure("flood"));
    assert_eq!(fault.parts, ["impeller"]);
    assert_eq!(fault.source.as_deref(), Some("judgement"));
}

#[test]
fn a_fault_that_is_a_position_stops_nothing_beside_it() {
    assert!(fault("means = \"seacock is shut\"").1.stops.is_empty());
    assert!(fault("stops = []").1.stops.is_empty(), "nothing is written, so nothing is stopped");
}

#[test]
fn who_can_mend_hangs_on_the_mend_and_on_the_danger() {
    assert_eq!(fault("mend = \"Free it.\"").1.mend_who, Who::Crew);
    assert_eq!(fault("mend_by = \"start_engine\"").1.mend_who, Who::Crew);
    let (_, dangerous) = fault("mend = \"Free it.\"\ndanger = \"gas\"");
    assert_eq!(dangerous.danger, Some(Hazard::Gas));
    assert_eq!((dangerous.check_who, dangerous.mend_who), (Who::Base, Who::Base));
    assert_eq!(fault("danger = \"mains\"\ncheck_who = \"base\"").1.check_who, Who::Base);
}

#[test]
fn what_is_seen_of_a_condition_and_what_calls_for_a_list_are_read() {
    let boat = boat_with("");
    let looks = |id: &str| boat.conditions[boat.condition(id).unwrap()].look.clone();
    assert_eq!(looks("turns").as_deref(), Some("The needle of the engine speed stands above nothing."));
    assert_eq!(looks("panel_live"), None);
    let flood = &boat.procedures[boat.procedure("flood").unwrap()];
    assert_eq!(flood.signs, ["Water over the floorboards", "The bilge alarm sounds"]);
}

#[test]
fn the_faults_of_every_class_are_those_of_its_item() {
    let mut faults = 0;
    for class in classes() {
        let document: DocumentMut = class_text(class).unwrap().parse().unwrap();
        let written = document.get("faults").and_then(Toml::as_table_like).map_or(0, TableLike::len);
        let boat = sound_boat("fixture.toml", &fixture(&[class])).unwrap_or_else(|said| panic!("{said}"));
        let item: ItemId = boat.item(class).unwrap();
        assert_eq!(boat.faults.iter().filter(|fault| fault.item == item).count(), written, "{class}");
        faults += written;
    }
    assert!(faults > 20, "the library knows how things fail: {faults}");
}

#[test]
fn a_class_fault_is_typed() {
    let boat = sound_boat("fixture.toml", &fixture(&["seacock"])).unwrap();
    let stuck = &boat.faults[boat.fault("seacock_stuck").unwrap()];
    assert_eq!(Some(stuck.item), boat.item("seacock"));
    let document: DocumentMut = class_text("seacock").unwrap().parse().unwrap();
    let row = document["faults"]["<self>_stuck"].as_table_like().unwrap();
    let written = row.get("per_year").and_then(Toml::as_float).unwrap();
    assert!((stuck.per_year - written).abs() < 1e-12);
    assert_eq!(row.get("seen").and_then(Toml::as_str), Some(stuck.seen.as_str()));
}

#[test]
fn boats_that_differ_in_one_entry_differ() {
    let boat = boat_with(NEEDED);
    let printed = write(&boat);
    for heading in
        ["stores.gas", "sources.generator", "loads.fridge", "modes.motoring", "tackle.bower", "faults.first"]
    {
        let heading = format!("\n[{heading}]\n");
        let start = printed.find(&heading).unwrap() + heading.len();
        let (before, entry) = printed.split_at(start);
        let other = format!("{before}{}", entry.replacen("name = \"", "name = \"Another ", 1));
        assert!(sound_boat("other.toml", &other).unwrap() != boat, "{heading}");
    }
    let twin = sound_boat("twin.toml", &printed).unwrap();
    assert!(twin == boat);
    assert_eq!(boat.faults.ids().map(Id::index).collect::<Vec<_>>(), [0]);
}
