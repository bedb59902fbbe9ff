//! Small boats made up from a number, for property tests and benches.

use std::fmt::Write;

/// Numbers from a seed: xorshift64* (S. Vigna, ACM Transactions on Mathematical Software 42 (2016) 30).
pub(crate) struct Draw(u64);

impl Draw {
    pub(crate) fn new(seed: u64) -> Self {
        Self(seed.wrapping_mul(0x9E37_79B9_7F4A_7C15) | 1)
    }

    pub(crate) fn next(&mut self) -> u64 {
        self.0 ^= self.0 >> 12;
        self.0 ^= self.0 << 25;
        self.0 ^= self.0 >> 27;
        self.0.wrapping_mul(0x2545_F491_4F6C_DD1D) >> 11
    }

    /// From 0 up to, not including, `end`.
    pub(crate) fn below(&mut self, end: usize) -> usize {
        usize::try_from(self.next() % u64::try_from(end).unwrap()).unwrap()
    }

    /// From 0 to 1.
    pub(crate) fn uniform(&mut self) -> f64 {
        self.next() as f64 / (1_u64 << 53) as f64
    }
}

const HEAD: &str = "becket = 1
[boat]
name = \"Wader\"
hull = \"monohull\"
model = \"10 m sloop\"
rig = \"sloop\"
length = \"10 m\"
beam = \"3 m\"
draught = \"1.5 m\"
berths = 4
[places.saloon]
name = \"Saloon\"
level = \"below\"
aft = \"5 m\"
long = \"3 m\"
wide = \"2 m\"
";

/// A boat of so many controls, items with faults, and facts that rest on them and on each other.
pub(crate) fn boat(seed: u64, controls: usize, items: usize, facts: usize) -> String {
    let mut draw = Draw::new(seed);
    let mut text = HEAD.to_owned();
    for at in 0..items.max(controls).max(1) {
        writeln!(text, "[items.i{at}]\nname = \"Item {at}\"\nplace = \"saloon\"").unwrap();
    }
    for at in 0..controls {
        let third = if draw.below(3) == 0 { ", \"half\"" } else { "" };
        writeln!(text, "[controls.c{at}]\nname = \"Control {at}\"\nitem = \"i{at}\"\npositions = [\"off\", \"on\"{third}]\nrest = \"off\"").unwrap();
    }
    for at in 0..facts {
        let when = when(&mut draw, at, controls);
        let sound: Vec<String> =
            (0..items).filter(|_| draw.below(3) == 0).map(|item| format!("\"i{item}\"")).collect();
        writeln!(
            text,
            "[conditions.k{at}]\nname = \"Fact {at} holds.\"\nwhen = \"{when}\"\nitems = [{}]\nsymptom = \"Fact {at} fails.\"\nlook = \"Look at fact {at}.\"",
            sound.join(", ")
        )
        .unwrap();
    }
    for item in 0..items {
        for way in 0..draw.below(3) {
            let rate = 0.05 + draw.uniform() * 3.0;
            writeln!(
                text,
                "[faults.f{item}_{way}]\nname = \"Item {item} fails, way {way}\"\nitem = \"i{item}\"\nseen = \"Seen.\"\nper_year = {rate:.3}\ncheck = \"Look.\"\nmend = \"Mend it.\"\nsource = \"judgement\""
            )
            .unwrap();
        }
    }
    text
}

/// A fact over controls and earlier facts.
fn when(draw: &mut Draw, at: usize, controls: usize) -> String {
    let parts: Vec<String> = (0..=draw.below(3))
        .map(|_| {
            if at > 0 && draw.below(2) == 0 {
                let fact = format!("k{}", draw.below(at));
                if draw.below(6) == 0 { format!("not {fact}") } else { fact }
            } else {
                let control = draw.below(controls);
                let value = if draw.below(4) == 0 { "off" } else { "on" };
                format!("c{control} is {value}")
            }
        })
        .collect();
    let join = if draw.below(3) == 0 { " or " } else { " and " };
    parts.join(join)
}
