//! Loads: what each uses, how it is used, and which of its keys go together.

use quantity::{Dimension as D, Ratio, Temperature, Time};

use super::Compiler;
use super::amounts::WHOLE;
use crate::diagnostic::Diagnostic;
use crate::format::LOAD_KINDS;
use crate::model::{
    Activity, Amount, DayPart, Event, Expr, Load, LoadId, LoadKind, Rate, Runs, Store, StoreId, Table, Thing,
    Without,
};
use crate::read::Fields;

const KINDS: [LoadKind; 6] =
    [LoadKind::Electric, LoadKind::Mains, LoadKind::Water, LoadKind::Waste, LoadKind::Diesel, LoadKind::Gas];
const PARTS: [DayPart; 4] = [DayPart::Waking, DayPart::Day, DayPart::Evening, DayPart::Meals];
const EVENTS: [Event; 6] =
    [Event::Flush, Event::ChainMetre, Event::Berthing, Event::EngineStart, Event::Litre, Event::Meal];
const DAY: Time = Time::hours(24.0);

/// The ways to run, as they stand in the format's list.
const DAILY: usize = 1;
const THERMOSTAT: usize = 3;
const EVENT: usize = 4;
const ENGINE: usize = 5;

/// Keys that go with some ways to run only, with these ways and what they are.
const RUNS_KEYS: &[(&[&str], &[usize], &str)] = &[
    (&["duty"], &[0, THERMOSTAT], "what runs steadily or by a thermostat"),
    (&["duty_at", "inside", "time_constant"], &[THERMOSTAT], "what runs by a thermostat"),
    (&["a_day", "a_day_each", "part_of_day"], &[DAILY], "what runs daily"),
    (&["per", "takes"], &[EVENT], "what runs at an event"),
    (&["at"], &[ENGINE], "what runs by the speed of an engine"),
];

impl<'a> Compiler<'a> {
    pub(super) fn loads(&mut self, stores: &Table<StoreId, Store>) -> Table<LoadId, Load> {
        self.table("loads", Thing::Load, |this, fields, row, _| {
            let kind = this.load_kind(fields);
            // Of an entry whose `kind` can't be read nothing is told that hangs on it.
            let reads = kind.unwrap_or(LoadKind::Electric);
            Load {
                id: row.id.clone(),
                name: this.reader.needed_text(fields, "name"),
                item: this.link(fields, "item", "items"),
                kind: reads,
                rate: kind.and_then(|kind| this.rate(fields, kind)),
                runs: kind.map_or(Runs::Dark, |kind| this.runs(fields, kind)),
                stores: kind.map_or_else(Vec::new, |kind| this.load_stores(fields, kind, stores)),
                when: this.reader.fact(fields, "when").unwrap_or(Expr::Const(true)),
                during: this
                    .reader
                    .choices(fields, "during")
                    .into_iter()
                    .map(|at| Activity::ALL[at])
                    .collect(),
                do_without: this
                    .reader
                    .choice(fields, "do_without")
                    .map(|at| [Without::AtNight, Without::Altogether][at]),
                cable: this.reader.quantity(fields, "cable", D::Resistance),
                cuts_out: this.reader.quantity(fields, "cuts_out", D::Voltage),
                give_or_take: this.reader.quantity(fields, "give_or_take", D::Ratio),
                source: this.reader.text(fields, "source"),
            }
        })
    }

    /// Electric if nothing is written, nothing if what is written can't be read.
    fn load_kind(&mut self, fields: Fields<'a>) -> Option<LoadKind> {
        match fields.get("kind") {
            None => Some(LoadKind::Electric),
            Some(_) => self.reader.choice(fields, "kind").map(|at| KINDS[at]),
        }
    }

    /// `from` of what is emptied, `into` of what is filled.
    fn load_stores(
        &mut self,
        fields: Fields<'a>,
        kind: LoadKind,
        stores: &Table<StoreId, Store>,
    ) -> Vec<StoreId> {
        let (right, wrong) = if kind == LoadKind::Waste { ("into", "from") } else { ("from", "into") };
        if let Some(entry) = fields.table.entry(wrong) {
            let what =
                if kind == LoadKind::Waste { "Waste goes into a tank" } else { "This is taken from a store" };
            self.reader.report(
                Diagnostic::error(
                    "wrong-way",
                    entry.key_span,
                    format!("{what}, so `{wrong}` has no meaning here."),
                )
                .expected(format!("`{right}`"))
                .mend(format!("Write `{right}` in place of `{wrong}`, or change `kind`.")),
            );
        }
        match kind {
            LoadKind::Mains => {
                self.only_for(fields, &["from"], "what is taken from a store, and mains is not", "kind");
                Vec::new()
            }
            LoadKind::Electric => self.stores_of(fields, right, stores, "battery"),
            _ => self.stores_of(fields, right, stores, LOAD_KINDS[kind as usize]),
        }
    }

