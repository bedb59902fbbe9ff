//! What the records of a fleet teach of each of its boats.
//!
//! The rate of one fault differs from boat to boat, but boats of one fleet are of a kind: a boat with few records is
//! taken to be much like the others, one with many is judged by its own. Each boat's rate comes from a gamma
//! distribution with the shape `a` and the mean `mu`; both are unknown, with priors, and both are summed over.
//!
//! # Source
//! D. P. Gaver, I. G. O'Muircheartaigh, "Robust empirical Bayes analyses of event rates", Technometrics 29 (1987) 1;
//! E. I. George, U. E. Makov, A. F. M. Smith, "Conjugate likelihood distributions", Scandinavian Journal of Statistics
//! 20 (1993) 147.

use quantity::{Ratio, Time};

use super::demand::{Demand, LEFT_OFF, convolved, mixed};
use super::grid::{Point, points};
use super::rate::inside;
use super::special::{gamma_at, quantile};
use super::{Gamma, Rate};

/// The most pieces told apart in the demand of a fleet.
const MOST_PIECES: usize = 400;

/// What one boat's records say of one fault.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Record {
    /// How often it was seen.
    pub failures: u32,
    /// In how much time in use.
    pub exposure: Time,
}

/// What is thought of how alike boats are, before any record: a gamma distribution of `a`.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Spread {
    /// Its shape; a tenth at least.
    pub shape: f64,
    /// Its mean.
    pub mean: f64,
}

impl Spread {
    /// A weak belief: `a` is about 2, give or take 1.4, so that the rates of boats spread by about as much as they are
    /// themselves, and boats that are quite alike or ten times apart surprise little. Judgement; it keeps off zero,
    /// where most boats would never fail and a few all the time. George, Makov & Smith took an exponential of mean 1.
    pub const WEAK: Self = Self { shape: 2.0, mean: 2.0 };
}

/// What is thought of the fleet's level, before any record.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Level {
    /// The mean `mu` of the boats' rates is known as well as this.
    Mean(Gamma),
    /// The time `a / mu` that a boat's kind is worth has a gamma distribution of this shape and mean. A shape below one
    /// lets that time come so near to nothing that a new boat's expected rate may be infinite; quantiles are sound.
    Worth {
        /// Its shape; a tenth at least.
        shape: f64,
        /// Its mean.
        mean: Time,
    },
}

/// What is thought of a fleet before any record.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Before {
    /// How alike its boats are.
    pub spread: Spread,
    /// How often they fail on the whole.
    pub level: Level,
}

impl Before {
    /// What the class says: a base rate, known about as well as from `weight` failures, and boats spread as is usual.
    pub fn class(base: Rate, weight: f64) -> Self {
        Self { spread: Spread::WEAK, level: Level::Mean(Gamma::about(base, weight)) }
    }
}

/// One of the boats that a question is about.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Whose {
    /// One with a record, by its place.
    Boat(usize),
    /// One of the fleet of which nothing is known yet.
    New,
}

/// What was learned of a fleet: shape and level at many points, each with its weight.
#[derive(Debug, Clone, PartialEq)]
pub struct Fleet {
    records: Vec<Record>,
    points: Vec<Point>,
    level_is_worth: bool,
}

impl Fleet {
    /// Learns from records, of which there may be none.
    ///
    /// The sum over `a` and `mu` goes along the logarithms of both, in even steps, over all that is not less than
    /// 1e-14 as likely as the likeliest. Steps suit how narrow the peak is, and for a smooth peak such sums are good to
    /// many digits: the tests hold them to 1e-9.
    ///
    /// # Panics
    /// If a prior has a shape below a tenth or a mean that is not more than nothing, or an exposure is negative.
    pub fn learn(records: &[Record], before: &Before) -> Self {
        assert!(records.iter().all(|record| record.exposure >= Time::ZERO), "time in use is not negative");
        let level_is_worth = matches!(before.level, Level::Worth { .. });
        Self { records: records.to_vec(), points: points(records, before), level_is_worth }
    }

