//! Which parts can be at fault together: conflicts and minimal diagnoses.
//!
//! A *conflict* is a set of parts that can't all be sound, given what was seen. A *diagnosis* is a set of parts whose
//! being at fault can explain it, all others being sound; it is minimal if no smaller part of it will do. The minimal
//! diagnoses are the minimal sets that hit every conflict.
//!
//! The search keeps the minimal sets that hit the conflicts found so far. One that the model does not accept has a new
//! conflict outside itself, which is shrunk part by part and taken in; once all are accepted they are all the minimal
//! diagnoses: any other diagnosis hits all conflicts, so holds one of them. What was found is then all the minimal
//! conflicts too, since those are the minimal sets that hit every minimal diagnosis.
//!
//! # Source
//! R. Reiter, "A theory of diagnosis from first principles", Artificial Intelligence 32 (1987) 57, theorem 4.4 for the
//! duality; the search does without Reiter's tree, whose pruning R. Greiner et al. had to correct (Artificial
//! Intelligence 41 (1989) 79). Keeping hitting sets one conflict at a time: C. Berge, "Hypergraphs", 1989, ch. 2.

use crate::infer::{Impossible, Network};

/// A part of what is diagnosed, by its place.
pub type Part = usize;

/// How far to search.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Bounds {
    /// The most parts at fault together.
    pub together: usize,
    /// The most questions put to the model.
    pub questions: usize,
}

impl Bounds {
    /// No bounds: all minimal diagnoses and all minimal conflicts.
    pub const NONE: Self = Self { together: usize::MAX, questions: usize::MAX };
}

/// What can be at fault.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Diagnosed {
    /// Minimal conflicts, by size, then by part. They are all of them if the diagnoses are not bounded in size and
    /// `complete`; otherwise those that were met.
    pub conflicts: Vec<Vec<Part>>,
    /// Minimal diagnoses up to the bound, by size, then by part. The one without a part says that nothing is wrong.
    pub diagnoses: Vec<Vec<Part>>,
    /// Whether these are all the minimal diagnoses up to the bounded size: the questions sufficed.
    pub complete: bool,
    /// How many questions were put to the model.
    pub asked: usize,
}

/// Finds the minimal conflicts and diagnoses of so many parts.
///
/// The model is asked whether what was seen can be, if nothing is assumed of the parts marked as suspected and all
/// others are sound. It must be exact, and suspecting more can only make more possible.
///
/// If what was seen can't be even with all parts suspected, the empty set is a conflict and there is no diagnosis.
pub fn diagnose(parts: usize, bounds: Bounds, possible: impl FnMut(&[bool]) -> bool) -> Diagnosed {
    let mut model = Model { possible, asked: 0, most: bounds.questions, suspected: vec![false; parts] };
    let mut conflicts: Vec<Vec<Part>> = Vec::new();
    let mut hitting: Vec<Vec<Part>> = vec![Vec::new()];
    let mut accepted: Vec<Vec<Part>> = Vec::new();
    let mut complete = true;
    // The shortest first, so that questions that run out leave the likeliest found.
    while let Some(at) = (0..hitting.len()).min_by_key(|at| hitting[*at].len()) {
        let next = hitting.swap_remove(at);
        match model.conflict_outside(&next) {
            None => {
                complete = false;
                break;
            }
            Some(Outside::Nothing) => accepted.push(next),
            Some(Outside::Conflict(conflict)) => {
                // Accepted sets hit every conflict, so only the open ones can grow.
                hitting.push(next);
                hitting = hit_also(&hitting, &accepted, &conflict, bounds.together);
                conflicts.push(conflict);
            }
        }
    }
    sort(&mut conflicts);
    sort(&mut accepted);
    Diagnosed { conflicts, diagnoses: accepted, complete, asked: model.asked }
}

/// The minimal sets, of at most so many parts, that have a part of each of these.
pub fn hitting_sets(sets: &[Vec<Part>], together: usize) -> Vec<Vec<Part>> {
    let mut hitting = vec![Vec::new()];
    for set in sets {
        hitting = hit_also(&hitting, &[], set, together);
    }
    sort(&mut hitting);
    hitting
}

