//! What the law wants aboard and what may go overboard, as data with citations.
//!
//! The rules are tables, one an authority, that a base can edit ([`Authority::read`]); each row says where it comes
//! from, which edition was seen, and how it is known. Nothing here says that a boat is legal: it says whether she has
//! the listed items, and what the list leaves out. An authority that is not listed is answered as not known.
//!
//! ```
//! use quantity::Length;
//! use rules::{Carried, Crew, Dates, Inquiry, Standing, Vessel, Waters, authority, check};
//!
//! let canada = authority("Canada")?;
//! let found = check(canada, &Inquiry {
//!     vessel: Vessel::new("Dunlin", Length::metres(11.0)),
//!     crew: Crew { adults: 2, children: Vec::new() },
//!     dates: Dates::new("2027-07-10".parse().unwrap(), "2027-07-17".parse().unwrap()),
//!     waters: Some(Waters::Coastal),
//!     aboard: Vec::new(),
//! });
//! let jackets = found.findings.iter().find(|finding| finding.id == "lifejackets").unwrap();
//! assert_eq!(jackets.standing, Standing::Missing);
//! assert!(authority("Atlantis").is_err());
//! # Ok::<(), rules::NotKnown>(())
//! ```
//!
//! What a thing counts as is said in the boat file, by the key `counts_as` ([`boat::model::Gear`]); words in names are
//! never guessed at.

mod aboard;
mod authority;
mod check;
mod checklist;
mod need;
mod overview;
mod requirement;
mod waste;
pub mod words;
mod worn;

pub use aboard::{Carried, Crew, Dates, Fact, Vessel, Waters};
pub use authority::{
    Authority, Citation, Coverage, Duty, Extent, How, Life, NotKnown, Note, ReadError, authorities, authority,
};
pub use check::{Check, Finding, Inquiry, Need, ReliefFound, Standing, Use, UseState, check};
pub use checklist::{Checklist, ChecklistLine, Subject};
pub use overview::{Overview, Place, Row, overview};
pub use requirement::{Add, Asked, Relief, Requirement, Section};
pub use waste::{Answer, Discharge, Question, Verdict, Waste, Zone, ZoneKind, discharge};
