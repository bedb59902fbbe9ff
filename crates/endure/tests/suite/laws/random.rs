//! Random boats and trips, made from a tape of numbers so that they shrink.

use std::fmt::Write as _;

use boat::model::Boat;
use boat::trip::Trip;
use proptest::prelude::*;

/// Numbers that decide; past the end all of them are zero.
pub(crate) struct Tape<'t> {
    numbers: &'t [u32],
    next: usize,
}

impl<'t> Tape<'t> {
    pub(crate) fn new(numbers: &'t [u32]) -> Self {
        Self { numbers, next: 0 }
    }

    /// A number below `bound`.
    pub(crate) fn below(&mut self, bound: u32) -> u32 {
        let number = self.numbers.get(self.next).copied().unwrap_or(0);
        self.next += 1;
        number % bound
    }

    /// A number from `least` to `most`.
    pub(crate) fn from(&mut self, least: u32, most: u32) -> u32 {
        least + self.below(most - least + 1)
    }

    /// One of these.
    pub(crate) fn one<'a>(&mut self, of: &[&'a str]) -> &'a str {
        of[self.below(u32::try_from(of.len()).unwrap()) as usize]
    }

    /// Yes in one of `n` cases.
    pub(crate) fn chance(&mut self, n: u32) -> bool {
        self.below(n) == n - 1
    }
}

pub(crate) fn numbers() -> impl Strategy<Value = Vec<u32>> {
    prop::collection::vec(any::<u32>(), 40..400)
}

/// What a random boat has.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Has {
    /// Everything.
    All,
    /// No electric load, so that what the sources give can be summed up.
    NoElectricLoads,
    /// Nothing that switches by itself on what the bank does: no combiner, no cut-out, no thermostat.
    Steady,
}

pub(crate) const HEAD: &str = r#"becket = 1

[boat]
name = "Turnstone"
hull = "monohull"
model = "12 m sloop"
rig = "sloop"
length = "12 m"
beam = "4 m"
draught = "2 m"
berths = 6
most_rpm = "3000 rpm"
latitude = "43.9°"
longitude = "-69.6°"
utc_offset = "-4 h"

[places.cockpit]
name = "Cockpit"
level = "deck"
aft = "8 m"
long = "2.4 m"
wide = "2 m"

[items.engine]
name = "Engine"
place = "cockpit"

[states.motor]
name = "The engine"
item = "engine"
values = ["stopped", "running"]
rest = "stopped"
turns = [{ to = "running", when = "cord is out and cord is in" }]

[controls.cord]
item = "engine"
place = "cockpit"
positions = ["out", "in"]
rest = "out"
"#;

const MODES: &str = r#"
[modes.sailing]
name = "Under sail"
holds = ["motor is stopped", "cord is out"]

[modes.motoring]
name = "Under engine"
holds = ["motor is running", "cord is out"]
rpm = "2000 rpm"

[modes.anchored]
name = "At anchor"
holds = ["motor is stopped", "cord is out"]

[modes.alongside]
name = "Alongside"
holds = ["cord is in"]

[modes.charging]
name = "Charging at anchor"
holds = ["motor is running"]
rpm = "1500 rpm"
"#;

struct Made {
    text: String,
    banks: Vec<String>,
    tanks: Vec<String>,
    loads: Vec<String>,
    inlet: bool,
}

/// A boat and a trip.
pub(crate) struct Sea {
    pub(crate) boat: Boat,
    pub(crate) trip: Trip,
    pub(crate) text: String,
}

/// A boat file that must be sound, read.
pub(crate) fn boat(text: &str) -> Boat {
    let compiled = boat::compile("boat.toml", text);
    let said: Vec<String> = compiled.diagnostics.iter().map(|found| found.plain(&compiled.sources)).collect();
    compiled.boat.unwrap_or_else(|| panic!("{}\n{text}", said.join("\n")))
}

/// A plan that must be sound, read.
pub(crate) fn trip(text: &str) -> Trip {
    let read = boat::trip::compile("plan.toml", text);
    let said: Vec<String> = read.diagnostics.iter().map(|found| found.plain(&read.sources)).collect();
    read.trip.unwrap_or_else(|| panic!("{}\n{text}", said.join("\n")))
}

pub(crate) fn sea(numbers: &[u32], has: Has) -> Sea {
    let mut tape = Tape::new(numbers);
    let made = stores(&mut tape, has);
    let plan = plan(&mut tape, &made);
    let text = format!("{}\n{plan}", made.text);
    Sea { boat: boat(&made.text), trip: trip(&plan), text }
}

