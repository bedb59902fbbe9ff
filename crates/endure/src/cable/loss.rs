//! The voltage that a cable takes, and the size that keeps it small.

use quantity::{Area, Current, Length, Resistance, System, Voltage};

use super::fault::{Fault, above_zero, number, zero_or_more};
use super::size::{as_square_millimetres, circular_mils};

/// Ohms of a foot of copper of one circular mil: the constant of the circular-mil form.
const CIRCULAR_MIL_CONSTANT: f64 = 10.75;
/// Ohms of a metre of copper of one square millimetre: the constant of the metric form.
const METRIC_CONSTANT: f64 = 0.0164;

/// What must also be looked at before a cable is chosen.
pub const HEAT_CAUTION: &str = "These sizes keep the voltage up. They do not say how much current the \
    cable can carry without growing too hot. Look that up as well, take the thicker of the two, and fit a \
    fuse that guards the thinnest part.";

/// Which of the two usual forms of the law is used.
///
/// Source: `reference/oracles/voltage_drop_info.json`.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Form {
    /// Circular mils = 10.75 × amps × feet ÷ volts, as in ABYC E-11. The more cautious of the two.
    CircularMils,
    /// Volts = 0.0164 × amps × metres ÷ square millimetres.
    Metric,
}

impl Form {
    /// Ohms of a metre of copper of one square metre.
    fn resistivity(self) -> f64 {
        match self {
            Self::CircularMils => {
                CIRCULAR_MIL_CONSTANT * circular_mils(1.0).as_square_metres() / Length::feet(1.0).as_metres()
            }
            Self::Metric => METRIC_CONSTANT * 1e-6,
        }
    }
}

/// How much of its voltage a circuit may lose.
///
/// Source: the two printed tables in `reference/oracles/voltage_drop_12v.csv`.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Circuit {
    /// What must work: navigation lights, radio, bilge pump, and feeders of panels. 3 %.
    Critical,
    /// What may work a little less well: cabin lights. 10 %.
    Other,
}

impl Circuit {
    /// The most that the cable may take, of a system of this nominal voltage.
    pub fn permitted_drop(self, nominal: Voltage) -> Voltage {
        nominal * if self == Self::Critical { 0.03 } else { 0.10 }
    }
}

/// Returns the resistance of a cable; `round_trip` is its length there and back.
pub fn resistance(form: Form, round_trip: Length, area: Area) -> Result<Resistance, Fault> {
    zero_or_more("The length of the cable", round_trip.as_metres(), round_trip)?;
    let thickness = as_square_millimetres(area);
    above_zero("The thickness of the cable", thickness, format_args!("{thickness} mm²"))?;
    Ok(Resistance::ohms(form.resistivity() * round_trip.as_metres() / area.as_square_metres()))
}

/// Returns the voltage that a cable takes; `round_trip` is its length there and back.
pub fn drop(form: Form, current: Current, round_trip: Length, area: Area) -> Result<Voltage, Fault> {
    zero_or_more("The current", current.as_amps(), current)?;
    Ok(current * resistance(form, round_trip, area)?)
}

/// Returns how much copper keeps the loss down to `permitted`; `round_trip` is the length there and back.
///
/// [`gauge_for`](super::gauge_for) and [`metric_for`](super::metric_for) name the size; read
/// [`HEAT_CAUTION`] before one is bought.
pub fn area_needed(
    form: Form,
    current: Current,
    round_trip: Length,
    permitted: Voltage,
) -> Result<Area, Fault> {
    zero_or_more("The current", current.as_amps(), current)?;
    zero_or_more("The length of the cable", round_trip.as_metres(), round_trip)?;
    above_zero("The voltage that the cable may take", permitted.as_volts(), permitted)?;
    Ok(Area::square_metres(
        form.resistivity() * current.as_amps() * round_trip.as_metres() / permitted.as_volts(),
    ))
}

/// Returns the voltage that arrives at the far end of a cable, by the more cautious form.
///
/// `round_trip` is the length there and back. A cable that would take all the voltage is refused, since
/// that current cannot flow. Bad joints take more and are not reckoned with.
pub fn at_load(source: Voltage, current: Current, round_trip: Length, area: Area) -> Result<Voltage, Fault> {
    above_zero("The voltage of the source", source.as_volts(), source)?;
    let lost = drop(Form::CircularMils, current, round_trip, area)?;
    if lost < source {
        return Ok(source - lost);
    }
    let most = source / resistance(Form::CircularMils, round_trip, area)?;
    let most = format!("{}, which is all that this cable could pass", most.display(System::Metric));
    Err(Fault::TooLarge { what: "The current", found: current.to_string(), most })
}

/// Returns what the source reads while `load` arrives at the far end, by the more cautious form.
///
/// With the voltage at which a thing cuts out, this is what the bank still reads at that moment.
pub fn at_source(load: Voltage, current: Current, round_trip: Length, area: Area) -> Result<Voltage, Fault> {
    number("The voltage at the load", load.as_volts())?;
    Ok(load + drop(Form::CircularMils, current, round_trip, area)?)
}

/// Says why `thing` ("the refrigerator") cuts out while the bank still reads well.
///
/// Source: a canal boater's account of a refrigerator and a heater that cut out at about 10.6 V at their
/// end of the cable, `reference/trade-facts.md` section 9c.
pub fn say_cut_out(
    thing: &str,
    cut_out: Voltage,
    current: Current,
    round_trip: Length,
    area: Area,
) -> Result<String, Fault> {
    let bank = at_source(cut_out, current, round_trip, area)?;
    let show = |voltage: Voltage| voltage.display(System::Metric);
    Ok(format!(
        "At {}, the cable to {thing} takes {}. When {thing} cuts out at {} at its end of the cable, the \
         bank still reads {}. Look for a thin cable or a bad joint before you blame the bank.",
        current.display(System::Metric),
        show(bank - cut_out),
        show(cut_out),
        show(bank),
    ))
}
