//! Boats by file name, or by the name of a demo boat.

use std::path::Path;

use boat::Compiled;
use boat::model::Boat;

use crate::{demo, render};

/// Why a command can't be carried out, in full sentences.
#[derive(Debug)]
pub(crate) struct Failure(pub(crate) String);

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
        let errors: Vec<String> = compiled
            .diagnostics
            .iter()
            .map(|diagnostic| render::terminal(diagnostic, &compiled.sources, false))
            .collect();
        Failure(format!("{}\n\n{file} must be mended first.", errors.join("\n\n")))
    })
}
