//! What the crew's readings say: which fit, what they teach, what to look at next.

use endure::meter::{Checked, Fit};

use crate::layout;

/// The readings, for the crew and the base.
pub(super) fn text(checked: &Checked) -> String {
    let mut out = String::from("\nWhat was read on the way\n");
    for one in &checked.readings {
        let first = format!("  {:<12}  ", mark(one.fit));
        out.push_str(&layout::hang(&one.words, &first, "                "));
    }
    for store in checked.stores.iter().filter(|store| store.fit != Fit::Well) {
        out.push('\n');
        out.push_str(&layout::wrap(&store.crew, "  "));
        for suspect in &store.suspects {
            out.push_str(&layout::wrap(&suspect.words, "  "));
        }
        if !store.next.is_empty() {
            out.push_str("  What to look at next:\n");
        }
        for next in &store.next {
            out.push_str(&layout::hang(next, "  - ", "    "));
        }
        out.push_str(&layout::hang(&store.base, "  For the base: ", "    "));
    }
    list(&mut out, "What the readings teach", &checked.learned);
    list(&mut out, "To keep in mind", &checked.notes);
    out
}

fn mark(fit: Fit) -> &'static str {
    match fit {
        Fit::Well => "fits",
        Fit::Doubtful => "doubtful",
        Fit::NotAtAll => "does not fit",
    }
}

fn list(out: &mut String, heading: &str, lines: &[String]) {
    if lines.is_empty() {
        return;
    }
    out.push('\n');
    out.push_str(heading);
    out.push('\n');
    for line in lines {
        out.push_str(&layout::hang(line, "  - ", "    "));
    }
}
