//! The store on SQLite in memory, on SQLite in a file and on a real PostgreSQL server: the same cases on all of them;
//! then what only one of them has, and what happens when a program, a server or a disk fails.
//!
//! The PostgreSQL server is started for the tests and belongs to them alone. Where it is not installed its tests say
//! so and pass; with `BECKET_NEED_POSTGRES=1` they fail.
#![allow(clippy::disallowed_methods, reason = "the tests make files, wait, and end programs")]
#![allow(clippy::unwrap_used, reason = "a panic is how a test fails")]
#![allow(clippy::print_stderr, reason = "a test that can't run here says so")]

mod base;
mod cases;
mod crash;
mod full;
mod model;
mod portable;
mod postgres;
mod schema;
mod server;
mod sqlite;
