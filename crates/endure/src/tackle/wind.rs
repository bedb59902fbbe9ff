//! How hard the wind pulls at a boat: a table that designers use, and a drag formula beside it.

use quantity::{Area, Force, Length, Speed};

use super::Hull;
use super::boat::HullKind;
use crate::cable::{Fault, above_zero, zero_or_more};

/// Winds of the table, knots.
const WINDS: [f64; 4] = [15.0, 30.0, 42.0, 60.0];
/// A row of the table: length, beam under sail, beam under power (feet); loads at each wind (pounds-force).
struct Row {
    length: f64,
    sail_beam: f64,
    power_beam: f64,
    loads: [f64; 4],
}

/// Design horizontal loads, ABYC H-40 table 1.
///
/// Source: `reference/trade-facts.md` section 10. The loads of 20 and 25 ft in storm are from memory, that of
/// 20 ft at 60 kn is twice the storm. The beams are from memory: one text quotes the row of 40 ft and 11 ft,
/// and the worked example of 32 ft by 12 ft fits. They can only make a load larger.
const TABLE: [Row; 7] = [
    row(20.0, 7.0, 9.0, [90.0, 360.0, 720.0, 1440.0]),
    row(25.0, 8.0, 10.0, [125.0, 490.0, 980.0, 1960.0]),
    row(30.0, 9.0, 11.0, [175.0, 700.0, 1400.0, 2800.0]),
    row(35.0, 10.0, 13.0, [225.0, 900.0, 1800.0, 3600.0]),
    row(40.0, 11.0, 14.0, [300.0, 1200.0, 2400.0, 4800.0]),
    row(50.0, 13.0, 16.0, [400.0, 1600.0, 3200.0, 6400.0]),
    row(60.0, 15.0, 18.0, [500.0, 2000.0, 4000.0, 8000.0]),
];

const fn row(length: f64, sail_beam: f64, power_beam: f64, loads: [f64; 4]) -> Row {
    Row { length, sail_beam, power_beam, loads }
}

/// What a multihull or a boat of much windage may pull beyond the table: half as much again.
const MULTIHULL: f64 = 1.5;
/// Kilograms in a cubic metre of air at 15 °C (standard atmosphere).
const AIR: f64 = 1.225;
/// Drag coefficient of a hull, deck and rig end on: common practice for blunt shapes.
const DRAG: f64 = 1.2;

/// What the table assumes, for people.
pub const TABLE_ASSUMES: &str = "The load table (ABYC H-40) is of a boat on chain without a snubber, in \
    the open. Loads measured with a snubber or on rope were three to five times less. Plan with the table \
    all the same, since a snubber can part.";

/// How a figure between two rows of the table is taken.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Rows {
    /// In proportion between the two.
    Between,
    /// The larger of the two, as worked examples do.
    NextUp,
}

/// Returns the load of the table at some wind, the larger of the rows of length and of beam.
///
/// Between its winds, and beyond them, it goes with the square of the wind. Below 20 ft the row of 20 ft is
/// taken. None if she is longer than the table, 60 ft. A beam beyond the table takes its last row. For a
/// multihull the row is of the length alone, and half is added.
pub fn table_load(hull: &Hull, wind: Speed, rows: Rows) -> Result<Option<Force>, Fault> {
    hull.check()?;
    zero_or_more("The wind", wind.as_knots(), wind)?;
    let longest = TABLE.map(|row| row.length).into_iter().fold(0.0, f64::max);
    if hull.length.as_feet() > longest * (1.0 + 1e-12) {
        return Ok(None);
    }
    let at_wind = TABLE.map(|row| (row.length, row.sail_beam, row.power_beam, at_wind(&row.loads, wind)));
    let by_length = read(&at_wind.map(|row| (row.0, row.3)), hull.length, rows);
    let pounds = match (hull.kind, hull.beam) {
        (HullKind::Multihull, _) => by_length * MULTIHULL,
        (_, None) => by_length,
        (HullKind::Sail, Some(beam)) => by_length.max(read(&at_wind.map(|row| (row.1, row.3)), beam, rows)),
        (HullKind::Power, Some(beam)) => by_length.max(read(&at_wind.map(|row| (row.2, row.3)), beam, rows)),
    };
    Ok(Some(Force::pounds_force(pounds)))
}

