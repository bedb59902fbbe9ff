//! A picture to put a place by: the hull with the bow up, the other places of each level, and where this one is now.
//! It says by its own attributes how metres lie on it, so that a tap can be read as metres.

use boat::model::Hull;
use maud::{Markup, html};

use super::hull::Outline;
use super::shape::{Bow, Label, Scale, Shape};
use super::{MARGIN, ROOM, labels, sea_words};

/// A place by its measures in metres.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Measured {
    /// Its name for people.
    pub(crate) name: String,
    /// Its level as the file writes it.
    pub(crate) level: String,
    /// Its middle: from the bow, and from the middle line, starboard positive.
    pub(crate) middle: (f64, f64),
    /// Fore and aft, and athwartships.
    pub(crate) size: (f64, f64),
}

impl Measured {
    fn edges(&self) -> (f64, f64, f64, f64) {
        let ((aft, across), (long, wide)) = (self.middle, self.size);
        (aft - long / 2.0, aft + long / 2.0, across - wide / 2.0, across + wide / 2.0)
    }
}

/// What is drawn.
pub(crate) struct Placing<'a> {
    /// The boat's name.
    pub(crate) boat: &'a str,
    /// One hull or two, length over all and beam in metres.
    pub(crate) hull: (Hull, f64, f64),
    /// All other places.
    pub(crate) others: &'a [Measured],
    /// This one, as far as it is known.
    pub(crate) own: Option<&'a Measured>,
}

/// Levels on one picture; the second shows more of what is around her.
const PICTURES: [(&str, &[&str]); 2] =
    [("aboard", &["deck", "below", "bilge"]), ("around", &["aloft", "dock"])];

/// What is not measured yet is drawn as large as this, in metres.
const UNMEASURED: f64 = 0.5;

/// The height of a picture in its own units, about the pixels of a phone: words on it must be read, not only seen.
const HIGH: f64 = 640.0;
/// Its least and greatest width.
const WIDE: (f64, f64) = (280.0, 360.0);

/// A scale that shows the hull and all that has these edges, with the bow up.
fn scale(hull: &Outline, all: impl Iterator<Item = (f64, f64, f64, f64)>) -> Scale {
    let hull = (0.0_f64, hull.length, -hull.beam / 2.0, hull.beam / 2.0);
    let (fore, aft, port, starboard) = all.fold(hull, |edges, (fore, aft, port, starboard)| {
        (edges.0.min(fore), edges.1.max(aft), edges.2.min(port), edges.3.max(starboard))
    });
    let (long, across) = (aft - fore + 2.0 * MARGIN, starboard - port + 2.0 * MARGIN);
    let per_metre = f64::min(WIDE.1 / across, (HIGH - ROOM) / long);
    // The words at its edges need some width, beside a slim boat as well.
    let wide = f64::max(across * per_metre, WIDE.0);
    let spare = (wide / per_metre - across) / 2.0;
    Scale {
        bow: Bow::Up,
        per_metre,
        fore: fore - MARGIN,
        port: port - MARGIN - spare,
        wide,
        high: long * per_metre + ROOM,
        room: (ROOM, 0.0),
    }
}

/// The pictures, and the names of what only has a number on them; style sheets show what belongs to the chosen level.
pub(crate) fn placing(view: &Placing<'_>) -> (Markup, Markup) {
    let (pictures, keys): (Vec<Markup>, Vec<Markup>) =
        PICTURES.into_iter().map(|(class, levels)| picture(view, class, levels)).unzip();
    (html! { @for picture in pictures { (picture) } }, html! { @for key in keys { (key) } })
}

fn picture(view: &Placing<'_>, class: &str, levels: &[&str]) -> (Markup, Markup) {
    let (kind, length, beam) = view.hull;
    let hull = Outline { kind, length, beam };
    let here = |place: &&Measured| levels.contains(&place.level.as_str());
    let shown = view.others.iter().filter(here).chain(view.own.filter(|own| here(own)));
    let scale = scale(&hull, shown.map(Measured::edges));
    let (middle, bow) = scale.point((0.0, 0.0));
    let title = format!("{}, seen from above with the bow up: where this place is", view.boat);
    let drawn: Vec<Level<'_>> = levels.iter().map(|level| lay_out(view, &hull, scale, level)).collect();
    let picture = html! {
        svg class=(format!("plan placing {class}")) viewBox=(format!("0 0 {:.0} {:.0}", scale.wide, scale.high)) role="img" aria-label=(title)
            data-metre=(format!("{:.3}", scale.per_metre)) data-middle=(format!("{middle:.2}")) data-bow=(format!("{bow:.2}")) {
            title { (title) }
            (sea_words(&scale))
            @if let Some(net) = hull.net() { path.net d=(scale.path(net.into_iter())) {} }
            path.hull d=(scale.path(hull.ring().into_iter())) {}
            @for level in &drawn { (others(level)) }
            (mark(view.own, scale))
        }
    };
    (picture, html! { @for level in &drawn { (key(level)) } })
}

/// The other places of a level, the largest first, each with its shape and label.
struct Level<'a> {
    name: &'a str,
    pieces: Vec<(&'a Measured, Shape, Label)>,
}

impl Level<'_> {
    /// What has a number instead of a name: its place in the key.
    fn numbered(&self) -> impl Iterator<Item = &(&Measured, Shape, Label)> {
        self.pieces.iter().filter(|(_, _, label)| matches!(label, Label::Number { .. }))
    }
}

