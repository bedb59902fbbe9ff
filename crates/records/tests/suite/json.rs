//! Events as JSON: every kind there and back, and what a later version writes is never lost.

use quantity::{Mass, Money, Ratio, Time, Voltage, Volume};
use records::{
    Amount, ChargeKey, ContentHash, Defect, Event, EventId, Held, Level, Look, Moment, PersonId, Pieces,
    Plan, Priced, Reading, Records, Role, Severity, Showing, Signature, Stroke, Strokes, Took, Walk, What,
    Why,
};
use serde_json::{Value, json};

use crate::aid::{Log, local, odd};

fn money(text: &str) -> Money {
    text.parse().unwrap()
}

fn words() -> String {
    "A few words.".to_owned()
}

fn pieces() -> Pieces {
    Pieces { part: "Impeller".to_owned(), count: 2, held: Held::Ashore }
}

fn readings() -> Vec<Reading> {
    let store = || "house".to_owned();
    vec![
        Reading::EngineHours { engine: "engine".to_owned(), hours: Time::hours(1234.1) },
        Reading::Tank { store: store(), level: Level::Part(Ratio::percent(62.5)) },
        Reading::Tank { store: store(), level: Level::Volume(Volume::us_gallons(17.3)) },
        Reading::Voltage { store: store(), voltage: Voltage::volts(12.63) },
        Reading::Charge { store: store(), charge: Ratio::percent(29.0) },
        Reading::Gas { store: store(), mass: Mass::kilograms(3.35) },
    ]
}

/// One of each kind, with and without what may be absent.
pub(crate) fn samples() -> Vec<What> {
    let defect = EventId::from_bits(7);
    let photo = ContentHash::new([0xab; 32]);
    let plan = Plan {
        from: local("2026-06-06T16:00:00-04:00"),
        until: local("2026-06-13T09:30:00-04:00"),
        crew: Some(5),
        booked: None,
    };
    let found = Defect {
        item: "engine".to_owned(),
        words: words(),
        severity: Severity::Safety,
        photos: vec![photo],
        fault: Some("impeller_worn".to_owned()),
    };
    let signature = Signature {
        walk: Walk::CheckOut,
        role: Role::Skipper,
        person: PersonId::new("p1"),
        strokes: Strokes::Points(vec![Stroke(vec![(0, 10), (999, 20)]), Stroke(vec![(5, 5)])]),
    };
    let mut all = life_samples(plan);
    all.extend([
        What::Counted { walk: Walk::HandBack, line: "tether".to_owned(), count: 0, note: Some(words()) },
        What::Counted { walk: Walk::Between, line: "tether".to_owned(), count: 4, note: None },
        What::Checked { walk: Walk::Readying, item: "lifebuoy".to_owned(), look: Look::NotOk, note: None },
        What::Briefed { topic: "lifejackets".to_owned(), showing: Showing::ToldOnly },
        What::Signed(signature.clone()),
        What::Signed(Signature { strokes: Strokes::Picture(photo), ..signature.clone() }),
        What::Signed(Signature { strokes: Strokes::Removed, ..signature }),
        What::Found(found.clone()),
        What::Found(Defect { photos: Vec::new(), fault: None, ..found }),
        What::SeenAgain { defect, words: words(), severity: Some(Severity::Hinders), photos: vec![photo] },
        What::Diagnosed { defect, fault: "impeller_worn".to_owned() },
        What::TaskSet { defect, words: words(), by: Some(local("2026-06-07T08:00:00-04:00")) },
        What::PartUsed { defect, pieces: pieces(), cost: Some(money("68.00 USD")) },
        What::PartUsed { defect, pieces: pieces(), cost: None },
        What::Mended { defect, words: words(), took: Some(Time::minutes(40.0)), cost: Some(money("80 JPY")) },
        What::Closed { defect, words: words() },
        What::SailsWith { defect, covers: Severity::Hinders, reason: words() },
        What::Called {
            symptom: "no_water".to_owned(),
            answers: vec!["pump.runs=no".to_owned()],
            advice: words(),
        },
        What::Damaged {
            item: "rail".to_owned(),
            words: words(),
            photos: vec![photo],
            estimate: Some(money("310 USD")),
        },
        What::Noted { words: words() },
    ]);
    all.extend(readings().into_iter().map(|reading| What::Read { walk: Walk::UnderWay, reading }));
    all.extend(ledger_samples());
    all
}

