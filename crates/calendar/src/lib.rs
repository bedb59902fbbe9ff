//! Calendars and tables of charters: iCalendar (RFC 5545) and CSV, read and written. Text in, values out.
//!
//! iCalendar is read here and not by a library: those that exist drop the line numbers that a remark needs,
//! and bring a second library of dates and time zones with them.

mod booking;
mod component;
mod event;
mod expand;
mod gather;
mod line;
mod matching;
mod rule;
mod series;
mod table;
mod table_day;
mod value;
mod write;
mod zone;

pub use booking::{Booking, DateOrder, Party, Read, Reading, Remark, Weight, Window};
pub use gather::read_icalendar;
pub use line::{escape, fold, unescape};
pub use matching::{BoatMatch, match_boat};
pub use table::{read_csv, read_csv_with};
pub use write::{FeedEntry, Span, write_csv, write_icalendar};