fn stores(tape: &mut Tape<'_>, has: Has) -> Made {
    let mut made =
        Made { text: HEAD.to_owned(), banks: Vec::new(), tanks: Vec::new(), loads: Vec::new(), inlet: false };
    let volts = tape.one(&["12", "12", "24"]);
    for at in 0..tape.from(1, 3) {
        let (chemistry, most) = (tape.one(&["agm", "flooded", "gel", "lfp"]), tape.from(60, 600));
        let id = format!("bank{at}");
        let _ = write!(
            made.text,
            "\n[stores.{id}]\nname = \"Bank {at}\"\nkind = \"battery\"\nchemistry = \"{chemistry}\"\nvoltage = \"{volts} V\"\ncapacity = \"{most} Ah\"\nusable = \"{} %\"\n",
            tape.from(40, 90)
        );
        if tape.chance(2) {
            let _ = writeln!(made.text, "health = \"{} %\"", tape.from(60, 100));
        }
        if tape.chance(3) {
            let _ = writeln!(made.text, "accepts = \"{} %\"", tape.from(10, 60));
        }
        made.banks.push(id);
    }
    for (kind, unit, least, most) in
        [("water", "L", 60, 400), ("waste", "L", 30, 120), ("diesel", "L", 40, 200), ("gas", "kg", 2, 10)]
    {
        for at in 0..tape.from(u32::from(kind == "water"), 2) {
            let id = format!("{kind}{at}");
            let _ = write!(
                made.text,
                "\n[stores.{id}]\nname = \"{kind} {at}\"\nkind = \"{kind}\"\ncapacity = \"{} {unit}\"\nusable = \"{} %\"\ncount = {}\n",
                tape.from(least, most),
                tape.from(60, 100),
                if kind == "gas" { tape.from(1, 3) } else { 1 }
            );
            made.tanks.push(id);
        }
    }
    sources(tape, &mut made, has, volts);
    if has != Has::NoElectricLoads {
        for at in 0..tape.from(1, 8) {
            electric(tape, &mut made, has, at, volts);
        }
    }
    for kind in ["water", "waste", "diesel", "gas"] {
        if made.tanks.iter().any(|tank| tank.starts_with(kind)) {
            for at in 0..tape.from(1, 2) {
                liquid(tape, &mut made, kind, at);
            }
        }
    }
    if !tape.chance(4) {
        made.text.push_str(MODES);
    }
    made
}

/// Some of the banks, in order, at least one.
fn some(tape: &mut Tape<'_>, banks: &[String]) -> String {
    let mut named: Vec<String> =
        banks.iter().filter(|_| tape.chance(2)).map(|bank| format!("\"{bank}\"")).collect();
    if named.is_empty() {
        named.push(format!("\"{}\"", banks[tape.below(u32::try_from(banks.len()).unwrap()) as usize]));
    }
    named.join(", ")
}

fn sources(tape: &mut Tape<'_>, made: &mut Made, has: Has, volts: &str) {
    let charging = if volts == "24" { "28.4" } else { "14.2" };
    for at in 0..tape.below(3) {
        let into = some(tape, &made.banks);
        let _ = write!(
            made.text,
            "\n[sources.alternator{at}]\nname = \"Alternator\"\nkind = \"alternator\"\ngives = \"{} A\"\ninto = [{into}]\nwhen = \"motor is running\"\nvoltage = \"{charging} V\"\n",
            tape.from(35, 150)
        );
    }
    if tape.chance(2) {
        made.inlet = true;
        let _ = write!(
            made.text,
            "\n[sources.shore]\nname = \"Shore power\"\nkind = \"shore\"\ngives = \"30 A\"\nvoltage = \"120 V\"\n"
        );
        let into = some(tape, &made.banks);
        let _ = write!(
            made.text,
            "\n[sources.charger]\nname = \"Charger\"\nkind = \"charger\"\ngives = \"{} A\"\ninto = [{into}]\n",
            tape.from(10, 80)
        );
    }
    for at in 0..tape.below(3) {
        let into = some(tape, &made.banks);
        let _ = write!(
            made.text,
            "\n[sources.solar{at}]\nname = \"Panel\"\nkind = \"solar\"\ngives = \"{} W\"\ninto = [{into}]\n",
            tape.from(50, 600)
        );
    }
    if tape.chance(2) && has != Has::NoElectricLoads {
        let _ = write!(
            made.text,
            "\n[sources.inverter]\nname = \"Inverter\"\nkind = \"inverter\"\ngives = \"1500 W\"\ndraws = \"30 W\"\n"
        );
    }
    if has != Has::Steady {
        for (at, pair) in made.banks.clone().windows(2).enumerate() {
            if tape.chance(2) {
                // Chains of combiners either way.
                let (from, into) = if tape.chance(2) { (&pair[0], &pair[1]) } else { (&pair[1], &pair[0]) };
                let _ = write!(
                    made.text,
                    "\n[sources.combiner{at}]\nname = \"Combiner\"\nkind = \"combiner\"\ngives = \"100 A\"\nfrom = [\"{from}\"]\ninto = [\"{into}\"]\ncloses = \"{charging} V\"\n"
                );
            }
        }
    }
}

