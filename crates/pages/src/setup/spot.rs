//! Where a place lies on board: its distances as fields, beside a picture of the boat on which it is marked.

use boat::edit::{Deck, Key, Value, keys};
use boat::model::Hull;
use maud::{Markup, html};
use quantity::{Dimension, Length};

use super::field::{Desk, amount, fields};
use crate::plan::{self, Measured, Placing};

/// The sides as they are written, with their words; the middle line is written without one.
const SIDES: [(&str, &str); 3] =
    [("port", "To port (left)"), ("starboard", "To starboard (right)"), ("", "On the middle line")];

/// A distance from the middle line as it is written: the distance, and to which side.
fn parts(typed: &str) -> (&str, &str) {
    for side in ["port", "starboard"] {
        if let Some(distance) = typed.strip_suffix(side) {
            return (distance.trim_end(), side);
        }
    }
    (typed, "")
}

/// The field of a distance from the middle line: how far, and to which side.
pub(super) fn side(name: &str, id: &str, hint: &str, typed: &str) -> Markup {
    let (distance, to) = parts(typed);
    html! {
        label for=(id) { "How far" }
        (amount(name, id, hint, &[Dimension::Length], distance))
        div.choices {
            @for (value, words) in SIDES {
                @let own = format!("{id}-{}", if value.is_empty() { "middle" } else { value });
                label for=(own) {
                    input id=(own) type="radio" name=(format!("{name}~to")) value=(value) checked[value == to];
                    (words)
                }
            }
        }
    }
}

/// What was filled in there: as it is written, and what is wrong with it.
pub(super) fn read_side(
    distance: Option<String>,
    to: Option<&str>,
) -> (Option<String>, Option<&'static str>) {
    match (distance, to) {
        (None, None) => (None, None),
        (None, Some(to)) => (
            Some(to.to_owned()),
            Some("Say how far from the middle line, or choose \u{201c}On the middle line\u{201d}."),
        ),
        (Some(distance), to) if ["port", "starboard"].iter().any(|side| distance.ends_with(side)) => {
            let flaw = to.is_some_and(|to| !distance.ends_with(to));
            (
                Some(distance),
                flaw.then_some("The words and the side that is chosen differ. Write the distance alone."),
            )
        }
        (Some(distance), Some(to)) => (Some(format!("{distance} {to}")), None),
        (Some(distance), None) => {
            let off = Length::parse(&distance).is_ok_and(|length| length > Length::metres(0.0));
            (Some(distance), off.then_some("Say to which side: port or starboard."))
        }
    }
}

/// All fields of a place: its position stands together, with the picture.
pub(super) fn place_fields(desk: Desk<'_>, id: Option<&str>) -> Markup {
    let all = keys("places");
    let at = |name: &str| all.iter().position(|key| key.name == name).unwrap_or_default();
    let (from, until) = (at("aft"), at("wide") + 1);
    let part = |keys: &'static [Key]| fields(desk, keys, super::form::ROOT, desk.row, None);
    html! {
        (part(&all[..from]))
        fieldset.set-field.spot-field {
            legend { "Where it lies" }
            div.spot-parts {
                (picture(desk, id))
                div.inner { (part(&all[from..until])) }
            }
        }
        (part(&all[until..]))
    }
}

fn picture(desk: Desk<'_>, id: Option<&str>) -> Markup {
    let (file, row) = (desk.deck, desk.row);
    let Some(hull) = hull(file) else {
        return html! { p.soft { "Her length and beam are not known yet, so there is no picture. Fill in her particulars first." } };
    };
    let others = file.section("places").iter().filter(|entry| Some(entry.id.as_str()) != id);
    let others: Vec<Measured> = others.filter_map(|entry| measured(&entry.name, &entry.full)).collect();
    let own = measured("", row);
    let boat = file.particulars.get("name").and_then(Value::as_text).unwrap_or("The boat");
    let (pictures, names) = plan::placing(&Placing { boat, hull, others: &others, own: own.as_ref() });
    html! {
        figure.spot-picture data-spot {
            p.hint hidden data-scripted { "Tap where its middle is. The figures follow, and can be mended." }
            p.hint.spot-level { "Choose a level: the other places there are then shown." }
            (pictures)
            figcaption { output data-spot-words role="status" { (own.as_ref().map_or_else(|| "Not placed yet.".to_owned(), said)) }
                p.show { button.plain type="button" hidden data-spot-back { "Back to where it was" } } }
            (names)
        }
    }
}

/// One hull or two, length and beam in metres, if the particulars say them.
fn hull(deck: &Deck) -> Option<(Hull, f64, f64)> {
    let metres = |key: &str| length(&deck.particulars, key).filter(|metres| *metres > 0.0);
    let kind = match deck.particulars.get("hull").and_then(Value::as_text) {
        Some("catamaran") => Hull::Catamaran,
        _ => Hull::Monohull,
    };
    Some((kind, metres("length")?, metres("beam")?))
}

fn length(row: &Value, key: &str) -> Option<f64> {
    let typed = row.get(key)?.as_text()?;
    Length::parse(typed).ok().map(Length::as_metres).filter(|metres| metres.is_finite())
}

/// A place as far as it can be drawn: without a distance from the bow it can't, without a measure it is half a metre.
fn measured(name: &str, row: &Value) -> Option<Measured> {
    let text = |key: &str| row.get(key).and_then(Value::as_text).unwrap_or_default();
    let (distance, to) = parts(text("side"));
    let off = Length::parse(distance).map_or(0.0, Length::as_metres);
    let across = if to == "port" { -off } else { off };
    let size = |key: &str| length(row, key).filter(|metres| *metres > 0.0).unwrap_or(0.5);
    Some(Measured {
        name: name.to_owned(),
        level: text("level").to_owned(),
        middle: (length(row, "aft")?, across),
        size: (size("long"), size("wide")),
    })
}

/// Where it is, in words.
fn said(place: &Measured) -> String {
    let (aft, across) = place.middle;
    let side = match across {
        off if off < 0.0 => format!("{:.2} m to port", -off),
        off if off > 0.0 => format!("{off:.2} m to starboard"),
        _ => "on the middle line".to_owned(),
    };
    format!("Now {aft:.2} m from the bow, {side}.")
}

#[cfg(test)]
mod tests {
    use super::*;

    fn read(distance: &str, to: &str) -> (Option<String>, Option<&'static str>) {
        let some = |text: &str| Some(text.to_owned()).filter(|text| !text.is_empty());
        read_side(some(distance), some(to).as_deref())
    }

    #[test]
    fn a_side_goes_out_into_its_parts_and_comes_back() {
        for typed in ["1.2 m port", "0 m", "80 cm starboard", "0 m port"] {
            let (distance, to) = parts(typed);
            assert_eq!(read(distance, to), (Some(typed.to_owned()), None), "{typed}");
        }
        assert_eq!(read("", ""), (None, None));
    }

    #[test]
    fn half_of_a_side_is_asked_for_and_kept() {
        let (kept, wrong) = read("1.2 m", "");
        assert_eq!(kept.as_deref(), Some("1.2 m"));
        assert!(wrong.expect("a side is missing").contains("port or starboard"));
        let (kept, wrong) = read("", "port");
        assert_eq!(parts(&kept.expect("the side is kept")), ("", "port"));
        assert!(wrong.is_some());
        assert!(read("1 m port", "starboard").1.is_some());
    }
}
