//! What to look at or do next: by expected cost, as in decision-theoretic troubleshooting.
//!
//! # Source
//! D. Heckerman, J. S. Breese, K. Rommelse, "Decision-theoretic troubleshooting", Communications of the ACM 38(3)
//! (1995) 49: repairs are tried in the order of probability over cost, with a call for service as the last resort; what
//! can be looked at is looked at if the expected cost after it, with what it costs itself, is less. Here each step is
//! judged by its own outcome first, and the order by probability over cost is the estimate of all that follows.

use std::cell::RefCell;

use boat::model::{FaultId, ProcedureId, VarId};

use crate::ask::Ask;
use crate::case::{Case, KNOWN_SAVES, MEND_SURE};
use crate::hope::is_control;
use crate::layout::Cause;
use crate::order::{Causes, Outlook, Sequence, by_ratio};

/// What comes next.
#[derive(Debug, Clone, PartialEq)]
pub enum Next {
    /// Ask this.
    Ask(Step),
    /// It works again.
    Solved,
    /// What was found is an emergency: its list begins at once.
    Emergency(ProcedureId),
    /// Stop here and call the base.
    Call(Why),
}

/// Why the base is called.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Why {
    /// The matter was found, and it is for the base to mend.
    Found(Cause),
    /// Of what is left nothing is for whoever stands there.
    NothingLeft,
    /// A guide on paper ends here; asking would go on.
    GuideEnds,
    /// What is left costs more than it is worth.
    NotWorth {
        /// The expected minutes of going on with the best that is left.
        going_on: f64,
    },
}

/// One thing to ask, with what it would tell.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Step {
    /// What.
    pub ask: Ask,
    /// Minutes that asking it costs.
    pub minutes: f64,
    /// The probability of a yes.
    pub yes: f64,
    /// Bits that the answer is expected to tell.
    pub bits: f64,
    /// Expected minutes until it works again or the base has been called, this first.
    pub expected: f64,
}

/// A thing to check and, if it is so, to put right.
pub(crate) struct Remedy {
    pub(crate) ask: Ask,
    check: f64,
    fix: f64,
    /// How surely the check is read.
    sure: f64,
}

/// Remedies as [`Sequence::weigh`] takes them. A check that is misread leaves what it missed to the call, and mends in
/// vain what is not so: in vain as often as what is left is misread, which is a part of the cost of checking.
#[derive(Debug, Default)]
struct Lists {
    likely: Vec<f64>,
    check: Vec<f64>,
    fix: Vec<f64>,
}

impl Lists {
    fn of(remedies: &[Remedy]) -> Self {
        let check = remedies.iter().map(|remedy| remedy.check + (1.0 - remedy.sure) * remedy.fix).collect();
        let fix =
            remedies.iter().map(|remedy| remedy.fix * (2.0 * remedy.sure - 1.0) / remedy.sure).collect();
        Self { likely: vec![0.0; remedies.len()], check, fix }
    }

    /// The expected cost of going on in turn, the weight of all being `whole`.
    fn weigh(&self, sequence: &mut Sequence, whole: f64, call: f64) -> Outlook {
        let rest = (whole - self.likely.iter().sum::<f64>()).max(0.0);
        sequence.weigh(&Causes { likely: &self.likely, rest, check: &self.check, fix: &self.fix, call })
    }
}

pub(crate) fn next(case: &Case<'_>) -> Next {
    if case.solved {
        return Next::Solved;
    }
    if case.try_now {
        return Next::Ask(plain(case, Ask::Works));
    }
    if let Some(cause) = case.found {
        return found(case, cause);
    }
    let choices = weighed(case, SHORT_LIST);
    let Some(best) = choices.first() else { return Next::Call(Why::NothingLeft) };
    if best.expected < case.call_now() {
        Next::Ask(*best)
    } else {
        Next::Call(Why::NotWorth { going_on: best.expected })
    }
}

/// What was found is mended, if whoever is there may.
fn found(case: &Case<'_>, what: Cause) -> Next {
    let fault = case.fault_of(what);
    if let Some(list) = fault.and_then(|fault| case.boat.faults[fault].emergency) {
        return Next::Emergency(list);
    }
    let ask = mend_of(case, what, fault);
    match ask.filter(|ask| !case.stuck && may(case, *ask) && !told(case, *ask)) {
        Some(ask) => Next::Ask(plain(case, ask)),
        None => Next::Call(Why::Found(what)),
    }
}

