//! The parts in stock: how many there are, what to order and why, where it is told that they were counted, came or went.

mod count;
mod data;
mod list;
mod order;
mod part;
mod reason;
mod shelf;

pub use count::count_page;
pub use data::stock_data;
pub use list::stock_page;
pub use order::order_page;
pub use part::part_page;
pub(crate) use shelf::Shelf;
pub use shelf::{Holding, Learnt, Shelves};

use super::stage::Hull;
use crate::dock::{Flaw, Names};

/// The parts, and a form that was sent and not taken.
#[derive(Debug, Clone, Copy)]
pub struct StockAsk<'a> {
    /// All boats whose files can be read.
    pub hulls: &'a [Hull<'a>],
    /// Their parts.
    pub shelves: &'a Shelves,
    /// What people are called.
    pub names: &'a Names,
    /// The fields of that form.
    pub typed: &'a [(String, String)],
    /// What is wrong with them.
    pub flaws: &'a [Flaw],
}
