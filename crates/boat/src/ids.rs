//! What can be an id, and the id that a person may have meant.

/// Whether a text can be an id: `[a-z][a-z0-9_]*`.
pub(crate) fn is_id(text: &str) -> bool {
    text.starts_with(|c: char| c.is_ascii_lowercase())
        && text.chars().all(|c| c.is_ascii_lowercase() || c.is_ascii_digit() || c == '_')
        && !is_word(text)
}

/// Whether a text is a word of the language of facts.
pub(crate) fn is_word(text: &str) -> bool {
    matches!(text, "and" | "or" | "not" | "is" | "always" | "never" | "one" | "of")
}

/// The id that a person may have meant.
pub(crate) fn make_id(text: &str) -> String {
    let id: String = text
        .to_lowercase()
        .chars()
        .map(|c| if c.is_ascii_lowercase() || c.is_ascii_digit() { c } else { plain_letter(c) })
        .collect();
    let id = id.trim_matches('_');
    if is_id(id) { id.to_owned() } else { format!("x_{id}") }
}

/// The letter without its accent, or `_`.
fn plain_letter(c: char) -> char {
    const LETTERS: [(&str, char); 8] = [
        ("àáâãäåā", 'a'),
        ("çćč", 'c'),
        ("èéêëēė", 'e'),
        ("ìíîïī", 'i'),
        ("ñń", 'n'),
        ("òóôõöøō", 'o'),
        ("ßśš", 's'),
        ("ùúûüū", 'u'),
    ];
    LETTERS.iter().find(|(accented, _)| accented.contains(c)).map_or('_', |(_, plain)| *plain)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn ids_are_small_letters_figures_and_strokes() {
        assert!(is_id("house_switch") && is_id("a2") && is_id("annexe"));
        for bad in ["", "2a", "_a", "House", "gas-bottle", "kühl", "not", "one", "a b"] {
            assert!(!is_id(bad), "{bad}");
            assert!(is_id(&make_id(bad)), "{bad} becomes {}", make_id(bad));
        }
        assert_eq!(make_id("Gas-Bottle 2"), "gas_bottle_2");
        assert_eq!(make_id("Kühlschrank"), "kuhlschrank");
    }
}
