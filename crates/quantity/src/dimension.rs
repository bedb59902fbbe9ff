//! What kind of thing a quantity measures, in the reader's words.

use std::fmt;

/// What a quantity measures.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Dimension {
    /// Electric charge, such as 230 Ah.
    Charge,
    /// Voltage, such as 12.8 V.
    Voltage,
    /// Electric current, such as 5 A.
    Current,
    /// Power, such as 1.5 kW.
    Power,
    /// Energy, such as 2.4 kWh.
    Energy,
    /// Electric resistance, such as 240 Ω.
    Resistance,
    /// Volume, such as 400 L.
    Volume,
    /// Mass, such as 5 kg.
    Mass,
    /// Length, depth or distance, such as 12.5 m.
    Length,
    /// Area, such as 40 m².
    Area,
    /// A length of time, such as 1 h 30 min.
    Time,
    /// Turning speed of a shaft, such as 1500 rpm.
    RotationalSpeed,
    /// Speed, such as 6 kn.
    Speed,
    /// Temperature on a scale, such as 20 °C.
    Temperature,
    /// Pressure, such as 2.5 bar.
    Pressure,
    /// Force, such as 500 N.
    Force,
    /// Frequency, such as 156.8 MHz.
    Frequency,
    /// Angle, such as 15°.
    Angle,
    /// Volume in a time, such as 3.5 L/h.
    VolumeRate,
    /// Mass in a time, such as 150 g/h.
    MassRate,
    /// A part of a whole or a plain number, such as 50 %.
    Ratio,
}

impl Dimension {
    /// Every dimension, in the order of the unit table.
    pub const ALL: [Self; 21] = [
        Self::Charge,
        Self::Voltage,
        Self::Current,
        Self::Power,
        Self::Energy,
        Self::Resistance,
        Self::Volume,
        Self::Mass,
        Self::Length,
        Self::Area,
        Self::Time,
        Self::RotationalSpeed,
        Self::Speed,
        Self::Temperature,
        Self::Pressure,
        Self::Force,
        Self::Frequency,
        Self::Angle,
        Self::VolumeRate,
        Self::MassRate,
        Self::Ratio,
    ];

    /// The reader's word for it, without an article: "charge", "rate of flow".
    pub const fn name(self) -> &'static str {
        let (_, name) = self.words();
        name
    }

    /// The reader's word with its article: "a charge", "an energy".
    pub fn with_article(self) -> String {
        let (article, name) = self.words();
        format!("{article} {name}")
    }

    /// A quantity of this dimension as it is usually written, for messages and forms.
    pub const fn example(self) -> &'static str {
        match self {
            Self::Charge => "230 Ah",
            Self::Voltage => "12.8 V",
            Self::Current => "5 A",
            Self::Power => "1.5 kW",
            Self::Energy => "2.4 kWh",
            Self::Resistance => "240 Ω",
            Self::Volume => "400 L",
            Self::Mass => "5 kg",
            Self::Length => "12.5 m",
            Self::Area => "40 m²",
            Self::Time => "1 h 30 min",
            Self::RotationalSpeed => "1500 rpm",
            Self::Speed => "6 kn",
            Self::Temperature => "20 °C",
            Self::Pressure => "2.5 bar",
            Self::Force => "500 N",
            Self::Frequency => "50 Hz",
            Self::Angle => "15°",
            Self::VolumeRate => "3.5 L/h",
            Self::MassRate => "150 g/h",
            Self::Ratio => "50 %",
        }
    }

    const fn words(self) -> (&'static str, &'static str) {
        match self {
            Self::Charge => ("a", "charge"),
            Self::Voltage => ("a", "voltage"),
            Self::Current => ("a", "current"),
            Self::Power => ("a", "power"),
            Self::Energy => ("an", "energy"),
            Self::Resistance => ("a", "resistance"),
            Self::Volume => ("a", "volume"),
            Self::Mass => ("a", "weight"),
            Self::Length => ("a", "length"),
            Self::Area => ("an", "area"),
            Self::Time => ("a", "time"),
            Self::RotationalSpeed => ("a", "turning speed"),
            Self::Speed => ("a", "speed"),
            Self::Temperature => ("a", "temperature"),
            Self::Pressure => ("a", "pressure"),
            Self::Force => ("a", "force"),
            Self::Frequency => ("a", "frequency"),
            Self::Angle => ("an", "angle"),
            Self::VolumeRate => ("a", "rate of flow"),
            Self::MassRate => ("a", "rate of use by weight"),
            Self::Ratio => ("a", "plain number or percentage"),
        }
    }
}

impl fmt::Display for Dimension {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.pad(self.name())
    }
}
