//! Kit, upkeep, topics and the faults of a random boat, which are kept as written.

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
            if !self.items.is_empty() {
                self.maybe("restates", |yard| {
                    format!(
                        "[{{ item = {}, kind = \"longest\", is = \"3 s\" }}]",
                        yard.name_of(|yard| &yard.items)
                    )
                });
            }
        }
        if self.tape.chance(2) {
            self.heading("faults", "first");
            let name = self.text();
            self.line("name", &name);
            self.maybe("per_year", |yard| (*yard.tape.one(&["0.1", "1e-9", "3", "inf", "-0.0"])).to_owned());
            self.maybe("checked", |_| "2027-05-31".into());
            self.maybe("when_full", |yard| {
                format!("{{ a = {}, \"b c\" = [1, true, {}] }}", yard.text(), yard.text())
            });
        }
    }
}