fn mend_of(case: &Case<'_>, what: Cause, fault: Option<FaultId>) -> Option<Ask> {
    match (fault, what) {
        (Some(fault), _) => {
            let row = &case.boat.faults[fault];
            let own = (row.mend.is_some() || row.mend_by.is_some()).then_some(Ask::Mend(fault));
            own.or_else(|| row.means.map(|means| Ask::Restore(means.var)))
        }
        (None, Cause::Position(var, _)) => Some(Ask::Restore(var)),
        (None, _) => None,
    }
}

fn plain(case: &Case<'_>, ask: Ask) -> Step {
    let yes = case.chance_of_yes(ask);
    Step { ask, minutes: case.minutes(ask), yes, bits: entropy(yes), expected: 0.0 }
}

fn told(case: &Case<'_>, ask: Ask) -> bool {
    case.told.iter().any(|told| told.ask == ask)
}

/// Whether whoever stands there may do it, as she may stand now.
pub(crate) fn may(case: &Case<'_>, ask: Ask) -> bool {
    let Some(who) = ask.who(case.boat, case.hope()) else { return false };
    who <= case.terms.who
}

/// Worlds that weigh less than this are left out of the estimate of what each step is worth (not of the posterior).
const LIGHT: f64 = 1e-6;

/// All that may be asked now, best first.
pub(crate) fn choices(case: &Case<'_>) -> Vec<Step> {
    weighed(case, usize::MAX)
}

/// So many checks with the most probability for their cost, and so many signs that tell the most for theirs, are weighed
/// with all that follows from each answer; no other is ever much better than the best of these.
const SHORT_LIST: usize = 5;

/// What may be asked now, best first: the `most` checks and the `most` signs that promise most.
fn weighed(case: &Case<'_>, most: usize) -> Vec<Step> {
    let remedies = remedies(case);
    let heavy: Vec<u32> =
        (0u32..).zip(&case.weights).filter(|(_, weight)| **weight > LIGHT).map(|(world, _)| world).collect();
    let survey = Survey::new(case, &remedies, &heavy);
    let mut steps: Vec<Step> =
        survey.promising(most).into_iter().map(|at| survey.remedy(at, &remedies[at])).collect();
    let signs = case.seen().map(Ask::Fact).filter(|ask| may(case, *ask) && !told(case, *ask));
    let mut signs: Vec<(f64, Ask)> = signs.map(|ask| (tells(case, ask) / case.minutes(ask), ask)).collect();
    signs.sort_by(|a, b| b.0.total_cmp(&a.0).then(a.1.cmp(&b.1)));
    for (_, ask) in signs.into_iter().take(most) {
        steps.extend(survey.fact(ask));
    }
    // What can't be so tells nothing.
    steps.retain(|step| step.bits > 1e-4);
    steps.sort_by(|a, b| a.expected.total_cmp(&b.expected).then(a.ask.cmp(&b.ask)));
    steps
}

/// The bits that a sign is expected to tell.
fn tells(case: &Case<'_>, ask: Ask) -> f64 {
    let Ask::Fact(condition) = ask else { return 0.0 };
    let Some(fact) = case.layout.facts.get(&condition) else { return 0.0 };
    let p = case.worlds.fact(*fact).weigh(&case.weights);
    let [so, not] = case.says_yes(condition);
    let yes = p * so + (1.0 - p) * not;
    (entropy(yes) - p * entropy(so) - (1.0 - p) * entropy(not)).max(0.0)
}

/// All that can be checked and put right by whoever is there.
pub(crate) fn remedies(case: &Case<'_>) -> Vec<Remedy> {
    let mut found = Vec::new();
    for (_, var) in case.vars() {
        let ask = Ask::Position(var);
        let by_fault = !is_control(case.boat, var)
            && case
                .boat
                .faults
                .iter()
                .any(|fault| fault.means.is_some_and(|means| means.var == var) && fault.check.is_some());
        if !by_fault && may(case, ask) && !told(case, ask) {
            let fix = if case.set_at_once(var) { 0.5 } else { found_costs(case, var) };
            found.push(Remedy { ask, check: case.minutes(ask), fix, sure: crate::case::POSITION_SURE });
        }
    }
    for (id, fault) in case.boat.faults.iter_ids() {
        let ask = Ask::Fault(id);
        let of_control = fault.means.is_some_and(|means| is_control(case.boat, means.var));
        if !of_control && case.fault_at(id).is_some() && may(case, ask) && !told(case, ask) {
            let fix = after(case, Ask::Mend(id));
            found.push(Remedy { ask, check: case.minutes(ask), fix, sure: fault.sure });
        }
    }
    found
}

/// What follows once a control or state is found to be otherwise: the cheapest way to put it right.
fn found_costs(case: &Case<'_>, var: VarId) -> f64 {
    let by_fault =
        case.boat.faults.iter_ids().filter(|(_, fault)| fault.means.is_some_and(|means| means.var == var));
    by_fault.map(|(id, _)| after(case, Ask::Mend(id))).fold(after(case, Ask::Restore(var)), f64::min)
}

