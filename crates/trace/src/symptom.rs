//! What a crew says is wrong: derived from the boat file, and found by free words.

use boat::model::{Boat, ConditionId, FaultId, ItemId, PlaceId, ProcedureId};

use crate::hope::hope;

/// What a symptom is about.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum About {
    /// An emergency: nothing is asked, its list begins at once.
    Emergency(ProcedureId),
    /// A fact that does not hold although its step list was followed.
    Fails(ConditionId),
    /// The sign of a fault that stops nothing else.
    Sign(FaultId),
}

/// Something that a crew may say is wrong.
#[derive(Debug, Clone, PartialEq)]
pub struct Symptom {
    /// Its name in addresses and commands.
    pub id: String,
    /// In a crew's words.
    pub words: String,
    /// What it is about.
    pub about: About,
    /// The item to think of first.
    pub item: Option<ItemId>,
    /// Where that is.
    pub place: Option<PlaceId>,
    /// The step list that was followed.
    pub followed: Option<ProcedureId>,
}

/// All symptoms of a boat: emergencies first, then in the order of the file.
pub fn symptoms(boat: &Boat) -> Vec<Symptom> {
    let mut found = Vec::new();
    for (id, list) in boat.procedures.iter_ids().filter(|(_, list)| list.emergency) {
        for (at, sign) in list.signs.iter().enumerate() {
            found.push(Symptom {
                id: format!("{}.{}", list.id, at + 1),
                words: sign.clone(),
                about: About::Emergency(id),
                item: None,
                place: None,
                followed: None,
            });
        }
    }
    for (id, row) in boat.conditions.iter_ids() {
        let Some(words) = words_of(boat, id) else { continue };
        let item = row.items.first().copied();
        found.push(Symptom {
            id: row.id.clone(),
            words,
            about: About::Fails(id),
            item,
            place: item.map(|item| boat.items[item].place),
            followed: hope(boat, id).followed,
        });
    }
    for (id, fault) in boat.faults.iter_ids() {
        if fault.stops.is_empty() && fault.means.is_none() {
            found.push(Symptom {
                id: format!("sign.{}", fault.id),
                words: fault.seen.clone(),
                about: About::Sign(id),
                item: Some(fault.item),
                place: Some(boat.items[fault.item].place),
                followed: None,
            });
        }
    }
    found
}

/// A condition's symptom; for one that the file gives no words, what should be and is not, if it can be seen.
fn words_of(boat: &Boat, id: ConditionId) -> Option<String> {
    let row = &boat.conditions[id];
    match (&row.symptom, &row.look) {
        (Some(words), _) => Some(words.clone()),
        (None, Some(_)) => Some(format!("This is not so: {}", row.name)),
        (None, None) => None,
    }
}

/// Symptoms that fit some words, best first, each with how well from 0 to 1. Letters left out, doubled or changed
/// round do not matter much.
///
/// # Source
/// Likeness of words: optimal string alignment, from the library `strsim`; rare words weigh more by the logarithm of
/// how rare they are (K. Spärck Jones, Journal of Documentation 28 (1972) 11).
pub fn find(boat: &Boat, symptoms: &[Symptom], text: &str) -> Vec<(usize, f64)> {
    let wanted: Vec<String> =
        split(text).into_iter().filter(|word| !LITTLE.contains(&word.as_str())).collect();
    if wanted.is_empty() {
        return Vec::new();
    }
    let lacks = denies(text);
    let cards: Vec<Vec<(f64, String)>> = symptoms.iter().map(|symptom| card(boat, symptom)).collect();
    // A word that stands in some card is spelled as it is meant; only others may be slips of the finger.
    let known: Vec<bool> =
        wanted.iter().map(|word| cards.iter().flatten().any(|(_, other)| other == word)).collect();
    let fits: Vec<Vec<f64>> = cards
        .iter()
        .map(|card| wanted.iter().zip(&known).map(|(word, known)| fit(card, word, *known)).collect())
        .collect();
    let rare: Vec<f64> = (0..wanted.len())
        .map(|at| {
            let near = fits.iter().filter(|fit| fit[at] > 0.0).count();
            // A word that is nowhere tells little: it may be a slip of more than a finger.
            if near == 0 { 1.0 } else { libm::log((1.0 + symptoms.len() as f64) / (1.0 + near as f64)) + 0.1 }
        })
        .collect();
    let most: f64 = rare.iter().sum();
    let mut found: Vec<(usize, f64)> = fits
        .iter()
        .enumerate()
        .map(|(at, fit)| (at, fit.iter().zip(&rare).map(|(fit, rare)| fit * rare).sum::<f64>() / most))
        .map(|(at, score)| match symptoms[at].about {
            About::Emergency(_) if calls(&symptoms[at], &wanted) => (at, 1.0),
            // “No water” is not water coming in.
            About::Emergency(_) if lacks && !denies(&symptoms[at].words) => (at, 0.6 * score),
            _ => (at, score.min(0.99)),
        })
        // Of several that fit alike, the one that says little else.
        .map(|(at, score)| (at, score + 0.05 * said_of(&symptoms[at], &wanted)))
        .filter(|(_, score)| *score >= LEAST)
        .collect();
    found.sort_by(|a, b| b.1.total_cmp(&a.1).then(a.0.cmp(&b.0)));
    found
}

