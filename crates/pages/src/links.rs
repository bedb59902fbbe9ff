//! The addresses of the pages, made in one place.

use std::fmt::Write as _;

/// The pages about one boat, in the order in which they are offered.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Room {
    /// The plan of the boat and what is where.
    Plan,
    /// Step lists.
    Steps,
    /// Everything that can be pointed at.
    Items,
    /// The shortest safe way from how she stands now.
    Now,
    /// Whether power, water and the rest last a trip.
    Forecast,
    /// How much to let out at anchor.
    Anchor,
    /// What can slip.
    Slips,
    /// What was proven and what is wrong.
    Proof,
    /// What is counted.
    Kit,
    /// What is serviced.
    Upkeep,
    /// What a briefing covers.
    Briefing,
}

impl Room {
    /// All of them, in order.
    pub const ALL: [Self; 11] = [
        Self::Plan,
        Self::Steps,
        Self::Items,
        Self::Now,
        Self::Forecast,
        Self::Anchor,
        Self::Slips,
        Self::Proof,
        Self::Kit,
        Self::Upkeep,
        Self::Briefing,
    ];

    /// Its name in the navigation.
    pub fn name(self) -> &'static str {
        match self {
            Self::Plan => "Plan",
            Self::Steps => "Step lists",
            Self::Items => "Find it",
            Self::Now => "As she stands",
            Self::Forecast => "Will it last?",
            Self::Anchor => "At anchor",
            Self::Slips => "What can slip",
            Self::Proof => "Proof",
            Self::Kit => "Kit",
            Self::Upkeep => "Upkeep",
            Self::Briefing => "Briefing",
        }
    }

    fn tail(self) -> &'static str {
        match self {
            Self::Plan => "",
            Self::Steps => "/steps",
            Self::Items => "/items",
            Self::Now => "/now",
            Self::Forecast => "/forecast",
            Self::Anchor => "/anchor",
            Self::Slips => "/slips",
            Self::Proof => "/proof",
            Self::Kit => "/kit",
            Self::Upkeep => "/upkeep",
            Self::Briefing => "/briefing",
        }
    }
}

/// The address of a page about a boat.
pub fn room(slug: &str, room: Room) -> String {
    format!("/boat/{}{}", escape(slug), room.tail())
}

/// The address of a step list.
pub fn steps(slug: &str, id: &str) -> String {
    format!("{}/{}", room(slug, Room::Steps), escape(id))
}

/// The address of the plan with a place picked out.
pub fn place(slug: &str, id: &str) -> String {
    format!("{}?place={}#there", room(slug, Room::Plan), escape(id))
}

/// The address of an item in the list of items.
pub fn item(slug: &str, id: &str) -> String {
    format!("{}#item-{}", room(slug, Room::Items), escape(id))
}

/// An address with a query, pairs with an empty value left out.
pub fn query(path: &str, pairs: &[(&str, &str)]) -> String {
    let mut out = path.to_owned();
    let mut mark = '?';
    for (key, value) in pairs.iter().filter(|(_, value)| !value.is_empty()) {
        out.push(mark);
        out.push_str(&escape(key));
        out.push('=');
        out.push_str(&escape(value));
        mark = '&';
    }
    out
}

/// Makes an address part of a boat's name: small letters, digits and hyphens.
pub fn slug(name: &str) -> String {
    let mut out = String::new();
    for c in name.to_lowercase().chars() {
        if c.is_ascii_alphanumeric() {
            out.push(c);
        } else if !out.is_empty() && !out.ends_with('-') {
            out.push('-');
        }
    }
    let out = out.trim_end_matches('-');
    if out.is_empty() { "boat".to_owned() } else { out.to_owned() }
}

/// Writes every byte but the unreserved ones of RFC 3986 as a percent sign and two digits.
fn escape(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for byte in text.bytes() {
        if byte.is_ascii_alphanumeric() || b"-._~".contains(&byte) {
            out.push(char::from(byte));
        } else {
            // Writing to a String can't fail.
            let _ = write!(out, "%{byte:02X}");
        }
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn addresses_escape_what_would_end_them() {
        assert_eq!(query("/x", &[("q", "a b&c=d/é"), ("none", "")]), "/x?q=a%20b%26c%3Dd%2F%C3%A9");
        assert_eq!(query("/x", &[("none", "")]), "/x");
        assert_eq!(slug("Señora  del Mar 2"), "se-ora-del-mar-2");
        assert_eq!(slug("???"), "boat");
    }
}
