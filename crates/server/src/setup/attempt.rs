//! Reading and proving a changed file before it is saved: on a thread of its own, few at a time, since it keeps a core
//! busy.

use std::collections::BTreeMap;
use std::time::Instant;

use boat::diagnostic::{Diagnostic, Severity};
use boat::edit::changes;
use pages::Moored;
use pages::setup::Tried;

use crate::app::{Failure, Shared};
use crate::fleet::Berth;

/// How much of a boat is worked out.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Depth {
    /// What is wrong with her file and her step lists.
    Proof,
    /// All that her pages show.
    Whole,
}

/// What trying came to; the boat if she was worked out whole.
pub(super) struct Attempt {
    pub(super) tried: Tried,
    pub(super) moored: Option<Moored>,
}

/// Reads and proves a text, beside what is saved.
pub(super) async fn attempt(
    app: &Shared,
    slug: &str,
    saved: &str,
    text: &str,
    depth: Depth,
) -> Result<Attempt, Failure> {
    let permit = app.searches.acquire().await.map_err(|_| Failure::Broken)?;
    let before = app.fleet.get(slug);
    let (slug, saved, text) = (slug.to_owned(), saved.to_owned(), text.to_owned());
    let work = tokio::task::spawn_blocking(move || {
        let known = before.as_deref().map(findings).unwrap_or_default();
        let begun = Instant::now();
        let mut attempt = look(&slug, &text, depth, &known);
        attempt.tried.took = u64::try_from(begun.elapsed().as_millis()).unwrap_or(u64::MAX);
        attempt.tried.changes = changes(&saved, &text).unwrap_or_default();
        attempt
    });
    let done = work.await;
    drop(permit);
    done.map_err(|_| Failure::Broken)
}

fn findings(berth: &Berth) -> Vec<Diagnostic> {
    match &berth.moored {
        Moored::Well(vessel) => vessel.findings.clone(),
        Moored::Wrecked(wreck) => wreck.diagnostics.clone(),
    }
}

fn look(slug: &str, text: &str, depth: Depth, known: &[Diagnostic]) -> Attempt {
    let file = format!("{slug}.toml");
    if depth == Depth::Whole {
        let moored = Moored::read(slug, &file, text);
        let tried = match &moored {
            Moored::Well(vessel) => compared(
                vessel.findings.clone(),
                known,
                true,
                vessel.boat.sources().clone(),
                vessel.proofs.len(),
            ),
            Moored::Wrecked(wreck) => {
                compared(wreck.diagnostics.clone(), known, false, wreck.sources.clone(), 0)
            }
        };
        return Attempt { tried, moored: Some(moored) };
    }
    let compiled = boat::compile(&file, text);
    let mut found = compiled.diagnostics;
    let lists = match &compiled.boat {
        Some(boat) => {
            let proof = operate::prove(&operate::Model::new(boat));
            found.extend(proof.findings);
            proof.procedures.len()
        }
        None => 0,
    };
    let tried = compared(found, known, compiled.boat.is_some(), compiled.sources, lists);
    Attempt { tried, moored: None }
}

/// What is new and what is mended: findings are the same if they say the same, wherever in the file they stand now.
fn compared(
    found: Vec<Diagnostic>,
    known: &[Diagnostic],
    readable: bool,
    sources: boat::source::Sources,
    lists: usize,
) -> Tried {
    let mut left: BTreeMap<(&str, String), usize> = BTreeMap::new();
    for old in known {
        *left.entry((old.code, old.headline.clone())).or_default() += 1;
    }
    let mut fresh = Vec::new();
    let mut stay = 0;
    for finding in found {
        match left.get_mut(&(finding.code, finding.headline.clone())).filter(|count| **count > 0) {
            Some(count) => {
                *count -= 1;
                stay += 1;
            }
            None => fresh.push(finding),
        }
    }
    fresh.sort_by_key(|finding| std::cmp::Reverse(finding.severity));
    fresh.retain(|finding| finding.severity != Severity::Note || readable);
    let gone = left.into_iter().flat_map(|((_, headline), count)| std::iter::repeat_n(headline, count));
    Tried { readable, fresh, mended: gone.collect(), stay, sources, lists, took: 0, changes: Vec::new() }
}
