//! The risk that telling or showing takes away: how likely a slip is before and after, times what it weighs.
//!
//! # Source
//! The chance of a slip by trained hands is nominal (`operate`, from the THERP handbook). A crew that does not know the
//! boat slips more often: J. C. Williams, "HEART: a proposed method for achieving high reliability in process operation
//! by means of human factors engineering technology", Safety and Reliability 35 (2015, first 1985), gives for
//! *unfamiliarity with a situation which is potentially important but which only occurs infrequently or which is novel*
//! a greatest factor of 17, used as `(17 - 1) * share + 1`. The shares for reading, hearing and doing are judgements
//! that stand here in one place; none was measured on crews. All of it ranks topics; it predicts no accidents.

use boat::model::{SignalWord, Subject};

use crate::choose::Depth;

/// The factor of HEART's first error-producing condition, unfamiliarity.
const UNFAMILIAR: f64 = 17.0;
/// How likely it is that a caution is not minded by trained hands: as an omitted item of a short list that is read,
/// THERP table 20-7.
const NOT_MINDED: f64 = 0.003;

/// How much a crew knows boats of this kind, by their own word.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Default)]
pub enum Experience {
    /// New to boats like this one.
    #[default]
    New,
    /// Have sailed boats like this one.
    Some,
    /// Sail boats like this one often.
    Often,
}

impl Experience {
    /// All of them, from least.
    pub const ALL: [Self; 3] = [Self::New, Self::Some, Self::Often];

    /// The part of unfamiliarity that is left before anything is told. Judgement.
    fn share(self) -> f64 {
        match self {
            Self::New => 1.0,
            Self::Some => 0.5,
            Self::Often => 0.2,
        }
    }
}

/// What the crew is going to do, as far as it changes what they must know.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Default)]
#[allow(clippy::struct_excessive_bools, reason = "each is one question with yes or no")]
pub struct Trip {
    /// They will anchor.
    pub anchoring: bool,
    /// The water or the nights are cold.
    pub cold: bool,
    /// There are children aboard.
    pub children: bool,
    /// They may be out in the dark.
    pub dark: bool,
}

impl Trip {
    /// How much more or less often a topic's danger is met on this trip than on any. Judgement.
    pub(crate) fn meets(self, about: &[Subject]) -> f64 {
        let mut factor = 1.0;
        for subject in about {
            factor *= match subject {
                Subject::Anchor if !self.anchoring => 0.2,
                Subject::ColdWater | Subject::CarbonMonoxide if self.cold => 2.0,
                Subject::Lifejackets | Subject::MovingAbout | Subject::ManOverboard if self.children => 2.0,
                Subject::Lights if self.dark => 3.0,
                _ => 1.0,
            };
        }
        factor
    }

    /// Whether this trip makes a topic one that is always in.
    pub(crate) fn insists(self, about: &[Subject]) -> bool {
        about.iter().any(|subject| match subject {
            Subject::ColdWater => self.cold,
            Subject::Lifejackets | Subject::MovingAbout => self.children,
            Subject::Lights => self.dark,
            _ => false,
        })
    }
}

/// A way in which it goes wrong: how likely by trained hands, and what it weighs.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Risk {
    /// The chance by trained hands, from 0 to 1.
    pub probability: f64,
    /// What it weighs; "does not work" weighs 1.
    pub weight: f64,
}

/// All that goes wrong without a topic.
#[derive(Debug, Clone, PartialEq, Default)]
pub(crate) struct Harm {
    pub(crate) risks: Vec<Risk>,
}

impl Harm {
    /// That what a topic is about does not work for who does not know it: every topic has that at least.
    pub(crate) const NOT_KNOWN: Risk = Risk { probability: NOT_MINDED, weight: 1.0 };

