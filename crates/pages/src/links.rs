//! The addresses of the pages, made in one place.

use std::fmt::Write as _;

use records::{DefectStanding, Severity};

/// The pages about one boat, in the order in which they are offered.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Room {
    /// The plan of the boat and what is where.
    Plan,
    /// Step lists.
    Steps,
    /// From what seems to be wrong to its cause.
    Wrong,
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
    /// What the law wants aboard.
    Equipment,
    /// What may go overboard.
    Waste,
    /// High and low water.
    Tides,
}

impl Room {
    /// All of them, in order.
    pub const ALL: [Self; 15] = [
        Self::Plan,
        Self::Steps,
        Self::Wrong,
        Self::Items,
        Self::Now,
        Self::Forecast,
        Self::Anchor,
        Self::Slips,
        Self::Proof,
        Self::Kit,
        Self::Upkeep,
        Self::Briefing,
        Self::Equipment,
        Self::Waste,
        Self::Tides,
    ];

    /// Its name in the navigation.
    pub fn name(self) -> &'static str {
        match self {
            Self::Plan => "Plan",
            Self::Steps => "Step lists",
            Self::Wrong => "What is wrong?",
            Self::Items => "Find it",
            Self::Now => "As she stands",
            Self::Forecast => "Will it last?",
            Self::Anchor => "At anchor",
            Self::Slips => "What can slip",
            Self::Proof => "Proof",
            Self::Kit => "Kit",
            Self::Upkeep => "Upkeep",
            Self::Briefing => "Briefing",
            Self::Equipment => "Equipment",
            Self::Waste => "Waste",
            Self::Tides => "Tides",
        }
    }

    /// Whether a crew is shown it by its link. The rest is the base's own: how the boat was proven, what is serviced.
    pub fn is_for_crews(self) -> bool {
        !matches!(self, Self::Slips | Self::Proof | Self::Upkeep)
    }

    fn tail(self) -> &'static str {
        match self {
            Self::Plan => "",
            Self::Steps => "/steps",
            Self::Wrong => "/wrong",
            Self::Items => "/items",
            Self::Now => "/now",
            Self::Forecast => "/forecast",
            Self::Anchor => "/anchor",
            Self::Slips => "/slips",
            Self::Proof => "/proof",
            Self::Kit => "/kit",
            Self::Upkeep => "/upkeep",
            Self::Briefing => "/briefing",
            Self::Equipment => "/equipment",
            Self::Waste => "/waste",
            Self::Tides => "/tides",
        }
    }
}

/// The address of a page about a boat.
pub fn room(slug: &str, room: Room) -> String {
    // The tide is no boat's own; it only takes her draught and her base.
    if room == Room::Tides {
        return query(TIDES, &[("boat", slug)]);
    }
    format!("/boat/{}{}", escape(slug), room.tail())
}

/// High and low water, for no boat in particular.
pub const TIDES: &str = "/tides";

/// The address of a step list.
pub fn steps(slug: &str, id: &str) -> String {
    format!("{}/{}", room(slug, Room::Steps), escape(id))
}

/// The address at which finding out begins for something that seems to be wrong.
pub fn wrong(slug: &str, symptom: &str) -> String {
    format!("{}/{}", room(slug, Room::Wrong), escape(symptom))
}

/// The address of all that can be wrong with an item.
pub fn wrong_with(slug: &str, item: &str) -> String {
    format!("{}?item={}#there", room(slug, Room::Wrong), escape(item))
}

/// The address of what to do in an emergency, from everywhere in fault finding.
pub fn alarm(slug: &str) -> String {
    format!("{}#emergency", room(slug, Room::Wrong))
}

/// How a case of fault finding is shown.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum CaseForm {
    /// One question a screen.
    Screen,
    /// The whole search on paper.
    Guide,
    /// For programs.
    Data,
}

