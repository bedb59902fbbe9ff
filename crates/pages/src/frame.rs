//! The frame around every page: head, top line, navigation, foot.

use jiff::tz::TimeZone;
use maud::{DOCTYPE, Markup, html};
use records::Moment;

use crate::assets::assets;
use crate::links::{self, Room};

/// Whose pages these are, who looks at them, and when.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Site {
    /// The name of the base.
    pub base: String,
    /// Whether the base and its boats are invented, for trying things out.
    pub demo: bool,
    /// Who looks.
    pub viewer: Viewer,
    /// The secret that every form of this viewer repeats, so that no other site can send one in their name.
    pub seal: String,
    /// A name that was never used, for what the page's forms will say: so that what is sent twice is taken once.
    pub fresh: String,
    /// When the page is made.
    pub now: Moment,
    /// The clocks of the base.
    pub zone: TimeZone,
    /// How crews reach the base, in its own words; nothing if nobody wrote it down.
    pub reach: Option<String>,
}

impl Site {
    /// The pages of a base as somebody sees them who has not signed in, at the beginning of 1970, by UTC.
    pub fn new(base: &str, demo: bool) -> Self {
        Self {
            base: base.to_owned(),
            demo,
            viewer: Viewer::Nobody,
            seal: String::new(),
            fresh: String::new(),
            now: Moment::from_milliseconds(0),
            zone: TimeZone::UTC,
            reach: None,
        }
    }

    /// Whether the viewer is of the base and may do at least what this role may.
    pub fn may(&self, role: Role) -> bool {
        matches!(&self.viewer, Viewer::Member { role: own, .. } if *own >= role)
    }
}

/// Who looks at a page.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Viewer {
    /// Somebody who has not signed in.
    Nobody,
    /// A crew, by the link that it was given.
    Crew {
        /// Their boat's part of the address.
        boat: String,
        /// Their charter.
        charter: String,
    },
    /// One of the base's own people.
    Member {
        /// Their account.
        id: String,
        /// What they are called.
        name: String,
        /// What they may do.
        role: Role,
    },
}

/// What one of the base's own people may do; a later one may do all that the ones before it may.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Role {
    /// Readies boats, takes them back, mends.
    Hand,
    /// Also hands boats over and settles.
    Skipper,
    /// Also changes boat files, charters' money and accounts.
    Manager,
}

impl Role {
    /// As people say it.
    pub fn name(self) -> &'static str {
        match self {
            Self::Hand => "Dock hand",
            Self::Skipper => "Handover skipper",
            Self::Manager => "Manager",
        }
    }
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

/// Where in the base's own rooms a page is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) enum Desk {
    /// Who leaves, who comes back, what is not ready.
    Today,
    /// All boats.
    Boats,
    /// All charters.
    Charters,
    /// What is wrong with the boats.
    Defects,
    /// What is to be serviced.
    Upkeep,
    /// Parts.
    Stock,
    /// Accounts.
    People,
}

impl Desk {
    const ALL: [(Self, &'static str, &'static str, Role); 7] = [
        (Self::Today, "Today", "/", Role::Hand),
        (Self::Boats, "Boats", "/boats", Role::Hand),
        (Self::Charters, "Charters", "/charters", Role::Hand),
        (Self::Defects, "Defects", "/defects", Role::Hand),
        (Self::Upkeep, "Upkeep", "/upkeep", Role::Hand),
        (Self::Stock, "Stock", links::STOCK, Role::Hand),
        (Self::People, "People", "/people", Role::Manager),
    ];

    fn icon(self) -> Markup {
        match self {
            Self::Boats => fleet_icon(),
            Self::Defects => icon(Room::Slips),
            Self::Upkeep => icon(Room::Upkeep),
            Self::Today => line_icon("M5 5h14v15H5zM5 9h14M9 3v4M15 3v4M9 14l2 2 4-4"),
            Self::Charters => line_icon("M5 5h14v15H5zM5 9h14M9 3v4M15 3v4M8 13h8M8 16.5h5"),
            Self::Stock => line_icon("M4 4h16v7H4zM4 13h16v7H4zM9 7.5h6M9 16.5h6"),
            Self::People => line_icon("M12 4a3.5 3.5 0 1 1 0 7 3.5 3.5 0 0 1 0-7zM5 20c0-4 3-6 7-6s7 2 7 6"),
        }
    }
}

/// A whole page: its title, the boat it is about if any, and its body.
pub(crate) fn page(site: &Site, title: &str, aboard: Option<Aboard<'_>>, body: &Markup) -> String {
    match aboard {
        Some(aboard) => {
            whole(site, &format!("{title} - {} - Becket", aboard.name), Spot::Aboard(aboard), body)
        }
        None => whole(site, &format!("{title} - {} - Becket", site.base), Spot::Elsewhere, body),
    }
}

/// A page in the base's own rooms.
pub(crate) fn desk_page(site: &Site, title: &str, desk: Desk, body: &Markup) -> String {
    whole(site, &format!("{title} - {} - Becket", site.base), Spot::Desk(desk), body)
}

/// Where a page is.
#[derive(Debug, Clone, Copy)]
enum Spot<'a> {
    Aboard(Aboard<'a>),
    Desk(Desk),
    Elsewhere,
}

