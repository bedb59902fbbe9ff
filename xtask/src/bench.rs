//! Measuring: the benches of all crates, and the searches held against those of another program.

use crate::program::{Outcome, Program, say};

/// Runs the benches, then the open instances, and prints the ratios.
pub(crate) fn run() -> Outcome {
    // A pattern names the benches, since `--benches` would take the unit tests along.
    Program::new("cargo", &["bench", "--workspace", "--locked", "--quiet", "--bench", "*"])
        .minutes(60)
        .loudly()?;
    let example =
        ["run", "--release", "--locked", "--quiet", "--package", "search", "--example", "open_instances"];
    let table = Program::new("cargo", &example).read()?;
    say(&table);
    let rows = rows(&table)?;
    say(&format!(
        "States looked at, ours to the other program's, geometric mean over {} instances:",
        rows.len()
    ));
    for (name, ratio) in [
        ("blind search", ratio(rows.iter().map(|row| (row.blind, row.other_blind)))),
        (
            "LM-cut (where there are derived facts: its blind search)",
            ratio(rows.iter().map(|row| (row.guided, row.other_guided))),
        ),
        ("ours with LM-cut to ours blind", ratio(rows.iter().map(|row| (row.guided, row.blind)))),
    ] {
        say(&format!("  {ratio:.2}  {name}"));
    }
    Ok(())
}

/// States expanded for one instance.
#[derive(Debug, PartialEq)]
struct Row {
    blind: f64,
    guided: f64,
    other_guided: f64,
    other_blind: f64,
}

/// Reads what the example `open_instances` prints: instance, optimal, cost, blind, ms, cost, LM-cut, evaluated, ms,
/// the other program's LM-cut, its blind.
fn rows(table: &str) -> Result<Vec<Row>, String> {
    table
        .lines()
        .skip(1)
        .map(|line| row(line).ok_or_else(|| format!("This line can't be read: {line}")))
        .collect()
}

fn row(line: &str) -> Option<Row> {
    let cells: Vec<&str> = line.split(", ").collect();
    let states = |at: usize| cells.get(at).and_then(|cell| cell.trim().parse().ok());
    Some(Row { blind: states(3)?, guided: states(6)?, other_guided: states(9)?, other_blind: states(10)? })
}

/// The geometric mean of ratios. One is added to both sides, as one program counts the goal as a state that it looked
/// at and the other does not, and some instances need none.
fn ratio(pairs: impl ExactSizeIterator<Item = (f64, f64)>) -> f64 {
    let count = pairs.len() as f64;
    let sum: f64 = pairs.map(|(ours, other)| ((ours + 1.0) / (other + 1.0)).ln()).sum();
    (sum / count).exp()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_table_of_instances_is_read() {
        let table = "instance, ..\nblocks/p, 6, 6, 87, 0.2, 6, 8, 15, 0.1, 7, 85\n";
        assert_eq!(
            rows(table),
            Ok(vec![Row { blind: 87.0, guided: 8.0, other_guided: 7.0, other_blind: 85.0 }])
        );
        assert!(rows("instance, ..\nblocks/p, 6\n").is_err());
    }

    #[test]
    fn the_mean_of_half_and_double_is_one() {
        let mean = ratio([(1.0, 3.0), (3.0, 1.0)].into_iter());
        assert!((mean - 1.0).abs() < 1e-12, "{mean}");
    }
}
