//! The shapes of places on the drawing, cut by the hull, and the names that fit into them.

use super::hull::Outline;

/// A box on the drawing, in drawing units.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Rect {
    /// Left edge.
    pub(crate) left: f64,
    /// Upper edge.
    pub(crate) top: f64,
    /// Right edge.
    pub(crate) right: f64,
    /// Lower edge.
    pub(crate) bottom: f64,
}

impl Rect {
    /// Whether two boxes share more than an edge.
    pub(crate) fn overlaps(&self, other: &Self) -> bool {
        self.left < other.right
            && other.left < self.right
            && self.top < other.bottom
            && other.top < self.bottom
    }

    fn around(x: f64, y: f64, wide: f64, high: f64) -> Self {
        Self { left: x - wide / 2.0, top: y - high / 2.0, right: x + wide / 2.0, bottom: y + high / 2.0 }
    }
}

/// How metres become drawing units, and which way the bow points.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Scale {
    /// Which way the bow points.
    pub(crate) bow: Bow,
    /// Drawing units in a metre.
    pub(crate) per_metre: f64,
    /// The forward edge of the drawing, in metres from the bow.
    pub(crate) fore: f64,
    /// The port edge of the drawing, in metres from the centreline.
    pub(crate) port: f64,
    /// Width of the drawing.
    pub(crate) wide: f64,
    /// Height of the drawing.
    pub(crate) high: f64,
    /// Room for words beyond the edges: before the bow, and beside the port edge.
    pub(crate) room: (f64, f64),
}

/// Which way the bow points on the drawing.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Bow {
    /// Up, for a screen that is higher than wide.
    Up,
    /// To the right, for a wide screen.
    Right,
}

impl Scale {
    /// A point in metres (from the bow, and across) on the drawing.
    pub(crate) fn point(&self, (aft, across): (f64, f64)) -> (f64, f64) {
        let along = self.room.0 + (aft - self.fore) * self.per_metre;
        let beside = self.room.1 + (across - self.port) * self.per_metre;
        match self.bow {
            Bow::Up => (beside, along),
            Bow::Right => (self.wide - along, beside),
        }
    }

    /// A box on the drawing in metres: forward, aft, port, starboard.
    fn metres(&self, rect: &Rect) -> (f64, f64, f64, f64) {
        let along = |units: f64| self.fore + (units - self.room.0) / self.per_metre;
        let beside = |units: f64| self.port + (units - self.room.1) / self.per_metre;
        match self.bow {
            Bow::Up => (along(rect.top), along(rect.bottom), beside(rect.left), beside(rect.right)),
            Bow::Right => (
                along(self.wide - rect.right),
                along(self.wide - rect.left),
                beside(rect.top),
                beside(rect.bottom),
            ),
        }
    }

    /// Points in metres as the data of a closed path.
    pub(crate) fn path(&self, points: impl Iterator<Item = (f64, f64)>) -> String {
        path(points.map(|point| self.point(point)))
    }
}

/// A place as it is drawn: rows from forward to aft in metres, each with its port and starboard edge.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Shape {
    scale: Scale,
    rows: Vec<(f64, f64, f64)>,
}

/// Rows into which a place is cut.
const ROWS: u32 = 10;

impl Shape {
    /// The shape of a place given by its edges in metres (forward, aft, port, starboard), cut by the hull if its
    /// middle lies within.
    pub(crate) fn new(hull: &Outline, scale: Scale, edges: (f64, f64, f64, f64)) -> Self {
        let (fore, aft, port, starboard) = edges;
        let inside = |aft: f64| {
            hull.spans(aft)
                .into_iter()
                .map(|(from, to)| (from.max(port), to.min(starboard)))
                .filter(|(from, to)| to - from > 0.02)
                .max_by(|a, b| (a.1 - a.0).total_cmp(&(b.1 - b.0)))
        };
        let middle = f64::midpoint(fore, aft);
        let across = f64::midpoint(port, starboard);
        let within = hull.spans(middle).iter().any(|(from, to)| (*from..=*to).contains(&across));
        let at = |i: u32| fore + (aft - fore) * f64::from(i) / f64::from(ROWS);
        let mut rows: Vec<(f64, f64, f64)> = Vec::new();
        if within {
            rows.extend((0..=ROWS).map(at).filter_map(|aft| inside(aft).map(|(from, to)| (aft, from, to))));
        }
        if rows.len() < 3 {
            rows = vec![(fore, port, starboard), (aft, port, starboard)];
        }
        Self { scale, rows: without_idle(&rows) }
    }

