//! The pages as a reader gets them: sound HTML, everything escaped, every caution where its danger is.

use pages::briefing::{self, BriefAsk};
use pages::{EquipmentAsk, Known, Moored, PlanAsk, Shore, Site, TidesAsk, Vessel, WasteAsk};

mod sound;

use records::Standing;
use sound::check_sound;

fn site() -> Site {
    Site::new("Test <Base>", true)
}

fn vessel() -> Vessel {
    match Moored::read("wader", "wader.toml", include_str!("wader.toml")) {
        Moored::Well(vessel) => *vessel,
        Moored::Wrecked(wreck) => {
            let said: Vec<String> = wreck.diagnostics.iter().map(|d| d.plain(&wreck.sources)).collect();
            panic!("{}", said.join("\n"))
        }
    }
}

fn pairs(pairs: &[(&str, &str)]) -> Vec<(String, String)> {
    pairs.iter().map(|(key, value)| ((*key).to_owned(), (*value).to_owned())).collect()
}

fn equipment(vessel: &Vessel, asked: &[(&str, &str)]) -> String {
    let ask = EquipmentAsk::read(&vessel.boat, &pairs(asked), jiff::civil::date(2027, 7, 10));
    pages::equipment_page(&site(), vessel, None, &ask)
}

fn waste(vessel: &Vessel, asked: &[(&str, &str)]) -> String {
    pages::waste_page(&site(), vessel, &WasteAsk::read(&vessel.boat, &pairs(asked)))
}

fn tides(vessel: Option<&Vessel>, asked: &[(&str, &str)]) -> String {
    let now = "2026-07-11T14:00:00Z".parse().expect("it is a moment");
    let boat = vessel.map(|vessel| &vessel.boat);
    let shore = Shore { boat, base: None, now, zone: jiff::tz::TimeZone::UTC };
    pages::tides_page(&site(), vessel, &TidesAsk::read(&shore, &pairs(asked)))
}

fn all_pages(vessel: &Vessel) -> Vec<(String, String)> {
    let site = site();
    let ask = |level: &str, place: &str, q: &str| PlanAsk {
        level: (!level.is_empty()).then(|| level.to_owned()),
        place: (!place.is_empty()).then(|| place.to_owned()),
        q: q.to_owned(),
    };
    let mut all = vec![
        ("about".to_owned(), pages::about_page(&site)),
        (
            "fleet".to_owned(),
            pages::fleet_page(&site, &[(&Moored::Well(Box::new(vessel.clone())), &Standing::default())]),
        ),
        ("steps".to_owned(), pages::steps_page(&site, vessel)),
        ("items".to_owned(), pages::items_page(&site, vessel, Known::default(), "")),
        ("items found".to_owned(), pages::items_page(&site, vessel, Known::default(), "hob")),
        ("kit".to_owned(), pages::kit_page(&site, vessel)),
        ("upkeep".to_owned(), pages::upkeep_page(&site, vessel)),
        ("briefing".to_owned(), briefing::briefing_page(&site, vessel, None, &BriefAsk::read(&[]))),
        ("briefing lists".to_owned(), briefing::checklists_page(&site, vessel, None)),
        ("briefing topics".to_owned(), briefing::topics_page(&site, vessel, None)),
        ("equipment".to_owned(), equipment(vessel, &[])),
        ("equipment of Canada".to_owned(), equipment(vessel, &[("rules", "canada"), ("children", "14 kg")])),
        ("equipment of others".to_owned(), equipment(vessel, &[("rules", "other")])),
        ("equipment misread".to_owned(), equipment(vessel, &[("from", "soon"), ("waters", "deep")])),
        ("waste".to_owned(), waste(vessel, &[])),
        ("waste here".to_owned(), waste(vessel, &[("rules", "usa"), ("waters", "coastal"), ("off", "2")])),
        ("waste misread".to_owned(), waste(vessel, &[("off", "-1")])),
        ("tides".to_owned(), tides(Some(vessel), &[])),
        (
            "tides at a shoal".to_owned(),
            tides(Some(vessel), &[("depth", "0.5"), ("until", "2026-07-12T10:00")]),
        ),
        ("tides of no boat".to_owned(), tides(None, &[("station", "Pensacola"), ("days", "3")])),
        ("tides misread".to_owned(), tides(None, &[("station", "Atlantis"), ("from", "1850-01-01")])),
        ("proof".to_owned(), pages::proof_page(&site, vessel)),
        ("not found".to_owned(), pages::not_found(&site, "Nothing.", Some(("/", "Home")))),
        ("not understood".to_owned(), pages::not_understood(&site, "Nothing.", ("/", "Home"))),
        ("broken".to_owned(), pages::broken(&site)),
    ];
    for sheet in pages::Sheet::ALL {
        all.push((
            format!("plan {}", sheet.key()),
            pages::plan_page(&site, vessel, Known::default(), &ask(sheet.key(), "", "")),
        ));
    }
    for place in &vessel.boat.places {
        all.push((
            format!("place {}", place.id),
            pages::plan_page(&site, vessel, Known::default(), &ask("", &place.id, "gas")),
        ));
    }
    for (id, procedure) in vessel.boat.procedures.iter_ids() {
        all.push((procedure.id.clone(), pages::procedure_page(&site, vessel, Known::default(), id)));
    }
    all
}

