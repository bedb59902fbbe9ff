//! `symptoms`: what a crew may say is wrong, all of it or what fits some words.

use boat::model::Boat;
use clap::Args;
use quantity::System;
use serde_json::{Value, json};
use trace::{About, Symptom, find, symptoms};

use crate::layout;
use crate::load::{self, Failure};
use crate::output::Printed;

#[derive(Args)]
pub(crate) struct SymptomsArgs {
    /// A boat file, or the name of a demo boat.
    boat: String,
    /// What you see, in your own words, such as "no hot watr"; spelling does not matter. Left out, all are listed.
    words: Vec<String>,
    /// Print JSON.
    #[arg(long)]
    json: bool,
}

impl SymptomsArgs {
    pub(crate) fn execute(self) -> Result<Printed, Failure> {
        let boat = load::boat(&self.boat)?;
        let all = symptoms(&boat);
        let words = self.words.join(" ");
        let shown: Vec<(&Symptom, Option<f64>)> = if words.trim().is_empty() {
            all.iter().map(|symptom| (symptom, None)).collect()
        } else {
            find(&boat, &all, &words).into_iter().map(|(at, fits)| (&all[at], Some(fits))).collect()
        };
        if shown.is_empty() {
            return Err(nothing(&boat, &self.boat, &words));
        }
        if self.json {
            let rows: Vec<Value> = shown
                .iter()
                .map(|(symptom, fits)| {
                    let mut row = to_json(&boat, symptom);
                    row["fits"] = json!(fits);
                    row
                })
                .collect();
            return Ok(Printed::json(&json!({ "boat": boat.particulars.name, "symptoms": rows }), false));
        }
        let mut text = list(&boat, shown.iter().map(|(symptom, _)| *symptom));
        text.push('\n');
        text.push_str(&layout::wrap(&how_to_go_on(&self.boat), ""));
        Ok(Printed::well(text))
    }
}

/// How a symptom that is listed is followed up.
pub(super) fn how_to_go_on(argument: &str) -> String {
    format!("Go on with the one that fits, by its name at the left: `becket wrong {argument} NAME`.")
}

/// Why no symptom can be shown.
pub(super) fn nothing(boat: &Boat, argument: &str, words: &str) -> Failure {
    let name = &boat.particulars.name;
    Failure(if words.trim().is_empty() {
        format!(
            "The boat file of {name} does not say what can be wrong: it has no symptoms, faults or emergency lists."
        )
    } else {
        format!(
            "Nothing that can be wrong on {name} fits \"{words}\". Say what you see, hear or smell, and on what: \"no \
             water from the tap\" is found, \"hydraulics defective\" is not. `becket symptoms {argument}` lists all."
        )
    })
}

/// Symptoms one under the other: name, words, and at what it shows.
pub(super) fn list<'s>(boat: &Boat, symptoms: impl IntoIterator<Item = &'s Symptom>) -> String {
    let mut out = String::new();
    for symptom in symptoms {
        out.push_str(&symptom.id);
        out.push('\n');
        let words = boat.say(&symptom.words, System::Metric);
        out.push_str(&layout::wrap(&format!("{words} ({})", at(boat, symptom)), "    "));
    }
    out
}

/// "emergency: Fire on the stove", or the item and its place.
pub(super) fn at(boat: &Boat, symptom: &Symptom) -> String {
    match (symptom.about, symptom.item) {
        (About::Emergency(list), _) => format!("emergency, at once: {}", boat.procedures[list].name),
        (_, Some(item)) => {
            let place =
                symptom.place.map_or_else(String::new, |place| format!(", {}", boat.places[place].name));
            format!("{}{place}", boat.items[item].name)
        }
        (_, None) => "of the boat as a whole".to_owned(),
    }
}

/// A symptom for programs, as it stands in a case.
pub(super) fn to_json(boat: &Boat, symptom: &Symptom) -> Value {
    json!({
        "id": symptom.id,
        "words": symptom.words,
        "about": match symptom.about {
            About::Emergency(_) => "emergency",
            About::Fails(_) => "fails",
            About::Sign(_) => "sign",
        },
        "item": symptom.item.map(|item| boat.items[item].id.as_str()),
        "place": symptom.place.map(|place| boat.places[place].id.as_str()),
        "followed": symptom.followed.map(|list| boat.procedures[list].id.as_str()),
        "list": match symptom.about {
            About::Emergency(list) => Some(boat.procedures[list].id.as_str()),
            About::Fails(_) | About::Sign(_) => None,
        },
    })
}