    /// The box around it on the drawing.
    pub(crate) fn bounds(&self) -> Rect {
        let corners = self.corners().map(|corner| self.scale.point(corner));
        let nothing = Rect {
            left: f64::INFINITY,
            top: f64::INFINITY,
            right: f64::NEG_INFINITY,
            bottom: f64::NEG_INFINITY,
        };
        corners.fold(nothing, |rect, (x, y)| Rect {
            left: rect.left.min(x),
            top: rect.top.min(y),
            right: rect.right.max(x),
            bottom: rect.bottom.max(y),
        })
    }

    /// Its corners in metres, once around.
    fn corners(&self) -> impl Iterator<Item = (f64, f64)> + '_ {
        let port = self.rows.iter().map(|row| (row.0, row.1));
        let starboard = self.rows.iter().rev().map(|row| (row.0, row.2));
        port.chain(starboard)
    }

    /// Its area in square metres.
    #[cfg(test)]
    fn area(&self) -> f64 {
        let strip = |pair: &[(f64, f64, f64)]| {
            (pair[1].0 - pair[0].0) * (pair[0].2 - pair[0].1 + pair[1].2 - pair[1].1) / 2.0
        };
        self.rows.windows(2).map(strip).sum()
    }

    /// Its outline as the data of a path.
    pub(crate) fn path(&self) -> String {
        self.scale.path(self.corners())
    }

    /// Whether a box lies within it, `pad` drawing units from its edges.
    fn holds(&self, rect: &Rect, pad: f64) -> bool {
        let padded = Rect {
            left: rect.left - pad,
            top: rect.top - pad,
            right: rect.right + pad,
            bottom: rect.bottom + pad,
        };
        let (fore, aft, port, starboard) = self.scale.metres(&padded);
        let inside = |at: f64| self.edges(at).is_some_and(|(from, to)| port >= from && starboard <= to);
        inside(fore)
            && inside(aft)
            && self.rows.iter().filter(|row| (fore..=aft).contains(&row.0)).all(|row| inside(row.0))
    }

    fn edges(&self, aft: f64) -> Option<(f64, f64)> {
        self.rows.windows(2).find(|pair| (pair[0].0..=pair[1].0).contains(&aft)).map(|pair| {
            let share = if pair[1].0 > pair[0].0 { (aft - pair[0].0) / (pair[1].0 - pair[0].0) } else { 0.0 };
            (pair[0].1 + share * (pair[1].1 - pair[0].1), pair[0].2 + share * (pair[1].2 - pair[0].2))
        })
    }
}

/// The rows without those at which neither edge turns.
fn without_idle(rows: &[(f64, f64, f64)]) -> Vec<(f64, f64, f64)> {
    let same = |a: f64, b: f64| (a - b).abs() < 1e-9;
    let idle = |at: usize| {
        at > 0
            && at + 1 < rows.len()
            && [rows[at - 1], rows[at + 1]]
                .iter()
                .all(|row| same(row.1, rows[at].1) && same(row.2, rows[at].2))
    };
    rows.iter().enumerate().filter(|(at, _)| !idle(*at)).map(|(_, row)| *row).collect()
}

/// Points as the data of a closed path, to a tenth of a unit.
pub(crate) fn path(points: impl Iterator<Item = (f64, f64)>) -> String {
    let points: Vec<String> = points.map(|(x, y)| format!("{x:.1} {y:.1}")).collect();
    format!("M{}z", points.join("L"))
}

