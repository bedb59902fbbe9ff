//! `tidy`: put a boat file in order and keep every remark.

use clap::Args;

use crate::load::{self, Failure};
use crate::output::Printed;

#[derive(Args)]
pub(crate) struct Tidy {
    /// The boat file.
    file: String,
    /// Write the tidied text back to the file instead of printing it.
    #[arg(long)]
    write: bool,
    /// Only say whether the file is in order; fails if it is not.
    #[arg(long, conflicts_with = "write")]
    check: bool,
}

impl Tidy {
    pub(crate) fn execute(self) -> Result<Printed, Failure> {
        let (name, text) = load::text(&self.file)?;
        let tidied = boat::tidy(&name, &text).map_err(|untidy| {
            Failure::diagnosed(&untidy.diagnostics, &untidy.sources, Some("Nothing was written."))
        })?;
        if self.check {
            let words = if tidied == text {
                "is in order"
            } else {
                "is not in order: `becket tidy --write` mends it"
            };
            return Ok(Printed { text: format!("{name} {words}.\n"), failed: tidied != text });
        }
        if !self.write {
            return Ok(Printed::well(tidied));
        }
        if tidied != text {
            replace(&self.file, &tidied)?;
        }
        Ok(Printed::well(format!("{name} is in order.\n")))
    }
}

/// Writes beside the file first, so that a full disk or a crash never leaves half a file.
fn replace(file: &str, text: &str) -> Result<(), Failure> {
    let beside = format!("{file}.new");
    let written = std::fs::write(&beside, text).and_then(|()| std::fs::rename(&beside, file));
    written.map_err(|error| {
        // The half-written copy is of no use; if it can't be removed either, the first error says why.
        let _ = std::fs::remove_file(&beside);
        Failure(format!("{file} can't be written: {error}. It is as it was."))
    })
}
