//! "Will it last?" and "At anchor" as a reader gets them: sound HTML, nothing lost, cautions where the danger is.

use std::ops::Range;

use endure::Voyage;
use endure::marks::Marks;
use pages::{AnchorAsk, ForecastAsk, Moored, Outlook, Site, Vessel, anchor_page, forecast_page};

mod sound;

use sound::check_sound;

const TODAY: &str = "2027-07-10";

fn site() -> Site {
    Site::new("Test base", true)
}

fn wader() -> Vessel {
    match Moored::read("wader", "wader.toml", include_str!("wader.toml")) {
        Moored::Well(vessel) => *vessel,
        Moored::Wrecked(wreck) => {
            let said: Vec<String> = wreck.diagnostics.iter().map(|d| d.plain(&wreck.sources)).collect();
            panic!("{}", said.join("\n"))
        }
    }
}

/// A few drawings are enough for a page.
fn few(voyage: &Voyage, seed: u64, numbers: Range<u64>) -> Vec<Marks> {
    endure::reckon(voyage, seed, numbers.start..numbers.end.min(numbers.start + 20))
}

fn pairs(given: &[(&str, &str)]) -> Vec<(String, String)> {
    given.iter().map(|(key, value)| ((*key).to_owned(), (*value).to_owned())).collect()
}

fn asked(vessel: &Vessel, given: &[(&str, &str)]) -> (bool, String) {
    let ask = ForecastAsk::read(&vessel.boat, &pairs(given), TODAY);
    let outlook = Outlook::look(&vessel.boat, &ask, &few);
    (outlook.is_sound(), forecast_page(&site(), vessel, &ask, &outlook))
}

#[test]
fn a_usual_trip_is_told_in_a_sentence_a_table_and_a_drawing_for_each_store() {
    let vessel = wader();
    let (sound, page) = asked(&vessel, &[]);
    assert!(sound);
    check_sound("forecast", &page);
    for words in ["of 100 trips", "Holding tank", "What takes it", "What fills it", "What this does not know"]
    {
        assert!(page.contains(words), "the page lacks: {words}");
    }
    // Battery, water, waste and gas: each a drawing with its words, and the figures as a table.
    assert_eq!(page.matches("<svg class=\"course ").count(), 4);
    assert_eq!(page.matches("over the trip. It starts at").count(), 4, "each drawing is told in words");
    assert_eq!(page.matches("<table class=\"figures\">").count(), 4);
    assert!(page.contains("day 2 (Sun), 08:00") && page.contains("day 2 (Sun), 20:00"));
    assert!(page.contains("expect <strong>"), "the voltage to compare is told");
    assert!(
        page.contains("Sight glass &lt;under&gt; the berth"),
        "the gauge is told in the boat file's words"
    );
    assert!(page.contains("does not say how to read what is left"), "what is unknown is said to be unknown");
    assert!(!page.contains("Before and after"), "nothing was changed yet");
}

#[test]
fn the_same_question_has_the_same_answer() {
    let vessel = wader();
    assert_eq!(asked(&vessel, &[("crew", "3")]), asked(&vessel, &[("crew", "3")]));
}

#[test]
fn what_if_is_told_before_and_after() {
    let vessel = wader();
    let given = [("careful", "1"), ("off.fridge", "1"), ("pump", "1"), ("fill", "1"), ("marina", "3")];
    let (sound, page) = asked(&vessel, &given);
    assert!(sound);
    check_sound("what if", &page);
    for words in [
        "Before and after",
        "As planned",
        "Water: 25 L a day for each person",
        "Refrigerator &lt;electric&gt;: off at night",
        "The night after day 3 (Mon) alongside",
        "Holding tanks pumped out on day 5 (Wed)",
    ] {
        assert!(page.contains(words), "the page lacks: {words}");
    }
}

