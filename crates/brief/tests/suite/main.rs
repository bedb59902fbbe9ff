//! The tests, one module a subject.
