//! Stores, sources, loads, modes, ground tackle.

use quantity::{Current, Dimension as D, Voltage, Volume};

use super::Compiler;
use super::amounts::WHOLE;
use crate::diagnostic::{Diagnostic, nearest};
use crate::document::{Node, Value};
use crate::format::{ACTIVITIES, SOURCE_KINDS, STORE_KINDS, quoted_list};
use crate::model::{
    Activity, BankFacts, Chemistry, Expr, GroundTackle, Liquid, Mode, ModeId, Source, SourceId as Feed,
    SourceKind, Store, StoreId, StoreKind, Table, TackleId, Thing,
};
use crate::read::Fields;
use crate::source::Span;

/// The nominal voltage of a small boat's bank, where the file says nothing (common practice).
const TWELVE: Voltage = Voltage::volts(12.0);

const CHEMISTRIES: [Chemistry; 4] = [Chemistry::Flooded, Chemistry::Agm, Chemistry::Gel, Chemistry::Lfp];
const LIQUIDS: [Liquid; 3] = [Liquid::Water, Liquid::Waste, Liquid::Diesel];

/// Where a battery stands among the format's kinds of store.
const BATTERY: usize = 0;
/// Where an inverter and a combiner stand among the format's kinds of source.
const INVERTER: usize = 4;
const COMBINER: usize = 5;

const BATTERY_KEYS: &[&str] =
    &["chemistry", "voltage", "health", "accepts", "bulk", "float", "in_per_out", "resistance"];

/// Keys of a source that only some kinds have, with the places of these kinds and what they are.
const SOURCE_KEYS: &[(&str, &[usize], &str)] = &[
    ("closes", &[COMBINER], "a combiner"),
    ("draws", &[INVERTER], "an inverter"),
    ("from", &[INVERTER, COMBINER], "an inverter or a combiner"),
    ("into", &[0, 1, 2, COMBINER], "what charges a battery"),
];

impl<'a> Compiler<'a> {
    pub(super) fn stores(&mut self) -> Table<StoreId, Store> {
        self.table("stores", Thing::Store, |this, fields, row, _| Store {
            id: row.id.clone(),
            name: this.reader.needed_text(fields, "name"),
            item: this.link(fields, "item", "items"),
            kind: this.store_kind(fields),
            count: this.reader.integer(fields, "count").unwrap_or(1),
            usable: this.part(fields, "usable").unwrap_or(WHOLE),
            gauge: this.reader.words(fields, "gauge"),
            gauge_error: this.part(fields, "gauge_error"),
            source: this.reader.text(fields, "source"),
        })
    }

    /// Of an entry whose `kind` can't be read nothing else is told.
    fn store_kind(&mut self, fields: Fields<'a>) -> StoreKind {
        let Some(kind) = self.reader.choice(fields, "kind") else {
            return StoreKind::Tank(Liquid::Water, Volume::ZERO);
        };
        if kind != BATTERY {
            self.only_for(fields, BATTERY_KEYS, "a battery", "kind");
        }
        match kind {
            BATTERY => StoreKind::Battery(self.bank(fields)),
            4 => StoreKind::Bottle(self.fitting(fields, "capacity", D::Mass, "gas")),
            tank => {
                let liquid = LIQUIDS[tank - 1];
                StoreKind::Tank(liquid, self.fitting(fields, "capacity", D::Volume, STORE_KINDS[tank]))
            }
        }
    }

    fn bank(&mut self, fields: Fields<'a>) -> BankFacts {
        self.needs(fields, "chemistry", "what a battery is made of decides how it fills and empties");
        BankFacts {
            capacity: self.fitting(fields, "capacity", D::Charge, "battery"),
            chemistry: CHEMISTRIES[self.reader.choice(fields, "chemistry").unwrap_or(0)],
            voltage: self.more_than_nothing(fields, "voltage", D::Voltage).unwrap_or(TWELVE),
            health: self.part(fields, "health"),
            accepts: self.more_than_nothing(fields, "accepts", D::Ratio),
            bulk: self.more_than_nothing(fields, "bulk", D::Voltage),
            float: self.more_than_nothing(fields, "float", D::Voltage),
            in_per_out: self.reader.number(fields, "in_per_out"),
            resistance: self.more_than_nothing(fields, "resistance", D::Resistance),
        }
    }

    pub(super) fn feeds(&mut self, stores: &Table<StoreId, Store>) -> Table<Feed, Source> {
        self.table("sources", Thing::Feed, |this, fields, row, _| Source {
            id: row.id.clone(),
            name: this.reader.needed_text(fields, "name"),
            item: this.link(fields, "item", "items"),
            kind: this.source_kind(fields),
            share: this.part(fields, "share"),
            into: this.stores_of(fields, "into", stores, "battery"),
            from: this.stores_of(fields, "from", stores, "battery"),
            voltage: this.more_than_nothing(fields, "voltage", D::Voltage),
            closes: this.more_than_nothing(fields, "closes", D::Voltage),
            idle: this.reader.quantity(fields, "draws", D::Power),
            when: this.reader.fact(fields, "when").unwrap_or(Expr::Const(true)),
            give_or_take: this.reader.quantity(fields, "give_or_take", D::Ratio),
            source: this.reader.text(fields, "source"),
        })
    }

