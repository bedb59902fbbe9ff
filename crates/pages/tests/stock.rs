//! The parts in stock and what boats cost: what is to be ordered and why, what forms hold, what sums come to.

mod sound;

use std::collections::BTreeMap;

use jiff::civil::date;
use pages::dock::{Flaw, Names};
use pages::office::{
    Holding, Hull, Learnt, Shelves, StockAsk, boat_costs_page, costs_page, count_page, month_of, month_page,
    order_page, part_page, stock_page,
};
use pages::{Moored, Role, Site, Vessel, Viewer};
use records::{
    AccountId, BoatId, DeviceId, Event, EventId, Hand, Held, Moment, Pieces, Priced, Records, Standing,
    Taken, What, ashore,
};
use sound::check_sound;

const WADER: &str = include_str!("wader.toml");

/// A belt that fails once in ten charter years, and upkeep every month that takes two belts and three litres of oil.
const BELT: &str = r#"
[items.alternator]
name = "Alternator"
place = "engine_bilge"

[faults.alternator_belt]
name = "The belt is broken"
item = "alternator"
seen = "A squeal."
per_year = 0.1
check = "Press it."
check_takes = "4 min"
mend = "Fit the spare belt."
mend_takes = "30 min"
mend_who = "skipper"
parts = ["Belt"]
source = "made up"

[upkeep.belts]
name = "Renew both belts"
item = "alternator"
every = { days = 30 }
takes = "45 min"
parts = ["Belt 2", "Oil 3 L", "Washer 1 if worn"]
source = "made up"
"#;

/// 26 September 2026, noon, UTC.
const NOW: i64 = 1_790_424_000_000;
const DAY: i64 = 86_400_000;

fn vessel(slug: &str) -> Vessel {
    match Moored::read(slug, "wader.toml", &format!("{WADER}{BELT}")) {
        Moored::Well(vessel) => *vessel,
        Moored::Wrecked(wreck) => panic!("{:?}", wreck.diagnostics),
    }
}

fn site() -> Site {
    let viewer = Viewer::Member { id: "robin".to_owned(), name: "Robin".to_owned(), role: Role::Manager };
    Site { viewer, now: Moment::from_milliseconds(NOW), ..Site::new("Test base", false) }
}

/// What was told of a boat, each so many days ago.
fn standing(slug: &str, said: Vec<(i64, What)>) -> Standing {
    let mut records = Records::new();
    for (tail, (ago, what)) in (1..).zip(said) {
        let when = Moment::from_milliseconds(NOW - ago * DAY);
        let who = Hand::Account(AccountId::new("robin"));
        let id = EventId::version_7(when, tail);
        let event = Event::new(id, when, who, DeviceId::new("office"), BoatId::new(slug), what);
        records.extend([Taken { event, received: Some(when) }]);
    }
    records.standing()
}

fn pieces(part: &str, count: u32, held: Held) -> Pieces {
    Pieces { part: part.to_owned(), count, held }
}

fn counted(part: &str, count: u32) -> What {
    What::StockCounted(pieces(part, count, Held::Ashore))
}

fn came(part: &str, count: u32, cost: &str) -> What {
    let cost = Some(cost.parse().expect("an amount"));
    What::StockReceived(Priced { pieces: pieces(part, count, Held::Ashore), cost })
}

fn done(parts: Vec<(&str, u32, &str)>, work: &str) -> What {
    let part = |(name, count, cost): (&str, u32, &str)| Priced {
        pieces: pieces(name, count, Held::Ashore),
        cost: cost.parse().ok(),
    };
    What::UpkeepDone {
        line: "belts".to_owned(),
        hours: None,
        parts: parts.into_iter().map(part).collect(),
        took: Some("50 min".parse().expect("a time")),
        work: work.parse().ok(),
        cost: None,
    }
}