/// What follows once it is known: mending it, or calling somebody who can.
fn after(case: &Case<'_>, mend: Ask) -> f64 {
    let listed = match mend {
        Ask::Mend(fault) => mend_of(case, case.cause_of(fault), Some(fault)).is_some(),
        _ => true,
    };
    if listed && may(case, mend) {
        // Now and then what was mended is not mended, and the base is called after all.
        case.minutes(mend) + (1.0 - MEND_SURE) * case.terms.call
    } else {
        case.terms.call * (1.0 - KNOWN_SAVES)
    }
}

/// Short lists of places, one after the other.
#[derive(Debug, Default)]
struct Rows {
    of: Vec<u16>,
    /// Where each list ends.
    until: Vec<u32>,
}

impl Rows {
    /// Ends a list; the next begins.
    fn close(&mut self) {
        self.until.push(u32::try_from(self.of.len()).unwrap_or(u32::MAX));
    }

    fn get(&self, at: usize) -> &[u16] {
        let from = if at == 0 { 0 } else { self.until[at - 1] as usize };
        &self.of[from..self.until[at] as usize]
    }
}

/// The worlds that count, and which remedies end each.
struct Survey<'a> {
    case: &'a Case<'a>,
    remedies: &'a [Remedy],
    lists: RefCell<(Lists, Sequence)>,
    heavy: &'a [u32],
    total: f64,
    /// The deviation that stands for what the boat file does not know.
    unknown: Option<usize>,
    /// By heavy world: the remedies that find something there.
    hits: Rows,
    /// By heavy world: the remedies after which it works.
    ends: Rows,
}

impl<'a> Survey<'a> {
    fn new(case: &'a Case<'a>, remedies: &'a [Remedy], heavy: &'a [u32]) -> Self {
        let mut by_deviation: Vec<Vec<u16>> = vec![Vec::new(); case.worlds.deviations.len()];
        for (at, remedy) in remedies.iter().enumerate() {
            let at = u16::try_from(at).unwrap_or(u16::MAX);
            match remedy.ask {
                Ask::Position(var) => {
                    let unknown = case.layout.var(var);
                    for (place, d) in case.worlds.deviations.iter().enumerate() {
                        if Some(d.unknown) == unknown {
                            by_deviation[place].push(at);
                        }
                    }
                }
                Ask::Fault(fault) => {
                    if let Some(place) = case.fault_at(fault) {
                        by_deviation[place].push(at);
                    }
                }
                _ => {}
            }
        }
        let works = case.worlds.fact(case.layout.subject);
        let mut hits = Rows::default();
        let mut ends = Rows::default();
        for world in heavy {
            for (place, deviation) in case.worlds.set(*world as usize).iter().enumerate() {
                let found = &by_deviation[usize::from(*deviation)];
                if !found.is_empty() {
                    hits.of.extend(found);
                    if works.has(case.worlds.without_one(*world as usize, place)) {
                        ends.of.extend(found);
                    }
                }
            }
            hits.close();
            ends.close();
        }
        let total = heavy.iter().map(|world| case.weights[*world as usize]).sum();
        let lists = RefCell::new((Lists::of(remedies), Sequence::default()));
        let unknown =
            case.layout.place(Cause::Unknown).and_then(|(at, value)| case.worlds.deviation(at, value));
        Self { case, remedies, lists, heavy, total, unknown, hits, ends }
    }

    /// The expected cost of going on, if each world is weighed again by `likely`; `without` is done already.
    ///
    /// `likely` is asked by a world's place among the heavy ones. Gives the share of weight that is left, and the cost.
    fn to_go(&self, likely: impl Fn(usize) -> f64, without: Option<usize>) -> (f64, f64) {
        let (lists, sequence) = &mut *self.lists.borrow_mut();
        lists.likely.fill(0.0);
        let mut surest = vec![0.0; self.case.worlds.deviations.len()];
        let mut total = 0.0;
        for (at, world) in self.heavy.iter().enumerate() {
            let weight = self.case.weights[*world as usize] * likely(at);
            total += weight;
            for remedy in self.ends.get(at) {
                lists.likely[usize::from(*remedy)] += weight;
            }
            for deviation in self.case.worlds.set(*world as usize) {
                surest[usize::from(*deviation)] += weight;
            }
        }
        if total <= 0.0 {
            return (0.0, 0.0);
        }
        if let Some(done) = without {
            lists.likely[done] = 0.0;
        }
        for (likely, remedy) in lists.likely.iter_mut().zip(self.remedies) {
            *likely *= remedy.sure;
        }
        // Nobody brings the right part for what is not known.
        let named = |(at, weight): (usize, &f64)| if Some(at) == self.unknown { 0.0 } else { *weight };
        let surest = surest.iter().enumerate().map(named).fold(0.0, f64::max) / total;
        let call = self.case.terms.call * (1.0 - KNOWN_SAVES * surest);
        (total / self.total, lists.weigh(sequence, total, call).expected)
    }

