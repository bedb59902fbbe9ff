//! A new boat: her particulars, the spaces that nearly every boat has, and items of the library in them.

use quantity::Length;

use super::value::Value;
use super::{BOAT, Edit, Refused, apply};

/// Spaces to begin with: id, name, level, where their middle is and how long and wide they are, as parts of the boat's
/// length and beam. Common practice; to be measured aboard.
const SPACES: [(&str, &str, &str, f64, f64, f64); 8] = [
    ("dock", "Dock", "dock", 0.5, 1.0, 0.3),
    ("foredeck", "Foredeck", "deck", 0.17, 0.24, 0.5),
    ("cockpit", "Cockpit", "deck", 0.8, 0.25, 0.6),
    ("fore_cabin", "Fore cabin", "below", 0.22, 0.2, 0.55),
    ("saloon", "Saloon", "below", 0.43, 0.2, 0.75),
    ("galley", "Galley", "below", 0.6, 0.12, 0.3),
    ("engine_space", "Engine space", "below", 0.7, 0.1, 0.25),
    ("bilge", "Bilge below the saloon", "bilge", 0.45, 0.1, 0.15),
];

/// A boat file for a boat that is new: her particulars as a table of `[boat]`, and classes of the library, each of
/// which becomes an item in the cockpit, to be moved to where it is.
///
/// # Errors
/// If her length or beam can't be read, or a class is not in the library.
pub fn begin(particulars: &Value, classes: &[&str]) -> Result<String, Refused> {
    let length = measure(particulars, "length")?;
    let beam = measure(particulars, "beam")?;
    let mut text = "becket = 1\n\n[boat]\n".to_owned();
    text = apply::set_row(&text, BOAT, "", particulars)?;
    for (id, name, level, aft, long, wide) in SPACES {
        let metres = |part: f64, of: Length| {
            Value::text(Length::metres((part * of.as_metres() * 10.0).round() / 10.0).to_string())
        };
        let mut keys =
            vec![("name", Value::text(name)), ("level", Value::text(level)), ("aft", metres(aft, length))];
        if id == "dock" {
            keys.push((
                "side",
                Value::text(format!(
                    "{} port",
                    Length::metres((0.7 * beam.as_metres() * 10.0).round() / 10.0)
                )),
            ));
        }
        keys.extend([("long", metres(long, length)), ("wide", metres(wide, beam))]);
        let keys = keys.into_iter().map(|(key, value)| (key.to_owned(), value)).collect();
        text = apply::add_row(&text, "places", id, &Value::Table(keys))?;
    }
    for class in classes {
        let Some(name) = class_name(class) else {
            let what = format!("The library has no class \"{class}\".");
            return Err(Refused::words(what, "Choose classes of the list."));
        };
        let keys = [("name", name.as_str()), ("class", class), ("place", "cockpit")];
        let keys = keys.into_iter().map(|(key, value)| (key.to_owned(), Value::text(value))).collect();
        let (section, id) = ("items".to_owned(), (*class).to_owned());
        text = super::edit(&text, &Edit::AddRow { section, id, keys: Value::Table(keys) })?;
    }
    Ok(text)
}

/// The name of a class for people, as its file says.
pub fn class_name(class: &str) -> Option<String> {
    let text = crate::library::class_text(class)?;
    let name = text.lines().find_map(|line| line.strip_prefix("name = "))?;
    Some(name.trim().trim_matches('"').to_owned())
}

fn measure(particulars: &Value, key: &str) -> Result<Length, Refused> {
    let text = particulars.get(key).and_then(Value::as_text).unwrap_or_default();
    text.parse::<Length>().map_err(|error| {
        Refused::words(
            format!("Her {key} can't be read: {error}."),
            "Write a number and its unit, such as 11.5 m or 38 ft.",
        )
    })
}
