//! What a hand says at a stop: read from the form, judged, and turned into what is recorded.

use quantity::{Mass, Money, Ratio, Time, Voltage, Volume};
use records::{
    About, Amount, EventId, Level, Look, Mark, Meter, Moment, Past, Reading, Showing, What, plausible,
};

use super::figures::{meter_key, number};
use super::flaw::Flaw;
use super::handover::{Handover, Walking};
use super::judge;
use super::stops::Stop;
use crate::words;

/// Something to record.
#[derive(Debug, Clone, PartialEq)]
pub struct Saying {
    /// Its number on the form: the same thing has the same number whenever the form is sent.
    pub number: u32,
    /// What is said.
    pub what: What,
    /// The event that it corrects.
    pub answers: Option<EventId>,
}

/// What a form came to.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Told {
    /// What is to be recorded.
    pub sayings: Vec<Saying>,
    /// What must be mended or looked at again; all else counts.
    pub flaws: Vec<Flaw>,
}

// Numbers of the kinds of fields; no place holds so many of any.
const KIT: u32 = 0;
const METER: u32 = 1000;
const ITEM: u32 = 2000;
const TOPIC: u32 = 3000;
const FILL: u32 = 4000;
const NOTE: u32 = 5000;
const RIGHT: u32 = 6000;

/// The most characters of a note.
const NOTE_LENGTH: usize = 2000;

impl Told {
    /// Reads what was sent from a stop. What was said before by the same hand on the same device and is unchanged is
    /// left out; what has changed corrects it.
    pub fn read(
        over: &Handover<'_>,
        walk: Walking,
        stop: &Stop,
        typed: &[(String, String)],
        now: Moment,
    ) -> Self {
        let mut reading = Reader { over, walk, typed, now, told: Self::default() };
        reading.kit(stop);
        reading.meters(stop);
        reading.items(stop);
        reading.topics(stop);
        reading.fillings(stop);
        reading.note();
        reading.right();
        reading.told
    }
}

struct Reader<'a> {
    over: &'a Handover<'a>,
    walk: Walking,
    typed: &'a [(String, String)],
    now: Moment,
    told: Told,
}

