//! "What is wrong?": from what a crew sees to its cause, one question a screen; the same case for the base, on paper
//! and for programs. What is asked, and what it means, is worked out by `trace`; nothing is decided here.

mod ask;
mod base;
mod choose;
mod data;
mod dialogue;
mod ending;
mod guide;
mod look;
mod suspects;
mod told;
mod urgent;

pub use ask::{CaseAsk, Refused, WrongAsk};
pub use choose::wrong_page;
pub(crate) use choose::{link, of_item, of_list};
pub use data::case_json;
pub use dialogue::case_page;
pub use guide::guide_page;
