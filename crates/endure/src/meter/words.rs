//! The check in words: what each reading says, what may be amiss, what to look at next.

use boat::model::{Boat, Liquid};

use super::gauge::{Gauged, Kind};
use super::judge::{Fit, Judged, together};
use super::learned::{TOO_FEW, words_name};
use super::suspect::{Cause, Suspect};
use super::{ReadingJudged, StoreJudged};
use crate::voyage::Voyage;
use crate::words::moment;

/// What readings can be of, for words.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Of {
    Bank,
    Water,
    Waste,
    Diesel,
    Gas,
    Hours,
}

fn of(voyage: &Voyage, kind: Kind) -> Of {
    match kind {
        Kind::Volts(_) | Kind::Charge(_) => Of::Bank,
        Kind::Hours => Of::Hours,
        Kind::Level(ledger, _) => match voyage.ledgers[ledger].liquid {
            Some(Liquid::Water) => Of::Water,
            Some(Liquid::Waste) => Of::Waste,
            Some(Liquid::Diesel) => Of::Diesel,
            None => Of::Gas,
        },
    }
}

/// The name of what is read, all tanks used together as one.
pub(super) fn name(boat: &Boat, voyage: &Voyage, kind: Kind) -> String {
    match kind {
        Kind::Volts(bank) | Kind::Charge(bank) => boat.stores[voyage.banks[bank].store].name.clone(),
        Kind::Level(at, _) => match voyage.ledgers[at].stores[..] {
            [one] => boat.stores[one].name.clone(),
            _ => match of(voyage, kind) {
                Of::Water => "Fresh water",
                Of::Waste => "Holding tanks",
                Of::Diesel => "Diesel",
                _ => "Cooking gas",
            }
            .to_owned(),
        },
        Kind::Hours => "Engine hours".to_owned(),
    }
}

/// The name of the one tank that a gauge is of.
fn gauge_name(boat: &Boat, voyage: &Voyage, kind: Kind) -> String {
    match kind {
        Kind::Level(at, own) => boat.stores[voyage.ledgers[at].stores[own]].name.clone(),
        _ => name(boat, voyage, kind),
    }
}

fn shown(kind: Kind, value: f64) -> String {
    match kind {
        Kind::Volts(_) => format!("{value:.2} V"),
        Kind::Charge(_) | Kind::Level(..) => format!("{:.0} %", 100.0 * value.clamp(0.0, 1.0)),
        Kind::Hours => format!("{:.1} h", value.max(0.0)),
    }
}

/// One reading for the crew.
pub(super) fn reading(boat: &Boat, voyage: &Voyage, reading: &Gauged, judged: &Judged) -> ReadingJudged {
    let kind = reading.kind;
    let tail = judged.tail();
    let fit = Fit::of(tail);
    let (low, high) =
        (shown(kind, f64::from(judged.expected.low)), shown(kind, f64::from(judged.expected.high)));
    let expected = if low == high { low } else { format!("{low} to {high}") };
    let way = if judged.below < 0.5 { "lower" } else { "higher" };
    let says = match fit {
        Fit::Well => "as expected".to_owned(),
        Fit::Doubtful => format!("{way} than expected"),
        Fit::NotAtAll => format!("much {way} than expected"),
    };
    let words = format!(
        "{}, {}: {} is {says} ({expected}).",
        gauge_name(boat, voyage, kind),
        moment("", reading.minute),
        shown(kind, reading.seen)
    );
    ReadingJudged { number: reading.number, expected: judged.expected, seen: reading.seen, tail, fit, words }
}

/// What the readings of one store say together, before it is known why.
#[derive(Debug, Clone, Copy)]
pub(super) struct Course {
    pub(super) place: Option<usize>,
    /// Any reading of it, and how many there are.
    kind: Kind,
    readings: usize,
    /// The least chance of one reading being so far off, and that of all of them together.
    single: f64,
    together: f64,
    low: bool,
}

/// The stores that were read, in the order of the forecast.
pub(super) fn courses(voyage: &Voyage, readings: &[Gauged], judged: &[Judged]) -> Vec<Course> {
    let mut places: Vec<Option<usize>> = readings.iter().map(|one| one.kind.place(voyage)).collect();
    places.sort_unstable_by_key(|place| place.unwrap_or(usize::MAX));
    places.dedup();
    let of =
        |place| readings.iter().zip(judged).filter(move |(one, _)| one.kind.place(voyage) == place).collect();
    places.into_iter().map(|place| course(place, &of(place))).collect()
}

fn course(place: Option<usize>, own: &Vec<(&Gauged, &Judged)>) -> Course {
    let chances: Vec<(usize, f64)> = own.iter().map(|(one, judged)| (one.step, judged.below)).collect();
    let (together, below) = together(&chances);
    let single = own.iter().map(|(_, judged)| judged.tail()).fold(1.0, f64::min);
    let worst = own.iter().find(|(_, judged)| judged.tail() <= single);
    let low = worst.filter(|_| single < together).map_or(below, |(_, judged)| judged.below < 0.5);
    Course { place, kind: own[0].0.kind, readings: own.len(), single, together, low }
}