/// Tells whether the beam is beyond the table's last row, so that the load may be more than it says.
pub(crate) fn is_beamier_than_table(hull: &Hull) -> bool {
    let last = &TABLE[TABLE.len() - 1];
    let most = match hull.kind {
        HullKind::Sail => last.sail_beam,
        HullKind::Power => last.power_beam,
        HullKind::Multihull => return false,
    };
    hull.beam.is_some_and(|beam| beam > Length::feet(most))
}

/// The load of one row at some wind, in proportion to the square of the wind between the printed figures.
fn at_wind(loads: &[f64; 4], wind: Speed) -> f64 {
    let square = wind.as_knots() * wind.as_knots();
    let mut before = (0.0, 0.0);
    for (knots, load) in WINDS.into_iter().zip(*loads) {
        let here = (knots * knots, load);
        if square <= here.0 {
            return between(before, here, square);
        }
        before = here;
    }
    before.1 * square / before.0
}

/// The load in a column of the table for some size, in feet.
fn read(column: &[(f64, f64); 7], size: Length, rows: Rows) -> f64 {
    let size = size.as_feet();
    let mut before = (0.0, column[0].1);
    for &here in column {
        // A size given in metres may miss its own row by a rounding.
        if size <= here.0 * (1.0 + 1e-12) {
            return if rows == Rows::NextUp { here.1 } else { between(before, here, size.min(here.0)) };
        }
        before = here;
    }
    before.1
}

fn between(before: (f64, f64), after: (f64, f64), at: f64) -> f64 {
    before.1 + (after.1 - before.1) * (at - before.0) / (after.0 - before.0)
}

/// A load by the drag formula.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Drag {
    /// The load.
    pub load: Force,
    /// The area that the wind meets.
    pub area: Area,
    /// Whether the area is an estimate from length, beam and freeboard.
    pub is_estimate: bool,
}

/// Returns ½ ρ C A v², with air of 1.225 kg/m³ and C = 1.2; none if neither windage nor freeboard and beam
/// are known.
///
/// It leaves out seas, current and shock.
pub fn drag_load(hull: &Hull, wind: Speed) -> Result<Option<Drag>, Fault> {
    hull.check()?;
    zero_or_more("The wind", wind.as_knots(), wind)?;
    let stated = hull.windage.map(|area| (area, false));
    let found = stated.or_else(|| estimated_windage(hull).map(|area| (area, true)));
    let speed = wind.as_metres_per_second();
    Ok(found.map(|(area, is_estimate)| Drag {
        load: Force::newtons(0.5 * AIR * DRAG * area.as_square_metres() * speed * speed),
        area,
        is_estimate,
    }))
}

/// What the wind meets of a boat that sheers about at anchor: a rough estimate, common practice.
///
/// Her ends, `beam × (freeboard + 1 m of coachroof)`, and her side, `length × freeboard`, both at 30° of
/// sheer; and a fiftieth of the length squared for mast and rigging under sail.
fn estimated_windage(hull: &Hull) -> Option<Area> {
    const SINE: f64 = 0.5;
    const COSINE: f64 = 0.866_025_403_784_438_6;
    let (beam, freeboard) = (hull.beam?, hull.freeboard?);
    let ends = beam * (freeboard + Length::metres(1.0)) * COSINE;
    let side = hull.length * freeboard * SINE;
    let rig = if hull.kind == HullKind::Power { Area::ZERO } else { hull.length * hull.length * 0.02 };
    Some(ends + side + rig)
}

/// Checks what a hull is said to be.
pub(crate) fn check(hull: &Hull) -> Result<(), Fault> {
    above_zero("The length of the boat", hull.length.as_metres(), hull.length)?;
    let sizes = [("The beam", hull.beam), ("The freeboard", hull.freeboard), ("The draught", hull.draught)];
    for (what, size) in sizes {
        if let Some(size) = size {
            above_zero(what, size.as_metres(), size)?;
        }
    }
    hull.windage.map_or(Ok(()), |area| above_zero("The windage", area.as_square_metres(), area))
}
