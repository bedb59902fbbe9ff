//! How thick cables are: wire gauges and metric sizes.

use quantity::Area;

/// Square metres in a circular mil: a disc of a thousandth of an inch across.
const CIRCULAR_MIL: f64 = std::f64::consts::FRAC_PI_4 * 25.4e-6 * 25.4e-6;
/// Square metres in a square millimetre.
const SQUARE_MILLIMETRE: f64 = 1e-6;
/// How far a size may seem too thin by rounding alone.
const ROUNDING: f64 = 1e-9;

/// Makes the area of a conductor from a number of circular mils.
pub const fn circular_mils(value: f64) -> Area {
    Area::square_metres(value * CIRCULAR_MIL)
}

/// Returns the area of a conductor as a number of circular mils.
pub const fn as_circular_mils(area: Area) -> f64 {
    area.as_square_metres() / CIRCULAR_MIL
}

/// Makes the area of a conductor from a number of square millimetres.
pub const fn square_millimetres(value: f64) -> Area {
    Area::square_metres(value * SQUARE_MILLIMETRE)
}

/// Returns the area of a conductor as a number of square millimetres.
pub const fn as_square_millimetres(area: Area) -> f64 {
    area.as_square_metres() / SQUARE_MILLIMETRE
}

/// A size of the American wire gauge (AWG).
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Gauge {
    name: &'static str,
    circular_mils: f64,
}

impl Gauge {
    /// The gauge as people write it: "10", "2/0".
    pub const fn name(self) -> &'static str {
        self.name
    }

    /// The area of its copper.
    pub const fn area(self) -> Area {
        circular_mils(self.circular_mils)
    }
}

const fn gauge(name: &'static str, circular_mils: f64) -> Gauge {
    Gauge { name, circular_mils }
}

/// The gauges used on boats, thin to thick.
///
/// Source: standard gauge areas, as in `reference/oracles/voltage_drop_info.json`.
pub const GAUGES: [Gauge; 14] = [
    gauge("18", 1620.0),
    gauge("16", 2580.0),
    gauge("14", 4110.0),
    gauge("12", 6530.0),
    gauge("10", 10380.0),
    gauge("8", 16510.0),
    gauge("6", 26240.0),
    gauge("4", 41740.0),
    gauge("2", 66360.0),
    gauge("1", 83690.0),
    gauge("0", 105600.0),
    gauge("2/0", 133100.0),
    gauge("3/0", 167800.0),
    gauge("4/0", 211600.0),
];

/// The metric sizes used on boats, thin to thick.
///
/// Source: standard metric areas, as in `reference/oracles/scripts/voltage_drop.py`.
pub const METRIC_SIZES: [Area; 14] = [
    square_millimetres(0.75),
    square_millimetres(1.0),
    square_millimetres(1.5),
    square_millimetres(2.5),
    square_millimetres(4.0),
    square_millimetres(6.0),
    square_millimetres(10.0),
    square_millimetres(16.0),
    square_millimetres(25.0),
    square_millimetres(35.0),
    square_millimetres(50.0),
    square_millimetres(70.0),
    square_millimetres(95.0),
    square_millimetres(120.0),
];

/// Returns the thinnest gauge with at least this area; none if the thickest is too thin.
pub fn gauge_for(needed: Area) -> Option<Gauge> {
    GAUGES.into_iter().find(|gauge| enough(gauge.area(), needed))
}

/// Returns the thinnest metric size with at least this area; none if the thickest is too thin.
pub fn metric_for(needed: Area) -> Option<Area> {
    METRIC_SIZES.into_iter().find(|size| enough(*size, needed))
}

fn enough(area: Area, needed: Area) -> bool {
    area * (1.0 + ROUNDING) >= needed
}
