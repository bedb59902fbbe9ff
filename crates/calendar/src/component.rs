//! The parts of a calendar (BEGIN … END) as a tree.

use crate::{booking::Remark, line::Line};

/// A part of a calendar: its lines and the parts within it.
#[derive(Debug, Default)]
pub(crate) struct Component {
    pub(crate) name: String,
    pub(crate) number: usize,
    pub(crate) lines: Vec<Line>,
    pub(crate) within: Vec<Component>,
    /// Whether its END is there; the text was cut off otherwise.
    pub(crate) whole: bool,
}

impl Component {
    pub(crate) fn line(&self, name: &str) -> Option<&Line> {
        self.lines.iter().find(|line| line.name == name)
    }

    pub(crate) fn all<'a>(&'a self, name: &'a str) -> impl Iterator<Item = &'a Line> {
        self.lines.iter().filter(move |line| line.name == name)
    }
}

/// The events within a part, at any depth, but for those within another event. A part that was not closed holds those
/// behind it.
pub(crate) fn swallowed(part: &Component) -> Vec<&Component> {
    part.within
        .iter()
        .flat_map(|inner| if inner.name == "VEVENT" { vec![inner] } else { swallowed(inner) })
        .collect()
}

/// Parts within parts at most; deeper ones are no calendar.
const DEEPEST: usize = 64;

/// The tree of the lines; its root has no name.
pub(crate) fn tree(lines: Vec<Line>, remarks: &mut Vec<Remark>) -> Component {
    let mut open = vec![Component { whole: true, ..Component::default() }];
    for line in lines {
        let named = line.value.trim().to_ascii_uppercase();
        match line.name.as_str() {
            "BEGIN" if open.len() < DEEPEST => {
                open.push(Component { name: named, number: line.number, ..Component::default() });
            }
            "BEGIN" => remarks.push(Remark::error(
                line.number,
                format!("More than {DEEPEST} parts are open here. What begins on this line was left out."),
                "Close each part with its END line.",
            )),
            "END" => end(&mut open, &named, line.number, remarks),
            _ => {
                if let Some(part) = open.last_mut() {
                    part.lines.push(line);
                }
            }
        }
    }
    while open.len() > 1 {
        close(&mut open, false);
    }
    open.pop().unwrap_or_default()
}

fn end(open: &mut Vec<Component>, named: &str, number: usize, remarks: &mut Vec<Remark>) {
    let Some(depth) = open.iter().rposition(|part| part.name == named && !named.is_empty()) else {
        remarks.push(Remark::error(
            number,
            format!("END:{named} ends nothing: no such part is open here."),
            format!("Put the missing BEGIN:{named} before it, or take the line out."),
        ));
        return;
    };
    while open.len() > depth + 1 {
        close(open, false);
    }
    close(open, true);
}

fn close(open: &mut Vec<Component>, whole: bool) {
    let Some(mut part) = open.pop() else { return };
    part.whole = whole;
    if let Some(outer) = open.last_mut() {
        outer.within.push(part);
    }
}
