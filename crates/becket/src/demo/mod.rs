//! The demo base, compiled into the program: invented boats of the invented base Juniper Ledge, and what has happened
//! there until now.

mod charters;
mod teller;
mod workshop;

#[cfg(test)]
mod tests;

use boat::model::Boat;
use jiff::Zoned;
use jiff::tz::TimeZone;

use teller::Teller;
use trace::spares::Keeping;

/// A demo boat.
pub(crate) struct DemoBoat {
    /// Its name on the command line.
    pub(crate) id: &'static str,
    /// Its boat file.
    pub(crate) text: &'static str,
}

/// The demo base's name.
pub(crate) const BASE: &str = "Juniper Ledge";

/// The boats of the demo base.
pub(crate) const BOATS: &[DemoBoat] = &[
    DemoBoat { id: "whimbrel", text: include_str!("../../../../demo/whimbrel.toml") },
    DemoBoat { id: "dunlin", text: include_str!("../../../../demo/dunlin.toml") },
    DemoBoat { id: "turnstone", text: include_str!("../../../../demo/turnstone.toml") },
];

/// The clocks of the demo base.
pub(crate) const ZONE: &str = "America/New_York";

/// The base's prices, as its manager typed them. Judgement: such as a small base may ask.
const PRICES: &str = r#"{"currency":"USD","deposit":"1500.00","fuel":"1.45","fuel_litres":"1","filling":"25.00","gas":"9.00","gas_kilograms":"1","pump_out":"35.00","waste_allowed":"75","hours":"14.00","hours_minutes":"60","free_hours":"20","late":"60.00","late_minutes":"60","grace":"30","cleaning":"120.00","damage_at_most":"1500.00"}"#;

/// How its crews reach it. No telephone number: it would be somebody's.
const REACH: &str = r#""VHF channel 72 by day; by night the number on the card by the chart table""#;

/// What has happened at the demo base until now, so that there is something to look at.
///
/// The boats are those of `files`; of others nothing is told.
pub(crate) fn past(files: &[(String, String)], zone: &TimeZone) -> server::Past {
    past_until(files, &jiff::Timestamp::now().to_zoned(zone.clone()))
}

/// The same until a given moment, by the clocks of the base. The same moment makes the same past.
fn past_until(files: &[(String, String)], now: &Zoned) -> server::Past {
    let mut teller = Teller::new(now);
    let mut boats = Vec::new();
    for (name, text) in files {
        let slug = name.trim_end_matches(".toml");
        // A demo boat whose file can't be read is shown as that by the pages.
        let Some(boat) = boat::compile(name, text).boat else { continue };
        boats.push((slug.to_owned(), boat));
    }
    let models: Vec<&Boat> = boats.iter().map(|(_, boat)| boat).collect();
    let parts = trace::spares::parts(&models, &[], &Keeping::USUAL).unwrap_or_default();
    for (at, (slug, boat)) in boats.iter().enumerate() {
        workshop::spares(&mut teller, slug, boat);
        workshop::upkeep(&mut teller, slug, boat, |line| workshop::takes(&parts, at, line));
        charters::all(&mut teller, slug, boat);
        workshop::defects(&mut teller, slug);
    }
    workshop::stock(&mut teller, &boats, &parts);
    let settings = [("tariff", PRICES), ("reach", REACH)];
    teller.past(settings.map(|(key, json)| (key.to_owned(), json.to_owned())).into())
}
