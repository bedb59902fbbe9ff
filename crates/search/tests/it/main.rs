//! Checks of the search against a second, naive program and against published plans.
#![allow(missing_docs, reason = "tests are not read as documentation")]
#![allow(clippy::unwrap_used, reason = "a panic is how a test fails")]

mod hand;
mod instances;
mod oracle;
mod order;
mod random;
