//! `reference`: the schema, the references of boat file and trip plan, the help of all commands.

use std::fmt::Write as _;

use clap::{Args, ValueEnum};

use crate::output::Printed;

#[derive(Args)]
pub(crate) struct Reference {
    /// Which.
    #[arg(value_enum)]
    what: What,
}

#[derive(Clone, Copy, ValueEnum)]
enum What {
    /// The JSON Schema of a boat file, for editors.
    Schema,
    /// The boat file's reference, in Markdown.
    BoatFile,
    /// The trip plan's reference, in Markdown.
    TripPlan,
    /// The help of all commands, in Markdown.
    Commands,
}

impl Reference {
    pub(crate) fn execute(&self, cli: &clap::Command) -> Printed {
        Printed::well(match self.what {
            What::Schema => boat::schema(),
            What::BoatFile => boat::reference(),
            What::TripPlan => boat::trip::reference(),
            What::Commands => commands(cli),
        })
    }
}

fn commands(cli: &clap::Command) -> String {
    let mut out =
        String::from("# Commands\n\nWritten by `cargo xtask generate` from the program's own help.\n");
    for command in cli.get_subcommands() {
        let mut command =
            command.clone().bin_name(format!("becket {}", command.get_name())).disable_help_flag(true);
        let help = command.render_long_help().to_string();
        let lines: Vec<&str> = help.lines().map(str::trim_end).collect();
        let text = lines.join("\n");
        // Writing to a String can't fail.
        let _ = write!(out, "\n## `becket {}`\n\n```text\n{}\n```\n", command.get_name(), text.trim_end());
    }
    out
}