#[test]
fn charging_at_anchor_comes_with_its_dangers() {
    let vessel = wader();
    let (_, plain) = asked(&vessel, &[]);
    assert!(!plain.contains("carbon monoxide. It cannot be smelled"));
    for part in ["morning", "evening"] {
        let (sound, page) = asked(&vessel, &[("charge", part)]);
        assert!(sound, "{part}");
        check_sound(part, &page);
        assert!(page.contains("carbon monoxide. It cannot be smelled"), "{part}: exhaust gas");
        assert!(page.contains("Nobody swims"), "{part}: the propeller");
    }
}

#[test]
fn nothing_that_was_written_is_lost_when_something_is_wrong() {
    let vessel = wader();
    let given = [
        ("crew", "0"),
        ("days", "eight"),
        ("motor", "99"),
        ("air", "hot"),
        ("level.house", "120"),
        ("night.2", "moon"),
    ];
    let (sound, page) = asked(&vessel, &given);
    assert!(!sound);
    check_sound("faults", &page);
    for words in [
        "There is no forecast yet",
        "from 1 to 40",
        "from 1 to 28",
        "from 0 to 6",
        "cool, usual or warm",
        "from 0 to 100",
        "anchor, mooring or alongside",
    ] {
        assert!(page.contains(words), "the page lacks: {words}");
    }
    assert!(page.contains("value=\"eight\"") && page.contains("value=\"120\""), "what was written stays");
    for (key, words) in [
        ("starts", "no day of the calendar"),
        ("off.fly", "can do without"),
        ("marina", "no night"),
        ("charge", "morning or evening"),
        ("level.fly", "no battery, tank or bottle"),
    ] {
        let (sound, page) = asked(&vessel, &[(key, "fly")]);
        assert!(!sound && page.contains(words), "{key} does not say: {words}");
    }
}

const PLAN: &str = "# mine <b>\ntrip = 1\n[plan]\ncrew = 2\nstarts = 2027-07-10\n[[days]]\n[[days]]\nlegs = [{ by = \"sail\", from = \"10:00\", for = \"4 h\" }]\n[[days]]\n";

#[test]
fn a_plan_as_text_is_reckoned_and_kept_as_it_was_written() {
    let vessel = wader();
    let (sound, page) = asked(&vessel, &[("plan", PLAN)]);
    assert!(sound);
    check_sound("plan", &page);
    assert!(page.contains("# mine &lt;b&gt;"), "the text stays, escaped");
    assert!(page.contains("For 2 people, 3 days from Sat, 10 July 2027."));
    let wrong = PLAN.replace("sail", "row");
    let (sound, page) = asked(&vessel, &[("plan", &wrong)]);
    assert!(!sound);
    check_sound("wrong plan", &page);
    assert!(page.contains("The plan, line 8") && page.contains("To mend it:"));
    assert!(page.contains("by = &quot;row&quot;"), "nothing is lost");
    let (sound, page) = asked(&vessel, &[("plan", &PLAN.replace("crew = 2", "crew = 2\noff = [\"flyer\"]"))]);
    check_sound("plan that the boat cannot do", &page);
    assert!(!sound && page.contains("flyer"));
}

#[test]
fn readings_are_judged() {
    let vessel = wader();
    let plan =
        format!("{PLAN}[[readings]]\nday = 2\nat = \"08:00\"\nstore = \"house\"\nvoltage = \"11.2 V\"\n");
    let (sound, page) = asked(&vessel, &[("plan", &plan)]);
    assert!(sound);
    check_sound("readings", &page);
    assert!(page.contains("What the gauges say") && page.contains("does not fit"));
}

#[test]
fn addresses_are_short_and_ask_the_same() {
    let vessel = wader();
    let long = [
        ("crew", "4"),
        ("starts", "2027-07-10"),
        ("days", "8"),
        ("motor", "1"),
        ("air", "usual"),
        ("night.1", "anchor"),
        ("level.house", ""),
        ("off.fridge", "1"),
        ("utm", "x"),
    ];
    let ask = ForecastAsk::read(&vessel.boat, &pairs(&long), TODAY);
    let short = ask.shortest(&vessel.boat);
    assert_eq!(short, pairs(&[("starts", "2027-07-10"), ("off.fridge", "1")]));
    let again = ForecastAsk::read(&vessel.boat, &short, "2030-01-01");
    assert_eq!(again.shortest(&vessel.boat), short);
}

