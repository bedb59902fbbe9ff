//! How the boat behaves and what hands do: controls, states, facts, actions, harms, limits, step lists.

use quantity::{Quantity, Time};

use super::{ActionId, CautionId, ConditionId, ItemId, PlaceId, ProcedureId, ReadingId, VarId};

/// A position of a control or a value of a state, by its place in [`Var::values`].
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Value(pub u8);

/// Something that is in one of several values: a control that a hand sets, or a lasting state.
#[derive(Debug, Clone, PartialEq)]
pub struct Var {
    /// The name used in the file.
    pub id: String,
    /// The name for people.
    pub name: String,
    /// The names of its values, as in the file.
    pub values: Vec<String>,
    /// The words for its values, beside `values`.
    pub labels: Vec<String>,
    /// How the boat is to be left: the position at rest.
    pub rest: Value,
    /// The quantity that each value stands for, beside `values`; all of one kind.
    pub reads: Option<Vec<Quantity>>,
    /// How to tell that it is in each value, beside `values`.
    pub tell: Vec<Option<String>>,
    /// A control or a state.
    pub kind: VarKind,
    /// Where its facts come from.
    pub source: Option<String>,
}

/// What sets a [`Var`].
#[derive(Debug, Clone, PartialEq)]
pub enum VarKind {
    /// A hand.
    Control(Control),
    /// Actions, time, or the world around.
    State(State),
}

/// What a hand sets.
#[derive(Debug, Clone, PartialEq)]
pub struct Control {
    /// The item that it is part of.
    pub item: Option<ItemId>,
    /// Where the hand must be.
    pub place: Option<PlaceId>,
    /// Moves that need something, by the position moved to. A position not listed can always be set.
    pub moves: Vec<Move>,
    /// What happens if it is moved when it must not be.
    pub harms: Vec<Harm>,
    /// Limits of using it.
    pub limits: Vec<Limit>,
}

/// What it takes to set a control to a position.
#[derive(Debug, Clone, PartialEq)]
pub struct Move {
    /// The position moved to.
    pub to: Value,
    /// Without this the control can't be moved there.
    pub needs: Expr,
    /// What a person sees who tries without.
    pub fails: Option<String>,
    /// How long the move takes.
    pub takes: Option<Time>,
}

/// A state that lasts until something changes it.
#[derive(Debug, Clone, PartialEq)]
pub struct State {
    /// Whether the world decides it (swimmers near, room astern): a step list may not take it for
    /// granted but must look.
    pub given: bool,
    /// The item that it is the state of.
    pub item: Option<ItemId>,
    /// How it changes by itself.
    pub turns: Vec<Turn>,
}

/// A change that happens by itself.
#[derive(Debug, Clone, PartialEq)]
pub struct Turn {
    /// The value that it changes to.
    pub to: Value,
    /// While this holds.
    pub when: Expr,
    /// After it has held this long; at once if absent.
    pub after: Option<Time>,
    /// What a person sees of it.
    pub seen: Option<String>,
}

/// A named fact that follows from controls, states and other facts.
#[derive(Debug, Clone, PartialEq)]
pub struct Condition {
    /// The name used in the file.
    pub id: String,
    /// The fact in words: a full sentence, such as "Gas reaches the stove."
    pub name: String,
    /// When it holds.
    pub when: Expr,
    /// The items that must be sound for it to hold.
    pub items: Vec<ItemId>,
    /// What a crew says when it does not hold though it should.
    pub symptom: Option<String>,
    /// How a person sees whether it holds, a full sentence; `None`: it can't be seen by itself.
    pub look: Option<String>,
    /// Where its facts come from.
    pub source: Option<String>,
}

/// A named quantity that follows from controls, states and facts: the first case that holds.
#[derive(Debug, Clone, PartialEq)]
pub struct Reading {
    /// The name used in the file.
    pub id: String,
    /// The name for people.
    pub name: String,
    /// The cases, tried in order.
    pub cases: Vec<Case>,
    /// The quantity when no case holds.
    pub otherwise: Quantity,
}

/// One case of a reading.
#[derive(Debug, Clone, PartialEq)]
pub struct Case {
    /// When it applies.
    pub when: Expr,
    /// What it then reads.
    pub reads: CaseValue,
}

/// What a case reads.
#[derive(Debug, Clone, PartialEq)]
pub enum CaseValue {
    /// A fixed quantity.
    Fixed(Quantity),
    /// The quantity that a control or state stands for.
    Of(VarId),
}