fn whole(site: &Site, full: &str, spot: Spot<'_>, body: &Markup) -> String {
    let [css, js, mark] = assets();
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
                (top(site, spot))
                @match spot {
                    Spot::Aboard(aboard) => div.aboard {
                        (side(site, aboard))
                        main #main tabindex="-1" { (body) }
                    },
                    Spot::Desk(desk) => div.aboard {
                        (desks(site, desk))
                        main #main tabindex="-1" { (body) }
                    },
                    Spot::Elsewhere => main #main tabindex="-1" { (body) },
                }
                (foot(site))
                @match spot {
                    Spot::Aboard(aboard) => (bar(aboard)),
                    Spot::Desk(desk) => (desk_bar(desk)),
                    Spot::Elsewhere => {}
                }
            }
        }
    };
    page.into_string()
}

fn top(site: &Site, spot: Spot<'_>) -> Markup {
    let home = match &site.viewer {
        Viewer::Crew { .. } => "/crew",
        Viewer::Nobody | Viewer::Member { .. } => "/",
    };
    html! {
        header.top {
            a.mark href=(home) {
                (loop_of_rope())
                span { span.brand { "Becket" } span.base { (site.base) } }
            }
            @if let Spot::Aboard(aboard) = spot {
                a.boat-name href=(links::room(aboard.slug, Room::Plan)) { (aboard.name) }
            }
            button.look type="button" data-look-toggle hidden { "Night" }
        }
    }
}

/// The base's own rooms: beside the page on a wide screen, below it on a phone.
fn desks(site: &Site, here: Desk) -> Markup {
    html! {
        nav.side #all-pages aria-label="Pages of the base" {
            p.side-title { (site.base) }
            ul {
                @for (desk, name, address, role) in Desk::ALL {
                    @if site.may(role) {
                        li {
                            a href=(address) aria-current=[(desk == here).then_some("page")] {
                                (desk.icon()) span { (name) }
                            }
                        }
                    }
                }
                li.apart { a href="/about" { (about_icon()) span { "About Becket" } } }
            }
            (signed_in(site))
        }
    }
}

/// Who is signed in, and the way out.
fn signed_in(site: &Site) -> Markup {
    html! {
        @if let Viewer::Member { name, role, .. } = &site.viewer {
            form.signed-in method="post" action="/sign-out" {
                (seal(site))
                p { (name) ", " (role.name().to_lowercase()) }
                @if site.demo { a.quiet href="/sign-in" { "Look around as somebody else" } }
                @else { button.quiet type="submit" { "Sign out" } }
            }
        }
    }
}

/// The fields that every form of a page holds: so that no other site can send one in this viewer's name, and so that
/// what is sent twice is taken once.
pub(crate) fn seal(site: &Site) -> Markup {
    html! {
        input type="hidden" name="seal" value=(site.seal);
        input type="hidden" name="once" value=(site.fresh);
    }
}

/// All pages of the boat: beside the page on a wide screen, below it on a phone.
fn side(site: &Site, aboard: Aboard<'_>) -> Markup {
    let base = site.may(Role::Hand);
    html! {
        nav.side #all-pages aria-label=(format!("Pages about {}", aboard.name)) {
            p.side-title { (aboard.name) }
            ul {
                @for room in Room::ALL.into_iter().filter(|room| base || room.is_for_crews()) {
                    li {
                        a href=(links::room(aboard.slug, room))
                            aria-current=[(room == aboard.room).then_some("page")] {
                            (icon(room)) span { (room.name()) }
                        }
                    }
                }
                @if base {
                    li.apart { a href="/" { (Desk::Today.icon()) span { "Today" } } }
                    li { a href="/boats" { (fleet_icon()) span { "All boats" } } }
                }
                li { a href="/about" { (about_icon()) span { "About Becket" } } }
            }
        }
    }
}

/// The base's rooms used most, in reach of the thumb; on phones only.
fn desk_bar(here: Desk) -> Markup {
    html! {
        nav.bar aria-label="Most used" {
            @for (desk, name, address, _) in Desk::ALL.into_iter().take(5) {
                a href=(address) aria-current=[(desk == here).then_some("page")] {
                    (desk.icon()) span { (name) }
                }
            }
            a href="#all-pages" { (more_icon()) span { "More" } }
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
        Room::Equipment => {
            "M12 3a9 9 0 1 1 0 18 9 9 0 0 1 0-18zM12 8a4 4 0 1 1 0 8 4 4 0 0 1 0-8zM5.6 5.6l3.6 3.6M18.4 5.6l-3.6 3.6M5.6 18.4l3.6-3.6M18.4 18.4l-3.6-3.6"
        }
        Room::Waste => "M5 7h14M9 7V4h6v3M7 7l1 13h8l1-13M10.5 11v5M13.5 11v5",
        Room::Tides => {
            "M3 9c3-3.5 6-3.5 9 0s6 3.5 9 0M3 15c3-3.5 6-3.5 9 0s6 3.5 9 0M3 21c3-3.5 6-3.5 9 0s6 3.5 9 0"
        }
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