impl Course {
    /// Whether it lies to the side of what a fault does, and far enough to look for one.
    pub(super) fn suspicious(&self, voyage: &Voyage) -> bool {
        let rises = of(voyage, self.kind) == Of::Waste;
        self.place.is_some() && self.single.min(self.together) < LOOK && self.low != rises
    }

    /// The least of three chances, each over its part of all false alarms (Bonferroni's inequality with weights:
    /// Rosenthal and Rubin, American Psychologist 38 (1983) 540): of all readings together, which finds most faults,
    /// of the worst one, and by how much likelier a fault makes them.
    fn tail(&self, times: f64) -> f64 {
        let single = self.single * self.readings as f64;
        (self.together / TOGETHER).min(single / SINGLE).min(1.0 / times / FAULT).min(1.0)
    }

    /// The judgement, with what would explain it and how many times likelier that makes the readings.
    pub(super) fn judged(
        self,
        boat: &Boat,
        voyage: &Voyage,
        (suspects, times): (Vec<Suspect>, f64),
    ) -> StoreJudged {
        let tail = self.tail(times);
        let fit = Fit::of(tail);
        let (name, what, low) = (name(boat, voyage, self.kind), of(voyage, self.kind), self.low);
        let mut judged = StoreJudged {
            place: self.place,
            name,
            readings: self.readings,
            low,
            together: self.together,
            times,
            tail,
            fit,
            crew: String::new(),
            base: String::new(),
            next: Vec::new(),
            suspects: Vec::new(),
        };
        if fit != Fit::Well {
            let (side, s, lie) =
                (if low { "low" } else { "high" }, plural(self.readings), verb(self.readings));
            judged.crew = format!("{}: {}.", judged.name, amiss(what, low));
            judged.base = format!(
                "{}: {} reading{s} {lie} {side}; by chance alone so in {} of 1000 trips. {}",
                judged.name,
                self.readings,
                per_thousand(tail),
                for_base(what, low)
            );
            for suspect in &suspects {
                judged.base.push(' ');
                judged.base.push_str(&suspect.words);
            }
            judged.next = next(what, low);
            judged.suspects = suspects;
        }
        judged
    }
}

/// The parts of false alarms that go to readings together, to single ones, and to known faults (our judgement: by the
/// faults that each finds).
const TOGETHER: f64 = 0.7;
const SINGLE: f64 = 0.15;
const FAULT: f64 = 0.15;
/// A course is looked into from this chance on.
const LOOK: f64 = 0.3;

fn plural(count: usize) -> &'static str {
    if count == 1 { "" } else { "s" }
}

fn verb(count: usize) -> &'static str {
    if count == 1 { "lies" } else { "lie" }
}

fn per_thousand(tail: f64) -> String {
    if tail < 0.001 { "fewer than 1".to_owned() } else { format!("at most {:.0}", (tail * 1000.0).ceil()) }
}

/// The worst, counted for how many stores were read.
pub(super) fn overall(stores: &[StoreJudged]) -> Fit {
    let least = stores.iter().map(|store| store.tail).fold(1.0, f64::min);
    Fit::of((least * stores.len() as f64).min(1.0))
}

fn amiss(of: Of, low: bool) -> &'static str {
    match (of, low) {
        (Of::Bank, true) => {
            "the bank holds less than it should, or something else is drawing, or it is charged less than planned"
        }
        (Of::Bank, false) => "the gauge reads high, or less is drawn or more is charged than the plan says",
        (Of::Water, true) => "more goes than planned: a leak, a tap left running, or more use",
        (Of::Water, false) => "less is used than planned, or the gauge sticks high",
        (Of::Waste, true) => {
            "less goes in than planned, or the gauge sticks low; a waste gauge is not to be trusted near full"
        }
        (Of::Waste, false) => {
            "it fills faster than planned: more flushes or longer ones, or sea water runs in"
        }
        (Of::Diesel, true) => {
            "more goes than planned: a leak, higher engine speed, a foul hull, or the gauge"
        }
        (Of::Diesel, false) => {
            "less goes than planned, or the gauge sticks high; do not count on the difference"
        }
        (Of::Gas, true) => "more goes than planned: more cooking, or a leak",
        (Of::Gas, false) => {
            "less goes than planned, or the gauge is off; a bottle is only known by its weight"
        }
        (Of::Hours, true) => {
            "the engine has run for less time than planned, so the batteries were charged less"
        }
        (Of::Hours, false) => "the engine has run for more time than planned, so more diesel is gone",
    }
}

fn for_base(of: Of, low: bool) -> &'static str {
    match (of, low) {
        (Of::Bank, true) => "Test the bank's capacity and look for a draw with everything switched off.",
        (Of::Bank, false) => {
            "Compare the gauge with a meter of your own and the loads of the boat file with hers."
        }
        (Of::Water, true) => {
            "Look for a leak in the pressure system; if the crew simply uses more, mend the figure."
        }
        (Of::Water | Of::Waste | Of::Diesel | Of::Gas, false) if of != Of::Waste => {
            "Check the gauge when she is back."
        }
        (Of::Waste, false) => "Check the head's inlet valve and what a flush takes.",
        (Of::Waste, true) => "Check the gauge and the vent when she is back.",
        (Of::Diesel, true) => {
            "Check tank, filters and lines for leaks, and the propeller and hull for growth."
        }
        (Of::Gas, true) => "Test the gas system for leaks before it is used again.",
        _ => "Compare the hour meter with the crew's log.",
    }
}