    /// What is known of one boat's rate.
    ///
    /// # Panics
    /// If there is no such boat.
    pub fn rate(&self, whose: Whose) -> Learned {
        let (failures, hours) = match whose {
            Whose::Boat(at) => (f64::from(self.records[at].failures), self.records[at].exposure.as_hours()),
            Whose::New => (0.0, 0.0),
        };
        let known = |point: &Point| Part {
            weight: point.weight,
            failures: point.shape + failures,
            hours: point.hours + hours,
        };
        Learned { parts: self.points.iter().map(known).collect() }
    }

    /// How many pieces of a part these boats will want, each in its time in use.
    ///
    /// Given shape and level the boats fail independently, so that their demands are summed there; the sums are then
    /// mixed. Boats are thus known to share the fleet's fate, which a sum of the mixed demands would not know.
    ///
    /// # Panics
    /// If there is no such boat.
    pub fn demand(&self, boats: &[(Whose, Time)]) -> Demand {
        let mut mean = 0.0;
        let each: Vec<(Vec<Part>, f64)> = boats
            .iter()
            .map(|(whose, time)| {
                let learned = self.rate(*whose);
                mean += learned.mean().times_in(*time);
                (learned.parts, time.as_hours())
            })
            .collect();
        let mut chance: Vec<f64> = Vec::new();
        for (at, point) in self.points.iter().enumerate() {
            let left_off = LEFT_OFF / point.weight;
            let mut sum = vec![1.0];
            for (parts, hours) in &each {
                let own = mixed(parts[at].failures, hours / parts[at].hours, left_off, MOST_PIECES);
                sum = convolved(&sum, &own, MOST_PIECES);
            }
            chance.resize(chance.len().max(sum.len()), 0.0);
            chance.iter_mut().zip(&sum).for_each(|(to, from)| *to += point.weight * from);
        }
        Demand::of(chance, mean)
    }

    /// The expected shape: how alike the boats are. Four means that rates spread by half of their mean, a quarter by
    /// twice of it.
    pub fn shape(&self) -> f64 {
        self.points.iter().map(|point| point.weight * point.shape).sum()
    }

    /// The time in use that being of this fleet is worth as knowledge of a boat; nothing if the fleet's level was not
    /// given as such a time, for its average hangs then on how the prior of the mean ends at zero.
    pub fn worth(&self) -> Option<Time> {
        let hours: f64 = self.points.iter().map(|point| point.weight * point.hours).sum();
        self.level_is_worth.then(|| Time::hours(hours))
    }

    /// At how many points the sum is taken.
    pub fn points(&self) -> usize {
        self.points.len()
    }
}

/// One point's part in what is known of a rate.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Part {
    weight: f64,
    failures: f64,
    hours: f64,
}

/// What is known of one boat's rate: a mixture of gamma distributions.
#[derive(Debug, Clone, PartialEq)]
pub struct Learned {
    parts: Vec<Part>,
}

impl Learned {
    /// The expected rate.
    pub fn mean(&self) -> Rate {
        Rate::per_hour(self.parts.iter().map(|part| part.weight * part.failures / part.hours).sum())
    }

    /// The rate that the true one does not exceed with this probability.
    ///
    /// # Panics
    /// If that is not between zero and one, both left out.
    pub fn quantile(&self, part: Ratio) -> Rate {
        let start = self.mean();
        let at = |per_hour: f64| {
            let mut sum = (0.0, 0.0, 0.0);
            for part in &self.parts {
                let at = gamma_at(part.failures, part.hours * per_hour);
                sum.0 += part.weight * at.below;
                sum.1 += part.weight * at.above;
                sum.2 += part.weight * at.density;
            }
            sum
        };
        Rate::per_hour(quantile(at, inside(part), start.times_in(Time::hours(1.0))))
    }

    /// The bounds between which the true rate is in nine cases of ten, as often below as above.
    pub fn likely(&self) -> (Rate, Rate) {
        (self.quantile(Ratio::percent(5.0)), self.quantile(Ratio::percent(95.0)))
    }

    /// The chance that there is no failure in a time.
    pub fn spared(&self, time: Time) -> Ratio {
        let spared = |part: &Part| libm::exp(-part.failures * libm::log1p(time.as_hours() / part.hours));
        Ratio::plain(self.parts.iter().map(|part| part.weight * spared(part)).sum())
    }
}
