//! Square codes that a phone's camera reads as an address.

use std::fmt::Write as _;

use fast_qr::QRBuilder;
use maud::{Markup, html};

/// The code of an address, with the quiet border of four modules that ISO/IEC 18004 asks for; nothing if it is too long.
pub(crate) fn code(address: &str) -> Option<Markup> {
    let code = QRBuilder::new(address).build().ok()?;
    let mut path = String::new();
    for y in 0..code.size {
        for x in 0..code.size {
            if code[y][x].value() {
                // Writing into a text does not fail.
                let _ = write!(path, "M{} {}h1v1h-1z", x + 4, y + 4);
            }
        }
    }
    let side = code.size + 8;
    Some(html! {
        svg.qr viewBox=(format!("0 0 {side} {side}")) role="img" aria-label="Square code with the address" {
            rect width=(side) height=(side) fill="#fff" {}
            path d=(path) fill="#000" {}
        }
    })
}
