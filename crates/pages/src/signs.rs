//! Safety signs as small drawings of our own, each shape with its meaning in words for those who can't see it.
//!
//! # Source
//! Shapes and colours by ISO 3864-1: warning is a yellow triangle with a black edge, mandatory a blue disc,
//! prohibition a red ring with a bar, fire equipment a red square, safe condition a green square. The picture
//! elements are drawn here and are not the registered ones of ISO 7010. (From memory of the standard's tables.)

use boat::model::{Hazard, SignalWord};
use maud::{Markup, html};

/// The shape of a sign: what it asks of the reader.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Shape {
    /// Mind a danger: triangle.
    Warning,
    /// Do this: disc.
    Mandatory,
    /// Never do this: ring with a bar.
    Prohibition,
    /// Fire equipment: square with a flame.
    Fire,
    /// Help and ways out: square with a cross.
    Safe,
}

/// The sign of a hazard, with its meaning as its title.
pub(crate) fn hazard(hazard: Hazard, word: SignalWord) -> Markup {
    let shape = if word == SignalWord::Notice { Shape::Mandatory } else { Shape::Warning };
    sign(shape, Some(hazard), &format!("{}: {}", shape_word(shape), hazard_word(hazard)))
}

/// A sign without a hazard, such as the safe-condition square of an emergency step list.
pub(crate) fn plain(shape: Shape, title: &str) -> Markup {
    sign(shape, None, title)
}

/// The danger in words.
pub(crate) fn hazard_word(hazard: Hazard) -> &'static str {
    match hazard {
        Hazard::Gas => "cooking gas",
        Hazard::Fire => "fire",
        Hazard::Fuel => "fuel and its vapour",
        Hazard::Mains => "mains voltage",
        Hazard::Battery => "battery current and acid",
        Hazard::Flooding => "water coming in",
        Hazard::Overboard => "people in the water",
        Hazard::Fumes => "exhaust gas and carbon monoxide",
        Hazard::Hot => "hot surface or steam",
        Hazard::Crush => "crushing and moving parts",
        Hazard::Fall => "falling",
        Hazard::Sea => "harm to the sea",
        Hazard::Gear => "damage to gear",
    }
}

/// The signal word as it is printed.
pub(crate) fn signal_word(word: SignalWord) -> &'static str {
    match word {
        SignalWord::Danger => "Danger",
        SignalWord::Warning => "Warning",
        SignalWord::Caution => "Caution",
        SignalWord::Notice => "Notice",
    }
}

/// The class name of a signal word in the style sheet.
pub(crate) fn signal_class(word: SignalWord) -> &'static str {
    match word {
        SignalWord::Danger => "signal danger",
        SignalWord::Warning => "signal warning",
        SignalWord::Caution => "signal caution",
        SignalWord::Notice => "signal notice",
    }
}

fn shape_word(shape: Shape) -> &'static str {
    match shape {
        Shape::Warning => "Warning sign",
        Shape::Mandatory => "Mandatory sign",
        Shape::Prohibition => "Prohibition sign",
        Shape::Fire => "Fire equipment sign",
        Shape::Safe => "Safe condition sign",
    }
}

fn sign(shape: Shape, hazard: Option<Hazard>, title: &str) -> Markup {
    let (class, transform) = match shape {
        Shape::Warning => ("sign sign-warning", "translate(14.4 19.5) scale(.8)"),
        Shape::Mandatory => ("sign sign-mandatory", "translate(10.8 10.8) scale(1.1)"),
        Shape::Prohibition => ("sign sign-prohibition", "translate(13.2 13.2) scale(.9)"),
        Shape::Fire => ("sign sign-fire", "translate(8.4 8.4) scale(1.3)"),
        Shape::Safe => ("sign sign-safe", "translate(8.4 8.4) scale(1.3)"),
    };
    let element = match (shape, hazard) {
        (_, Some(hazard)) => hazard_element(hazard),
        (Shape::Fire, None) => EXTINGUISHER,
        (Shape::Safe, None) => CROSS,
        (_, None) => EXCLAMATION,
    };
    html! {
        svg class=(class) viewBox="0 0 48 48" role="img" aria-label=(title) focusable="false" {
            title { (title) }
            @match shape {
                Shape::Warning => path class="face" d="M24 5 45 41.5H3z" stroke-width="4" stroke-linejoin="round" {},
                Shape::Mandatory => circle class="face" cx="24" cy="24" r="22" {},
                Shape::Prohibition => circle class="face" cx="24" cy="24" r="20" stroke-width="4.5" {},
                Shape::Fire | Shape::Safe => rect class="face" x="2" y="2" width="44" height="44" rx="4" {},
            }
            g transform=(transform) {
                @if !element.solid.is_empty() { path class="solid" d=(element.solid) {} }
                @if !element.line.is_empty() { path class="stroke" d=(element.line) {} }
            }
            @if shape == Shape::Prohibition {
                path class="bar" d="M10 10 38 38" stroke-width="4.5" {}
            }
        }
    }
}

