//! Equipment, waste and tides as a reader and a program get them, for a small boat and for the demonstration's.

use boat::model::Boat;
use jiff::civil::date;
use jiff::tz::TimeZone;
use pages::{EquipmentAsk, Moored, Shore, Site, TidesAsk, Vessel, WasteAsk};
use serde_json::Value;

fn moored(name: &str, text: &str) -> Vessel {
    match Moored::read(name, name, text) {
        Moored::Well(vessel) => *vessel,
        Moored::Wrecked(wreck) => {
            let said: Vec<String> = wreck.diagnostics.iter().map(|one| one.plain(&wreck.sources)).collect();
            panic!("{}", said.join("\n"))
        }
    }
}

/// A boat of 8 m under the flag of Canada, with six hand flares until 17 July 2027 and jackets for adults.
fn sora() -> Vessel {
    let text = "becket = 1\n[boat]\nname = \"Sora\"\nmodel = \"8 m sloop\"\nhull = \"monohull\"\nrig = \"sloop\"\n\
        length = \"8 m\"\nbeam = \"2.6 m\"\ndraught = \"1.5 m\"\nberths = 4\nflag = \"Canada\"\nengine = \"outboard\"\n\
        latitude = \"48.55°\"\nlongitude = \"-123.05°\"\n\
        [places.locker]\nname = \"Locker\"\nlevel = \"deck\"\naft = \"6 m\"\nlong = \"1 m\"\nwide = \"1 m\"\n\
        [kit.flares]\nname = \"Hand flares\"\nplace = \"locker\"\ncount = 6\nexpires = \"2027-07-17\"\ncounts_as = [\"flare_hand\"]\n\
        [kit.jackets]\nname = \"Jackets\"\nplace = \"locker\"\ncount = 4\ncounts_as = [\"lifejacket_adult\"]\n\
        [kit.almanac]\nname = \"Almanac <b>\"\nplace = \"locker\"\ncount = 1\nexpires = \"2026-12-31\"\n";
    moored("sora", text)
}

fn pairs(pairs: &[(&str, &str)]) -> Vec<(String, String)> {
    pairs.iter().map(|(key, value)| ((*key).to_owned(), (*value).to_owned())).collect()
}

fn asked(boat: &Boat, with: &[(&str, &str)]) -> EquipmentAsk {
    EquipmentAsk::read(boat, &pairs(with), date(2027, 7, 10))
}

fn standing(vessel: &Vessel, id: &str, with: &[(&str, &str)]) -> String {
    let data = pages::equipment_data(&vessel.boat, None, &asked(&vessel.boat, with));
    let rows = data["checks"][0]["findings"].as_array().expect("there is a check").clone();
    let found = rows.iter().find(|row| row["id"] == id).expect("the row is for her");
    found["standing"].as_str().expect("a word").to_owned()
}

/// The date in a boat file is the last day on which a thing may be used.
#[test]
fn flares_are_good_through_their_last_day_and_not_a_day_longer() {
    let sora = sora();
    for (until, word) in [("2027-07-16", "met"), ("2027-07-17", "met"), ("2027-07-18", "expired")] {
        assert_eq!(standing(&sora, "flares_9", &[("until", until), ("waters", "coastal")]), word, "{until}");
    }
    let page = |until: &str| {
        let ask = asked(&sora.boat, &[("until", until), ("waters", "coastal")]);
        pages::equipment_page(&Site::new("Base", false), &sora, None, &ask)
    };
    let late = page("2027-07-18");
    assert!(late.contains("Not in date through 18 July 2027: 1."), "{late}");
    assert!(
        late.contains("s. 205 item 2(b)") && late.contains("Entered 25 November 2026"),
        "the rule and its day"
    );
    assert!(!page("2027-07-17").contains("Not in date through"), "it is good on its last day");
    assert!(late.contains("Almanac &lt;b&gt;") && late.contains("31 December 2026"), "what no rule asks for");
}

#[test]
fn what_is_not_said_is_asked_and_an_answer_changes_what_is_found() {
    let sora = sora();
    let ask = asked(&sora.boat, &[]);
    let page = pages::equipment_page(&Site::new("Base", false), &sora, None, &ask);
    assert!(page.contains("Does a cooker, heater or refrigerator aboard burn fuel?"), "{page}");
    assert!(!page.contains("<label for=\"engine\">"), "what the boat file says is not asked");
    assert_eq!(standing(&sora, "flares_9", &[]), "met", "enough whatever the waters are");
    assert_eq!(standing(&sora, "torch_over_6", &[]), "unknown");
    assert_eq!(standing(&sora, "torch_over_6", &[("waters", "coastal")]), "missing");
    assert_eq!(standing(&sora, "torch_over_6", &[("waters", "inland_near_shore")]), "not_required");
    assert_eq!(standing(&sora, "lifejackets", &[("adults", "4")]), "met");
    assert_eq!(standing(&sora, "lifejackets", &[("adults", "5")]), "missing");
    assert_eq!(standing(&sora, "lifejackets", &[("adults", "3"), ("children", "14 kg")]), "missing");
}

