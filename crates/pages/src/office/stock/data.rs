//! The parts as programs read them.

use records::Stock;
use serde_json::{Value, json};

use super::shelf::Shelf;
use super::{StockAsk, reason};

/// All parts by name: how many there are and where, how many to hold, when and how many to order, and why.
///
/// Counts are of pieces or, where the unit says so, of litres; times are milliseconds since 1970. What is not known is
/// null.
pub fn stock_data(ask: &StockAsk<'_>) -> Value {
    let parts: Vec<Value> = ask.shelves.all.iter().map(|shelf| part(ask, shelf)).collect();
    json!({ "parts": parts, "trouble": ask.shelves.trouble })
}

fn part(ask: &StockAsk<'_>, shelf: &Shelf) -> Value {
    let counted = |stock: Option<&Stock>| {
        stock.and_then(|stock| stock.counted.as_ref()).map(|mark| mark.when.milliseconds())
    };
    let aboard: Vec<Value> = shelf
        .aboard
        .iter()
        .map(|(at, aboard)| {
            let boat = &ask.hulls[*at].vessel.slug;
            json!({
                "boat": boat, "part": aboard.name, "count": aboard.count,
                "by_her_file": aboard.told.is_none(), "counted": counted(aboard.told.as_ref()),
            })
        })
        .collect();
    let known = shelf.is_known();
    json!({
        "part": shelf.name,
        "unit": if shelf.litres { "litre" } else { "piece" },
        "ashore": known.then(|| shelf.here()),
        "counted": counted(shelf.ashore.as_ref()),
        "aboard": aboard,
        "hold": shelf.hold(),
        "order_at": shelf.order_at(),
        "order_now": known.then(|| shelf.order()),
        "missing_for_upkeep": shelf.missing(),
        "last_price_of_one": shelf.price_of(1).map(|price| price.to_string()),
        "why": reason::short(ask, shelf),
    })
}
