//! The frame around every page: head, top line, navigation, foot.

use maud::{DOCTYPE, Markup, html};

use crate::assets::assets;
use crate::links::{self, Room};

/// Whose pages these are.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Site {
    /// The name of the base.
    pub base: String,
    /// Whether the base and its boats are invented, for trying things out.
    pub demo: bool,
}

/// The boat that a page is about.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Aboard<'a> {
    /// Her part of the address.
    pub(crate) slug: &'a str,
    /// Her name.
    pub(crate) name: &'a str,
    /// Which of her pages.
    pub(crate) room: Room,
}

/// A whole page: its title, the boat it is about if any, and its body.
pub(crate) fn page(site: &Site, title: &str, aboard: Option<Aboard<'_>>, body: &Markup) -> String {
    let [css, js, mark] = assets();
    let full = aboard.map_or_else(
        || format!("{title} - {} - Becket", site.base),
        |aboard| format!("{title} - {} - Becket", aboard.name),
    );
    let page = html! {
        (DOCTYPE)
        html lang="en" {
            head {
                meta charset="utf-8";
                meta name="viewport" content="width=device-width, initial-scale=1";
                meta name="color-scheme" content="light dark";
                title { (full) }
                link rel="stylesheet" href=(css.path);
                link rel="icon" href=(mark.path) type="image/svg+xml";
                script src=(js.path) {}
            }
            body {
                a.skip href="#main" { "Skip to the page" }
                (top(site, aboard))
                @match aboard {
                    Some(aboard) => div.aboard {
                        (side(aboard))
                        main #main tabindex="-1" { (body) }
                    },
                    None => main #main tabindex="-1" { (body) },
                }
                (foot(site))
                @if let Some(aboard) = aboard { (bar(aboard)) }
            }
        }
    };
    page.into_string()
}

fn top(site: &Site, aboard: Option<Aboard<'_>>) -> Markup {
    html! {
        header.top {
            a.mark href="/" {
                (loop_of_rope())
                span { span.brand { "Becket" } span.base { (site.base) } }
            }
            @if let Some(aboard) = aboard {
                a.boat-name href=(links::room(aboard.slug, Room::Plan)) { (aboard.name) }
            }
            button.look type="button" data-look-toggle hidden { "Night" }
        }
    }
}

/// All pages of the boat: beside the page on a wide screen, below it on a phone.
fn side(aboard: Aboard<'_>) -> Markup {
    html! {
        nav.side #all-pages aria-label=(format!("Pages about {}", aboard.name)) {
            p.side-title { (aboard.name) }
            ul {
                @for room in Room::ALL {
                    li {
                        a href=(links::room(aboard.slug, room))
                            aria-current=[(room == aboard.room).then_some("page")] {
                            (icon(room)) span { (room.name()) }
                        }
                    }
                }
                li.apart { a href="/" { (fleet_icon()) span { "All boats" } } }
                li { a href="/about" { (about_icon()) span { "About Becket" } } }
            }
        }
    }
}

/// The pages used most, in reach of the thumb; on phones only.
fn bar(aboard: Aboard<'_>) -> Markup {
    html! {
        nav.bar aria-label="Most used" {
            @for room in [Room::Plan, Room::Steps, Room::Wrong, Room::Items, Room::Now] {
                a href=(links::room(aboard.slug, room))
                    aria-current=[(room == aboard.room).then_some("page")] {
                    (icon(room)) span { (short(room)) }
                }
            }
            a href="#all-pages" { (more_icon()) span { "More" } }
        }
    }
}

fn short(room: Room) -> &'static str {
    match room {
        Room::Steps => "Steps",
        Room::Wrong => "Wrong?",
        Room::Now => "Now",
        Room::Items => "Find",
        other => other.name(),
    }
}

fn foot(site: &Site) -> Markup {
    html! {
        footer.foot {
            @if site.demo {
                p { strong { "Demonstration." } " " (site.base) " and its boats are invented. Do not sail by them." }
            }
            p {
                "Becket helps to hand a boat over. Local law, the maker's manual and licensed tradespeople come first. "
                a href="/about" { "What Becket knows and does not know" }
            }
        }
    }
}

