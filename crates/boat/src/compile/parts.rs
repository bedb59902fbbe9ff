//! Particulars, places, items, cautions, kit, upkeep, topics.

use quantity::{Angle, Dimension, Length, Time};

use super::Compiler;
use crate::diagnostic::Diagnostic;
use crate::document::{Node, Table as Written, Value};
use crate::format::{Kind, PARTICULARS};
use crate::model::{
    Caution, CautionId, Gear, Hazard, Hull, Id, Interval, Item, ItemId, KitId, KitLine, Level, Particulars,
    Place, PlaceId, Reach, SignalWord, Spare, Subject, Table, Thing, Topic, TopicId, UpkeepId, UpkeepLine,
};
use crate::read::Fields;
use crate::source::{SourceId, Span};

/// Stands in for a length that can't be read, which is reported.
const ANY_LENGTH: Length = Length::metres(1.0);

const LEVELS: [Level; 5] = [Level::Dock, Level::Aloft, Level::Deck, Level::Below, Level::Bilge];
const REACHES: [Reach; 6] =
    [Reach::AtHand, Reach::Lid, Reach::Boards, Reach::Crawl, Reach::Climb, Reach::Tools];
const WORDS: [SignalWord; 4] =
    [SignalWord::Danger, SignalWord::Warning, SignalWord::Caution, SignalWord::Notice];
pub(super) const HAZARDS: [Hazard; 13] = [
    Hazard::Gas,
    Hazard::Fire,
    Hazard::Fuel,
    Hazard::Mains,
    Hazard::Battery,
    Hazard::Flooding,
    Hazard::Overboard,
    Hazard::Fumes,
    Hazard::Hot,
    Hazard::Crush,
    Hazard::Fall,
    Hazard::Sea,
    Hazard::Gear,
];

impl<'a> Compiler<'a> {
    pub(super) fn particulars(&mut self) -> Particulars {
        static NONE: Written = Written { entries: Vec::new() };
        let Some((table, span)) = &self.all.particulars else {
            self.reader.report(
                Diagnostic::error(
                    "missing-section",
                    Span::new(SourceId::BOAT, 0, 0),
                    "The file has no [boat] section.",
                )
                .expected("[boat] with the boat's name, hull, model, rig, length, beam, draught and berths")
                .mend("Add [boat] at the top, with these keys below it."),
            );
            return self.particulars_of(Fields { table: &NONE, keys: PARTICULARS, span: Span::default() });
        };
        self.spans.by_thing.insert(Thing::Particulars, *span);
        let fields = self.reader.fields(table, PARTICULARS, *span, "the section [boat]");
        self.particulars_of(fields)
    }

    fn particulars_of(&mut self, fields: Fields<'a>) -> Particulars {
        Particulars {
            name: self.reader.needed_text(fields, "name"),
            hull: if self.reader.choice(fields, "hull") == Some(1) {
                Hull::Catamaran
            } else {
                Hull::Monohull
            },
            model: self.reader.needed_text(fields, "model"),
            rig: self.reader.needed_text(fields, "rig"),
            length: self.positive_length(fields, "length").unwrap_or(ANY_LENGTH),
            beam: self.positive_length(fields, "beam").unwrap_or(ANY_LENGTH),
            draught: self.positive_length(fields, "draught").unwrap_or(ANY_LENGTH),
            air_draught: self.positive_length(fields, "air_draught"),
            berths: self.reader.integer(fields, "berths").unwrap_or(0),
            built: self.reader.integer(fields, "built"),
            engine: self.reader.text(fields, "engine"),
            most_rpm: self.reader.quantity(fields, "most_rpm", Dimension::RotationalSpeed),
            batteries: self.reader.text(fields, "batteries"),
            latitude: self.angle(fields, "latitude", 90.0),
            longitude: self.angle(fields, "longitude", 180.0),
            utc_offset: self.utc_offset(fields),
            flag: self.reader.text(fields, "flag"),
            waters: self.reader.text(fields, "waters"),
            notes: self.reader.texts(fields, "notes"),
        }
    }