    fn rate(&mut self, fields: Fields<'a>, kind: LoadKind) -> Option<Rate> {
        let draws = matches!(kind, LoadKind::Electric | LoadKind::Mains);
        let (key, other, whom) = if draws {
            ("draws", "burns", "diesel, gas, water and waste")
        } else {
            ("burns", "draws", "current and mains")
        };
        self.only_for(fields, &[other], whom, "kind");
        if draws {
            self.needs(fields, key, "it tells how much it takes while it runs");
        }
        let found = self.one_of(fields, key)?;
        match (found.dimension(), kind) {
            (D::Current, LoadKind::Electric | LoadKind::Mains) => found.try_into().ok().map(Rate::Current),
            (D::Power, LoadKind::Electric | LoadKind::Mains) => found.try_into().ok().map(Rate::Power),
            (D::VolumeRate, LoadKind::Diesel | LoadKind::Water | LoadKind::Waste) => {
                found.try_into().ok().map(Rate::Volume)
            }
            (D::MassRate, LoadKind::Gas) => found.try_into().ok().map(Rate::Mass),
            _ => {
                let wanted = match kind {
                    LoadKind::Electric | LoadKind::Mains => D::Current,
                    LoadKind::Gas => D::MassRate,
                    LoadKind::Water | LoadKind::Waste | LoadKind::Diesel => D::VolumeRate,
                };
                self.wrong_dimension(fields, key, found, wanted, LOAD_KINDS[kind as usize]);
                None
            }
        }
    }

    fn runs(&mut self, fields: Fields<'a>, kind: LoadKind) -> Runs {
        let Some(how) = self.reader.choice(fields, "runs") else { return Runs::Dark };
        for (keys, ways, whom) in RUNS_KEYS {
            if !ways.contains(&how) {
                self.only_for(fields, keys, whom, "runs");
            }
        }
        if !matches!(how, DAILY | EVENT) {
            self.needs_burns(fields, kind);
        }
        match how {
            DAILY => self.daily(fields, kind),
            2 => Runs::Dark,
            THERMOSTAT => self.thermostat(fields),
            EVENT => self.event(fields, kind),
            ENGINE => Runs::Engine(
                self.needed_quantity(
                    fields,
                    "at",
                    D::RotationalSpeed,
                    "it tells the speed at which the engine burns that",
                )
                .unwrap_or_default(),
            ),
            _ => Runs::Steady(self.part(fields, "duty").unwrap_or(WHOLE)),
        }
    }

    /// What uses no current and runs for a time says what it uses in an hour.
    fn needs_burns(&mut self, fields: Fields<'a>, kind: LoadKind) {
        let draws = matches!(kind, LoadKind::Electric | LoadKind::Mains);
        if !draws {
            self.needs(fields, "burns", "it tells what this uses in an hour");
        }
    }

    fn daily(&mut self, fields: Fields<'a>, kind: LoadKind) -> Runs {
        if fields.get("a_day").is_none() && fields.get("a_day_each").is_none() {
            self.lacks(
                fields,
                "a_day",
                "it tells how long it runs, or what it uses, in a day (or `a_day_each`)",
            );
        }
        Runs::Daily {
            boat: self.amount(fields, "a_day", kind),
            each: self.amount(fields, "a_day_each", kind),
            part: PARTS[self.reader.choice(fields, "part_of_day").unwrap_or(0)],
        }
    }

    fn event(&mut self, fields: Fields<'a>, kind: LoadKind) -> Runs {
        self.needs(fields, "per", "it tells which event");
        self.needs(fields, "takes", "it tells how long it runs, or what it uses, each time");
        Runs::Event {
            per: EVENTS[self.reader.choice(fields, "per").unwrap_or(0)],
            takes: self.amount(fields, "takes", kind).unwrap_or(Amount::Time(Time::ZERO)),
        }
    }

    fn thermostat(&mut self, fields: Fields<'a>) -> Runs {
        let duty: Option<Ratio> = self.part(fields, "duty");
        let duty_at =
            self.needed_temperature(fields, "duty_at", "it tells the air in which it runs so often");
        let inside =
            self.needed_temperature(fields, "inside", "it tells the temperature that the thermostat keeps");
        let time_constant = self.needed_quantity(
            fields,
            "time_constant",
            D::Time,
            "it tells how long it keeps its warmth or cold switched off",
        );
        if let Some(node) = fields.get("duty_at").filter(|_| duty_at.is_some() && duty_at == inside) {
            self.reader.report(
                Diagnostic::error(
                    "thermostat",
                    node.span,
                    "With the air at the temperature that it keeps, it never runs.",
                )
                .expected("the air, other than `inside`, at which `duty` was measured")
                .mend("Write the temperature of the air around it when it ran so often."),
            );
        }
        let any = Temperature::celsius(20.0);
        Runs::Thermostat {
            duty: duty.unwrap_or(WHOLE),
            duty_at: duty_at.unwrap_or(any),
            inside: inside.unwrap_or(any),
            time_constant: time_constant.unwrap_or(Time::hours(1.0)),
        }
    }

    /// What it runs for or uses, of a kind that goes with what the load uses.
    fn amount(&mut self, fields: Fields<'a>, key: &str, kind: LoadKind) -> Option<Amount> {
        let found = self.one_of(fields, key)?;
        match (found.dimension(), kind) {
            (D::Time, _) => {
                self.needs_burns(fields, kind);
                let time = found.try_into().ok()?;
                if key != "takes" && time > DAY {
                    let headline = format!("`{key}` is longer than a day.");
                    self.out_of_range(fields, key, headline, "at most 24 h");
                }
                Some(Amount::Time(time))
            }
            (D::Volume, LoadKind::Water | LoadKind::Waste | LoadKind::Diesel) => {
                found.try_into().ok().map(Amount::Volume)
            }
            (D::Mass, LoadKind::Gas) => found.try_into().ok().map(Amount::Mass),
            _ => {
                let wanted = match kind {
                    LoadKind::Electric | LoadKind::Mains => D::Time,
                    LoadKind::Gas => D::Mass,
                    LoadKind::Water | LoadKind::Waste | LoadKind::Diesel => D::Volume,
                };
                self.wrong_dimension(fields, key, found, wanted, LOAD_KINDS[kind as usize]);
                None
            }
        }
    }
}
