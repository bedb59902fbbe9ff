//! The base's prices: as they are typed, as they are kept, and as charges are worked out by them.

use std::collections::BTreeMap;

use quantity::{Money, Ratio, Time};
use records::{PerMass, PerTime, PerVolume, Tariff};

use super::figures::number;
use super::flaw::Flaw;

/// The fields in which prices are typed and kept, with what each is for and in what it is written.
pub(crate) const FIELDS: [(&str, &str, &str); 17] = [
    ("deposit", "Deposit that the crew leaves", "money"),
    ("fuel", "Diesel that is missing at hand-back", "money"),
    ("fuel_litres", "for so many litres", "count"),
    ("filling", "Filling up, once, if any diesel is missing", "money"),
    ("water", "Water that is missing", "money"),
    ("water_litres", "for so many litres", "count"),
    ("gas", "Gas that is missing", "money"),
    ("gas_kilograms", "for so many kilograms", "count"),
    ("pump_out", "Each waste tank that comes back too full", "money"),
    ("waste_allowed", "How full a waste tank may come back, in per cent", "percent"),
    ("hours", "Engine hours over those that are free", "money"),
    ("hours_minutes", "for so many minutes", "count"),
    ("free_hours", "Free hours of each engine on a charter", "hours"),
    ("late", "Coming back late", "money"),
    ("late_minutes", "for so many minutes", "count"),
    ("grace", "How many minutes late nobody minds", "count"),
    ("cleaning", "Cleaning, on every charter", "money"),
];
/// The last of them, which stands by itself.
pub(crate) const MOST: (&str, &str, &str) =
    ("damage_at_most", "The most that all damage of a charter is charged", "money");

/// The setting under which prices are kept: an object of texts as they were typed, by field.
pub const SETTING: &str = "tariff";

/// The currency when none is set.
pub const CURRENCY: &str = "USD";

/// Prices when none are set: only missing kit and damage are charged.
pub fn unset() -> Option<Tariff> {
    Tariff::bare(CURRENCY)
}

/// Reads prices as they were typed or kept.
///
/// # Errors
/// What is wrong with which field.
pub fn read(typed: &BTreeMap<String, String>) -> Result<Tariff, Vec<Flaw>> {
    let mut reader = Reader { typed, currency: String::new(), flaws: Vec::new() };
    let currency = reader.text("currency").to_ascii_uppercase();
    let Some(bare) = Tariff::bare(&currency) else {
        let words = "Write the currency as its three letters, such as USD.";
        return Err(vec![Flaw::wrong("currency", words)]);
    };
    reader.currency = currency;
    let per = |price: Option<Money>, count: u32| price.map(|price| (price, count));
    let fuel = per(reader.money("fuel"), reader.count("fuel_litres", 1));
    let water = per(reader.money("water"), reader.count("water_litres", 1));
    let gas = per(reader.money("gas"), reader.count("gas_kilograms", 1));
    let hours = per(reader.money("hours"), reader.count("hours_minutes", 60));
    let late = per(reader.money("late"), reader.count("late_minutes", 60));
    let tariff = Tariff {
        deposit: reader.money("deposit"),
        fuel: fuel.map(|(price, litres)| PerVolume { price, litres }),
        filling: reader.money("filling"),
        water: water.map(|(price, litres)| PerVolume { price, litres }),
        gas: gas.map(|(price, kilograms)| PerMass { price, kilograms }),
        pump_out: reader.money("pump_out"),
        waste_allowed: Ratio::percent(reader.figure("waste_allowed", 100.0)),
        hours: hours.map(|(price, minutes)| PerTime { price, minutes }),
        free_hours: Time::hours(reader.figure("free_hours", 10_000.0)),
        late: late.map(|(price, minutes)| PerTime { price, minutes }),
        grace: Time::minutes(reader.figure("grace", 10_000.0)),
        cleaning: reader.money("cleaning"),
        damage_at_most: reader.money(MOST.0),
        ..bare
    };
    if reader.flaws.is_empty() { Ok(tariff) } else { Err(reader.flaws) }
}

struct Reader<'a> {
    typed: &'a BTreeMap<String, String>,
    currency: String,
    flaws: Vec<Flaw>,
}

impl<'a> Reader<'a> {
    fn text(&self, field: &str) -> &'a str {
        self.typed.get(field).map_or("", |text| text.trim())
    }

    fn money(&mut self, field: &str) -> Option<Money> {
        let text = self.text(field);
        if text.is_empty() {
            return None;
        }
        match Money::parse(&with_currency(text, &self.currency)) {
            Ok(money) if money.minor_units() >= 0 && money.currency() == self.currency => Some(money),
            _ => {
                let words = format!(
                    "{text} is no price. Write it such as 95.00; all prices are in {}.",
                    self.currency
                );
                self.flaws.push(Flaw::wrong(field, words));
                None
            }
        }
    }

    /// A whole number of one or more.
    fn count(&mut self, field: &str, usual: u32) -> u32 {
        let text = self.text(field);
        if text.is_empty() {
            return usual;
        }
        match text.parse() {
            Ok(count) if count >= 1 => count,
            _ => {
                self.flaws.push(Flaw::wrong(field, format!("{text} is no whole number of one or more.")));
                usual
            }
        }
    }

    fn figure(&mut self, field: &str, most: f64) -> f64 {
        let text = self.text(field);
        if text.is_empty() {
            return 0.0;
        }
        match number(text) {
            Some(figure) if (0.0..=most).contains(&figure) => figure,
            _ => {
                self.flaws.push(Flaw::wrong(field, format!("{text} is no number from 0 to {most}.")));
                0.0
            }
        }
    }
}

/// An amount with the currency after it, unless it is there.
pub fn with_currency(text: &str, currency: &str) -> String {
    let text = text.trim();
    if text.ends_with(|c: char| c.is_ascii_alphabetic()) {
        text.to_owned()
    } else {
        format!("{text} {currency}")
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn typed(pairs: &[(&str, &str)]) -> BTreeMap<String, String> {
        pairs.iter().map(|(field, text)| ((*field).to_owned(), (*text).to_owned())).collect()
    }

    #[test]
    fn prices_are_exact_and_in_one_currency() {
        let tariff =
            read(&typed(&[("currency", "usd"), ("fuel", "1.85"), ("deposit", "1500"), ("free_hours", "20")]));
        let tariff = tariff.expect("these are prices");
        assert_eq!(
            tariff.fuel.map(|fuel| (fuel.price.to_string(), fuel.litres)),
            Some(("1.85 USD".to_owned(), 1))
        );
        assert_eq!(tariff.deposit.map(Money::minor_units), Some(150_000));
        assert!((tariff.free_hours.as_hours() - 20.0).abs() < 1e-9);
        assert_eq!(tariff.late, None);
    }

    #[test]
    fn what_is_no_price_is_told_by_its_field() {
        let bad = [
            ("currency", "USD"),
            ("fuel", "cheap"),
            ("late", "10 EUR"),
            ("cleaning", "-5"),
            ("fuel_litres", "0"),
            ("waste_allowed", "120"),
        ];
        let flaws = read(&typed(&bad)).expect_err("none of these is a price");
        let fields: Vec<&str> = flaws.iter().map(|flaw| flaw.field.as_str()).collect();
        assert_eq!(fields, ["fuel", "fuel_litres", "late", "waste_allowed", "cleaning"]);
        assert_eq!(read(&typed(&[("currency", "dollars")])).expect_err("no currency")[0].field, "currency");
    }
}
