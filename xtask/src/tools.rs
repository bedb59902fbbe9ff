//! What the tests need that a bare Debian with Rust does not have: looked for, and installed if missing.

use std::path::Path;

use crate::program::{Outcome, Program, own_programs, path, patiently, say, someone_is_there, target};

/// Whether a program of this name is on the path.
fn has(name: &str) -> bool {
    path_of(name).is_some()
}

/// Where a program of this name lies.
fn path_of(name: &str) -> Option<String> {
    let path = std::env::split_paths(&path()).map(|folder| folder.join(name)).find(|path| path.is_file())?;
    Some(path.display().to_string())
}

/// Installs Debian packages; `what` says in the message what they are for.
pub(crate) fn debian(packages: &[&str], what: &str) -> Outcome {
    if !has("apt-get") {
        return Err(format!(
            "{what} is missing and there is no apt-get here: install it and run this again."
        ));
    }
    say(&format!("installing {}", packages.join(" ")));
    patiently(|| {
        apt(&["update"])?;
        apt(&[&["install", "--yes", "--no-install-recommends"], packages].concat())
    })
    .map_err(|message| format!("{what} could not be installed. {message}"))
}

fn apt(arguments: &[&str]) -> Outcome {
    let always = ["apt-get", "--quiet", "--option", "DPkg::Lock::Timeout=600"];
    let line = [&always, arguments].concat();
    let program = if is_root() {
        Program::new("env", &[&["DEBIAN_FRONTEND=noninteractive"], line.as_slice()].concat())
    } else if !has("sudo") {
        return Err(format!("Only root may run `{}`, and there is no sudo here.", line.join(" ")));
    } else if someone_is_there() {
        Program::new("sudo", &[&["DEBIAN_FRONTEND=noninteractive"], line.as_slice()].concat()).asking()
    } else {
        Program::new("sudo", &[&["-n", "DEBIAN_FRONTEND=noninteractive"], line.as_slice()].concat())
    };
    program.minutes(20).quietly("apt")
}

fn is_root() -> bool {
    Program::new("id", &["-u"]).read().is_ok_and(|id| id.trim() == "0")
}

/// Rust's own formatter and lints, which a minimal installation leaves out.
pub(crate) fn rust_components() -> Outcome {
    for (tool, component) in [("cargo-fmt", "rustfmt"), ("cargo-clippy", "clippy")] {
        if !answers(tool, &["--version"]) {
            patiently(|| {
                Program::new("rustup", &["component", "add", component]).minutes(10).quietly("rustup")
            })?;
        }
    }
    Ok(())
}

/// A cargo subcommand, built from its package if missing: into a folder of this workspace, and without
/// optimising, since it is run a few times and not for long.
pub(crate) fn cargo_tool(package: &str) -> Outcome {
    let subcommand = package.strip_prefix("cargo-").unwrap_or(package);
    if answers("cargo", &[subcommand, "--version"]) {
        return Ok(());
    }
    say(&format!("building {package}, which takes some minutes the first time"));
    let root = own_programs().display().to_string();
    patiently(|| {
        Program::new("cargo", &["install", package, "--locked", "--quiet", "--root", &root])
            .with("CARGO_PROFILE_RELEASE_OPT_LEVEL", "0")
            .with("CARGO_PROFILE_RELEASE_LTO", "off")
            .with("CARGO_PROFILE_RELEASE_CODEGEN_UNITS", "16")
            .with("CARGO_PROFILE_RELEASE_DEBUG", "false")
            .minutes(40)
            .quietly(package)
    })
}

/// Whether a program runs and is content.
fn answers(program: &str, arguments: &[&str]) -> bool {
    Program::new(program, arguments).minutes(1).hidden()
}

/// The path of the browser's program: the one that `CHROMIUM` names, else the one installed here.
pub(crate) fn browser() -> Result<String, String> {
    if let Ok(named) = std::env::var("CHROMIUM") {
        return Ok(named);
    }
    let found = || ["chromium", "chromium-browser", "google-chrome"].into_iter().find_map(path_of);
    if let Some(path) = found() {
        return Ok(path);
    }
    debian(&["chromium"], "The browser Chromium")?;
    found().ok_or_else(|| "Chromium was installed and yet is not on the path.".to_owned())
}

/// Node with npm, for driving the browser.
pub(crate) fn node() -> Outcome {
    if has("node") && has("npm") { Ok(()) } else { debian(&["nodejs", "npm"], "Node.js with npm") }
}

/// PostgreSQL's server programs, of which the store's tests start one of their own.
pub(crate) fn postgresql() -> Outcome {
    let installed = || {
        std::fs::read_dir("/usr/lib/postgresql").is_ok_and(|versions| {
            versions.flatten().any(|version| version.path().join("bin/initdb").is_file())
        })
    };
    if installed() { Ok(()) } else { debian(&["postgresql"], "The database PostgreSQL") }
}

/// The packages of a folder with a `package-lock.json`, as locked.
pub(crate) fn npm_packages(folder: &str) -> Outcome {
    let lock_path = format!("{folder}/package-lock.json");
    let lock = std::fs::read_to_string(&lock_path)
        .map_err(|error| format!("{lock_path} can't be read: {error}."))?;
    let stamp = format!("{folder}/node_modules/.installed-lock");
    if std::fs::read_to_string(&stamp).is_ok_and(|installed| installed == lock) {
        return Ok(());
    }
    patiently(|| {
        Program::new("npm", &["ci", "--no-audit", "--no-fund", "--loglevel=error"])
            .within(folder)
            .minutes(10)
            .quietly("npm")
    })?;
    std::fs::write(&stamp, lock).map_err(|error| format!("{stamp} can't be written: {error}."))
}

/// The Python of an environment of this name under the target folder, which has these packages.
pub(crate) fn python(name: &str, packages: &[&str]) -> Result<String, String> {
    let folder = target().join(format!("python-{name}"));
    let python = folder.join("bin/python").display().to_string();
    let stamp = folder.join("installed-packages");
    let wanted = packages.join("\n");
    if Path::new(&python).is_file()
        && std::fs::read_to_string(&stamp).is_ok_and(|installed| installed == wanted)
    {
        return Ok(python);
    }
    // Debian's own python3 comes without what makes environments.
    if !answers("python3", &["-c", "import venv, ensurepip"]) {
        debian(&["python3", "python3-venv"], "Python")?;
    }
    let place = folder.display().to_string();
    Program::new("python3", &["-m", "venv", "--clear", &place]).minutes(5).quietly("venv")?;
    let install = [&["-m", "pip", "install", "--quiet", "--disable-pip-version-check"], packages].concat();
    patiently(|| Program::new(&python, &install).minutes(15).quietly("pip"))?;
    std::fs::write(&stamp, wanted)
        .map_err(|error| format!("{} can't be written: {error}.", stamp.display()))?;
    Ok(python)
}
