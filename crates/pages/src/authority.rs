//! Whose rules a page goes by.

use boat::model::Boat;
use maud::{Markup, html};
use rules::{Authority, NotKnown};

use crate::given::{self, Given};
use crate::words;

/// The field in which the authority is chosen.
const FIELD: &str = "rules";
/// The answer that it is none of those listed.
const OTHER: &str = "other";

/// Whose rules are asked for.
#[derive(Debug, Clone, PartialEq)]
pub(crate) enum Whose {
    /// Those of an authority that is listed here.
    Listed(&'static Authority),
    /// Those of one that is not.
    NotListed(NotKnown),
    /// Nobody has said, and nothing usual is known.
    NotSaid,
}

impl Whose {
    /// Reads the choice; if none was made, the usual one of the boat.
    pub(crate) fn read(given: &Given, boat: &Boat) -> Self {
        match given.value(FIELD) {
            "" => usual(boat).map_or(Self::NotSaid, Self::Listed),
            OTHER => Self::NotListed(NotKnown { name: "another authority".to_owned() }),
            name => rules::authority(name).map_or_else(Self::NotListed, Self::Listed),
        }
    }

    /// The authority and those within which it is; the rules of all of them hold.
    pub(crate) fn chain(&self) -> Vec<&'static Authority> {
        match self {
            Self::Listed(authority) => authority.chain(),
            Self::NotListed(_) | Self::NotSaid => Vec::new(),
        }
    }

    /// Its name in addresses.
    pub(crate) fn word(&self) -> &str {
        match self {
            Self::Listed(authority) => &authority.id,
            Self::NotListed(unknown) => &unknown.name,
            Self::NotSaid => "",
        }
    }

    /// Why there is no answer, if there can be none.
    pub(crate) fn unknown(&self) -> Option<String> {
        match self {
            Self::Listed(_) => None,
            Self::NotListed(unknown) => Some(unknown.to_string()),
            Self::NotSaid => Some(
                "Whose rules hold is not said: neither here nor by the flag in the boat file.".to_owned(),
            ),
        }
    }
}

/// The authority whose name stands as the flag in the boat file, if it is listed: the usual one, until another is chosen.
pub(crate) fn usual(boat: &Boat) -> Option<&'static Authority> {
    boat.particulars.flag.as_deref().and_then(|flag| rules::authority(flag).ok())
}

/// The field in which it is chosen, of those that `fits`.
pub(crate) fn chooser(
    given: &Given,
    whose: &Whose,
    boat: &Boat,
    fits: impl Fn(&Authority) -> bool,
) -> Markup {
    let mut shown = given.clone();
    shown.usual(FIELD, whose.word());
    let listed = rules::authorities().iter().filter(|one| fits(one));
    let mut answers: Vec<(&str, &str)> = listed.map(|one| (one.id.as_str(), one.name.as_str())).collect();
    answers.push((OTHER, "Another authority"));
    let hint = match (&boat.particulars.flag, usual(boat)) {
        (Some(flag), Some(_)) => {
            format!("Usual: {flag}, her flag in the boat file. The rules of her waters hold as well.")
        }
        (Some(flag), None) => {
            format!("Her flag in the boat file is {flag}, of whose rules nothing is known here.")
        }
        (None, _) => "The boat file says no flag.".to_owned(),
    };
    html! {
        div {
            (given::choose(&shown, FIELD, "Whose rules", "Not said", &answers))
            p.hint { (hint) " No country of the European Union is listed." }
        }
    }
}

/// What is known of an authority's rules and what is not, for the end of a page.
pub(crate) fn coverage(chain: &[&Authority]) -> Markup {
    html! {
        section.block aria-labelledby="known" {
            h2 #known { "What is known here, and what is not" }
            ul.plainly {
                @for authority in chain { @for line in rules::words::coverage(authority) { li { (line) } } }
                li { (rules::words::listed()) }
            }
        }
    }
}

/// Where a row comes from, and when it was entered.
pub(crate) fn source(authority: &Authority, citation: &rules::Citation) -> Markup {
    html! {
        p.small.soft.source {
            (rules::words::source(citation)) " Entered " (words::date(&authority.entered.to_string())) "."
        }
    }
}

/// What base and crew must do, and what is worth knowing beside the rows: about what may go overboard, or about the rest.
pub(crate) fn duties(chain: &[&Authority], waste: bool) -> Markup {
    let all: Vec<_> = chain
        .iter()
        .flat_map(|one| one.beside(waste).map(move |note| (*one, &note.words, &note.citation)))
        .collect();
    html! {
        @if !all.is_empty() {
            section.block aria-labelledby="duties" {
                h2 #duties { "Also by these rules" }
                ul.plainly.rules-also {
                    @for (authority, words, citation) in all {
                        li { (words) (source(authority, citation)) }
                    }
                }
            }
        }
    }
}
