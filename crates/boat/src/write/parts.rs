//! Particulars, places, items and the boat's papers.

use super::{Inline, Out, ids, side};
use crate::model::{Boat, Gear, Hazard, Hull, Level, Reach, Restated};

pub(super) fn particulars(boat: &Boat, out: &mut Out) {
    let p = &boat.particulars;
    out.text.push_str("\n[boat]\n");
    out.text("name", &p.name);
    out.text(
        "hull",
        match p.hull {
            Hull::Monohull => "monohull",
            Hull::Catamaran => "catamaran",
        },
    );
    out.text("model", &p.model);
    out.text("rig", &p.rig);
    out.shown("length", Some(&p.length));
    out.shown("beam", Some(&p.beam));
    out.shown("draught", Some(&p.draught));
    out.shown("air_draught", p.air_draught.as_ref());
    out.raw("berths", &p.berths.to_string());
    if let Some(built) = p.built {
        out.raw("built", &built.to_string());
    }
    out.maybe("engine", p.engine.as_deref());
    out.shown("most_rpm", p.most_rpm.as_ref());
    out.maybe("batteries", p.batteries.as_deref());
    out.shown("latitude", p.latitude.as_ref());
    out.shown("longitude", p.longitude.as_ref());
    out.shown("utc_offset", p.utc_offset.as_ref());
    out.maybe("flag", p.flag.as_deref());
    out.maybe("waters", p.waters.as_deref());
    out.texts("notes", &p.notes);
}

pub(super) fn level_word(level: Level) -> &'static str {
    match level {
        Level::Dock => "dock",
        Level::Aloft => "aloft",
        Level::Deck => "deck",
        Level::Below => "below",
        Level::Bilge => "bilge",
    }
}

pub(super) fn reach_word(reach: Reach) -> &'static str {
    match reach {
        Reach::AtHand => "at hand",
        Reach::Lid => "lid",
        Reach::Boards => "boards",
        Reach::Crawl => "crawl",
        Reach::Climb => "climb",
        Reach::Tools => "tools",
    }
}

pub(super) fn places(boat: &Boat, out: &mut Out) {
    for place in &boat.places {
        out.heading("places", &place.id);
        out.text("name", &place.name);
        out.maybe("in", place.within.map(|id| boat.places[id].id.as_str()));
        out.text("level", level_word(place.level));
        out.shown("aft", Some(&place.aft));
        out.text("side", &side(place.starboard));
        out.shown("long", Some(&place.long));
        out.shown("wide", Some(&place.wide));
        out.text("reach", reach_word(place.reach));
        out.maybe("way", place.way.as_deref());
    }
}

pub(super) fn items(boat: &Boat, out: &mut Out) {
    for item in &boat.items {
        out.heading("items", &item.id);
        out.text("name", &item.name);
        if let Some(class) = &item.class {
            out.text("class", class);
            out.yes("written_out", true);
        }
        out.text("place", &boat.places[item.place].id);
        out.maybe("find", item.find.as_deref());
        out.texts("also", &item.also);
        out.maybe("picture", item.picture.as_deref());
        out.maybe("label", item.label.as_deref());
        let spares: Vec<Inline> = item
            .spares
            .iter()
            .map(|spare| {
                let place = spare.place.map(|id| boat.places[id].id.as_str());
                Inline::default().set("name", &spare.name).maybe("place", place)
            })
            .collect();
        out.rows("spares", &spares);
        out.yes("emergency", item.emergency);
        counts_as(&item.counts_as, out);
        super::behaviour::limits(boat, &item.limits, out);
        out.maybe("source", item.source.as_deref());
    }
}

fn restates(boat: &Boat, restated: &[Restated], out: &mut Out) {
    let rows: Vec<Inline> = restated
        .iter()
        .map(|row| {
            Inline::default()
                .set("item", &boat.items[row.item].id)
                .set("kind", row.kind.word())
                .set("is", &super::quantity_text(row.is))
        })
        .collect();
    out.rows("restates", &rows);
}

pub(super) fn cautions(boat: &Boat, out: &mut Out) {
    for caution in &boat.cautions {
        out.heading("cautions", &caution.id);
        out.text("word", caution.word.word());
        out.text("hazard", hazard_word(caution.hazard));
        out.text("text", &caution.text);
        restates(boat, &caution.restates, out);
        out.maybe("source", caution.source.as_deref());
    }
}

pub(super) fn hazard_word(hazard: Hazard) -> &'static str {
    match hazard {
        Hazard::Gas => "gas",
        Hazard::Fire => "fire",
        Hazard::Fuel => "fuel",
        Hazard::Mains => "mains",
        Hazard::Battery => "battery",
        Hazard::Flooding => "flooding",
        Hazard::Overboard => "overboard",
        Hazard::Fumes => "fumes",
        Hazard::Hot => "hot",
        Hazard::Crush => "crush",
        Hazard::Fall => "fall",
        Hazard::Sea => "sea",
        Hazard::Gear => "gear",
    }
}

fn counts_as(gear: &[Gear], out: &mut Out) {
    let words: Vec<&str> = gear.iter().map(|gear| gear.word()).collect();
    out.texts("counts_as", &words);
}

pub(super) fn kit(boat: &Boat, out: &mut Out) {
    for line in &boat.kit {
        out.heading("kit", &line.id);
        out.text("name", &line.name);
        out.raw("count", &line.count.to_string());
        out.text("place", &boat.places[line.place].id);
        out.maybe("expires", line.expires.as_deref());
        out.shown("price", line.price.as_ref());
        out.maybe("check", line.check.as_deref());
        counts_as(&line.counts_as, out);
        out.shown("fits_from", line.fits_from.as_ref());
        out.shown("fits_to", line.fits_to.as_ref());
    }
}

pub(super) fn upkeep(boat: &Boat, out: &mut Out) {
    for line in &boat.upkeep {
        out.heading("upkeep", &line.id);
        out.text("name", &line.name);
        out.maybe("item", line.item.map(|id| boat.items[id].id.as_str()));
        let mut every = Inline::default().shown("engine_hours", line.every.engine_hours.as_ref());
        for (key, count) in [("days", line.every.days), ("charters", line.every.charters)] {
            if let Some(count) = count {
                every = every.raw(key, &count.to_string());
            }
        }
        out.raw("every", &every.maybe("date", line.every.date.as_deref()).text());
        out.texts("parts", &line.parts);
        out.shown("takes", line.takes.as_ref());
        out.maybe("skill", line.skill.as_deref());
        out.maybe("source", line.source.as_deref());
    }
}

pub(super) fn topics(boat: &Boat, out: &mut Out) {
    for topic in &boat.topics {
        out.heading("topics", &topic.id);
        out.text("name", &topic.name);
        out.text("words", &topic.words);
        out.maybe("place", topic.place.map(|id| boat.places[id].id.as_str()));
        out.texts("procedures", &ids(&boat.procedures, &topic.procedures, |row| &row.id));
        out.texts("items", &ids(&boat.items, &topic.items, |row| &row.id));
        out.texts("cautions", &ids(&boat.cautions, &topic.cautions, |row| &row.id));
        out.shown("takes", topic.takes.as_ref());
        out.yes("shown", topic.shown);
        out.yes("always", topic.always);
        let about: Vec<&str> = topic.about.iter().map(|subject| subject.word()).collect();
        out.texts("about", &about);
        out.texts("after", &ids(&boat.topics, &topic.after, |row| &row.id));
        restates(boat, &topic.restates, out);
        out.maybe("source", topic.source.as_deref());
    }
}
