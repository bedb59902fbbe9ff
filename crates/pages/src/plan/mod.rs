//! The plan drawing: the boat from above, bow up, one sheet a level, every place a link.

mod hull;
mod placing;
mod shape;

use std::collections::BTreeSet;

use boat::model::{Boat, Level, Particulars, Place, PlaceId};
use maud::{Markup, html};

use hull::Outline;
pub(crate) use placing::{Measured, Placing, placing};
use shape::{Bow, Label, Rect, Scale, Shape};

/// A sheet of the plan.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Sheet {
    /// On deck and in the cockpit.
    Deck,
    /// In the cabins.
    Below,
    /// Under the floorboards and behind the linings.
    Bilge,
    /// Up the mast, and ashore.
    Around,
}

impl Sheet {
    /// All sheets, in the order in which they are offered.
    pub const ALL: [Self; 4] = [Self::Deck, Self::Below, Self::Bilge, Self::Around];

    /// Its name for people.
    pub fn name(self) -> &'static str {
        match self {
            Self::Deck => "On deck",
            Self::Below => "Below",
            Self::Bilge => "Bilge",
            Self::Around => "Aloft, dock",
        }
    }

    /// Its name in addresses.
    pub fn key(self) -> &'static str {
        match self {
            Self::Deck => "deck",
            Self::Below => "below",
            Self::Bilge => "bilge",
            Self::Around => "around",
        }
    }

    /// The sheet of that name in addresses.
    pub fn by_key(key: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|sheet| sheet.key() == key)
    }

    /// The sheet on which a level is drawn.
    pub fn of(level: Level) -> Self {
        match level {
            Level::Deck => Self::Deck,
            Level::Below => Self::Below,
            Level::Bilge => Self::Bilge,
            Level::Aloft | Level::Dock => Self::Around,
        }
    }

    /// The places drawn on it, largest first, so that small ones lie on top.
    pub fn places(self, boat: &Boat) -> Vec<PlaceId> {
        let size = |place: &Place| place.long.as_metres() * place.wide.as_metres();
        let mut places: Vec<PlaceId> = boat
            .places
            .iter_ids()
            .filter(|(_, place)| Self::of(place.level) == self)
            .map(|(id, _)| id)
            .collect();
        places.sort_by(|a, b| size(&boat.places[*b]).total_cmp(&size(&boat.places[*a])).then(a.cmp(b)));
        places
    }
}

/// What to draw.
pub(crate) struct View<'a> {
    /// The boat.
    pub(crate) boat: &'a Boat,
    /// Which sheet.
    pub(crate) sheet: Sheet,
    /// The place that is picked out.
    pub(crate) chosen: Option<PlaceId>,
    /// The places that hold what is searched for.
    pub(crate) found: &'a BTreeSet<PlaceId>,
    /// The places with a thing that is known to be wrong.
    pub(crate) broken: &'a BTreeSet<PlaceId>,
    /// The address of a place.
    pub(crate) href: &'a dyn Fn(PlaceId) -> String,
}

/// The drawing with the numbers that it uses: which number stands for which place.
pub(crate) struct Drawing {
    /// The drawing itself.
    pub(crate) svg: Markup,
    /// The number written for each place that has one.
    pub(crate) numbers: Vec<(PlaceId, usize)>,
}

/// Width of a drawing with the bow up, in its own units: about the pixels of a phone held upright.
const UPRIGHT: f64 = 360.0;
/// Width of a drawing with the bow to the right: about the pixels of a page on an office screen.
const LYING: f64 = 940.0;
/// Room kept free around, in metres.
const MARGIN: f64 = 0.35;
/// Room for the words at the edges, in drawing units.
const ROOM: f64 = 24.0;

/// Draws a sheet with the bow up, for a phone.
pub(crate) fn draw_upright(view: &View<'_>) -> Drawing {
    draw(view, Bow::Up)
}

/// Draws a sheet with the bow to the right, for a wide screen.
pub(crate) fn draw_lying(view: &View<'_>) -> Drawing {
    draw(view, Bow::Right)
}

