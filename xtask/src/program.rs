//! Running other programs: in the workspace, with a time limit, loudly or into a log.

use std::ffi::OsString;
use std::fs::File;
use std::io::{BufRead, BufReader, IsTerminal, Write};
use std::path::{Path, PathBuf};
use std::process::{Child, Command, ExitStatus, Stdio};
use std::time::{Duration, Instant};

/// What a task comes to; the message is for people and says what to do.
pub(crate) type Outcome = Result<(), String>;

/// Goes to the workspace's folder, so that every path here may be relative to it.
pub(crate) fn enter_workspace() -> Outcome {
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).parent().expect("xtask/ lies in the workspace");
    std::env::set_current_dir(root).map_err(|error| format!("{} can't be entered: {error}.", root.display()))
}

/// Where cargo builds.
pub(crate) fn target() -> PathBuf {
    std::env::var_os("CARGO_TARGET_DIR").map_or_else(|| PathBuf::from("target"), PathBuf::from)
}

/// Where programs are installed that only this workspace uses.
pub(crate) fn own_programs() -> PathBuf {
    let folder = target().join("tools");
    std::path::absolute(&folder).unwrap_or(folder)
}

/// Where programs are looked for: as everywhere, then among our own.
pub(crate) fn path() -> OsString {
    let usual = std::env::var_os("PATH").unwrap_or_default();
    let all = std::env::split_paths(&usual).chain([own_programs().join("bin")]);
    std::env::join_paths(all).unwrap_or(usual)
}

/// Where the output of quiet programs goes.
fn logs() -> Result<PathBuf, String> {
    let folder = target().join("xtask");
    std::fs::create_dir_all(&folder)
        .map_err(|error| format!("{} can't be made: {error}.", folder.display()))?;
    Ok(folder)
}

/// A new log of this name, and its path.
pub(crate) fn log(name: &str) -> Result<(File, PathBuf), String> {
    let path = logs()?.join(format!("{name}.log"));
    let file =
        File::create(&path).map_err(|error| format!("{} can't be written: {error}.", path.display()))?;
    Ok((file, path))
}

/// A program to be run.
pub(crate) struct Program {
    command: Command,
    shown: String,
    limit: Duration,
}

impl Program {
    /// The program of this name with these arguments, in the workspace's folder, ended after 30 minutes.
    pub(crate) fn new(name: &str, arguments: &[&str]) -> Self {
        let mut command = Command::new(name);
        command.args(arguments).stdin(Stdio::null()).env("PATH", path());
        let shown = [&[name], arguments].concat().join(" ");
        Self { command, shown, limit: Duration::from_secs(30 * 60) }
    }

    /// In another folder.
    pub(crate) fn within(mut self, folder: &str) -> Self {
        self.command.current_dir(folder);
        self
    }

    /// With this in its environment.
    pub(crate) fn with(mut self, name: &str, value: &str) -> Self {
        self.command.env(name, value);
        self
    }

    /// Without this in its environment.
    pub(crate) fn without(mut self, name: &str) -> Self {
        self.command.env_remove(name);
        self
    }

    /// Ended after this many minutes.
    pub(crate) fn minutes(mut self, minutes: u64) -> Self {
        self.limit = Duration::from_secs(minutes * 60);
        self
    }

    /// May ask the person at the terminal.
    pub(crate) fn asking(mut self) -> Self {
        self.command.stdin(Stdio::inherit());
        self
    }

    /// Runs it with its output on the terminal.
    pub(crate) fn loudly(mut self) -> Outcome {
        let child = self.start()?;
        let status = self.wait(child)?;
        self.judge(status)
    }

    /// Runs it with its output in a log of this name, shown only if it fails.
    pub(crate) fn quietly(mut self, log_name: &str) -> Outcome {
        let (file, path) = log(log_name)?;
        let twin =
            file.try_clone().map_err(|error| format!("{} can't be written: {error}.", path.display()))?;
        self.command.stdout(file).stderr(twin);
        let child = self.start()?;
        let outcome = self.wait(child).and_then(|status| self.judge(status));
        if outcome.is_err() {
            eprintln!("{}", tail(&path));
        }
        outcome
    }

