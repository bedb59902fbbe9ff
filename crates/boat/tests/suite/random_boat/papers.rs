//! Kit, upkeep, topics and the faults of a random boat.

use super::{TIMES, Yard, quoted};

impl Yard<'_, '_> {
    pub(super) fn papers(&mut self) {
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
            self.maybe("counts_as", |_| "[\"lifejacket_child\", \"flare_smoke\"]".into());
            self.maybe("fits_from", |_| "\"33 lb\"".into());
            self.maybe("fits_to", |_| "\"40 kg\"".into());
        }
        if self.tape.chance(2) {
            self.heading("upkeep", "oil");
            let name = self.text();
            self.line("name", &name);
            let every = *self.tape.one(&[
                "{ days = 365 }",
                "{ engine_hours = \"200 h\", charters = 3 }",
                "{ date = \"2027-03-01\" }",
            ]);
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
                Some(item) => quoted(format!("At most {{{item}.longest}} at a time.")),
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
            self.maybe("about", |_| "[\"anchor\", \"fire\"]".into());
            if !self.items.is_empty() {
                self.maybe("restates", |yard| {
                    format!(
                        "[{{ item = {}, kind = \"longest\", is = \"3 s\" }}]",
                        yard.name_of(|yard| &yard.items)
                    )
                });
            }
            self.heading("topics", "second");
            let name = self.text();
            self.line("name", &name);
            let words = self.text();
            self.line("words", &words);
            self.maybe("after", |_| "[\"first\"]".into());
        }
        if !self.items.is_empty() && self.tape.chance(2) {
            self.fault();
        }
    }

    fn fault(&mut self) {
        self.heading("faults", "first");
        let name = self.text();
        self.line("name", &name);
        let item = self.name_of(|yard| &yard.items);
        self.line("item", &item);
        let seen = self.text();
        self.line("seen", &seen);
        let per_year = *self.tape.one(&["0.1", "1e-9", "3", "0", "-0.0", "10000"]);
        self.line("per_year", per_year);
        self.maybe("weight", |yard| (*yard.tape.one(&["2", "0.3", "1e-3", "40"])).to_owned());
        self.maybe("stops", |yard| yard.names_of(|yard| &yard.conditions));
        if let Some((id, values, _)) = self.states.first().cloned() {
            self.maybe("means", |yard| quoted(format!("{id} is {}", yard.tape.one(&values))));
        }
        self.maybe("check", Self::text);
        self.maybe("check_takes", |yard| yard.one_quoted(TIMES));
        self.maybe("sure", |yard| yard.one_quoted(&["51 %", "95 %", "100 %", "0.777", "98.7 %"]));
        self.maybe("tools", |yard| format!("[{}, {}]", yard.text(), yard.text()));
        self.maybe("mend", Self::text);
        self.maybe("mend_takes", |yard| yard.one_quoted(TIMES));
        if !self.procedures.is_empty() {
            self.maybe("mend_by", |yard| yard.name_of(|yard| &yard.procedures));
        }
        if !self.alarms.is_empty() {
            self.maybe("emergency", |yard| yard.name_of(|yard| &yard.alarms));
        }
        let people: &[&str] = if self.tape.chance(3) {
            let danger = self.one_quoted(&["gas", "mains", "fall"]);
            self.line("danger", &danger);
            &["base"]
        } else {
            &["crew", "skipper", "base"]
        };
        self.maybe("check_who", |yard| yard.one_quoted(people));
        self.maybe("mend_who", |yard| yard.one_quoted(people));
        self.maybe("parts", |yard| format!("[{}]", yard.text()));
        self.maybe("source", Self::text);
    }
}
