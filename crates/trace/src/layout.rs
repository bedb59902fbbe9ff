//! A boat and a fact that does not hold, laid out as unknowns and logic.

use std::collections::{BTreeMap, BTreeSet};

use boat::lower::lower;
use boat::model::{Boat, ConditionId, Expr, FaultId, Id, ItemId, Named, Severity, Value, VarId, VarKind};

use crate::ground::{Ground, meant, wrong};
use crate::hope::{Hope, hope, is_control};
use crate::rates::{Rates, UNKNOWN_CAUSE, UNLISTED_ITEM, within_a_week};
use crate::system::{FactAt, Logic, System, UnknownAt};

/// One thing that can be the matter.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Cause {
    /// A control or a state is not as it should be but has this value.
    Position(VarId, Value),
    /// An item fails in this way.
    Fault(FaultId),
    /// An item fails in a way that the boat file does not list.
    Item(ItemId),
    /// Something that the boat file does not know.
    Unknown,
}

/// What an unknown of the system is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) enum Holder {
    /// A control or a state.
    Var(VarId),
    /// The health of an item.
    Item(ItemId),
    /// What the boat file does not know.
    Unknown,
}

/// A fact that should hold and does not, with all that bears on it.
#[derive(Debug, Clone)]
pub(crate) struct Layout {
    pub(crate) system: System,
    /// How she should stand.
    pub(crate) hope: Hope,
    /// Beside the system's unknowns.
    pub(crate) holders: Vec<Holder>,
    /// Beside the system's unknowns: the cause of each value, the first standing for none.
    causes: Vec<Vec<Option<Cause>>>,
    /// The fact of each condition that matters.
    pub(crate) facts: BTreeMap<ConditionId, FactAt>,
    /// The fact that does not hold.
    pub(crate) subject: FactAt,
    /// Facts that can be seen and that bear on it, each with the chance that it fails for a reason of its own.
    pub(crate) seen: BTreeMap<ConditionId, f64>,
    /// For controls that it is harmful to set as they should be: when someone may be hurt, and when gear is damaged.
    pub(crate) harms: BTreeMap<VarId, (FactAt, FactAt)>,
}

impl Layout {
    /// Lays out a condition that does not hold though it should.
    pub(crate) fn new(boat: &Boat, rates: &Rates, condition: ConditionId) -> Self {
        let own = Ground::of(boat, condition);
        let failures = own.failures(boat);
        let mut hope_now = hope(boat, condition);
        let mut taken = own.vars.clone();
        let mut seen = BTreeMap::new();
        let mut laid = own.conditions.clone();
        for (id, row) in boat.conditions.iter_ids() {
            if id == condition || row.look.is_none() {
                continue;
            }
            let other = Ground::of(boat, id);
            if other.shares(boat, &own, &failures) && adopt(boat, &mut hope_now, &mut taken, &other, id) {
                let doubt = other.beyond(boat, rates, &own, &failures, &hope_now);
                if doubt < TOO_DOUBTFUL {
                    seen.insert(id, doubt);
                    laid.extend(other.conditions);
                }
            }
        }
        let builder = Builder { boat, rates, hope: hope_now, ground: own, laid };
        builder.build(condition, seen)
    }

    /// Lays out a fault that stops nothing and shows only by its own sign.
    pub(crate) fn of_sign(boat: &Boat, rates: &Rates, fault: FaultId) -> Self {
        let mut layout = Self::empty(Hope::at_rest(boat));
        push(
            &mut layout,
            Holder::Item(boat.faults[fault].item),
            vec![(Cause::Fault(fault), rates.chance(fault))],
        );
        push(&mut layout, Holder::Unknown, vec![(Cause::Unknown, within_a_week(UNKNOWN_CAUSE))]);
        layout.system.facts.push(Logic::And(vec![Logic::Is(0, 0), Logic::Is(1, 0)]));
        layout
    }

    fn empty(hope: Hope) -> Self {
        Self {
            system: System::default(),
            hope,
            holders: Vec::new(),
            causes: Vec::new(),
            facts: BTreeMap::new(),
            subject: 0,
            seen: BTreeMap::new(),
            harms: BTreeMap::new(),
        }
    }

    /// What it is that an unknown has this value.
    pub(crate) fn cause(&self, unknown: UnknownAt, value: usize) -> Option<Cause> {
        self.causes.get(unknown)?.get(value).copied().flatten()
    }

    /// The unknown of a control or state.
    pub(crate) fn var(&self, var: VarId) -> Option<UnknownAt> {
        self.holders.iter().position(|holder| *holder == Holder::Var(var))
    }

