//! What a command prints, collected and written at once.

use std::io::{IsTerminal, Write};
use std::process::ExitCode;

/// What a command has to say, and whether all is well.
#[derive(Debug, Default)]
pub(crate) struct Printed {
    pub(crate) text: String,
    pub(crate) failed: bool,
}

impl Printed {
    /// Something to say, and all is well.
    pub(crate) fn well(text: impl Into<String>) -> Self {
        Self { text: text.into(), failed: false }
    }

    /// A JSON value, and whether all is well.
    pub(crate) fn json(value: &serde_json::Value, failed: bool) -> Self {
        Self { text: format!("{value:#}\n"), failed }
    }

    /// Writes it to standard output. A reader who stops reading (`| head`) is no failure.
    pub(crate) fn print(&self) -> ExitCode {
        let mut out = std::io::stdout().lock();
        let written = out.write_all(self.text.as_bytes()).and_then(|()| out.flush());
        match written {
            Err(error) if error.kind() != std::io::ErrorKind::BrokenPipe => ExitCode::from(2),
            _ if self.failed => ExitCode::FAILURE,
            _ => ExitCode::SUCCESS,
        }
    }
}

/// Whether to use colour: on a terminal, unless the person asked for none.
pub(crate) fn colour() -> bool {
    std::io::stdout().is_terminal() && std::env::var_os("NO_COLOR").is_none_or(|value| value.is_empty())
}
