//! Each row of the tables against its source, from `reference/rules`, which was typed from the trade facts by hand.

use quantity::Length;
use rules::{
    Extent, How, NotKnown, Requirement, Section, Standing, Subject, authorities, authority, check, words,
};

use crate::cases::{find, inquiry, kit, known, say, table, trade_facts};

const EQUIPMENT: [&str; 9] =
    ["authority", "id", "source", "how", "lengths_in", "lengths_out", "facts", "enough", "short"];

fn how(word: &str) -> How {
    serde_json::from_value(serde_json::Value::String(word.to_owned())).unwrap()
}

fn lengths(text: &str) -> Vec<Length> {
    text.split(';').filter(|one| !one.is_empty()).map(|one| Length::parse(one).unwrap()).collect()
}

#[test]
fn each_requirement_is_as_its_source_says() {
    let facts = trade_facts();
    for [name, id, source, known_how, within, outside, said, enough, short] in
        table("equipment.csv", EQUIPMENT)
    {
        let at = format!("{name} {id}");
        assert!(facts.contains(&source), "{at} cites what the trade facts do not say: {source}");
        for length in lengths(&outside) {
            assert!(find(&name, &inquiry(length, Vec::new()), &id).is_none(), "{at} is not for {length}");
        }
        let inside = lengths(&within);
        assert!(!inside.is_empty(), "{at}");
        for length in inside {
            for (kits, wanted) in [(&enough, Standing::Met), (&short, Standing::Missing)] {
                for one in kits.split(" / ").filter(|one| !one.is_empty()) {
                    let mut asked = inquiry(length, kit(one));
                    say(&mut asked, &said);
                    let found = find(&name, &asked, &id).unwrap_or_else(|| panic!("{at} is for {length}"));
                    assert_eq!(found.standing, wanted, "{at}, {length}, with {one}");
                    assert_eq!(found.citation.how, how(&known_how), "{at}");
                }
            }
            let mut bare = inquiry(length, Vec::new());
            say(&mut bare, &said);
            assert_eq!(
                find(&name, &bare, &id).unwrap().standing,
                Standing::Missing,
                "{at}, with nothing aboard"
            );
        }
    }
}

#[test]
fn every_requirement_has_its_expected_values() {
    let rows = table("equipment.csv", EQUIPMENT);
    for one in authorities() {
        for row in &one.requirements {
            assert!(
                rows.iter().any(|[name, id, ..]| *name == one.id && *id == row.id),
                "{} {}",
                one.id,
                row.id
            );
        }
    }
    assert_eq!(rows.len(), authorities().iter().map(|one| one.requirements.len()).sum::<usize>());
}

/// Rows bound one above the other leave no length out and count none twice.
#[test]
fn rows_of_one_kind_cover_every_length_once() {
    let groups: [(&str, &[&str]); 7] = [
        (
            "canada",
            &[
                "heaving_line_6",
                "heaving_line_9",
                "heaving_line_12",
                "heaving_line_24",
                "heaving_line_over_24",
            ],
        ),
        ("canada", &["signals_6", "flares_9", "flares_24", "flares_over_24"]),
        ("canada", &["anchor_6", "anchor_9", "anchor_12", "anchor_24", "anchor_over_24"]),
        ("canada", &["bailer_6", "bailer_9", "bilge_12", "bilge_24", "bilge_over_24"]),
        ("canada", &["sound_12", "sound_over_12", "sound_20"]),
        ("canada", &["fire_6", "fire_9", "fire_12", "fire_24", "fire_over_24"]),
        ("united_states", &["fire_26", "fire_40", "fire_65"]),
    ];
    for (name, ids) in groups {
        let most = if name == "united_states" { 1981 } else { 4000 };
        for centimetres in 100..=most {
            let length = Length::centimetres(f64::from(centimetres));
            let rows = &known(name).requirements;
            let alike =
                rows.iter().filter(|row: &&Requirement| ids.contains(&row.id.as_str()) && row.is_for(length));
            assert_eq!(alike.count(), 1, "{name} {ids:?} at {length}");
        }
    }
}