/// The address of a case of fault finding: all of its state is in it.
///
/// `who` is left out for the crew; `told` are the answers so far, `ask` a question that was chosen out of order.
pub fn case(
    slug: &str,
    symptom: &str,
    form: CaseForm,
    who: &str,
    told: &[String],
    ask: Option<&str>,
) -> String {
    let path = match form {
        CaseForm::Screen => wrong(slug, symptom),
        CaseForm::Guide => wrong(slug, symptom) + "/guide",
        CaseForm::Data => wrong(slug, symptom) + ".json",
    };
    let who = if who == "crew" { "" } else { who };
    let mut pairs = vec![("who", who)];
    pairs.extend(told.iter().map(|token| ("a", token.as_str())));
    pairs.push(("ask", ask.unwrap_or_default()));
    query(&path, &pairs)
}

/// All topics of a boat's briefing.
pub fn topics(slug: &str) -> String {
    format!("{}/topics", room(slug, Room::Briefing))
}

/// Which topics cover the lines of published lists.
pub fn checklists(slug: &str) -> String {
    format!("{}/lists", room(slug, Room::Briefing))
}

/// The plan of a boat's briefing, for programs.
pub fn briefing_data(slug: &str) -> String {
    format!("{}.json", room(slug, Room::Briefing))
}

/// The address of the plan with a place picked out.
pub fn place(slug: &str, id: &str) -> String {
    format!("{}?place={}#there", room(slug, Room::Plan), escape(id))
}

/// The address of an item in the list of items.
pub fn item(slug: &str, id: &str) -> String {
    format!("{}#item-{}", room(slug, Room::Items), escape(id))
}

/// The page of a charter.
pub fn charter(id: &str) -> String {
    format!("/charter/{}", escape(id))
}

/// Where anybody tells that something of a boat is broken.
pub fn found(id: &str) -> String {
    format!("/boat/{}/found", escape(id))
}

/// Where something that was told is crossed out.
pub fn cross_out(event: &str) -> String {
    format!("/told/{}/cross-out", escape(event))
}

/// The same form, filled in for a defect that was seen again.
pub fn seen_again(slug: &str, defect: &DefectStanding) -> String {
    let severity = match defect.severity {
        Severity::Cosmetic => "cosmetic",
        Severity::Hinders => "hinders",
        Severity::Safety => "safety",
    };
    let id = defect.id().to_string();
    let pairs = [
        ("item", defect.defect.item.as_str()),
        ("again", id.as_str()),
        ("words", "It is still so."),
        ("severity", severity),
    ];
    query(&found(slug), &pairs)
}

/// The links by which a charter's crew comes.
pub fn crew_links(charter: &str) -> String {
    format!("/charter/{}/links", escape(charter))
}

// The dock.

/// A walk over a boat for a charter.
pub fn walk(charter: &str, walk: &str) -> String {
    format!("/charter/{}/walk/{}", escape(charter), escape(walk))
}

/// A stop on a walk.
pub fn stop(charter: &str, walk: &str, stop: &str) -> String {
    format!("{}/{}", self::walk(charter, walk), escape(stop))
}

/// Where a walk is signed, and a charter comes to its next stage.
pub fn sign(charter: &str, walk: &str) -> String {
    format!("/charter/{}/sign/{}", escape(charter), escape(walk))
}

/// Where what was signed makes the charter come to its next stage.
pub fn complete(charter: &str, walk: &str) -> String {
    format!("/charter/{}/complete/{}", escape(charter), escape(walk))
}

/// Where the manager lets a boat go with a defect.
pub fn sails_with(charter: &str, defect: &str) -> String {
    format!("/charter/{}/sails-with/{}", escape(charter), escape(defect))
}

/// The sheet of a walk, for printing.
pub fn sheet(charter: &str, walk: &str) -> String {
    format!("/charter/{}/sheet/{}", escape(charter), escape(walk))
}

/// What a charter costs its crew.
pub fn charges(charter: &str) -> String {
    format!("/charter/{}/charges", escape(charter))
}

/// Where damage of a charter is told.
pub fn damaged(charter: &str) -> String {
    format!("/charter/{}/damaged", escape(charter))
}

/// Where a call of a charter's crew is written down.
pub fn called(charter: &str) -> String {
    format!("/charter/{}/called", escape(charter))
}

/// A photo, by the hash of its bytes.
pub fn photo(hash: &str) -> String {
    format!("/photo/{}", escape(hash))
}

// The office.

/// All charters.
pub const CHARTERS: &str = "/charters";

