//! Boat files: proofs, step lists, ways, tidying, the schema.

use crate::{becket, err, file, out};

const DEMO: [(&str, &str); 3] = [
    ("whimbrel", include_str!("../../../../demo/whimbrel.toml")),
    ("dunlin", include_str!("../../../../demo/dunlin.toml")),
    ("turnstone", include_str!("../../../../demo/turnstone.toml")),
];

#[test]
fn every_demo_boat_is_proven() {
    let output = becket(&["check", "--quiet", "whimbrel", "dunlin", "turnstone"]);
    let text = out(&output);
    assert!(output.status.success(), "{text}");
    assert_eq!(text.matches(": proven. ").count(), 3, "{text}");
    assert_eq!(text.matches("0 to mend, 0 to look at").count(), 3, "{text}");
}

#[test]
fn a_broken_file_is_told_line_by_line_and_fails() {
    let path = file("broken", "becket = 1\n[boat]\nname = \"Sora\"\nhul = \"monohull\"\n[place.deck]\n");
    let output = becket(&["check", path.to_str().unwrap()]);
    let text = out(&output);
    assert_eq!(output.status.code(), Some(1));
    assert!(text.contains("boat.toml:4:1") && text.contains("did you mean: hull"), "{text}");
    assert!(text.contains("boat.toml:5:2") && text.contains("did you mean: places"), "{text}");
    assert!(!text.contains('\u{1b}'), "no colour where there is no terminal");

    let output = becket(&["check", "--json", path.to_str().unwrap()]);
    assert_eq!(output.status.code(), Some(1));
    let json: serde_json::Value = serde_json::from_str(&out(&output)).unwrap();
    let found = json[0]["diagnostics"].as_array().unwrap();
    let hul = found.iter().find(|row| row["code"] == "unknown-key").expect("the key is found");
    assert_eq!((hul["at"]["line"].as_u64(), hul["at"]["column"].as_u64()), (Some(4), Some(1)));
    assert_eq!(hul["at"]["words"], "hul");
    assert_eq!(hul["near"], "hull");
}

#[test]
fn a_file_that_is_not_there_or_not_text_is_said_plainly() {
    let output = becket(&["check", "no-such-boat.toml"]);
    assert_eq!(output.status.code(), Some(2));
    assert!(err(&output).contains("no-such-boat.toml can't be read"), "{}", err(&output));

    let path = file("bytes", "");
    std::fs::write(&path, b"becket = 1\nname = \"\xff\"").unwrap();
    let output = becket(&["check", path.to_str().unwrap()]);
    assert_eq!(output.status.code(), Some(2));
    assert!(err(&output).contains("not text in UTF-8: byte 20"), "{}", err(&output));
}

#[test]
fn an_unknown_step_list_offers_the_nearest() {
    let output = becket(&["run", "dunlin", "start_engin"]);
    assert_eq!(output.status.code(), Some(2));
    assert!(err(&output).contains("Did you mean start_engine?"), "{}", err(&output));
}

#[test]
fn following_a_list_shows_the_boat_after_every_step() {
    let output = becket(&["run", "--json", "dunlin", "start_engine"]);
    let json: serde_json::Value = serde_json::from_str(&out(&output)).unwrap();
    assert!(output.status.success());
    assert_eq!(json["reached"], true);
    let steps = json["steps"].as_array().unwrap();
    let started = steps.iter().flat_map(|step| step["changes"].as_array().unwrap()).filter(|change| {
        change["of"] == "engine" && change["from"] == "stopped" && change["to"] == "running"
    });
    assert_eq!(started.count(), 1);
}

#[test]
fn a_way_is_given_or_the_reason_why_there_is_none() {
    let output = becket(&["way", "--json", "dunlin", "engine is running"]);
    let json: serde_json::Value = serde_json::from_str(&out(&output)).unwrap();
    assert_eq!((json["answer"].as_str(), json["shortest"].as_bool()), (Some("way"), Some(true)));
    assert!(json["length"].as_u64().unwrap() >= 3);

    let output = becket(&["way", "dunlin", "engine is flying"]);
    assert_eq!(output.status.code(), Some(2));
    assert!(err(&output).contains("\"running\""), "{}", err(&output));
}

#[test]
fn tidying_keeps_remarks_and_meaning_and_writes_whole_files_only() {
    for (id, text) in DEMO {
        let path = file(&format!("tidy-{id}"), text);
        let path = path.to_str().unwrap();
        let before = boat::compile(id, text).boat.expect("demo boats are sound");
        assert!(becket(&["tidy", "--write", path]).status.success());
        let tidied = std::fs::read_to_string(path).unwrap();
        assert!(
            before == boat::compile(id, &tidied).boat.expect("still sound"),
            "{id} says the same as before"
        );
        let remarks = |text: &str| {
            let mut lines: Vec<String> = text
                .lines()
                .filter(|line| line.trim_start().starts_with('#'))
                .map(|line| line.trim().to_owned())
                .collect();
            lines.sort();
            lines
        };
        assert_eq!(remarks(text), remarks(&tidied), "{id} keeps every remark");
        assert!(becket(&["tidy", "--check", path]).status.success(), "{id}: tidying twice changes nothing");
    }
    let path = file("untidy", "becket = 1\n[boat\n");
    let output = becket(&["tidy", "--write", path.to_str().unwrap()]);
    assert_eq!(output.status.code(), Some(2));
    assert_eq!(std::fs::read_to_string(path).unwrap(), "becket = 1\n[boat\n", "nothing is lost");
}

/// # Source
/// JSON Schema draft 2020-12, as the `jsonschema` crate reads it.
#[test]
fn the_schema_takes_the_demo_boats_and_refuses_a_broken_one() {
    let schema: serde_json::Value = serde_json::from_str(&out(&becket(&["reference", "schema"]))).unwrap();
    let schema = jsonschema::draft202012::new(&schema).expect("the schema is one");
    for (id, text) in DEMO {
        let value: serde_json::Value = toml::from_str(text).unwrap();
        let errors: Vec<String> = schema
            .iter_errors(&value)
            .map(|error| format!("{id} {}: {error}", error.instance_path()))
            .collect();
        assert!(errors.is_empty(), "{}", errors.join("\n"));
    }
    let broken: serde_json::Value =
        toml::from_str("becket = 1\n[boat]\nname = \"Sora\"\n[item.x]\n").unwrap();
    assert!(!schema.is_valid(&broken));
}