    /// Where a cause stands: its unknown and value.
    pub(crate) fn place(&self, cause: Cause) -> Option<(UnknownAt, usize)> {
        self.causes.iter().enumerate().find_map(|(unknown, values)| {
            values.iter().position(|known| *known == Some(cause)).map(|value| (unknown, value))
        })
    }
}

/// A fact that fails for reasons of its own in more than one case in so many tells too little of the symptom.
const TOO_DOUBTFUL: f64 = 0.25;

/// Takes a fact that can be seen into the picture, unless it needs her to stand otherwise than the symptom, or a fact
/// taken before, does.
fn adopt(
    boat: &Boat,
    hope_now: &mut Hope,
    taken: &mut BTreeSet<VarId>,
    other: &Ground,
    id: ConditionId,
) -> bool {
    let its = hope(boat, id);
    let same = |var: &VarId| hope_now.values[var.index()] == its.values[var.index()];
    if !other.vars.iter().all(|var| !taken.contains(var) || same(var)) {
        return false;
    }
    for var in &other.vars {
        if taken.insert(*var) {
            hope_now.values[var.index()] = its.values[var.index()];
            hope_now.touched[var.index()] = its.touched[var.index()];
        }
    }
    hope_now.holds(boat, &Expr::Holds(id))
}

struct Builder<'a> {
    boat: &'a Boat,
    rates: &'a Rates,
    hope: Hope,
    ground: Ground,
    /// The conditions that become facts: those that the symptom or a question rests on.
    laid: BTreeSet<ConditionId>,
}

