//! One integration binary: findings on small boats, slips, ways, properties on random boats, the demo boat.
#![allow(clippy::disallowed_methods, reason = "tests read the demo boat's file")]

mod findings;
mod random;
mod runs;
mod slips;
mod ways;
mod whimbrel;

use boat::model::Boat;

/// The head of every small boat: two places and one item.
const HEAD: &str = r#"
becket = 1
[boat]
name = "Wader"
hull = "monohull"
model = "9 m sloop"
rig = "sloop"
length = "9 m"
beam = "3 m"
draught = "1.5 m"
berths = 4
[places.cockpit]
name = "Cockpit"
level = "deck"
aft = "7 m"
long = "2 m"
wide = "2 m"
[items.motor]
name = "Motor"
place = "cockpit"
"#;

/// A small boat from the sections of a test.
fn boat(sections: &str) -> Boat {
    let text = format!("{HEAD}{sections}");
    let compiled = boat::compile("test.toml", &text);
    let told: String = compiled.diagnostics.iter().map(|found| found.plain(&compiled.sources)).collect();
    compiled.boat.unwrap_or_else(|| panic!("the test's boat does not compile:\n{told}"))
}

/// A lamp switch and a fuse: the smallest boat that does something.
const LAMP: &str = r#"
[controls.fuse]
name = "Fuse"
item = "motor"
positions = ["out", "in"]
rest = "out"
[controls.switch]
name = "Switch"
item = "motor"
positions = ["off", "on"]
rest = "off"
moves = [{ to = "on", needs = "fuse is in", fails = "It springs back." }]
[conditions.lit]
name = "The lamp burns."
when = "switch is on and fuse is in"
"#;