    /// How far the clocks are ahead of UTC: some hours either way.
    fn utc_offset(&mut self, fields: Fields<'a>) -> Option<Time> {
        let node = fields.get("utc_offset")?;
        let found = self.reader.quantity_node(node, "utc_offset", Some(Dimension::Time), true)?;
        let offset = Time::try_from(found).ok()?;
        if offset.abs() <= Time::hours(14.0) {
            return Some(offset);
        }
        self.reader.report(
            Diagnostic::error("out-of-range", node.span, "No clock is that far from UTC.")
                .expected("hours from -14 h to 14 h")
                .mend("Write the hours to add to UTC, such as \"-4 h\"."),
        );
        None
    }

    /// An angle either way from nothing.
    fn angle(&mut self, fields: Fields<'a>, key: &str, most: f64) -> Option<Angle> {
        let node = fields.get(key)?;
        let expected = format!("an angle from -{most}° to {most}°, such as \"43.9°\"");
        if let Value::Text(text) = &node.value {
            if text.trim_end().ends_with(['N', 'S', 'E', 'W', 'n', 's', 'e', 'w']) {
                self.reader.report(
                    Diagnostic::error(
                        "quantity",
                        self.reader.inner(node, text),
                        format!("`{key}` has a compass letter."),
                    )
                    .expected(expected)
                    .mend("Write degrees and tenths; south and west have a minus sign, such as \"-69.6°\"."),
                );
                return None;
            }
        }
        let found = self.reader.quantity_node(node, key, Some(Dimension::Angle), true)?;
        let angle = Angle::try_from(found).ok()?;
        if angle.abs() <= Angle::degrees(most) {
            return Some(angle);
        }
        self.reader.report(
            Diagnostic::error("out-of-range", node.span, format!("`{key}` is past {most}°."))
                .expected(expected)
                .mend("Look at the chart; south and west have a minus sign."),
        );
        None
    }

    /// A length of more than nothing.
    fn positive_length(&mut self, fields: Fields<'a>, key: &str) -> Option<Length> {
        let length: Length = self.reader.quantity(fields, key, Dimension::Length)?;
        if length > Length::metres(0.0) {
            return Some(length);
        }
        let span = match fields.get(key) {
            Some(node @ Node { value: Value::Text(text), .. }) => self.reader.inner(node, text),
            _ => fields.span,
        };
        self.reader.report(
            Diagnostic::error("out-of-range", span, format!("`{key}` is nothing."))
                .expected("a length of more than 0 m")
                .mend("Measure it and write it, such as \"2.4 m\"."),
        );
        None
    }

    pub(super) fn places(&mut self) -> Table<PlaceId, Place> {
        let places = self.table("places", Thing::Place, |this, fields, row, _| {
            let reach = this.reader.choice(fields, "reach");
            let place = Place {
                id: row.id.clone(),
                name: this.reader.needed_text(fields, "name"),
                within: this.link(fields, "in", "places"),
                level: LEVELS[this.reader.choice(fields, "level").unwrap_or(2)],
                aft: this.reader.quantity(fields, "aft", Dimension::Length).unwrap_or(ANY_LENGTH),
                starboard: this.side(fields),
                long: this.positive_length(fields, "long").unwrap_or(ANY_LENGTH),
                wide: this.positive_length(fields, "wide").unwrap_or(ANY_LENGTH),
                reach: REACHES[reach.unwrap_or(0)],
                way: this.reader.words(fields, "way"),
            };
            this.inside_hull(&place, row.id_span);
            place
        });
        self.place_cycles(&places);
        places
    }

    /// A distance from the centreline: starboard positive.
    fn side(&mut self, fields: Fields<'a>) -> Length {
        let centre = Length::metres(0.0);
        let Some(node) = fields.get("side") else { return centre };
        let Some(text) = self.reader.text_node(node, "side", Kind::Side) else { return centre };
        let (number, sign) = match text.trim_end() {
            words if words.ends_with(" port") => (words.trim_end_matches(" port"), Some(-1.0)),
            words if words.ends_with(" starboard") => (words.trim_end_matches(" starboard"), Some(1.0)),
            words => (words, None),
        };
        let at = self.reader.inner(node, &text);
        let (headline, mend) = match (Length::parse(number), sign) {
            (Ok(length), Some(sign)) if length > centre => return length * sign,
            (Ok(length), _) if length == centre => return centre,
            (Ok(length), _) if length < centre => (
                "A distance from the centreline is less than nothing.".to_owned(),
                "Write it without the minus sign, then port or starboard.".to_owned(),
            ),
            (Err(error), Some(_)) => (
                error.headline(),
                error.help().unwrap_or_else(|| "Write the distance, then port or starboard.".to_owned()),
            ),
            _ => (
                format!("\"{text}\" does not say how far from the centreline, and to which side."),
                "Write the distance, then port or starboard.".to_owned(),
            ),
        };
        self.reader
            .report(Diagnostic::error("bad-side", at, headline).expected(Kind::Side.expected()).mend(mend));
        centre
    }