    /// Runs it without showing anything; whether it went well.
    pub(crate) fn hidden(mut self) -> bool {
        self.command.stdout(Stdio::null()).stderr(Stdio::null());
        self.start().and_then(|child| self.wait(child)).is_ok_and(|status| status.success())
    }

    /// Runs it and gives back what it printed.
    pub(crate) fn read(mut self) -> Result<String, String> {
        let output = self
            .command
            .stderr(Stdio::inherit())
            .output()
            .map_err(|error| format!("`{}` can't be started: {error}.", self.shown))?;
        self.judge(output.status)?;
        String::from_utf8(output.stdout)
            .map_err(|_| format!("`{}` printed something that is not text.", self.shown))
    }

    /// Runs it with its output on the terminal, and shows each line of its standard error to `listen` too.
    /// Has no time limit of its own.
    pub(crate) fn overheard(mut self, mut listen: impl FnMut(&str)) -> Outcome {
        self.command.stderr(Stdio::piped());
        let mut child = self.start()?;
        let errors = child.stderr.take().expect("standard error was asked for");
        for line in BufReader::new(errors).lines() {
            let line = line.map_err(|error| format!("`{}` can't be read: {error}.", self.shown))?;
            eprintln!("{line}");
            listen(&line);
        }
        let status = self.wait(child)?;
        self.judge(status)
    }

    /// Starts it with its standard output piped and its standard error in a log, and leaves it running.
    pub(crate) fn running(mut self, errors: File) -> Result<Child, String> {
        self.command.stdout(Stdio::piped()).stderr(errors);
        self.start()
    }

    fn start(&mut self) -> Result<Child, String> {
        self.command.spawn().map_err(|error| format!("`{}` can't be started: {error}.", self.shown))
    }

    fn wait(&self, mut child: Child) -> Result<ExitStatus, String> {
        let Some(status) = wait_for(&mut child, self.limit) else {
            let _ = child.kill();
            let _ = child.wait();
            return Err(format!("`{}` was ended after {} minutes.", self.shown, self.limit.as_secs() / 60));
        };
        Ok(status)
    }

    fn judge(&self, status: ExitStatus) -> Outcome {
        if status.success() { Ok(()) } else { Err(format!("`{}` failed ({status}).", self.shown)) }
    }
}

/// Waits until a program ends; `None` if it runs on after this long.
pub(crate) fn wait_for(child: &mut Child, limit: Duration) -> Option<ExitStatus> {
    let begun = Instant::now();
    loop {
        if let Ok(Some(status)) = child.try_wait() {
            return Some(status);
        }
        if begun.elapsed() > limit {
            return None;
        }
        std::thread::sleep(Duration::from_millis(50));
    }
}

/// Tries up to three times, pausing longer each time: for what comes over a network.
pub(crate) fn patiently(mut attempt: impl FnMut() -> Outcome) -> Outcome {
    for pause in [5, 20] {
        match attempt() {
            Ok(()) => return Ok(()),
            Err(message) => eprintln!("{message} Trying again in {pause} s."),
        }
        std::thread::sleep(Duration::from_secs(pause));
    }
    attempt()
}

/// Whether a person is at the terminal, who can be asked.
pub(crate) fn someone_is_there() -> bool {
    std::env::var_os("CI").is_none() && std::io::stdin().is_terminal()
}

/// The last lines of a log, and where the rest is.
pub(crate) fn tail(path: &Path) -> String {
    const SHOWN: usize = 150;
    let text =
        std::fs::read(path).map(|bytes| String::from_utf8_lossy(&bytes).into_owned()).unwrap_or_default();
    let lines: Vec<&str> = text.lines().collect();
    let from = lines.len().saturating_sub(SHOWN);
    let mut shown = lines[from..].join("\n");
    if from > 0 {
        shown = format!("({from} lines before this in {})\n{shown}", path.display());
    }
    shown
}

/// Prints a line at once, also into a pipe.
pub(crate) fn say(line: &str) {
    println!("{line}");
    let _ = std::io::stdout().flush();
}
