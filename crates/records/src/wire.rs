//! How quantities and money travel: as the text that people write ("12.6 V", "95.00 USD"), which reads back exactly.

use std::fmt::Display;
use std::str::FromStr;

use serde::{Deserialize, Deserializer, Serializer, de};

pub(crate) fn serialize<T: Display, S: Serializer>(value: &T, to: S) -> Result<S::Ok, S::Error> {
    to.collect_str(value)
}

pub(crate) fn deserialize<'de, T, D>(from: D) -> Result<T, D::Error>
where
    T: FromStr<Err: Display>,
    D: Deserializer<'de>,
{
    let text = String::deserialize(from)?;
    text.parse().map_err(de::Error::custom)
}

/// The same for what may be absent.
pub(crate) mod maybe {
    use super::{Deserialize, Deserializer, Display, FromStr, Serializer, de};

    #[expect(clippy::ref_option, reason = "serde hands a field over as a reference to it")]
    pub(crate) fn serialize<T: Display, S: Serializer>(value: &Option<T>, to: S) -> Result<S::Ok, S::Error> {
        match value {
            Some(value) => to.collect_str(value),
            None => to.serialize_none(),
        }
    }

    pub(crate) fn deserialize<'de, T, D>(from: D) -> Result<Option<T>, D::Error>
    where
        T: FromStr<Err: Display>,
        D: Deserializer<'de>,
    {
        let text = Option::<String>::deserialize(from)?;
        text.map(|text| text.parse().map_err(de::Error::custom)).transpose()
    }
}