#[test]
fn an_engine_is_what_flares_hang_on_and_it_is_asked_for() {
    let mut asked = inquiry(Length::metres(11.0), Vec::new());
    let flares = |asked: &_| find("canada", asked, "flares_24").unwrap();
    let found = flares(&asked);
    assert_eq!(found.standing, Standing::Unknown);
    assert!(
        found.reasons.iter().any(|words| words.contains("whether she has an engine")),
        "{:?}",
        found.reasons
    );
    say(&mut asked, "engine=no");
    assert_eq!(flares(&asked).standing, Standing::NotRequired);
    say(&mut asked, "engine=yes");
    assert_eq!(flares(&asked).standing, Standing::Missing);
    say(&mut asked, "waters=inland_near_shore");
    assert_eq!(flares(&asked).standing, Standing::NotRequired);
    say(&mut asked, "waters=inland");
    assert_eq!(flares(&asked).standing, Standing::Missing);
    asked.waters = None;
    assert_eq!(flares(&asked).standing, Standing::Unknown);
}

/// Section 1e, > 9–12 m: one if power-driven, plus one if something burns fuel, which is not said here.
#[test]
fn a_number_that_depends_on_what_is_not_said_is_not_known() {
    for (aboard, standing) in [
        ("", Standing::Missing),
        ("extinguisher_10bc:1", Standing::Unknown),
        ("extinguisher_10bc:2", Standing::Met),
    ] {
        let mut asked = inquiry(Length::metres(11.0), kit(aboard));
        say(&mut asked, "engine=yes");
        let found = find("canada", &asked, "fire_12").unwrap();
        assert_eq!(found.standing, standing, "{aboard}");
        let need = &found.needs[0];
        assert_eq!((need.required, need.at_least, need.at_most), (None, 1, Some(2)));
        let said = found.reasons.iter().any(|words| words.contains("burns fuel"));
        assert_eq!(said, standing != Standing::Met, "{:?}", found.reasons);
        say(&mut asked, "fuel_appliance=no");
        let enough = find("canada", &asked, "fire_12").unwrap().standing == Standing::Met;
        assert_eq!(enough, !aboard.is_empty());
    }
}

/// Section 1b: “with radio: > 6–9 m 3 flares, ≤ 1 smoke; > 9 m 6 flares, ≤ 3 smoke (calc)”.
#[test]
fn with_a_radio_half_the_flares_do_and_the_rule_is_named() {
    assert!(
        trade_facts()
            .contains("So with radio: > 6–9 m 3 flares, ≤ 1 smoke; > 9 m 6 flares, ≤ 3 smoke (calc)")
    );
    for (length, id, enough, short) in [
        (8.0, "flares_9", "flare_hand:2 flare_smoke:1", "flare_hand:1 flare_smoke:2"),
        (11.0, "flares_24", "flare_hand:3 flare_smoke:3", "flare_hand:2 flare_smoke:4"),
        (30.0, "flares_over_24", "flare_hand:6", "flare_hand:5"),
    ] {
        let standing = |flares: &str, with: &str| {
            let mut asked = inquiry(Length::metres(length), kit(&format!("{flares} {with}")));
            say(&mut asked, "engine=yes");
            find("canada", &asked, id).unwrap()
        };
        for with in ["radio:1", "plb:1", "epirb:1"] {
            assert_eq!(standing(enough, with).standing, Standing::MetByRelief, "{id} {with}");
            assert_eq!(standing(short, with).standing, Standing::Missing, "{id} {with}");
        }
        let found = standing(enough, "");
        assert_eq!(found.standing, Standing::Missing);
        assert!(!found.relief.unwrap().applies);
        let words = words::finding(&standing(enough, "radio:1"));
        assert!(words.contains("s. 213(3)") && words.contains("a later version may exist"), "{words}");
    }
}

