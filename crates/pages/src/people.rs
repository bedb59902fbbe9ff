//! The base's own people: accounts, and how somebody gets in for the first time.

use maud::{Markup, html};

use crate::frame::{Desk, Role, Site, desk_page, page, seal};
use crate::{links, qr};

/// Somebody who works at the base.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct PersonRow {
    /// Their account.
    pub id: String,
    /// The name that they sign in with.
    pub name: String,
    /// What they may do.
    pub role: Role,
    /// Whether they may sign in.
    pub active: bool,
    /// Whether they have not chosen a password yet.
    pub waiting: bool,
    /// Whether it is whoever looks.
    pub own: bool,
}

/// All of them.
#[derive(Debug, Clone)]
pub struct PeoplePage<'a> {
    /// One row each.
    pub rows: Vec<PersonRow>,
    /// Whose link for choosing a password was just made, and the link, which is shown this once.
    pub fresh: Option<(&'a str, &'a str)>,
    /// What was wrong with what was sent.
    pub wrong: Option<&'a str>,
}

const ROLES: [(Role, &str, &str); 3] = [
    (Role::Hand, "hand", "readies boats, takes them back, mends"),
    (Role::Skipper, "skipper", "also hands boats over and settles"),
    (Role::Manager, "manager", "also changes boats, prices and people"),
];

/// Who works here, and what each may do.
pub fn people_page(site: &Site, people: &PeoplePage<'_>) -> String {
    let body = html! {
        div.title {
            h1 { "People" }
            p.lead { "Those who work at " (site.base) ". Crews need no account: they get a link with their charter." }
        }
        @if let Some(wrong) = people.wrong { p.answer-wrong role="alert" { (wrong) } }
        @if let Some((name, address)) = people.fresh { (fresh(name, address)) }
        table.people {
            thead { tr { th scope="col" { "Name" } th scope="col" { "May do" } th scope="col" { "Account" } th scope="col" { "Change" } } }
            tbody { @for row in &people.rows { (person(site, row)) } }
        }
        h2 { "Somebody new" }
        form.sign-in method="post" action="/people" {
            (seal(site))
            label for="name" { "Name" }
            input #name name="name" type="text" required maxlength="60" autocomplete="off";
            (role_choice("new-role", Role::Hand))
            button.button type="submit" { "Add" }
        }
        h2 { "Also for the manager" }
        ul.list-links {
            li { a.list-link href=(links::PRICES) { strong { "Prices" } span.soft { "What a crew is charged for" } } }
            li { a.list-link href=(links::REACH) { strong { "How crews reach you" } span.soft { @if site.reach.is_some() { "The number and the channel that they read" } @else { "Nobody wrote it down yet" } } } }
            li { a.list-link href=(links::FEED) { strong { "Calendar of turnarounds" } span.soft { "For the calendars on your own phones and computers" } } }
            li { a.list-link href=(links::EXPORT) { strong { "Export" } span.soft { "Everything as tables and as JSON" } } }
            li { a.list-link href="/password" { strong { "Your password" } span.soft { "Change your own" } } }
        }
    };
    desk_page(site, "People", Desk::People, &body)
}

fn fresh(name: &str, address: &str) -> Markup {
    html! {
        section.fresh-link {
            h2 { "A link for " (name) }
            @if let Some(code) = qr::code(address) { (code) }
            p.address { (address) }
            p { strong { "Give it to " (name) " only, now: it is shown this once." } " It lets them choose a password, holds for three days and works one time." }
        }
    }
}

