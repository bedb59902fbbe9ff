//! The demo base in a real browser: the walk through its pages, and the pictures of them.

use std::io::{BufRead, BufReader};
use std::process::Child;
use std::sync::mpsc;
use std::time::Duration;

use crate::program::{self, Outcome, Program, patiently, target, wait_for};
use crate::tools;

/// Where the browser's scripts and their packages lie.
const SCRIPTS: &str = "tests/browser";

/// What makes requests up from a description, at the version that the script was written for.
const FUZZER: &str = "schemathesis==4.32.5";

/// Starts the demo base as README says, walks through it in a browser, and stops it.
pub(crate) fn walk() -> Outcome {
    script("walk.mjs", &[])
}

/// Takes charters through their whole life in the browser, at both sizes.
pub(crate) fn life() -> Outcome {
    script("life.mjs", &[])
}

/// Brings new things aboard through the set-up in the browser, with and without scripts.
pub(crate) fn setup() -> Outcome {
    script("setup.mjs", &[])
}

/// Sends made-up requests from the description of the interface for programs.
pub(crate) fn interface() -> Outcome {
    let python = tools::python("interface", &[FUZZER])?;
    let demo = Demo::start()?;
    let sent = Program::new(&python, &["tests/interface/fuzz.py", &demo.address]).minutes(10).loudly();
    let stopped = demo.stop();
    sent.and(stopped)
}

/// Takes the pictures of the documentation.
pub(crate) fn pictures() -> Outcome {
    std::fs::create_dir_all("docs/pictures")
        .map_err(|error| format!("docs/pictures can't be made: {error}."))?;
    program_built()?;
    script("pictures.mjs", &["docs/pictures", "whimbrel"])
}

/// Builds the program as `cargo run --release` does.
pub(crate) fn program_built() -> Outcome {
    patiently(|| Program::new("cargo", &["build", "--release", "--locked", "--quiet"]).minutes(40).loudly())
}

fn script(name: &str, beside: &[&str]) -> Outcome {
    let path = format!("{SCRIPTS}/{name}");
    if !std::path::Path::new(&path).is_file() {
        return Err(format!("{path} is missing."));
    }
    let browser = tools::browser()?;
    tools::node()?;
    tools::npm_packages(SCRIPTS)?;
    let demo = Demo::start()?;
    let arguments = [&[path.as_str(), demo.address.as_str()], beside].concat();
    let walked = Program::new("node", &arguments).with("CHROMIUM", &browser).minutes(25).loudly();
    let stopped = demo.stop();
    walked.and(stopped)
}

/// The demo base, running.
struct Demo {
    child: Child,
    address: String,
}

impl Demo {
    /// Starts it on a free port and waits until it prints its address.
    fn start() -> Result<Self, String> {
        let becket = target().join("release/becket").display().to_string();
        let (errors, log) = program::log("demo")?;
        let mut child = Program::new(&becket, &["demo", "--listen", "127.0.0.1:0"]).running(errors)?;
        let lines = BufReader::new(child.stdout.take().expect("standard output was asked for")).lines();
        let (found, address) = mpsc::channel();
        // Reads on to the end, so that the program never waits for someone to read what it prints.
        std::thread::spawn(move || {
            for line in lines.map_while(Result::ok) {
                if let Some(address) = address_in(&line) {
                    let _ = found.send(address);
                }
            }
        });
        let mut demo = Self { child, address: String::new() };
        demo.address = address.recv_timeout(Duration::from_secs(60)).map_err(|_| {
            format!("The demo base printed no address within a minute.\n{}", program::tail(&log))
        })?;
        Ok(demo)
    }

    /// Stops it as a service manager does, and sees that it ends well.
    fn stop(mut self) -> Outcome {
        let process = self.child.id();
        Program::new("sh", &["-c", &format!("kill -TERM {process}")]).loudly()?;
        match wait_for(&mut self.child, Duration::from_secs(10)) {
            Some(status) if status.success() => Ok(()),
            Some(status) => Err(format!("The demo base was stopped by SIGTERM and ended badly ({status}).")),
            None => Err("The demo base did not end within 10 s of SIGTERM.".into()),
        }
    }
}

/// Nothing is left running, however the walk ends.
impl Drop for Demo {
    fn drop(&mut self) {
        let _ = self.child.kill();
        let _ = self.child.wait();
    }
}

/// The address in a line such as “Becket is at <http://127.0.0.1:4180/>.”
fn address_in(line: &str) -> Option<String> {
    let from = line.find("http://")?;
    let rest = &line[from..];
    let end =
        rest.find(|sign: char| sign.is_whitespace() || "<>\"'”“,;".contains(sign)).unwrap_or(rest.len());
    Some(rest[..end].trim_end_matches('.').to_owned())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_address_is_found_in_what_is_printed() {
        assert_eq!(
            address_in("Becket is at http://127.0.0.1:4180/").as_deref(),
            Some("http://127.0.0.1:4180/")
        );
        assert_eq!(address_in("Open <http://127.0.0.1:4180>.").as_deref(), Some("http://127.0.0.1:4180"));
        assert_eq!(address_in("See http://127.0.0.1:9.").as_deref(), Some("http://127.0.0.1:9"));
        assert_eq!(address_in("nothing yet"), None);
    }
}
