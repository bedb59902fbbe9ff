//! Becket's command line: prove, run and ask a boat file, or open the demo base in the browser.
#![allow(
    clippy::print_stdout,
    clippy::print_stderr,
    clippy::disallowed_methods,
    reason = "the command line is where files are read, time is taken and words are printed"
)]

mod commands;
mod demo;
mod fleet;
mod layout;
mod load;
mod output;
mod render;
mod say;
mod seen;

use std::process::ExitCode;

use clap::{CommandFactory, Parser};

use commands::Command;

/// One checked model of each boat, asked many questions.
#[derive(Parser)]
#[command(name = "becket", version, about, max_term_width = 100)]
struct Cli {
    #[command(subcommand)]
    command: Command,
}

fn main() -> ExitCode {
    let cli = Cli::parse();
    match commands::execute(cli.command, &Cli::command()) {
        Ok(printed) => printed.print(),
        Err(error) => {
            eprintln!("{error}");
            ExitCode::from(2)
        }
    }
}