fn electric(tape: &mut Tape<'_>, made: &mut Made, has: Has, at: u32, volts: &str) {
    let id = format!("load{at}");
    let mains = tape.chance(6);
    let _ = write!(made.text, "\n[loads.{id}]\nname = \"Load {at}\"\n");
    if mains {
        let _ = write!(made.text, "kind = \"mains\"\ndraws = \"{} W\"\n", tape.from(40, 1800));
    } else {
        let bank = tape.below(u32::try_from(made.banks.len()).unwrap()) as usize;
        let _ = writeln!(made.text, "from = [\"{}\"]", made.banks[bank]);
        let _ = if tape.chance(3) {
            writeln!(made.text, "draws = \"{} W\"", tape.from(2, 80))
        } else {
            writeln!(made.text, "draws = \"{} mA\"", tape.from(100, 8000))
        };
    }
    let thermostats = if has == Has::Steady { 5 } else { 6 };
    match tape.below(thermostats) {
        0 => {
            let _ = write!(made.text, "runs = \"steady\"\nduty = \"{} %\"\n", tape.from(5, 60));
        }
        1 => {
            let part = tape.one(&["waking", "day", "evening", "meals"]);
            let key = tape.one(&["a_day", "a_day_each"]);
            let _ = write!(
                made.text,
                "runs = \"daily\"\n{key} = \"{} min\"\npart_of_day = \"{part}\"\n",
                tape.from(5, 240)
            );
        }
        2 => made.text.push_str("runs = \"dark\"\n"),
        3 => {
            let per = tape.one(&["flush", "litre", "meal"]);
            let _ =
                write!(made.text, "runs = \"event\"\nper = \"{per}\"\ntakes = \"{} s\"\n", tape.from(5, 90));
        }
        4 => {
            let per = tape.one(&["chain_metre", "berthing", "engine_start"]);
            let _ =
                write!(made.text, "runs = \"event\"\nper = \"{per}\"\ntakes = \"{} s\"\n", tape.from(1, 30));
        }
        _ => {
            let (inside, duty_at) = if tape.chance(3) { (20, 5) } else { (tape.from(2, 8), 25) };
            let _ = write!(
                made.text,
                "runs = \"thermostat\"\nduty = \"{} %\"\nduty_at = \"{duty_at} °C\"\ninside = \"{inside} °C\"\ntime_constant = \"{} h\"\n",
                tape.from(20, 70),
                tape.from(2, 12)
            );
        }
    }
    if !mains && has == Has::All && tape.chance(4) {
        let _ = writeln!(made.text, "cuts_out = \"{} V\"", if volts == "24" { "21.2" } else { "10.6" });
    }
    conditions(tape, made);
    made.loads.push(id);
}

fn conditions(tape: &mut Tape<'_>, made: &mut Made) {
    if tape.chance(4) {
        let fact = tape.one(&["motor is running", "motor is stopped", "cord is in", "not (cord is in)"]);
        let _ = writeln!(made.text, "when = \"{fact}\"");
    }
    if tape.chance(4) {
        let during = tape.one(&["\"sailing\", \"motoring\"", "\"anchored\", \"moored\"", "\"alongside\""]);
        let _ = writeln!(made.text, "during = [{during}]");
    }
    if tape.chance(2) {
        let _ = writeln!(made.text, "do_without = \"{}\"", tape.one(&["at_night", "altogether"]));
    }
}

