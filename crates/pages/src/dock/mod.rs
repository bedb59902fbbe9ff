//! The dock: the walks of check-out and hand-back on a phone, signatures, and the sheets that come of them.

mod called;
mod charges;
mod damaged;
mod entry;
mod figures;
mod flaw;
mod found;
mod glance;
mod handover;
mod judge;
mod lack;
mod picker;
mod sheet;
mod sign;
mod stop_page;
mod stops;
pub mod tariff;
mod tariff_page;
mod walk_page;

pub use called::{CallAsk, called_page};
pub use charges::{ChargesAsk, charges_page, key_of};
pub use damaged::{DamagedAsk, damaged_page};
pub use entry::{Saying, Told};
pub use flaw::Flaw;
pub use found::{FoundAsk, found_page};
pub use handover::{Handover, Names, Walking};
pub use lack::bars;
pub use sheet::sheet_page;
pub use sign::{SignAsk, sign_page};
pub use stop_page::stop_page;
pub use stops::{Stop, stops};
pub use tariff_page::tariff_page;
pub use walk_page::walk_page;
