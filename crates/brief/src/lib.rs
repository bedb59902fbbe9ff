//! The briefing: what a crew must be told and shown, in which order, in the time there is.
