//! Heat on board: what a diesel heater burns and draws, and what it takes to warm water.

use quantity::{Current, Energy, Power, Ratio, Temperature, Time, Volume, VolumeRate};

use crate::cable::{Fault, above_zero, number, zero_or_more};

/// Heat in a litre of diesel, kilowatt-hours. Source: `reference/trade-facts.md` section 8e.
const KILOWATT_HOURS_PER_LITRE: f64 = 10.0;
/// Watt-hours that warm a litre of water by a kelvin: 4186 J/kg K, one kilogram a litre (from memory).
const WATT_HOURS_PER_LITRE_KELVIN: f64 = 4186.0 / 3600.0;

/// Makes a power from a number of BTU an hour (international table), as heaters and burners are rated.
pub fn btu_per_hour(value: f64) -> Power {
    Power::watts(value * 1055.05585262 / 3600.0)
}

/// Returns the heat in some diesel.
pub fn diesel_energy(fuel: Volume) -> Energy {
    Energy::kilowatt_hours(KILOWATT_HOURS_PER_LITRE * fuel.as_litres())
}

/// Returns what a diesel heater burns for some heat into the boat, at an efficiency above 0 and up to 100 %.
///
/// With the common 80 % it is 0.125 litres an hour for each kilowatt.
pub fn heater_burn(heat: Power, efficiency: Ratio) -> Result<VolumeRate, Fault> {
    zero_or_more("The heat", heat.as_watts(), heat)?;
    above_zero("The efficiency of the heater", efficiency.as_plain(), efficiency)?;
    if efficiency > Ratio::percent(100.0) {
        return Err(Fault::TooLarge {
            what: "The efficiency of the heater",
            found: efficiency.to_string(),
            most: "100 %, since no heater gives more than is in the fuel".to_owned(),
        });
    }
    let litres = heat.as_kilowatts() / KILOWATT_HOURS_PER_LITRE / efficiency.as_plain();
    Ok(VolumeRate::litres_per_hour(litres))
}

/// A printed row: what a water heater draws while it gives some heat.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct HeaterRow {
    /// The size that the heater is sold as.
    pub class: Power,
    /// The heat given, BTU an hour, as printed; [`btu_per_hour`] makes it a power.
    pub btu_per_hour: f64,
    /// The current at 12 V.
    pub current: Current,
}

const fn row(class_kilowatts: f64, btu_per_hour: f64, amps: f64) -> HeaterRow {
    HeaterRow { class: Power::kilowatts(class_kilowatts), btu_per_hour, current: Current::amps(amps) }
}

/// What diesel water heaters draw at 12 V while they run, without pumps and fans of the heating itself.
///
/// Source: an installer's table, `reference/trade-facts.md` section 8e.
pub const HEATER_ROWS: [HeaterRow; 11] = [
    row(4.0, 13_700.0, 3.3),
    row(4.0, 11_300.0, 2.9),
    row(4.0, 5_500.0, 1.5),
    row(5.0, 17_000.0, 4.4),
    row(5.0, 8_200.0, 1.9),
    row(10.0, 32_400.0, 4.5),
    row(10.0, 25_600.0, 2.4),
    row(10.0, 10_900.0, 1.4),
    row(10.0, 5_100.0, 1.2),
    row(12.0, 41_000.0, 8.4),
    row(12.0, 4_100.0, 2.4),
];

/// Returns the energy that warms some water; nothing if it is warm enough already.
///
/// The tank's own losses come on top.
pub fn energy_to_warm(water: Volume, from: Temperature, to: Temperature) -> Result<Energy, Fault> {
    zero_or_more("The volume of the water", water.as_litres(), water)?;
    number("The temperature of the water", from.as_celsius())?;
    number("The temperature that is wanted", to.as_celsius())?;
    let step = (to - from).as_kelvin().max(0.0);
    Ok(Energy::watt_hours(WATT_HOURS_PER_LITRE_KELVIN * water.as_litres() * step))
}

/// Returns the time that a heating element takes to warm some water; the tank's own losses come on top.
pub fn time_to_warm(
    water: Volume,
    from: Temperature,
    to: Temperature,
    element: Power,
) -> Result<Time, Fault> {
    above_zero("The power of the heating element", element.as_watts(), element)?;
    Ok(energy_to_warm(water, from, to)? / element)
}
