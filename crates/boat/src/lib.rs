//! The boat file: text with spans, diagnostics, the typed model and the condition language.
//!
//! [`compile`] turns a boat file into a [`model::Boat`] or says all that is wrong with it at once.
//! Nothing here reads files, clocks or the environment.

pub mod diagnostic;
pub mod edit;
pub mod lower;
pub mod model;
pub mod source;
pub mod trip;
pub mod walk;

mod ask;
mod assemble;
mod compile;
mod day;
mod document;
mod fact;
mod format;
mod ids;
mod library;
mod names;
mod prose;
mod read;
mod schema;
mod syntax;
mod tidy;
mod write;

pub use ask::Asked;
pub use compile::{Compiled, compile};
pub use library::{class_about, class_text, classes};
pub use schema::{reference, schema};
pub use tidy::{Untidy, tidy};
pub use write::write;