#[test]
fn whose_rules_are_not_listed_is_said_and_nothing_is_guessed() {
    let sora = sora();
    for (rules, words) in [
        ("Greece", "The rules of \u{201c}Greece\u{201d} are not known here"),
        ("other", "are not known here"),
        ("uk", "Nothing is known here of what these rules ask to have aboard"),
    ] {
        let ask = asked(&sora.boat, &[("rules", rules)]);
        let page = pages::equipment_page(&Site::new("Base", false), &sora, None, &ask);
        assert!(page.contains(words), "{rules}: {page}");
        assert!(page.contains("no country of the European Union"), "{rules}");
        assert!(!page.contains("class=\"law\""), "{rules}: no row is shown");
        let data = pages::equipment_data(&sora.boat, None, &ask);
        assert_eq!(data["not_known"].is_string(), rules != "uk");
    }
    let waste =
        WasteAsk::read(&sora.boat, &pairs(&[("rules", "Greece"), ("waters", "coastal"), ("off", "20")]));
    let page = pages::waste_page(&Site::new("Base", false), &sora, &waste);
    assert!(page.contains("Keep everything aboard."), "{page}");
}

#[test]
fn a_count_of_the_records_comes_before_the_boat_file() {
    use records::{BoatStanding, Counting, EventId, Hand, Mark, Moment, Walk};
    let sora = sora();
    let mut stands = BoatStanding::default();
    let mark = Mark {
        event: EventId::from_bits(1),
        content: EventId::from_bits(1),
        when: Moment::from_milliseconds(0),
        who: Hand::Account(records::AccountId::new("hand")),
        device: records::DeviceId::new("device"),
        charter: None,
    };
    let counting = Counting { mark, walk: Walk::CheckOut, count: 5, note: None };
    stands.counted.insert("flares".to_owned(), counting);
    let ask = asked(&sora.boat, &[("until", "2027-07-12"), ("waters", "coastal")]);
    let data = pages::equipment_data(&sora.boat, Some(&stands), &ask);
    let rows = data["checks"][0]["findings"].as_array().expect("there is a check");
    let flares = rows.iter().find(|row| row["id"] == "flares_9").expect("the row is for her");
    assert_eq!((&flares["standing"], &flares["needs"][0]["aboard"]), (&"missing".into(), &5.into()));
}

#[test]
fn what_can_t_be_read_is_told_beside_its_field() {
    let sora = sora();
    for (key, value, words) in [
        ("from", "soon", "is no day of the calendar"),
        ("until", "2027-07-01", "The last day comes before the first"),
        ("children", "14,22", "one weight or two"),
        ("adults", "0", "Nobody is aboard"),
        ("waters", "deep", "Choose one from the list"),
        ("night", "perhaps", "Choose one from the list"),
    ] {
        let ask = asked(&sora.boat, &[("from", "2027-07-10"), (key, value)]);
        assert!(!ask.is_sound(), "{key}");
        assert!(ask.flaws().expect("it says what").contains(words), "{key}: {:?}", ask.flaws());
    }
}

/// SOR/2012-69 and the Transport Canada sewage page, as the table of Canada has them.
#[test]
fn waste_is_answered_on_both_sides_of_a_distance() {
    let sora = sora();
    let verdict = |off: &str| {
        let ask = WasteAsk::read(&sora.boat, &pairs(&[("waters", "coastal"), ("off", off)]));
        assert!(ask.is_sound(), "{:?}", ask.flaws());
        pages::waste_data(&sora.boat, &ask)["authorities"][0]["here"]["sewage_untreated"]["verdict"].clone()
    };
    assert_eq!(verdict("3"), "forbidden");
    assert_eq!(verdict("3.1"), "conditions");
    let unsaid = WasteAsk::read(&sora.boat, &pairs(&[("waters", "coastal")]));
    let data = pages::waste_data(&sora.boat, &unsaid);
    assert_eq!(data["authorities"][0]["here"]["sewage_untreated"]["verdict"], "not_known");
    let zone = WasteAsk::read(&sora.boat, &pairs(&[("zone", "closed_lake"), ("waters", "coastal")]));
    assert!(zone.flaws().expect("it says what").contains("not on the sea"));
    assert!(!WasteAsk::read(&sora.boat, &pairs(&[("off", "-1")])).is_sound());
}

