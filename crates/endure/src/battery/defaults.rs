//! What is usual for a chemistry, where a boat file says nothing.

use quantity::{Charge, Ratio, Temperature, Time, Voltage};

use super::charging::Charging;
use super::kibam::{FitError, Kibam};
use super::rest::Rest;

/// What a battery is made of.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Chemistry {
    /// Lead plates in liquid acid.
    Flooded,
    /// Lead plates, the acid held in glass mat.
    Agm,
    /// Lead plates, the acid set to a gel.
    Gel,
    /// Lithium iron phosphate.
    Lfp,
}

/// What is usual for a chemistry; voltages are of a 12 V bank.
///
/// "9c" is section 9c of reference/trade-facts.md.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Defaults {
    /// The voltage that charging rises to and holds. Flooded, gel: battery text in 9c; AGM: its bench test there;
    /// lithium: 3.55 V a cell (common practice, from memory).
    pub bulk: Voltage,
    /// The voltage that keeps it full. Flooded, AGM, gel: battery text in 9c; lithium: common practice, from memory.
    pub float: Voltage,
    /// The most that it takes: amperes as a part of its Ah. Lead: 9c (common practice); lithium: common practice.
    pub accepts: Ratio,
    /// Ah put in for each Ah taken out: 9c (common practice); gel from memory.
    pub in_per_out: f64,
    /// Capacity emptied over 10 hours, and over one hour, as parts of that over 20 hours: from memory of makers'
    /// tables. The Peukert exponents that they give from 20 to 10 hours and from 20 hours to one lie on both sides
    /// of those of common practice: flooded 1.25, AGM 1.12, gel 1.15.
    pub rates: [f64; 2],
    /// The kinetic constants that follow from `rates`: c, k in one hour, and all that the wells hold as a part of the
    /// 20 hour capacity. Kept because a fit is slow. Lithium: one well.
    pub(super) wells: [f64; 3],
    /// Volts lost to the inner resistance of a full bank at a current of one hour's Ah. Lead: common practice,
    /// 4 to 6 mΩ of 100 Ah (a physics-based cell, reference/oracles/leadacid_pybamm_discharge.csv, has 4.4). Lithium:
    /// from the two rates in reference/oracles/lfp_pybamm_voltage_curve.csv, half discharged.
    pub drop: f64,
    /// How it resists being charged.
    pub charging: Charging,
    /// Part of the capacity lost for each kelvin below 25 °C (common practice, from memory).
    pub cold: f64,
    /// The part of its Ah, in amperes at the charging voltage, below which it counts as full. Flooded, AGM: 9c;
    /// gel: between the two, our judgement; lithium: common practice.
    pub tail: f64,
    /// Part of the capacity that goes by itself in a month at 20 °C (common practice, from memory).
    pub leaks: Ratio,
    /// How much of the charge can be used without harm to the battery. Lead: 9c; lithium: common practice.
    pub usable: Ratio,
    /// Below this it takes no charge: it would be ruined (common practice; makers' manuals differ).
    pub least_charge: Option<Temperature>,
}

impl Chemistry {
    /// All chemistries.
    pub const ALL: [Self; 4] = [Self::Flooded, Self::Agm, Self::Gel, Self::Lfp];

    /// What is usual.
    pub const fn defaults(self) -> Defaults {
        match self {
            Self::Flooded => FLOODED,
            Self::Agm => AGM,
            Self::Gel => GEL,
            Self::Lfp => LFP,
        }
    }

    /// Whether it is one of the lead batteries.
    pub const fn is_lead(self) -> bool {
        !matches!(self, Self::Lfp)
    }

    /// The kinetic constants of a bank that gives this capacity over 20 hours.
    pub fn kibam(self, capacity: Charge) -> Kibam {
        let [c, k, most] = self.defaults().wells;
        Kibam { c, k, most: capacity * most }
    }

    /// Its rest voltages.
    pub(super) const fn rest(self) -> &'static Rest {
        match self {
            Self::Flooded => &FLOODED_REST,
            Self::Agm => &AGM_REST,
            Self::Gel => &GEL_REST,
            Self::Lfp => &LFP_REST,
        }
    }

    /// The kinetic constants found anew from the rated capacities; nothing for lithium, which gives the same at any rate.
    ///
    /// # Errors
    /// If the capacity is not more than nothing.
    pub fn fitted(self, capacity: Charge) -> Result<Option<Kibam>, FitError> {
        let [ten, one] = self.defaults().rates;
        let over = |part: f64, hours: f64| (capacity * part, Time::hours(hours));
        let fit = || Kibam::fit([over(one, 1.0), over(ten, 10.0), over(1.0, 20.0)]);
        self.is_lead().then(fit).transpose()
    }
}

const FLOODED: Defaults = Defaults {
    bulk: Voltage::volts(14.6),
    float: Voltage::volts(13.4),
    accepts: Ratio::plain(0.25),
    in_per_out: 1.18,
    rates: [0.91, 0.5],
    wells: [0.3597413179718848, 0.8102416625584503, 1.1098298899832157],
    drop: 0.6,
    charging: Charging::LEAD,
    cold: 0.008,
    tail: 0.02,
    leaks: Ratio::plain(0.04),
    usable: Ratio::plain(0.5),
    least_charge: None,
};

const AGM: Defaults = Defaults {
    bulk: Voltage::volts(14.4),
    float: Voltage::volts(13.4),
    accepts: Ratio::plain(0.4),
    in_per_out: 1.1,
    rates: [0.94, 0.65],
    wells: [0.5348112260170425, 0.6355007631328777, 1.068435481459116],
    drop: 0.4,
    charging: Charging::LEAD,
    cold: 0.006,
    tail: 0.005,
    leaks: Ratio::plain(0.02),
    usable: Ratio::plain(0.5),
    least_charge: None,
};

const GEL: Defaults = Defaults {
    bulk: Voltage::volts(14.1),
    float: Voltage::volts(13.8),
    accepts: Ratio::plain(0.3),
    in_per_out: 1.12,
    rates: [0.92, 0.6],
    wells: [0.4805044201751924, 0.5631556861059119, 1.095988769628071],
    drop: 0.5,
    charging: Charging::LEAD,
    cold: 0.006,
    tail: 0.01,
    leaks: Ratio::plain(0.02),
    usable: Ratio::plain(0.5),
    least_charge: None,
};

const LFP: Defaults = Defaults {
    bulk: Voltage::volts(14.2),
    float: Voltage::volts(13.5),
    accepts: Ratio::plain(0.5),
    in_per_out: 1.05,
    rates: [1.0, 1.0],
    wells: [1.0, 1.0, 1.0],
    drop: 0.36,
    charging: Charging::LITHIUM,
    cold: 0.003,
    tail: 0.02,
    leaks: Ratio::plain(0.02),
    usable: Ratio::plain(0.8),
    least_charge: Some(Temperature::celsius(0.0)),
};

static FLOODED_REST: Rest = Rest::lead(FLOODED.wells[2]);
static AGM_REST: Rest = Rest::lead(AGM.wells[2]);
static GEL_REST: Rest = Rest::lead(GEL.wells[2]);
static LFP_REST: Rest = Rest::lithium();
