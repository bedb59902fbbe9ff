//! Signing in.

use maud::html;

use crate::frame::{Site, page, seal};

/// Who are you; `then` is where to go on, `name` what was typed before, `wrong` what was wrong with it.
pub fn sign_in_page(site: &Site, then: &str, name: &str, wrong: Option<&str>) -> String {
    if site.demo {
        return as_whom_page(site);
    }
    let body = html! {
        div.title {
            h1 { "Sign in" }
            p.lead { "For those who work at " (site.base) ". Crews use the link that the base gave them." }
        }
        @if let Some(wrong) = wrong { p.answer-wrong role="alert" { (wrong) } }
        form.sign-in method="post" action="/sign-in" {
            (seal(site))
            input type="hidden" name="then" value=(then);
            label for="name" { "Name" }
            input #name name="name" type="text" autocomplete="username" required value=(name);
            label for="password" { "Password" }
            input #password name="password" type="password" autocomplete="current-password" required;
            button.button type="submit" { "Sign in" }
        }
        p.soft { "Forgotten? The manager can give you a new password." }
    };
    page(site, "Sign in", None, &body)
}

/// In a demonstration nobody signs in: one looks around as whom one likes.
fn as_whom_page(site: &Site) -> String {
    let body = html! {
        div.title {
            h1 { "As whom do you want to look around?" }
            p.lead { strong { "This is a demonstration. " } (site.base) " and its people are invented, and there are no passwords." }
        }
        ul.bare {
            @for (id, name, does) in [
                ("demo-manager", "Robin", "the manager: boats, prices, people, all of it"),
                ("demo-skipper", "Sam", "the handover skipper: hands boats over and settles"),
                ("demo-hand", "Alex", "the dock hand: readies boats, takes them back, mends"),
            ] {
                li {
                    form.as-whom method="post" action="/demo/as" {
                        (seal(site))
                        input type="hidden" name="account" value=(id);
                        button.button type="submit" { "As " (name) }
                        span { (does) }
                    }
                }
            }
        }
        p { "To see what a crew sees, open a charter and make a link for its crew." }
    };
    page(site, "As whom", None, &body)
}
