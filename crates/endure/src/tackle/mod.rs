//! Ground tackle: what a crew lets out at anchor, what it then can bear, and how far she swings.
//!
//! ```
//! use endure::tackle::{Berth, ChainWeight, Hull, HullKind, Tackle};
//! use quantity::{Length, Speed, System};
//!
//! let tackle = Tackle {
//!     chain: Some(Length::metres(40.0)),
//!     chain_weight: Some(ChainWeight::nominal(Length::millimetres(10.0))?),
//!     rope: Some(Length::metres(30.0)),
//!     bow_height: Length::metres(1.4),
//! };
//! let mut berth = Berth::new(Length::metres(4.0), Speed::knots(18.0));
//! berth.rise = Length::metres(2.6);
//! let advice = tackle.advise(&Hull::new(HullKind::Sail, Length::metres(11.5)), &berth)?;
//! assert_eq!(advice.let_out.display(System::Metric), "56 m");
//! assert_eq!(advice.short_by(), None);
//! # Ok::<(), endure::tackle::Fault>(())
//! ```
//!
//! A figure that is not known stays unknown, and the advice says so.

mod advice;
mod advise;
mod boat;
mod cautions;
mod finding;
mod of_boat;
mod rode;
mod scope;
mod weight;
mod wind;
mod windlass;

pub use crate::cable::Fault;
pub use advice::{Advice, Enough, Loads, Swing};
pub use advise::Tackle;
pub use boat::{Berth, Bottom, Hull, HullKind};
pub use cautions::{CAUTIONS, Caution, HOLDING_UNKNOWN, OVERLAP, Stage};
pub use finding::Finding;
pub use of_boat::Unready;
pub use rode::{Lie, Rode, least_chain, straight_reach};
pub use scope::{
    Conditions, LEAST_CHAIN_BEFORE_ROPE, RodeKind, Rule, STEEPEST_PULL, height, rode_for_pull, rules, scope,
    straight_scope,
};
pub use weight::ChainWeight;
pub use wind::{Drag, Rows, TABLE_ASSUMES, drag_load, table_load};
pub use windlass::{Haul, WINDLASS_RULES, Windlass, least_work};
