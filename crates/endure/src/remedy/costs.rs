//! What each remedy costs a crew.

/// What each thing done otherwise costs, in points of trouble: one point is about a minute of the crew's time, or
/// what spoils a holiday as much (our judgement; a base or a crew sets its own).
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Costs {
    /// Each run of the engine at anchor: it has to be started, watched, heard and smelt.
    pub engine_run: f64,
    /// Each hour of it, its fuel included.
    pub engine_hour: f64,
    /// A night alongside with shore power: its price, and the anchorage that is given up for it. Water and pump-out
    /// come with it.
    pub marina_night: f64,
    /// Each call at a dock by day, whatever is done there.
    pub dock_call: f64,
    /// Pumping out at a call.
    pub pump_out: f64,
    /// Filling water at a call.
    pub water: f64,
    /// Filling diesel at a call.
    pub diesel: f64,
    /// Changing gas bottles at a call.
    pub gas: f64,
    /// A load switched off, each night.
    pub off_at_night: f64,
    /// A load not used, each day.
    pub without: f64,
    /// Being careful with water, each day.
    pub careful_water: f64,
    /// Flushing less, each day.
    pub fewer_flushes: f64,
}

impl Default for Costs {
    fn default() -> Self {
        Self {
            engine_run: 10.0,
            engine_hour: 30.0,
            marina_night: 120.0,
            dock_call: 20.0,
            pump_out: 25.0,
            water: 10.0,
            diesel: 15.0,
            gas: 15.0,
            off_at_night: 10.0,
            without: 10.0,
            careful_water: 15.0,
            fewer_flushes: 15.0,
        }
    }
}

impl Costs {
    /// No cost below nothing, none that is no number.
    pub(super) fn mended(self) -> Self {
        let mend = |cost: f64| if cost > 0.0 { cost.min(1e9) } else { 0.0 };
        Self {
            engine_run: mend(self.engine_run),
            engine_hour: mend(self.engine_hour),
            marina_night: mend(self.marina_night),
            dock_call: mend(self.dock_call),
            pump_out: mend(self.pump_out),
            water: mend(self.water),
            diesel: mend(self.diesel),
            gas: mend(self.gas),
            off_at_night: mend(self.off_at_night),
            without: mend(self.without),
            careful_water: mend(self.careful_water),
            fewer_flushes: mend(self.fewer_flushes),
        }
    }

    /// What runs of so many half hours in all cost.
    pub(super) fn engine(&self, runs: usize, halves: usize) -> f64 {
        self.engine_run * runs as f64 + self.engine_hour / 2.0 * halves as f64
    }
}
