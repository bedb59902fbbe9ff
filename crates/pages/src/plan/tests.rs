//! The drawing as a whole: nothing on it overlaps, everything on it can be reached.

use super::*;

fn boat(text: &str) -> Boat {
    let compiled = boat::compile("test.toml", text);
    let said: Vec<String> = compiled.diagnostics.iter().map(|d| d.plain(&compiled.sources)).collect();
    compiled.boat.unwrap_or_else(|| panic!("{}", said.join("\n")))
}

const HEAD_LINES: &str = "becket = 1\n[boat]\nname = \"Test\"\nhull = \"monohull\"\nmodel = \"13 m sloop\"\nrig = \"sloop\"\n\
    length = \"13 m\"\nbeam = \"4.1 m\"\ndraught = \"2.1 m\"\nberths = 6\n";

fn place(id: &str, name: &str, level: &str, aft: f64, side: &str, long: f64, wide: f64) -> String {
    format!(
        "[places.{id}]\nname = \"{name}\"\nlevel = \"{level}\"\naft = \"{aft} m\"\nside = \"{side}\"\nlong = \"{long} m\"\nwide = \"{wide} m\"\n"
    )
}

fn crowded() -> Boat {
    let mut text = HEAD_LINES.to_owned();
    text += &place("saloon", "Saloon", "below", 6.0, "0 m", 3.0, 3.2);
    text += &place("galley", "Galley", "below", 7.0, "1.1 m starboard", 1.2, 1.2);
    text += &place("nav", "Navigation station", "below", 7.1, "1.2 m port", 1.0, 0.9);
    text += &place("locker", "Locker under the navigation seat", "below", 7.2, "1.4 m port", 0.4, 0.4);
    text += &place("fore", "Fore cabin", "below", 2.2, "0 m", 2.4, 2.6);
    text += &place("panel", "Panel", "below", 7.6, "0.5 m port", 0.1, 0.3);
    text += &place("dock", "Pedestal", "dock", 9.0, "3.6 m port", 0.5, 0.5);
    boat(&text)
}

fn pieces(boat: &Boat, sheet: Sheet, bow: Bow) -> (Scale, Vec<Piece>) {
    let hull = Outline::of(&boat.particulars);
    let places = sheet.places(boat);
    let scale = scale_over(&hull, bow, places.iter().map(|id| &boat.places[*id]));
    (scale, lay_out(boat, &hull, scale, &places))
}

#[test]
fn no_two_words_overlap() {
    let boat = crowded();
    for bow in [Bow::Up, Bow::Right] {
        let (_, pieces) = pieces(&boat, Sheet::Below, bow);
        assert_eq!(pieces.len(), 6);
        for (at, one) in pieces.iter().enumerate() {
            for other in &pieces[at + 1..] {
                assert!(
                    !one.label.taken().overlaps(other.label.taken()),
                    "{:?} and {:?}",
                    one.label,
                    other.label
                );
            }
        }
    }
}

#[test]
fn a_place_ashore_is_drawn_within_the_sheet() {
    let boat = crowded();
    for bow in [Bow::Up, Bow::Right] {
        let (scale, pieces) = pieces(&boat, Sheet::Around, bow);
        let bounds = pieces[0].shape.bounds();
        assert!(bounds.left >= 0.0 && bounds.right <= scale.wide, "{bounds:?}");
        assert!(bounds.top >= 0.0 && bounds.bottom <= scale.high, "{bounds:?}");
    }
}

#[test]
fn the_bow_points_up_or_to_the_right_with_port_on_its_own_side() {
    let boat = crowded();
    let hull = Outline::of(&boat.particulars);
    let scale = |bow| scale_over(&hull, bow, std::iter::empty());
    let (up, right) = (scale(Bow::Up), scale(Bow::Right));
    assert!(
        up.point((0.0, 0.0)).1 < up.point((13.0, 0.0)).1 && up.point((5.0, -1.0)).0 < up.point((5.0, 1.0)).0
    );
    assert!(right.point((0.0, 0.0)).0 > right.point((13.0, 0.0)).0);
    assert!(right.point((5.0, -1.0)).1 < right.point((5.0, 1.0)).1, "looking to the right, port is up");
}

#[test]
fn every_place_is_a_link_and_the_chosen_one_says_so() {
    let boat = crowded();
    let chosen = boat.place("galley");
    let found = BTreeSet::from([boat.place("fore").expect("it is in the file")]);
    let broken = BTreeSet::from([boat.place("nav").expect("it is in the file")]);
    let href = |id: PlaceId| format!("/there/{}", boat.places[id].id);
    let view = View { boat: &boat, sheet: Sheet::Below, chosen, found: &found, broken: &broken, href: &href };
    let text = draw_upright(&view).svg.into_string();
    for id in ["saloon", "galley", "nav", "locker", "fore", "panel"] {
        assert!(text.contains(&format!("href=\"/there/{id}\"")), "{id}");
    }
    assert!(text.contains("aria-label=\"Galley, shown\""));
    assert!(text.contains("aria-label=\"Fore cabin, holds what you look for\""));
    assert!(text.contains(", something there is known to be wrong\""));
    assert_eq!(text.matches("class=\"broken\"").count(), 1);
    assert!(!text.contains("NaN") && !text.contains("inf"));
}

#[test]
fn what_does_not_fit_has_a_number() {
    let boat = crowded();
    let found = BTreeSet::new();
    let view = View {
        boat: &boat,
        sheet: Sheet::Below,
        chosen: None,
        found: &found,
        broken: &found,
        href: &|_| String::new(),
    };
    let numbers = draw_upright(&view).numbers;
    let names: Vec<&str> = numbers.iter().map(|(id, _)| boat.places[*id].id.as_str()).collect();
    assert!(names.contains(&"locker") && names.contains(&"panel"), "{names:?}");
    assert!(!names.contains(&"saloon"));
}