fn life_samples(plan: Plan) -> Vec<What> {
    let booked = Plan { booked: Some(PersonId::new("p1")), ..plan.clone() };
    vec![
        What::Planned(booked),
        What::Changed(plan),
        What::Cancelled { reason: words() },
        What::Readied,
        What::CheckedOut,
        What::Left,
        What::HandedBack,
        What::Settled,
    ]
}

fn ledger_samples() -> Vec<What> {
    let store = || "diesel".to_owned();
    let waived = |charge| What::ChargeWaived { charge, amount: Some(money("-0.05 USD")), reason: words() };
    let event = EventId::from_bits(9);
    vec![
        What::UpkeepDone {
            line: "oil".to_owned(),
            hours: Some(Time::hours(812.3)),
            parts: vec![pieces().into(), Priced { pieces: pieces(), cost: Some(money("68.00 USD")) }],
            took: Some(Time::hours(1.5)),
            work: Some(money("95.00 USD")),
            cost: Some(money("210.50 USD")),
        },
        What::MeterReplaced { engine: "engine".to_owned(), old: None, new: Time::hours(0.2) },
        What::Filled {
            store: store(),
            amount: Amount::Volume(Volume::litres(83.4)),
            cost: Some(money("121.68 USD")),
        },
        What::Filled { store: "gas".to_owned(), amount: Amount::Mass(Mass::kilograms(4.5)), cost: None },
        What::Emptied { store: "holding".to_owned() },
        What::StockCounted(pieces()),
        What::StockReceived(pieces().into()),
        What::StockReceived(Priced { pieces: pieces(), cost: Some(money("68.00 USD")) }),
        What::StockUsed(Pieces { held: Held::Aboard, ..pieces() }),
        What::ChargeAdded { reason: words(), amount: money("25.00 USD") },
        waived(ChargeKey::Kit("tether".to_owned())),
        waived(ChargeKey::Fuel(store())),
        waived(ChargeKey::Filling),
        waived(ChargeKey::Damage(event)),
        waived(ChargeKey::Added(event)),
        What::PersonRemoved { person: PersonId::new("p1") },
        What::Withdrawn { reason: words() },
        What::Other(json!({"kind": "tide_noted", "height": "1.2 m", "deep": [1, {"er": null}]})),
    ]
}

#[test]
fn every_kind_there_and_back() {
    let mut kinds = std::collections::BTreeSet::new();
    let mut log = Log::new();
    for what in samples() {
        for answers in [None, Some(EventId::from_bits(3))] {
            let event = Event { answers, ..log.make(0, what.clone()) };
            let text = serde_json::to_string(&event).unwrap();
            let back: Event = serde_json::from_str(&text).unwrap();
            assert_eq!(back, event, "{text}");
            assert_eq!(back.as_sent, None, "this version writes it as it reads it: {text}");
            assert_eq!(serde_json::to_string(&back).unwrap(), text);
            let value: Value = serde_json::from_str(&text).unwrap();
            kinds.insert(value["what"]["kind"].as_str().unwrap().to_owned());
        }
    }
    // As many kinds as `What` has, and the one of the future.
    assert_eq!(kinds.len(), 36, "{kinds:?}");
}

#[test]
fn its_json_is_as_people_would_write_it() {
    let mut log = Log::new();
    let reading = Reading::Voltage { store: "house".to_owned(), voltage: Voltage::volts(12.6) };
    let mut event = log.make(0, What::Read { walk: Walk::CheckOut, reading });
    event.id = EventId::from_bits(0x017f_22e2_79b0_7cc3_98c4_dc0c_0c07_398f);
    event.at = Moment::from_milliseconds(5);
    let wanted = json!({
        "id": "017f22e2-79b0-7cc3-98c4-dc0c0c07398f", "at": 5, "who": {"account": "jo"}, "device": "dock-1",
        "boat": "whimbrel", "charter": "c1",
        "what": {"kind": "read", "walk": "check_out",
                 "reading": {"meter": "voltage", "store": "house", "voltage": "12.6 V"}},
    });
    assert_eq!(serde_json::to_value(&event).unwrap(), wanted);
}

