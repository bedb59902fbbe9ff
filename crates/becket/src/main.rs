//! Becket's command line: prove, run and ask a boat file.
#![allow(
    clippy::print_stdout,
    clippy::print_stderr,
    clippy::disallowed_methods,
    reason = "the command line is where files are read and words are printed"
)]

mod render;

use std::io::IsTerminal;
use std::path::PathBuf;
use std::process::ExitCode;

use clap::{Parser, Subcommand};

/// One checked model of each boat, asked many questions.
#[derive(Parser)]
#[command(name = "becket", version, about)]
struct Cli {
    #[command(subcommand)]
    command: Command,
}

#[derive(Subcommand)]
enum Command {
    /// Prove boat files and print all that is wrong with them.
    Check {
        /// The boat files.
        #[arg(required = true)]
        files: Vec<PathBuf>,
        /// Print JSON.
        #[arg(long)]
        json: bool,
    },
}

fn main() -> ExitCode {
    match Cli::parse().command {
        Command::Check { files, json } => check(&files, json),
    }
}

fn check(files: &[PathBuf], json: bool) -> ExitCode {
    let mut failed = false;
    let mut all = Vec::new();
    for file in files {
        let text = match std::fs::read_to_string(file) {
            Ok(text) => text,
            Err(error) => {
                eprintln!("{}: can't be read: {error}.", file.display());
                failed = true;
                continue;
            }
        };
        let compiled = boat::compile(&file.display().to_string(), &text);
        failed |= compiled.has_errors();
        for diagnostic in &compiled.diagnostics {
            if json {
                all.push(render::json(diagnostic, &compiled.sources));
            } else {
                println!("{}\n", render::terminal(diagnostic, &compiled.sources, std::io::stdout().is_terminal()));
            }
        }
        if !json {
            println!("{}: {} to mend", file.display(), compiled.diagnostics.len());
        }
    }
    if json {
        println!("{}", serde_json::Value::Array(all));
    }
    if failed { ExitCode::FAILURE } else { ExitCode::SUCCESS }
}
