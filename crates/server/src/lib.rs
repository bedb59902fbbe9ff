//! The office and dock server: the pages of one base over HTTP, what its people and crews write down, and who may what.
//!
//! [`App::open`] reads a base from its [`store::Store`], proves its boats and works out how all stands; [`router`] makes
//! pages of it, and [`serve`] answers until it is told to stop. Every route is in one table with who may use it.
#![allow(
    clippy::disallowed_methods,
    reason = "the server is at the rim, where sockets, clocks and signals are"
)]

mod answers;
mod api;
mod app;
mod briefing;
mod caller;
mod clock;
mod crew;
mod dock;
mod fleet;
mod form;
mod gate;
mod guard;
mod handlers;
pub mod keeping;
mod ledger;
mod log;
mod may;
mod office;
mod outlook;
mod people;
mod reach;
mod routes;
mod run;
mod secret;
mod setup;
mod shore;
mod sign;
mod visit;
mod wrong;

pub use api::OPENAPI;
pub use app::{App, Failure, Opening, Past, Shared, router};
pub use caller::Who;
pub use routes::{Route, routes};
pub use run::{DEFAULT_LISTEN, serve, serve_until};
