//! How much searching the caller allows.

/// A pot of work that searches draw from: each expanded state takes one unit, and the caller may be asked now and
/// then whether to stop. Handing the same budget to several searches shares the pot.
pub struct Budget<'a> {
    left: u64,
    since_asked: u32,
    stop: Option<&'a mut dyn FnMut() -> bool>,
}

/// Expansions between two questions to the caller.
const ASK_EVERY: u32 = 64;

impl<'a> Budget<'a> {
    /// So many states may be expanded.
    pub fn states(states: u64) -> Self {
        Self { left: states, since_asked: 0, stop: None }
    }

    /// No bound on the number of states.
    pub fn unlimited() -> Self {
        Self::states(u64::MAX)
    }

    /// Asks `stop` every few expansions; the search is cut off once it answers true.
    #[must_use]
    pub fn stopping(mut self, stop: &'a mut dyn FnMut() -> bool) -> Self {
        self.stop = Some(stop);
        self
    }

    /// Units still in the pot.
    pub fn left(&self) -> u64 {
        self.left
    }

    /// Takes one unit; false when there is none or the caller wants to stop.
    pub(crate) fn take(&mut self) -> bool {
        if self.left == 0 {
            return false;
        }
        self.since_asked += 1;
        if self.since_asked >= ASK_EVERY {
            self.since_asked = 0;
            if let Some(stop) = &mut self.stop {
                if stop() {
                    self.left = 0;
                    return false;
                }
            }
        }
        self.left -= 1;
        true
    }
}
