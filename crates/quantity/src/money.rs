//! Exact amounts of money: whole minor units (cents) and a currency, never a binary fraction.

use std::fmt;
use std::str::FromStr;

/// An exact amount in one currency.
///
/// ```
/// use quantity::Money;
/// let jacket = Money::parse("95.00 USD")?;
/// assert_eq!(jacket.minor_units(), 9500);
/// assert_eq!((jacket + jacket).map(|sum| sum.to_string()), Some("190.00 USD".to_owned()));
/// assert!((jacket + Money::parse("1 EUR")?).is_none(), "currencies do not mix");
/// # Ok::<(), quantity::MoneyError>(())
/// ```
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub struct Money {
    minor: i64,
    currency: [u8; 3],
}

/// Why a text is not an amount of money; its `Display` says how to mend it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct MoneyError(String);

impl fmt::Display for MoneyError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.0)
    }
}

impl std::error::Error for MoneyError {}

impl Money {
    /// An amount in minor units (cents) of a currency by its three-letter code, if the code is three capitals.
    ///
    /// # Source
    /// Codes and minor units follow ISO 4217 (number of decimals from memory of its table; two where not listed).
    pub fn from_minor(minor: i64, currency: &str) -> Option<Self> {
        let code: [u8; 3] = currency.as_bytes().try_into().ok()?;
        code.iter().all(u8::is_ascii_uppercase).then_some(Self { minor, currency: code })
    }

    /// Reads "95.00 USD".
    pub fn parse(text: &str) -> Result<Self, MoneyError> {
        let wrong = |what: &str| {
            MoneyError(format!("\"{text}\" {what}; write an amount and its currency, such as 95.00 USD."))
        };
        let (amount, code) = text.trim().rsplit_once(' ').ok_or_else(|| wrong("has no currency"))?;
        let amount = amount.trim();
        let zero = Self::from_minor(0, code)
            .ok_or_else(|| wrong("ends in something that is not a currency's three capital letters"))?;
        let (negative, digits) = amount.strip_prefix('-').map_or((false, amount), |rest| (true, rest));
        let (whole, part) = digits.split_once('.').unwrap_or((digits, ""));
        let decimals = zero.decimals();
        if whole.is_empty() || !whole.bytes().chain(part.bytes()).all(|b| b.is_ascii_digit()) {
            return Err(wrong("does not begin with a plain amount"));
        }
        if digits.contains('.') && (part.is_empty() || part.len() > decimals) {
            return Err(wrong(&format!("has the wrong number of decimals: this currency has {decimals}")));
        }
        let minor: i64 = format!("{whole}{part:0<decimals$}").parse().map_err(|_| wrong("is too large"))?;
        Ok(Self { minor: if negative { -minor } else { minor }, ..zero })
    }

    /// The amount in minor units.
    pub fn minor_units(self) -> i64 {
        self.minor
    }

    /// The currency's three-letter code.
    pub fn currency(&self) -> &str {
        std::str::from_utf8(&self.currency).unwrap_or_default()
    }

    /// How many decimals the currency has.
    fn decimals(self) -> usize {
        match &self.currency {
            b"JPY" | b"KRW" | b"ISK" | b"CLP" | b"VND" | b"XOF" | b"XAF" | b"XPF" | b"UGX" | b"PYG" => 0,
            b"BHD" | b"KWD" | b"OMR" | b"TND" | b"JOD" | b"IQD" | b"LYD" => 3,
            _ => 2,
        }
    }

    /// The amount times a count, if it fits.
    pub fn times(self, count: u32) -> Option<Self> {
        Some(Self { minor: self.minor.checked_mul(i64::from(count))?, ..self })
    }
}

/// The sum, if both are in one currency and it fits.
impl std::ops::Add for Money {
    type Output = Option<Self>;
    fn add(self, other: Self) -> Option<Self> {
        let like = self.currency == other.currency;
        like.then(|| self.minor.checked_add(other.minor)).flatten().map(|minor| Self { minor, ..self })
    }
}

impl fmt::Display for Money {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let decimals = self.decimals();
        let digits = format!("{:0>width$}", self.minor.unsigned_abs(), width = decimals + 1);
        let (whole, part) = digits.split_at(digits.len() - decimals);
        let sign = if self.minor < 0 { "-" } else { "" };
        let point = if decimals > 0 { "." } else { "" };
        write!(f, "{sign}{whole}{point}{part} {}", self.currency())
    }
}

impl FromStr for Money {
    type Err = MoneyError;
    fn from_str(text: &str) -> Result<Self, MoneyError> {
        Self::parse(text)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn amounts_are_exact_and_print_as_read() {
        for text in ["0.07 USD", "-12.30 EUR", "1500 JPY", "1.234 KWD", "92233720368547758.07 USD"] {
            assert_eq!(Money::parse(text).map(|money| money.to_string()).as_deref(), Ok(text));
        }
        assert_eq!(Money::parse("95 USD").map(Money::minor_units), Ok(9500));
        assert_eq!(Money::parse("95.5 USD").map(Money::minor_units), Ok(9550));
    }

    #[test]
    fn what_is_not_money_is_refused() {
        for text in [
            "95",
            "95.00",
            "$95",
            "95.001 USD",
            "95. USD",
            "1,5 USD",
            "95.00 usd",
            ".5 USD",
            "9e3 USD",
            "92233720368547758.08 USD",
        ] {
            assert!(Money::parse(text).is_err(), "{text}");
        }
    }
}
