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

/// A place as it is drawn: rows from forward to aft, each with its left and right edge.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Shape {
    rows: Vec<(f64, f64, f64)>,
}

/// Rows into which a place is cut.
const ROWS: u32 = 10;

impl Shape {
    /// The shape of a place given by its edges in metres (from the bow, and across), cut by the hull if its
    /// middle lies within; `to_x` and `to_y` turn metres into drawing units.
    pub(crate) fn new(
        hull: &Outline,
        (fore, aft): (f64, f64),
        (port, starboard): (f64, f64),
        to_x: impl Fn(f64) -> f64,
        to_y: impl Fn(f64) -> f64,
    ) -> Self {
        let inside = |y: f64| {
            hull.spans(y)
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
            rows.extend((0..=ROWS).map(at).filter_map(|y| inside(y).map(|(a, b)| (to_y(y), to_x(a), to_x(b)))));
        }
        if rows.len() < 3 {
            rows = vec![(to_y(fore), to_x(port), to_x(starboard)), (to_y(aft), to_x(port), to_x(starboard))];
        }
        Self { rows }
    }

    /// The box around it.
    pub(crate) fn bounds(&self) -> Rect {
        let first = self.rows.first().map_or(0.0, |row| row.0);
        let last = self.rows.last().map_or(0.0, |row| row.0);
        let left = self.rows.iter().map(|row| row.1).fold(f64::INFINITY, f64::min);
        let right = self.rows.iter().map(|row| row.2).fold(f64::NEG_INFINITY, f64::max);
        Rect { left, top: first, right, bottom: last }
    }

    /// Its area in square drawing units.
    #[cfg(test)]
    fn area(&self) -> f64 {
        self.rows.windows(2).map(|pair| (pair[1].0 - pair[0].0) * (pair[0].2 - pair[0].1 + pair[1].2 - pair[1].1) / 2.0).sum()
    }

    /// Its outline as the data of a path.
    pub(crate) fn path(&self) -> String {
        let left = self.rows.iter().map(|row| (row.1, row.0));
        let right = self.rows.iter().rev().map(|row| (row.2, row.0));
        path(left.chain(right))
    }

    /// Whether a box lies within it, `pad` from its edges.
    fn holds(&self, rect: &Rect, pad: f64) -> bool {
        let bounds = self.bounds();
        let inside = |y: f64| {
            self.edges(y).is_some_and(|(left, right)| rect.left - pad >= left && rect.right + pad <= right)
        };
        rect.top - pad >= bounds.top
            && rect.bottom + pad <= bounds.bottom
            && inside(rect.top)
            && inside(rect.bottom)
            && self.rows.iter().filter(|row| (rect.top..=rect.bottom).contains(&row.0)).all(|row| inside(row.0))
    }

    fn edges(&self, y: f64) -> Option<(f64, f64)> {
        self.rows.windows(2).find(|pair| (pair[0].0..=pair[1].0).contains(&y)).map(|pair| {
            let share = if pair[1].0 > pair[0].0 { (y - pair[0].0) / (pair[1].0 - pair[0].0) } else { 0.0 };
            (pair[0].1 + share * (pair[1].1 - pair[0].1), pair[0].2 + share * (pair[1].2 - pair[0].2))
        })
    }
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
    Label::Number { x: f64::midpoint(spot.left, spot.right), y: f64::midpoint(spot.top, spot.bottom), taken: spot }
}

/// The nearest free spot for a disc around the middle of a shape too small to hold it.
fn near(middle: (f64, f64), taken: &[Rect]) -> Option<Rect> {
    let steps = (0..8_i32).flat_map(|ring| {
        (-ring..=ring).flat_map(move |i| (-ring..=ring).map(move |j| (i, j))).filter(move |(i, j)| i.abs().max(j.abs()) == ring)
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
    let (free_x, free_y) = ((bounds.right - bounds.left - wide) / 2.0, (bounds.bottom - bounds.top - high) / 2.0);
    if free_x < pad || free_y < pad {
        return None;
    }
    let mut grid: Vec<(i32, i32)> = (-GRID..=GRID).flat_map(|i| (-GRID..=GRID).map(move |j| (i, j))).collect();
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
            'i' | 'j' | 'l' | '\'' | '.' | ',' | ':' | '|' => 0.31,
            'f' | 't' | 'r' | ' ' | '(' | ')' | '-' => 0.42,
            'm' | 'w' | 'M' | 'W' => 0.98,
            'A'..='Z' => 0.74,
            _ => 0.64,
        })
        .sum()
}

#[cfg(test)]
mod tests {
    use super::*;
    use boat::model::Hull;

    fn shape(fore: f64, aft: f64, port: f64, starboard: f64) -> Shape {
        let hull = Outline { kind: Hull::Monohull, length: 13.0, beam: 4.0 };
        Shape::new(&hull, (fore, aft), (port, starboard), |x| 180.0 + x * 80.0, |y| 20.0 + y * 80.0)
    }

    #[test]
    fn a_cabin_in_the_bow_is_cut_by_the_hull() {
        let cabin = shape(0.5, 3.0, -2.0, 2.0);
        assert!(cabin.area() < 2.5 * 4.0 * 6400.0 * 0.7, "less than its box: {}", cabin.area());
        let outside = shape(13.2, 13.8, -1.0, 1.0);
        assert!((outside.area() - 0.6 * 2.0 * 6400.0).abs() < 1.0, "a platform abaft the hull is left whole");
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
