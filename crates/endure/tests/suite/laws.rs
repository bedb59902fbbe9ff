//! Laws that hold for any boat and any trip: nothing is lost on the way, more use never leaves more, drawings repeat.

mod chance;
mod conserve;
mod more;
pub(crate) mod random;
mod steps;
