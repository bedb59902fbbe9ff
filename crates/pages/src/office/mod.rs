//! The office: today, charters, defects, upkeep, stock, the month.

mod charter;
mod charters;
mod defects;
mod export;
mod history;
mod import;
mod known;
mod month;
mod service;
mod stage;
mod standing;
mod today;

pub use charter::{change_page, charter_page};
pub use charters::{
    ChartersAsk, PlanForm, charters_listed, charters_page, new_charter_page, overlap_words, typed_plan,
};
pub use defects::{DefectAsk, defect_page, defects_page};
pub use export::{export_page, feed_page};
pub use import::{Fate, ImportAsk, ImportRow, import_page};
pub use known::known_defects;
pub use month::{month_after, month_before, month_of, month_page};
pub use service::{ServiceAsk, service_page};
pub use stage::Hull;
pub use standing::standing_page;
pub use today::{Morning, today_page};
