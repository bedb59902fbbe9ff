//! The shortest step lists, compared with those of a planner by other authors.

use crate::program::{Outcome, Program};
use crate::tools;

const SCRIPT: &str = "reference/planner/run.py";

/// The planner's package, at the version that the comparison was written for.
const PLANNER: &str = "up-fast-downward==1.0.0";

/// Runs the comparison. The planner comes into an environment of its own under the target folder.
pub(crate) fn compare() -> Outcome {
    if !std::path::Path::new(SCRIPT).is_file() {
        return Err(format!("{SCRIPT} is missing."));
    }
    let python = tools::python(&[PLANNER])?;
    Program::new(&python, &[SCRIPT]).minutes(20).loudly()
}