fn person(site: &Site, row: &PersonRow) -> Markup {
    let state = match (row.active, row.waiting) {
        (false, _) => "Closed",
        (true, true) => "Has not chosen a password yet",
        (true, false) => "Open",
    };
    html! {
        tr {
            th scope="row" { (row.name) @if row.own { " (you)" } }
            td { (row.role.name()) }
            td { (state) }
            td {
                details {
                    summary { "Change " (row.name) }
                    form method="post" action=(format!("/people/{}", row.id)) {
                        (seal(site))
                        (role_choice(&format!("role-{}", row.id), row.role))
                        p { label.tick { input type="checkbox" name="active" value="yes" checked[row.active]; " May sign in" } }
                        button.button.plain type="submit" { "Save" }
                    }
                    form method="post" action=(format!("/people/{}/invite", row.id)) {
                        (seal(site))
                        button.button.plain type="submit" { "Make a link for a new password" }
                    }
                }
            }
        }
    }
}

fn role_choice(id: &str, chosen: Role) -> Markup {
    html! {
        label for=(id) { "May do" }
        select id=(id) name="role" {
            @for (role, word, meaning) in ROLES {
                option value=(word) selected[role == chosen] { (role.name()) ": " (meaning) }
            }
        }
    }
}

/// Somebody chooses their password.
pub fn welcome_page(site: &Site, name: &str, wrong: Option<&str>) -> String {
    let body = html! {
        div.title {
            h1 { "Welcome, " (name) }
            p.lead { "Choose the password with which you sign in at " (site.base) "." }
        }
        @if let Some(wrong) = wrong { p.answer-wrong role="alert" { (wrong) } }
        form.sign-in method="post" {
            (seal(site))
            (new_password())
            button.button type="submit" { "Choose it and go on" }
        }
    };
    page(site, "Choose a password", None, &body)
}

fn new_password() -> Markup {
    html! {
        label for="password" { "New password, 12 characters or more" }
        input #password name="password" type="password" autocomplete="new-password" required minlength="12";
        label for="again" { "The same again" }
        input #again name="again" type="password" autocomplete="new-password" required;
    }
}

/// The link for choosing a password has ended.
pub fn invitation_ended_page(site: &Site) -> String {
    let body = html! {
        div.title {
            h1 { "This link has ended" }
            p.lead { "It works one time, and for three days. If you need another, ask the manager." }
        }
        p { a.button href="/sign-in" { "Sign in" } }
    };
    page(site, "This link has ended", None, &body)
}

/// The first manager of a base that has nobody yet.
pub fn begin_page(site: &Site, code: &str, name: &str, wrong: Option<&str>) -> String {
    let body = html! {
        div.title {
            h1 { "The first manager of " (site.base) }
            p.lead { "Nobody can sign in yet. Whoever fills this in runs the base: boats, prices, people." }
        }
        @if let Some(wrong) = wrong { p.answer-wrong role="alert" { (wrong) } }
        form.sign-in method="post" action="/begin" {
            (seal(site))
            input type="hidden" name="code" value=(code);
            label for="name" { "Your name" }
            input #name name="name" type="text" autocomplete="username" required maxlength="60" value=(name);
            (new_password())
            button.button type="submit" { "Begin" }
        }
    };
    page(site, "The first manager", None, &body)
}

/// The base has people, or the secret is another.
pub fn begun_page(site: &Site) -> String {
    let body = html! {
        div.title {
            h1 { "This address opens nothing" }
            p.lead { "The first manager is made by the address that Becket prints when it is started for a base without people. If this base has people, sign in." }
        }
        p { a.button href="/sign-in" { "Sign in" } }
    };
    page(site, "This address opens nothing", None, &body)
}

/// One changes one's own password.
pub fn own_page(site: &Site, wrong: Option<&str>) -> String {
    let body = html! {
        div.title { h1 { "Your password" } p.lead { "Wherever else you are signed in, you will be signed out." } }
        @if let Some(wrong) = wrong { p.answer-wrong role="alert" { (wrong) } }
        @if site.demo { p { "This is a demonstration: its accounts have no passwords." } }
        @else {
            form.sign-in method="post" action="/password" {
                (seal(site))
                label for="old" { "Old password" }
                input #old name="old" type="password" autocomplete="current-password" required;
                (new_password())
                button.button type="submit" { "Change it" }
            }
        }
    };
    page(site, "Your password", None, &body)
}