    /// A place aboard that lies outside the boat is a slip of the measuring tape.
    fn inside_hull(&mut self, place: &Place, span: Span) {
        let Some((table, _)) = &self.all.particulars else { return };
        let measure = |key: &str| match table.get(key) {
            Some(Node { value: Value::Text(text), .. }) => {
                Length::parse(text).ok().filter(|length| *length > Length::metres(0.0))
            }
            _ => None,
        };
        let (Some(length), Some(beam)) = (measure("length"), measure("beam")) else { return };
        if place.level == Level::Dock {
            return;
        }
        let room = Length::metres(0.6);
        let aft = place.aft + place.long / 2.0;
        let side = if place.starboard < Length::metres(0.0) { -place.starboard } else { place.starboard };
        let off = side + place.wide / 2.0;
        if aft > length + room || off > beam / 2.0 + room {
            self.reader.report(
                Diagnostic::warning(
                    "outside-hull",
                    span,
                    format!("\"{}\" reaches outside the boat.", place.name),
                )
                .expected(format!("a place within {length} length and {beam} beam"))
                .mend("Measure `aft`, `side`, `long` and `wide` again; they give the middle and the size."),
            );
        }
    }

    fn place_cycles(&mut self, places: &Table<PlaceId, Place>) {
        for (id, place) in places.iter_ids() {
            let mut at = place.within;
            let mut left = places.len();
            while let Some(next) = at.filter(|next| *next != id && left > 0) {
                at = places.get(next).and_then(|place| place.within);
                left -= 1;
            }
            if at == Some(id) {
                let span = self.spans.by_thing[&Thing::Place(id)];
                self.reader.report(
                    Diagnostic::error(
                        "cycle",
                        span,
                        format!("The place \"{}\" lies inside itself.", place.id),
                    )
                    .expected("places in places, like boxes in boxes")
                    .mend("Change `in` of one of the places on the way round."),
                );
            }
        }
    }

    pub(super) fn items(&mut self) -> Table<ItemId, Item> {
        self.table("items", Thing::Item, |this, fields, row, id| {
            this.class_keys(fields);
            Item {
                id: row.id.clone(),
                name: this.reader.needed_text(fields, "name"),
                class: this.reader.text(fields, "class"),
                place: this.link(fields, "place", "places").unwrap_or(PlaceId::at(0)),
                find: this.reader.words(fields, "find"),
                also: this.reader.texts(fields, "also"),
                picture: this.reader.text(fields, "picture"),
                label: this.reader.text(fields, "label"),
                spares: this.spares(fields),
                emergency: this.reader.bool(fields, "emergency"),
                counts_as: this.counts_as(fields),
                limits: this.limits(fields, |at| Thing::ItemLimit(id, at)),
                source: this.reader.text(fields, "source"),
            }
        })
    }

    /// The keys that say how the item's class fills it; the class itself was read before.
    fn class_keys(&mut self, fields: Fields<'a>) {
        let given = self.reader.entries(fields, "with", Kind::Parameters);
        for entry in given
            .iter()
            .filter(|entry| !matches!(entry.node.value, Value::Text(_) | Value::Integer(_) | Value::Float(_)))
        {
            self.reader.wrong_kind(&entry.node, &entry.key, Kind::Text);
        }
        self.reader.texts(fields, "omit");
        self.reader.bool(fields, "written_out");
        if fields.get("class").is_some() {
            return;
        }
        for entry in ["with", "omit", "written_out"].into_iter().filter_map(|key| fields.table.entry(key)) {
            self.reader.report(
                Diagnostic::error(
                    "without-class",
                    entry.key_span,
                    format!("`{}` means nothing without `class`.", entry.key),
                )
                .expected("`class` in the same entry")
                .mend("Add `class` with the name of a class of the library, or remove the line."),
            );
        }
    }