impl Reader<'_> {
    fn get(&self, field: &str) -> &str {
        self.typed.iter().find(|(own, _)| own == field).map_or("", |(_, value)| value.trim())
    }

    fn say(&mut self, number: u32, what: What, answers: Option<EventId>) {
        self.told.sayings.push(Saying { number, what, answers });
    }

    fn flaw(&mut self, field: &str, words: impl Into<String>) {
        self.told.flaws.push(Flaw::wrong(field, words));
    }

    /// A note beside a count or a look.
    fn beside(&self, field: &str) -> Option<String> {
        let note: String = self.get(&format!("{field}.note")).chars().take(NOTE_LENGTH).collect();
        (!note.is_empty()).then_some(note)
    }

    /// Of what was said of a thing, what this hand said on this device.
    fn mine<'s, T>(&self, said: Option<&'s Vec<T>>, mark: impl Fn(&T) -> &Mark) -> Option<&'s T> {
        said?.iter().rfind(|one| self.over.mine(mark(one)))
    }

    fn kit(&mut self, stop: &Stop) {
        let (boat, stands, walk) = (self.over.boat(), self.over.stands, self.walk.walk());
        for (id, at) in stop.kit.iter().zip(KIT..) {
            let line = boat.kit[*id].id.clone();
            let field = format!("kit.{line}");
            let text = self.get(&field);
            if text.is_empty() {
                continue;
            }
            let Ok(count) = text.parse::<u32>() else {
                self.flaw(&field, format!("{}: write a whole number, such as 4.", boat.kit[*id].name));
                continue;
            };
            if count > 9999 {
                self.flaw(
                    &field,
                    format!("{}: {count} is more than can be. Count again.", boat.kit[*id].name),
                );
                continue;
            }
            let note = self.beside(&field);
            let before = self.mine(stands.counts.get(&(walk, line.clone())), |one| &one.mark);
            if before.is_none_or(|one| one.count != count || one.note != note) {
                let answers = before.map(|one| one.mark.content);
                self.say(at, What::Counted { walk, line, count, note }, answers);
            }
        }
    }

    fn meters(&mut self, stop: &Stop) {
        let (stands, walk) = (self.over.stands, self.walk.walk());
        for (meter, at) in stop.meters.iter().zip((METER..).step_by(2)) {
            let field = meter_key(meter);
            let text = self.get(&field).to_owned();
            if text.is_empty() {
                continue;
            }
            let Some(reading) = number(&text).map(|number| self.reading(meter, number)) else {
                self.flaw(&field, "This is not a number. Write it as the meter shows it, such as 1234.5.");
                continue;
            };
            let before = self.mine(stands.readings.get(&(walk, meter.clone())), |one| &one.mark);
            if before.is_some_and(|one| one.reading == reading) {
                continue;
            }
            let answers = before.map(|one| (one.mark.event, one.mark.content));
            let Some(past) = self.past(meter, &field, at, answers.map(|(event, _)| event)) else { continue };
            let judged = plausible(&reading, self.now, &past, self.over.boat());
            let sure = self.get(&format!("sure.{field}")) == text;
            match judge::flaw(self.over, &field, &reading, &past, judged, sure, self.now) {
                Some(flaw) => self.told.flaws.push(flaw),
                None => self.say(at + 1, What::Read { walk, reading }, answers.map(|(_, content)| content)),
            }
        }
    }

    /// What was known of a meter before this walk's own reading; nothing if the first figure of a new meter is wrong.
    fn past(&mut self, meter: &Meter, field: &str, at: u32, own: Option<EventId>) -> Option<Past> {
        let mut past = judge::past(self.over, meter, own);
        let store = match meter {
            Meter::EngineHours(id)
            | Meter::Tank(id)
            | Meter::Voltage(id)
            | Meter::Charge(id)
            | Meter::Gas(id) => id,
        };
        past.filled |= !self.get(&format!("fill.{store}")).is_empty();
        let Meter::EngineHours(engine) = meter else { return Some(past) };
        let new_field = format!("new.{field}");
        let begins = self.get(&new_field).to_owned();
        if begins.is_empty() {
            return Some(past);
        }
        let Some(first) = number(&begins).filter(|first| *first >= 0.0) else {
            self.flaw(&new_field, "Write what the new meter showed first, such as 0.");
            return None;
        };
        let (engine, new) = (engine.clone(), Time::hours(first));
        self.say(at, What::MeterReplaced { engine: engine.clone(), old: None, new }, None);
        // Nobody says when it was put in: any time since the old one was read.
        let since = past.last.map_or(Moment::from_milliseconds(0), |(_, when)| when);
        Some(Past { last: Some((Reading::EngineHours { engine, hours: new }, since)), filled: false })
    }

    fn reading(&self, meter: &Meter, number: f64) -> Reading {
        match meter {
            Meter::EngineHours(engine) => {
                Reading::EngineHours { engine: engine.clone(), hours: Time::hours(number) }
            }
            Meter::Tank(store) => {
                let litres = self.get(&format!("{}.unit", meter_key(meter))) == "L";
                let part = Level::Part(Ratio::percent(number));
                let level = if litres { Level::Volume(Volume::litres(number)) } else { part };
                Reading::Tank { store: store.clone(), level }
            }
            Meter::Voltage(store) => {
                Reading::Voltage { store: store.clone(), voltage: Voltage::volts(number) }
            }
            Meter::Charge(store) => Reading::Charge { store: store.clone(), charge: Ratio::percent(number) },
            Meter::Gas(store) => Reading::Gas { store: store.clone(), mass: Mass::kilograms(number) },
        }
    }

    fn items(&mut self, stop: &Stop) {
        let (boat, stands, walk) = (self.over.boat(), self.over.stands, self.walk.walk());
        for (id, at) in stop.items.iter().zip(ITEM..) {
            let item = boat.items[*id].id.clone();
            let field = format!("item.{item}");
            let look = match self.get(&field) {
                "ok" => Look::Ok,
                "not-ok" => Look::NotOk,
                "not-looked-at" => Look::NotLookedAt,
                _ => continue,
            };
            let note = self.beside(&field);
            let before = self.mine(stands.looks.get(&(walk, item.clone())), |one| &one.mark);
            // That nobody looked is only worth a line where it takes back a look.
            let news = before.map_or(look != Look::NotLookedAt, |one| one.look != look || one.note != note);
            if news {
                let answers = before.map(|one| one.mark.content);
                self.say(at, What::Checked { walk, item, look, note }, answers);
            }
        }
    }

    fn topics(&mut self, stop: &Stop) {
        let (boat, stands) = (self.over.boat(), self.over.stands);
        for (id, at) in stop.topics.iter().zip(TOPIC..) {
            let topic = boat.topics[*id].id.clone();
            let showing = match self.get(&format!("topic.{topic}")) {
                "shown" => Showing::Shown,
                "told" => Showing::ToldOnly,
                "left-out" => Showing::NotDone,
                _ => continue,
            };
            let before = stands.briefed.get(&topic);
            if before.map_or(Showing::NotDone, |one| one.showing) != showing {
                let answers = before.filter(|one| self.over.mine(&one.mark)).map(|one| one.mark.content);
                self.say(at, What::Briefed { topic, showing }, answers);
            }
        }
    }

    /// What was put into a tank or bottle, and tanks that were emptied, at the stop where they are read.
    fn fillings(&mut self, stop: &Stop) {
        let stores = stop.meters.iter().filter_map(|meter| match meter {
            Meter::Tank(store) => Some((store, false)),
            Meter::Gas(store) => Some((store, true)),
            _ => None,
        });
        for ((store, gas), at) in stores.zip((FILL..).step_by(2)) {
            if self.get(&format!("emptied.{store}")) == "yes" {
                self.say(at, What::Emptied { store: store.clone() }, None);
            }
            let field = format!("fill.{store}");
            let text = self.get(&field).to_owned();
            if text.is_empty() {
                continue;
            }
            let Some(much) = number(&text).filter(|much| (0.0..10_000.0).contains(much) && *much > 0.0)
            else {
                self.flaw(&field, "Write how much went in as a number, such as 85.");
                continue;
            };
            let cost = match self.cost(&format!("{field}.cost")) {
                Ok(cost) => cost,
                Err(flaw) => {
                    self.told.flaws.push(flaw);
                    continue;
                }
            };
            let amount =
                if gas { Amount::Mass(Mass::kilograms(much)) } else { Amount::Volume(Volume::litres(much)) };
            self.say(at + 1, What::Filled { store: store.clone(), amount, cost }, None);
        }
    }

    /// What something cost, if that was said; what is wrong with it, if it is no money.
    fn cost(&self, field: &str) -> Result<Option<Money>, Flaw> {
        let text = self.get(field);
        if text.is_empty() {
            return Ok(None);
        }
        match Money::parse(text) {
            Ok(money) if money.minor_units() >= 0 => Ok(Some(money)),
            Ok(_) => Err(Flaw::wrong(field, "A cost can't be less than nothing.")),
            Err(error) => Err(Flaw::wrong(field, words::capital(&error.to_string()))),
        }
    }

    fn note(&mut self) {
        let words: String = self.get("note").chars().take(NOTE_LENGTH).collect();
        if !words.is_empty() {
            self.say(NOTE, What::Noted { words }, None);
        }
    }

    /// Which of several hands is right: the others' events are corrected to that.
    fn right(&mut self) {
        let Ok(right) = self.get("right").parse::<EventId>() else { return };
        let (over, walk) = (self.over, self.walk.walk());
        let here = over.standing.disagreements.iter();
        let dispute = here
            .clone()
            .find(|one| one.charter == *over.charter && one.walk == walk && one.events.contains(&right));
        let Some(dispute) = dispute else { return };
        let Some(what) = said(over, &dispute.about, self.walk, right) else { return };
        // What was typed for the same thing on this page gives way to the decision.
        self.told.sayings.retain(|saying| about(&saying.what).as_ref() != Some(&dispute.about));
        for (event, at) in dispute.events.iter().filter(|event| **event != right).zip(RIGHT..) {
            let same = said(over, &dispute.about, self.walk, *event).as_ref() == Some(&what);
            if !same {
                self.say(at, what.clone(), Some(*event));
            }
        }
    }
}

/// What an event of a walk says of a thing, without its note.
fn said(over: &Handover<'_>, about: &About, walk: Walking, event: EventId) -> Option<What> {
    let (stands, walk) = (over.stands, walk.walk());
    match about {
        About::Kit(line) => {
            let one =
                stands.counts.get(&(walk, line.clone()))?.iter().find(|one| one.mark.content == event)?;
            Some(What::Counted { walk, line: line.clone(), count: one.count, note: None })
        }
        About::Meter(meter) => {
            let one =
                stands.readings.get(&(walk, meter.clone()))?.iter().find(|one| one.mark.content == event)?;
            Some(What::Read { walk, reading: one.reading.clone() })
        }
        About::Item(item) => {
            let one =
                stands.looks.get(&(walk, item.clone()))?.iter().find(|one| one.mark.content == event)?;
            Some(What::Checked { walk, item: item.clone(), look: one.look, note: None })
        }
    }
}

fn about(what: &What) -> Option<About> {
    match what {
        What::Counted { line, .. } => Some(About::Kit(line.clone())),
        What::Read { reading, .. } => Some(About::Meter(reading.meter())),
        What::Checked { item, .. } => Some(About::Item(item.clone())),
        _ => None,
    }
}
