//! The kinetic model's constants from three rated capacities.

use quantity::{Charge, Time};

use super::Kibam;

/// Why no constants could be found.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum FitError {
    /// A capacity or a time is nothing, negative or no number.
    NotPositive,
    /// The times do not grow, or the capacities do not grow with them.
    NotRising,
    /// The capacities rise in a way in which two wells do not behave.
    NoSuchWells,
}

impl std::fmt::Display for FitError {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(match self {
            Self::NotPositive => {
                "A rated capacity and its time must be more than nothing. Copy them from the maker's table."
            }
            Self::NotRising => {
                "A lead-acid battery gives more the slower it is emptied, but these capacities do not grow with time. \
                 Check that each capacity stands with its own time, the shortest first."
            }
            Self::NoSuchWells => {
                "No lead-acid battery behaves as these three capacities say. Look at the maker's table again, and take \
                 capacities that were measured to the same end voltage."
            }
        })
    }
}

impl std::error::Error for FitError {}

/// The rates between which k is sought, in one hour: from weeks to minutes.
const SLOWEST: f64 = 0.001;
const FASTEST: f64 = 20.0;
const LOOKS: u16 = 400;

pub(super) fn fit(rated: [(Charge, Time); 3]) -> Result<Kibam, FitError> {
    let rated = rated.map(|(charge, time)| (charge.as_amp_hours(), time.as_hours()));
    let sound = |value: f64| value.is_finite() && value > 0.0;
    if !rated.iter().all(|(charge, time)| sound(*charge) && sound(*time)) {
        return Err(FitError::NotPositive);
    }
    let [short, middle, long] = rated;
    let rising = short.0 < middle.0 && middle.0 < long.0 && short.1 < middle.1 && middle.1 < long.1;
    if !rising {
        return Err(FitError::NotRising);
    }
    let at_hand = |k: f64| share(short.0 / long.0, short.1, long.1, k);
    let gap = |k: f64| at_hand(k) - share(middle.0 / long.0, middle.1, long.1, k);
    let k = root(at_hand, gap).ok_or(FitError::NoSuchWells)?;
    let (c, t) = (at_hand(k), long.1);
    let drained = -libm::expm1(-k * t);
    let most = long.0 * (drained * (1.0 - c) + k * c * t) / (k * c * t);
    Ok(Kibam { c, k, most: Charge::amp_hours(most) })
}

/// The share c at which the capacity over the short time has this ratio to that over the long one, for some k.
fn share(ratio: f64, short: f64, long: f64, k: f64) -> f64 {
    let a = ratio * -libm::expm1(-k * short) * long + libm::expm1(-k * long) * short;
    a / (a - k * ratio * short * long + k * short * long)
}

/// The rate at which both ratios ask for the same share, one that a battery can have.
fn root(at_hand: impl Fn(f64) -> f64, gap: impl Fn(f64) -> f64) -> Option<f64> {
    let rate =
        |look: u16| SLOWEST * libm::exp(f64::from(look) / f64::from(LOOKS) * libm::log(FASTEST / SLOWEST));
    let sound = |k: f64| at_hand(k) > 0.0 && at_hand(k) < 1.0;
    (1..=LOOKS)
        .map(|look| (rate(look - 1), rate(look)))
        .find(|&(low, high)| sound(low) && sound(high) && gap(low) * gap(high) <= 0.0)
        .map(|(low, high)| bisect(&gap, low, high))
}

fn bisect(gap: &impl Fn(f64) -> f64, mut low: f64, mut high: f64) -> f64 {
    let rising = gap(low) < gap(high);
    for _ in 0..100 {
        let middle = f64::midpoint(low, high);
        if (gap(middle) < 0.0) == rising {
            low = middle;
        } else {
            high = middle;
        }
    }
    f64::midpoint(low, high)
}
