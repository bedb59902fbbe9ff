//! The dock's pages and forms as pure functions: the way over the boat, what a form comes to, what pages say.

use std::collections::BTreeSet;

use boat::model::Boat;
use pages::dock::{
    ChargesAsk, Handover, Names, SignAsk, Stop, Told, Walking, charges_page, sheet_page, sign_page,
    stop_page, stops, tariff, tariff_page, walk_page,
};
use pages::{Moored, Role, Site, Vessel, Viewer};
use records::{
    AccountId, BoatId, CharterId, DeviceId, Event, EventId, Hand, Moment, Person, PersonId, Plan, Records,
    Signature, Stroke, Strokes, Taken, Walk, What,
};

const WADER: &str = include_str!("wader.toml");
const NOW: i64 = 1_790_000_000_000;

fn vessel() -> Vessel {
    match Moored::read("wader", "wader.toml", WADER) {
        Moored::Well(vessel) => *vessel,
        Moored::Wrecked(wreck) => panic!("{:?}", wreck.diagnostics),
    }
}

fn site() -> Site {
    let (id, name) = ("robin".to_owned(), "Robin".to_owned());
    let viewer = Viewer::Member { id, name, role: Role::Manager };
    Site { viewer, now: Moment::from_milliseconds(NOW), ..Site::new("Test base", false) }
}

fn hand(name: &str) -> Hand {
    Hand::Account(AccountId::new(name))
}

/// A row of events of the charter, a minute apart, each by a hand on its own device.
fn records(said: Vec<(&str, What)>) -> Records {
    let mut records = Records::new();
    for ((who, what), at) in said.into_iter().zip(1i64..) {
        let when = Moment::from_milliseconds(NOW - 10_000_000 + at * 60_000);
        let id = EventId::version_7(when, u128::from(at.unsigned_abs()));
        let event = Event::new(id, when, hand(who), DeviceId::new(who), BoatId::new("wader"), what);
        records.extend([Taken { event: event.on(CharterId::new("c")), received: Some(when) }]);
    }
    records
}

fn plan() -> What {
    let local = |text: &str| text.parse().expect("RFC 3339");
    let (from, until) = (local("2026-09-20T14:00:00+00:00"), local("2026-09-27T10:00:00+00:00"));
    What::Planned(Plan { from, until, crew: Some(4), booked: Some(PersonId::new("p1")) })
}