impl Builder<'_> {
    fn build(self, condition: ConditionId, seen: BTreeMap<ConditionId, f64>) -> Layout {
        let mut layout = Layout { seen, ..Layout::empty(self.hope.clone()) };
        for var in &self.ground.vars {
            self.var(*var, &mut layout);
        }
        self.items(&mut layout);
        push(&mut layout, Holder::Unknown, vec![(Cause::Unknown, within_a_week(UNKNOWN_CAUSE))]);
        let beyond = layout.holders.len() - 1;
        for named in self.boat.evaluation_order() {
            let Named::Condition(id) = named else { continue };
            if self.laid.contains(id) {
                let mut logic = vec![self.logic(&layout, &self.boat.conditions[*id].when)];
                logic.extend(self.sound(&layout, *id));
                if *id == condition {
                    logic.push(Logic::Not(Box::new(Logic::Is(beyond, 1))));
                }
                layout.facts.insert(*id, layout.system.facts.len());
                layout.system.facts.push(Logic::And(logic));
            }
        }
        layout.subject = layout.facts[&condition];
        self.harms(&mut layout);
        layout
    }

    /// A control or state: as it should be, or one of its other values.
    fn var(&self, var: VarId, layout: &mut Layout) {
        let row = &self.boat.vars[var];
        let should = self.hope.values[var.index()];
        let others: Vec<Value> = (0..row.values.len())
            .filter_map(|at| u8::try_from(at).ok().map(Value))
            .filter(|value| *value != should)
            .collect();
        let share = wrong(self.boat, &self.hope, var) / others.len() as f64;
        let ways = others.into_iter().map(|value| {
            let listed = meant(self.boat, self.rates, &self.hope, var, Some(value));
            // A fault of the boat file that is a state's value says how often it is so; a control may besides have
            // been left so.
            let chance = if listed > 0.0 && !is_control(self.boat, var) { listed } else { share + listed };
            (Cause::Position(var, value), chance)
        });
        push(layout, Holder::Var(var), ways.collect());
    }

    /// The health of each item that must be sound, its ways of failing excluding each other.
    fn items(&self, layout: &mut Layout) {
        let mut ways: BTreeMap<ItemId, Vec<(Cause, f64)>> = BTreeMap::new();
        for cause in self.ground.failures(self.boat) {
            match cause {
                Cause::Fault(fault) => {
                    let item = self.boat.faults[fault].item;
                    ways.entry(item).or_default().push((cause, self.rates.chance(fault)));
                }
                Cause::Item(item) => {
                    ways.entry(item).or_default().push((cause, within_a_week(UNLISTED_ITEM)));
                }
                Cause::Position(..) | Cause::Unknown => {}
            }
        }
        for (item, ways) in ways {
            push(layout, Holder::Item(item), ways);
        }
    }

    /// What must not have failed for a condition to hold.
    fn sound(&self, layout: &Layout, condition: ConditionId) -> Vec<Logic> {
        let mut parts = Vec::new();
        for (unknown, values) in layout.causes.iter().enumerate() {
            for (value, cause) in values.iter().enumerate() {
                let stops = match cause {
                    Some(Cause::Fault(fault)) => self.boat.faults[*fault].stops.contains(&condition),
                    Some(Cause::Item(item)) => self.boat.conditions[condition].items.contains(item),
                    _ => false,
                };
                if stops {
                    parts.push(Logic::Not(Box::new(Logic::Is(unknown, value))));
                }
            }
        }
        // A fault that is a state's value may stop more than the file's conditions say by that state.
        for fault in &self.boat.faults {
            let Some(means) = fault.means.filter(|_| fault.stops.contains(&condition)) else { continue };
            if let Some((unknown, value)) = layout.place(Cause::Position(means.var, means.value)) {
                parts.push(Logic::Not(Box::new(Logic::Is(unknown, value))));
            }
        }
        parts
    }

    fn logic(&self, layout: &Layout, expr: &Expr) -> Logic {
        match expr {
            Expr::Const(yes) => Logic::Const(*yes),
            Expr::Is(var, value) => match layout.var(*var) {
                None => Logic::Const(self.hope.values[var.index()] == *value),
                Some(unknown) if self.hope.values[var.index()] == *value => Logic::Is(unknown, 0),
                Some(unknown) => layout
                    .place(Cause::Position(*var, *value))
                    .map_or(Logic::Const(false), |(_, at)| Logic::Is(unknown, at)),
            },
            Expr::Holds(condition) => match layout.facts.get(condition) {
                Some(fact) => Logic::Fact(*fact),
                None => self.logic(layout, &self.boat.conditions[*condition].when),
            },
            Expr::Compare(..) => self.logic(layout, &lower(self.boat, expr)),
            Expr::Not(inner) => Logic::Not(Box::new(self.logic(layout, inner))),
            Expr::And(parts) => Logic::And(parts.iter().map(|part| self.logic(layout, part)).collect()),
            Expr::Or(parts) => Logic::Or(parts.iter().map(|part| self.logic(layout, part)).collect()),
        }
    }

    /// When a fact may be so: where someone can be hurt, a state that does not bear on the symptom is taken to be as it
    /// is worst, for nobody has looked at it.
    fn may_be(&self, layout: &Layout, expr: &Expr, worst: bool) -> Logic {
        let expr = lower(self.boat, expr);
        if worst { self.bound(layout, &expr, true) } else { self.logic(layout, &expr) }
    }

    /// The most (`upper`) or least that a fact can be, over all that nobody has looked at.
    fn bound(&self, layout: &Layout, expr: &Expr, upper: bool) -> Logic {
        let parts = |parts: &[Expr]| parts.iter().map(|part| self.bound(layout, part, upper)).collect();
        match expr {
            Expr::Is(var, _) if !is_control(self.boat, *var) && layout.var(*var).is_none() => {
                Logic::Const(upper)
            }
            Expr::Holds(condition) => {
                self.bound(layout, &lower(self.boat, &self.boat.conditions[*condition].when), upper)
            }
            Expr::Not(inner) => Logic::Not(Box::new(self.bound(layout, inner, !upper))),
            Expr::And(inner) => Logic::And(parts(inner)),
            Expr::Or(inner) => Logic::Or(parts(inner)),
            Expr::Const(_) | Expr::Is(..) | Expr::Compare(..) => self.logic(layout, expr),
        }
    }

    /// When it does harm to set a control as it should be.
    fn harms(&self, layout: &mut Layout) {
        let controls: Vec<VarId> = layout
            .holders
            .iter()
            .filter_map(|holder| if let Holder::Var(var) = holder { Some(*var) } else { None })
            .collect();
        for var in controls {
            let VarKind::Control(control) = &self.boat.vars[var].kind else { continue };
            let should = self.hope.values[var.index()];
            let when = |severity: Severity| {
                let harms = control
                    .harms
                    .iter()
                    .filter(|harm| harm.severity == severity && harm.to.is_none_or(|to| to == should));
                let worst = severity == Severity::Injury;
                Logic::Or(harms.map(|harm| self.may_be(layout, &harm.when, worst)).collect())
            };
            let (hurts, spoils) = (when(Severity::Injury), when(Severity::Damage));
            let at = layout.system.facts.len();
            layout.harms.insert(var, (at, at + 1));
            layout.system.facts.extend([hurts, spoils]);
        }
    }
}

fn push(layout: &mut Layout, holder: Holder, ways: Vec<(Cause, f64)>) {
    let wrong: f64 = ways.iter().map(|(_, chance)| chance).sum();
    // Ways that exclude each other can't together be likelier than certain.
    let scale = if wrong > 0.9 { 0.9 / wrong } else { 1.0 };
    let mut chances = vec![1.0 - wrong * scale];
    let mut causes = vec![None];
    for (cause, chance) in ways {
        chances.push(chance * scale);
        causes.push(Some(cause));
    }
    layout.system.unknowns.push(chances);
    layout.holders.push(holder);
    layout.causes.push(causes);
}
