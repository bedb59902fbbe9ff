//! What every dimension's type can do, written once.

/// Defines the type of a dimension: constructors and getters by unit, reading, printing, conversion.
macro_rules! dimension {
    ($(#[$doc:meta])* $name:ident { $($unit:ident: $make:ident, $get:ident, $what:literal;)* }) => {
        $(#[$doc])*
        #[derive(Clone, Copy, PartialEq, PartialOrd)]
        pub struct $name(pub(crate) f64);

        impl $name {
            $(
                #[doc = concat!("Makes a value from a number of ", $what, ".")]
                pub const fn $make(value: f64) -> Self {
                    Self(crate::table::$unit.to_canonical(value))
                }

                #[doc = concat!("Returns the value as a number of ", $what, ".")]
                pub const fn $get(self) -> f64 {
                    crate::table::$unit.reading(self.0)
                }
            )*

            /// The dimension of this type.
            pub const DIMENSION: crate::Dimension = crate::Dimension::$name;

            /// Reads what a person wrote, such as the [example](crate::Dimension::example) of the dimension.
            pub fn parse(text: &str) -> Result<Self, crate::ParseError> {
                crate::parse::parse(text, Some(Self::DIMENSION)).map(|found| Self(found.canonical()))
            }

            /// Returns the value for people, rounded to about four digits, in the units of `system`.
            pub fn display(self, system: crate::System) -> String {
                crate::print::for_people(Self::DIMENSION, self.0, system)
            }

            /// Tells whether the value is a number and not infinite.
            pub const fn is_finite(self) -> bool {
                self.0.is_finite()
            }

            /// Orders any two values, not-a-number last, for sorting.
            pub fn total_cmp(&self, other: &Self) -> std::cmp::Ordering {
                self.0.total_cmp(&other.0)
            }

            /// Returns the lesser of the two.
            #[must_use]
            pub const fn min(self, other: Self) -> Self {
                Self(self.0.min(other.0))
            }

            /// Returns the greater of the two.
            #[must_use]
            pub const fn max(self, other: Self) -> Self {
                Self(self.0.max(other.0))
            }
        }

        /// Prints the value so that it reads back as exactly the same value.
        impl std::fmt::Display for $name {
            fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
                f.pad(&crate::print::exact(Self::DIMENSION, self.0))
            }
        }

        impl std::fmt::Debug for $name {
            fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
                write!(f, "{}({self})", stringify!($name))
            }
        }

        impl std::str::FromStr for $name {
            type Err = crate::ParseError;

            fn from_str(text: &str) -> Result<Self, Self::Err> {
                Self::parse(text)
            }
        }

        impl From<$name> for crate::Quantity {
            fn from(value: $name) -> Self {
                Self::from_canonical($name::DIMENSION, value.0)
            }
        }

        impl TryFrom<crate::Quantity> for $name {
            type Error = crate::WrongDimension;

            fn try_from(value: crate::Quantity) -> Result<Self, Self::Error> {
                value.canonical_as($name::DIMENSION).map(Self)
            }
        }
    };
}

/// Gives a type the arithmetic of an amount: sums, differences, scaling, and the ratio of like to like.
macro_rules! amount {
    ($($name:ident),* $(,)?) => {
        $(
            impl $name {
                /// Nothing of it.
                pub const ZERO: Self = Self(0.0);

                /// Returns the size without the sign.
                #[must_use]
                pub const fn abs(self) -> Self {
                    Self(self.0.abs())
                }

                /// Returns the value held between `least` and `most`; `least` wins if they cross.
                #[must_use]
                pub const fn held_between(self, least: Self, most: Self) -> Self {
                    Self(self.0.min(most.0).max(least.0))
                }
            }

            impl Default for $name {
                fn default() -> Self {
                    Self::ZERO
                }
            }

            impl std::ops::Add for $name {
                type Output = Self;
                fn add(self, other: Self) -> Self {
                    Self(self.0 + other.0)
                }
            }

            impl std::ops::AddAssign for $name {
                fn add_assign(&mut self, other: Self) {
                    self.0 += other.0;
                }
            }

            impl std::ops::Sub for $name {
                type Output = Self;
                fn sub(self, other: Self) -> Self {
                    Self(self.0 - other.0)
                }
            }

            impl std::ops::SubAssign for $name {
                fn sub_assign(&mut self, other: Self) {
                    self.0 -= other.0;
                }
            }

            impl std::ops::Neg for $name {
                type Output = Self;
                fn neg(self) -> Self {
                    Self(-self.0)
                }
            }

            impl std::ops::Mul<f64> for $name {
                type Output = Self;
                fn mul(self, by: f64) -> Self {
                    Self(self.0 * by)
                }
            }

            impl std::ops::Mul<$name> for f64 {
                type Output = $name;
                fn mul(self, value: $name) -> $name {
                    $name(self * value.0)
                }
            }

            impl std::ops::Div<f64> for $name {
                type Output = Self;
                fn div(self, by: f64) -> Self {
                    Self(self.0 / by)
                }
            }

            impl std::ops::Mul<crate::Ratio> for $name {
                type Output = Self;
                fn mul(self, part: crate::Ratio) -> Self {
                    Self(self.0 * part.as_plain())
                }
            }

            /// The ratio of like to like, a plain number.
            impl std::ops::Div for $name {
                type Output = f64;
                fn div(self, other: Self) -> f64 {
                    self.0 / other.0
                }
            }

            impl std::iter::Sum for $name {
                fn sum<I: Iterator<Item = Self>>(values: I) -> Self {
                    values.fold(Self::ZERO, |total, value| total + value)
                }
            }
        )*
    };
}

pub(crate) use {amount, dimension};