/// Looks at a charter as Robin, whose device is called so too.
fn with<T>(said: Vec<(&str, What)>, look: impl FnOnce(&Handover<'_>) -> T) -> T {
    let mut all = vec![("office", plan())];
    all.extend(said);
    let (vessel, standing, charter) = (vessel(), records(all).standing(), CharterId::new("c"));
    let mut names = Names::default();
    names.account("robin", "Robin");
    names.account("sam", "Sam");
    names.person(Person { id: PersonId::new("p1"), name: "Wren <Halloran>".to_owned(), reach: None });
    let managers = BTreeSet::from([AccountId::new("robin")]);
    let (me, device) = (hand("robin"), DeviceId::new("robin"));
    let stands = &standing.charters[&charter];
    let (charter, standing, names) = (&charter, &standing, &names);
    let (vessel, managers, me) = (&vessel, &managers, Some((&me, &device)));
    look(&Handover { vessel, charter, stands, standing, names, managers, me })
}

fn find(boat: &Boat, walk: Walking, id: &str) -> Stop {
    stops(boat, walk).into_iter().find(|stop| stop.id == id).unwrap_or_else(|| panic!("no stop {id}"))
}

fn tell(over: &Handover<'_>, stop: &str, fields: &[(&str, &str)]) -> Told {
    let typed: Vec<(String, String)> =
        fields.iter().map(|(field, text)| ((*field).to_owned(), (*text).to_owned())).collect();
    let stop = find(&over.vessel.boat, Walking::CheckOut, stop);
    Told::read(over, Walking::CheckOut, &stop, &typed, Moment::from_milliseconds(NOW))
}

fn counted(count: u32) -> What {
    What::Counted { walk: Walk::CheckOut, line: "lifejacket".to_owned(), count, note: None }
}

/// By hand from the file: the dock, the deck from the stern to the bow, below from the bow to the stern, the bilge.
#[test]
fn the_way_goes_from_the_dock_inwards() {
    let boat = vessel().boat;
    let ids: Vec<String> = stops(&boat, Walking::CheckOut).into_iter().map(|stop| stop.id).collect();
    let wanted = [
        "gas_locker",
        "helm",
        "saloon",
        "galley",
        "steps_locker",
        "engine_bilge",
        "meters-and-gauges",
        "what-was-shown",
    ];
    assert_eq!(ids, wanted);
    // Every kit line and every item is at exactly one stop; the briefing belongs to check-out.
    let all = stops(&boat, Walking::HandBack);
    assert!(all.iter().all(|stop| stop.topics.is_empty()));
    assert_eq!(all.iter().map(|stop| stop.kit.len()).sum::<usize>(), boat.kit.iter().count());
    assert_eq!(all.iter().map(|stop| stop.items.len()).sum::<usize>(), boat.items.iter().count());
    // Bottles are weighed where they stand.
    assert_eq!(find(&boat, Walking::HandBack, "gas_locker").meters.len(), 1);
}

#[test]
fn what_is_unchanged_is_not_said_again_and_what_changed_corrects() {
    let earlier = with(vec![("robin", counted(6))], |over| {
        assert_eq!(tell(over, "saloon", &[("kit.lifejacket", "6")]), Told::default());
        let told = tell(over, "saloon", &[("kit.lifejacket", "5")]);
        assert_eq!(told.sayings.len(), 1);
        assert_eq!(told.sayings[0].what, counted(5));
        told.sayings[0].answers
    });
    assert!(earlier.is_some(), "the earlier count is corrected");
    // What another hand said is not theirs to correct.
    with(vec![("sam", counted(6))], |over| {
        let told = tell(over, "saloon", &[("kit.lifejacket", "5")]);
        assert_eq!(told.sayings[0].answers, None);
    });
}

#[test]
fn numbers_of_fields_stay_whatever_else_is_sent() {
    with(Vec::new(), |over| {
        let all = [("item.extinguisher", "ok"), ("item.stove", "not-ok")];
        let both = tell(over, "galley", &all);
        let one = tell(over, "galley", &all[1..]);
        assert_eq!(both.sayings.len(), 2);
        assert_eq!(both.sayings[1], one.sayings[0]);
        // Nobody looked, and nobody had said otherwise: that is no line worth keeping.
        assert_eq!(tell(over, "galley", &[("item.stove", "not-looked-at")]), Told::default());
    });
}

#[test]
fn pages_tell_what_is_missing_and_who_differs() {
    with(vec![("robin", counted(6)), ("sam", counted(5))], |over| {
        let index = walk_page(&site(), over, Walking::CheckOut);
        for words in [
            "hands differ",
            "Say there which is right.",
            "Make her ready first",
            "Go on: ",
            "Signature of the crew's skipper",
        ] {
            assert!(index.contains(words), "the index does not say: {words}\n{index}");
        }
        let stop = find(&over.vessel.boat, Walking::CheckOut, "saloon");
        let page = stop_page(&site(), over, Walking::CheckOut, &stop, &[], &[]);
        for words in [
            "Hands differ.",
            "6 is right",
            "5 is right",
            "Robin, ",
            "Sam, ",
            "value=\"6\"",
            "Should be <strong>6</strong>.",
            "Use by 31 May 2027.",
        ] {
            assert!(page.contains(words), "the stop does not say: {words}\n{page}");
        }
        assert!(!page.contains("style=") && !page.contains("onclick"));
        // What the enter key presses comes before the buttons that decide between hands.
        let (save, right) = (page.find("value=\"stay\""), page.find("name=\"right\""));
        assert!(save < right, "{save:?} {right:?}");
    });
}

#[test]
fn what_changed_after_a_signature_is_told_beside_it() {
    let signed = |strokes: Strokes| {
        let person = PersonId::new("p1");
        What::Signed(Signature { walk: Walk::CheckOut, role: records::Role::Skipper, person, strokes })
    };
    let drawn = Strokes::Points(vec![Stroke(vec![(10, 20), (30, 40)]), Stroke(vec![(50, 60)])]);
    let prices = tariff::unset().expect("a currency");
    let sheet =
        |said: Vec<(&str, What)>| with(said, |over| sheet_page(&site(), over, Walking::CheckOut, &prices));
    let after = "Something was changed after this was signed.";
    let sound = sheet(vec![("robin", counted(6)), ("robin", signed(drawn.clone()))]);
    assert!(
        sound.contains("M10 20L30 40") && sound.contains("M50 60L50 60") && !sound.contains(after),
        "{sound}"
    );
    assert!(sound.contains("Wren &lt;Halloran&gt;"), "names are escaped");
    assert!(sheet(vec![("robin", signed(drawn)), ("robin", counted(6))]).contains(after));
    let typed = sheet(vec![("robin", signed(Strokes::Points(Vec::new())))]);
    assert!(typed.contains("Typed and ticked, not drawn."), "{typed}");
    let removed = vec![
        ("robin", signed(Strokes::Removed)),
        ("robin", What::PersonRemoved { person: PersonId::new("p1") }),
    ];
    let removed = sheet(removed);
    assert!(removed.contains("(name removed on request)") && !removed.contains("Halloran"), "{removed}");
}

#[test]
fn what_a_role_may_not_do_is_not_offered() {
    let mut skipper = site();
    skipper.viewer = Viewer::Member { id: "sam".to_owned(), name: "Sam".to_owned(), role: Role::Skipper };
    let prices = tariff::unset().expect("a currency");
    let added =
        What::ChargeAdded { reason: "Sail bag".to_owned(), amount: "60.00 USD".parse().expect("money") };
    with(vec![("robin", added)], |over| {
        let page = |site: &Site| charges_page(site, over, &prices, false, &ChargesAsk::default());
        assert!(page(&site()).contains("waive-button"));
        let theirs = page(&skipper);
        assert!(theirs.contains("add-button") && !theirs.contains("waive-button"), "{theirs}");
        assert!(theirs.contains("60.00 USD") && theirs.contains("Prices are not set."), "{theirs}");
        let sign = sign_page(&site(), over, Walking::CheckOut, &SignAsk::default());
        assert!(!sign.contains("complete-button") && sign.contains("tick-instead"), "{sign}");
    });
    assert!(
        tariff_page(&site(), &std::collections::BTreeMap::new(), false, &[], false)
            .contains("Prices are not set.")
    );
}