fn draw(view: &View<'_>, bow: Bow) -> Drawing {
    let boat = view.boat;
    let hull = Outline::of(&boat.particulars);
    let places = view.sheet.places(boat);
    let scale = scale_over(&hull, bow, places.iter().map(|id| &boat.places[*id]));
    let pieces = lay_out(boat, &hull, scale, &places);
    let numbers =
        pieces.iter().filter_map(|piece| piece.number.map(|number| (piece.place, number))).collect();
    let (class, way) = match bow {
        Bow::Up => ("plan upright", "the bow up"),
        Bow::Right => ("plan lying", "the bow to the right"),
    };
    let title = format!("{}, {}, seen from above with {way}", boat.particulars.name, sheet_words(view.sheet));
    let svg = html! {
        svg class=(class) viewBox=(format!("0 0 {:.0} {:.0}", scale.wide, scale.high)) role="group" aria-label=(title) {
            title { (title) }
            (sea_words(&scale))
            @if let Some(net) = hull.net() { path.net d=(scale.path(net.into_iter())) {} }
            path.hull d=(scale.path(hull.ring().into_iter())) {}
            @for piece in &pieces { (piece_markup(view, piece)) }
        }
    };
    Drawing { svg, numbers }
}

/// The hull alone, lying with the bow to the right, as a small picture.
pub(crate) fn thumbnail(particulars: &Particulars) -> Markup {
    let hull = Outline::of(particulars);
    // Boats of a base side by side show which is larger; only a very long one is made smaller.
    let scale = f64::min(17.0, 240.0 / hull.length);
    let high = 132.0;
    let bow = f64::midpoint(256.0, hull.length * scale);
    let point = |(aft, across): (f64, f64)| (bow - aft * scale, high / 2.0 + across * scale);
    html! {
        svg.thumb viewBox=(format!("0 0 256 {high:.0}")) aria-hidden="true" focusable="false" {
            @if let Some(net) = hull.net() { path.net d=(shape::path(net.into_iter().map(point))) {} }
            path.hull d=(shape::path(hull.ring().into_iter().map(point))) {}
            @let mast = point((hull.length * 0.42, 0.0));
            circle.mast cx=(format!("{:.1}", mast.0)) cy=(format!("{:.1}", mast.1)) r="3.5" {}
        }
    }
}

/// A sheet with the bow to the right and one place marked, small: without names, which stand beside it.
pub(crate) fn locator(boat: &Boat, chosen: PlaceId) -> Markup {
    let hull = Outline::of(&boat.particulars);
    let sheet = Sheet::of(boat.places[chosen].level);
    let places = sheet.places(boat);
    let scale = scale_over(&hull, Bow::Right, places.iter().map(|id| &boat.places[*id]));
    let shape = |id: PlaceId| Shape::new(&hull, scale, edges_of(&boat.places[id]));
    let marked = shape(chosen);
    let bounds = marked.bounds();
    let (wide, high) = (bounds.right - bounds.left, bounds.bottom - bounds.top);
    let (x, y) = (bounds.left + wide / 2.0, bounds.top + high / 2.0);
    let ring = (wide.max(high) * 0.62).max(42.0);
    // The ring may reach over the edges; the drawing leaves room for it.
    let (left, top) = ((x - ring - 8.0).min(0.0), (y - ring - 8.0).min(0.0));
    let (right, bottom) = ((x + ring + 8.0).max(scale.wide), (y + ring + 8.0).max(scale.high));
    let title =
        format!("{}, {}: {} is marked", boat.particulars.name, sheet_words(sheet), boat.places[chosen].name);
    let bow = scale.point((0.0, 0.0));
    html! {
        svg.plan.locator viewBox=(format!("{left:.0} {top:.0} {:.0} {:.0}", right - left, bottom - top)) role="img" aria-label=(title) {
            title { (title) }
            @if let Some(net) = hull.net() { path.net d=(scale.path(net.into_iter())) {} }
            path.hull d=(scale.path(hull.ring().into_iter())) {}
            @for id in places.iter().filter(|id| **id != chosen) { g.spot { path.shape d=(shape(*id).path()) {} } }
            g.spot.chosen { path.shape d=(marked.path()) {} }
            circle.ring-mark cx=(format!("{x:.1}")) cy=(format!("{y:.1}")) r=(format!("{ring:.1}")) {}
            text.bow-word x=(format!("{:.0}", scale.wide - 4.0)) y=(format!("{:.1}", bow.1 - 16.0)) text-anchor="end" font-size="30" { "Bow" }
        }
    }
}