/// How a place is named on the drawing.
#[derive(Debug, Clone, PartialEq)]
pub(crate) enum Label {
    /// Its name, in lines.
    Name {
        /// The lines from above.
        lines: Vec<String>,
        /// The height of the letters' body, in drawing units.
        size: f64,
        /// The middle of the first line's baseline, and the box around all.
        x: f64,
        /// The box that the words take.
        taken: Rect,
    },
    /// A number that the list beside the drawing explains.
    Number {
        /// The middle of the disc.
        x: f64,
        /// The middle of the disc.
        y: f64,
        /// The box around the disc.
        taken: Rect,
    },
}

impl Label {
    /// The box that it takes on the drawing.
    pub(crate) fn taken(&self) -> &Rect {
        match self {
            Self::Name { taken, .. } | Self::Number { taken, .. } => taken,
        }
    }
}

/// The sizes of letters that are tried, in drawing units; the least is readable on a phone.
const SIZES: [f64; 3] = [15.0, 13.5, 12.0];
/// Line height as a multiple of the letters' size.
const LEADING: f64 = 1.15;
/// The disc of a number.
const DISC: f64 = 22.0;

/// Finds where the name fits in the shape, clear of all the boxes in `taken`; else a number.
pub(crate) fn fit(shape: &Shape, name: &str, taken: &[Rect]) -> Label {
    for size in SIZES {
        for lines in wraps(name) {
            let wide = lines.iter().map(|line| width(line) * size).fold(0.0, f64::max);
            let high = (lines.len() as f64) * size * LEADING;
            if let Some(spot) = spot(shape, wide, high, 3.0, taken) {
                return Label::Name { lines, size, x: f64::midpoint(spot.left, spot.right), taken: spot };
            }
        }
    }
    let bounds = shape.bounds();
    let middle = (f64::midpoint(bounds.left, bounds.right), f64::midpoint(bounds.top, bounds.bottom));
    let spot = spot(shape, DISC, DISC, 0.0, taken)
        .or_else(|| near(middle, taken))
        .unwrap_or_else(|| Rect::around(middle.0, middle.1, DISC, DISC));
    Label::Number {
        x: f64::midpoint(spot.left, spot.right),
        y: f64::midpoint(spot.top, spot.bottom),
        taken: spot,
    }
}

/// The nearest free spot for a disc around the middle of a shape too small to hold it.
fn near(middle: (f64, f64), taken: &[Rect]) -> Option<Rect> {
    let steps = (0..8_i32).flat_map(|ring| {
        (-ring..=ring)
            .flat_map(move |i| (-ring..=ring).map(move |j| (i, j)))
            .filter(move |(i, j)| i.abs().max(j.abs()) == ring)
    });
    steps
        .map(|(i, j)| Rect::around(middle.0 + f64::from(i) * 6.0, middle.1 + f64::from(j) * 6.0, DISC, DISC))
        .find(|spot| taken.iter().all(|other| !other.overlaps(spot)))
}

/// A free spot of this size within the shape, the nearest to its middle.
fn spot(shape: &Shape, wide: f64, high: f64, pad: f64, taken: &[Rect]) -> Option<Rect> {
    const GRID: i32 = 12;
    let bounds = shape.bounds();
    let (x, y) = (f64::midpoint(bounds.left, bounds.right), f64::midpoint(bounds.top, bounds.bottom));
    let (free_x, free_y) =
        ((bounds.right - bounds.left - wide) / 2.0, (bounds.bottom - bounds.top - high) / 2.0);
    if free_x < pad || free_y < pad {
        return None;
    }
    let mut grid: Vec<(i32, i32)> =
        (-GRID..=GRID).flat_map(|i| (-GRID..=GRID).map(move |j| (i, j))).collect();
    grid.sort_by_key(|(i, j)| (i * i + j * j, *j, *i));
    grid.into_iter()
        .map(|(i, j)| {
            let (dx, dy) = (f64::from(i) / f64::from(GRID), f64::from(j) / f64::from(GRID));
            Rect::around(x + dx * (free_x - pad), y + dy * (free_y - pad), wide, high)
        })
        .find(|rect| shape.holds(rect, pad) && taken.iter().all(|other| !other.overlaps(rect)))
}

