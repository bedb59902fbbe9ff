//! Changing a boat file: nothing else changes, what is taken back is as it was, and two people's work comes together.

use boat::compile;
use boat::edit::{
    BOAT, Change, Deck, Edit, Kind, Refused, Value, Whose, begin, changes, edit, keys, merge, parameters,
    referring, row, sections,
};
use proptest::prelude::*;
use proptest::sample::Index;

const DUNLIN: &str = include_str!("../../../../demo/dunlin.toml");
const TURNSTONE: &str = include_str!("../../../../demo/turnstone.toml");

/// The demo's smaller boats, put in order once.
fn files() -> &'static [String; 2] {
    static FILES: std::sync::OnceLock<[String; 2]> = std::sync::OnceLock::new();
    FILES.get_or_init(|| [DUNLIN, TURNSTONE].map(|text| boat::tidy("demo", text).unwrap()))
}

fn set(text: &str, section: &str, id: &str, key: &str, value: Option<Value>) -> Result<String, Refused> {
    let (section, id, key) = (section.to_owned(), id.to_owned(), key.to_owned());
    edit(text, &Edit::Set { section, id, key, value })
}

/// Every entry that a file writes.
fn rows(text: &str) -> Vec<(&'static str, String, Value)> {
    let deck = Deck::read(text).unwrap();
    let of = |name| {
        let own = deck.section(name).iter().filter_map(|entry| Some((entry.id.clone(), entry.own.clone()?)));
        own.map(move |(id, own)| (name, id, own)).collect::<Vec<_>>()
    };
    sections().iter().flat_map(|section| of(section.name)).collect()
}

/// All remarks of a text, in alphabetical order.
fn remarks(text: &str) -> Vec<&str> {
    let mut found: Vec<&str> =
        text.lines().filter_map(|line| line.find('#').map(|at| line[at..].trim())).collect();
    found.sort_unstable();
    found
}