/// Words that are never about a nuisance only, by what they warn of: an emergency whose sign has one of a kind comes first
/// if one of that kind was said.
const DANGER: &[&[&str]] = &[
    &["smoke", "fire", "flames", "burning"],
    &["overboard"],
    &["sinking", "flooding"],
    &["fumes", "headache", "dizzy"],
];

/// Whether something is said not to be so.
fn denies(text: &str) -> bool {
    const DENIALS: &[&str] = &["no", "not", "without", "t", "dont", "wont", "doesnt"];
    split(text).iter().any(|word| DENIALS.contains(&word.as_str()))
}

/// Whether a word of danger, also one written as two, calls for this emergency.
fn calls(symptom: &Symptom, wanted: &[String]) -> bool {
    let sign = split(&symptom.words);
    let joined = wanted.windows(2).map(<[String]>::concat);
    let wanted: Vec<String> = wanted.iter().cloned().chain(joined).collect();
    DANGER.iter().any(|kind| {
        let said =
            |words: &[String]| words.iter().any(|word| kind.iter().any(|danger| alike(word, danger) >= 0.6));
        said(&wanted) && said(&sign)
    })
}

/// A symptom that fits less is not shown.
const LEAST: f64 = 0.2;

/// Words that say nothing about what is wrong.
const LITTLE: &[&str] = &[
    "a", "an", "the", "is", "are", "was", "it", "its", "it's", "i", "we", "my", "our", "of", "on", "in",
    "at", "to", "and", "or", "does", "do", "did", "not", "no", "doesn", "doesnt", "won", "wont", "don",
    "dont", "can", "cannot", "cant", "t", "s", "isn", "isnt", "will", "any", "there", "from", "with", "when",
    "though", "has", "have", "be", "comes", "come", "work", "works", "working", "anymore", "more", "but",
    "up", "out", "into", "how", "get", "gets", "if", "for", "off", "going", "goes", "dead", "broken", "that",
    "this", "so", "very", "all", "me", "us", "again", "still", "please", "what", "nothing",
];

/// The words by which a symptom is found, each with its weight.
fn card(boat: &Boat, symptom: &Symptom) -> Vec<(f64, String)> {
    let mut card = Vec::new();
    let mut add = |weight: f64, text: &str| card.extend(split(text).into_iter().map(|word| (weight, word)));
    add(1.0, &symptom.words);
    let mut items: Vec<ItemId> = symptom.item.into_iter().collect();
    match symptom.about {
        About::Emergency(list) => {
            add(1.0, &boat.procedures[list].name);
        }
        About::Fails(condition) => {
            let row = &boat.conditions[condition];
            add(0.8, &row.name);
            add(0.6, &row.id.replace('_', " "));
            items.clone_from(&row.items);
        }
        About::Sign(fault) => add(0.8, &boat.faults[fault].name),
    }
    if let Some(list) = symptom.followed {
        add(0.6, &boat.procedures[list].name);
    }
    for (at, item) in items.iter().enumerate() {
        let row = &boat.items[*item];
        let weight = if at == 0 { 0.9 } else { 0.4 };
        add(weight, &row.name);
        row.also.iter().for_each(|also| add(weight, also));
        for fault in boat.faults.iter().filter(|fault| fault.item == *item) {
            add(0.4, &fault.seen);
        }
    }
    card
}

/// How well the best word of a card fits, times its weight.
fn fit(card: &[(f64, String)], wanted: &str, known: bool) -> f64 {
    card.iter()
        .map(|(weight, word)| weight * if known { kin(word, wanted) } else { alike(word, wanted) })
        .fold(0.0, f64::max)
}

/// How much of a symptom's own words was said.
fn said_of(symptom: &Symptom, wanted: &[String]) -> f64 {
    let own: Vec<String> =
        split(&symptom.words).into_iter().filter(|word| !LITTLE.contains(&word.as_str())).collect();
    let said = own.iter().filter(|word| wanted.iter().any(|other| kin(word, other) > 0.0)).count();
    said as f64 / own.len().max(1) as f64
}

/// 1 for the same word, less for one that begins so or has the same root, 0 for another.
fn kin(word: &str, wanted: &str) -> f64 {
    if word == wanted {
        return 1.0;
    }
    let same = word.bytes().zip(wanted.bytes()).take_while(|(a, b)| a == b).count();
    let (short, long) = (word.len().min(wanted.len()), word.len().max(wanted.len()));
    if short >= 3 && same == short && (wanted.len() == short || long - short <= 3) {
        0.85
    } else if same >= 4 && long - same <= 3 {
        0.75
    } else {
        0.0
    }
}

/// The same, or less for what is nearly so by a slip of the finger.
fn alike(word: &str, wanted: &str) -> f64 {
    // A slip of the finger for every three or four letters.
    let long = word.len().max(wanted.len());
    let allowed = if long >= 8 { 2 } else { usize::from(long >= 4) };
    let slips = strsim::osa_distance(word, wanted);
    let near = if slips <= allowed { 0.8 - 0.1 * slips as f64 } else { 0.0 };
    kin(word, wanted).max(near)
}

fn split(text: &str) -> Vec<String> {
    text.to_lowercase()
        .split(|c: char| !c.is_alphanumeric())
        .filter(|word| !word.is_empty())
        .map(str::to_owned)
        .collect()
}

/// The place of a symptom by its id.
pub fn by_id(symptoms: &[Symptom], id: &str) -> Option<usize> {
    symptoms.iter().position(|symptom| symptom.id == id)
}
