//! A reader for sequential ordering problems as TSPLIB writes them.
//!
//! # Source
//! Reinelt, “TSPLIB – a traveling salesman problem library”, ORSA Journal on Computing 3 (1991) 376–384.

use std::fmt;

use super::{OrderError, Stops};

/// Why a text cannot be read.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum ReadError {
    /// There is no section `EDGE_WEIGHT_SECTION`.
    NoTable,
    /// A word of the table is not a whole number from −1 on.
    NotACost(String),
    /// The table does not begin with the number of stops, or has not that many rows and columns.
    WrongSize {
        /// The number of stops that the text names.
        stops: usize,
        /// The number of cells found.
        cells: usize,
    },
    /// The text is read, but what it says cannot be.
    Order(OrderError),
}

impl fmt::Display for ReadError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::NoTable => write!(f, "The text has no section EDGE_WEIGHT_SECTION."),
            Self::NotACost(word) => {
                write!(f, "“{word}” in the table of costs is not a whole number; use −1 or a cost.")
            }
            Self::WrongSize { stops, cells } => {
                write!(f, "The table of costs has {cells} cells, which is not {stops} rows of {stops}.")
            }
            Self::Order(error) => error.fmt(f),
        }
    }
}

impl std::error::Error for ReadError {}

/// Reads an instance of type SOP with an explicit full matrix. A cell of −1 says that the stop of its column comes
/// before the stop of its row.
///
/// # Errors
/// A text without a table, a table of another size or with other words than numbers, rules in a circle.
///
/// ```
/// let text = "EDGE_WEIGHT_SECTION\n3\n0 4 7\n-1 0 2\n-1 -1 0\nEOF\n";
/// let stops = search::order::tsplib::read(text).expect("the text is sound");
/// assert_eq!(stops.cost(&[0, 1, 2]), Ok(6));
/// ```
pub fn read(text: &str) -> Result<Stops, ReadError> {
    let (_, table) = text.split_once("EDGE_WEIGHT_SECTION").ok_or(ReadError::NoTable)?;
    let words = table.split_whitespace().take_while(|word| *word != "EOF");
    let number = |word: &str| {
        let number = word.parse::<i64>().ok().filter(|&number| number >= -1);
        number.ok_or_else(|| ReadError::NotACost(word.to_owned()))
    };
    let numbers = words.map(number).collect::<Result<Vec<i64>, ReadError>>()?;
    let (&count, cells) = numbers.split_first().ok_or(ReadError::WrongSize { stops: 0, cells: 0 })?;
    let count = usize::try_from(count).unwrap_or(0);
    if count.checked_mul(count) != Some(cells.len()) {
        return Err(ReadError::WrongSize { stops: count, cells: cells.len() });
    }
    let before: Vec<(usize, usize)> =
        (0..cells.len()).filter(|&cell| cells[cell] == -1).map(|cell| (cell % count, cell / count)).collect();
    let costs: Vec<u32> = cells.iter().map(|&cost| u32::try_from(cost.max(0)).unwrap_or(u32::MAX)).collect();
    Stops::new(count, &costs, &before).map_err(ReadError::Order)
}
