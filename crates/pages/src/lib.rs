//! The screens as pure functions: HTML from a boat and from what the engines say about her. Nothing here reads
//! files, asks a clock or knows a server; the same pages serve the office, the dock and a phone without signal.
//!
//! Start with [`Moored::read`], which compiles a boat file and works out its proof and slips once; then every page is
//! a function of a [`Site`] and a [`Vessel`]. [`assets`] are the style sheet and the script that the pages ask for.

mod about_page;
mod anchor;
mod assets;
mod authority;
pub mod briefing;
pub mod call;
mod caution;
pub mod crew;
pub mod dock;
mod equipment;
mod error_page;
mod find;
mod findings;
mod fleet;
mod forecast;
mod frame;
mod given;
mod items_page;
mod known;
pub mod links;
mod lists;
mod medium;
mod now;
pub mod office;
mod parts;
pub mod people;
mod plan;
mod plan_page;
mod procedure_page;
mod proof_page;
mod qr;
mod say;
pub mod setup;
mod sign;
mod signs;
mod slips;
mod step;
mod steps_page;
mod subjects;
mod there;
mod tides;
mod vessel;
mod waste;
mod when;
mod words;
mod wrong;

pub use about_page::about_page;
pub use anchor::{AnchorAsk, anchor_page};
pub use assets::{Asset, assets};
pub use caution::cautions_at;
pub use equipment::{EquipmentAsk, equipment_data, equipment_page, equipment_pairs, law_of};
pub use error_page::{broken, failed, not_found, not_taken, not_understood, not_yours};
pub use find::items as find_items;
pub use fleet::{fleet_page, wreck_page};
pub use forecast::{ForecastAsk, Outlook, Reckon, forecast_page};
pub use frame::{Role, Site, Viewer};
pub use items_page::items_page;
pub use known::Known;
pub use lists::{kit_page, upkeep_page};
pub use now::{Asked, NowAsk, now_page};
pub use plan::Sheet;
pub use plan_page::{PlanAsk, plan_page};
pub use procedure_page::procedure_page;
pub use proof_page::proof_page;
pub use sign::sign_in_page;
pub use slips::{SlipsAsk, slips_page};
pub use steps_page::steps_page;
pub use tides::{CLOCKS, Shore, TidesAsk, base_of, tides_data, tides_page};
pub use vessel::{Moored, Vessel, Wreck};
pub use waste::{WasteAsk, waste_data, waste_page};
pub use wrong::{CaseAsk, Refused, WrongAsk, case_json, case_page, guide_page, wrong_page};
