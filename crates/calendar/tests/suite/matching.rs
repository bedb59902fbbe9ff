//! Which boat words name.

use calendar::{BoatMatch, match_boat};

const BOATS: [(&str, &[&str]); 4] = [
    ("whimbrel", &["Whimbrel"]),
    ("dunlin", &["Dunlin"]),
    ("dunlin-2", &["Dunlin II"]),
    ("turnstone", &["Turnstone", "Ruddy Turnstone"]),
];

fn exact(slug: &str) -> BoatMatch {
    BoatMatch::Exact(slug.to_owned())
}

#[test]
fn whole_names_count() {
    assert_eq!(match_boat(&["WHIMBREL – charter 1042"], &BOATS), exact("whimbrel"));
    assert_eq!(match_boat(&["Charter", "pier 2, ruddy turnstone"], &BOATS), exact("turnstone"));
    assert_eq!(match_boat(&["dunlin-2"], &BOATS), exact("dunlin-2"));
}

#[test]
fn the_longer_name_counts() {
    assert_eq!(match_boat(&["Dunlin II, a week"], &BOATS), exact("dunlin-2"));
    assert_eq!(match_boat(&["Dunlin, a week"], &BOATS), exact("dunlin"));
}

#[test]
fn nothing_is_guessed() {
    assert_eq!(match_boat(&["Whimbrels", "Dunlim", ""], &BOATS), BoatMatch::None);
    let both = BoatMatch::Several(vec!["whimbrel".to_owned(), "dunlin".to_owned()]);
    assert_eq!(match_boat(&["Dunlin", "or Whimbrel"], &BOATS), both);
}