fn liquid(tape: &mut Tape<'_>, made: &mut Made, kind: &str, at: u32) {
    let id = format!("{kind}_load{at}");
    let _ = write!(made.text, "\n[loads.{id}]\nname = \"{kind} use {at}\"\nkind = \"{kind}\"\n");
    let _ = match (kind, tape.below(3)) {
        ("water", 0) => write!(made.text, "runs = \"daily\"\na_day = \"{} L\"\n", tape.from(1, 60)),
        ("water", 1) => {
            write!(made.text, "runs = \"event\"\nper = \"meal\"\ntakes = \"{} L\"\n", tape.from(1, 8))
        }
        ("water", _) => write!(made.text, "runs = \"daily\"\na_day_each = \"{} L\"\n", tape.from(5, 40)),
        ("waste", _) => {
            write!(made.text, "runs = \"event\"\nper = \"flush\"\ntakes = \"{} L\"\n", tape.from(1, 8))
        }
        ("diesel", 0) => write!(
            made.text,
            "runs = \"thermostat\"\nburns = \"0.3 L/h\"\nduty = \"50 %\"\nduty_at = \"5 °C\"\ninside = \"20 °C\"\ntime_constant = \"1 h\"\n"
        ),
        ("diesel", _) => {
            write!(made.text, "runs = \"engine\"\nburns = \"{}.5 L/h\"\nat = \"2200 rpm\"\n", tape.from(1, 5))
        }
        (_, 0) => {
            write!(made.text, "runs = \"event\"\nper = \"meal\"\ntakes = \"{} g\"\n", tape.from(20, 150))
        }
        _ => write!(
            made.text,
            "runs = \"daily\"\na_day_each = \"{} g\"\npart_of_day = \"meals\"\n",
            tape.from(10, 80)
        ),
    };
    made.loads.push(id);
}

fn plan(tape: &mut Tape<'_>, made: &Made) -> String {
    let days = tape.from(2, 5);
    let mut text = format!(
        "trip = 1\n\n[plan]\ncrew = {}\nstarts = 20{}-0{}-{}\nfrom = \"15:{}\"\nuntil = \"10:{}\"\ncloud = \"{} %\"\n",
        tape.from(1, 8),
        tape.from(25, 40),
        tape.from(4, 9),
        tape.from(10, 28),
        tape.from(10, 59),
        tape.from(10, 59),
        tape.from(0, 100)
    );
    let low = tape.from(2, 20);
    let _ = write!(text, "low = \"{low} °C\"\nhigh = \"{} °C\"\n", low + tape.from(0, 15));
    let levels: Vec<String> = made
        .banks
        .iter()
        .chain(&made.tanks)
        .filter(|_| tape.chance(2))
        .cloned()
        .collect::<Vec<_>>()
        .into_iter()
        .map(|store| format!("{{ store = \"{store}\", level = \"{} %\" }}", tape.from(20, 100)))
        .collect();
    let _ = writeln!(text, "levels = [{}]", levels.join(", "));
    for key in ["off", "off_at_night"] {
        let named: Vec<String> =
            made.loads.iter().filter(|_| tape.chance(8)).map(|load| format!("\"{load}\"")).collect();
        let _ = writeln!(text, "{key} = [{}]", named.join(", "));
    }
    for day in 0..days {
        let (from, to) = if day == 0 {
            (16 * 60, 22 * 60)
        } else if day + 1 == days {
            (8 * 60, 10 * 60)
        } else {
            (8 * 60, 20 * 60)
        };
        self::day(tape, &mut text, (from, to), made.inlet);
    }
    text
}

fn clock(minute: u32) -> String {
    format!("{:02}:{:02}", minute / 60, minute % 60)
}

fn day(tape: &mut Tape<'_>, text: &mut String, (mut from, to): (u32, u32), inlet: bool) {
    text.push_str("\n[[days]]\n");
    for (key, most) in [("legs", 4), ("engine", 3)] {
        let mut rows = Vec::new();
        for _ in 0..tape.below(most) {
            let (begins, lasts) = (from + tape.from(0, 60), tape.from(5, 200));
            if begins + lasts > to {
                break;
            }
            let by = tape.one(&["sail", "motor"]);
            let by = if key == "legs" { format!("by = \"{by}\", ") } else { String::new() };
            rows.push(format!("{{ {by}from = \"{}\", for = \"{lasts} min\" }}", clock(begins)));
            from = begins + lasts;
        }
        let _ = writeln!(text, "{key} = [{}]", rows.join(", "));
    }
    let night = tape.one(&["anchored", "moored", "alongside"]);
    let _ = writeln!(text, "night = \"{night}\"");
    if night == "alongside" && inlet && !tape.chance(3) {
        let _ = writeln!(text, "pedestal = \"{} A\"", tape.from(4, 40));
    }
    for key in ["water", "pump_out", "fuel", "gas"] {
        if tape.chance(5) {
            let _ = writeln!(text, "{key} = true");
        }
    }
    if tape.chance(3) {
        let _ = writeln!(text, "cloud = \"{} %\"", tape.from(0, 100));
    }
}
