//! The office and dock server: the pages of one base over HTTP. It reads and shows; nothing can be changed through it.
//!
//! [`serve`] keeps a [`Base`] in memory, whose boats were read and proven before, and answers until it is told to stop.
//! It listens where it is told; loopback unless someone says otherwise. There are no accounts yet, so do not let it
//! listen where strangers can reach it.
#![allow(clippy::disallowed_methods, reason = "the server is at the rim, where sockets and signals are")]

mod answers;
mod app;
mod guard;
mod handlers;
mod outlook;
mod run;
mod wrong;

pub use app::{Base, router};
pub use run::{DEFAULT_LISTEN, serve, serve_until};
