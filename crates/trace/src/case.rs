//! One case: a symptom, what was asked and answered, and what is therefore suspected.

use std::sync::Arc;

use boat::model::{Boat, ConditionId, FaultId, Id, Value, VarId, Who};

use crate::ask::{Ask, Reply, Told};
use crate::hope::{Hope, is_control};
use crate::layout::{Cause, Holder, Layout};
use crate::next::{Next, Step};
use crate::rates::Rates;
use crate::symptom::{About, Symptom};
use crate::system::UnknownAt;
use crate::worlds::{Deviation, Worlds};

/// How surely people read a sign that the boat file describes. Judgement: one in thirty is misread.
pub const FACT_SURE: f64 = 0.97;

/// How surely people tell the position of a control. Judgement.
pub const POSITION_SURE: f64 = 0.98;

/// How surely a mended thing is mended. Judgement.
pub const MEND_SURE: f64 = 0.95;

/// A control is set at once though gear may be damaged, if that is no likelier than this. Judgement. Where someone can be
/// hurt there is no such figure: it is not done.
pub const SPOILS: f64 = 0.02;

/// What calling the base costs beside the minutes of the crew's own checks: someone comes out, or the day is lost.
/// Judgement.
pub const CALL_MINUTES: f64 = 90.0;

/// What of a call's cost is saved once the cause is known for sure. Judgement.
pub const KNOWN_SAVES: f64 = 0.3;

/// How a case is worked.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Terms {
    /// Who stands before the boat.
    pub who: Who,
    /// How many things may be the matter at once.
    pub most: usize,
    /// What calling the base costs, in minutes of one's own work.
    pub call: f64,
}

impl Terms {
    /// Up to two things at once, and the usual cost of calling.
    pub fn new(who: Who) -> Self {
        Self { who, most: 2, call: CALL_MINUTES }
    }
}

/// A case as it stands.
#[derive(Debug, Clone)]
pub struct Case<'b> {
    pub(crate) boat: &'b Boat,
    pub(crate) terms: Terms,
    pub(crate) layout: Arc<Layout>,
    pub(crate) worlds: Arc<Worlds>,
    /// The weight of each world; they sum to one.
    pub(crate) weights: Vec<f64>,
    pub(crate) told: Vec<Told>,
    /// The thing found that is to be mended now.
    pub(crate) found: Option<Cause>,
    pub(crate) solved: bool,
    /// A control was just set right: whether it works now is asked before anything else.
    pub(crate) try_now: bool,
    /// What was found can't be mended by whoever is there.
    pub(crate) stuck: bool,
}

impl<'b> Case<'b> {
    /// Opens a case. `None` for an emergency, of which nothing is asked.
    pub fn open(boat: &'b Boat, rates: &Rates, symptom: &Symptom, terms: Terms) -> Option<Self> {
        let layout = match symptom.about {
            About::Emergency(_) => return None,
            About::Fails(condition) => Layout::new(boat, rates, condition),
            About::Sign(fault) => Layout::of_sign(boat, rates, fault),
        };
        let worlds = Worlds::new(&layout.system, terms.most);
        let weights = worlds.prior.clone();
        let mut case = Self {
            boat,
            terms,
            layout: Arc::new(layout),
            worlds: Arc::new(worlds),
            weights,
            told: Vec::new(),
            found: None,
            solved: false,
            try_now: false,
            stuck: false,
        };
        case.still_fails();
        Some(case)
    }

    /// What was asked and answered so far.
    pub fn told(&self) -> &[Told] {
        &self.told
    }

    /// How she should stand by now.
    pub fn hope(&self) -> &Hope {
        &self.layout.hope
    }

    /// Who it is that answers.
    pub fn who(&self) -> Who {
        self.terms.who
    }

    /// The value that a control or state should have.
    pub fn should(&self, var: VarId) -> Value {
        self.layout.hope.values[var.index()]
    }

    /// Whether this can be asked in this case at all: it bears on the symptom.
    pub fn knows(&self, ask: Ask) -> bool {
        match ask {
            Ask::Fact(condition) => self.layout.seen.contains_key(&condition),
            Ask::Position(var) | Ask::Restore(var) => self.layout.var(var).is_some(),
            Ask::Fault(fault) | Ask::Mend(fault) => self.fault_at(fault).is_some(),
            Ask::Works => true,
        }
    }

    /// Takes an answer in. An answer that does not bear on this case changes nothing but is kept.
    pub fn tell(&mut self, told: Told) {
        self.try_now = false;
        if self.knows(told.ask) {
            self.weigh(told);
        }
        self.told.push(told);
    }