    /// What a caution adds that no slip of the step lists shows: its signal word says how grave it is.
    pub(crate) fn not_minded(word: SignalWord) -> Risk {
        // The weights of `operate`: injury 1000, damage 100; a lesser injury is taken to weigh as damage does.
        let weight = match word {
            SignalWord::Danger | SignalWord::Warning => 1000.0,
            SignalWord::Caution | SignalWord::Notice => 100.0,
        };
        Risk { probability: NOT_MINDED, weight }
    }

    /// The weighted chance of its going wrong.
    pub(crate) fn left(&self, experience: Experience, depth: Depth) -> f64 {
        let share = experience.share() * stays(depth);
        let factor = (UNFAMILIAR - 1.0) * share + 1.0;
        self.risks.iter().map(|risk| (risk.probability * factor).min(1.0) * risk.weight).sum()
    }
}

/// The part of unfamiliarity that stays. Judgement.
fn stays(depth: Depth) -> f64 {
    match depth {
        Depth::Reading => 0.8,
        Depth::Short => 0.6,
        Depth::Told => 0.4,
        Depth::Shown => 0.1,
    }
}

/// A figure that the choice rests on, with where it comes from.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Source {
    /// What it says.
    pub says: &'static str,
    /// Where it comes from.
    pub source: &'static str,
}

/// The figures that the choice rests on, for printing.
pub fn sources() -> [Source; 6] {
    const JUDGED: &str = "judgement; not measured on crews";
    [
        Source {
            says: "A slip by trained hands: the rows of the handbook that are used for step lists.",
            source: "A. D. Swain, H. E. Guttmann, NUREG/CR-1278 (1983), chapter 20",
        },
        Source {
            says: "Who does not know the boat slips up to 17 times as often.",
            source: "J. C. Williams, HEART (1985), first error-producing condition",
        },
        Source {
            says: "Of that, 80 % stay after reading, 60 % after hearing it in short, 40 % after hearing it in full, 10 % \
                   after doing it.",
            source: JUDGED,
        },
        Source {
            says: "Before anything is told, a crew that has sailed boats like her has half of it, one that often does \
                   a fifth.",
            source: JUDGED,
        },
        Source { says: "What a slip weighs: injury 1000, damage 100, does not work 1.", source: JUDGED },
        Source {
            says: "What the crew must do themselves weighs eight times its risk: check-out asks for it all the same.",
            source: JUDGED,
        },
    ]
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Williams's own way of reckoning: a greatest effect of 3 with a proportion of 0.4 multiplies by 1.8. Here it is
    /// 17 with the share that stays.
    #[test]
    fn the_factor_is_that_of_heart() {
        let harm = Harm { risks: vec![Risk { probability: 0.001, weight: 100.0 }] };
        let untold = harm.left(Experience::New, Depth::Reading);
        assert!((untold - 0.1 * (16.0 * 0.8 + 1.0)).abs() < 1e-12, "{untold}");
        let shown = harm.left(Experience::Often, Depth::Shown);
        assert!((shown - 0.1 * (16.0 * 0.02 + 1.0)).abs() < 1e-12, "{shown}");
    }

    #[test]
    fn a_chance_is_never_more_than_one() {
        let harm = Harm { risks: vec![Risk { probability: 0.9, weight: 2.0 }] };
        assert!((harm.left(Experience::New, Depth::Reading) - 2.0).abs() < 1e-12);
    }

    #[test]
    fn the_deeper_the_less_is_left() {
        let harm = Harm { risks: vec![Harm::not_minded(SignalWord::Danger)] };
        for experience in Experience::ALL {
            let left: Vec<f64> = Depth::ALL.iter().map(|depth| harm.left(experience, *depth)).collect();
            assert!(left.windows(2).all(|pair| pair[0] > pair[1]), "{left:?}");
        }
    }

    #[test]
    fn a_trip_without_anchoring_makes_anchoring_matter_less() {
        let trip = Trip::default();
        assert!(trip.meets(&[Subject::Anchor]) < 1.0);
        assert!((Trip { anchoring: true, ..trip }.meets(&[Subject::Anchor]) - 1.0).abs() < 1e-12);
    }
}
