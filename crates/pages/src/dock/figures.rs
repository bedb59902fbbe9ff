//! Meters and what they show, in words and figures.

use boat::model::{Boat, Store, StoreKind};
use quantity::{System, Time, Volume};
use records::{Level, Meter, Reading};

use super::handover::Handover;
use crate::words;

/// The name of a meter's field in forms, and of its place on the page.
pub(crate) fn meter_key(meter: &Meter) -> String {
    match meter {
        Meter::EngineHours(id) => format!("hours.{id}"),
        Meter::Tank(id) => format!("tank.{id}"),
        Meter::Voltage(id) => format!("volts.{id}"),
        Meter::Charge(id) => format!("charge.{id}"),
        Meter::Gas(id) => format!("gas.{id}"),
    }
}

/// What a meter tells, as a heading.
pub(crate) fn meter_name(over: &Handover<'_>, meter: &Meter) -> String {
    let store = |id: &str| {
        let found = store(over.boat(), id);
        found.map_or_else(|| format!("“{id}” (no longer in the boat file)"), |store| store.name.clone())
    };
    match meter {
        Meter::EngineHours(id) => format!("{}: hours", over.item(id)),
        Meter::Tank(id) => format!("{}: level", store(id)),
        Meter::Voltage(id) => format!("{}: voltage", store(id)),
        Meter::Charge(id) => format!("{}: charge", store(id)),
        Meter::Gas(id) => format!("{}: weight of gas left", store(id)),
    }
}

/// What a meter is read in.
pub(crate) fn unit(meter: &Meter) -> &'static str {
    match meter {
        Meter::EngineHours(_) => "hours",
        Meter::Tank(_) | Meter::Charge(_) => "%",
        Meter::Voltage(_) => "V",
        Meter::Gas(_) => "kg",
    }
}

/// The store of that name.
pub(crate) fn store<'b>(boat: &'b Boat, id: &str) -> Option<&'b Store> {
    boat.stores.iter().find(|store| store.id == id)
}

/// What all tanks of a store hold.
pub(crate) fn holds(boat: &Boat, id: &str) -> Option<Volume> {
    let store = store(boat, id)?;
    match store.kind {
        StoreKind::Tank(_, each) => Some(each * f64::from(store.count)),
        StoreKind::Battery(_) | StoreKind::Bottle(_) => None,
    }
}

/// What a meter showed: “1,234.5 h”, “62 % (about 124 L)”, “12.6 V”.
pub(crate) fn reading(boat: &Boat, reading: &Reading) -> String {
    match reading {
        Reading::EngineHours { hours, .. } => self::hours(*hours),
        Reading::Tank { store, level: Level::Part(part) } => {
            let percent = words::trimmed(part.as_percent());
            match holds(boat, store) {
                Some(whole) => format!("{percent} % (about {})", (whole * *part).display(System::Metric)),
                None => format!("{percent} %"),
            }
        }
        Reading::Tank { level: Level::Volume(volume), .. } => volume.display(System::Metric),
        Reading::Voltage { voltage, .. } => format!("{} V", words::trimmed(voltage.as_volts())),
        Reading::Charge { charge, .. } => format!("{} %", words::trimmed(charge.as_percent())),
        Reading::Gas { mass, .. } => format!("{} kg", words::trimmed(mass.as_kilograms())),
    }
}

/// The number of a reading as it is typed, with its unit.
pub(crate) fn typed(reading: &Reading) -> (String, &'static str) {
    match reading {
        Reading::EngineHours { hours, .. } => (words::trimmed(hours.as_hours()), "hours"),
        Reading::Tank { level: Level::Part(part), .. } => (words::trimmed(part.as_percent()), "%"),
        Reading::Tank { level: Level::Volume(volume), .. } => (words::trimmed(volume.as_litres()), "L"),
        Reading::Voltage { voltage, .. } => (words::trimmed(voltage.as_volts()), "V"),
        Reading::Charge { charge, .. } => (words::trimmed(charge.as_percent()), "%"),
        Reading::Gas { mass, .. } => (words::trimmed(mass.as_kilograms()), "kg"),
    }
}

/// Hours of an engine as its meter shows them: “1,234.5 h”.
pub(crate) fn hours(hours: Time) -> String {
    let tenths = (hours.as_hours() * 10.0).round();
    let whole = grouped(tenths.abs() / 10.0);
    let sign = if tenths < 0.0 { "-" } else { "" };
    format!("{sign}{whole}.{:.0} h", tenths.abs() % 10.0)
}

/// The whole part of a number with its thousands apart.
fn grouped(number: f64) -> String {
    let digits = format!("{:.0}", number.floor());
    digits.parse().map_or(digits, words::grouped)
}

/// A number as people type it, with or without its unit: “1,234.5”, “12,6”, “85 L”. Nothing if it is none.
pub(crate) fn number(text: &str) -> Option<f64> {
    let plain: String =
        text.chars().filter(|c| !c.is_whitespace() && *c != '\u{2019}' && *c != '\'').collect();
    let plain = plain.trim_end_matches(|c: char| c.is_alphabetic() || c == '%');
    let comma = plain.rsplit_once(',');
    // A comma before exactly three digits, or before a point, keeps thousands apart; else it is a decimal comma.
    let plain = match comma {
        Some((_, after)) if plain.contains('.') || after.len() == 3 => plain.replace(',', ""),
        Some(_) => plain.replace(',', "."),
        None => plain.to_owned(),
    };
    let shaped = plain.chars().all(|c| c.is_ascii_digit() || matches!(c, '.' | '-' | '+'));
    plain.parse().ok().filter(|number: &f64| shaped && number.is_finite())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_as_people_type_them() {
        for (text, number) in [
            ("1,234.5", 1234.5),
            ("12,6", 12.6),
            ("1,234", 1234.0),
            (" 85 L", 85.0),
            ("62%", 62.0),
            ("0", 0.0),
        ] {
            let read = self::number(text);
            assert!(read.is_some_and(|read| (read - number).abs() < 1e-9), "{text}: {read:?}");
        }
        for text in ["", "full", "1e9", "inf", "3/4", "--2", "12:30"] {
            assert_eq!(number(text), None, "{text}");
        }
    }

    #[test]
    fn hours_read_as_on_the_meter() {
        assert_eq!(hours(Time::hours(1234.5)), "1,234.5 h");
        assert_eq!(hours(Time::hours(0.96)), "1.0 h");
        assert_eq!(hours(Time::hours(999.96)), "1,000.0 h");
        assert_eq!(hours(Time::hours(-2.3)), "-2.3 h");
    }
}
