//! Made-up cases played through: something is the matter, whoever stands there answers as people do, and the minutes are
//! counted. It measures how well the questions are chosen; nothing of it is shown to a crew.

use boat::model::Boat;

use crate::ask::{Ask, Reply, Told};
use crate::case::{Case, KNOWN_SAVES, MEND_SURE, POSITION_SURE, Terms};
use crate::layout::Cause;
use crate::next::{Next, Why, list, remedies};
use crate::rates::Rates;
use crate::symptom::Symptom;
use crate::worlds::Deviation;

/// By what rule the next question is chosen.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Rule {
    /// As the fault finder does.
    Computed,
    /// In the order of probability over cost as it is at the beginning, as far as that is worth going on: the best that
    /// a list without branches can do.
    Fixed,
    /// In an order that is drawn.
    Drawn,
}

/// What came of a case.
#[derive(Debug, Clone, PartialEq)]
pub struct Played {
    /// Minutes, a call to the base counted as the terms say.
    pub minutes: f64,
    /// All that was asked.
    pub asked: Vec<Ask>,
    /// Whether it works again.
    pub solved: bool,
    /// What was told to the base as found, if it was called with that.
    pub found: Option<Cause>,
    /// Whether what was found is so.
    pub right: bool,
}

/// A case to be played: what is the matter, which nobody knows.
#[derive(Debug, Clone)]
pub struct Trial<'b> {
    case: Case<'b>,
    /// The world that is so.
    truth: usize,
}

/// How likely each symptom is to be met, beside the symptoms: the probability that it shows within a week.
pub fn likelihoods(boat: &Boat, rates: &Rates, symptoms: &[Symptom], terms: Terms) -> Vec<f64> {
    symptoms
        .iter()
        .map(|symptom| {
            Case::open(boat, rates, symptom, terms).map_or(0.0, |case| {
                case.worlds.fact(case.layout.subject).clone().not().weigh(&case.worlds.prior)
            })
        })
        .collect()
}

impl<'b> Trial<'b> {
    /// A case of a symptom, what is the matter drawn by the base rates: `uniform` gives numbers from 0 to 1.
    ///
    /// `None` for an emergency.
    pub fn draw(
        boat: &'b Boat,
        rates: &Rates,
        symptom: &Symptom,
        terms: Terms,
        uniform: &mut dyn FnMut() -> f64,
    ) -> Option<Self> {
        let case = Case::open(boat, rates, symptom, terms)?;
        let truth = drawn(&case.weights, uniform());
        Some(Self { case, truth })
    }

    /// What is the matter.
    pub fn truth(&self) -> Vec<Cause> {
        self.case.causes_in(self.truth)
    }

    /// Plays it to its end.
    pub fn play(&self, rule: Rule, uniform: &mut dyn FnMut() -> f64) -> Played {
        let table = Table { case: self.case.clone(), truth: self.truth, minutes: 0.0, asked: Vec::new() };
        match rule {
            Rule::Computed => table.computed(uniform),
            Rule::Fixed => {
                let order = list(&table.case);
                table.listed(&order, uniform)
            }
            Rule::Drawn => {
                let mut order: Vec<Ask> = remedies(&table.case).iter().map(|remedy| remedy.ask).collect();
                shuffle(&mut order, uniform);
                table.listed(&order, uniform)
            }
        }
    }
}

struct Table<'b> {
    case: Case<'b>,
    truth: usize,
    minutes: f64,
    asked: Vec<Ask>,
}

