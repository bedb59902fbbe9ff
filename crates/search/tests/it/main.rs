//! Checks of the search against a second, naive program and against published plans.
#![allow(missing_docs, reason = "tests are not read as documentation")]

mod hand;
mod instances;
mod oracle;
mod random;