/// What to look at next.
fn next(of: Of, low: bool) -> Vec<&'static str> {
    match (of, low) {
        (Of::Bank, true) => vec![
            "Tied up or at anchor, with the engine and shore power off: switch everything off at the panel for ten minutes and read the ammeter. It should show close to nothing.",
            "Leave the bilge pump's automatic switch, the gas alarm and, at anchor after dark, the anchor light on: they draw little and you need them.",
            "If it still shows more than about an ampere, switch the breakers on one by one and see which one draws.",
            "If nothing draws, the bank itself is weak. Read the voltage again after an hour with nothing charging and little drawn.",
            "Keep enough in the engine battery to start; do not join the banks except to start the engine.",
            "A battery that is hot, swollen, or smells of rotten eggs: stop charging it, keep flames and sparks away, open hatches, do not touch it, call the base.",
        ],
        (Of::Bank, false) => vec![
            "Read the voltage again after an hour with nothing charging and little drawn: just after charging it stands high.",
            "Until two gauges agree, do not count on what seems to be left over.",
        ],
        (Of::Water, true) => vec![
            "Listen for the water pump with all taps shut: if it runs now and then, water is going somewhere.",
            "Look in the bilge: fresh water there is a leak. Switch the pump off when nobody needs it.",
            "Look for a tap or a deck shower left open. Keep drinking water in bottles for each person.",
        ],
        (Of::Waste, false) => vec![
            "Plan the pump-out earlier. Do not flush past full: it can burst a hose or the tank, or come up through the deck.",
            "Shut the head's sea-water inlet between uses, as its card says.",
        ],
        (Of::Waste, true) => vec!["Plan the pump-out by the number of flushes, not by the gauge."],
        (Of::Diesel, true) => vec![
            "With the engine stopped and cool, look and smell below the engine, the filters and the tank: diesel in the bilge is a leak. Do not pump it overboard.",
            "If diesel leaks onto a hot engine there is danger of fire: stop the engine, call the base.",
            "Run at a lower speed and dip the tank if the boat has a stick.",
        ],
        (Of::Gas, true) => vec![
            "If you smell gas or the alarm sounds: no flames, do not touch any switch, shut the bottle, open hatches, get everyone on deck, call the base.",
            "Shut the bottle whenever nobody cooks. Do not look for a leak with a flame.",
        ],
        (Of::Hours, true) => vec![
            "Count on the batteries being lower than planned; run the engine as the plan says, or draw less.",
        ],
        (Of::Hours, false) => {
            vec!["Look at the diesel gauge; mend the plan's engine hours so that the forecast is right."]
        }
        (Of::Water | Of::Diesel | Of::Gas, false) => vec!["Read it again with the boat level and still."],
    }
}

/// A cause in a full sentence.
pub(super) fn cause(voyage: &Voyage, place: usize, cause: Cause) -> String {
    match (cause, voyage.banks.get(place)) {
        (Cause::Holds(part), Some(bank)) => format!(
            "It would fit a bank that holds only about {:.0} % of its rated {:.0} Ah.",
            100.0 * part.as_plain(),
            bank.spec.capacity.as_amp_hours()
        ),
        (Cause::Draws(rate), Some(_)) => {
            format!("It would fit about {rate:.1} A more than the plan counts, drawn day and night.")
        }
        (Cause::Holds(_), None) => String::new(),
        (Cause::Draws(rate), None) => {
            let ledger = &voyage.ledgers[place - voyage.banks.len()];
            let (unit, way) = (ledger.unit(), if ledger.fills() { "running in" } else { "running out" });
            format!(
                "It would fit about {rate:.1} {unit} an hour {way}, day and night, more than the plan counts."
            )
        }
    }
}

/// What to keep in mind about the check.
pub(super) fn notes(effective: f64, fit: Fit, stores: &[StoreJudged]) -> Vec<String> {
    let mut notes = Vec::new();
    if fit != Fit::Well || stores.iter().any(|store| store.fit != Fit::Well) {
        notes.push(
            "Some readings do not fit. The corrected forecast still assumes a sound boat with gauges that work: until the cause is found, treat it as too good."
                .to_owned(),
        );
    }
    if effective < 50.0 {
        notes.push(format!(
            "The readings lie far from all that the plan foresees: the corrected forecast rests on few of the trips that were reckoned (worth {effective:.0}) and is rough."
        ));
    }
    if effective < TOO_FEW {
        notes.push("So few that nothing is said about what has been learned.".to_owned());
    }
    for store in stores.iter().filter(|store| store.suspects.len() > 1) {
        if store.suspects[0].times < 10.0 * store.suspects[1].times {
            notes.push(format!(
                "The readings of the {} do not tell which of its likely causes it is.",
                words_name(&store.name)
            ));
        }
    }
    notes
}
