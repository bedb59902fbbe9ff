//! Peukert's law: the faster a lead-acid battery is emptied, the less it gives.
//!
//! The law holds for one steady current, not for a day of changing loads (Doerffel and Sharkh, J. Power Sources 155
//! (2006) 395), so the reckoning uses the kinetic model; this is for comparing ratings.

use quantity::{Charge, Current, Time};

/// How long a battery feeds a steady current: t = H (C / (H I))^k for capacity C rated over H hours.
///
/// The older form C / I^k, with C the capacity at 1 A, is the same with H = C / 1 A.
pub fn time_to_empty(rated: Charge, over: Time, exponent: f64, drawn: Current) -> Time {
    over * libm::pow(rated / (drawn * over), exponent)
}

/// What a battery gives when emptied evenly over another time than it is rated for.
pub fn capacity(rated: Charge, over: Time, exponent: f64, emptied_over: Time) -> Charge {
    rated * libm::pow(emptied_over / over, 1.0 - 1.0 / exponent)
}

/// The exponent that joins two ratings of one battery, each a capacity and the time over which it was emptied.
pub fn exponent(first: (Charge, Time), second: (Charge, Time)) -> f64 {
    1.0 / (1.0 - libm::log(second.0 / first.0) / libm::log(second.1 / first.1))
}
