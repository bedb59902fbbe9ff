//! Fault finding against published networks, diagnoses, orders and rates, brute force, and made-up cases.
#![allow(clippy::disallowed_methods, reason = "the tests read the reference data")]
#![allow(clippy::unwrap_used, reason = "a panic is how a test fails")]
#![allow(clippy::print_stdout, reason = "what was measured is read with --nocapture")]
#![allow(clippy::format_push_string, clippy::format_collect, reason = "the tests make small texts")]

mod bayes;
mod brute;
mod demo;
mod diagnose;
mod dialogue;
mod guide;
mod learn;
mod order;
mod rules;
mod search;
mod small;
mod whimbrel;
