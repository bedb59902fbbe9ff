//! `check`: the file itself, every proof, and what a forecast would lack.

use std::fmt::Write as _;
use std::num::NonZero;

use boat::Compiled;
use boat::diagnostic::{Diagnostic, Severity};
use clap::Args;
use operate::{Model, Proof};
use serde_json::{Value, json};

use crate::load::{self, Failure};
use crate::output::{Printed, colour};
use crate::render;

#[derive(Args)]
pub(crate) struct Check {
    /// Boat files, or names of demo boats.
    #[arg(required = true)]
    files: Vec<String>,
    /// Print the diagnostics as JSON.
    #[arg(long)]
    json: bool,
    /// Leave out notes.
    #[arg(long)]
    quiet: bool,
}

/// What checking one file came to.
struct Checked {
    file: String,
    compiled: Compiled,
    proof: Option<Proof>,
    /// What stores, sources, loads and modes lack for a forecast.
    lacks: Vec<Diagnostic>,
}

impl Checked {
    fn diagnostics(&self) -> impl Iterator<Item = &Diagnostic> {
        let proven = self.proof.iter().flat_map(|proof| &proof.findings);
        self.compiled.diagnostics.iter().chain(proven).chain(&self.lacks)
    }

    fn count(&self, severity: Severity) -> usize {
        self.diagnostics().filter(|diagnostic| diagnostic.severity == severity).count()
    }

    fn failed(&self) -> bool {
        self.count(Severity::Error) > 0
    }
}

impl Check {
    pub(crate) fn execute(self) -> Result<Printed, Failure> {
        let texts = self.files.iter().map(|file| load::text(file)).collect::<Result<Vec<_>, _>>()?;
        let checked = check_all(&texts);
        let failed = checked.iter().any(Checked::failed);
        if self.json {
            let boats: Vec<Value> = checked.iter().map(|checked| self.to_json(checked)).collect();
            return Ok(Printed::json(&Value::Array(boats), failed));
        }
        let mut text = String::new();
        for checked in &checked {
            for diagnostic in checked.diagnostics().filter(|diagnostic| self.shows(diagnostic)) {
                text.push_str(&render::terminal(diagnostic, &checked.compiled.sources, colour()));
                text.push_str("\n\n");
            }
            text.push_str(&summary(checked));
        }
        Ok(Printed { text, failed })
    }

    fn shows(&self, diagnostic: &Diagnostic) -> bool {
        !self.quiet || diagnostic.severity != Severity::Note
    }

    fn to_json(&self, checked: &Checked) -> Value {
        let diagnostics: Vec<Value> = checked
            .diagnostics()
            .filter(|diagnostic| self.shows(diagnostic))
            .map(|diagnostic| render::json(diagnostic, &checked.compiled.sources))
            .collect();
        json!({
            "file": checked.file,
            "sound": checked.compiled.boat.is_some(),
            "proven": checked.proof.as_ref().is_some_and(Proof::holds),
            "diagnostics": diagnostics,
        })
    }
}

/// Checks the files on all cores; the answer is in the order of the files.
fn check_all(texts: &[(String, String)]) -> Vec<Checked> {
    let cores = std::thread::available_parallelism().map_or(1, NonZero::get).min(texts.len());
    let share = texts.len().div_ceil(cores.max(1));
    std::thread::scope(|scope| {
        let handles: Vec<_> = texts
            .chunks(share.max(1))
            .map(|part| {
                scope.spawn(|| part.iter().map(|(file, text)| check_one(file, text)).collect::<Vec<_>>())
            })
            .collect();
        handles
            .into_iter()
            .flat_map(|handle| handle.join().unwrap_or_else(|panic| std::panic::resume_unwind(panic)))
            .collect()
    })
}

fn check_one(file: &str, text: &str) -> Checked {
    let compiled = boat::compile(file, text);
    let proof = compiled.boat.as_ref().map(|boat| operate::prove(&Model::new(boat)));
    let lacks = compiled.boat.as_ref().map(endure::check::check).unwrap_or_default();
    Checked { file: file.to_owned(), compiled, proof, lacks }
}

fn summary(checked: &Checked) -> String {
    let [errors, warnings, notes] =
        [Severity::Error, Severity::Warning, Severity::Note].map(|severity| checked.count(severity));
    let mut text = format!("{}: ", checked.file);
    // Writing to a String can't fail, here and below.
    let _ = match (&checked.compiled.boat, &checked.proof) {
        (Some(boat), Some(proof)) if errors == 0 => {
            let steps: usize = proof.procedures.iter().map(|procedure| procedure.steps).sum();
            writeln!(
                text,
                "proven. {} items, {} controls, {} step lists with {steps} steps, {} never-states.",
                boat.items.len(),
                boat.controls().count(),
                proof.procedures.len(),
                boat.nevers.len(),
            )
        }
        (Some(_), _) => writeln!(text, "read, but not proven."),
        _ => writeln!(text, "can't be used yet."),
    };
    let _ = writeln!(text, "  {errors} to mend, {warnings} to look at, {notes} to know.");
    text
}