    fn weigh(&mut self, told: Told) {
        let yes = told.reply == Reply::Yes;
        match (told.ask, told.reply) {
            (Ask::Mend(_) | Ask::Restore(_), Reply::Cannot) => self.stuck = true,
            (_, Reply::Cannot) => {}
            (Ask::Fact(condition), _) => {
                let fact = self.worlds.fact(self.layout.facts[&condition]).clone();
                let [so, not] = self.says_yes(condition);
                let likely = |p: f64| if yes { p } else { 1.0 - p };
                self.weigh_each(|world| likely(if fact.has(world) { so } else { not }));
            }
            (Ask::Position(var), _) => self.position(var, yes),
            (Ask::Fault(fault), _) => {
                let Some(deviation) = self.fault_at(fault) else { return };
                let bits = self.worlds.with(deviation).clone();
                self.observe(|world| bits.has(world) == yes, self.boat.faults[fault].sure);
                if yes {
                    self.found = Some(self.cause_of(fault));
                }
            }
            (Ask::Mend(fault), _) => {
                let Some(at) = self.fault_at(fault) else { return };
                let mended = self.worlds.deviations[at];
                self.put_right(move |d| d == mended, MEND_SURE);
                self.outcome(yes);
            }
            (Ask::Restore(var), _) => {
                let Some(unknown) = self.layout.var(var) else { return };
                self.put_right(move |d| d.unknown == unknown, MEND_SURE);
                self.outcome(yes);
            }
            (Ask::Works, _) => self.outcome(yes),
        }
    }

    fn position(&mut self, var: VarId, yes: bool) {
        let Some(unknown) = self.layout.var(var) else { return };
        let at_once = self.set_at_once(var);
        let otherwise = self.worlds.otherwise(unknown);
        self.observe(|world| otherwise.has(world) != yes, POSITION_SURE);
        if yes {
            return;
        }
        if at_once {
            self.put_right(move |d| d.unknown == unknown, 1.0);
            self.try_now = true;
        } else {
            let most = self.likeliest_value(unknown);
            self.found = most;
        }
    }

    /// Whether a control that stands wrong is set right where it is found: not if that may do harm as she may stand now,
    /// for a state does not obey a hand, and harm is what step lists are proven against.
    pub fn set_at_once(&self, var: VarId) -> bool {
        let harmless = || {
            self.layout.harms.get(&var).is_none_or(|(hurts, spoils)| {
                self.worlds.fact(*hurts).weigh(&self.weights) <= 0.0
                    && self.worlds.fact(*spoils).weigh(&self.weights) <= SPOILS
            })
        };
        is_control(self.boat, var) && harmless()
    }

    fn likeliest_value(&self, unknown: UnknownAt) -> Option<Cause> {
        let weight = |d: &Deviation| {
            self.worlds
                .deviation(d.unknown, d.value)
                .map_or(0.0, |at| self.worlds.with(at).weigh(&self.weights))
        };
        self.worlds
            .deviations
            .iter()
            .filter(|d| d.unknown == unknown)
            .max_by(|a, b| weight(a).total_cmp(&weight(b)))
            .and_then(|d| self.layout.cause(d.unknown, d.value))
    }

    fn outcome(&mut self, works: bool) {
        self.found = None;
        if works {
            let fact = self.worlds.fact(self.layout.subject).clone();
            self.observe(|world| fact.has(world), 1.0);
            self.solved = true;
        } else {
            self.still_fails();
        }
    }

    fn still_fails(&mut self) {
        let fact = self.worlds.fact(self.layout.subject).clone();
        self.observe(|world| !fact.has(world), 1.0);
    }

    /// What a question costs now, in minutes of whoever stands where the last one was answered.
    pub(crate) fn minutes(&self, ask: Ask) -> f64 {
        let stands = self.told.iter().rev().find_map(|told| told.ask.place(self.boat));
        ask.minutes(self.boat, self.hope(), stands)
    }

    /// How likely a yes is to a question, as the case stands.
    pub fn chance_of_yes(&self, ask: Ask) -> f64 {
        let sign = |p: f64, sure: f64| p * sure + (1.0 - p) * (1.0 - sure);
        match ask {
            Ask::Fact(condition) => self.layout.facts.get(&condition).map_or(0.5, |fact| {
                let [so, not] = self.says_yes(condition);
                let p = self.worlds.fact(*fact).weigh(&self.weights);
                p * so + (1.0 - p) * not
            }),
            Ask::Position(var) => self.layout.var(var).map_or(1.0, |unknown| {
                1.0 - sign(self.worlds.otherwise(unknown).weigh(&self.weights), POSITION_SURE)
            }),
            Ask::Fault(fault) => self.fault_at(fault).map_or(0.0, |at| {
                sign(self.worlds.with(at).weigh(&self.weights), self.boat.faults[fault].sure)
            }),
            Ask::Mend(_) | Ask::Restore(_) | Ask::Works => self.would_work(ask),
        }
    }

