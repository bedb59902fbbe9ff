//! Finding an item by what people call it.

use boat::model::{Boat, Item, ItemId};

/// The items that fit the words looked for, best first.
///
/// Every word must be the beginning of a word of the item: of its name, of its other names, of its label, class,
/// place, spares, or of how to find it. The name counts most. Letters with marks count as those without.
pub fn items(boat: &Boat, looked_for: &str) -> Vec<ItemId> {
    let wanted: Vec<String> = split(looked_for);
    if wanted.is_empty() {
        return Vec::new();
    }
    let mut found: Vec<(u32, ItemId)> = boat
        .items
        .iter_ids()
        .filter_map(|(id, item)| score(boat, item, &wanted).map(|score| (score, id)))
        .collect();
    found.sort_by(|a, b| b.0.cmp(&a.0).then(a.1.cmp(&b.1)));
    found.into_iter().map(|(_, id)| id).collect()
}

fn score(boat: &Boat, item: &Item, wanted: &[String]) -> Option<u32> {
    let spares = item.spares.iter().map(|spare| spare.name.as_str());
    let fields: Vec<(u32, Vec<String>)> = vec![
        (16, split(&item.name)),
        (12, item.also.iter().flat_map(|also| split(also)).collect()),
        (10, item.label.iter().flat_map(|label| split(label)).collect()),
        (6, item.class.iter().flat_map(|class| split(class)).collect()),
        (4, spares.flat_map(split).collect()),
        (3, split(&boat.places[item.place].name)),
        (1, item.find.iter().flat_map(|find| split(find)).collect()),
    ];
    let mut total = 0;
    for word in wanted {
        let best =
            fields.iter().filter_map(|(weight, words)| fit(words, word).map(|fit| weight * fit)).max()?;
        total += best;
    }
    Some(total)
}

/// 2 for the whole word, 1 for its beginning.
fn fit(words: &[String], wanted: &str) -> Option<u32> {
    let whole = words.iter().any(|word| word == wanted);
    let begins = || words.iter().any(|word| word.starts_with(wanted));
    if whole { Some(2) } else { begins().then_some(1) }
}

/// The words of a text, in small letters without marks.
fn split(text: &str) -> Vec<String> {
    let plain: String = text.chars().flat_map(char::to_lowercase).map(without_mark).collect();
    plain.split(|c: char| !c.is_alphanumeric()).filter(|word| !word.is_empty()).map(str::to_owned).collect()
}

fn without_mark(c: char) -> char {
    match c {
        'à' | 'á' | 'â' | 'ã' | 'ä' | 'å' => 'a',
        'ç' => 'c',
        'è' | 'é' | 'ê' | 'ë' => 'e',
        'ì' | 'í' | 'î' | 'ï' => 'i',
        'ñ' => 'n',
        'ò' | 'ó' | 'ô' | 'õ' | 'ö' => 'o',
        'ù' | 'ú' | 'û' | 'ü' => 'u',
        other => other,
    }
}
