//! Setting a boat up in the browser: no text to edit, only fields to fill and entries to pick. Every field comes from
//! the format's own table, so what can be picked is what the compiler takes.

mod called;
mod conflict;
mod field;
mod form;
mod list;
mod pick;
mod revisions;
mod row;
mod spot;
mod tried;

pub use conflict::{MergePage, merge_page};
pub use form::{Filled, lacking, press, read_row, without_blanks};
pub use list::{
    BeginForm, Bench, BoatLine, DraftLine, begin_keys, boat_page, section_page, setup_page, simple_classes,
};
pub use revisions::{FilePage, RevisionLine, RevisionPage, file_page, revision_page, revisions_page};
pub use row::{RowForm, Saved, row_page};
pub use tried::{Tried, lacking_part, said_part, tried_part};
