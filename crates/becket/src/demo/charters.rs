//! The charters of a demo boat: eight weeks that are over, what goes on today, what is planned.

use boat::model::{Boat, Liquid, StoreKind};
use quantity::{Money, Ratio, Time};
use records::{
    Amount, Level, Look, Meter, Need, Plan, Reading, Role, Rule, Showing, Signature, Stroke, Strokes, Walk,
    What, usual_rules,
};

use super::teller::{At, Teller, Who, at};

/// Those who booked, by first names that are nobody's.
const NAMES: [&str; 24] = [
    "Ada", "Bram", "Cleo", "Dov", "Edda", "Finn", "Greta", "Hugo", "Ines", "Jory", "Kit", "Lena", "Milo",
    "Nell", "Otis", "Pia", "Quin", "Runa", "Silas", "Tove", "Uma", "Viggo", "Wanda", "Yara",
];

/// How many weeks are over.
pub(super) const WEEKS: i32 = 8;

/// A charter to be told.
#[derive(Clone, Copy)]
struct Sail<'a> {
    slug: &'a str,
    boat: &'a Boat,
    id: &'a str,
    /// Counts up over all charters of the boat.
    number: usize,
    from: At,
    until: At,
}

/// All charters of a boat.
pub(super) fn all(teller: &mut Teller, slug: &str, boat: &Boat) {
    // Dunlin comes back today, turnstone is out for some days more, whimbrel leaves today.
    let since = match slug {
        "dunlin" => 7,
        "turnstone" => 3,
        _ => 1,
    };
    let last = teller.saturday(since);
    for week in (1..=WEEKS).rev() {
        let number = usize::try_from(WEEKS - week).unwrap_or_default();
        let (from, until) = (at(last - 7 * week, 16, 0), at(last - 7 * (week - 1), 10, 0));
        let id = format!("c-{slug}-{}", number + 1);
        let sail = Sail { slug, boat, id: &id, number, from, until };
        plan(teller, &sail);
        readying(teller, &sail);
        check_out(teller, &sail);
        on_the_way(teller, &sail);
        hand_back(teller, &sail);
    }
    going_on(teller, slug, boat);
}

/// The charters that are not over.
fn going_on(teller: &mut Teller, slug: &str, boat: &Boat) {
    let number = usize::try_from(WEEKS).unwrap_or_default();
    let named = |tail: &str| format!("c-{slug}-{tail}");
    let (now, next, later, gone) = (named("now"), named("next"), named("later"), named("gone"));
    let sail = |id, number, from, until| Sail { slug, boat, id, number, from, until };
    match slug {
        "whimbrel" => {
            let leaving = sail(&now, number, at(0, 16, 0), at(7, 10, 0));
            plan(teller, &leaving);
            readying(teller, &leaving);
            plan(teller, &sail(&next, number + 1, at(9, 16, 0), at(16, 10, 0)));
            plan(teller, &sail(&later, number + 2, at(18, 16, 0), at(25, 10, 0)));
        }
        "dunlin" => {
            let coming_back = sail(&now, number, at(-5, 16, 0), at(0, 17, 0));
            out(teller, &coming_back);
            plan(teller, &sail(&next, number + 1, at(1, 16, 0), at(8, 10, 0)));
            plan(teller, &sail(&later, number + 2, at(11, 16, 0), at(18, 10, 0)));
        }
        _ => {
            let under_way = sail(&now, number, at(-2, 16, 0), at(4, 10, 0));
            out(teller, &under_way);
            let cancelled = sail(&gone, number + 1, at(5, 16, 0), at(12, 10, 0));
            plan(teller, &cancelled);
            let reason = "The crew can't come; the deposit was paid back".to_owned();
            teller.tell(Who::Manager, at(-4, 11, 0), slug, Some(&gone), What::Cancelled { reason });
            plan(teller, &sail(&next, number + 2, at(6, 16, 0), at(13, 10, 0)));
        }
    }
}

/// A charter whose boat has left and is not back.
fn out(teller: &mut Teller, sail: &Sail<'_>) {
    plan(teller, sail);
    readying(teller, sail);
    check_out(teller, sail);
}

fn plan(teller: &mut Teller, sail: &Sail<'_>) {
    let seat = sail.number * 3 + sail.slug.len();
    let booked = Some(teller.person(sail.id, 1, NAMES[seat % NAMES.len()]));
    let (Some(from), Some(until)) = (teller.local(sail.from), teller.local(sail.until)) else { return };
    let crew = 2 + u32::try_from(sail.number % 4).unwrap_or_default();
    let plan = Plan { from, until, crew: Some(crew), booked };
    // Long before, and before what is being told of today.
    let when = at((sail.from.day - 30).min(-9), 10, 15);
    teller.tell(Who::Manager, when, sail.slug, Some(sail.id), What::Planned(plan));
}

/// The base makes her ready: the day of leaving at noon; today's boat was ready yesterday.
fn readying(teller: &mut Teller, sail: &Sail<'_>) {
    let day = if sail.from.day >= 0 { -1 } else { sail.from.day };
    let when = at(day, 12, 0);
    go_over(teller, sail, Who::Hand, Walk::Readying, at(day, 11, 0));
    teller.tell(Who::Hand, when, sail.slug, Some(sail.id), What::Readied);
}

