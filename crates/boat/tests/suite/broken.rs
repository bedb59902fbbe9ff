//! Every broken file or plan brings forth exactly its expected text, and every diagnostic is shown by one.

use std::collections::BTreeSet;
use std::fs;
use std::path::Path;

use crate::cases::{Case, Text, all, cases, completed, folder, sound};

#[test]
fn the_sound_rest_is_sound() {
    let compiled = boat::compile("_sound.toml", sound());
    let said: Vec<String> = compiled.diagnostics.iter().map(|found| found.plain(&compiled.sources)).collect();
    assert!(said.is_empty(), "{}", said.join("\n"));
    assert!(compiled.boat.is_some());
    assert_eq!(completed(sound()), sound(), "the sound boat lacks nothing");
}

#[test]
fn every_broken_file_says_exactly_what_is_expected() {
    let mut wrong = Vec::new();
    for case in all() {
        let said = case.said();
        match &case.expected {
            Some(expected) if *expected == said => {}
            Some(expected) => wrong.push(format!("{}:\n{}", case.name, differences(expected, &said))),
            None => wrong.push(format!("{} has no expected text; it says:\n{said}", case.name)),
        }
    }
    assert!(
        wrong.is_empty(),
        "{}\n(`cargo run -p boat --example expect` writes the texts again)",
        wrong.join("\n")
    );
}

#[test]
fn every_broken_file_is_refused_or_warned_of() {
    for Case { name, text, .. } in cases(Text::Boat) {
        let compiled = boat::compile(&name, &completed(&text));
        assert!(!compiled.diagnostics.is_empty(), "{name} is sound");
        assert_eq!(
            compiled.boat.is_none(),
            compiled.has_errors(),
            "{name}: a boat comes out exactly without errors"
        );
    }
}

#[test]
fn every_broken_plan_is_refused_or_warned_of() {
    for Case { name, text, .. } in cases(Text::Trip) {
        let read = boat::trip::compile(&name, &text);
        assert!(!read.diagnostics.is_empty(), "{name} is sound");
        let errors = read.diagnostics.iter().any(|found| found.severity == boat::diagnostic::Severity::Error);
        assert_eq!(read.trip.is_none(), errors, "{name}: a trip comes out exactly without errors");
        for found in &read.diagnostics {
            assert!(found.expected.is_some() && found.mend.is_some(), "{name}: {}", found.headline);
        }
    }
}

#[test]
fn no_expected_text_has_lost_its_file() {
    for what in [Text::Boat, Text::Trip] {
        let names: BTreeSet<String> = cases(what).into_iter().map(|case| case.name).collect();
        for file in fs::read_dir(folder(what)).unwrap() {
            let file = file.unwrap().file_name().into_string().unwrap();
            if let Some(name) = file.strip_suffix(".txt") {
                assert!(names.contains(name), "{file} stands alone");
            }
        }
    }
}

#[test]
fn every_code_of_the_compiler_is_shown_by_a_broken_file() {
    let mut codes = BTreeSet::new();
    codes_in(&Path::new(env!("CARGO_MANIFEST_DIR")).join("src"), &mut codes);
    assert!(codes.len() >= 25, "codes are found in the sources: {codes:?}");
    let said: String = all().into_iter().filter_map(|case| case.expected).collect();
    let missing: Vec<&String> = codes.iter().filter(|code| !said.contains(&format!("[{code}]\n"))).collect();
    assert!(missing.is_empty(), "no broken file shows {missing:?}");
}

/// The first texts in quotes after each place that makes a diagnostic or a fault, in all files below a folder.
fn codes_in(folder: &Path, codes: &mut BTreeSet<String>) {
    for file in fs::read_dir(folder).unwrap() {
        let path = file.unwrap().path();
        if path.is_dir() {
            codes_in(&path, codes);
        } else if path.extension().is_some_and(|ending| ending == "rs") {
            let text = fs::read_to_string(&path).unwrap();
            for maker in ["Diagnostic::error(", "Diagnostic::warning(", "Diagnostic::note(", "Fault::new("] {
                for (at, _) in text.match_indices(maker) {
                    codes.extend(text[at + maker.len()..].trim_start().strip_prefix('"').and_then(code));
                }
            }
            // Where one of several codes is chosen: `let code = if .. { "a" } else { "b" };`.
            for (at, _) in text.match_indices("let code = ") {
                let (choice, _) = text[at..].split_once(';').unwrap();
                codes.extend(choice.split("{ \"").skip(1).filter_map(code));
            }
        }
    }
}

fn code(text: &str) -> Option<String> {
    text.split_once('"').map(|(code, _)| code.to_owned())
}

/// Lines that only one of the two has, with the lines around them.
fn differences(expected: &str, said: &str) -> String {
    let (old, new): (Vec<&str>, Vec<&str>) = (expected.lines().collect(), said.lines().collect());
    // The longest common lines, counted from the ends.
    let mut common = vec![vec![0; new.len() + 1]; old.len() + 1];
    for i in (0..old.len()).rev() {
        for j in (0..new.len()).rev() {
            common[i][j] = if old[i] == new[j] {
                common[i + 1][j + 1] + 1
            } else {
                common[i + 1][j].max(common[i][j + 1])
            };
        }
    }
    let (mut i, mut j, mut lines) = (0, 0, Vec::new());
    while i < old.len() || j < new.len() {
        if i < old.len() && j < new.len() && old[i] == new[j] {
            lines.push(format!("  {}", old[i]));
            i += 1;
            j += 1;
        } else if j == new.len() || (i < old.len() && common[i + 1][j] >= common[i][j + 1]) {
            lines.push(format!("- {}", old[i]));
            i += 1;
        } else {
            lines.push(format!("+ {}", new[j]));
            j += 1;
        }
    }
    lines.join("\n")
}
