//! Where Becket keeps what must not be lost: events, boat files with their revisions, accounts, photos.
//!
//! [`Store`] is one type over two databases, SQLite in a file and PostgreSQL. It is not a trait: both databases take
//! the same SQL but for names of types, so every method is written once, above a small layer (`database`) that binds
//! values, reads rows and begins transactions in either. A second implementation of each method would be a second
//! place to be wrong in, and tests run on both databases anyway.
//!
//! What the store promises:
//! - What it acknowledged is on the disk (SQLite: write-ahead log, `synchronous = FULL`; PostgreSQL: a server with
//!   `fsync` off is refused).
//! - A method that changes something does all of it or nothing.
//! - An event is taken once, however often it is sent; nothing that was sent is thrown away.
//! - Time, ids and secrets are handed in: it never asks a clock, nor for chance.
//!
//! An event is a row here: what its body says is the business of others.
#![allow(
    clippy::disallowed_methods,
    reason = "this is the rim: files are read and written here, though the clock is still an argument"
)]

mod account;
mod address;
mod attempt;
mod backup;
mod boat;
mod database;
mod error;
mod event;
mod fault;
mod hand;
mod link;
mod person;
mod photo;
mod portable;
mod schema;
mod setting;
mod store;
mod tables;
mod text;
mod value;

pub use account::{Account, Role, Session, TokenHash};
pub use address::{Address, Options};
pub use attempt::Attempts;
pub use backup::Backup;
pub use boat::{Conflict, Draft, Revision, Save, Summary};
pub use error::StoreError;
pub use event::{Event, EventId, Kept, Of, Receipt, Refused, Seq, Wanted};
pub use hand::Hand;
pub use link::Link;
pub use person::Person;
pub use photo::{Photo, PhotoHash};
pub use store::Store;