    fn spares(&mut self, fields: Fields<'a>) -> Vec<Spare> {
        let rows = self.reader.rows(fields, "spares", "a spare");
        rows.into_iter()
            .map(|row| Spare {
                name: self.reader.needed_text(row, "name"),
                place: self.link(row, "place", "places"),
            })
            .collect()
    }

    pub(super) fn cautions(&mut self) -> Table<CautionId, Caution> {
        self.table("cautions", Thing::Caution, |this, fields, row, id| Caution {
            id: row.id.clone(),
            word: WORDS[this.reader.choice(fields, "word").unwrap_or(0)],
            hazard: HAZARDS[this.reader.choice(fields, "hazard").unwrap_or(0)],
            text: this.reader.needed_words(fields, "text"),
            restates: this.restates(fields, |at| Thing::CautionLimit(id, at)),
            source: this.reader.text(fields, "source"),
        })
    }

    pub(super) fn kit(&mut self) -> Table<KitId, KitLine> {
        self.table("kit", Thing::Kit, |this, fields, row, _| KitLine {
            id: row.id.clone(),
            name: this.reader.needed_text(fields, "name"),
            count: this.reader.integer(fields, "count").unwrap_or(0),
            place: this.link(fields, "place", "places").unwrap_or(PlaceId::at(0)),
            expires: this.reader.date(fields, "expires"),
            price: this.reader.money(fields, "price"),
            check: this.reader.words(fields, "check"),
            counts_as: this.counts_as(fields),
            fits_from: this.reader.quantity(fields, "fits_from", Dimension::Mass),
            fits_to: this.reader.quantity(fields, "fits_to", Dimension::Mass),
        })
    }

    pub(super) fn counts_as(&mut self, fields: Fields<'a>) -> Vec<Gear> {
        self.reader.choices(fields, "counts_as").into_iter().map(|at| Gear::ALL[at]).collect()
    }

    pub(super) fn upkeep(&mut self) -> Table<UpkeepId, UpkeepLine> {
        self.table("upkeep", Thing::Upkeep, |this, fields, row, _| UpkeepLine {
            id: row.id.clone(),
            name: this.reader.needed_text(fields, "name"),
            item: this.link(fields, "item", "items"),
            every: this.interval(fields),
            parts: this.reader.texts(fields, "parts"),
            takes: this.reader.quantity(fields, "takes", Dimension::Time),
            skill: this.reader.choice(fields, "skill").and_then(|_| this.reader.text(fields, "skill")),
            source: this.reader.text(fields, "source"),
        })
    }

    fn interval(&mut self, fields: Fields<'a>) -> Interval {
        let Some(every) = self.reader.row(fields, "every", "the interval") else {
            return Interval::default();
        };
        let interval = Interval {
            engine_hours: self.reader.quantity(every, "engine_hours", Dimension::Time),
            days: self.reader.integer(every, "days"),
            charters: self.reader.integer(every, "charters"),
            date: self.reader.date(every, "date"),
        };
        if every.table.entries.is_empty() {
            self.reader.report(
                Diagnostic::error("never-due", every.span, "The interval says nothing, so it is never due.")
                    .expected("engine_hours, days, charters or date")
                    .mend("Write at least one, such as { engine_hours = \"200 h\", days = 365 }."),
            );
        }
        interval
    }

    pub(super) fn topics(&mut self) -> Table<TopicId, Topic> {
        let topics = self.table("topics", Thing::Topic, |this, fields, row, id| Topic {
            id: row.id.clone(),
            name: this.reader.needed_text(fields, "name"),
            words: this.reader.needed_words(fields, "words"),
            place: this.link(fields, "place", "places"),
            procedures: this.links(fields, "procedures", "procedures"),
            items: this.links(fields, "items", "items"),
            cautions: this.links(fields, "cautions", "cautions"),
            takes: this.reader.quantity(fields, "takes", Dimension::Time),
            shown: this.reader.bool(fields, "shown"),
            always: this.reader.bool(fields, "always"),
            about: this.reader.choices(fields, "about").into_iter().map(|at| Subject::ALL[at]).collect(),
            after: this.links(fields, "after", "topics"),
            restates: this.restates(fields, |at| Thing::TopicLimit(id, at)),
            source: this.reader.text(fields, "source"),
        });
        self.circles(
            &topics,
            |topic| (&topic.id, &topic.after),
            Thing::Topic,
            "topic",
            "a topic that can be shown first",
        );
        topics
    }
}
