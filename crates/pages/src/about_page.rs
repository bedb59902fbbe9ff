//! What Becket is, what it knows and does not know, and the words it uses.

use maud::{Markup, html};

use crate::frame::{Site, page};
use crate::signs::{self, Shape};

/// The page about Becket itself.
pub fn about_page(site: &Site) -> String {
    let body = html! {
        div.title {
            h1 { "About Becket" }
            p.lead { "A becket is a short loop of rope that keeps gear in its place. Becket keeps what there is to know about a boat in its place." }
        }
        (what_it_does())
        (what_it_knows())
        (how_to_read())
        (glossary())
    };
    page(site, "About Becket", None, &body)
}

fn what_it_does() -> Markup {
    html! {
        section.block aria-labelledby="does" {
            h2 #does { "What it is for" }
            p { "A charter base hands boats over to people who have never seen them. Becket holds one checked description of each boat and answers from it:" }
            ul.plainly {
                li { "where a thing is, and how to find it;" }
                li { "how to do a thing, step by step, and what to mind at which step;" }
                li { "what happens if a step is left out, done too early, or done wrongly;" }
                li { "how to get from how the boat stands now to what you want, by the shortest safe way;" }
                li { "whether power, water, waste, fuel and gas last a trip, and what would make them last;" }
                li { "how much to let out at anchor, and how far the boat then swings;" }
                li { "what the law wants aboard and what may go overboard, as far as it was read, each with its source;" }
                li { "high and low water at a few stations, for planning and not for navigation;" }
                li { "what is counted, serviced and shown." }
            }
        }
    }
}

fn what_it_knows() -> Markup {
    html! {
        section.block aria-labelledby="knows" {
            h2 #knows { "What it knows and does not know" }
            p { "Becket knows what the boat file says, and what follows from it. It follows every step list on that description in every situation that can matter, so a list that is called " strong { "proven" } " does no harm " em { "on a boat that is as described" } "." }
            p { "It does not know what nobody wrote down: a part that was changed yesterday, a switch that is broken, a rope across the propeller, the weather, or you. It does not navigate and it gives no legal or medical advice." }
            p { "These come first, always: " strong { "local law, the maker's manual, and people licensed for the work" } " on gas, mains electricity and engines. Where Becket and they differ, they are right; tell the base, so that the boat file is mended." }
            p { "In danger to life call for help first: on VHF channel 16, or by the emergency number of the country you are in." }
        }
    }
}

fn how_to_read() -> Markup {
    let shapes = [
        (Shape::Warning, "Triangle", "mind a danger"),
        (Shape::Mandatory, "Disc", "do this"),
        (Shape::Prohibition, "Ring with a bar", "never do this"),
        (Shape::Fire, "Square with an extinguisher", "fire equipment"),
        (Shape::Safe, "Square with a cross", "help, and ways out"),
    ];
    let words = [
        ("Danger", "If you do not heed it, someone dies or is badly hurt."),
        ("Warning", "If you do not heed it, someone could die or be badly hurt."),
        ("Caution", "If you do not heed it, someone could be hurt."),
        ("Notice", "Not about people: gear, or the sea, comes to harm."),
    ];
    html! {
        section.block aria-labelledby="signs" {
            h2 #signs { "Signs and signal words" }
            p { "Shapes and words carry the meaning; colours only help. The shapes follow ISO 3864, the ranks of the words ANSI Z535.4; the pictures are our own." }
            ul.shapes { @for (shape, name, meaning) in shapes { li { (signs::plain(shape, name)) span { strong { (name) } ": " (meaning) } } } }
            dl.terms { @for (word, meaning) in words { div { dt { (word) } dd { (meaning) } } } }
        }
    }
}

/// The words of the trade and of Becket, in alphabetical order.
const GLOSSARY: [(&str, &str); 24] = [
    ("Abaft, aft", "Towards the back of the boat."),
    (
        "At rest",
        "As the boat is to be left when nobody is aboard: every switch, valve and lever in its resting position.",
    ),
    ("Bareboat", "Chartered without a crew: you sail the boat yourselves."),
    ("Bilge", "The lowest space inside the hull, under the floorboards, where water gathers."),
    ("Bow", "The front of the boat."),
    ("Breaker", "A switch on the panel that also cuts a circuit by itself if too much current flows."),
    ("Companionway", "The steps and the opening between the cockpit and the cabin."),
    ("Draught", "How deep the boat reaches into the water."),
    (
        "Forbidden state",
        "A way for the boat to be that no step list may ever bring about, not even for a moment.",
    ),
    ("Galley", "The kitchen."),
    ("Goal", "What a step list brings about."),
    (
        "Handover",
        "Showing the boat to those who charter her, and counting what is aboard; hand-back is the same at the end.",
    ),
    ("Head", "The toilet, and the small room that it is in."),
    ("Holding tank", "The tank that keeps the toilet's waste until it may be emptied."),
    ("Limit", "A figure not to be passed: the longest run, the shortest rest, the least room."),
    ("Need", "What must be so before a step can work."),
    ("Port", "The left side of the boat when you look forward."),
    (
        "Proven",
        "Followed on the model of the boat in every situation that can matter, without harm, with the goal reached.",
    ),
    ("Rode", "The chain and rope between anchor and boat."),
    ("Seacock", "A valve on a hole in the hull, for water in or out."),
    ("Slip", "A step left out, done too early or late, done twice, or done wrongly; everybody makes them."),
    ("Starboard", "The right side of the boat when you look forward."),
    ("Stern", "The back of the boat."),
    ("Windlass", "The winch that hauls the anchor."),
];

fn glossary() -> Markup {
    html! {
        section.block aria-labelledby="words" {
            h2 #words { "Words" }
            dl.terms { @for (word, meaning) in GLOSSARY { div { dt { (word) } dd { (meaning) } } } }
        }
    }
}