/// The ways to break a name into one, two or three lines, fewest first; lines as even as words allow.
fn wraps(name: &str) -> Vec<Vec<String>> {
    let words: Vec<&str> = name.split_whitespace().collect();
    let most = words.len().min(4);
    let mut ways: Vec<Vec<String>> = (1..=most).map(|lines| even(&words, lines)).collect();
    ways.dedup();
    ways
}

/// Words in at most so many lines, with the longest line as short as can be.
fn even(words: &[&str], lines: usize) -> Vec<String> {
    let mut limit = words.iter().map(|word| width(word)).fold(0.0, f64::max);
    loop {
        let mut out: Vec<String> = Vec::new();
        for word in words {
            match out.last_mut() {
                Some(line) if width(line) + width(" ") + width(word) <= limit => {
                    line.push(' ');
                    line.push_str(word);
                }
                _ => out.push((*word).to_owned()),
            }
        }
        if out.len() <= lines {
            return out;
        }
        limit += 0.5;
    }
}

/// How wide a line is, as a multiple of its letters' size; on the wide side of common sans-serif fonts.
fn width(text: &str) -> f64 {
    text.chars()
        .map(|c| match c {
            'i' | 'j' | 'l' | '\'' | '.' | ',' | ':' | '|' => 0.38,
            'f' | 't' | 'r' | ' ' | '(' | ')' | '-' => 0.48,
            'm' | 'w' | 'M' | 'W' => 1.06,
            'A'..='Z' => 0.78,
            _ => 0.7,
        })
        .sum()
}

#[cfg(test)]
mod tests {
    use super::*;
    use boat::model::Hull;

    fn shape(fore: f64, aft: f64, port: f64, starboard: f64) -> Shape {
        let hull = Outline { kind: Hull::Monohull, length: 13.0, beam: 4.0 };
        let scale = Scale {
            bow: Bow::Up,
            per_metre: 80.0,
            fore: 0.0,
            port: -2.25,
            wide: 360.0,
            high: 1100.0,
            room: (0.0, 0.0),
        };
        Shape::new(&hull, scale, (fore, aft, port, starboard))
    }

    #[test]
    fn a_cabin_in_the_bow_is_cut_by_the_hull() {
        let cabin = shape(0.5, 3.0, -2.0, 2.0);
        assert!(cabin.area() < 2.5 * 4.0 * 0.7, "less than its box: {}", cabin.area());
        let outside = shape(13.2, 13.8, -1.0, 1.0);
        assert!((outside.area() - 0.6 * 2.0).abs() < 1e-9, "a platform abaft the hull is left whole");
    }

    #[test]
    fn a_name_that_fits_is_written_clear_of_others_and_one_that_does_not_gets_a_number() {
        let saloon = shape(4.0, 7.0, -1.5, 1.5);
        let table = shape(5.2, 5.9, -0.4, 0.4).bounds();
        let label = fit(&saloon, "Saloon", &[table]);
        assert!(matches!(&label, Label::Name { lines, .. } if lines == &["Saloon"]));
        assert!(!label.taken().overlaps(&table));
        let locker = shape(5.0, 5.2, 0.0, 0.2);
        let number = fit(&locker, "Seacock locker", &[table]);
        assert!(matches!(number, Label::Number { .. }));
        assert!(!number.taken().overlaps(&table), "even a number keeps clear of what is taken");
    }

    #[test]
    fn lines_are_even() {
        let words = ["Starboard", "aft", "cabin"];
        assert_eq!(even(&words, 1), ["Starboard aft cabin"]);
        assert_eq!(even(&words, 2), ["Starboard", "aft cabin"]);
        assert_eq!(even(&words, 3).len(), 2, "a third line would make none shorter");
    }
}