/// The mark: a loop of rope with its knot.
fn loop_of_rope() -> Markup {
    html! {
        svg.rope viewBox="0 0 32 32" aria-hidden="true" focusable="false" {
            path d="M16 4.5c6.4 0 9.5 4.6 9.5 9.5 0 6.2-6.3 8.2-9.5 8.2s-9.5-2-9.5-8.2c0-4.9 3.1-9.5 9.5-9.5z" fill="none" stroke="currentColor" stroke-width="3.2" {}
            circle cx="16" cy="24" r="4.2" fill="currentColor" {}
        }
    }
}

fn line_icon(path: &'static str) -> Markup {
    html! {
        svg.icon viewBox="0 0 24 24" aria-hidden="true" focusable="false" {
            path d=(path) {}
        }
    }
}

fn icon(room: Room) -> Markup {
    line_icon(match room {
        Room::Plan => {
            "M12 2c4 4.5 5.5 8 5.5 12.5 0 3-.5 5-1.5 7.5H8c-1-2.5-1.5-4.5-1.5-7.5C6.5 10 8 6.5 12 2zM9 15h6"
        }
        Room::Steps => {
            "M4 5l1.5 1.5L8 4M4 12l1.5 1.5L8 11M4 19l1.5 1.5L8 18M11.5 5.5H21M11.5 12.5H21M11.5 19.5H21"
        }
        Room::Wrong => {
            "M12 3a9 9 0 1 1 0 18 9 9 0 0 1 0-18zM9.2 9.4a2.9 2.9 0 1 1 4.2 2.6c-1 .5-1.4 1.1-1.4 2.2M12 17v.3"
        }
        Room::Items => "M10.5 3.5a7 7 0 1 1 0 14 7 7 0 0 1 0-14zM15.5 15.5 21 21",
        Room::Now => "M12 3v5M12 16v5M3 12h5M16 12h5M12 8.5a3.5 3.5 0 1 1 0 7 3.5 3.5 0 0 1 0-7z",
        Room::Forecast => "M7 3h10M7 21h10M8 3c0 5 8 7 8 9s-8 4-8 9M16 3c0 5-8 7-8 9s8 4 8 9M10 19h4",
        Room::Anchor => {
            "M12 7.5v13M8.5 10.5h7M12 3a2.2 2.2 0 1 1 0 4.5A2.2 2.2 0 0 1 12 3zM4 13c.5 4.5 3.5 7.5 8 7.5s7.5-3 8-7.5M2.5 15 4 13l2 1.5M21.5 15 20 13l-2 1.5"
        }
        Room::Slips => "M12 3.5 21.5 20h-19zM12 9.5v5M12 17v.5",
        Room::Proof => "M12 2.5l8 3v6c0 5-3.5 8.5-8 10-4.5-1.5-8-5-8-10v-6zM8.5 12l2.5 2.5 4.5-5",
        Room::Kit => "M4 8h16v12H4zM9 8V5h6v3M4 13h16",
        Room::Upkeep => "M20 4.5 16.5 8 16 7.5 19.5 4a5 5 0 0 0-7 6L4 18.5 5.5 20l8.5-8.5a5 5 0 0 0 6-7z",
        Room::Briefing => "M4 4h16v12H11l-5 4v-4H4zM8 8.5h8M8 12h5",
    })
}

fn fleet_icon() -> Markup {
    line_icon("M3 18h8l-1 3H4zM7 4v12M7 5l4 10H7M14 18h7l-1 3h-5zM17.5 8v8M17.5 9l3 6h-3")
}

fn about_icon() -> Markup {
    line_icon("M12 3a9 9 0 1 1 0 18 9 9 0 0 1 0-18zM12 11v6M12 7v.5")
}

fn more_icon() -> Markup {
    line_icon("M4 7h16M4 12h16M4 17h16")
}
