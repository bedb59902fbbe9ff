//! Any text as a fact of a boat: it is read, and printed it reads back as the same; or it is refused.

#![no_main]

use std::sync::OnceLock;

use boat::model::Boat;
use libfuzzer_sys::fuzz_target;

/// A boat with an engine, a panel, a throttle and two readings.
const SOUND: &str = include_str!("../../crates/boat/tests/broken/_sound.toml");

fn boat() -> &'static Boat {
    static BOAT: OnceLock<Boat> = OnceLock::new();
    BOAT.get_or_init(|| boat::compile("_sound.toml", SOUND).boat.expect("the sound boat is sound"))
}

fuzz_target!(|text: &str| {
    match boat().read_fact(text) {
        Ok(fact) => {
            let printed = boat().fact_text(&fact);
            let again = boat()
                .read_fact(&printed)
                .unwrap_or_else(|asked| panic!("{printed}: {:?}", asked.diagnostics));
            assert_eq!(again, fact, "{printed}");
        }
        Err(asked) => {
            assert!(!asked.diagnostics.is_empty());
            for found in &asked.diagnostics {
                let span = found.primary.span;
                assert!(text.get(span.start..span.end).is_some(), "{found:?}");
            }
        }
    }
    if let Err(asked) = boat().read_assign(text) {
        assert!(!asked.diagnostics.is_empty());
    }
});