/// Section 1f, the ready-made check rows: 11.9 m and 12.5 m, inboard diesel, cooker, 6 persons, radio.
#[test]
fn the_ready_made_check_rows_hold() {
    let aboard = "lifejacket_adult:6 heaving_line_15m:1 lifebuoy:1 lifebuoy_line_15m:1 torch:1 flare_hand:6 radio:1 \
                  extinguisher_10bc:2 anchor_30m:1";
    let standing = |length: f64, id: &str| {
        let mut asked = inquiry(Length::metres(length), kit(aboard));
        say(&mut asked, "persons=6 inboard_engine=yes fuel_appliance=yes");
        find("canada", &asked, id).map(|found| (found.standing, found.needs[0].required))
    };
    assert_eq!(standing(11.9, "lifejackets"), Some((Standing::Met, Some(6))));
    assert_eq!(standing(11.9, "heaving_line_12").unwrap().0, Standing::Met);
    assert_eq!(standing(11.9, "flares_24"), Some((Standing::MetByRelief, Some(12))));
    assert_eq!(standing(11.9, "fire_12"), Some((Standing::Met, Some(2))));
    assert_eq!(standing(11.9, "axe_24"), None);
    assert_eq!(standing(11.9, "anchor_12").unwrap().0, Standing::Met);
    assert_eq!(standing(12.5, "heaving_line_24").unwrap().0, Standing::Met);
    assert_eq!(standing(12.5, "axe_24"), Some((Standing::Missing, Some(1))));
    assert_eq!(standing(12.5, "buckets_24"), Some((Standing::Missing, Some(2))));
    assert_eq!(standing(12.5, "anchor_24").unwrap().0, Standing::Missing);
    // At each entrance: how many there are is not said.
    assert_eq!(standing(12.5, "fire_24"), Some((Standing::Unknown, None)));
}

#[test]
fn no_table_claims_to_be_whole_and_each_says_what_it_lacks() {
    for one in authorities() {
        assert!(!one.coverage.gaps.is_empty(), "{}", one.id);
        assert_eq!(one.coverage.checklists == Extent::Part, !one.checklists.is_empty(), "{}", one.id);
        assert_eq!(one.coverage.discharge == Extent::Part, !one.discharges.is_empty(), "{}", one.id);
        assert_eq!(one.coverage.equipment == Extent::Part, !one.requirements.is_empty(), "{}", one.id);
        let said = words::coverage(one);
        assert!(said.len() >= 6 && said.iter().all(|words| words.ends_with('.')), "{said:?}");
    }
    let kingdom = check(known("UK"), &inquiry(Length::metres(11.0), Vec::new()));
    assert!(kingdom.findings.is_empty());
    assert_eq!(kingdom.coverage.equipment, Extent::Nothing);
    assert!(words::check(&kingdom, known("UK")).iter().any(|words| words.contains("nothing is known here")));
}

#[test]
fn an_authority_that_is_not_listed_is_not_known_here() {
    for name in ["Greece", "Croatia", "France", ""] {
        let error: NotKnown = authority(name).unwrap_err();
        assert!(
            error.to_string().contains("not known here") && error.to_string().contains("Canada"),
            "{error}"
        );
    }
    for (name, id) in
        [("usa", "united_states"), (" United States ", "united_states"), ("UK", "united_kingdom")]
    {
        assert_eq!(authority(name).unwrap().id, id);
    }
}

/// No country of the European Union is in the trade facts: once a table of one is added, the words must change.
#[test]
fn pages_name_whose_rules_are_listed_and_that_no_other_is() {
    let listed: Vec<&str> = authorities().iter().map(|one| one.id.as_str()).collect();
    let union =
        ["austria", "belgium", "croatia", "france", "germany", "greece", "italy", "netherlands", "spain"];
    assert!(listed.iter().all(|id| !union.contains(id)), "{listed:?}");
    assert_eq!(
        listed,
        ["canada", "united_states", "united_kingdom", "florida", "washington", "queensland", "marpol"],
        "who is listed has changed: say in words::listed what is so now"
    );
    let said = words::listed();
    assert!(authorities().iter().all(|one| said.contains(&one.name)), "{said}");
    assert!(said.contains("no country of the European Union"), "{said}");
}

/// Each bound is tried at the bound itself and close by on its other side.
#[test]
fn each_bound_is_tried_on_both_sides() {
    let rows = table("equipment.csv", EQUIPMENT);
    let close = |one: &Length, bound: Length| (one.as_metres() - bound.as_metres()).abs() <= 0.12;
    for one in authorities() {
        for row in &one.requirements {
            let tried = rows.iter().find(|[name, id, ..]| *name == one.id && *id == row.id);
            let [.., within, outside, _, _, _] = tried.expect("another test asks for the row");
            let (within, outside) = (lengths(within), lengths(outside));
            for bound in [row.over, row.from, row.upto, row.under].into_iter().flatten() {
                let sides = [&within, &outside].map(|side| side.iter().any(|one| close(one, bound)));
                assert_eq!(sides, [true, true], "{} {} at {bound}: within, outside", one.id, row.id);
            }
        }
    }
}