    /// The places of the remedies with the most probability of ending it for what they cost to check.
    fn promising(&self, most: usize) -> Vec<usize> {
        let mut likely = vec![0.0; self.remedies.len()];
        for (at, world) in self.heavy.iter().enumerate() {
            for remedy in self.ends.get(at) {
                likely[usize::from(*remedy)] += self.case.weights[*world as usize];
            }
        }
        let (lists, _) = &*self.lists.borrow();
        let mut order = by_ratio(&likely, &lists.check);
        order.truncate(most);
        order
    }

    /// Checking one thing first, putting it right if it is so, going on if it is not.
    fn remedy(&self, at: usize, remedy: &Remedy) -> Step {
        let place = u16::try_from(at).unwrap_or(u16::MAX);
        let (mut so, mut ended) = (0.0, 0.0);
        let mut is_so = vec![false; self.heavy.len()];
        for (world, found) in is_so.iter_mut().enumerate() {
            let (hits, ends) = (self.hits.get(world), self.ends.get(world));
            let weight = self.case.weights[self.heavy[world] as usize];
            if hits.contains(&place) {
                *found = true;
                so += weight;
                if ends.contains(&place) {
                    ended += weight;
                }
            }
        }
        let p = so / self.total;
        let yes = p * remedy.sure + (1.0 - p) * (1.0 - remedy.sure);
        let likely = |world: usize| if is_so[world] { 1.0 - remedy.sure } else { remedy.sure };
        let (share, go_on) = self.to_go(likely, Some(at));
        // Found and put right; what was not the only thing wrong, and a check misread, lead on to the rest.
        let found = ended / self.total * remedy.sure;
        let useless = (1.0 - share - found).max(0.0);
        let expected = remedy.check
            + found * remedy.fix
            + share * go_on
            + useless * (remedy.fix + go_on.max(0.0)).min(remedy.fix + self.case.terms.call);
        let told_yes = if matches!(remedy.ask, Ask::Position(_)) { 1.0 - yes } else { yes };
        Step { ask: remedy.ask, minutes: remedy.check, yes: told_yes, bits: bits(yes, remedy.sure), expected }
    }

    /// Looking at a fact first.
    fn fact(&self, ask: Ask) -> Option<Step> {
        let Ask::Fact(condition) = ask else { return None };
        let fact = self.case.worlds.fact(*self.case.layout.facts.get(&condition)?);
        let [so, not] = self.case.says_yes(condition);
        let p_yes = |at: usize| if fact.has(self.heavy[at] as usize) { so } else { not };
        let (yes, after_yes) = self.to_go(p_yes, None);
        let (no, after_no) = self.to_go(|at| 1.0 - p_yes(at), None);
        let minutes = self.case.minutes(ask);
        let expected = minutes + yes * after_yes + no * after_no;
        Some(Step { ask, minutes, yes, bits: tells(self.case, ask), expected })
    }
}

/// The best list without branches: what is checked in turn before the base is called.
pub(crate) fn list(case: &Case<'_>) -> Vec<Ask> {
    let remedies = remedies(case);
    let chance = |remedy: &Remedy| match remedy.ask {
        Ask::Position(_) => 1.0 - case.chance_of_yes(remedy.ask),
        ask => case.chance_of_yes(ask),
    };
    let mut lists = Lists::of(&remedies);
    lists.likely = remedies.iter().map(|remedy| chance(remedy) * remedy.sure).collect();
    let mut sequence = Sequence::default();
    // Two things may be so at once: the weights of all may pass one, and the rest is what none of them is.
    let whole = lists.likely.iter().sum::<f64>().max(1.0);
    let outlook = lists.weigh(&mut sequence, whole, case.terms.call);
    sequence.order().iter().take(outlook.stop_after).map(|at| remedies[*at].ask).collect()
}

/// What an answer is expected to tell, in bits, if it is a yes with this probability and is read rightly with `sure`.
fn bits(yes: f64, sure: f64) -> f64 {
    (entropy(yes) - entropy(sure)).max(0.0)
}

fn entropy(p: f64) -> f64 {
    let part = |p: f64| if p > 0.0 { -p * libm::log2(p) } else { 0.0 };
    part(p) + part(1.0 - p)
}
