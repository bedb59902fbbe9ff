//! A small check that a page is sound: every element closed in order, ids unique, links and labels to something.

use std::collections::BTreeSet;

const VOID: [&str; 6] = ["meta", "link", "input", "br", "hr", "img"];

/// Panics with the page's name if it is not sound.
pub(crate) fn check_sound(name: &str, page: &str) {
    assert!(page.starts_with("<!DOCTYPE html>"), "{name} has no doctype");
    let mut open: Vec<String> = Vec::new();
    let mut ids: BTreeSet<String> = BTreeSet::new();
    let mut wanted: Vec<String> = Vec::new();
    let mut headings: Vec<u32> = Vec::new();
    for tag in tags(page) {
        if let Some(closing) = tag.strip_prefix('/') {
            assert_eq!(open.pop().as_deref(), Some(closing), "{name}: </{closing}> closes something else");
            continue;
        }
        let element = tag.split([' ', '\n']).next().unwrap_or_default();
        if let Some(level) = element.strip_prefix('h').and_then(|level| level.parse().ok()) {
            headings.push(level);
        }
        if let Some(id) = attribute(tag, "id") {
            assert!(ids.insert(id.clone()), "{name}: the id {id} stands twice");
        }
        // Each may name several, one after the other.
        let named =
            ["for", "aria-labelledby", "aria-describedby"].iter().filter_map(|key| attribute(tag, key));
        wanted.extend(named.flat_map(|ids| ids.split(' ').map(str::to_owned).collect::<Vec<_>>()));
        if let Some(href) = attribute(tag, "href") {
            wanted.extend(href.strip_prefix('#').map(str::to_owned));
        }
        for banned in ["style", "onclick"] {
            assert!(attribute(tag, banned).is_none(), "{name}: {banned} in <{tag}> is refused by the policy");
        }
        if !VOID.contains(&element) {
            open.push(element.to_owned());
        }
    }
    assert!(open.is_empty(), "{name}: left open: {open:?}");
    for id in wanted {
        assert!(ids.contains(&id), "{name}: nothing has the id {id}");
    }
    check_headings(name, &headings);
}

/// One main heading, and no level skipped on the way down.
fn check_headings(name: &str, headings: &[u32]) {
    assert_eq!(headings.iter().filter(|level| **level == 1).count(), 1, "{name}: main headings");
    for pair in headings.windows(2) {
        assert!(
            pair[1] <= pair[0] + 1,
            "{name}: a heading of level {} after one of level {}",
            pair[1],
            pair[0]
        );
    }
}

/// What stands between `<` and `>`, declarations left out.
fn tags(page: &str) -> impl Iterator<Item = &str> {
    page.split('<')
        .skip(1)
        .filter_map(|part| part.split_once('>').map(|(tag, _)| tag))
        .filter(|tag| !tag.starts_with('!'))
}

fn attribute(tag: &str, key: &str) -> Option<String> {
    let (_, rest) = tag.split_once(&format!(" {key}=\""))?;
    rest.split_once('"').map(|(value, _)| value.to_owned())
}
