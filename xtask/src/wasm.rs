//! The browser build: every pure crate compiles for WebAssembly, with whichever compiler can.

use std::path::Path;

use crate::program::{Outcome, Program, target};
use crate::tools;

/// The crates that know no files, clocks or threads.
const PURE: [&str; 11] = [
    "quantity", "search", "almanac", "boat", "endure", "operate", "brief", "trace", "records", "rules",
    "pages",
];

const TARGET: &str = "wasm32-unknown-unknown";

/// Debian's compiler for web programs, with the source of the standard library, which it builds itself.
const DEBIAN: [&str; 4] = ["rustc-web", "cargo-web", "rust-web-src", "lld-19"];

/// Builds them. The ordinary way is the target that rustup installs; Debian's compiler is the way for
/// machines that reach only a package registry, and is older, which keeps the crates within `rust-version`.
pub(crate) fn build() -> Outcome {
    if rustup_has_target() {
        return ordinary();
    }
    let ready = debian_is_there() || tools::debian(&DEBIAN, "Debian's Rust for the web").is_ok();
    if ready {
        return with_debian();
    }
    Program::new("rustup", &["target", "add", TARGET]).minutes(10).quietly("rustup").map_err(|message| {
        format!("{message} Without Debian's {} the target {TARGET} is needed.", DEBIAN.join(", "))
    })?;
    ordinary()
}

/// Whether the compiler that cargo uses has the target's standard library.
fn rustup_has_target() -> bool {
    let Ok(folder) = Program::new("rustc", &["--print", "target-libdir", "--target", TARGET]).read() else {
        return false;
    };
    let Ok(files) = std::fs::read_dir(folder.trim()) else { return false };
    files.flatten().any(|file| file.file_name().to_string_lossy().starts_with("libstd-"))
}

fn debian_is_there() -> bool {
    let at = |path: &str| Path::new(path).is_file();
    at("/usr/bin/rustc") && at("/usr/bin/cargo") && linker().is_some() && has_library_source()
}

fn has_library_source() -> bool {
    Program::new("/usr/bin/rustc", &["--print", "sysroot"])
        .without("LD_LIBRARY_PATH")
        .read()
        .is_ok_and(|root| Path::new(root.trim()).join("lib/rustlib/src/rust/library/std").is_dir())
}

/// The newest of Debian's WebAssembly linkers.
fn linker() -> Option<String> {
    let files = std::fs::read_dir("/usr/bin").ok()?;
    let version = |name: &str| name.strip_prefix("wasm-ld-").and_then(|version| version.parse::<u32>().ok());
    let newest = files.flatten().filter_map(|file| version(&file.file_name().to_string_lossy())).max()?;
    Some(format!("/usr/bin/wasm-ld-{newest}"))
}

fn arguments<'a>(beside: &[&'a str]) -> Vec<&'a str> {
    let packages = PURE.into_iter().flat_map(|name| ["--package", name]);
    ["build", "--lib", "--locked", "--quiet", "--target", TARGET]
        .into_iter()
        .chain(packages)
        .chain(beside.iter().copied())
        .collect()
}

fn ordinary() -> Outcome {
    Program::new("cargo", &arguments(&[])).loudly()
}

fn with_debian() -> Outcome {
    let linker = linker().ok_or("Debian's wasm-ld is missing though lld was installed.")?;
    let folder = target().join("wasm-debian");
    Program::new("/usr/bin/cargo", &arguments(&["-Zbuild-std=std,panic_abort"]))
        .without("RUSTUP_TOOLCHAIN")
        .without("LD_LIBRARY_PATH")
        .with("RUSTC", "/usr/bin/rustc")
        .with("RUSTC_BOOTSTRAP", "1")
        .with("CARGO_TARGET_WASM32_UNKNOWN_UNKNOWN_LINKER", &linker)
        .with("CARGO_TARGET_DIR", &folder.display().to_string())
        .loudly()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_crate_is_either_built_for_the_browser_or_of_the_rim() {
        let rim = ["becket", "server", "store", "calendar"];
        let crates = concat!(env!("CARGO_MANIFEST_DIR"), "/../crates");
        for folder in std::fs::read_dir(crates).unwrap() {
            let name = folder.unwrap().file_name().into_string().unwrap();
            assert!(
                PURE.contains(&name.as_str()) != rim.contains(&name.as_str()),
                "{name}: name it in PURE if it is pure, in this test if it does I/O"
            );
        }
    }
}
