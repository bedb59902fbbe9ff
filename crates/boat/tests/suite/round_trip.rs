//! A boat printed as a boat file compiles to an equal boat.

use std::fs;
use std::path::Path;

use boat::model::Boat;
use boat::{compile, tidy, write};
use proptest::prelude::*;

use crate::library::fixture;
use crate::random_boat::random_boat;
use crate::tape::Tape;

/// Compiles a text that must be sound.
pub(crate) fn sound_boat(name: &str, text: &str) -> Result<Boat, String> {
    let compiled = compile(name, text);
    let said: Vec<String> = compiled.diagnostics.iter().map(|found| found.plain(&compiled.sources)).collect();
    compiled.boat.ok_or_else(|| said.join("\n"))
}

/// Prints, compiles and compares; the text printed again is the same to the letter.
fn comes_back(name: &str, text: &str) -> Result<(), String> {
    let first = sound_boat(name, text)?;
    let printed = write(&first);
    let second = sound_boat("printed.toml", &printed).map_err(|said| format!("{said}\nin\n{printed}"))?;
    for (section, a, b) in sections(&first, &second) {
        if a != b {
            return Err(format!("[{section}] differs:\n{a}\n{b}\nprinted:\n{printed}"));
        }
    }
    if first != second {
        return Err(format!("differs somewhere else; printed:\n{printed}"));
    }
    if write(&second) == printed { Ok(()) } else { Err(format!("printed again it differs from\n{printed}")) }
}

/// A tidied file says the same, and tidying it again changes nothing.
fn stays_when_tidied(text: &str) -> Result<(), String> {
    let tidied = tidy("random.toml", text).map_err(|untidy| format!("{:?}", untidy.diagnostics))?;
    if sound_boat("random.toml", text)? != sound_boat("tidied.toml", &tidied)? {
        return Err(format!("tidied it says something else:\n{tidied}"));
    }
    let again = tidy("tidied.toml", &tidied).map_err(|untidy| format!("{:?}", untidy.diagnostics))?;
    if again == tidied { Ok(()) } else { Err(format!("tidied twice it differs:\n{tidied}\nthen\n{again}")) }
}

/// The sections of two boats as texts, for saying where they differ.
fn sections(a: &Boat, b: &Boat) -> Vec<(&'static str, String, String)> {
    macro_rules! pairs {
        ($($field:ident),*) => { vec![$((stringify!($field), format!("{:?}", a.$field), format!("{:?}", b.$field))),*] };
    }
    pairs!(
        particulars,
        places,
        items,
        vars,
        conditions,
        readings,
        actions,
        procedures,
        nevers,
        cautions,
        kit,
        upkeep,
        topics,
        stores,
        feeds,
        loads,
        modes,
        tackle,
        faults
    )
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 250, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn a_random_boat_comes_back(numbers in prop::collection::vec(any::<u32>(), 0..700)) {
        let text = random_boat(&mut Tape::new(&numbers));
        if let Err(said) = comes_back("random.toml", &text).and_then(|()| stays_when_tidied(&text)) {
            prop_assert!(false, "{}\nfrom\n{}", said, text);
        }
    }
}

#[test]
fn every_demo_boat_comes_back() {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../demo");
    let mut boats = 0;
    for file in fs::read_dir(folder).unwrap() {
        let path = file.unwrap().path();
        let text = fs::read_to_string(&path).unwrap_or_default();
        // The folder also holds files of other kinds, such as the base's own.
        if text.lines().any(|line| line == "[boat]") {
            comes_back(&path.to_string_lossy(), &text)
                .and_then(|()| stays_when_tidied(&text))
                .unwrap_or_else(|said| panic!("{said}"));
            boats += 1;
        }
    }
    assert!(boats >= 1);
}

#[test]
fn a_boat_of_every_class_comes_back() {
    let classes: Vec<&str> = boat::classes().collect();
    comes_back("every_class.toml", &fixture(&classes)).unwrap();
}
