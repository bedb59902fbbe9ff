//! The office: today, charters, defects, upkeep, stock, the month.

mod charter;
mod charters;
mod cost;
mod crossed;
mod defects;
mod done;
mod export;
mod history;
mod import;
mod month;
mod service;
mod speech;
mod spent;
pub(crate) mod stage;
pub(crate) mod standing;
mod stock;
mod today;
mod used;

pub use charter::{change_page, charter_page};
pub use charters::{
    ChartersAsk, PlanForm, charters_listed, charters_page, new_charter_page, overlap_words, typed_plan,
};
pub use cost::{YEARS, boat_costs_page, costs_page, month_costs};
pub use crossed::{CrossAsk, crossed_page, may_be_crossed_out};
pub use defects::{DefectAsk, defect_page, defects_page};
pub use done::{DoneAsk, done_page};
pub use export::{export_page, feed_page};
pub use import::{Fate, ImportAsk, ImportRow, import_page};
pub use month::{month_after, month_before, month_of, month_page};
pub use service::service_page;
pub use stage::Hull;
pub use standing::standing_page;
pub use stock::{
    Holding, Learnt, Shelves, StockAsk, count_page, order_page, part_page, stock_data, stock_page,
};
pub use today::{Morning, today_page};
pub use used::{MORE_ROWS, MOST_ROWS};