fn errors(text: &str) -> usize {
    compile("edited.toml", text).diagnostics.len()
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 16, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn a_key_set_and_set_back_leaves_the_file_as_it_was(
        file in any::<Index>(), entry in any::<Index>(), key in any::<Index>(), words in "[a-z \"\\\\é{}#=]{1,12}"
    ) {
        let text = file.get(files());
        let all = rows(text);
        let (section, id, own) = entry.get(&all);
        let (key, old) = key.get(own.entries());
        let new = set(text, section, id, key, Some(Value::text(words.as_str()))).unwrap();
        let now = row(&new, section, id).unwrap();
        prop_assert_eq!(now.get(key), Some(&Value::text(words.as_str())));
        // Every other key of the file says what it said.
        let found = changes(text, &new).unwrap();
        prop_assert!(found.len() <= 1, "{:?}", found);
        let without = new.replace(&Value::text(words.as_str()).written(), "");
        prop_assert_eq!(remarks(text), remarks(&without));
        let back = set(&new, section, id, key, Some(old.clone())).unwrap();
        if matches!(old, Value::Text(_) | Value::Whole(_) | Value::Yes(_)) {
            prop_assert_eq!(&back, text);
        }
        prop_assert!(changes(text, &back).unwrap().is_empty());
    }

    #[test]
    fn a_key_added_and_taken_away_leaves_the_file_as_it_was(
        file in any::<Index>(), entry in any::<Index>(), key in any::<Index>()
    ) {
        let text = file.get(files());
        let all = rows(text);
        let (section, id, own) = entry.get(&all);
        let missing: Vec<_> = keys(section).iter().filter(|key| own.get(key.name).is_none()).collect();
        prop_assume!(!missing.is_empty());
        let key = key.get(&missing).name;
        let new = set(text, section, id, key, Some(Value::text("something"))).unwrap();
        prop_assert_eq!(new.len(), text.len() + key.len() + " = \"something\"\n".len());
        prop_assert_eq!(boat::tidy("x", &new).unwrap(), new.clone(), "a file in order stays in order");
        prop_assert_eq!(&set(&new, section, id, key, None).unwrap(), text);
    }

    #[test]
    fn an_entry_added_and_removed_leaves_the_file_as_it_was(file in any::<Index>(), section in any::<Index>()) {
        let text = file.get(files());
        let section = section.get(sections()).name.to_owned();
        let keys = Value::Table(vec![("source".to_owned(), Value::text("me"))]);
        let id = "quite_new".to_owned();
        let new = edit(text, &Edit::AddRow { section: section.clone(), id: id.clone(), keys }).unwrap();
        prop_assert_eq!(boat::tidy("x", &new).unwrap(), new.clone(), "a file in order stays in order");
        let block = format!("\n[{section}.quite_new]\nsource = \"me\"\n");
        prop_assert!(new.contains(&block));
        prop_assert_eq!(&edit(&new, &Edit::RemoveRow { section, id }).unwrap(), text);
    }

    #[test]
    fn steps_moved_and_moved_back_leave_the_file_as_it_was(
        file in any::<Index>(), list in any::<Index>(), from in any::<Index>(), to in any::<Index>()
    ) {
        let text = file.get(files());
        let all = rows(text);
        let lists: Vec<_> = all.iter().filter(|(section, ..)| *section == "procedures").collect();
        let (_, id, own) = list.get(&lists);
        let steps = own.get("steps").unwrap().list();
        let (from, to) = (from.index(steps.len()), to.index(steps.len()));
        let procedure = id.clone();
        let new = edit(text, &Edit::MoveStep { procedure: procedure.clone(), from, to }).unwrap();
        prop_assert_eq!(row(&new, "procedures", id).unwrap().get("steps").unwrap().list()[to].clone(), steps[from].clone());
        prop_assert_eq!(remarks(text), remarks(&new));
        let back = edit(&new, &Edit::MoveStep { procedure: procedure.clone(), from: to, to: from }).unwrap();
        prop_assert_eq!(&back, text);
        let step = Value::Table(vec![("look".to_owned(), Value::text("Look about you."))]);
        let added = edit(text, &Edit::AddStep { procedure: procedure.clone(), at: to, step }).unwrap();
        prop_assert_eq!(remarks(text), remarks(&added));
        prop_assert_eq!(&edit(&added, &Edit::RemoveStep { procedure, at: to }).unwrap(), text);
    }

    #[test]
    fn what_is_renamed_and_renamed_back_is_as_it_was_and_nothing_is_lost_between(
        file in any::<Index>(), entry in any::<Index>()
    ) {
        let text = file.get(files());
        let all = rows(text);
        let (section, id, _) = entry.get(&all);
        let (section, id) = ((*section).to_owned(), id.clone());
        let to = format!("{id}_renamed");
        let new = match edit(text, &Edit::Rename { section: section.clone(), id: id.clone(), to: to.clone() }) {
            Ok(new) => new,
            Err(refused) => {
                // Only what a class brings keeps its name.
                prop_assert!(refused.to_string().contains("Rename the item instead.") || section == "modes", "{}", refused);
                return Ok(());
            }
        };
        prop_assert!(row(&new, &section, &to).is_ok() && row(&new, &section, &id).is_err());
        let (before, after) = (compile("a", text), compile("a", &new));
        let told = |compiled: &boat::Compiled| compiled.diagnostics.iter().map(|d| d.headline.clone()).collect::<Vec<_>>();
        prop_assert_eq!(before.diagnostics.len(), after.diagnostics.len(), "{:?}", told(&after));
        let back = edit(&new, &Edit::Rename { section: section.clone(), id: to, to: id }).unwrap();
        if section != "controls" && section != "items" {
            prop_assert_eq!(&back, text);
        }
    }

    #[test]
    fn what_something_refers_to_is_not_removed_and_the_rest_is_without_harm(
        file in any::<Index>(), entry in any::<Index>()
    ) {
        let text = file.get(files());
        let all = rows(text);
        let (section, id, _) = entry.get(&all);
        let (section, id) = ((*section).to_owned(), id.clone());
        match edit(text, &Edit::RemoveRow { section: section.clone(), id: id.clone() }) {
            Ok(new) => {
                prop_assert!(row(&new, &section, &id).is_err());
                let unknown: Vec<_> = compile("a", &new).diagnostics.into_iter()
                    .filter(|found| found.code == "unknown-name").map(|found| found.headline).collect();
                prop_assert!(unknown.is_empty(), "{:?}", unknown);
                prop_assert_eq!(changes(text, &new).unwrap().len(), 1);
            }
            Err(Refused::Referred { by, .. }) => prop_assert!(!by.is_empty()),
            Err(other) => prop_assert!(false, "{}", other),
        }
    }

    #[test]
    fn two_who_change_different_keys_both_keep_their_work(
        file in any::<Index>(), one in any::<Index>(), other in any::<Index>(), pick in any::<bool>()
    ) {
        let base = file.get(files());
        let all = rows(base);
        let (one, other) = (one.get(&all), other.get(&all));
        let named = |(section, id, _): &(&'static str, String, Value), words: &str| {
            set(base, section, id, "source", Some(Value::text(words))).unwrap()
        };
        let (mine, theirs) = (named(one, "mine"), named(other, "theirs"));
        let merged = merge(base, &mine, &theirs, &[]).unwrap();
        let source = |text: &str, (section, id, _): &(&'static str, String, Value)| {
            row(text, section, id).unwrap().get("source").unwrap().clone()
        };
        if one.0 == other.0 && one.1 == other.1 {
            prop_assert_eq!(merged.clashes.len(), 1);
            prop_assert_eq!(&merged.text, &theirs, "theirs stands until it is chosen");
            let whose = if pick { Whose::Mine } else { Whose::Theirs };
            let chosen = merge(base, &mine, &theirs, &[(merged.clashes[0].about.clone(), whose)]).unwrap();
            prop_assert!(chosen.clashes.is_empty());
            prop_assert_eq!(source(&chosen.text, one), Value::text(if pick { "mine" } else { "theirs" }));
        } else {
            prop_assert!(merged.clashes.is_empty());
            prop_assert_eq!(source(&merged.text, one), Value::text("mine"));
            prop_assert_eq!(source(&merged.text, other), Value::text("theirs"));
            let turned = merge(base, &theirs, &mine, &[]).unwrap();
            prop_assert!(changes(&merged.text, &turned.text).unwrap().is_empty(), "whoever comes first");
        }
    }

    #[test]
    fn no_text_makes_editing_panic(at in any::<Index>(), edits in prop::collection::vec(crate::properties::edit(), 0..6)) {
        let text = crate::properties::edited(crate::cases::sound(), &edits);
        let section = at.get(sections()).name;
        let _ = Deck::read(&text);
        for id in ["panel", "engine", "mast"] {
            if let Ok(new) = set(&text, section, id, "source", Some(Value::text("x"))) {
                prop_assert!(row(&new, section, id).is_ok_and(|row| row.get("source") == Some(&Value::text("x"))), "{}", new);
            }
        }
        let _ = changes(crate::cases::sound(), &text);
        let _ = merge(crate::cases::sound(), &text, crate::cases::sound(), &[]);
    }
}