/// A fact asked of the boat, with every name resolved.
#[derive(Debug, Clone, PartialEq)]
pub enum Expr {
    /// Always or never.
    Const(bool),
    /// A control or state has this value.
    Is(VarId, Value),
    /// A named fact holds.
    Holds(ConditionId),
    /// Two quantities compare so.
    Compare(Operand, Compare, Operand),
    /// It is not so.
    Not(Box<Expr>),
    /// All of them.
    And(Vec<Expr>),
    /// At least one of them.
    Or(Vec<Expr>),
}

impl Expr {
    /// Whether it can be seen without looking at the boat that it never holds.
    pub fn is_never(&self) -> bool {
        match self {
            Self::Const(yes) => !yes,
            Self::Not(inner) => inner.is_always(),
            Self::And(parts) => parts.iter().any(Self::is_never),
            Self::Or(parts) => parts.iter().all(Self::is_never),
            Self::Is(..) | Self::Holds(_) | Self::Compare(..) => false,
        }
    }

    /// Whether it can be seen without looking at the boat that it always holds.
    pub fn is_always(&self) -> bool {
        match self {
            Self::Const(yes) => *yes,
            Self::Not(inner) => inner.is_never(),
            Self::And(parts) => parts.iter().all(Self::is_always),
            Self::Or(parts) => parts.iter().any(Self::is_always),
            Self::Is(..) | Self::Holds(_) | Self::Compare(..) => false,
        }
    }
}

/// A side of a comparison.
#[derive(Debug, Clone, PartialEq)]
pub enum Operand {
    /// A quantity as written.
    Quantity(Quantity),
    /// The quantity that a control or state stands for.
    Var(VarId),
    /// A named quantity.
    Reading(ReadingId),
}

/// How two quantities are compared.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Compare {
    /// `<`
    Less,
    /// `<=`
    AtMost,
    /// `>`
    More,
    /// `>=`
    AtLeast,
}

/// "x is v": a control or state takes a value.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct Assign {
    /// What takes it.
    pub var: VarId,
    /// The value it takes.
    pub value: Value,
}

/// How bad it is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Severity {
    /// Gear is damaged, or the water fouled.
    Damage,
    /// Someone can be hurt, or the boat lost.
    Injury,
}

/// What happens if something is done when it must not be.
#[derive(Debug, Clone, PartialEq)]
pub struct Harm {
    /// For a control: the position moved to; any move if absent. Always absent for an action.
    pub to: Option<Value>,
    /// It is harmful while this holds, looked at just before.
    pub when: Expr,
    /// How bad it is.
    pub severity: Severity,
    /// What happens, a full sentence.
    pub what: String,
    /// What a person sees of it.
    pub seen: Option<String>,
    /// The words of warning; a finding if absent.
    pub caution: Option<CautionId>,
}

/// What a limit limits.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum LimitKind {
    /// Never run longer than this at a stretch (a time).
    Longest,
    /// Rest at least this long between two runs (a time).
    Rest,
    /// Hold at least this long (a time).
    Hold,
    /// A reading must be at least this when it is done.
    Least,
    /// A reading must be at most this when it is done.
    Most,
    /// Keep at least this far clear (a length).
    Clear,
}

impl LimitKind {
    /// Its word in the boat file.
    pub fn word(self) -> &'static str {
        match self {
            Self::Longest => "longest",
            Self::Rest => "rest",
            Self::Hold => "hold",
            Self::Least => "least",
            Self::Most => "most",
            Self::Clear => "clear",
        }
    }
}

/// A limit of an item, a control or an action.
#[derive(Debug, Clone, PartialEq)]
pub struct Limit {
    /// What is limited.
    pub kind: LimitKind,
    /// The bound.
    pub is: Quantity,
    /// For least and most: the reading (or control or state with quantities) that is limited.
    /// For clear: the state that tells the room there is, if the model knows one.
    pub of: Option<Operand>,
    /// What happens past it.
    pub breach: Option<Breach>,
    /// The words of warning; a finding if absent while there is a breach.
    pub caution: Option<CautionId>,
    /// Where the bound comes from.
    pub source: Option<String>,
}

/// What happens past a limit.
#[derive(Debug, Clone, PartialEq)]
pub struct Breach {
    /// How bad it is; `None`: it just does not work.
    pub severity: Option<Severity>,
    /// What happens, a full sentence.
    pub what: String,
    /// What a person sees of it.
    pub seen: Option<String>,
}

/// A limit said again in words elsewhere: it must agree with the limit itself.
#[derive(Debug, Clone, PartialEq)]
pub struct Restated {
    /// The item whose limit it is.
    pub item: ItemId,
    /// Which limit.
    pub kind: LimitKind,
    /// The bound as said here.
    pub is: Quantity,
}

