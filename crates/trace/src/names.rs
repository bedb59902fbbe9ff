//! The names of a guide's boxes on paper.

use crate::guide::{Guide, GuideNode};
use crate::next::Next;

/// An end of a guide: what to do, and what is suspected by then, with chances to the nearest twentieth, never 0 or 1.
pub type BoxEnd = (String, Vec<(String, f64)>);

/// The names of the boxes: questions are numbered, ends have letters, and ends that say the same are one.
#[derive(Debug, Clone, PartialEq)]
pub struct BoxNames {
    /// The name of each node of the guide.
    pub of: Vec<String>,
    /// The ends in the order of their letters.
    pub ends: Vec<BoxEnd>,
}

impl BoxNames {
    /// Names the boxes of a guide.
    pub fn of(guide: &Guide) -> Self {
        let mut names = Self { of: Vec::with_capacity(guide.nodes.len()), ends: Vec::new() };
        let mut asked = 0;
        for node in &guide.nodes {
            let name = match node {
                GuideNode::Ask { .. } => {
                    asked += 1;
                    asked.to_string()
                }
                GuideNode::End { words, next, suspects, .. } => {
                    // Once it works, what may be the matter besides is of no use on paper.
                    let suspects = if *next == Next::Solved { Vec::new() } else { rounded(suspects) };
                    names.letter_of((words.clone(), suspects))
                }
            };
            names.of.push(name);
        }
        names
    }

    fn letter_of(&mut self, end: BoxEnd) -> String {
        let at = self.ends.iter().position(|known| *known == end).unwrap_or_else(|| {
            self.ends.push(end);
            self.ends.len() - 1
        });
        Self::letter(at)
    }

    /// The letter of an end: A, B, ... Z, AA, AB ...
    pub fn letter(at: usize) -> String {
        let last = char::from(b'A' + u8::try_from(at % 26).unwrap_or(0));
        if at < 26 { last.to_string() } else { format!("{}{last}", Self::letter(at / 26 - 1)) }
    }
}

/// Chances to the nearest twentieth, as they are told on paper; what is not sure is never told as if it were.
fn rounded(suspects: &[(String, f64)]) -> Vec<(String, f64)> {
    let round = |chance: f64| libm::floor(chance * 20.0 + 0.5).clamp(1.0, 19.0) / 20.0;
    suspects.iter().map(|(words, chance)| (words.clone(), round(*chance))).collect()
}