fn check_out(teller: &mut Teller, sail: &Sail<'_>) {
    let day = sail.from.day;
    let tell = |teller: &mut Teller, hour, minute, what| {
        teller.tell(Who::Skipper, at(day, hour, minute), sail.slug, Some(sail.id), what);
    };
    go_over(teller, sail, Who::Skipper, Walk::CheckOut, at(day, 15, 0));
    for topic in &sail.boat.topics {
        // Now and then a subject that is not in every briefing is only told, as it is.
        let told_only = !topic.shown || (!topic.always && sail.number % 3 == 1);
        let showing = if told_only { Showing::ToldOnly } else { Showing::Shown };
        tell(teller, 15, 30, What::Briefed { topic: topic.id.clone(), showing });
    }
    sign(teller, sail, Walk::CheckOut, at(day, 15, 50));
    tell(teller, 16, 0, What::CheckedOut);
    tell(teller, 16, 25, What::Left);
}

fn hand_back(teller: &mut Teller, sail: &Sail<'_>) {
    let day = sail.until.day;
    // One crew was an hour late.
    let hour = if sail.number == 3 { 10 } else { 8 };
    let boat = Some(sail.id);
    go_over(teller, sail, Who::Hand, Walk::HandBack, at(day, hour, 50));
    sign(teller, sail, Walk::HandBack, at(day, hour + 1, 20));
    teller.tell(Who::Hand, at(day, hour + 1, 25), sail.slug, boat, What::HandedBack);
    fill(teller, sail, at(day, hour + 1, 40));
    teller.tell(Who::Manager, at(day, 13, 30), sail.slug, boat, What::Settled);
}

/// Counts, readings and looks of a walk: all that the rules ask for.
fn go_over(teller: &mut Teller, sail: &Sail<'_>, who: Who, walk: Walk, when: At) {
    let needs: Vec<Need> = usual_rules(sail.boat)
        .into_iter()
        .map(|Rule { need, .. }| need)
        .filter(|need| of_walk(need, if walk == Walk::Readying { Walk::CheckOut } else { walk }))
        .collect();
    let mut tell = |what| teller.tell(who, when, sail.slug, Some(sail.id), what);
    for need in &needs {
        match need {
            Need::Counted(_, line) => {
                let (count, note) = count(sail, walk, line);
                tell(What::Counted { walk, line: line.clone(), count, note });
            }
            Need::Read(_, meter) => {
                if let Some(reading) = reading(sail, walk, meter) {
                    tell(What::Read { walk, reading });
                }
            }
            Need::LookedAt(_, item) => {
                tell(What::Checked { walk, item: item.clone(), look: Look::Ok, note: None });
            }
            _ => {}
        }
    }
}

fn of_walk(need: &Need, walk: Walk) -> bool {
    matches!(need, Need::Counted(own, _) | Need::Read(own, _) | Need::LookedAt(own, _) if *own == walk)
}

/// How many of a kit line are there; now and then one does not come back.
fn count(sail: &Sail<'_>, walk: Walk, line: &str) -> (u32, Option<String>) {
    let whole = sail.boat.kit.iter().find(|own| own.id == line).map_or(0, |own| own.count);
    let lost = match line {
        "winch_handle" | "winch_handles" => sail.number == 2,
        "mooring_line" | "mooring_lines" => sail.number == 5,
        "boat_hook" | "boathook" => sail.number == 6,
        _ => false,
    };
    if lost && walk == Walk::HandBack && whole > 0 {
        return (whole - 1, Some("One went overboard, the crew says".to_owned()));
    }
    (whole, None)
}

/// What a meter shows: engines run some hours a week, water is used, fuel a little, waste tanks are pumped out.
fn reading(sail: &Sail<'_>, walk: Walk, meter: &Meter) -> Option<Reading> {
    let back = walk == Walk::HandBack;
    let week = sail.number as f64;
    match meter {
        Meter::EngineHours(engine) => {
            let run = if back { 9.4 + f64::from(u8::from(sail.number == 4)) * 13.0 } else { 0.0 };
            let before = 1180.2 + week * 9.4 + if sail.number > 4 { 13.0 } else { 0.0 };
            Some(Reading::EngineHours { engine: engine.clone(), hours: Time::hours(before + run) })
        }
        Meter::Tank(id) => {
            let store = sail.boat.stores.iter().find(|store| store.id == *id)?;
            let StoreKind::Tank(liquid, _) = store.kind else { return None };
            let percent = match (liquid, back) {
                (Liquid::Waste, false) => 0.0,
                (Liquid::Waste, true) => 40.0 + (week * 17.0) % 50.0,
                (_, false) => 100.0,
                (Liquid::Water, true) => 25.0 + (week * 13.0) % 40.0,
                (Liquid::Diesel, true) => 90.0 - (week * 7.0) % 20.0,
            };
            let level = Level::Part(Ratio::percent(percent));
            Some(Reading::Tank { store: id.clone(), level })
        }
        Meter::Voltage(_) | Meter::Charge(_) | Meter::Gas(_) => None,
    }
}

