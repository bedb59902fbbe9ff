//! Controls, states, facts, actions and step lists of a random boat.

use std::fmt::Write as _;

use super::{TIMES, VOLTS, Yard, quoted};

impl Yard<'_, '_> {
    pub(super) fn vars(&mut self) {
        const SETS: &[&[&str]] =
            &[&["off", "on"], &["1", "2nd", "both"], &["shut", "half_way", "open"], &["isnt", "12v"]];
        for at in 0..=self.tape.below(3) {
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
                format!(
                    "[{{ to = \"{}\", needs = {fact}, fails = {}, takes = {} }}]",
                    values[0],
                    yard.text(),
                    yard.one_quoted(TIMES)
                )
            });
            self.maybe("harms", |yard| {
                let (_, values, _) = yard.controls[at].clone();
                let to =
                    if yard.tape.chance(2) { format!("to = \"{}\", ", values[1]) } else { String::new() };
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
                let after = if yard.tape.chance(2) {
                    format!("after = {}, ", yard.one_quoted(TIMES))
                } else {
                    String::new()
                };
                format!(
                    "[{{ to = \"{}\", when = {}, {after}seen = {} }}]",
                    values[1],
                    yard.fact(2),
                    yard.text()
                )
            });
        }
    }

    /// The keys that controls and states have alike; whether it reads volts.
    fn var(&mut self, key: &str, values: &[&'static str]) -> bool {
        let list: Vec<String> = values.iter().map(quoted).collect();
        self.line(key, &format!("[{}]", list.join(", ")));
        let rest = self.one_quoted(values);
        self.line("rest", &rest);
        self.maybe("labels", |yard| format!("{{ {} = {} }}", values[1], yard.text()));
        self.maybe("tell", |yard| format!("{{ {} = {} }}", values[0], yard.text()));
        self.maybe("source", Self::text);
        let reads = self.tape.chance(2);
        if reads {
            let each: Vec<String> =
                values.iter().map(|value| format!("{value} = {}", self.one_quoted(VOLTS))).collect();
            self.line("reads", &format!("{{ {} }}", each.join(", ")));
        }
        reads
    }

    fn harm(&mut self) -> String {
        let severity = self.one_quoted(&["damage", "injury"]);
        let mut harm = format!("when = {}, severity = {severity}, what = {}", self.fact(2), self.text());
        if self.tape.chance(2) {
            let _ =
                write!(harm, ", seen = {}, caution = {}", self.text(), self.name_of(|yard| &yard.cautions));
        }
        harm
    }

    /// A fact in quotes, of names that the file has so far.
    pub(super) fn fact(&mut self, deep: usize) -> String {
        let text = self.bare_fact(deep);
        quoted(&text)
    }

    fn bare_fact(&mut self, deep: usize) -> String {
        match self.tape.below(if deep == 0 { 4 } else { 8 }) {
            0 => (*self.tape.one(&["always", "never"])).to_owned(),
            1 if !self.conditions.is_empty() => self.tape.one(&self.conditions).clone(),
            2 => self.comparison(),
            1 | 3 => {
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
        names.extend(
            self.controls
                .iter()
                .chain(&self.states)
                .filter(|(_, _, reads)| *reads)
                .map(|(id, ..)| id.clone()),
        );
        let volts = *self.tape.one(VOLTS);
        if names.is_empty() {
            return format!("12 V {how} {volts}");
        }
        let name = self.tape.one(&names);
        if self.tape.chance(2) { format!("{name} {how} {volts}") } else { format!("{volts} {how} {name}") }
    }

    pub(super) fn facts(&mut self) {
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
                self.maybe("look", Self::text);
                self.conditions.push(id);
            } else {
                let id = format!("reading_{at}");
                self.heading("readings", &id);
                let name = self.text();
                self.line("name", &name);
                let reader = self
                    .controls
                    .iter()
                    .chain(&self.states)
                    .find(|(_, _, reads)| *reads)
                    .map(|(id, ..)| quoted(id));
                let fixed = self.one_quoted(VOLTS);
                let reads = reader.unwrap_or(fixed);
                let cases = format!(
                    "[{{ when = {}, reads = {reads} }}, {{ when = {}, reads = \"9 V\" }}]",
                    self.fact(1),
                    self.fact(1)
                );
                self.line("cases", &cases);
                let otherwise = self.one_quoted(VOLTS);
                self.line("otherwise", &otherwise);
                self.readings.push(id);
            }
        }
    }

    pub(super) fn assigns(&mut self) -> String {
        let vars: Vec<_> = self.controls.iter().chain(&self.states).cloned().collect();
        let mut all = Vec::new();
        for (id, values, _) in vars {
            if self.tape.chance(2) {
                all.push(format!("\"{id} is {}\"", self.tape.one(&values)));
            }
        }
        format!("[{}]", all.join(", "))
    }

    pub(super) fn actions(&mut self) {
        for at in 0..=self.tape.below(2) {
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
            1 => format!(
                "do = {}, for = {}, rest = {}",
                self.name_of(|yard| &yard.actions),
                self.one_quoted(TIMES),
                self.one_quoted(TIMES)
            ),
            2 => format!("look = {}, confirm = {}, otherwise = {}", self.text(), self.fact(2), self.text()),
            _ => format!("wait = {}, until = {}", self.one_quoted(TIMES), self.fact(1)),
        };
        if self.tape.chance(2) {
            let _ = write!(
                step,
                ", say = {}, why = {}, place = {}, cautions = {}",
                self.text(),
                self.text(),
                self.name_of(|yard| &yard.places),
                self.names_of(|yard| &yard.cautions)
            );
        }
        format!("{{ {step} }}")
    }

    pub(super) fn procedures(&mut self) {
        for at in 0..self.tape.below(3) {
            let id = format!("procedure_{at}");
            self.heading("procedures", &id);
            let name = self.text();
            self.line("name", &name);
            let goal = self.fact(2);
            self.line("goal", &goal);
            self.maybe("about", Self::text);
            self.maybe("who", |yard| yard.one_quoted(&["crew", "skipper", "base"]));
            if self.tape.chance(3) {
                self.line("emergency", "true");
                self.maybe("signs", |yard| format!("[{}, {}]", yard.text(), yard.text()));
                self.alarms.push(id.clone());
            }
            self.maybe("after", |yard| yard.names_of(|yard| &yard.procedures));
            self.maybe("start", Self::assigns);
            self.maybe("given", |yard| yard.fact(2));
            self.maybe("leaves", Self::assigns);
            self.maybe("cautions", |yard| yard.names_of(|yard| &yard.cautions));
            let steps: Vec<String> = (0..=self.tape.below(4)).map(|_| self.step()).collect();
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
}