const ODD: &str = "becket = 1\r\n# head\r\n[boat]\r\nname = \"Sora\"  # not the bird\r\n\r\n[items]\r\nlamp = { name = \"Lamp\", place = \"mast\" }\r\nbell.name = \"Bell\"\r\nbell.place = \"mast\"\r\n\r\n[items.pump]\r\nname = 'Pump'\r\n[items.pump.with]\r\nuse = \"x\"\r\n# the end\r\n[[procedures.go.steps]]\r\nlook = \"a\"  # one\r\n[[procedures.go.steps]]\r\nlook = \"b\"\r\n";

#[test]
fn other_ways_of_writing_are_kept() {
    let with = |new: &str, old: &str| ODD.replace(old, new);
    let text = Value::text;
    assert_eq!(
        set(ODD, BOAT, "", "name", Some(text("Rail"))).unwrap(),
        with("\"Rail\"  # not", "\"Sora\"  # not")
    );
    assert_eq!(
        set(ODD, "items", "lamp", "find", Some(text("up"))).unwrap(),
        with("place = \"mast\", find = \"up\" }", "place = \"mast\" }")
    );
    assert_eq!(set(ODD, "items", "lamp", "name", None).unwrap(), with("{ place", "{ name = \"Lamp\", place"));
    assert_eq!(
        set(ODD, "items", "lamp", "place", None).unwrap(),
        with("{ name = \"Lamp\" }", "{ name = \"Lamp\", place = \"mast\" }")
    );
    assert_eq!(
        set(ODD, "items", "bell", "find", Some(text("aft"))).unwrap(),
        with("bell.place = \"mast\"\r\nbell.find = \"aft\"\r\n", "bell.place = \"mast\"\r\n")
    );
    assert_eq!(set(ODD, "items", "bell", "name", None).unwrap(), with("", "bell.name = \"Bell\"\r\n"));
    assert_eq!(
        set(ODD, "items", "pump", "place", Some(text("mast"))).unwrap(),
        with("name = 'Pump'\r\nplace = \"mast\"\r\n", "name = 'Pump'\r\n")
    );
    let gone = edit(ODD, &Edit::RemoveRow { section: "items".into(), id: "lamp".into() }).unwrap();
    assert_eq!(gone, with("", "lamp = { name = \"Lamp\", place = \"mast\" }\r\n"));
    let renamed =
        edit(ODD, &Edit::Rename { section: "items".into(), id: "bell".into(), to: "gong".into() }).unwrap();
    assert_eq!(renamed, with("gong.name = \"Bell\"\r\ngong.place", "bell.name = \"Bell\"\r\nbell.place"));
    let params =
        set(ODD, "items", "pump", "with", Some(Value::Table(vec![("use".into(), text("y"))]))).unwrap();
    assert_eq!(row(&params, "items", "pump").unwrap().get("with").unwrap().get("use"), Some(&text("y")));
    assert!(params.contains("# the end") && params.contains("# head"));
    let step = Value::Table(vec![("look".to_owned(), text("c"))]);
    let steps = edit(ODD, &Edit::AddStep { procedure: "go".into(), at: 1, step }).unwrap();
    let list = row(&steps, "procedures", "go").expect(&steps);
    let looks: Vec<_> =
        list.get("steps").unwrap().list().iter().map(|step| step.get("look").unwrap().typed()).collect();
    assert_eq!(looks, ["a", "c", "b"]);
}

