//! Which boat a booking's words name: by whole names only, never by a guess.

/// What words say about a boat.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum BoatMatch {
    /// One boat is named: her slug.
    Exact(String),
    /// No boat is named.
    None,
    /// Several boats are named: their slugs, in the order of the boats given.
    Several(Vec<String>),
}

/// Finds the boat that the words name. `boats` are slugs with the names each goes by; the slug itself counts as a name.
/// A name counts where it stands as whole words, large and small letters alike. A name within a longer one that is
/// found there too ("Dunlin" in "Dunlin II") does not count.
pub fn match_boat<W: AsRef<str>>(words: &[W], boats: &[(&str, &[&str])]) -> BoatMatch {
    let names: Vec<(usize, Vec<String>)> = boats
        .iter()
        .enumerate()
        .flat_map(|(boat, (slug, names))| {
            names.iter().chain(std::iter::once(slug)).map(move |name| (boat, in_words(name)))
        })
        .filter(|(_, name)| !name.is_empty())
        .collect();
    let mut found: Vec<usize> =
        words.iter().flat_map(|text| named(&in_words(text.as_ref()), &names)).collect();
    found.sort_unstable();
    found.dedup();
    let mut slugs: Vec<String> =
        found.iter().filter_map(|boat| boats.get(*boat)).map(|(slug, _)| (*slug).to_owned()).collect();
    slugs.dedup();
    match slugs.len() {
        0 => BoatMatch::None,
        1 => BoatMatch::Exact(slugs.remove(0)),
        _ => BoatMatch::Several(slugs),
    }
}

fn in_words(text: &str) -> Vec<String> {
    text.split(|letter: char| !letter.is_alphanumeric())
        .filter(|word| !word.is_empty())
        .map(str::to_lowercase)
        .collect()
}

/// The boats named in a text, each by a name that lies within no longer one.
fn named(text: &[String], names: &[(usize, Vec<String>)]) -> Vec<usize> {
    let found: Vec<(usize, usize, usize)> = names
        .iter()
        .flat_map(|(boat, name)| {
            let places = text.windows(name.len()).enumerate();
            places.filter(|(_, here)| *here == name.as_slice()).map(|(at, _)| (*boat, at, at + name.len()))
        })
        .collect();
    let longest = |(_, from, to): &&(usize, usize, usize)| {
        !found.iter().any(|(_, start, end)| start <= from && to <= end && end - start > to - from)
    };
    found.iter().filter(longest).map(|(boat, _, _)| *boat).collect()
}