fn lay_out<'a>(view: &Placing<'a>, hull: &Outline, scale: Scale, name: &'a str) -> Level<'a> {
    let mut places: Vec<&Measured> = view.others.iter().filter(|place| place.level == name).collect();
    places.sort_by(|a, b| (b.size.0 * b.size.1).total_cmp(&(a.size.0 * a.size.1)));
    let shapes: Vec<Shape> = places.iter().map(|place| Shape::new(hull, scale, place.edges())).collect();
    let names: Vec<&str> = places.iter().map(|place| place.name.as_str()).collect();
    let labels = labels(&shapes, &names);
    let pieces =
        places.into_iter().zip(shapes).zip(labels).map(|((place, shape), label)| (place, shape, label));
    Level { name, pieces: pieces.collect() }
}

fn others(level: &Level<'_>) -> Markup {
    html! {
        g data-level=(level.name) {
            @for (_, shape, _) in &level.pieces { g.spot { path.shape d=(shape.path()) {} } }
            @for (_, _, label) in &level.pieces {
                @if let Label::Name { lines, size, x, taken } = label {
                    text font-size=(size) text-anchor="middle" {
                        @for (line, words) in lines.iter().enumerate() {
                            tspan x=(format!("{x:.1}")) y=(format!("{:.1}", taken.top + size * (0.9 + 1.15 * line as f64))) { (words) }
                        }
                    }
                }
            }
            @for (at, (_, _, label)) in level.numbered().enumerate() {
                @if let Label::Number { x, y, .. } = label {
                    circle.disc cx=(format!("{x:.1}")) cy=(format!("{y:.1}")) r="10.5" {}
                    text font-size="12" text-anchor="middle" x=(format!("{x:.1}")) y=(format!("{:.1}", y + 4.3)) { (at + 1) }
                }
            }
        }
    }
}

/// The names of what has a number.
fn key(level: &Level<'_>) -> Markup {
    html! {
        @if level.numbered().next().is_some() {
            ol.key.placing-key data-level=(level.name) {
                @for (at, (place, ..)) in level.numbered().enumerate() { li { span.disc-number { (at + 1) } " " (place.name) } }
            }
        }
    }
}

/// Where this place is now; there but not seen if it is not known yet.
fn mark(own: Option<&Measured>, scale: Scale) -> Markup {
    let (x, y) = own.map_or((0.0, 0.0), |own| scale.point(own.middle));
    let (long, wide) = own.map_or((UNMEASURED, UNMEASURED), |own| own.size);
    let (high, across) = (long * scale.per_metre, wide * scale.per_metre);
    html! {
        g.here-mark hidden[own.is_none()] transform=(format!("translate({x:.1} {y:.1})")) {
            rect x=(format!("{:.1}", -across / 2.0)) y=(format!("{:.1}", -high / 2.0)) width=(format!("{across:.1}")) height=(format!("{high:.1}")) {}
            path d="M-16 0H16M0 -16V16" {}
            circle r="7" {}
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn place(name: &str, level: &str, middle: (f64, f64)) -> Measured {
        Measured { name: name.to_owned(), level: level.to_owned(), middle, size: (1.4, 1.4) }
    }

    #[test]
    fn the_picture_says_how_metres_lie_on_it_and_marks_the_place() {
        let others = [place("Galley", "below", (6.0, -1.0)), place("Pontoon", "dock", (6.0, -4.0))];
        let own = place("Locker", "below", (2.0, 0.5));
        let view =
            Placing { boat: "Rail", hull: (Hull::Monohull, 10.0, 4.0), others: &others, own: Some(&own) };
        let text = placing(&view).0.into_string();
        let number = |name: &str| -> f64 {
            let from = text.find(&format!("{name}=\"")).expect("it is said") + name.len() + 2;
            let rest = &text[from..];
            rest[..rest.find('"').expect("it ends")].parse().expect("a number")
        };
        let (x, y) = (
            number("data-middle") + 0.5 * number("data-metre"),
            number("data-bow") + 2.0 * number("data-metre"),
        );
        assert!(text.contains(&format!("translate({x:.1} {y:.1})")), "{x} {y}: {text}");
        assert!(text.contains("data-level=\"dock\"") && text.contains("Galley"));
        assert!(!text.contains("NaN") && !text.contains("inf"));
    }

    #[test]
    fn what_is_too_small_for_its_name_has_a_number_and_a_line_in_the_key() {
        let mut small = place("Locker under the seat", "below", (4.0, 1.0));
        small.size = (0.4, 0.4);
        let others = [place("Galley", "below", (6.0, -1.0)), small];
        let view = Placing { boat: "Rail", hull: (Hull::Monohull, 10.0, 4.0), others: &others, own: None };
        let (picture, names) = placing(&view);
        let (picture, names) = (picture.into_string(), names.into_string());
        assert!(picture.contains("Galley") && !picture.contains("Locker"), "{picture}");
        assert!(names.contains("Locker under the seat") && !names.contains("Galley"), "{names}");
    }

    #[test]
    fn a_place_that_is_nowhere_yet_has_no_mark() {
        let view = Placing { boat: "Rail", hull: (Hull::Catamaran, 12.0, 6.5), others: &[], own: None };
        assert!(placing(&view).0.into_string().contains("class=\"here-mark\" hidden"));
    }
}