    /// How likely it works once something is put right.
    fn would_work(&self, ask: Ask) -> f64 {
        let mut after = self.clone();
        match ask {
            Ask::Mend(fault) => {
                if let Some(at) = self.fault_at(fault) {
                    let mended = self.worlds.deviations[at];
                    after.put_right(move |d| d == mended, MEND_SURE);
                }
            }
            Ask::Restore(var) => {
                if let Some(unknown) = self.layout.var(var) {
                    after.put_right(move |d| d.unknown == unknown, MEND_SURE);
                }
            }
            _ => {}
        }
        self.worlds.fact(self.layout.subject).weigh(&after.weights)
    }

    /// How likely a fact that can be seen fails for a reason of its own, which the symptom does not share. What it rests
    /// on beside the symptom is not laid out in worlds but counted in this one figure: exact if it needs all of that, and
    /// if no other fact that was looked at shares it.
    pub fn doubt(&self, fact: ConditionId) -> f64 {
        self.layout.seen.get(&fact).copied().unwrap_or(0.0)
    }

    /// How likely a yes is to a fact that is looked at: if what it shares with the symptom makes it so, and if not. It
    /// may be misread, and it may fail for a reason of its own.
    pub(crate) fn says_yes(&self, condition: ConditionId) -> [f64; 2] {
        let doubt = self.doubt(condition);
        [(1.0 - doubt) * FACT_SURE + doubt * (1.0 - FACT_SURE), 1.0 - FACT_SURE]
    }

    /// Bayes' rule for a sign that is read rightly with probability `sure`.
    fn observe(&mut self, agrees: impl Fn(usize) -> bool, sure: f64) {
        self.weigh_each(|world| if agrees(world) { sure } else { 1.0 - sure });
    }

    fn weigh_each(&mut self, likely: impl Fn(usize) -> f64) {
        for (world, weight) in self.weights.iter_mut().enumerate() {
            *weight *= likely(world);
        }
        let total: f64 = self.weights.iter().sum();
        if total > 0.0 {
            self.weights.iter_mut().for_each(|weight| *weight /= total);
        }
    }

    /// These deviations are put right, with probability `sure`.
    fn put_right(&mut self, right: impl Fn(Deviation) -> bool, sure: f64) {
        let mut after = vec![0.0; self.weights.len()];
        for (world, weight) in self.weights.iter().enumerate() {
            if *weight > 0.0 {
                after[self.worlds.without(world, &right)] += weight * sure;
                after[world] += weight * (1.0 - sure);
            }
        }
        self.weights = after;
    }

    /// The cause that a fault of the boat file is in this case.
    pub fn cause_of(&self, fault: FaultId) -> Cause {
        self.boat.faults[fault]
            .means
            .map_or(Cause::Fault(fault), |means| Cause::Position(means.var, means.value))
    }

    /// The fault of the boat file that a cause is, if it lists one.
    pub fn fault_of(&self, cause: Cause) -> Option<FaultId> {
        match cause {
            Cause::Fault(fault) => Some(fault),
            Cause::Position(var, value) => self
                .boat
                .faults
                .iter_ids()
                .find(|(_, fault)| fault.means.is_some_and(|means| means.var == var && means.value == value))
                .map(|(id, _)| id),
            Cause::Item(_) | Cause::Unknown => None,
        }
    }

    pub(crate) fn fault_at(&self, fault: FaultId) -> Option<usize> {
        let (unknown, value) = self.layout.place(self.cause_of(fault))?;
        self.worlds.deviation(unknown, value)
    }

    /// What to do next.
    pub fn next(&self) -> Next {
        crate::next::next(self)
    }

    /// All that could be asked next with what each would tell and cost, best first.
    pub fn choices(&self) -> Vec<Step> {
        crate::next::choices(self)
    }

    /// The facts that can be seen and that bear on the symptom.
    pub(crate) fn seen(&self) -> impl Iterator<Item = ConditionId> + '_ {
        self.layout.seen.keys().copied()
    }

    /// What calling the base now costs: less, the surer it is what is the matter, for who comes brings the right part.
    pub(crate) fn call_now(&self) -> f64 {
        let surest = self
            .worlds
            .deviations
            .iter()
            .enumerate()
            .filter(|(_, d)| self.layout.cause(d.unknown, d.value) != Some(Cause::Unknown))
            .map(|(at, _)| self.worlds.with(at).weigh(&self.weights))
            .fold(0.0, f64::max);
        self.terms.call * (1.0 - KNOWN_SAVES * surest)
    }

    /// The controls and states that bear on the symptom.
    pub(crate) fn vars(&self) -> impl Iterator<Item = (UnknownAt, VarId)> + '_ {
        self.layout.holders.iter().enumerate().filter_map(|(at, holder)| match holder {
            Holder::Var(var) => Some((at, *var)),
            Holder::Item(_) | Holder::Unknown => None,
        })
    }
}
