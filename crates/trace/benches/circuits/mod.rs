//! A boat made up for measuring: a hundred switches and a hundred items in circuits of ten with a common supply, all of
//! which bear on one symptom.

use std::fmt::Write;

/// The symptom that everything bears on.
pub(crate) const SYMPTOM: &str = "works";

/// Circuits; the first feeds the others.
const CIRCUITS: usize = 10;

/// Switches, and items, of a circuit.
const IN_ONE: usize = 10;

const HEAD: &str = "becket = 1
[boat]
name = \"Wader\"
hull = \"monohull\"
model = \"15 m sloop\"
rig = \"sloop\"
length = \"15 m\"
beam = \"4 m\"
draught = \"2 m\"
berths = 8
";

/// The boat file; always the same.
pub(crate) fn boat() -> String {
    let mut text = HEAD.to_owned();
    for circuit in 0..CIRCUITS {
        let reach = ["at hand", "lid", "boards"][circuit % 3];
        add(
            &mut text,
            &format!(
                "[places.p{circuit}]\nname = \"Place {circuit}\"\nlevel = \"below\"\nreach = \"{reach}\"\n\
                 aft = \"{circuit} m\"\nlong = \"1 m\"\nwide = \"1 m\""
            ),
        );
    }
    for at in 0..CIRCUITS * IN_ONE {
        item(&mut text, at);
    }
    for circuit in 0..CIRCUITS {
        fact(&mut text, circuit);
    }
    let all: Vec<String> = (1..CIRCUITS).map(|circuit| format!("k{circuit}")).collect();
    add(
        &mut text,
        &format!(
            "[conditions.{SYMPTOM}]\nname = \"All of it works.\"\nwhen = \"{}\"\nsymptom = \"It does not work.\"",
            all.join(" and ")
        ),
    );
    text
}

fn add(text: &mut String, row: &str) {
    // Writing to a string can't fail.
    let _ = writeln!(text, "{row}");
}

/// An item, its switch, and two ways in which it fails: from 0.005 to 0.05 a year, checked in 1 to 12 minutes.
fn item(text: &mut String, at: usize) {
    let place = at / IN_ONE;
    add(text, &format!("[items.i{at}]\nname = \"Item {at}\"\nplace = \"p{place}\""));
    add(
        text,
        &format!(
            "[controls.c{at}]\nname = \"Switch {at}\"\nitem = \"i{at}\"\npositions = [\"off\", \"on\"]\nrest = \"{}\"",
            if at % 10 == 0 { "off" } else { "on" }
        ),
    );
    for way in 0..2 {
        let rate = 0.005 * (1 + (at * 7 + way * 3) % 10) as f64;
        let takes = 1 + (at * 5 + way * 7) % 12;
        add(
            text,
            &format!(
                "[faults.f{at}_{way}]\nname = \"Item {at} fails, way {way}\"\nitem = \"i{at}\"\nseen = \"Seen.\"\n\
                 per_year = {rate:.3}\ncheck = \"Look.\"\ncheck_takes = \"{takes} min\"\nmend = \"Mend it.\"\n\
                 source = \"judgement\""
            ),
        );
    }
}

/// What a circuit feeds is live: all its switches on, its items sound, and the first circuit live.
fn fact(text: &mut String, circuit: usize) {
    let own = circuit * IN_ONE..(circuit + 1) * IN_ONE;
    let mut when: Vec<String> = own.clone().map(|at| format!("c{at} is on")).collect();
    if circuit > 0 {
        when.insert(0, "k0".to_owned());
    }
    let items: Vec<String> = own.map(|at| format!("\"i{at}\"")).collect();
    add(
        text,
        &format!(
            "[conditions.k{circuit}]\nname = \"Circuit {circuit} is live.\"\nwhen = \"{}\"\nitems = [{}]\n\
             look = \"Look at lamp {circuit}.\"",
            when.join(" and "),
            items.join(", ")
        ),
    );
}
