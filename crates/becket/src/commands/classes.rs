//! `classes`: list the class library, or show what a class brings.

use boat::diagnostic::nearest;
use clap::Args;

use crate::load::Failure;
use crate::output::Printed;

#[derive(Args)]
pub(crate) struct Classes {
    /// A class, to see all that it brings.
    class: Option<String>,
}

impl Classes {
    pub(crate) fn execute(self) -> Result<Printed, Failure> {
        let Some(class) = self.class else {
            let widest = boat::classes().map(str::len).max().unwrap_or(0);
            let lines: Vec<String> = boat::classes()
                .map(|class| format!("{class:widest$}  {}", boat::class_about(class)))
                .collect();
            return Ok(Printed::well(lines.join("\n") + "\n"));
        };
        boat::class_text(&class).map(Printed::well).ok_or_else(|| {
            let near = nearest(&class, boat::classes())
                .map_or_else(String::new, |near| format!(" Did you mean {near}?"));
            Failure(format!("The library has no class \"{class}\".{near}"))
        })
    }
}
