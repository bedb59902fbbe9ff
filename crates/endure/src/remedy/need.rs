//! How much charge a drawing lacks, so how much engine it needs at least: a lower bound without trying any plan.
//!
//! An ampere hour put into a bank never raises it later by more than itself, and a night alongside never leaves it
//! more than full. So if a bank without the engine ends `d` ampere hours under its limit, the engine has to bring `d`
//! before then, after the last night alongside.

use super::course::Trace;

/// The lower bound is drawn this much lower, since a bank that is fuller gives the same power at fewer amperes and
/// may be held at a higher voltage by its panels (our judgement; the tests compare it with all plans of small trips).
const SLACK: f64 = 0.92;

/// Ampere hours that the engine has to bring at least in a drawing, with these nights alongside.
pub(super) fn lacks(trace: &Trace, nights: u64, kept: &[bool]) -> f64 {
    let banks = trace.limits.len();
    (0..banks).filter(|bank| kept[*bank]).map(|bank| lack(trace, nights, bank)).fold(0.0, f64::max) * SLACK
}

fn lack(trace: &Trace, nights: u64, bank: usize) -> f64 {
    let (limit, full) = trace.limits[bank];
    let (mut total, mut worst, mut gained): (f64, f64, f64) = (0.0, 0.0, 0.0);
    for piece in 0..trace.low.len() {
        let low = trace.low[piece][bank];
        let night = piece.checked_sub(1).map(|window| window / 2).filter(|night| *night < 64);
        let alongside = night.is_some_and(|night| nights >> night & 1 == 1);
        if alongside {
            // Its own evening and morning ask nothing; after them she is at most full.
            if piece % 2 == 0 {
                total += worst;
                worst = 0.0;
                gained = (full - trace.ends[piece][bank]).max(0.0);
            }
            continue;
        }
        if low.is_finite() {
            worst = worst.max(limit - low - gained);
        }
    }
    total + worst
}
