//! The office: today, charters, defects, upkeep, stock, the month.
