//! What is usual for a chemistry, where a boat file says nothing.

use quantity::{Ratio, Temperature, Voltage};

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

/// What is usual for a chemistry, at 12 V.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Defaults {
    /// The voltage that charging rises to and holds. Lead: battery text in trade-facts section 9c.
    pub bulk: Voltage,
    /// The voltage that keeps it full. Lead: the same.
    pub float: Voltage,
    /// The most that it takes: amperes as a part of its Ah. Lead: trade-facts section 9c (common practice).
    pub accepts: Ratio,
    /// Ah put in for each Ah taken out: trade-facts section 9c (common practice).
    pub in_per_out: f64,
    /// Capacity over 10 hours and over one hour as parts of that over 20 hours (makers' tables, from memory: the
    /// three sets of the reference data have the same shape).
    pub rates: [f64; 2],
    /// Volts lost to the inner resistance at a current of one hour's Ah, when full (common practice: 3 to 6 mΩ of a
    /// 100 Ah battery).
    pub drop: f64,
    /// Part of the capacity lost for each kelvin below 25 °C (common practice).
    pub cold: f64,
    /// Part of the Ah in amperes at which charging counts as done: trade-facts section 9c (bench test, battery text).
    pub tail: f64,
    /// Part of the capacity that goes by itself in a month (common practice).
    pub leaks: f64,
    /// Below this it takes no charge.
    pub least_charge: Option<Temperature>,
}

impl Chemistry {
    /// What is usual.
    pub const fn defaults(self) -> Defaults {
        match self {
            Self::Flooded => Defaults {
                bulk: Voltage::volts(14.6),
                float: Voltage::volts(13.4),
                accepts: Ratio::plain(0.25),
                in_per_out: 1.18,
                rates: [0.91, 0.5],
                drop: 0.5,
                cold: 0.008,
                tail: 0.02,
                leaks: 0.04,
                least_charge: None,
            },
            Self::Agm => Defaults {
                bulk: Voltage::volts(14.4),
                float: Voltage::volts(13.5),
                accepts: Ratio::plain(0.4),
                in_per_out: 1.1,
                rates: [0.94, 0.65],
                drop: 0.35,
                cold: 0.006,
                tail: 0.005,
                leaks: 0.02,
                least_charge: None,
            },
            Self::Gel => Defaults {
                bulk: Voltage::volts(14.1),
                float: Voltage::volts(13.8),
                accepts: Ratio::plain(0.3),
                in_per_out: 1.12,
                rates: [0.93, 0.6],
                drop: 0.45,
                cold: 0.006,
                tail: 0.01,
                leaks: 0.02,
                least_charge: None,
            },
            Self::Lfp => Defaults {
                bulk: Voltage::volts(14.2),
                float: Voltage::volts(13.5),
                accepts: Ratio::plain(0.5),
                in_per_out: 1.05,
                rates: [1.0, 1.0],
                drop: 0.2,
                cold: 0.003,
                tail: 0.03,
                leaks: 0.02,
                least_charge: Some(Temperature::celsius(0.0)),
            },
        }
    }

    /// Whether it is one of the lead batteries.
    pub const fn is_lead(self) -> bool {
        !matches!(self, Self::Lfp)
    }
}