/// A place at which a walk stops, with its number on the walk.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct Call {
    /// Which of the walk, from 1.
    pub(crate) number: usize,
    /// Where.
    pub(crate) place: PlaceId,
}

/// A sheet with a walk drawn on it, the bow to the right: a number where it stops, a line from each stop to the next if
/// both are on this sheet. The names stand beside it.
pub(crate) fn walked(boat: &Boat, sheet: Sheet, calls: &[Call]) -> Markup {
    const ROUND: f64 = 25.0;
    let hull = Outline::of(&boat.particulars);
    let places = sheet.places(boat);
    let scale = scale_over(&hull, Bow::Right, places.iter().map(|id| &boat.places[*id]));
    let on_sheet = |call: &Call| Sheet::of(boat.places[call.place].level) == sheet;
    let mut spots: Vec<(Call, (f64, f64))> = Vec::new();
    for call in calls.iter().filter(|call| on_sheet(call)) {
        let row = &boat.places[call.place];
        let mut spot = scale.point((row.aft.as_metres(), row.starboard.as_metres()));
        // Numbers that would hide each other stand side by side.
        while spots
            .iter()
            .any(|(_, other)| (other.0 - spot.0).abs().max((other.1 - spot.1).abs()) < ROUND * 1.5)
        {
            spot = (spot.0 - ROUND * 1.7, spot.1);
        }
        spots.push((*call, spot));
    }
    let legs = spots.windows(2).filter(|pair| pair[1].0.number == pair[0].0.number + 1);
    let names: Vec<String> =
        spots.iter().map(|(call, _)| format!("{} {}", call.number, boat.places[call.place].name)).collect();
    let title = format!("{}, {}: {}", boat.particulars.name, sheet_words(sheet), names.join(", "));
    let bow = scale.point((0.0, 0.0));
    html! {
        svg.plan.locator.walked viewBox=(format!("0 0 {:.0} {:.0}", scale.wide, scale.high)) role="img" aria-label=(title) {
            title { (title) }
            @if let Some(net) = hull.net() { path.net d=(scale.path(net.into_iter())) {} }
            path.hull d=(scale.path(hull.ring().into_iter())) {}
            @for id in &places { g.spot { path.shape d=(Shape::new(&hull, scale, edges_of(&boat.places[*id])).path()) {} } }
            @for pair in legs {
                @let (from, to) = (pair[0].1, pair[1].1);
                path.leg d=(format!("M{:.1} {:.1}L{:.1} {:.1}", from.0, from.1, to.0, to.1)) {}
            }
            @for (call, (x, y)) in &spots {
                circle.call cx=(format!("{x:.1}")) cy=(format!("{y:.1}")) r=(format!("{ROUND:.0}")) {}
                text.call-number x=(format!("{x:.1}")) y=(format!("{:.1}", y + 10.0)) text-anchor="middle" font-size="28" { (call.number) }
            }
            text.bow-word x=(format!("{:.0}", scale.wide - 4.0)) y=(format!("{:.1}", bow.1 - 16.0)) text-anchor="end" font-size="30" { "Bow" }
        }
    }
}

fn sheet_words(sheet: Sheet) -> &'static str {
    match sheet {
        Sheet::Deck => "the deck and the cockpit",
        Sheet::Below => "the cabins below",
        Sheet::Bilge => "under the floorboards and behind the linings",
        Sheet::Around => "up the mast and on the dock",
    }
}

