//! Stores, sources, loads, modes, ground tackle.

use quantity::{Quantity, Ratio};

use super::{Out, ids, number, quoted};
use crate::format::{CHEMISTRIES, DAY_PARTS, EVENTS, LOAD_KINDS};
use crate::model::{
    Amount, BankFacts, Boat, Expr, Liquid, Load, Rate, Runs, Source, SourceKind, Store, StoreKind, Without,
};

pub(super) fn stores(boat: &Boat, out: &mut Out) {
    for store in &boat.stores {
        out.heading("stores", &store.id);
        store_keys(boat, store, out);
    }
}

fn store_keys(boat: &Boat, store: &Store, out: &mut Out) {
    out.text("name", &store.name);
    item(boat, store.item, out);
    let (kind, capacity): (_, Quantity) = match &store.kind {
        StoreKind::Battery(bank) => ("battery", bank.capacity.into()),
        StoreKind::Tank(Liquid::Water, volume) => ("water", (*volume).into()),
        StoreKind::Tank(Liquid::Waste, volume) => ("waste", (*volume).into()),
        StoreKind::Tank(Liquid::Diesel, volume) => ("diesel", (*volume).into()),
        StoreKind::Bottle(mass) => ("gas", (*mass).into()),
    };
    out.text("kind", kind);
    out.shown("capacity", Some(&capacity));
    if store.count != 1 {
        out.raw("count", &store.count.to_string());
    }
    out.shown("usable", Some(&store.usable));
    out.maybe("gauge", store.gauge.as_deref());
    out.shown("gauge_error", store.gauge_error.as_ref());
    if let StoreKind::Battery(bank) = &store.kind {
        bank_keys(bank, out);
    }
    out.maybe("source", store.source.as_deref());
}

fn bank_keys(bank: &BankFacts, out: &mut Out) {
    out.text("chemistry", CHEMISTRIES[bank.chemistry as usize]);
    out.shown("voltage", Some(&bank.voltage));
    out.shown("health", bank.health.as_ref());
    out.shown("accepts", bank.accepts.as_ref());
    out.shown("bulk", bank.bulk.as_ref());
    out.shown("float", bank.float.as_ref());
    if let Some(ratio) = bank.in_per_out {
        out.raw("in_per_out", &number(ratio));
    }
    out.shown("resistance", bank.resistance.as_ref());
}

pub(super) fn feeds(boat: &Boat, out: &mut Out) {
    for source in &boat.feeds {
        out.heading("sources", &source.id);
        out.text("name", &source.name);
        item(boat, source.item, out);
        let (kind, gives) = rating(source);
        out.text("kind", kind);
        out.shown("gives", Some(&gives));
        out.shown("share", source.share.as_ref());
        out.texts("into", &ids(&boat.stores, &source.into, |store| &store.id));
        out.texts("from", &ids(&boat.stores, &source.from, |store| &store.id));
        out.shown("voltage", source.voltage.as_ref());
        out.shown("closes", source.closes.as_ref());
        out.shown("draws", source.idle.as_ref());
        when(boat, &source.when, out);
        out.shown("give_or_take", source.give_or_take.as_ref());
        out.maybe("source", source.source.as_deref());
    }
}

fn rating(source: &Source) -> (&'static str, Quantity) {
    match source.kind {
        SourceKind::Alternator(current) => ("alternator", current.into()),
        SourceKind::Charger(current) => ("charger", current.into()),
        SourceKind::Solar(power) => ("solar", power.into()),
        SourceKind::Shore(current) => ("shore", current.into()),
        SourceKind::Inverter(power) => ("inverter", power.into()),
        SourceKind::Combiner(current) => ("combiner", current.into()),
    }
}

pub(super) fn loads(boat: &Boat, out: &mut Out) {
    for load in &boat.loads {
        out.heading("loads", &load.id);
        load_keys(boat, load, out);
    }
}