/// From where things are counted, and from the tank that fills, the rules are one step away.
#[test]
fn the_kit_and_the_forecast_lead_to_the_rules() {
    let folder = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("../../demo/dunlin.toml");
    #[expect(clippy::disallowed_methods, reason = "a test at the rim reads a demonstration boat")]
    let dunlin = moored("dunlin", &std::fs::read_to_string(folder).expect("the demonstration boat is there"));
    let site = Site::new("Base", false);
    assert!(pages::kit_page(&site, &dunlin).contains("href=\"/boat/dunlin/equipment\""));
    let ask = pages::ForecastAsk::read(
        &dunlin.boat,
        &pairs(&[("days", "2"), ("starts", "2027-07-10")]),
        "2027-07-10",
    );
    let outlook = pages::Outlook::look(&dunlin.boat, &ask, &endure::reckon);
    let forecast = pages::forecast_page(&site, &dunlin, &ask, &outlook);
    assert!(
        forecast.contains("href=\"/boat/dunlin/waste\">What may go overboard"),
        "a tank of waste is in it"
    );
}

fn tides(vessel: Option<&Vessel>, with: &[(&str, &str)]) -> TidesAsk {
    let now = "2026-07-11T14:00:00Z".parse().expect("it is a moment");
    let boat = vessel.map(|vessel| &vessel.boat);
    TidesAsk::read(&Shore { boat, base: None, now, zone: TimeZone::UTC }, &pairs(with))
}

fn tide_data(ask: &TidesAsk) -> Value {
    pages::tides_data(ask).unwrap_or_else(|| panic!("{:?}", ask.flaws()))
}

/// `reference/oracles/tides_extremes.csv`, Boston, schureman: high and low water of 10 July 2026 by New York's clocks.
#[test]
fn the_turns_of_a_day_are_those_of_another_program_by_the_clocks_of_the_place() {
    let table = include_str!("../../../reference/oracles/tides_extremes.csv");
    let head: Vec<&str> = table.lines().next().expect("a head").split(',').collect();
    let at = |name: &str| head.iter().position(|one| *one == name).expect("the column is there");
    let (station, method, kind, time, height) =
        (at("station"), at("method"), at("type"), at("time_utc"), at("height_m"));
    let data = tide_data(&tides(None, &[("station", "Boston"), ("from", "2026-07-12"), ("days", "3")]));
    let days = data["days"].as_array().expect("days");
    let turns: Vec<&Value> = days.iter().flat_map(|day| day["turns"].as_array().expect("turns")).collect();
    let mut met = 0;
    for line in table.lines().skip(1) {
        let cells: Vec<&str> = line.split(',').collect();
        if cells[station] != "8443970" || cells[method] != "schureman" {
            continue;
        }
        let moment: jiff::Timestamp = cells[time].parse().expect("a moment");
        let near = |turn: &&&Value| {
            let found: jiff::Timestamp = turn["at"].as_str().expect("a text").parse().expect("a moment");
            found.duration_since(moment).as_secs().abs() <= 300 && turn["water"] == cells[kind]
        };
        if let Some(turn) = turns.iter().find(near) {
            let wanted: f64 = cells[height].parse().expect("a number");
            let found = turn["height_m"].as_f64().expect("a number");
            assert!((found - wanted).abs() <= 0.06, "{line}: {found}");
            met += 1;
        }
    }
    assert_eq!((met, turns.len()), (turns.len(), turns.len()), "every turn stands in the table");
    assert!(turns.len() >= 10, "{}", turns.len());
    assert_eq!(data["zone"], "America/New_York");
    assert!(turns.iter().all(|turn| turn["clock"].as_str().is_some_and(|clock| clock.ends_with("-04:00"))));
}

#[test]
fn the_nearest_station_comes_first_and_a_far_one_is_warned_of() {
    let sora = sora();
    let near = tide_data(&tides(Some(&sora), &[]));
    assert_eq!((&near["station"]["name"], &near["too_far"]), (&"Friday Harbor".into(), &Value::Null));
    let far = tide_data(&tides(Some(&sora), &[("near", "43.9 N 69.6 W")]));
    assert_eq!(far["station"]["name"], "Boston");
    assert!(
        far["too_far"]
            .as_str()
            .is_some_and(|words| words.contains("nautical miles from the place that you gave"))
    );
    let page = |with: &[(&str, &str)]| {
        pages::tides_page(&Site::new("Base", false), Some(&sora), &tides(Some(&sora), with))
    };
    assert!(!page(&[]).contains("another tide than yours"));
    assert!(page(&[("station", "Pensacola")]).contains("another tide than yours"));
    for words in ["Not for navigation", "mean lower low water", "Wind, air pressure"] {
        assert!(page(&[]).contains(words), "{words}");
    }
}