/// A scale that shows the hull and all these places.
fn scale_over<'a>(hull: &Outline, bow: Bow, places: impl Iterator<Item = &'a Place>) -> Scale {
    let mut edges = (0.0_f64, hull.length, -hull.beam / 2.0, hull.beam / 2.0);
    for place in places {
        let (fore, aft, port, starboard) = edges_of(place);
        edges = (edges.0.min(fore), edges.1.max(aft), edges.2.min(port), edges.3.max(starboard));
    }
    let (fore, aft, port, starboard) = edges;
    let (long, across) = (aft - fore + 2.0 * MARGIN, starboard - port + 2.0 * MARGIN);
    let (per_metre, wide, high, room) = match bow {
        Bow::Up => {
            let per_metre = UPRIGHT / across;
            (per_metre, UPRIGHT, long * per_metre + ROOM, (ROOM, 0.0))
        }
        Bow::Right => {
            let per_metre = (LYING - 2.0 * ROOM) / long;
            (per_metre, LYING, across * per_metre, (2.0 * ROOM, 0.0))
        }
    };
    Scale { bow, per_metre, fore: fore - MARGIN, port: port - MARGIN, wide, high, room }
}

/// The edges of a place in metres: forward, aft, port, starboard.
fn edges_of(place: &Place) -> (f64, f64, f64, f64) {
    let (aft, across) = (place.aft.as_metres(), place.starboard.as_metres());
    let (long, wide) = (place.long.as_metres() / 2.0, place.wide.as_metres() / 2.0);
    (aft - long, aft + long, across - wide, across + wide)
}

/// A place with its shape and label.
struct Piece {
    place: PlaceId,
    shape: Shape,
    label: Label,
    number: Option<usize>,
}

/// Shapes in drawing order, each with a label that overlaps no other label and no smaller place.
fn lay_out(boat: &Boat, hull: &Outline, scale: Scale, places: &[PlaceId]) -> Vec<Piece> {
    let shapes: Vec<Shape> =
        places.iter().map(|id| Shape::new(hull, scale, edges_of(&boat.places[*id]))).collect();
    let names: Vec<&str> = places.iter().map(|id| boat.places[*id].name.as_str()).collect();
    let labels = labels(&shapes, &names);
    let mut next = 0;
    let pieces = places.iter().zip(shapes).zip(labels).map(|((id, shape), label)| {
        let number = matches!(label, Label::Number { .. }).then(|| {
            next += 1;
            next
        });
        Piece { place: *id, shape, label, number }
    });
    pieces.collect()
}

/// A label for each shape; they come the largest first.
fn labels(shapes: &[Shape], names: &[&str]) -> Vec<Label> {
    let bounds: Vec<Rect> = shapes.iter().map(Shape::bounds).collect();
    let mut words: Vec<Rect> = Vec::new();
    let mut labels: Vec<Label> = Vec::new();
    // The smallest first: they have the least choice.
    for (at, name) in names.iter().enumerate().rev() {
        let mut taken = words.clone();
        taken.extend(bounds[at + 1..].iter().filter(|smaller| smaller.overlaps(&bounds[at])).copied());
        let label = shape::fit(&shapes[at], name, &taken);
        words.push(*label.taken());
        labels.push(label);
    }
    labels.reverse();
    labels
}