#[test]
fn remarks_of_a_step_go_where_the_step_goes() {
    let text = "[procedures.go]\nsteps = [\n  # first\n  { look = \"a\" },  # why a\n  { look = \"b\" },\n  # last\n]\n";
    let moved = edit(text, &Edit::MoveStep { procedure: "go".into(), from: 0, to: 1 }).unwrap();
    assert_eq!(
        moved,
        "[procedures.go]\nsteps = [\n  { look = \"b\" },\n  # first\n  { look = \"a\" },  # why a\n  # last\n]\n"
    );
    let removed = edit(text, &Edit::RemoveStep { procedure: "go".into(), at: 0 }).unwrap();
    assert!(removed.contains("# first") && removed.contains("# why a"), "{removed}");
    let (procedure, key) = ("go".to_owned(), "why".to_owned());
    let said =
        edit(text, &Edit::SetStep { procedure, at: 1, key, value: Some(Value::text("Because.")) }).unwrap();
    assert_eq!(said, text.replace("{ look = \"b\" }", "{ look = \"b\", why = \"Because.\" }"));
}

#[test]
fn a_refusal_names_who_refers_and_how_to_mend_it() {
    let refused =
        edit(DUNLIN, &Edit::RemoveRow { section: "places".into(), id: "galley".into() }).unwrap_err();
    let words = refused.to_string();
    assert!(words.contains("items.sockets (place names galley)"), "{words}");
    // What an item's class brings is referred to as well.
    let by = referring(DUNLIN, "items", "house_switch").unwrap();
    assert!(by.iter().any(|one| one.to == "house_switch_live" && one.section == "conditions"), "{by:?}");
    for (section, id, to) in
        [("items", "panel", "Panel 2"), ("items", "panel", "engine"), ("items", "none", "x")]
    {
        let (section, id, to) = (section.to_owned(), id.to_owned(), to.to_owned());
        let refused = edit(DUNLIN, &Edit::Rename { section, id, to }).unwrap_err();
        assert!(matches!(refused, Refused::Words { .. }), "{refused}");
    }
    assert!(matches!(set("a = ", "items", "a", "name", None), Err(Refused::Unreadable { .. })));
    assert!(matches!(set("", "wings", "a", "name", None), Err(Refused::Words { .. })));
}