/// Tanks are filled and emptied after a charter.
fn fill(teller: &mut Teller, sail: &Sail<'_>, when: At) {
    for store in &sail.boat.stores {
        let StoreKind::Tank(liquid, each) = store.kind else { continue };
        let id = store.id.clone();
        let what = match liquid {
            Liquid::Waste => What::Emptied { store: id },
            Liquid::Water | Liquid::Diesel => {
                let meter = Meter::Tank(id.clone());
                let Some(Reading::Tank { level: Level::Part(left), .. }) =
                    reading(sail, Walk::HandBack, &meter)
                else {
                    continue;
                };
                let volume = each * f64::from(store.count) * (1.0 - left.as_percent() / 100.0);
                let price = 145.0 * volume.as_litres();
                let cost = (liquid == Liquid::Diesel).then(|| coins(price)).flatten();
                What::Filled { store: id, amount: Amount::Volume(volume), cost }
            }
        };
        teller.tell(Who::Hand, when, sail.slug, None, what);
    }
}

/// So many cents.
#[expect(clippy::cast_possible_truncation, reason = "some thousands of cents")]
fn coins(cents: f64) -> Option<Money> {
    Money::from_minor(cents.round() as i64, "USD")
}

/// The crew's skipper and the base sign.
fn sign(teller: &mut Teller, sail: &Sail<'_>, walk: Walk, when: At) {
    let seat = sail.number * 3 + sail.slug.len();
    let crew = teller.person(sail.id, 1, NAMES[seat % NAMES.len()]);
    let (who, name) = if walk == Walk::CheckOut { (Who::Skipper, "Sam") } else { (Who::Hand, "Alex") };
    let ours = teller.person(sail.id, if walk == Walk::CheckOut { 2 } else { 3 }, name);
    for (role, person, turn) in [(Role::Skipper, crew, sail.number), (Role::Base, ours, 1)] {
        let signature = Signature { walk, role, person, strokes: Strokes::Points(squiggle(turn)) };
        teller.tell(who, when, sail.slug, Some(sail.id), What::Signed(signature));
    }
}

/// A wave of the pen and a line under it.
fn squiggle(turn: usize) -> Vec<Stroke> {
    let turn = u16::try_from(turn % 9).unwrap_or_default();
    let wave = (0..24u16).map(|at| {
        let up = [150, 90, 200, 260][usize::from((at + turn) % 4)];
        (120 + at * 30, up + turn * 6 + at % 5 * 7)
    });
    vec![Stroke(wave.collect()), Stroke(vec![(140, 330), (480, 316), (820, 338)])]
}

/// What happened on the way, on some charters.
fn on_the_way(teller: &mut Teller, sail: &Sail<'_>) {
    let when = at(sail.from.day + 3, 18, 40);
    let charter = Some(sail.id);
    match (sail.slug, sail.number) {
        ("whimbrel", 2) | ("dunlin", 5) => {
            let advice =
                "Switch off what is not needed, run the engine for an hour, then try again. It worked.";
            call(teller, sail, "refrigerator", advice);
        }
        ("turnstone", 4) => {
            call(
                teller,
                sail,
                "windlass",
                "Breaker pressed in again; let the chain down by hand if it trips again.",
            );
        }
        ("dunlin", 6) => {
            let words = "The swimming platform was scraped along the dock".to_owned();
            let item = "swim_platform".to_owned();
            let estimate = Money::from_minor(28_000, "USD");
            let what = What::Damaged { item, words, photos: Vec::new(), estimate };
            teller.tell(Who::Skipper, when, sail.slug, charter, what);
        }
        ("whimbrel", 5) => {
            let words = "A dinghy oar is broken".to_owned();
            let estimate = Money::from_minor(4_500, "USD");
            let what = What::Damaged { item: "oars".to_owned(), words, photos: Vec::new(), estimate };
            teller.tell(Who::Skipper, when, sail.slug, charter, what);
        }
        (_, 1) => {
            let words = "The crew comes by car and brings a dog; a towel for it lies in the cockpit locker";
            let when = at(sail.from.day - 2, 9, 30);
            teller.tell(Who::Manager, when, sail.slug, charter, What::Noted { words: words.to_owned() });
        }
        _ => {}
    }
}

/// A call about an item, if the boat has a symptom of it.
fn call(teller: &mut Teller, sail: &Sail<'_>, item: &str, advice: &str) {
    let symptoms = trace::symptoms(sail.boat);
    let about = |symptom: &&trace::Symptom| symptom.item.is_some_and(|own| sail.boat.items[own].id == item);
    let Some(symptom) = symptoms.iter().find(about) else { return };
    let symptom = symptom.id.clone();
    let what = What::Called { symptom, answers: Vec::new(), advice: advice.to_owned() };
    let when = at(sail.from.day + 3, 18, 40);
    teller.tell(Who::Skipper, when, sail.slug, Some(sail.id), what);
}