fn piece_markup(view: &View<'_>, piece: &Piece) -> Markup {
    let place = &view.boat.places[piece.place];
    let chosen = view.chosen == Some(piece.place);
    let found = view.found.contains(&piece.place);
    let broken = view.broken.contains(&piece.place);
    let class = match (chosen, found) {
        (true, _) => "spot chosen",
        (false, true) => "spot found",
        (false, false) => "spot",
    };
    let depth = depth(view.boat, piece.place).min(2);
    html! {
        a class=(class) href=((view.href)(piece.place)) aria-label=(spoken(place, piece.number, chosen, found, broken))
            aria-current=[chosen.then_some("true")] data-live data-depth=(depth) {
            path.shape d=(piece.shape.path()) {}
            @match &piece.label {
                Label::Name { lines, size, x, taken } => {
                    text font-size=(size) text-anchor="middle" {
                        @for (line, words) in lines.iter().enumerate() {
                            @if line > 0 { tspan font-size="0" { " " } }
                            tspan x=(format!("{x:.1}"))
                                y=(format!("{:.1}", taken.top + size * (0.9 + 1.15 * line as f64))) { (words) }
                        }
                    }
                }
                Label::Number { x, y, .. } => {
                    circle.disc cx=(format!("{x:.1}")) cy=(format!("{y:.1}")) r="10.5" {}
                    text font-size="12" text-anchor="middle" x=(format!("{x:.1}")) y=(format!("{:.1}", y + 4.3)) {
                        (piece.number.unwrap_or_default())
                    }
                }
            }
            @if found && !chosen {
                @let bounds = piece.shape.bounds();
                circle.pin cx=(format!("{:.1}", bounds.right - 9.0)) cy=(format!("{:.1}", bounds.top + 9.0)) r="6" {}
            }
            @if broken {
                @let bounds = piece.shape.bounds();
                (broken_mark(bounds.left + 10.0, bounds.bottom - 9.0))
            }
        }
    }
}

/// The mark of a place with something that is known to be wrong: a cross in a square, its middle here.
fn broken_mark(x: f64, y: f64) -> Markup {
    html! {
        g.broken transform=(format!("translate({x:.1} {y:.1})")) {
            rect x="-8" y="-8" width="16" height="16" rx="3" {}
            path d="M-4 -4L4 4M4 -4L-4 4" {}
        }
    }
}

/// The same mark beside words.
pub(crate) fn broken_sign() -> Markup {
    html! { svg.icon.plan-mark viewBox="-9 -9 18 18" aria-hidden="true" focusable="false" { (broken_mark(0.0, 0.0)) } }
}

fn spoken(place: &Place, number: Option<usize>, chosen: bool, found: bool, broken: bool) -> String {
    let mut words = number.map_or_else(|| place.name.clone(), |number| format!("{number} {}", place.name));
    if chosen {
        words.push_str(", shown");
    }
    if found {
        words.push_str(", holds what you look for");
    }
    if broken {
        words.push_str(", something there is known to be wrong");
    }
    words
}

/// How many places hold it.
fn depth(boat: &Boat, place: PlaceId) -> usize {
    let mut depth = 0;
    let mut at = boat.places[place].within;
    while let (Some(holder), true) = (at, depth < boat.places.len()) {
        depth += 1;
        at = boat.places.get(holder).and_then(|place| place.within);
    }
    depth
}

/// "Bow", "Port" and "Starboard" where there is no hull, and the centreline.
fn sea_words(scale: &Scale) -> Markup {
    let bow = scale.point((0.0, 0.0));
    let (line, words): (String, [(f64, f64, &str, &str); 3]) = match scale.bow {
        Bow::Up => (
            format!("M{:.1} {ROOM:.0}V{:.0}", bow.0, scale.high),
            [
                (bow.0, 16.0, "middle", "Bow"),
                (4.0, ROOM + 14.0, "start", "Port (left)"),
                (scale.wide - 4.0, ROOM + 14.0, "end", "Starboard (right)"),
            ],
        ),
        Bow::Right => (
            format!("M0 {:.1}H{:.1}", bow.1, scale.wide - 2.0 * ROOM),
            [
                (scale.wide - 6.0, bow.1 + 4.5, "end", "Bow"),
                (scale.wide - 6.0, 18.0, "end", "Port (left)"),
                (scale.wide - 6.0, scale.high - 8.0, "end", "Starboard (right)"),
            ],
        ),
    };
    html! {
        path.sea-line d=(line) {}
        @for (x, y, anchor, word) in words {
            text.sea-word x=(format!("{x:.1}")) y=(format!("{y:.1}")) text-anchor=(anchor) font-size="12" { (word) }
        }
    }
}

#[cfg(test)]
mod tests;
