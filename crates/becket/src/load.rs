//! Boats by file name, or by the name of a demo boat.

use std::path::Path;

use boat::diagnostic::Diagnostic;
use boat::model::Boat;
use boat::source::Sources;
use boat::{Asked, Compiled};

use crate::{demo, render};

/// Why a command can't be carried out, in full sentences.
#[derive(Debug)]
pub(crate) struct Failure(pub(crate) String);

impl Failure {
    /// What is wrong with a text, as it is printed for a terminal without colour; `last` ends it, if there is more to say.
    pub(crate) fn diagnosed(diagnostics: &[Diagnostic], sources: &Sources, last: Option<&str>) -> Self {
        let mut parts: Vec<String> =
            diagnostics.iter().map(|diagnostic| render::terminal(diagnostic, sources, false)).collect();
        parts.extend(last.map(ToOwned::to_owned));
        Self(parts.join("\n\n"))
    }
}

/// What is wrong with a fact that was typed.
impl From<Asked> for Failure {
    fn from(asked: Asked) -> Self {
        Self::diagnosed(&asked.diagnostics, &asked.sources, None)
    }
}

impl std::fmt::Display for Failure {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(&self.0)
    }
}

/// The name and text of a boat file, or of a demo boat.
pub(crate) fn text(file: &str) -> Result<(String, String), Failure> {
    if let Some(boat) = demo::BOATS.iter().find(|boat| boat.id == file) {
        return Ok((format!("{}.toml", boat.id), boat.text.to_owned()));
    }
    match std::fs::read(Path::new(file)) {
        Ok(bytes) => match String::from_utf8(bytes) {
            Ok(text) => Ok((file.to_owned(), text)),
            Err(error) => Err(Failure(format!(
                "{file} is not text in UTF-8: byte {} can't be read. Save it as UTF-8.",
                error.utf8_error().valid_up_to() + 1
            ))),
        },
        Err(error) => {
            let boats: Vec<&str> = demo::BOATS.iter().map(|boat| boat.id).collect();
            Err(Failure(format!(
                "{file} can't be read: {error}. Give a boat file, or a demo boat: {}.",
                boats.join(", ")
            )))
        }
    }
}

/// A boat file, compiled.
pub(crate) fn compiled(file: &str) -> Result<Compiled, Failure> {
    let (name, text) = text(file)?;
    Ok(boat::compile(&name, &text))
}

/// A sound boat; its errors if it is not.
pub(crate) fn boat(file: &str) -> Result<Boat, Failure> {
    let compiled = compiled(file)?;
    compiled.boat.ok_or_else(|| {
        let last = format!("{file} must be mended first.");
        Failure::diagnosed(&compiled.diagnostics, &compiled.sources, Some(&last))
    })
}