/// An event that says this, as it travels.
fn whole(what: &Value) -> Value {
    json!({"id": "017f22e2-79b0-7cc3-98c4-dc0c0c07398f", "at": 1_780_732_800_000_i64, "who": {"account": "jo"},
           "device": "dock-1", "boat": "whimbrel", "what": what})
}

/// An event of a later version, or one with a fault: it must come out as it came in.
#[test]
fn what_this_version_cannot_read_is_kept() {
    let unread = [
        json!({"kind": "drone_flown", "height": 30.25, "by": ["jo", null]}),
        json!({"kind": "counted", "walk": "check_out", "line": "tether", "count": -3}),
        json!({"kind": "found", "item": "rail", "words": "Bent.", "severity": "terrible"}),
        json!({"kind": "meter_replaced", "engine": "engine", "new": "12 V"}),
        json!({"no": "kind"}),
        json!("just words"),
        json!(null),
    ];
    for what in unread {
        let sent = whole(&what);
        let event: Event = serde_json::from_value(sent.clone()).unwrap();
        assert_eq!(event.what, What::Other(what), "{sent}");
        assert_eq!(serde_json::to_value(&event).unwrap(), sent);
        let mut records = Records::new();
        records.take(event.clone(), None);
        assert!(odd(&records.standing(), event.id).contains(&Why::NotUnderstood), "{sent}");
        assert_eq!(records.take(event, None), Took::Again);
    }
}

#[test]
fn what_a_later_version_adds_to_a_known_kind_is_kept() {
    let sent = json!({
        "id": "017f22e2-79b0-7cc3-98c4-dc0c0c07398f", "at": 1_780_732_800_000_i64, "who": {"account": "jo"},
        "device": "dock-1", "boat": "whimbrel", "mood": "fair",
        "what": {"kind": "part_used", "defect": "00000000-0000-0000-0000-000000000007", "part": "Impeller",
                 "count": 1, "held": "aboard", "cost": "68 USD", "shelf": {"row": 3}},
    });
    let event: Event = serde_json::from_value(sent.clone()).unwrap();
    assert!(matches!(&event.what, What::PartUsed { pieces, .. } if pieces.count == 1), "it is understood");
    assert_eq!(serde_json::to_value(&event).unwrap(), sent, "and nothing of it is lost");
    let again: Event = serde_json::from_str(&serde_json::to_string(&event).unwrap()).unwrap();
    assert_eq!(again, event);
}

/// Upkeep and parts told before there were prices of parts, as they lie in stores.
#[test]
fn what_was_told_before_parts_had_prices_is_read_as_it_was() {
    let part = json!({"part": "Impeller", "count": 2, "held": "ashore"});
    let mut received = part.clone();
    received["kind"] = "stock_received".into();
    let done = json!({"kind": "upkeep_done", "line": "oil", "parts": [part], "cost": "210.50 USD"});
    for what in [received, done] {
        let sent = whole(&what);
        let event: Event = serde_json::from_value(sent.clone()).unwrap();
        assert!(event.as_sent.is_none(), "nothing of it is strange: {sent}");
        assert_eq!(serde_json::to_value(&event).unwrap(), sent);
        match event.what {
            What::StockReceived(Priced { pieces, cost: None }) => assert_eq!(pieces.count, 2),
            What::UpkeepDone { parts, took: None, work: None, cost: Some(cost), .. } => {
                assert_eq!((parts[0].pieces.count, parts[0].cost), (2, None));
                assert_eq!(cost, money("210.50 USD"));
            }
            other => panic!("{other:?}"),
        }
    }
}

#[test]
fn an_event_without_name_or_time_is_refused() {
    for sent in [
        json!({"at": 1, "who": {"account": "jo"}, "device": "d", "boat": "b", "what": {"kind": "readied"}}),
        json!({"id": "017f22e2-79b0-7cc3-98c4-dc0c0c07398f", "at": "noon", "who": {"account": "jo"},
               "device": "d", "boat": "b", "what": {"kind": "readied"}}),
        json!([]),
    ] {
        assert!(serde_json::from_value::<Event>(sent.clone()).is_err(), "{sent}");
    }
}
