//! Random sound boat files, each written from a random structure: names that exist, facts that fit.

mod behaviour;
mod papers;
mod stores;

use std::fmt::Write as _;

use crate::tape::Tape;

const TEXTS: &[&str] = &[
    "House switch",
    "Kühlschrank \"Eisbär\"",
    "a \\ b",
    "It's on",
    "line\nline two",
    "tab\there",
    "\"\"\"",
    "'''",
    "冷蔵庫",
    " spaced ",
    "\u{7f}",
    "x = [1, 2] # no remark",
    "é\u{301}",
    "\u{1F6A4}",
    "one\r\ntwo\r",
];
const TIMES: &[&str] = &["3 s", "1 h 30 min", "0.5 s", "10 min", "2 days", "1e-3 s", "90 min"];
const VOLTS: &[&str] = &["12.8 V", "0 V", "-0.3 V", "230 V", "0.1 mV", "12.199999 V"];

/// The file so far and the names that it has.
struct Yard<'t, 'n> {
    tape: &'t mut Tape<'n>,
    out: String,
    places: Vec<String>,
    items: Vec<String>,
    cautions: Vec<String>,
    actions: Vec<String>,
    procedures: Vec<String>,
    /// Those of the procedures that are for an emergency.
    alarms: Vec<String>,
    /// Controls and states with their values and whether they read volts.
    controls: Vec<(String, Vec<&'static str>, bool)>,
    states: Vec<(String, Vec<&'static str>, bool)>,
    conditions: Vec<String>,
    readings: Vec<String>,
    /// Items with a limit of the longest run.
    limited: Vec<String>,
    /// Batteries, water, waste and diesel tanks, gas bottles.
    stores: [Vec<String>; 5],
}

/// The text of a random sound boat.
pub(crate) fn random_boat(tape: &mut Tape<'_>) -> String {
    let mut yard = Yard {
        tape,
        out: "becket = 1\n".into(),
        places: Vec::new(),
        items: Vec::new(),
        cautions: Vec::new(),
        actions: Vec::new(),
        procedures: Vec::new(),
        alarms: Vec::new(),
        controls: Vec::new(),
        states: Vec::new(),
        conditions: Vec::new(),
        readings: Vec::new(),
        limited: Vec::new(),
        stores: Default::default(),
    };
    yard.particulars();
    yard.cautions();
    yard.places();
    yard.items();
    yard.vars();
    yard.facts();
    yard.all_stores();
    yard.actions();
    yard.procedures();
    yard.papers();
    yard.out
}

impl Yard<'_, '_> {
    fn heading(&mut self, section: &str, id: &str) {
        let _ = writeln!(self.out, "\n[{section}.{id}]");
    }

    fn line(&mut self, key: &str, value: &str) {
        let _ = writeln!(self.out, "{key} = {value}");
    }

    fn maybe(&mut self, key: &str, value: impl FnOnce(&mut Self) -> String) {
        if self.tape.chance(2) {
            let value = value(self);
            self.line(key, &value);
        }
    }

    fn text(&mut self) -> String {
        quoted(self.tape.one(TEXTS))
    }

    fn one_quoted(&mut self, of: &[&str]) -> String {
        quoted(self.tape.one(of))
    }

    fn name_of(&mut self, list: impl Fn(&Self) -> &Vec<String>) -> String {
        let names = list(self).clone();
        quoted(self.tape.one(&names))
    }

    fn names_of(&mut self, list: impl Fn(&Self) -> &Vec<String>) -> String {
        let names = list(self).clone();
        let count = if names.is_empty() { 0 } else { self.tape.below(3) };
        let some: Vec<String> = (0..count).map(|_| quoted(self.tape.one(&names))).collect();
        format!("[{}]", some.join(", "))
    }

    fn flag(&mut self) -> String {
        self.tape.chance(2).to_string()
    }

    fn particulars(&mut self) {
        self.out.push_str("\n[boat]\n");
        let name = self.text();
        self.line("name", &name);
        let hull = self.one_quoted(&["monohull", "catamaran"]);
        self.line("hull", &hull);
        let model = self.text();
        self.line("model", &model);
        self.line("rig", "\"sloop\"");
        let length = self.one_quoted(&["13 m", "42 ft 6 in", "12.345 m"]);
        self.line("length", &length);
        self.line("beam", "\"4.1 m\"");
        self.line("draught", "\"2.1 m\"");
        self.line("berths", "8");
        self.maybe("built", |_| "2016".into());
        self.maybe("air_draught", |_| "\"19.5 m\"".into());
        self.maybe("most_rpm", |_| "\"3000 rpm\"".into());
        self.maybe("notes", |yard| format!("[{}, {}]", yard.text(), yard.text()));
        self.maybe("latitude", |yard| yard.one_quoted(&["43.9°", "-33.5 deg", "0°", "-90°"]));
        self.maybe("longitude", |yard| yard.one_quoted(&["-69.6°", "179.99°", "1 rad"]));
        self.maybe("utc_offset", |yard| yard.one_quoted(&["-4 h", "5 h 30 min", "0 h"]));
        self.maybe("flag", Self::text);
    }

    fn cautions(&mut self) {
        for at in 0..=self.tape.below(3) {
            let id = format!("caution_{at}");
            self.heading("cautions", &id);
            let word = self.one_quoted(&["danger", "warning", "caution", "notice"]);
            self.line("word", &word);
            let hazard = self.one_quoted(&["gas", "sea", "gear", "crush"]);
            self.line("hazard", &hazard);
            let text = self.text();
            self.line("text", &text);
            self.maybe("source", Self::text);
            self.cautions.push(id);
        }
    }

    fn places(&mut self) {
        for at in 0..=self.tape.below(4) {
            let id = format!("place_{at}");
            self.heading("places", &id);
            let name = self.text();
            self.line("name", &name);
            let level = self.one_quoted(&["dock", "aloft", "deck", "below", "bilge"]);
            self.line("level", &level);
            let aft = self.one_quoted(&["0 m", "6.2 m", "20 ft", "1 ft 3 in"]);
            self.line("aft", &aft);
            self.maybe("side", |yard| {
                yard.one_quoted(&["0 m", "0.6 m port", "1 ft 2 in starboard", "0.123 m starboard"])
            });
            self.line("long", "\"2.4 m\"");
            self.line("wide", "\"55 cm\"");
            if !self.places.is_empty() {
                self.maybe("in", |yard| yard.name_of(|yard| &yard.places));
            }
            self.maybe("reach", |yard| {
                yard.one_quoted(&["at hand", "lid", "boards", "crawl", "climb", "tools"])
            });
            self.maybe("way", Self::text);
            self.places.push(id);
        }
    }

    fn items(&mut self) {
        for at in 0..self.tape.below(4) {
            let id = format!("item_{at}");
            self.heading("items", &id);
            let name = self.text();
            self.line("name", &name);
            let place = self.name_of(|yard| &yard.places);
            self.line("place", &place);
            self.maybe("find", Self::text);
            self.maybe("also", |yard| format!("[{}]", yard.text()));
            self.maybe("picture", Self::text);
            self.maybe("label", Self::text);
            self.maybe("emergency", Self::flag);
            self.maybe("spares", |yard| {
                format!(
                    "[{{ name = {} }}, {{ name = \"Belt\", place = {} }}]",
                    yard.text(),
                    yard.name_of(|yard| &yard.places)
                )
            });
            if self.tape.chance(2) {
                let limits = self.limits();
                self.line("limits", &limits);
                self.limited.push(id.clone());
            }
            self.items.push(id);
        }
    }

    /// Limits, the first of them the longest run.
    fn limits(&mut self) -> String {
        let is = self.one_quoted(TIMES);
        let mut all = vec![format!(
            "{{ kind = \"longest\", is = {is}, caution = {} }}",
            self.name_of(|yard| &yard.cautions)
        )];
        if self.tape.chance(2) {
            let severity = self.tape.one(&["severity = \"damage\", ", "severity = \"injury\", ", ""]);
            all.push(format!(
                "{{ kind = \"rest\", is = {}, breach = {{ {severity}what = {}, seen = {} }}, source = {} }}",
                self.one_quoted(TIMES),
                self.text(),
                self.text(),
                self.text()
            ));
        }
        if self.tape.chance(3) {
            all.push("{ kind = \"clear\", is = \"2 m\" }".into());
        }
        if let (Some(reading), true) = (self.readings.first().cloned(), self.tape.chance(2)) {
            all.push(format!("{{ kind = \"least\", of = \"{reading}\", is = {} }}", self.one_quoted(VOLTS)));
        }
        format!("[{}]", all.join(", "))
    }
}

/// A TOML text in double quotes.
pub(crate) fn quoted(text: impl AsRef<str>) -> String {
    let mut out = String::from("\"");
    for c in text.as_ref().chars() {
        match c {
            '"' => out.push_str("\\\""),
            '\\' => out.push_str("\\\\"),
            c if c.is_control() => {
                let _ = write!(out, "\\u{:04x}", u32::from(c));
            }
            c => out.push(c),
        }
    }
    out.push('"');
    out
}