#[test]
fn renaming_an_item_takes_along_what_its_class_brings_and_leaves_prose_alone() {
    let (section, id, to) = ("items".to_owned(), "house_switch".to_owned(), "main_switch".to_owned());
    let new = edit(DUNLIN, &Edit::Rename { section, id, to }).unwrap();
    assert!(new.contains("[items.main_switch]") && new.contains("power = \"main_switch_live\""));
    assert!(!new.contains("house_switch"));
    assert_eq!(errors(&new), errors(DUNLIN));
    let (section, id, to) = ("items".to_owned(), "engine".to_owned(), "motor".to_owned());
    let new = edit(DUNLIN, &Edit::Rename { section, id, to }).unwrap();
    assert!(new.contains("Bronze lever on the port side of the engine."), "words for people stay");
    let told: Vec<_> = compile("x", &new).diagnostics.into_iter().map(|found| found.headline).collect();
    assert_eq!(told, Vec::<String>::new());
}

#[test]
fn every_kind_of_the_table_knows_its_parameters() {
    let of = |class: &str, name: &str| parameters(class).iter().find(|own| own.name == name).unwrap();
    assert!(matches!(of("diesel_engine", "helm").kind, Kind::Ref("places")));
    assert!(matches!(of("diesel_engine", "seacock").kind, Kind::Ref("controls")));
    assert!(matches!(of("dc_panel", "power").kind, Kind::Fact));
    assert!(of("dc_panel", "power").default.is_none() && of("diesel_engine", "idle").default.is_some());
}

#[test]
fn a_new_boat_is_sound_from_the_start() {
    let text = |key: &str, value: &str| (key.to_owned(), Value::text(value));
    let particulars = Value::Table(vec![
        text("name", "Sora"),
        text("hull", "monohull"),
        text("model", "9 m sloop"),
        text("rig", "sloop"),
        text("length", "30 ft"),
        text("beam", "3 m"),
        text("draught", "1.5 m"),
        ("berths".to_owned(), Value::Whole(4)),
    ]);
    let made = begin(&particulars, &["seacock", "compass", "fire_extinguisher"]).unwrap();
    let compiled = compile("sora.toml", &made);
    assert!(compiled.boat.is_some(), "{:?}", compiled.diagnostics);
    assert_eq!(boat::tidy("sora.toml", &made).unwrap(), made);
    assert!(begin(&Value::Table(Vec::new()), &[]).unwrap_err().to_string().contains("length"));
    assert!(begin(&particulars, &["wings"]).is_err());
}

#[test]
fn changes_are_told_in_words() {
    let new = set(DUNLIN, "places", "galley", "level", Some(Value::text("deck"))).unwrap();
    let words: Vec<String> = changes(DUNLIN, &new).unwrap().iter().map(Change::words).collect();
    assert_eq!(
        words,
        ["The place \"galley\": \"level\" was \u{201c}below\u{201d}, and is now \u{201c}deck\u{201d}."]
    );
}

#[test]
fn who_removes_what_another_changes_is_asked() {
    let base = "[cautions.a]\nword = \"notice\"\n\n[cautions.b]\nword = \"notice\"\n";
    let mine = edit(base, &Edit::RemoveRow { section: "cautions".into(), id: "a".into() }).unwrap();
    let theirs = set(base, "cautions", "a", "word", Some(Value::text("danger"))).unwrap();
    let merged = merge(base, &mine, &theirs, &[]).unwrap();
    assert_eq!((merged.clashes.len(), merged.text.as_str()), (1, theirs.as_str()));
    let about = merged.clashes[0].about.clone();
    let chosen = merge(base, &mine, &theirs, &[(about, Whose::Mine)]).unwrap();
    assert_eq!(chosen.text, mine);
    let turned = merge(base, &theirs, &mine, &[]).unwrap();
    let about = turned.clashes[0].about.clone();
    let back = merge(base, &theirs, &mine, &[(about, Whose::Mine)]).unwrap();
    assert!(changes(&back.text, &theirs).unwrap().is_empty(), "{}", back.text);
}