/// A picture element in a box of 24 by 24: what is filled and what is drawn as a line.
struct Element {
    solid: &'static str,
    line: &'static str,
}

const EXCLAMATION: Element = Element {
    solid: "M10.2 3.5a1.8 1.8 0 0 1 3.6 0l-.6 10.5a1.2 1.2 0 0 1-2.4 0zM12 17.2a2.2 2.2 0 1 1 0 4.4 2.2 2.2 0 0 1 0-4.4z",
    line: "",
};
const CROSS: Element = Element { solid: "M9.5 3h5v6.5H21v5h-6.5V21h-5v-6.5H3v-5h6.5z", line: "" };
const EXTINGUISHER: Element = Element {
    solid: "M8 10a4 4 0 0 1 8 0v12H8zM10.8 3h2.4v3h-2.4z",
    line: "M12 4.5H7c-2.2 0-3 2-3 5M13 4.5h4",
};

fn hazard_element(hazard: Hazard) -> Element {
    let (solid, line) = match hazard {
        Hazard::Gas | Hazard::Fire => (
            "M12.5 1c.8 4.5 6 6.5 6 12.5a6.5 6.5 0 0 1-13 .3c0-3.3 1.9-4.8 2.9-7 .7 1.5 1.3 2.5 2.1 3 .5-3 .7-6.3 2-8.8z",
            if matches!(hazard, Hazard::Gas) { "M4 23h16" } else { "" },
        ),
        Hazard::Fuel => ("M12 1.5c3 4.5 7 8.5 7 13a7 7 0 0 1-14 0c0-4.5 4-8.5 7-13z", ""),
        Hazard::Mains => ("M14 0 4.5 13.5h6L8.5 24l11-14.5h-6.5z", ""),
        Hazard::Battery => {
            ("M4 5h4v3H4zM16 5h4v3h-4z", "M2.5 9h19v11.5h-19zM5.5 14.5h4M14.5 14.5h4M16.5 12.5v4")
        }
        Hazard::Flooding => (
            "M10.5 1h3v7h3.5L12 13.5 7 8h3.5z",
            "M1 17c2.2-2.5 3.7-2.5 5.5 0s3.7 2.5 5.5 0 3.7-2.5 5.5 0 3.3 2.5 5.5 0M1 22c2.2-2.5 3.7-2.5 5.5 0s3.7 2.5 5.5 0 3.7-2.5 5.5 0 3.3 2.5 5.5 0",
        ),
        Hazard::Overboard => (
            "M12 4.5a3 3 0 1 1 0 6 3 3 0 0 1 0-6z",
            "M6 3.5 9 12h6l3-8.5M12 12v4M1 19c2.2-2.5 3.7-2.5 5.5 0s3.7 2.5 5.5 0 3.7-2.5 5.5 0 3.3 2.5 5.5 0",
        ),
        Hazard::Fumes => (
            "M7 15a4.5 4.5 0 0 1-.5-9A6 6 0 0 1 18 6.5 4.3 4.3 0 0 1 17.5 15z",
            "M7 18.5h.1M12 18.5h.1M17 18.5h.1M9.5 22h.1M14.5 22h.1",
        ),
        Hazard::Hot => ("", "M6 3c-3 3.5 3 6 0 10.5M12 3c-3 3.5 3 6 0 10.5M18 3c-3 3.5 3 6 0 10.5M3 19h18"),
        Hazard::Crush => {
            ("M10.7 0h2.6v4.5h3L12 9.5l-4.3-5h3zM10.7 24h2.6v-4.5h3L12 14.5l-4.3 5h3z", "M3 12h18")
        }
        Hazard::Fall => (
            "M15.5 1.5a2.5 2.5 0 1 1 0 5 2.5 2.5 0 0 1 0-5z",
            "M13.5 8.5 8 12.5l4.5 3.5-1.5 5M13.5 8.5l5 1M8 12.5l-5 .5M12.5 16H19M1 23h22",
        ),
        Hazard::Sea => ("M1 12c4-6 11-7 16-1.5L22.5 6v12L17 13.5C12 19 5 18 1 12z", ""),
        Hazard::Gear => ("M20.5 3.5 17 7l-.5-.5L20 3a6 6 0 0 0-8 7.5L3 19.5 5.5 22l9-9A6 6 0 0 0 22 5z", ""),
    };
    Element { solid, line }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_sign_says_its_meaning_in_words() {
        let text = hazard(Hazard::Gas, SignalWord::Danger).into_string();
        assert!(text.contains("Warning sign: cooking gas"), "{text}");
        assert!(text.contains("sign-warning"));
        let notice = hazard(Hazard::Gear, SignalWord::Notice).into_string();
        assert!(notice.contains("sign-mandatory"), "a notice is about things, so it is no warning triangle");
    }
}