/// Who may do it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Who {
    /// Anyone of the crew.
    Crew,
    /// The one in charge of the boat.
    Skipper,
    /// The base's own people.
    Base,
}

/// What a hand does, beyond setting a control.
#[derive(Debug, Clone, PartialEq)]
pub struct Action {
    /// The name used in the file.
    pub id: String,
    /// What is done, such as "Run the thruster to port".
    pub name: String,
    /// The item that is used: limits on the same item must agree.
    pub item: Option<ItemId>,
    /// Where the hand must be.
    pub place: Option<PlaceId>,
    /// Without this it does nothing.
    pub needs: Expr,
    /// What a person sees who tries without.
    pub fails: Option<String>,
    /// What it makes so.
    pub makes: Vec<Assign>,
    /// What happens if it is done when it must not be.
    pub harms: Vec<Harm>,
    /// Its limits.
    pub limits: Vec<Limit>,
    /// How long it takes; a `for` in the step counts before this.
    pub takes: Option<Time>,
    /// How to tell that it worked.
    pub tell: Option<String>,
    /// Who may do it.
    pub who: Who,
    /// Where its facts come from.
    pub source: Option<String>,
}

/// A step list.
#[derive(Debug, Clone, PartialEq)]
pub struct Procedure {
    /// The name used in the file.
    pub id: String,
    /// What it is for, such as "Start the engine".
    pub name: String,
    /// Why or when one does it, in a sentence.
    pub about: Option<String>,
    /// Who may do it.
    pub who: Who,
    /// Whether it is for an emergency.
    pub emergency: bool,
    /// What one sees, smells or hears that calls for it, in a crew's words; only of an emergency list.
    pub signs: Vec<String>,
    /// The step lists that are followed before it, in order, starting from the boat at rest.
    pub after: Vec<ProcedureId>,
    /// Values that hold at its start beyond that.
    pub start: Vec<Assign>,
    /// What must be so at the start besides.
    pub given: Expr,
    /// What it brings about.
    pub goal: Expr,
    /// The steps in order.
    pub steps: Vec<Step>,
    /// Controls and states that it leaves in another value than at rest.
    pub leaves: Vec<Assign>,
    /// Cautions shown at its head.
    pub cautions: Vec<CautionId>,
    /// Where it comes from.
    pub source: Option<String>,
}

/// One step.
#[derive(Debug, Clone, PartialEq)]
pub struct Step {
    /// What is done.
    pub kind: StepKind,
    /// The words read out; made from the kind if absent.
    pub say: Option<String>,
    /// Why, or what happens otherwise, in a sentence.
    pub why: Option<String>,
    /// Where the hand must be, if not where the control or the item is.
    pub place: Option<PlaceId>,
    /// The item to point at, if not the control's or action's own.
    pub item: Option<ItemId>,
    /// Cautions shown here beside those of the harms.
    pub cautions: Vec<CautionId>,
}

/// What a step does.
#[derive(Debug, Clone, PartialEq)]
pub enum StepKind {
    /// Set a control.
    Set {
        /// Which.
        var: VarId,
        /// To what.
        to: Value,
        /// Held or left there for this long before the next step.
        hold: Option<Time>,
    },
    /// Do an action.
    Do {
        /// Which.
        action: ActionId,
        /// For how long.
        hold: Option<Time>,
        /// Rest after it for this long.
        rest: Option<Time>,
    },
    /// Look, listen, smell or feel.
    Look {
        /// What to look for, in words.
        look: String,
        /// The fact that it confirms: who sees otherwise stops here.
        confirm: Option<Expr>,
        /// What to do if it is not so, in words.
        otherwise: Option<String>,
    },
    /// Wait.
    Wait {
        /// How long.
        time: Time,
        /// What will be so by then.
        until: Option<Expr>,
    },
}

/// A state that no step list may pass.
#[derive(Debug, Clone, PartialEq)]
pub struct Never {
    /// The name used in the file.
    pub id: String,
    /// The name for people.
    pub name: String,
    /// The state.
    pub when: Expr,
    /// How bad it is.
    pub severity: Severity,
    /// What happens, a full sentence.
    pub what: String,
    /// What a person sees of it.
    pub seen: Option<String>,
    /// The words of warning; a finding if absent.
    pub caution: Option<CautionId>,
}

impl Compare {
    /// The sign for it.
    pub fn sign(self) -> &'static str {
        match self {
            Self::Less => "<",
            Self::AtMost => "<=",
            Self::More => ">",
            Self::AtLeast => ">=",
        }
    }
}
