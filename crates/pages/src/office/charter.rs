//! One charter.
