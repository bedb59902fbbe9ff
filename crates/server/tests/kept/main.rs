//! What the server keeps: people, events by programs, boat files, charters on the dock, parts, files to take away. Each
//! case runs on SQLite as a test of its own, and on PostgreSQL in one test for all of them.

/// Lists the cases of a module, for the test that runs them on PostgreSQL.
macro_rules! cases {
    ($($name:ident),+ $(,)?) => {
        /// Every case, by name.
        pub(crate) const CASES: &[(&str, fn())] = &[$((stringify!($name), $name)),+];
    };
}

#[path = "../dock/base.rs"]
mod base;
mod browser;
#[allow(clippy::disallowed_methods, reason = "it makes files, waits, and starts and ends a program")]
#[allow(clippy::unwrap_used, reason = "a panic is how a test fails")]
#[allow(clippy::print_stderr, reason = "a test that can't run here says so")]
#[allow(dead_code, reason = "the tests of the store use the rest")]
#[path = "../../../store/tests/suite/server.rs"]
mod cluster;
#[path = "../doors/mod.rs"]
mod doors;
mod export;
mod forms;
#[path = "../dock/found.rs"]
mod found;
#[path = "../dock/life.rs"]
mod life;
#[path = "../ledge/past.rs"]
mod past;
mod people;
#[path = "../dock/photos.rs"]
mod photos;
#[path = "../place/mod.rs"]
mod place;
mod postgres;
mod setup;
mod stock;
mod sync;
#[path = "../dock/walks.rs"]
mod walks;