/// The minimal hitting sets when one more set must be hit, without those in `others`, which hit it already.
///
/// A set that misses is grown by one part in each way; what then holds a set that did not need to grow is not minimal.
/// Two grown ones can't hold each other: without their new parts, neither held the other before.
fn hit_also(hitting: &[Vec<Part>], others: &[Vec<Part>], also: &[Part], together: usize) -> Vec<Vec<Part>> {
    let hits = |set: &Vec<Part>| set.iter().any(|part| also.contains(part));
    let (mut out, missing): (Vec<Vec<Part>>, Vec<Vec<Part>>) = hitting.iter().cloned().partition(hits);
    let kept = out.len();
    for set in missing.iter().filter(|set| set.len() < together) {
        for part in also {
            let mut grown = set.clone();
            grown.insert(grown.partition_point(|other| other < part), *part);
            if !out[..kept].iter().chain(others).any(|small| holds(&grown, small)) {
                out.push(grown);
            }
        }
    }
    out
}

/// Whether all parts of `small` are in `large`.
fn holds(large: &[Part], small: &[Part]) -> bool {
    small.len() <= large.len() && small.iter().all(|part| large.binary_search(part).is_ok())
}

fn sort(sets: &mut [Vec<Part>]) {
    sets.sort_unstable_by(|a, b| a.len().cmp(&b.len()).then_with(|| a.cmp(b)));
}

/// What lies outside a set of suspects.
enum Outside {
    /// All the others can be sound.
    Nothing,
    /// These, at the least, can't all be.
    Conflict(Vec<Part>),
}

/// The model, and how often it may still be asked.
struct Model<P> {
    possible: P,
    asked: usize,
    most: usize,
    suspected: Vec<bool>,
}

impl<P: FnMut(&[bool]) -> bool> Model<P> {
    /// Whether what was seen can be with the suspects marked now; nothing if no question is left.
    fn ask(&mut self) -> Option<bool> {
        if self.asked >= self.most {
            return None;
        }
        self.asked += 1;
        Some((self.possible)(&self.suspected))
    }

    /// A minimal conflict among the parts that are not in this set; nothing if the questions ran out.
    fn conflict_outside(&mut self, set: &[Part]) -> Option<Outside> {
        self.suspected.fill(false);
        for part in set {
            self.suspected[*part] = true;
        }
        if self.ask()? {
            return Some(Outside::Nothing);
        }
        // Each part is let go of; if the rest still can't all be sound, it was not needed.
        let mut conflict = Vec::new();
        for part in 0..self.suspected.len() {
            if self.suspected[part] {
                continue;
            }
            self.suspected[part] = true;
            if self.ask()? {
                self.suspected[part] = false;
                conflict.push(part);
            }
        }
        Some(Outside::Conflict(conflict))
    }
}

/// How likely each part is at fault, by what it is beforehand and all minimal diagnoses: every set that holds one of
/// them explains what was seen, and none is told more likely by it (no likelihood beyond possible or not).
///
/// `before` has each part's probability of being at fault, independently.
///
/// # Errors
/// If there is no diagnosis, or each needs a part that is never at fault.
///
/// # Panics
/// If a diagnosis names a part of which there is no probability, or a probability is not between zero and one.
pub fn chances(before: &[f64], diagnoses: &[Vec<Part>]) -> Result<Vec<f64>, Impossible> {
    let mut network = Network::default();
    for fault in before {
        let part = network.unknown(2);
        network.table(&[part], vec![1.0 - fault, *fault]);
    }
    let and: [f64; 8] = [1.0, 0.0, 1.0, 0.0, 1.0, 0.0, 0.0, 1.0];
    let or: [f64; 8] = [1.0, 0.0, 0.0, 1.0, 0.0, 1.0, 0.0, 1.0];
    let always = |network: &mut Network, yes: bool| {
        let node = network.unknown(2);
        network.table(&[node], if yes { vec![0.0, 1.0] } else { vec![1.0, 0.0] });
        node
    };
    let mut any = always(&mut network, false);
    for diagnosis in diagnoses {
        let mut all = always(&mut network, true);
        for part in diagnosis {
            assert!(*part < before.len(), "each part has a probability");
            all = join(&mut network, all, *part, &and);
        }
        any = join(&mut network, any, all, &or);
    }
    let found = network.posterior(&[(any, 1)])?;
    Ok(found.of[..before.len()].iter().map(|of| of[1]).collect())
}

/// A new unknown that follows from two others by this table.
fn join(network: &mut Network, one: usize, other: usize, table: &[f64; 8]) -> usize {
    let node = network.unknown(2);
    network.table(&[one, other, node], table.to_vec());
    node
}