#[test]
fn a_boat_without_stores_says_so() {
    let text = include_str!("wader.toml");
    let bare = &text[..text.find("[stores.house]").expect("the stores stand last")];
    let Moored::Well(vessel) = Moored::read("bare", "bare.toml", bare) else { panic!("it compiles") };
    let (_, page) = asked(&vessel, &[]);
    check_sound("no stores", &page);
    assert!(page.contains("no stores"));
    let ask = AnchorAsk::read(&vessel.boat, &pairs(&[("depth", "5"), ("wind", "15")]));
    let page = anchor_page(&site(), &vessel, &ask);
    check_sound("no anchor", &page);
    assert!(page.contains("says nothing of her anchors"));
}

fn anchored(given: &[(&str, &str)]) -> (bool, String) {
    let vessel = wader();
    let ask = AnchorAsk::read(&vessel.boat, &pairs(given));
    (ask.is_sound(), anchor_page(&site(), &vessel, &ask))
}

#[test]
fn at_anchor_nothing_is_guessed() {
    let (sound, page) = anchored(&[]);
    assert!(sound);
    check_sound("anchor", &page);
    assert!(page.contains("Nothing is worked out until depth and wind are given"));
    assert!(!page.contains("Let out"));
    let (sound, page) = anchored(&[("depth", "4")]);
    check_sound("anchor without wind", &page);
    assert!(!sound && page.contains("The strongest wind is not given"));
    assert!(page.contains("value=\"4\""), "what was written stays");
    let (sound, page) = anchored(&[("depth", "deep"), ("wind", "-3"), ("anchor", "fluke")]);
    check_sound("anchor with faults", &page);
    assert!(!sound && page.contains("has no anchor"));
}

#[test]
fn at_anchor_the_advice_is_drawn_and_its_dangers_are_told() {
    // 7 times 4 m and 1.2 m together are 36.4 m: training texts, `reference/trade-facts.md` section 10.
    let (sound, page) = anchored(&[("depth", "4"), ("wind", "18"), ("bottom", "sand")]);
    assert!(sound);
    check_sound("anchor advice", &page);
    assert!(page.contains("Let out 37\u{a0}m (120\u{a0}ft) of rode."), "rounded up");
    assert_eq!(page.matches("<svg class=\"scene").count(), 2, "from the side and from above");
    assert!(page.contains("Most anchors dig into sand well."));
    assert!(page.contains("What the anchor holds here is not known"));
    assert!(page.contains("Keep hands, feet, hair"), "the running chain");
    let (sound, page) =
        anchored(&[("depth", "20 m"), ("wind", "30 kn"), ("rise", "6 ft"), ("anchor", "kedge")]);
    assert!(sound);
    check_sound("too deep", &page);
    assert!(page.contains("more than she has") && page.contains("short of what the rules ask for"));
}

#[test]
fn the_pages_of_the_demonstration_boats_are_sound() {
    let folder = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("../../demo");
    for name in ["dunlin", "turnstone", "whimbrel"] {
        #[expect(clippy::disallowed_methods, reason = "a test at the rim reads the demonstration boats")]
        let text = std::fs::read_to_string(folder.join(format!("{name}.toml"))).expect("the boat is there");
        let Moored::Well(vessel) = Moored::read(name, name, &text) else { panic!("{name} compiles") };
        for charge in ["", "evening"] {
            let (sound, page) = asked(&vessel, &[("days", "4"), ("charge", charge), ("careful", "1")]);
            assert!(sound, "{name} has a forecast");
            check_sound(&format!("{name}: forecast"), &page);
        }
        for tackle in &vessel.boat.tackle {
            let ask = AnchorAsk::read(
                &vessel.boat,
                &pairs(&[("depth", "5"), ("wind", "25"), ("anchor", &tackle.id)]),
            );
            assert!(ask.is_sound(), "{name}: {}", tackle.name);
            check_sound(&format!("{name}: {}", tackle.name), &anchor_page(&site(), &vessel, &ask));
        }
    }
}
