//! Why there is no safe way: what can't come about at all, what only the world decides, or what harm every way does.

use boat::model::{ConditionId, Expr, Id, Value, VarId, Who};
use search::{Budget, Outcome};

use crate::belief::Took;
use crate::model::Model;
use crate::planning::{Care, Planning, doings, formula};
use crate::possible::Possible;
use crate::stand::Stand;
use crate::way::NoWay;
use crate::words;
use crate::world::{Did, Event};

/// Why a goal can't be reached safely from a stand. Called once that is proved.
pub(crate) fn why_not(
    model: &Model<'_>,
    who: Who,
    from: &Stand,
    goal: &Expr,
    budget: &mut Budget<'_>,
) -> NoWay {
    let hands = doings(model, who);
    let may = Possible::from(model, &hands.iter().collect::<Vec<_>>(), from);
    if !may.can(goal, true) {
        let mut tale =
            Tale { model, who, may: &may, reasons: Vec::new(), world: Vec::new(), told: Vec::new() };
        tale.blame(goal, true);
        let (mut reasons, world) = (tale.reasons, tale.world);
        if reasons.is_empty() {
            reasons.push(format!("Nothing on board can bring about `{}`.", model.boat.fact_text(goal)));
        }
        return NoWay { reasons, world };
    }
    let reasons = harm_in_the_way(model, who, from, goal, budget);
    NoWay { reasons, world: Vec::new() }
}

/// What a person who does not mind harm would do first, and the harm that it does.
fn harm_in_the_way(
    model: &Model<'_>,
    who: Who,
    from: &Stand,
    goal: &Expr,
    budget: &mut Budget<'_>,
) -> Vec<String> {
    let boat = model.boat;
    let reckless = Planning::new(model, who, Care::Reckless);
    let aim = reckless.planner.goal(&formula(goal)).expect("a goal of the same boat names what it has");
    let outcome = reckless.planner.plan(&reckless.state(from), &aim, budget).map(|answer| answer.outcome);
    let Ok(Outcome::Plan(plan)) = outcome else {
        return vec![format!("No order of steps brings about `{}` from here.", boat.fact_text(goal))];
    };
    let mut world = model.world(&from.0, &mut Vec::new());
    let mut reasons = vec!["Every way there does harm or passes a state that must never be.".to_owned()];
    for op in plan.steps {
        let step = reckless.step(op);
        let mut log = Vec::new();
        if model.take(&mut world, &step.kind, &mut log) == Took::Went(Did::Nothing) {
            break;
        }
        for event in log {
            let what = match event {
                Event::Harm(thing) => model.boat.harm_at(thing).map(|harm| harm.what.clone()),
                Event::Breach(thing) => Some(
                    model
                        .boat
                        .breach_at(thing)
                        .map_or_else(|| "A limit is passed.".into(), |breach| breach.what.clone()),
                ),
                Event::Never(never) => {
                    Some(format!("{} {}", boat.nevers[never].name, boat.nevers[never].what))
                }
                Event::Turned(..) | Event::Endless => None,
            };
            if let Some(what) = what {
                reasons.push(format!("{} {what}", words::step(boat, &step)));
                return reasons;
            }
        }
    }
    reasons
}

/// The reasons told one after the other, each once.
struct Tale<'a, 'm, 'b> {
    model: &'a Model<'b>,
    who: Who,
    may: &'a Possible<'m, 'b>,
    reasons: Vec<String>,
    world: Vec<VarId>,
    told: Vec<Expr>,
}

impl Tale<'_, '_, '_> {
    fn blame(&mut self, expr: &Expr, wanted: bool) {
        if self.may.can(expr, wanted) || self.reasons.len() > 6 {
            return;
        }
        match expr {
            Expr::Const(_) | Expr::Compare(..) => {}
            Expr::Is(var, value) => self.blame_value(*var, *value, wanted),
            Expr::Holds(condition) => self.blame_fact(*condition, wanted),
            Expr::Not(inner) => self.blame(inner, !wanted),
            Expr::And(parts) | Expr::Or(parts) => parts.iter().for_each(|part| self.blame(part, wanted)),
        }
    }

    fn blame_fact(&mut self, condition: ConditionId, wanted: bool) {
        let row = &self.model.boat.conditions[condition];
        if self.told.contains(&Expr::Holds(condition)) {
            return;
        }
        self.told.push(Expr::Holds(condition));
        let so = if wanted {
            "It would have to be so, and can't be"
        } else {
            "It would have to be otherwise, and can't be"
        };
        self.reasons.push(format!("{so}: {}", row.name));
        self.blame(&self.model.conditions[condition.index()].clone(), wanted);
    }

    fn blame_value(&mut self, var: VarId, value: Value, wanted: bool) {
        let boat = self.model.boat;
        if self.told.contains(&Expr::Is(var, value)) {
            return;
        }
        self.told.push(Expr::Is(var, value));
        let row = &boat.vars[var];
        let spoken = boat.value_words(var, value);
        let not = if wanted { "" } else { "not " };
        let mut makers = doings(self.model, self.who)
            .into_iter()
            .filter(|doing| doing.puts.iter().any(|put| put.var == var && (put.to == value) == wanted))
            .peekable();
        let by_itself = self.model.turns.iter().any(|turn| turn.var == var && (turn.to == value) == wanted);
        if makers.peek().is_none() && self.model.is_given(var) {
            self.world.push(var);
            self.reasons.push(format!("It needs {not}“{spoken}”, which only the world around decides."));
            return;
        }
        let others = boat.actions.iter().find(|action| {
            crate::planning::rank(action.who) > crate::planning::rank(self.who)
                && action.makes.iter().any(|make| make.var == var && (make.value == value) == wanted)
        });
        if let (None, Some(action)) = (makers.peek(), others) {
            let hand = if action.who == Who::Base { "the base's people" } else { "the skipper" };
            self.reasons.push(format!("Only {hand} may bring about {not}“{spoken}”: {}.", action.name));
            return;
        }
        if makers.peek().is_none() && !by_itself {
            self.reasons.push(format!("Nothing that hands can do here brings about {not}“{spoken}”."));
            return;
        }
        self.reasons.push(format!(
            "{} can't be brought to {not}“{}”.",
            row.name,
            boat.vars[var].label(value)
        ));
        let by_hand = makers.map(|doing| doing.needs);
        let turns = self.model.turns.iter().filter(|turn| turn.var == var && (turn.to == value) == wanted);
        let needs: Vec<Expr> = by_hand.chain(turns.map(|turn| turn.when.clone())).collect();
        for need in needs {
            self.blame(&need, true);
        }
    }
}
