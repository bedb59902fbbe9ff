//! Which topic covers each line of a published list.

use boat::model::Subject;

use crate::gather::Line;
use crate::topic::Briefing;

/// A subject of a line with the topics that are about it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Covered {
    /// What it is about.
    pub subject: Subject,
    /// The topics, by their place in [`Briefing::topics`]; empty if there is none.
    pub topics: Vec<usize>,
}

/// A line of a list with what covers it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Cover<'l> {
    /// The line.
    pub line: &'l Line,
    /// Its subjects: the line is covered if each has a topic.
    pub subjects: Vec<Covered>,
}

impl Cover<'_> {
    /// Whether every subject of the line has a topic.
    pub fn is_whole(&self) -> bool {
        !self.subjects.is_empty() && self.subjects.iter().all(|subject| !subject.topics.is_empty())
    }
}

impl Briefing<'_> {
    /// Which topics cover each line. A topic covers a subject if it says that it is about it; words are not compared.
    pub fn cover<'l>(&self, lines: &'l [Line]) -> Vec<Cover<'l>> {
        let about = |subject: Subject| {
            let found = self.topics.iter().enumerate().filter(|(_, topic)| topic.about.contains(&subject));
            Covered { subject, topics: found.map(|(at, _)| at).collect() }
        };
        lines
            .iter()
            .map(|line| Cover { line, subjects: line.about.iter().map(|subject| about(*subject)).collect() })
            .collect()
    }
}
