//! Stores, sources, loads, modes and ground tackle of a random boat: keys that go together, of all kinds.

use super::{TIMES, Yard};

const PARTS: &[&str] = &["50 %", "0.8", "100 %", "0.1 %", "33.3 %"];
const VOLTAGES: &[&str] = &["12 V", "12.8 V", "24 V", "13300 mV"];
const TEMPERATURES: &[&str] = &["5 °C", "18 °C", "-4 °C", "77 °F", "290 K"];
const BEARINGS: &[&str] = &["5 mΩ", "0.05 Ω", "1e-4 ohm"];
const SPREADS: &[&str] = &["30 %", "0", "0.25"];
/// Times that fit into a day.
const SPANS: &[&str] = &["4 h", "12 min", "0 s", "1 h 30 min", "86400 s", "90 s"];
const ACTIVITIES: &[&str] = &["sailing", "motoring", "anchored", "moored", "alongside", "charging"];

const KINDS: &[&str] = &["battery", "water", "waste", "diesel", "gas"];
/// What each kind of store may hold.
const CAPACITIES: &[&[&str]] = &[
    &["400 Ah", "95.5 Ah", "230000 mAh"],
    &["200 L", "55 gal", "0.3 m³"],
    &["120 L", "20 imp gal"],
    &["110 L", "1e2 L"],
    &["4.5 kg", "20 lb", "907 g"],
];

impl Yard<'_, '_> {
    pub(super) fn all_stores(&mut self) {
        for at in 0..self.tape.below(6) {
            self.store(at);
        }
        for at in 0..self.tape.below(4) {
            self.source(at);
        }
        for at in 0..self.tape.below(6) {
            self.load(at);
        }
        for activity in ACTIVITIES {
            if self.tape.chance(3) {
                self.heading("modes", activity);
                let name = self.text();
                self.line("name", &name);
                self.maybe("holds", Self::assigns);
                self.maybe("rpm", |yard| yard.one_quoted(&["2200 rpm", "0 rpm"]));
                self.maybe("source", Self::text);
            }
        }
        for at in 0..self.tape.below(3) {
            self.tackle(at);
        }
    }

    fn maybe_quoted(&mut self, key: &str, of: &[&str]) {
        self.maybe(key, |yard| yard.one_quoted(of));
    }

    fn head(&mut self, section: &str, id: &str) {
        self.heading(section, id);
        let name = self.text();
        self.line("name", &name);
        if !self.items.is_empty() {
            self.maybe("item", |yard| yard.name_of(|yard| &yard.items));
        }
    }

    fn store(&mut self, at: usize) {
        let id = format!("store_{at}");
        let kind = self.tape.below(KINDS.len());
        self.head("stores", &id);
        self.line("kind", &format!("\"{}\"", KINDS[kind]));
        let capacity = self.one_quoted(CAPACITIES[kind]);
        self.line("capacity", &capacity);
        self.maybe("count", |yard| (*yard.tape.one(&["1", "2", "40"])).to_owned());
        self.maybe_quoted("usable", PARTS);
        self.maybe("gauge", Self::text);
        self.maybe_quoted("gauge_error", PARTS);
        if kind == 0 {
            let chemistry = self.one_quoted(&["flooded", "agm", "gel", "lfp"]);
            self.line("chemistry", &chemistry);
            self.maybe_quoted("voltage", VOLTAGES);
            self.maybe_quoted("health", PARTS);
            self.maybe_quoted("accepts", &["40 %", "1", "250 %"]);
            self.maybe_quoted("bulk", &["14.4 V", "28.8 V"]);
            self.maybe_quoted("float", &["13.5 V"]);
            self.maybe("in_per_out", |yard| (*yard.tape.one(&["1", "1.15", "3", "2.5e0"])).to_owned());
            self.maybe_quoted("resistance", BEARINGS);
        }
        self.maybe("source", Self::text);
        self.stores[kind].push(id);
    }

    fn source(&mut self, at: usize) {
        const KINDS: &[&str] = &["alternator", "charger", "solar", "shore", "inverter", "combiner"];
        let all = if self.stores[0].is_empty() { KINDS.len() - 1 } else { KINDS.len() };
        let kind = KINDS[self.tape.below(all)];
        self.head("sources", &format!("source_{at}"));
        self.line("kind", &format!("\"{kind}\""));
        let gives = match kind {
            "solar" | "inverter" => self.one_quoted(&["160 W", "1.5 kW", "2 hp"]),
            _ => self.one_quoted(&["60 A", "0.5 A", "115 A"]),
        };
        self.line("gives", &gives);
        self.maybe_quoted("share", PARTS);
        match kind {
            "combiner" => {
                for key in ["from", "into"] {
                    let bank = self.name_of(|yard| &yard.stores[0]);
                    self.line(key, &format!("[{bank}]"));
                }
                self.maybe_quoted("closes", VOLTAGES);
            }
            "inverter" => {
                self.maybe("from", |yard| yard.names_of(|yard| &yard.stores[0]));
                self.maybe_quoted("draws", &["50 W", "0 W"]);
            }
            "shore" => {}
            _ => self.maybe("into", |yard| yard.names_of(|yard| &yard.stores[0])),
        }
        self.maybe_quoted("voltage", &["14.2 V", "120 V", "230 V"]);
        self.maybe("when", |yard| yard.fact(2));
        self.maybe_quoted("give_or_take", SPREADS);
        self.maybe("source", Self::text);
    }