impl Table<'_> {
    fn computed(mut self, uniform: &mut dyn FnMut() -> f64) -> Played {
        loop {
            match self.case.next() {
                Next::Ask(step) => self.ask(step.ask, uniform),
                end => return self.end(&end),
            }
        }
    }

    /// Each of these in turn; what is found is mended and tried.
    fn listed(mut self, order: &[Ask], uniform: &mut dyn FnMut() -> f64) -> Played {
        for ask in order {
            self.ask(*ask, uniform);
            loop {
                let found = self.case.found.is_some() || self.case.try_now;
                match self.case.next() {
                    Next::Ask(step) if found => self.ask(step.ask, uniform),
                    end @ (Next::Solved | Next::Emergency(_) | Next::Call(Why::Found(_))) => {
                        return self.end(&end);
                    }
                    _ => break,
                }
            }
        }
        self.end(&Next::Call(Why::NothingLeft))
    }

    fn ask(&mut self, ask: Ask, uniform: &mut dyn FnMut() -> f64) {
        self.minutes += self.case.minutes(ask);
        self.asked.push(ask);
        let reply = if self.reply(ask, uniform) { Reply::Yes } else { Reply::No };
        self.case.tell(Told { ask, reply });
    }

    /// What one would answer who stands there, misreadings and all; what is put right is right then.
    fn reply(&mut self, ask: Ask, uniform: &mut dyn FnMut() -> f64) -> bool {
        let case = &self.case;
        let read = |so: bool, sure: f64, uniform: f64| if uniform < sure { so } else { !so };
        match ask {
            Ask::Fact(condition) => {
                let [so, not] = case.says_yes(condition);
                let fact = case.layout.facts.get(&condition);
                fact.is_some_and(|fact| {
                    uniform() < if case.worlds.fact(*fact).has(self.truth) { so } else { not }
                })
            }
            Ask::Position(var) => {
                let Some(unknown) = case.layout.var(var) else { return true };
                let stands = !case.worlds.otherwise(unknown).has(self.truth);
                let told = read(stands, POSITION_SURE, uniform());
                if !told && case.set_at_once(var) {
                    self.truth = case.worlds.without(self.truth, &|d| d.unknown == unknown);
                }
                told
            }
            Ask::Fault(fault) => case.fault_at(fault).is_some_and(|at| {
                read(case.worlds.with(at).has(self.truth), case.boat.faults[fault].sure, uniform())
            }),
            Ask::Mend(fault) => {
                let mended = case.fault_at(fault).map(|at| case.worlds.deviations[at]);
                self.mend(&|d| Some(d) == mended, uniform())
            }
            Ask::Restore(var) => {
                let unknown = case.layout.var(var);
                self.mend(&|d| Some(d.unknown) == unknown, uniform())
            }
            Ask::Works => self.works(),
        }
    }

    fn mend(&mut self, right: &dyn Fn(Deviation) -> bool, uniform: f64) -> bool {
        if uniform < MEND_SURE {
            self.truth = self.case.worlds.without(self.truth, right);
        }
        self.works()
    }

    fn works(&self) -> bool {
        self.case.worlds.fact(self.case.layout.subject).has(self.truth)
    }

    fn end(self, next: &Next) -> Played {
        let (call, found) = match *next {
            Next::Solved => (0.0, None),
            Next::Call(Why::Found(found)) => (1.0 - KNOWN_SAVES, Some(found)),
            Next::Emergency(_) => (1.0 - KNOWN_SAVES, self.case.found),
            Next::Call(_) | Next::Ask(_) => self.told_over(),
        };
        let right = found.is_none_or(|found| self.case.causes_in(self.truth).contains(&found));
        Played {
            // What was found and is not so brings the wrong part: the whole price is paid.
            minutes: self.minutes + self.case.terms.call * if right { call } else { 1.0 },
            asked: self.asked,
            solved: *next == Next::Solved,
            found,
            right,
        }
    }
}

impl Table<'_> {
    /// A call with what is suspected: the likeliest is told to whoever comes, if it is likelier than not.
    fn told_over(&self) -> (f64, Option<Cause>) {
        let likeliest = self.case.suspects().into_iter().find(|suspect| suspect.cause != Cause::Unknown);
        match likeliest.filter(|suspect| suspect.chance > 0.5) {
            Some(suspect) => (1.0 - KNOWN_SAVES, Some(suspect.cause)),
            None => (1.0, None),
        }
    }
}

/// The place at which the weights up to it pass a share of their sum.
pub fn drawn(weights: &[f64], share: f64) -> usize {
    let mut left = share * weights.iter().sum::<f64>();
    for (at, weight) in weights.iter().enumerate() {
        left -= weight;
        if left < 0.0 {
            return at;
        }
    }
    weights.iter().rposition(|weight| *weight > 0.0).unwrap_or(0)
}

fn shuffle(order: &mut [Ask], uniform: &mut dyn FnMut() -> f64) {
    for at in (1..order.len()).rev() {
        #[expect(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "from nothing to a small length"
        )]
        let other = (uniform() * (at as f64 + 1.0)) as usize;
        order.swap(at, other.min(at));
    }
}
