//! Random sound boat files, each written from a random structure: names that exist, facts that fit.

use crate::tape::Tape;

const TEXTS: &[&str] = &[
    "House switch", "Kühlschrank \"Eisbär\"", "a \\ b", "It's on", "line\nline two", "tab\there", "\"\"\"", "'''",
    "冷蔵庫", " spaced ", "\u{7f}", "x = [1, 2] # no remark", "é\u{301}", "\u{1F6A4}", "\r\n",
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
    /// Controls and states with their values and whether they read volts.
    controls: Vec<(String, Vec<&'static str>, bool)>,
    states: Vec<(String, Vec<&'static str>, bool)>,
    conditions: Vec<String>,
    readings: Vec<String>,
    /// Items with a limit of the longest run.
    limited: Vec<String>,
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
        controls: Vec::new(),
        states: Vec::new(),
        conditions: Vec::new(),
        readings: Vec::new(),
        limited: Vec::new(),
    };
    yard.particulars();
    yard.cautions();
    yard.places();
    yard.items();
    yard.vars();
    yard.facts();
    yard.actions();
    yard.procedures();
    yard.papers();
    yard.out
}

impl Yard<'_, '_> {
    fn heading(&mut self, section: &str, id: &str) {
        self.out.push_str(&format!("\n[{section}.{id}]\n"));
    }

    fn line(&mut self, key: &str, value: &str) {
        self.out.push_str(&format!("{key} = {value}\n"));
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
        self.maybe("flag", Self::text);
    }

    fn cautions(&mut self) {
        for at in 0..1 + self.tape.below(3) {
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
        for at in 0..1 + self.tape.below(4) {
            let id = format!("place_{at}");
            self.heading("places", &id);
            let name = self.text();
            self.line("name", &name);
            let level = self.one_quoted(&["dock", "aloft", "deck", "below", "bilge"]);
            self.line("level", &level);
            let aft = self.one_quoted(&["0 m", "6.2 m", "20 ft", "1 ft 3 in"]);
            self.line("aft", &aft);
            self.maybe("side", |yard| yard.one_quoted(&["0 m", "0.6 m port", "1 ft 2 in starboard", "0.123 m starboard"]));
            self.line("long", "\"2.4 m\"");
            self.line("wide", "\"55 cm\"");
            if !self.places.is_empty() {
                self.maybe("in", |yard| yard.name_of(|yard| &yard.places));
            }
            self.maybe("reach", |yard| yard.one_quoted(&["at hand", "lid", "boards", "crawl", "climb", "tools"]));
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
                format!("[{{ name = {} }}, {{ name = \"Belt\", place = {} }}]", yard.text(), yard.name_of(|yard| &yard.places))
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
        let mut all = vec![format!("{{ kind = \"longest\", is = {is}, caution = {} }}", self.name_of(|yard| &yard.cautions))];
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

    fn vars(&mut self) {
        const SETS: &[&[&str]] = &[&["off", "on"], &["1", "2nd", "both"], &["shut", "half_way", "open"], &["isnt", "12v"]];
        for at in 0..1 + self.tape.below(3) {
            let values = self.tape.one(SETS).to_vec();
            let id = format!("control_{at}");
            self.heading("controls", &id);
            self.maybe("name", Self::text);
            if !self.items.is_empty() {
                self.maybe("item", |yard| yard.name_of(|yard| &yard.items));
            }
            self.maybe("place", |yard| yard.name_of(|yard| &yard.places));
            let reads = self.var("positions", &values);
            self.controls.push((id, values, reads));
            self.maybe("limits", Self::limits);
            self.maybe("moves", |yard| {
                let (_, values, _) = yard.controls[at].clone();
                let fact = yard.fact(2);
                format!("[{{ to = \"{}\", needs = {fact}, fails = {}, takes = {} }}]", values[0], yard.text(), yard.one_quoted(TIMES))
            });
            self.maybe("harms", |yard| {
                let (_, values, _) = yard.controls[at].clone();
                let to = if yard.tape.chance(2) { format!("to = \"{}\", ", values[1]) } else { String::new() };
                format!("[{{ {to}{} }}]", yard.harm())
            });
        }
        for at in 0..self.tape.below(3) {
            let values = self.tape.one(SETS).to_vec();
            let id = format!("state_{at}");
            self.heading("states", &id);
            let name = self.text();
            self.line("name", &name);
            let reads = self.var("values", &values);
            self.maybe("given", Self::flag);
            self.states.push((id, values.clone(), reads));
            self.maybe("turns", |yard| {
                let after = if yard.tape.chance(2) { format!("after = {}, ", yard.one_quoted(TIMES)) } else { String::new() };
                format!("[{{ to = \"{}\", when = {}, {after}seen = {} }}]", values[1], yard.fact(2), yard.text())
            });
        }
    }

    /// The keys that controls and states have alike; whether it reads volts.
    fn var(&mut self, key: &str, values: &[&'static str]) -> bool {
        let list: Vec<String> = values.iter().map(|value| quoted(value)).collect();
        self.line(key, &format!("[{}]", list.join(", ")));
        let rest = self.one_quoted(values);
        self.line("rest", &rest);
        self.maybe("labels", |yard| format!("{{ {} = {} }}", values[1], yard.text()));
        self.maybe("tell", |yard| format!("{{ {} = {} }}", values[0], yard.text()));
        self.maybe("source", Self::text);
        let reads = self.tape.chance(2);
        if reads {
            let each: Vec<String> = values.iter().map(|value| format!("{value} = {}", self.one_quoted(VOLTS))).collect();
            self.line("reads", &format!("{{ {} }}", each.join(", ")));
        }
        reads
    }

    fn harm(&mut self) -> String {
        let severity = self.one_quoted(&["damage", "injury"]);
        let mut harm = format!("when = {}, severity = {severity}, what = {}", self.fact(2), self.text());
        if self.tape.chance(2) {
            harm.push_str(&format!(", seen = {}, caution = {}", self.text(), self.name_of(|yard| &yard.cautions)));
        }
        harm
    }

    /// A fact in quotes, of names that the file has so far.
    fn fact(&mut self, deep: usize) -> String {
        let text = self.bare_fact(deep);
        quoted(&text)
    }

    fn bare_fact(&mut self, deep: usize) -> String {
        match self.tape.below(if deep == 0 { 4 } else { 8 }) {
            0 => self.tape.one(&["always", "never"]).to_string(),
            1 if !self.conditions.is_empty() => self.tape.one(&self.conditions).clone(),
            2 => self.comparison(),
            0..=3 => {
                let vars: Vec<_> = self.controls.iter().chain(&self.states).cloned().collect();
                let (id, values, _) = self.tape.one(&vars);
                let value = self.tape.one(values);
                match self.tape.below(4) {
                    0 => format!("{id} is not {value}"),
                    1 => format!("{id} is one of ({value}, {})", self.tape.one(values)),
                    _ => format!("{id} is {value}"),
                }
            }
            4 => format!("not {}", self.bracketed(deep - 1)),
            5 => format!("{} and {}", self.bracketed(deep - 1), self.bracketed(deep - 1)),
            6 => format!("{} or {}", self.bracketed(deep - 1), self.bracketed(deep - 1)),
            _ => format!("{} or {} and not {}", self.bare_fact(0), self.bare_fact(0), self.bare_fact(0)),
        }
    }

    fn bracketed(&mut self, deep: usize) -> String {
        format!("({})", self.bare_fact(deep))
    }

    fn comparison(&mut self) -> String {
        let how = self.tape.one(&["<", "<=", ">", ">="]);
        let mut names: Vec<String> = self.readings.clone();
        names.extend(self.controls.iter().chain(&self.states).filter(|(_, _, reads)| *reads).map(|(id, ..)| id.clone()));
        let volts = *self.tape.one(VOLTS);
        if names.is_empty() {
            return format!("12 V {how} {volts}");
        }
        let name = self.tape.one(&names);
        if self.tape.chance(2) { format!("{name} {how} {volts}") } else { format!("{volts} {how} {name}") }
    }

    fn facts(&mut self) {
        for at in 0..self.tape.below(5) {
            if self.tape.chance(2) {
                let id = format!("condition_{at}");
                self.heading("conditions", &id);
                let name = self.text();
                self.line("name", &name);
                let when = self.fact(3);
                self.line("when", &when);
                self.maybe("items", |yard| yard.names_of(|yard| &yard.items));
                self.maybe("symptom", Self::text);
                self.conditions.push(id);
            } else {
                let id = format!("reading_{at}");
                self.heading("readings", &id);
                let name = self.text();
                self.line("name", &name);
                let reader = self.controls.iter().chain(&self.states).find(|(_, _, reads)| *reads).map(|(id, ..)| quoted(id));
                let fixed = self.one_quoted(VOLTS);
                let reads = reader.unwrap_or(fixed);
                let cases = format!("[{{ when = {}, reads = {reads} }}, {{ when = {}, reads = \"9 V\" }}]", self.fact(1), self.fact(1));
                self.line("cases", &cases);
                let otherwise = self.one_quoted(VOLTS);
                self.line("otherwise", &otherwise);
                self.readings.push(id);
            }
        }
    }

    fn assigns(&mut self) -> String {
        let vars: Vec<_> = self.controls.iter().chain(&self.states).cloned().collect();
        let mut all = Vec::new();
        for (id, values, _) in vars {
            if self.tape.chance(2) {
                all.push(format!("\"{id} is {}\"", self.tape.one(&values)));
            }
        }
        format!("[{}]", all.join(", "))
    }

    fn actions(&mut self) {
        for at in 0..1 + self.tape.below(2) {
            let id = format!("action_{at}");
            self.heading("actions", &id);
            let name = self.text();
            self.line("name", &name);
            if !self.items.is_empty() {
                self.maybe("item", |yard| yard.name_of(|yard| &yard.items));
            }
            self.maybe("place", |yard| yard.name_of(|yard| &yard.places));
            self.maybe("needs", |yard| yard.fact(2));
            self.maybe("fails", Self::text);
            self.maybe("makes", Self::assigns);
            self.maybe("harms", |yard| format!("[{{ {} }}]", yard.harm()));
            self.maybe("limits", Self::limits);
            self.maybe("takes", |yard| yard.one_quoted(TIMES));
            self.maybe("tell", Self::text);
            self.maybe("who", |yard| yard.one_quoted(&["crew", "skipper", "base"]));
            self.maybe("source", Self::text);
            self.actions.push(id);
        }
    }

    fn step(&mut self) -> String {
        let mut step = match self.tape.below(4) {
            0 => {
                let controls = self.controls.clone();
                let (id, values, _) = self.tape.one(&controls);
                format!("set = \"{id}\", to = \"{}\"", self.tape.one(values))
            }
            1 => format!("do = {}, for = {}, rest = {}", self.name_of(|yard| &yard.actions), self.one_quoted(TIMES), self.one_quoted(TIMES)),
            2 => format!("look = {}, confirm = {}, otherwise = {}", self.text(), self.fact(2), self.text()),
            _ => format!("wait = {}, until = {}", self.one_quoted(TIMES), self.fact(1)),
        };
        if self.tape.chance(2) {
            step.push_str(&format!(
                ", say = {}, why = {}, place = {}, cautions = {}",
                self.text(),
                self.text(),
                self.name_of(|yard| &yard.places),
                self.names_of(|yard| &yard.cautions)
            ));
        }
        format!("{{ {step} }}")
    }

    fn procedures(&mut self) {
        for at in 0..self.tape.below(3) {
            let id = format!("procedure_{at}");
            self.heading("procedures", &id);
            let name = self.text();
            self.line("name", &name);
            let goal = self.fact(2);
            self.line("goal", &goal);
            self.maybe("about", Self::text);
            self.maybe("who", |yard| yard.one_quoted(&["crew", "skipper", "base"]));
            self.maybe("emergency", Self::flag);
            self.maybe("after", |yard| yard.names_of(|yard| &yard.procedures));
            self.maybe("start", Self::assigns);
            self.maybe("given", |yard| yard.fact(2));
            self.maybe("leaves", Self::assigns);
            self.maybe("cautions", |yard| yard.names_of(|yard| &yard.cautions));
            let steps: Vec<String> = (0..1 + self.tape.below(4)).map(|_| self.step()).collect();
            self.line("steps", &format!("[{}]", steps.join(",\n  ")));
            self.procedures.push(id);
        }
        for at in 0..self.tape.below(2) {
            self.heading("never", &format!("never_{at}"));
            let name = self.text();
            self.line("name", &name);
            let harm = self.harm();
            self.never_lines(&harm);
        }
    }

    /// The keys of a harm, one a line: an inline table's keys are the same as an entry's.
    fn never_lines(&mut self, keys: &str) {
        let mut quoted = false;
        let mut escaped = false;
        for c in keys.chars() {
            if c == ',' && !quoted {
                self.out.push('\n');
                continue;
            }
            if c == '"' && !escaped {
                quoted = !quoted;
            }
            escaped = c == '\\' && !escaped;
            self.out.push(c);
        }
        self.out.push('\n');
    }

    fn papers(&mut self) {
        if self.tape.chance(2) {
            self.heading("kit", "torch");
            let name = self.text();
            self.line("name", &name);
            self.line("count", "2");
            let place = self.name_of(|yard| &yard.places);
            self.line("place", &place);
            self.maybe("expires", |_| "\"2028-02-29\"".into());
            self.maybe("price", |yard| yard.one_quoted(&["95.00 USD", "1200 JPY", "0.05 EUR"]));
            self.maybe("check", Self::text);
        }
        if self.tape.chance(2) {
            self.heading("upkeep", "oil");
            let name = self.text();
            self.line("name", &name);
            let every = *self.tape.one(&["{ days = 365 }", "{ engine_hours = \"200 h\", charters = 3 }", "{ date = \"2027-03-01\" }"]);
            self.line("every", every);
            self.maybe("parts", |yard| format!("[{}]", yard.text()));
            self.maybe("takes", |yard| yard.one_quoted(TIMES));
            self.maybe("skill", |yard| yard.one_quoted(&["hand", "mechanic", "diver"]));
        }
        if self.tape.chance(2) {
            self.heading("topics", "first");
            let name = self.text();
            self.line("name", &name);
            let words = match self.limited.first() {
                Some(item) => quoted(&format!("At most {{{item}.longest}} at a time.")),
                None => self.text(),
            };
            self.line("words", &words);
            self.maybe("place", |yard| yard.name_of(|yard| &yard.places));
            self.maybe("procedures", |yard| yard.names_of(|yard| &yard.procedures));
            self.maybe("items", |yard| yard.names_of(|yard| &yard.items));
            self.maybe("cautions", |yard| yard.names_of(|yard| &yard.cautions));
            self.maybe("takes", |yard| yard.one_quoted(TIMES));
            self.maybe("shown", Self::flag);
            self.maybe("always", Self::flag);
            if !self.items.is_empty() {
                self.maybe("restates", |yard| {
                    format!("[{{ item = {}, kind = \"longest\", is = \"3 s\" }}]", yard.name_of(|yard| &yard.items))
                });
            }
        }
        for section in ["stores", "sources", "loads", "faults"] {
            if self.tape.chance(2) {
                self.heading(section, "first");
                let name = self.text();
                self.line("name", &name);
                self.maybe("capacity", |_| "\"400 Ah\"".into());
                self.maybe("per_year", |yard| (*yard.tape.one(&["0.1", "1e-9", "3", "inf", "-0.0"])).to_owned());
                self.maybe("checked", |_| "2027-05-31".into());
                self.maybe("when_full", |yard| format!("{{ a = {}, \"b c\" = [1, true, {}] }}", yard.text(), yard.text()));
            }
        }
    }
}

/// A TOML text in double quotes.
pub(crate) fn quoted(text: impl AsRef<str>) -> String {
    let mut out = String::from("\"");
    for c in text.as_ref().chars() {
        match c {
            '"' => out.push_str("\\\""),
            '\\' => out.push_str("\\\\"),
            c if c.is_control() => out.push_str(&format!("\\u{:04x}", c as u32)),
            c => out.push(c),
        }
    }
    out.push('"');
    out
}