#[test]
fn water_enough_and_a_stay_agree_with_the_curve() {
    let sora = sora();
    let with = [
        ("depth", "0.2"),
        ("clearance", "0.3"),
        ("from", "2026-07-11"),
        ("days", "2"),
        ("until", "2026-07-12T07:00"),
    ];
    let ask = tides(Some(&sora), &with);
    let data = tide_data(&ask);
    let enough = &data["water_enough"];
    // Her draught of 1.5 m is that of the boat file: 1.5 + 0.3 - 0.2.
    assert_eq!(enough["needed_m"], 1.6);
    let station = almanac::tide::station("Friday Harbor").expect("it is compiled in");
    for window in enough["windows"].as_array().expect("windows") {
        let moment = |key: &str| window[key].as_str().expect("a text").parse().expect("a moment");
        for (key, at_end) in [("from", "began_before"), ("until", "goes_on")] {
            let height = almanac::tide::height(station, moment(key)).as_metres();
            assert!((height - 1.6).abs() < 0.002 || window[at_end] == true, "{window}: {height}");
        }
    }
    let (rise, fall) = (data["stay"]["rise_m"].as_f64(), data["stay"]["fall_m"].as_f64());
    let now = data["at"]["height_m"].as_f64().expect("a number");
    let (top, low) = (now + rise.expect("a number"), now - fall.expect("a number"));
    let inside =
        data["days"].as_array().expect("days").iter().flat_map(|day| day["turns"].as_array().expect("turns"));
    let inside: Vec<f64> = inside
        .filter(|turn| {
            (data["stay"]["from"].as_str()..data["stay"]["until"].as_str()).contains(&turn["at"].as_str())
        })
        .filter_map(|turn| turn["height_m"].as_f64())
        .collect();
    assert!(
        inside.len() >= 2 && inside.iter().all(|height| (low - 0.011..=top + 0.011).contains(height)),
        "{inside:?}"
    );
    let page = pages::tides_page(&Site::new("Base", false), Some(&sora), &ask);
    assert!(page.contains("/boat/sora/anchor?rise="), "the way to the anchor page");
    let never = tides(Some(&sora), &[("depth", "-4"), ("clearance", "0.3")]);
    assert!(pages::tides_page(&Site::new("Base", false), None, &never).contains("Never in these days"));
    let always = tides(Some(&sora), &[("depth", "40"), ("clearance", "0.3")]);
    assert!(
        pages::tides_page(&Site::new("Base", false), None, &always).contains("All the time in these days")
    );
}

#[test]
fn a_tide_that_can_t_be_worked_out_says_why() {
    for (key, value, words) in [
        ("station", "Atlantis", "Known are Boston"),
        ("near", "somewhere", "is not a position"),
        ("from", "1850-01-01", "1900 to 2099"),
        ("from", "9999-12-31", "1900 to 2099"),
        ("days", "32", "from 1 to 31"),
        ("at", "noon", "is no day and time"),
        ("until", "2020-01-01T00:00", "before its beginning"),
        ("until", "2030-01-01T00:00", "at most 400 days"),
        ("depth", "1.5", "The draught is not given"),
        ("draught", "-1", "less than nothing"),
    ] {
        let ask = tides(None, &[(key, value)]);
        assert!(ask.flaws().is_some_and(|flaws| flaws.contains(words)), "{key}={value}: {:?}", ask.flaws());
        assert!(pages::tides_data(&ask).is_none(), "{key}");
    }
}

/// Clocks go back on 1 November 2026 in the United States: that day has 25 hours.
#[test]
fn the_day_on_which_the_clocks_change_is_whole() {
    let data = tide_data(&tides(None, &[("station", "Boston"), ("from", "2026-11-01"), ("days", "2")]));
    let clocks = |day: usize| {
        let turns = data["days"][day]["turns"].as_array().expect("turns");
        turns.iter().map(|turn| turn["clock"].as_str().expect("a text").to_owned()).collect::<Vec<_>>()
    };
    for (day, date) in [(0, "2026-11-01"), (1, "2026-11-02")] {
        assert!(clocks(day).iter().all(|clock| clock.starts_with(date)), "{:?}", clocks(day));
    }
    assert!(clocks(1).iter().all(|clock| clock.ends_with("-05:00")));
    let all = clocks(0).len() + clocks(1).len();
    assert!((7..=8).contains(&all), "no turn is lost or told twice: {all}");
}

/// What the law asks for and is aboard is in the briefing.
#[test]
fn what_the_law_asks_for_and_is_aboard_is_found() {
    let sora = sora();
    let names: Vec<String> = pages::law_of(&sora.boat).into_iter().map(|law| law.name).collect();
    assert_eq!(names, ["Hand flares", "Jackets"]);
    let flagless = moored("tern", include_str!("wader.toml"));
    assert!(flagless.boat.particulars.flag.is_none() && pages::law_of(&flagless.boat).is_empty());
}
