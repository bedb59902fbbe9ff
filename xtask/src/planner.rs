//! The shortest step lists, held against those of a planner by other authors.

use std::path::Path;

use crate::program::{Outcome, Program, target};
use crate::tools;

const SCRIPT: &str = "reference/planner/run.py";

/// The planner's package, at the version that the comparison was written for.
const PLANNER: &str = "up-fast-downward==1.0.0";

/// Asks where the package lies without loading it.
const WHERE: &str =
    "import importlib.util as u; print(u.find_spec('up_fast_downward').submodule_search_locations[0])";

/// The boat whose ways are compared.
const BOAT: &str = "demo/whimbrel.toml";

/// Runs the comparison. The planner comes into an environment of its own under the target folder.
pub(crate) fn compare() -> Outcome {
    if !Path::new(SCRIPT).is_file() {
        return Err(format!("{SCRIPT} is missing."));
    }
    let build = ["build", "--release", "--locked", "--quiet", "--package", "operate", "--example", "way"];
    Program::new("cargo", &build).loudly()?;
    let way = target().join("release/examples/way").display().to_string();
    let python = tools::python("planner", &[PLANNER])?;
    let package = Program::new(&python, &["-c", WHERE]).read()?;
    let driver = Path::new(package.trim()).join("downward/fast-downward.py").display().to_string();
    let run = [SCRIPT, "--way", &way, "--boat", BOAT, "--driver", &driver];
    Program::new(&python, &run).minutes(20).loudly()
}