#[test]
fn every_page_is_sound() {
    for (name, page) in all_pages(&vessel()) {
        check_sound(&name, &page);
    }
}

/// The demonstration boats as they are served.
fn demo_boats() -> Vec<Vessel> {
    let folder = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("../../demo");
    #[expect(clippy::disallowed_methods, reason = "a test at the rim reads the demonstration boats")]
    let read =
        |name: &str| std::fs::read_to_string(folder.join(name)).expect("the demonstration boats are there");
    let names = ["dunlin", "turnstone", "whimbrel"];
    let moored = names.map(|name| Moored::read(name, name, &read(&format!("{name}.toml"))));
    let well = moored.into_iter().filter_map(|moored| match moored {
        Moored::Well(vessel) => Some(*vessel),
        Moored::Wrecked(_) => None,
    });
    let well: Vec<Vessel> = well.collect();
    assert_eq!(well.len(), names.len(), "each demonstration boat compiles");
    well
}

#[test]
fn every_page_of_the_demonstration_is_sound_and_gives_each_caution_at_its_step() {
    for vessel in demo_boats() {
        for (name, page) in all_pages(&vessel) {
            check_sound(&format!("{}: {name}", vessel.slug), &page);
        }
        assert!(cautions_at_steps(&vessel) > 50, "{} has many cautions", vessel.slug);
    }
}

#[test]
fn what_people_wrote_is_escaped() {
    let vessel = vessel();
    for (name, page) in all_pages(&vessel) {
        assert!(
            !page.contains("<Base>") && !page.contains("<electric>"),
            "{name} lets a name through as markup"
        );
    }
    assert!(
        pages::items_page(&site(), &vessel, Known::default(), "\"><script>")
            .contains("&quot;&gt;&lt;script&gt;")
    );
}

#[test]
fn every_caution_stands_at_the_step_where_its_danger_is() {
    let checked = cautions_at_steps(&vessel());
    assert!(checked >= 5, "the boat has cautions at five steps at least: {checked}");
}

/// Looks for each caution of each step within that step on the page, and counts them.
fn cautions_at_steps(vessel: &Vessel) -> usize {
    let model = operate::Model::new(&vessel.boat);
    let mut checked = 0;
    for (id, procedure) in vessel.boat.procedures.iter_ids() {
        let page = pages::procedure_page(&site(), vessel, Known::default(), id);
        for (at, step) in procedure.steps.iter().enumerate() {
            let from = page.find(&format!("id=\"step-{}\"", at + 1)).expect("each step has its own anchor");
            let text = &page[from..];
            let text = &text[..text.find("</label>").expect("a step ends with its tick box")];
            for caution in operate::cautions(&model, step) {
                let words = vessel.boat.say(&vessel.boat.cautions[caution].text, quantity::System::Metric);
                let words = escaped(&words);
                assert!(!words.contains('{'), "its limits are filled in: {words}");
                assert!(text.contains(&words), "step {} of {} lacks: {words}", at + 1, procedure.id);
                checked += 1;
            }
        }
    }
    checked
}

#[test]
fn the_gravest_caution_comes_first() {
    let vessel = vessel();
    let id = vessel.boat.procedure("use_thruster").expect("it is in the file");
    let step = &vessel.boat.procedures[id].steps[1];
    let cautions = pages::cautions_at(&vessel.boat, step);
    let ids: Vec<&str> = cautions.iter().map(|id| vessel.boat.cautions[*id].id.as_str()).collect();
    assert_eq!(ids, ["swimmers", "thruster_run"]);
}

#[test]
fn items_are_found_by_other_words() {
    let boat = vessel().boat;
    let names = |q: &str| -> Vec<String> {
        pages::find_items(&boat, q).into_iter().map(|id| boat.items[id].id.clone()).collect()
    };
    assert_eq!(names("isolat"), ["house_switch"]);
    assert_eq!(names("Cookér"), ["stove"], "marks do not matter");
    assert_eq!(names("galley"), ["stove", "extinguisher"], "by place, in the order of the file");
    assert_eq!(names("gas")[0], "gas_bottle", "the name counts most");
    assert!(names("").is_empty() && names("spinnaker").is_empty());
    assert_eq!(names("fire galley"), ["extinguisher"], "all words must fit");
}

#[test]
fn an_unknown_place_or_sheet_shows_the_plan() {
    let vessel = vessel();
    let ask =
        PlanAsk { level: Some("attic".to_owned()), place: Some("nowhere".to_owned()), q: String::new() };
    let page = pages::plan_page(&site(), &vessel, Known::default(), &ask);
    assert!(page.contains("Tap a place"));
}

#[test]
fn a_file_that_does_not_compile_is_shown_with_its_faults() {
    let moored = Moored::read("bad", "bad.toml", "becket = 1\n[boat]\nname = \"<b>\"\n");
    let Moored::Wrecked(wreck) = &moored else { panic!("it must not compile") };
    let page = pages::wreck_page(&site(), wreck);
    check_sound("wreck", &page);
    assert!(page.contains("bad.toml, line") && page.contains("To mend it:"));
    check_sound("fleet", &pages::fleet_page(&site(), &[(&moored, &Standing::default())]));
}

fn escaped(text: &str) -> String {
    text.replace('&', "&amp;").replace('<', "&lt;").replace('>', "&gt;").replace('"', "&quot;")
}
