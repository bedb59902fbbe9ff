//! Who may what: every route, asked by everybody, against a table written by hand.

mod doors;
mod place;

use axum::http::StatusCode;
use doors::{Doors, Key};
use server::routes;

/// Every route with who may use it: a letter each for nobody, the boat's own crew, another boat's crew, a dock hand, a
/// handover skipper, the manager. `+` may, `-` may not.
const TABLE: &str = include_str!("rights.txt");

/// The rows of the table: method, path, and six marks.
fn table() -> Vec<(String, String, Vec<bool>)> {
    let rows = TABLE.lines().filter(|line| !line.trim().is_empty() && !line.starts_with('#'));
    rows.map(|line| {
        let parts: Vec<&str> = line.split_whitespace().collect();
        let [marks, method, path] = parts[..] else { panic!("three parts in: {line}") };
        assert_eq!(marks.len(), Key::ALL.len(), "{line}");
        (method.to_owned(), path.to_owned(), marks.chars().map(|mark| mark == '+').collect())
    })
    .collect()
}

#[test]
fn the_table_has_every_route_once() {
    let mut written: Vec<(String, String)> =
        table().into_iter().map(|(method, path, _)| (method, path)).collect();
    let mut there: Vec<(String, String)> =
        routes().iter().map(|route| (route.method.to_owned(), route.path.to_owned())).collect();
    written.sort();
    there.sort();
    assert_eq!(written, there);
}

#[tokio::test]
async fn everybody_may_what_the_table_says_and_no_more() {
    let mut wrong = Vec::new();
    let reading = Doors::open().await;
    for (method, path, marks) in table() {
        // What a request changes must not touch the next one.
        let changing;
        let doors = if method == "GET" {
            &reading
        } else {
            changing = Doors::open().await;
            &changing
        };
        for (key, may) in Key::ALL.into_iter().zip(marks) {
            let got = doors.ask(key, &method, &doors.fill(&path)).await;
            let turned_away = got.status == StatusCode::UNAUTHORIZED
                || got.status == StatusCode::FORBIDDEN
                || (got.status == StatusCode::SEE_OTHER && got.location.starts_with("/sign-in?then="));
            // A wrong name and password are refused too, to whoever may try.
            let tried = method == "POST" && matches!(path.as_str(), "/sign-in" | "/api/sessions");
            let let_in = !turned_away || tried;
            if let_in != may {
                wrong.push(format!("{method} {path} by {key:?}: {} {}", got.status, got.location));
            }
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

#[tokio::test]
async fn what_is_sent_without_the_seal_or_from_elsewhere_is_not_taken() {
    let doors = Doors::open().await;
    for route in routes().iter().filter(|route| route.method != "GET") {
        let path = doors.fill(route.path);
        for key in [Key::Crew, Key::Hand, Key::Skipper, Key::Manager] {
            for (seal, site) in [(false, "same-origin"), (true, "cross-site"), (true, "same-site")] {
                let got = doors.send(key, route.method, &path, seal, site).await;
                let refused = got.status == StatusCode::FORBIDDEN;
                assert!(
                    refused,
                    "{} {path} by {key:?}, sealed: {seal}, from {site}: {}",
                    route.method, got.status
                );
            }
        }
    }
}

#[tokio::test]
async fn a_crews_link_ends_with_its_charter() {
    let doors = Doors::open().await;
    let boat = doors.fill("/boat/{slug}");
    assert_eq!(doors.ask(Key::Crew, "GET", &boat).await.status, StatusCode::OK);
    doors.hand_back().await;
    let got = doors.ask(Key::Crew, "GET", &boat).await;
    assert_eq!(got.status, StatusCode::SEE_OTHER);
    assert!(got.location.starts_with("/sign-in"), "{}", got.location);
}
