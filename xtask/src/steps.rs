//! The steps of a long task: each is named and timed, none stops those after it, the end lists them all.

use std::time::{Duration, Instant};

use crate::program::{Outcome, say};

/// Steps done so far.
#[derive(Default)]
pub(crate) struct Steps {
    done: Vec<Done>,
}

struct Done {
    name: String,
    time: Duration,
    outcome: Outcome,
}

impl Steps {
    /// Does a step, says how it went, and keeps that for the end.
    pub(crate) fn step(&mut self, name: &str, work: impl FnOnce() -> Outcome) {
        say(&format!("---- {name}"));
        let begun = Instant::now();
        let outcome = work();
        let done = Done { name: name.to_owned(), time: begun.elapsed(), outcome };
        say(&done.line());
        self.done.push(done);
    }

    /// Lists all steps; fails if one did.
    pub(crate) fn end(self) -> Outcome {
        say("\n==== all steps");
        let mut failed = Vec::new();
        let mut time = Duration::ZERO;
        for done in &self.done {
            say(&done.line());
            time += done.time;
            if done.outcome.is_err() {
                failed.push(done.name.as_str());
            }
        }
        let count = self.done.len();
        if failed.is_empty() {
            say(&format!("{count} steps in {}: all is well.", words(time)));
            return Ok(());
        }
        Err(format!("{count} steps in {}; to mend: {}.", words(time), failed.join(", ")))
    }
}

impl Done {
    fn line(&self) -> String {
        let time = words(self.time);
        match &self.outcome {
            Ok(()) => format!("ok      {time:>12}  {}", self.name),
            Err(message) => format!("FAILED  {time:>12}  {}: {message}", self.name),
        }
    }
}

/// A time in words.
fn words(time: Duration) -> String {
    let seconds = time.as_secs_f64();
    if seconds < 60.0 {
        return format!("{seconds:.1} s");
    }
    format!("{} min {:02} s", time.as_secs() / 60, time.as_secs() % 60)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_failed_step_is_named_at_the_end_and_does_not_stop_the_next() {
        let mut steps = Steps::default();
        let mut reached = false;
        steps.step("first", || Err("it broke.".into()));
        steps.step("second", || {
            reached = true;
            Ok(())
        });
        assert!(reached);
        let message = steps.end().unwrap_err();
        assert!(message.ends_with("to mend: first."), "{message}");
    }

    #[test]
    fn steps_that_all_went_well_end_well() {
        let mut steps = Steps::default();
        steps.step("only", || Ok(()));
        assert_eq!(steps.end(), Ok(()));
    }

    #[test]
    fn times_read_well() {
        assert_eq!(words(Duration::from_millis(1234)), "1.2 s");
        assert_eq!(words(Duration::from_secs(125)), "2 min 05 s");
    }
}
