//! Any text as a boat file: it compiles or is refused, every span lies in its text, and a boat that comes out
//! prints as a file that compiles to an equal boat.

#![no_main]

use libfuzzer_sys::fuzz_target;

fuzz_target!(|text: &str| {
    let compiled = boat::compile("fuzzed.toml", text);
    assert_eq!(compiled.boat.is_none(), compiled.has_errors());
    for found in &compiled.diagnostics {
        for place in found.secondary.iter().chain([&found.primary]) {
            let inside = compiled.sources.get(place.span.source).text.get(place.span.start..place.span.end);
            assert!(inside.is_some(), "{found:?}");
        }
        assert!(!found.plain(&compiled.sources).is_empty());
    }
    if let Some(first) = compiled.boat {
        let printed = boat::write(&first);
        let second = boat::compile("printed.toml", &printed);
        assert_eq!(second.boat.as_ref(), Some(&first), "{printed}\n{:?}", second.diagnostics);
    }
    if let Ok(tidied) = boat::tidy("fuzzed.toml", text) {
        let again = boat::tidy("tidied.toml", &tidied);
        assert_eq!(again.ok().as_ref(), Some(&tidied), "what is tidy stays as it is");
    }
});
