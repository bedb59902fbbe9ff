//! Names of events, boats, charters, hands and devices. All are handed in; nothing here makes one up.

use std::fmt;
use std::str::FromStr;

use serde::{Deserialize, Deserializer, Serialize, Serializer, de};

use crate::Moment;

/// The name of one event, the same wherever a copy of it lies.
///
/// # Source
/// RFC 9562: 128 bits, written as 32 hexadecimal digits in groups of 8-4-4-4-12. Version 7 (its section 5.7) begins
/// with the milliseconds since 1970 by the clock of the device that made it.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct EventId(u128);

/// A text is not the name of an event: how it must look.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct NotAnId;

impl fmt::Display for NotAnId {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("The name of an event is 32 hexadecimal digits in groups of 8-4-4-4-12.")
    }
}

impl std::error::Error for NotAnId {}

impl EventId {
    /// The event with these 128 bits.
    pub const fn from_bits(bits: u128) -> Self {
        Self(bits)
    }

    /// Its 128 bits.
    pub const fn bits(self) -> u128 {
        self.0
    }

    /// A version 7 name from a clock's milliseconds and 74 bits of chance or counter; what is over is cut off, and a
    /// moment before 1970 loses its sign.
    ///
    /// # Source
    /// RFC 9562, section 5.7: 48 bits of time, 4 of version, 12 of chance, 2 of variant, 62 of chance.
    pub const fn version_7(at: Moment, tail: u128) -> Self {
        let time = (at.milliseconds().unsigned_abs() as u128 & 0xffff_ffff_ffff) << 80;
        let high = (tail >> 62 & 0xfff) << 64;
        Self(time | 7 << 76 | high | 2 << 62 | tail & 0x3fff_ffff_ffff_ffff)
    }

    /// The device's clock when it made the name; nothing if the name is not of version 7.
    pub fn made(self) -> Option<Moment> {
        let version_7 = self.0 >> 76 & 0xf == 7 && self.0 >> 62 & 0b11 == 0b10;
        let milliseconds = i64::try_from(self.0 >> 80).ok()?;
        version_7.then(|| Moment::from_milliseconds(milliseconds))
    }
}

impl fmt::Display for EventId {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let part = |from: u32, digits: u32| self.0 >> from & ((1 << (4 * digits)) - 1);
        write!(f, "{:08x}-{:04x}-{:04x}-", part(96, 8), part(80, 4), part(64, 4))?;
        write!(f, "{:04x}-{:012x}", part(48, 4), part(0, 12))
    }
}

impl fmt::Debug for EventId {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "EventId({self})")
    }
}

/// Reads the standard form, in small or capital letters.
impl FromStr for EventId {
    type Err = NotAnId;

    fn from_str(text: &str) -> Result<Self, NotAnId> {
        let groups: Vec<&str> = text.split('-').collect();
        let shaped = groups.iter().map(|group| group.len()).eq([8, 4, 4, 4, 12]);
        let digits = groups.concat();
        if !shaped || !digits.bytes().all(|byte| byte.is_ascii_hexdigit()) {
            return Err(NotAnId);
        }
        u128::from_str_radix(&digits, 16).map(Self).map_err(|_| NotAnId)
    }
}

impl Serialize for EventId {
    fn serialize<S: Serializer>(&self, to: S) -> Result<S::Ok, S::Error> {
        to.collect_str(self)
    }
}

impl<'de> Deserialize<'de> for EventId {
    fn deserialize<D: Deserializer<'de>>(from: D) -> Result<Self, D::Error> {
        let text = String::deserialize(from)?;
        text.parse().map_err(de::Error::custom)
    }
}

macro_rules! names {
    ($($(#[$doc:meta])* $name:ident;)*) => {$(
        $(#[$doc])*
        #[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
        #[serde(transparent)]
        pub struct $name(String);

        impl $name {
            /// The name written so.
            pub fn new(name: impl Into<String>) -> Self {
                Self(name.into())
            }

            /// As it is written.
            pub fn as_str(&self) -> &str {
                &self.0
            }
        }

        impl fmt::Display for $name {
            fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                f.pad(&self.0)
            }
        }
    )*};
}

names! {
    /// A boat of the base.
    BoatId;
    /// A charter.
    CharterId;
    /// A phone, tablet or computer that makes events.
    DeviceId;
    /// An account of the base's own people.
    AccountId;
    /// The link that a crew was given; it says which crew, not which person.
    LinkId;
    /// The record that holds a person's name; see [`crate::Person`].
    PersonId;
}

/// The SHA-256 of a photo or other file, which is kept elsewhere.
///
/// # Source
/// FIPS 180-4: 256 bits, written here as 64 hexadecimal digits.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct ContentHash([u8; 32]);

impl ContentHash {
    /// The hash with these bytes.
    pub const fn new(bytes: [u8; 32]) -> Self {
        Self(bytes)
    }

    /// Its bytes.
    pub const fn bytes(self) -> [u8; 32] {
        self.0
    }
}

impl fmt::Display for ContentHash {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        self.0.iter().try_for_each(|byte| write!(f, "{byte:02x}"))
    }
}

impl fmt::Debug for ContentHash {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "ContentHash({self})")
    }
}

impl Serialize for ContentHash {
    fn serialize<S: Serializer>(&self, to: S) -> Result<S::Ok, S::Error> {
        to.collect_str(self)
    }
}

impl<'de> Deserialize<'de> for ContentHash {
    fn deserialize<D: Deserializer<'de>>(from: D) -> Result<Self, D::Error> {
        let text = String::deserialize(from)?;
        let wrong = || de::Error::custom("the hash of a file is 64 hexadecimal digits");
        if text.len() != 64 || !text.bytes().all(|byte| byte.is_ascii_hexdigit()) {
            return Err(wrong());
        }
        let mut bytes = [0; 32];
        for (at, byte) in bytes.iter_mut().enumerate() {
            *byte = u8::from_str_radix(&text[2 * at..2 * at + 2], 16).map_err(|_| wrong())?;
        }
        Ok(Self(bytes))
    }
}