    fn source_kind(&mut self, fields: Fields<'a>) -> SourceKind {
        let Some(kind) = self.reader.choice(fields, "kind") else {
            return SourceKind::Charger(Current::ZERO);
        };
        for (key, kinds, whom) in SOURCE_KEYS {
            if !kinds.contains(&kind) {
                self.only_for(fields, &[*key], whom, "kind");
            }
        }
        self.needs(fields, "gives", "without its rating nothing can be reckoned");
        if kind == COMBINER {
            for key in ["from", "into"] {
                let list = fields.get(key).map(|node| &node.value);
                if list.is_none_or(|list| matches!(list, Value::List(list) if list.is_empty())) {
                    self.lacks(fields, key, "a combiner joins two banks");
                }
            }
        }
        match kind {
            0 => SourceKind::Alternator(self.fitting(fields, "gives", D::Current, SOURCE_KINDS[kind])),
            1 => SourceKind::Charger(self.fitting(fields, "gives", D::Current, SOURCE_KINDS[kind])),
            2 => SourceKind::Solar(self.fitting(fields, "gives", D::Power, SOURCE_KINDS[kind])),
            3 => SourceKind::Shore(self.fitting(fields, "gives", D::Current, SOURCE_KINDS[kind])),
            INVERTER => SourceKind::Inverter(self.fitting(fields, "gives", D::Power, SOURCE_KINDS[kind])),
            _ => SourceKind::Combiner(self.fitting(fields, "gives", D::Current, SOURCE_KINDS[kind])),
        }
    }

    /// The stores that a key names, all of one kind.
    pub(super) fn stores_of(
        &mut self,
        fields: Fields<'a>,
        key: &str,
        stores: &Table<StoreId, Store>,
        kind: &str,
    ) -> Vec<StoreId> {
        let named: Vec<StoreId> = self.links(fields, key, "stores");
        for id in named.iter().filter(|id| stores[**id].kind.word() != kind) {
            let store = &stores[*id];
            let span = self.span_in_list(fields, key, &store.id);
            self.reader.report(
                Diagnostic::error(
                    "wrong-store",
                    span,
                    format!(
                        "\"{}\" is a store of the kind \"{}\", which does not fit here.",
                        store.id,
                        store.kind.word()
                    ),
                )
                .expected(format!("stores of the kind \"{kind}\""))
                .mend(format!("Name a store of the kind \"{kind}\" in `{key}`.")),
            );
        }
        named
    }

    fn span_in_list(&self, fields: Fields<'a>, key: &str, id: &str) -> Span {
        let Some(Node { value: Value::List(list), span }) = fields.get(key) else { return fields.span };
        let here = list.iter().find(|node| matches!(&node.value, Value::Text(text) if text == id));
        here.map_or(*span, |node| self.reader.inner(node, id))
    }

    pub(super) fn modes(&mut self) -> Table<ModeId, Mode> {
        self.table("modes", Thing::Mode, |this, fields, row, _| {
            let found = ACTIVITIES.iter().position(|word| *word == row.id);
            if found.is_none() {
                this.reader.report(
                    Diagnostic::error(
                        "unknown-mode",
                        row.id_span,
                        format!("There is no mode \"{}\".", row.id),
                    )
                    .expected(quoted_list(ACTIVITIES))
                    .near(nearest(&row.id, ACTIVITIES.iter().copied()))
                    .mend("Use one of these names for what the boat is doing."),
                );
            }
            Mode {
                activity: Activity::ALL[found.unwrap_or(0)],
                name: this.reader.needed_text(fields, "name"),
                holds: this.reader.assigns(fields, "holds"),
                rpm: this.reader.quantity(fields, "rpm", D::RotationalSpeed),
                source: this.reader.text(fields, "source"),
            }
        })
    }

    pub(super) fn tackle(&mut self) -> Table<TackleId, GroundTackle> {
        self.table("tackle", Thing::Tackle, |this, fields, row, _| GroundTackle {
            id: row.id.clone(),
            name: this.reader.needed_text(fields, "name"),
            item: this.link(fields, "item", "items"),
            chain: this.reader.quantity(fields, "chain", D::Length),
            chain_size: this.more_than_nothing(fields, "chain_size", D::Length),
            rope: this.reader.quantity(fields, "rope", D::Length),
            rope_size: this.more_than_nothing(fields, "rope_size", D::Length),
            bow_height: this.reader.quantity(fields, "bow_height", D::Length),
            holds: this.more_than_nothing(fields, "holds", D::Force),
            source: this.reader.text(fields, "source"),
        })
    }
}