    fn load(&mut self, at: usize) {
        let kind = *self.tape.one(&["electric", "mains", "water", "waste", "diesel", "gas"]);
        self.head("loads", &format!("load_{at}"));
        if kind != "electric" || self.tape.chance(2) {
            self.line("kind", &format!("\"{kind}\""));
        }
        let timed = self.rate(kind);
        // What has no rate uses an amount, not a time.
        let ways: &[&str] = if timed {
            &["steady", "daily", "event", "dark", "thermostat", "engine"]
        } else {
            &["daily", "event"]
        };
        let runs = *self.tape.one(ways);
        self.line("runs", &format!("\"{runs}\""));
        self.way(runs, kind, timed);
        let (key, stores) = match kind {
            "waste" => ("into", 2),
            "water" => ("from", 1),
            "diesel" => ("from", 3),
            "gas" => ("from", 4),
            _ => ("from", 0),
        };
        if kind != "mains" {
            self.maybe(key, |yard| yard.names_of(|yard| &yard.stores[stores]));
        }
        self.maybe("when", |yard| yard.fact(2));
        self.maybe("during", |yard| {
            let some: Vec<&str> = ACTIVITIES.iter().copied().filter(|_| yard.tape.chance(2)).collect();
            format!("{some:?}")
        });
        self.maybe_quoted("do_without", &["at_night", "altogether"]);
        self.maybe_quoted("cable", BEARINGS);
        self.maybe_quoted("cuts_out", VOLTAGES);
        self.maybe_quoted("give_or_take", SPREADS);
        self.maybe("source", Self::text);
    }

    /// What it uses while it runs; whether that is written.
    fn rate(&mut self, kind: &str) -> bool {
        let (key, rates): (_, &[&str]) = match kind {
            "electric" | "mains" => ("draws", &["5 A", "60 W", "300 mA", "1.8 kW"]),
            "gas" => ("burns", &["150 g/h", "0.2 kg/h"]),
            _ => ("burns", &["2.5 L/h", "0.6 gal/h", "12 L/min"]),
        };
        let written = key == "draws" || self.tape.chance(2);
        if written {
            let rate = self.one_quoted(rates);
            self.line(key, &rate);
        }
        written
    }

    /// The keys that go with a way to run.
    fn way(&mut self, runs: &str, kind: &str, timed: bool) {
        match runs {
            "steady" => self.maybe_quoted("duty", PARTS),
            "daily" => {
                let both = self.tape.below(3);
                if both != 1 {
                    let amount = self.amount(kind, timed, SPANS);
                    self.line("a_day", &amount);
                }
                if both != 0 {
                    let amount = self.amount(kind, timed, SPANS);
                    self.line("a_day_each", &amount);
                }
                self.maybe_quoted("part_of_day", &["waking", "day", "evening", "meals"]);
            }
            "event" => {
                let per =
                    self.one_quoted(&["flush", "chain_metre", "berthing", "engine_start", "litre", "meal"]);
                self.line("per", &per);
                let amount = self.amount(kind, timed, TIMES);
                self.line("takes", &amount);
            }
            "thermostat" => {
                self.maybe_quoted("duty", PARTS);
                let (at, inside) = (self.one_quoted(TEMPERATURES), self.one_quoted(&["4 °C", "19 °C"]));
                self.line("duty_at", &at);
                self.line("inside", &inside);
                let constant = self.one_quoted(TIMES);
                self.line("time_constant", &constant);
            }
            "engine" => {
                let at = self.one_quoted(&["2200 rpm", "850 rpm"]);
                self.line("at", &at);
            }
            _ => {}
        }
    }

    /// A time if it has a rate, or the amount itself.
    fn amount(&mut self, kind: &str, rated: bool, times: &[&str]) -> String {
        let amounts: &[&str] = match kind {
            "electric" | "mains" => times,
            "gas" => &["45 g", "0.1 lb"],
            _ => &["6 L", "30 L", "1 gal", "0 L"],
        };
        if rated && self.tape.chance(2) { self.one_quoted(times) } else { self.one_quoted(amounts) }
    }

    fn tackle(&mut self, at: usize) {
        self.head("tackle", &format!("tackle_{at}"));
        self.maybe_quoted("chain", &["60 m", "0 m", "200 ft"]);
        self.maybe_quoted("chain_size", &["10 mm", "3 in"]);
        self.maybe_quoted("rope", &["40 m", "0 m"]);
        self.maybe_quoted("rope_size", &["14 mm"]);
        self.maybe_quoted("bow_height", &["1.4 m", "4 ft 7 in"]);
        self.maybe_quoted("holds", &["5 kN", "900 lbf"]);
        self.maybe("source", Self::text);
    }
}