fn load_keys(boat: &Boat, load: &Load, out: &mut Out) {
    out.text("name", &load.name);
    item(boat, load.item, out);
    out.text("kind", LOAD_KINDS[load.kind as usize]);
    runs(&load.runs, out);
    match load.rate {
        Some(Rate::Current(current)) => out.shown("draws", Some(&current)),
        Some(Rate::Power(power)) => out.shown("draws", Some(&power)),
        Some(Rate::Volume(rate)) => out.shown("burns", Some(&rate)),
        Some(Rate::Mass(rate)) => out.shown("burns", Some(&rate)),
        None => {}
    }
    let key = if load.kind == crate::model::LoadKind::Waste { "into" } else { "from" };
    out.texts(key, &ids(&boat.stores, &load.stores, |store| &store.id));
    when(boat, &load.when, out);
    let during: Vec<&str> = load.during.iter().map(|activity| activity.word()).collect();
    out.texts("during", &during);
    out.maybe(
        "do_without",
        load.do_without.map(|without| match without {
            Without::AtNight => "at_night",
            Without::Altogether => "altogether",
        }),
    );
    out.shown("cable", load.cable.as_ref());
    out.shown("cuts_out", load.cuts_out.as_ref());
    out.shown("give_or_take", load.give_or_take.as_ref());
    out.maybe("source", load.source.as_deref());
}

fn runs(runs: &Runs, out: &mut Out) {
    match runs {
        Runs::Steady(duty) => {
            out.text("runs", "steady");
            if *duty != Ratio::plain(1.0) {
                out.shown("duty", Some(duty));
            }
        }
        Runs::Daily { boat, each, part } => {
            out.text("runs", "daily");
            amount("a_day", boat.as_ref(), out);
            amount("a_day_each", each.as_ref(), out);
            out.text("part_of_day", DAY_PARTS[*part as usize]);
        }
        Runs::Dark => out.text("runs", "dark"),
        Runs::Thermostat { duty, duty_at, inside, time_constant } => {
            out.text("runs", "thermostat");
            out.shown("duty", Some(duty));
            out.shown("duty_at", Some(duty_at));
            out.shown("inside", Some(inside));
            out.shown("time_constant", Some(time_constant));
        }
        Runs::Event { per, takes } => {
            out.text("runs", "event");
            out.text("per", EVENTS[*per as usize]);
            amount("takes", Some(takes), out);
        }
        Runs::Engine(at) => {
            out.text("runs", "engine");
            out.shown("at", Some(at));
        }
    }
}

fn amount(key: &str, amount: Option<&Amount>, out: &mut Out) {
    match amount {
        Some(Amount::Time(time)) => out.shown(key, Some(time)),
        Some(Amount::Volume(volume)) => out.shown(key, Some(volume)),
        Some(Amount::Mass(mass)) => out.shown(key, Some(mass)),
        None => {}
    }
}

pub(super) fn modes(boat: &Boat, out: &mut Out) {
    for mode in &boat.modes {
        out.heading("modes", mode.activity.word());
        out.text("name", &mode.name);
        let holds: Vec<String> = mode.holds.iter().map(|assign| boat.assign_text(assign)).collect();
        out.texts("holds", &holds);
        out.shown("rpm", mode.rpm.as_ref());
        out.maybe("source", mode.source.as_deref());
    }
}

pub(super) fn tackle(boat: &Boat, out: &mut Out) {
    for tackle in &boat.tackle {
        out.heading("tackle", &tackle.id);
        out.text("name", &tackle.name);
        item(boat, tackle.item, out);
        out.shown("chain", tackle.chain.as_ref());
        out.shown("chain_size", tackle.chain_size.as_ref());
        out.shown("rope", tackle.rope.as_ref());
        out.shown("rope_size", tackle.rope_size.as_ref());
        out.shown("bow_height", tackle.bow_height.as_ref());
        out.shown("holds", tackle.holds.as_ref());
        out.maybe("source", tackle.source.as_deref());
    }
}

fn item(boat: &Boat, item: Option<crate::model::ItemId>, out: &mut Out) {
    if let Some(item) = item {
        out.raw("item", &quoted(&boat.items[item].id));
    }
}

fn when(boat: &Boat, when: &Expr, out: &mut Out) {
    if *when != Expr::Const(true) {
        out.text("when", &boat.fact_text(when));
    }
}