/// Looks at the stock of two boats alike, of which this was told.
fn with<T>(wader: Vec<(i64, What)>, look: impl FnOnce(&StockAsk<'_>) -> T) -> T {
    let vessels = [vessel("wader"), vessel("stilt")];
    let standings = [standing("wader", wader), standing("stilt", Vec::new())];
    let hulls: Vec<Hull<'_>> =
        vessels.iter().zip(&standings).map(|(vessel, standing)| Hull { vessel, standing }).collect();
    let ashore = ashore(&standings);
    let holding = Holding::of(&hulls, &Learnt::of(&hulls, Moment::from_milliseconds(NOW)));
    let shelves = Shelves::of(&hulls, &holding, &ashore, date(2026, 9, 26));
    let mut names = Names::default();
    names.account("robin", "Robin");
    look(&StockAsk { hulls: &hulls, shelves: &shelves, names: &names, typed: &[], flaws: &[] })
}

/// What stands in a page's section, without marks.
fn section(page: &str, id: &str) -> String {
    let start = page.find(&format!("<section class=\"block\" id=\"{id}\">"));
    let Some(start) = start else { return String::new() };
    let end = page[start..].find("</section>").map_or(page.len(), |at| start + at);
    plain(&page[start..end])
}

fn plain(html: &str) -> String {
    let mut text = String::new();
    let mut inside = false;
    for c in html.chars() {
        match c {
            '<' => (inside, text) = (true, text + " "),
            '>' => inside = false,
            c if !inside => text.push(if c == '\u{a0}' { ' ' } else { c }),
            _ => {}
        }
    }
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

#[test]
fn what_was_never_counted_is_not_ordered_but_asked_for() {
    with(Vec::new(), |ask| {
        let page = stock_page(&site(), ask);
        check_sound("stock", &page);
        assert_eq!(section(&page, "order"), "");
        let unknown = section(&page, "unknown");
        for part in ["Belt", "Oil", "Washer"] {
            assert!(unknown.contains(part), "{part}: {unknown}");
        }
        let page = order_page(&site(), ask);
        check_sound("order", &page);
        assert!(page.contains("Nothing has to be ordered now."));
    });
}

/// How many to hold is `trace`'s reckoning, held there to published tables; here it must be told as it is. Two belts that
/// fail 0.1 times a charter year each: one is wanted with a chance of about 1 - e^-0.2, a little less since the rate
/// itself is not certain.
#[test]
fn failures_say_how_many_to_hold() {
    // Done today: no upkeep is due for thirty days.
    let said = |count| {
        with(vec![(0, done(vec![], "")), (0, counted("Belt", count)), (0, counted("Oil", 0))], |ask| {
            let page = part_page(&site(), ask, "belt");
            check_sound("part", &page);
            (plain(&page), section(&stock_page(&site(), ask), "order"))
        })
    };
    let (part, order) = said(1);
    assert!(order.is_empty(), "{order}");
    assert!(part.contains("Failures want about 0.2 in a charter year."), "{part}");
    let boats = [vessel("wader"), vessel("stilt")];
    let boats = [&boats[0].boat, &boats[1].boat];
    let spares = trace::spares::spares(&boats, &[], &trace::spares::Keeping::USUAL).expect("a number");
    let [spare] = &spares[..] else { panic!("{spares:?}") };
    let (short, less) = (spare.short, spare.short_with_less.expect("one is held"));
    assert!(spare.hold == 1 && spare.order_at == Some(0) && short < 0.05, "{spare:?}");
    assert!(less > 0.12 && less < 0.1813, "{less}");
    let chances = format!(
        "With 1 the chance that they do not last is {:.0} %; with 0 it is {:.0} %.",
        100.0 * short,
        100.0 * less
    );
    assert!(part.contains(&chances), "{chances}: {part}");
    assert!(part.contains("so order when none is left"), "{part}");
    assert!(
        part.contains("\u{201c}Renew both belts (Alternator)\u{201d} of Wader (not due soon) takes 2."),
        "{part}"
    );
    let (_, order) = said(0);
    assert!(order.contains("Belt 0 counted today by Robin"), "{order}");
    assert!(order.contains("1 now hold 1"), "{order}");
}

/// Of upkeep that is due two belts and three litres are wanted on top, by Wader; Stilt's was never told as done, so nobody
/// can say whether it is due.
#[test]
fn upkeep_that_is_due_comes_on_top() {
    let told = vec![
        (40, done(vec![], "")),
        (1, came("Belt", 4, "50.00 USD")),
        (0, counted("Belt", 2)),
        (0, counted("Oil", 1)),
    ];
    with(told, |ask| {
        let page = stock_page(&site(), ask);
        check_sound("stock", &page);
        let order = section(&page, "order");
        let (oil, belt) = (order.find("Oil 1 L").expect("oil"), order.find("Belt 2 counted").expect("belts"));
        assert!(oil < belt, "what upkeep waits for comes first: {order}");
        assert!(order.contains("2 L now hold 3 L"), "{order}");
        assert!(order.contains("1 now hold 3"), "{order}");
        assert!(
            order.contains("\u{201c}Renew both belts (Alternator)\u{201d} of Wader (overdue) takes 2."),
            "{order}"
        );
        let paper = order_page(&site(), ask);
        check_sound("order", &paper);
        // One belt of four that cost 50.00 together.
        let paper = plain(&paper);
        assert!(paper.contains("Belt 1 2 Wader: Alternator; Wader: Alternator 12.50 USD"), "{paper}");
        assert!(
            paper.contains("Together by the last prices: 12.50 USD. Of 1 part no price is known."),
            "{paper}"
        );
    });
}

#[test]
fn what_is_aboard_counts_and_is_told_by_its_own_name() {
    let told = vec![
        (0, done(vec![], "")),
        (0, counted("Belt", 0)),
        (0, What::StockCounted(pieces("Alternator belt", 1, Held::Aboard))),
    ];
    with(told, |ask| {
        let page = plain(&part_page(&site(), ask, "Belt"));
        assert!(page.contains("Aboard Wader 1 counted today by Robin"), "{page}");
        assert!(section(&stock_page(&site(), ask), "order").is_empty(), "there is one aboard");
        assert_eq!(ask.shelves.told_as("belt", Some(0)), "Alternator belt");
        assert_eq!(ask.shelves.told_as("belt", Some(1)), "Belt");
        assert_eq!(ask.shelves.told_as("belt", None), "Belt");
        assert_eq!(ask.shelves.told_as("Tape", None), "Tape");
        assert_eq!(ask.shelves.count("BELT ", Some(0)), Some(1));
        assert_eq!(ask.shelves.count("Belt", Some(1)), None);
    });
}

#[test]
fn parts_that_were_only_used_are_not_counted_below_nothing() {
    with(vec![(3, What::StockUsed(pieces("Belt", 2, Held::Ashore)))], |ask| {
        let page = stock_page(&site(), ask);
        assert!(
            section(&page, "unknown").contains("Belt never counted 2 used"),
            "{}",
            section(&page, "unknown")
        );
        assert_eq!(ask.shelves.count("Belt", None), None);
        let page = plain(&part_page(&site(), ask, "Belt"));
        assert!(page.contains("Used: 2 (the base's store). Robin, Wed 23 September, 12:00."), "{page}");
    });
}

#[test]
fn what_was_typed_stays_when_it_is_not_taken() {
    with(vec![(0, counted("Belt", 2))], |ask| {
        let typed =
            [("do", "came"), ("part", "Belt"), ("count", "<many>"), ("cost", "5 USD"), ("held", "stilt")]
                .map(|(field, value)| (field.to_owned(), value.to_owned()));
        let flaws = [Flaw::wrong("count", "That is no count.")];
        let asked = StockAsk { typed: &typed, flaws: &flaws, ..*ask };
        let page = part_page(&site(), &asked, "Belt");
        check_sound("part", &page);
        assert!(page.contains("role=\"alert\"") && page.contains("id=\"flaw-count\""), "{page}");
        assert!(page.contains("value=\"&lt;many&gt;\"") && page.contains("value=\"5 USD\""), "{page}");
        assert!(page.contains("<option value=\"stilt\" selected>"), "{page}");
        let typed = [("count-0".to_owned(), "3x".to_owned())];
        let flaws = [Flaw::wrong("count-0", "That is no count.")];
        let asked = StockAsk { typed: &typed, flaws: &flaws, ..*ask };
        for aboard in [None, Some(1)] {
            let page = count_page(&site(), &asked, aboard);
            check_sound("count", &page);
            assert!(page.contains("value=\"3x\""), "{page}");
        }
        check_sound("unknown part", &part_page(&site(), ask, "Sail <needle> & \"twine\""));
    });
}

/// By hand: in September 30.00 of work and 25.00 + 9.00 of parts; in August 12.00 of work and belts without a price.
#[test]
fn a_year_adds_up_by_month_by_upkeep_and_by_part() {
    let told = vec![
        (40, done(vec![("Belt", 2, "")], "12.00 USD")),
        (2, done(vec![("Belt", 2, "25.00 USD"), ("Oil", 3, "9.00 USD")], "30.00 USD")),
    ];
    with(told, |ask| {
        let page = boat_costs_page(&site(), ask.hulls[0], 2026);
        check_sound("boat's costs", &page);
        let months = section(&page, "months");
        assert!(months.contains("August 12.00 USD"), "{months}");
        assert!(months.contains("September 64.00 USD"), "{months}");
        assert!(months.contains("The year 76.00 USD"), "{months}");
        assert!(months.contains("Work 42.00 USD Parts 34.00 USD All else nothing told"), "{months}");
        let upkeep = section(&page, "upkeep");
        assert!(upkeep.contains("Renew both belts (Alternator) 2 42.00 USD 34.00 USD"), "{upkeep}");
        assert!(
            section(&page, "parts").contains("Belt 4 25.00 USD Oil 3 9.00 USD"),
            "{}",
            section(&page, "parts")
        );
        assert!(plain(&page).contains("Of 1 doing or part nobody said"), "{}", plain(&page));
        let all = costs_page(&site(), ask.hulls, 2026);
        check_sound("costs", &all);
        assert!(plain(&all).contains("1 without a price 76.00 USD"), "{}", plain(&all));
        check_sound("another year", &boat_costs_page(&site(), ask.hulls[0], 2025));
        let month = month_page(&site(), ask.hulls[0], month_of("2026-09").expect("a month"));
        check_sound("month", &month);
        let month = plain(&month);
        assert!(month.contains("Thu 24 September 64.00 USD Costs"), "{month}");
        assert!(month.contains("Of that work 30.00 USD, parts 34.00 USD, all else nothing told"), "{month}");
    });
}

/// Shortly before midnight at the end of June by the base's clocks, which is in July by UTC.
#[test]
fn months_are_those_of_the_bases_clocks() {
    let zone = jiff::tz::TimeZone::fixed(jiff::tz::offset(-5));
    // 1 July 2026, 03:00 UTC.
    let when = Moment::from_milliseconds(1_782_874_800_000);
    let mut records = Records::new();
    let who = Hand::Account(AccountId::new("robin"));
    let (id, device, boat) = (EventId::version_7(when, 1), DeviceId::new("office"), BoatId::new("wader"));
    let event = Event::new(id, when, who, device, boat.clone(), done(vec![], "5.00 USD"));
    records.extend([Taken { event, received: Some(when) }]);
    let standing = records.standing();
    let of = |zone: &jiff::tz::TimeZone| -> BTreeMap<String, String> {
        let all = pages::office::month_costs(zone, &standing, &boat);
        all.iter()
            .map(|(month, costs)| (month.to_string(), costs.work.iter().map(|sum| sum.to_string()).collect()))
            .collect()
    };
    assert_eq!(of(&zone), BTreeMap::from([("2026-06".to_owned(), "5.00 USD".to_owned())]));
    assert_eq!(of(&jiff::tz::TimeZone::UTC), BTreeMap::from([("2026-07".to_owned(), "5.00 USD".to_owned())]));
}