/// Where a charter is planned.
pub const NEW_CHARTER: &str = "/charters/new";

/// A defect, by the event that found it.
pub fn defect(id: &str) -> String {
    format!("/defect/{}", escape(id))
}

/// How crews reach the base.
pub const REACH: &str = "/reach";

/// What the boats' service plans ask for.
pub const UPKEEP: &str = "/upkeep";

/// A line of a boat's service plan: when it was done, and where it is told that it was.
pub fn upkeep_line(slug: &str, line: &str) -> String {
    format!("/upkeep/{}/{}", escape(slug), escape(line))
}

/// A form of a charter's page: `change`, `cancel`, `note`, `forget`.
pub fn charter_part(charter: &str, part: &str) -> String {
    format!("{}/{}", self::charter(charter), escape(part))
}

// What the office keeps and hands on.

/// The parts in stock.
pub const STOCK: &str = "/stock";

/// Where the parts in stock are counted.
pub const STOCK_COUNT: &str = "/stock/count";

/// What is to be ordered, to print.
pub const STOCK_ORDER: &str = "/stock/order";

/// Where one part is asked for by its name.
pub const STOCK_PART: &str = "/stock/part";

/// One part in stock.
pub fn stock_part(name: &str) -> String {
    query(STOCK_PART, &[("part", name)])
}

/// What all boats cost in a year.
pub fn costs(year: i16) -> String {
    format!("/costs/{year}")
}

/// What a boat cost in a year.
pub fn boat_costs(slug: &str, year: i16) -> String {
    format!("/boat/{}/costs/{year}", escape(slug))
}

/// Where charters are read in from a file.
pub const IMPORT: &str = "/charters/import";

/// What is taken out as files.
pub const EXPORT: &str = "/export";

/// Where the address of the calendar feed is made.
pub const FEED: &str = "/settings/feed";

/// How a boat stands.
pub fn standing(slug: &str) -> String {
    format!("/boat/{}/standing", escape(slug))
}

/// A boat's month (`2026-06`) for her owner.
pub fn month(slug: &str, month: &str) -> String {
    format!("/boat/{}/month/{}", escape(slug), escape(month))
}

/// The calendar feed, by its key.
pub fn feed(key: &str) -> String {
    format!("/calendar/{}", escape(key))
}

/// The base's prices.
pub const PRICES: &str = "/settings/prices";

/// The briefing of a charter: planned, and begun.
pub fn charter_briefing(charter: &str) -> String {
    format!("{}/briefing", self::charter(charter))
}

/// A topic of a charter's briefing.
pub fn run(charter: &str) -> String {
    format!("{}/run", charter_briefing(charter))
}

/// What was gone through in a charter's briefing, and what is left.
pub fn ending(charter: &str) -> String {
    format!("{}/end", charter_briefing(charter))
}

/// What is left of a charter's briefing to reading.
pub fn reading(charter: &str) -> String {
    format!("{}/reading", self::charter(charter))
}

/// The rooms in which boats are set up.
pub const SETUP: &str = "/setup";

/// Where a boat is set up.
pub fn setup(slug: &str) -> String {
    format!("{SETUP}/{}", escape(slug))
}

/// A part of setting a boat up: a section, `file`, `revisions`, `try`.
pub fn setup_part(slug: &str, part: &str) -> String {
    format!("{}/{}", setup(slug), escape(part))
}

/// One of them: an entry of a section, a revision, a draft.
pub fn setup_one(slug: &str, part: &str, id: &str) -> String {
    format!("{}/{}", setup_part(slug, part), escape(id))
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
        let told = ["set.a.yes".to_owned(), "works.no".to_owned()];
        let case = |form, who| super::case("x", "hot water", form, who, &told, None);
        assert_eq!(case(CaseForm::Screen, "crew"), "/boat/x/wrong/hot%20water?a=set.a.yes&a=works.no");
        assert_eq!(
            case(CaseForm::Data, "base"),
            "/boat/x/wrong/hot%20water.json?who=base&a=set.a.yes&a=works.no"
        );
        assert_eq!(slug("Señora  del Mar 2"), "se-ora-del-mar-2");
        assert_eq!(slug("???"), "boat");
    }
}
