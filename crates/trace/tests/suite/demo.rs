//! The demo boats.

use boat::model::Boat;

/// All of them.
pub(crate) const BOATS: [&str; 3] = ["whimbrel", "dunlin", "turnstone"];

/// One of them.
pub(crate) fn boat(name: &str) -> Boat {
    let path = format!("{}/../../demo/{name}.toml", env!("CARGO_MANIFEST_DIR"));
    let text = std::fs::read_to_string(path).unwrap();
    let compiled = boat::compile(name, &text);
    assert!(compiled.boat.is_some(), "{name}: {:?}", compiled.diagnostics.first());
    compiled.boat.unwrap()
}