#[test]
fn notes_duties_and_lives_are_as_their_sources_say() {
    let facts = trade_facts();
    let rows = table("notes.csv", ["authority", "kind", "source", "says", "how"]);
    for [name, kind, source, says, known_how] in &rows {
        assert!(facts.contains(source), "{source}");
        let one = known(name);
        let lives = one.lives.iter().map(|life| ("life", &life.words, life.citation.how));
        let notes = one.notes.iter().map(|note| ("note", &note.words, note.citation.how));
        let duties = one.duties.iter().map(|duty| ("duty", &duty.words, duty.citation.how));
        let found =
            lives.chain(notes).chain(duties).find(|(word, words, _)| word == kind && words.contains(says));
        assert_eq!(found.map(|(_, _, known_how)| known_how), Some(how(known_how)), "{name} {says}");
    }
    for one in authorities() {
        let count = one.lives.len() + one.notes.len() + one.duties.len();
        assert_eq!(rows.iter().filter(|[name, ..]| *name == one.id).count(), count, "{}", one.id);
    }
}

#[test]
fn checklist_lines_are_as_published_and_each_is_about_something() {
    let facts = trade_facts();
    let rows = table("checklists.csv", ["authority", "checklist", "line", "source", "says"]);
    for [name, id, line, source, says] in &rows {
        assert!(facts.contains(source), "{source}");
        let list = known(name).checklists.iter().find(|list| list.id == *id).unwrap();
        let found = list.lines.iter().find(|found| found.id == *line).unwrap();
        assert!(
            found.words.to_lowercase().contains(&says.to_lowercase()),
            "{} does not say {says}",
            found.words
        );
        assert!(!found.about.is_empty(), "{id} {line}");
    }
    let lines = authorities().iter().flat_map(|one| &one.checklists).map(|list| list.lines.len());
    assert_eq!(lines.sum::<usize>(), rows.len());
}

#[test]
fn lines_that_no_topic_covers_are_told() {
    let list = &known("uk").checklists[0];
    assert_eq!(list.uncovered(&Subject::ALL).count(), 0);
    assert_eq!(list.uncovered(&[]).count(), 6);
    let left: Vec<&str> =
        list.uncovered(&[Subject::Engine, Subject::Bilge]).map(|line| line.id.as_str()).collect();
    assert_eq!(left, ["gear", "maintenance", "sails"]);
    for subject in Subject::ALL {
        assert!(!subject.words().is_empty());
    }
}

/// Section 3: both placards from 26 ft.
#[test]
fn placards_are_listed_by_length() {
    let placards = |length: &str| {
        let rows = known("usa").asked_of(Length::parse(length).unwrap(), Section::Placards);
        rows.map(|row| row.id.as_str()).collect::<Vec<_>>()
    };
    assert_eq!(placards("26 ft"), ["garbage_placard", "oil_placard"]);
    assert!(placards("25.9 ft").is_empty());
    assert_eq!(known("canada").asked_of(Length::metres(12.0), Section::Placards).count(), 0);
}

#[test]
fn a_boat_file_that_says_nothing_is_told() {
    let bare = check(known("canada"), &inquiry(Length::metres(11.0), Vec::new()));
    assert!(words::check(&bare, known("canada")).iter().any(|words| words == words::NOTHING_COUNTS));
    let some = check(known("canada"), &inquiry(Length::metres(11.0), kit("compass:1")));
    let said = words::check(&some, known("canada"));
    assert!(said.iter().all(|words| words != words::NOTHING_COUNTS));
    assert_eq!(said.last().map(String::as_str), Some(words::CAUTION));
    // The compass is aboard and comes after what is not.
    let at = |start: &str| said.iter().position(|words| words.starts_with(start)).unwrap();
    assert!(at("Anchor: not aboard") < at("Compass: aboard"));
}
