//! The typed boat: what a boat file says once every name is resolved and every value has its type.
//! Sound by construction: only the compiler makes one. Engines read it and never look at text again.

mod faults;
mod find;
mod gear;
mod ids;
mod parts;
mod steps;
mod stores;
mod subject;

pub use faults::Fault;
pub use gear::Gear;
pub use ids::{
    ActionId, CautionId, ConditionId, FaultId, Id, ItemId, KitId, LoadId, ModeId, NeverId, PlaceId,
    ProcedureId, ReadingId, SourceId, StoreId, Table, TackleId, TopicId, UpkeepId, VarId,
};
pub use parts::{
    Caution, Hazard, Hull, Interval, Item, KitLine, Level, Particulars, Place, Reach, SignalWord, Spare,
    Topic, UpkeepLine,
};
pub use steps::{
    Action, Assign, Breach, Case, CaseValue, Compare, Condition, Control, Expr, Harm, Limit, LimitKind, Move,
    Never, Operand, Procedure, Reading, Restated, Severity, State, Step, StepKind, Turn, Value, Var, VarKind,
    Who,
};

pub use stores::{
    Activity, Amount, BankFacts, Chemistry, DayPart, Event, GroundTackle, Liquid, Load, LoadKind, Mode, Rate,
    Runs, Source, SourceKind, Store, StoreKind, Without,
};
pub use subject::Subject;

use crate::source::{Sources, Span};

/// One boat, proven to be well formed: every name resolved, every quantity of the right kind, no cycles.
///
/// Two boats are equal when they say the same; where it was written ([`Boat::spans`]) does not count.
#[derive(Debug, Clone)]
pub struct Boat {
    /// Name, hull, rig, measures.
    pub particulars: Particulars,
    /// The spaces of the boat, parents before or after their children.
    pub places: Table<PlaceId, Place>,
    /// All that can be pointed at.
    pub items: Table<ItemId, Item>,
    /// Controls first, then lasting states, each in the order of the file.
    pub vars: Table<VarId, Var>,
    /// Named facts, in an order in which each only uses facts and readings before it
    /// (see [`Boat::evaluation_order`]).
    pub conditions: Table<ConditionId, Condition>,
    /// Named quantities.
    pub readings: Table<ReadingId, Reading>,
    /// What hands do, beyond setting a control.
    pub actions: Table<ActionId, Action>,
    /// Step lists.
    pub procedures: Table<ProcedureId, Procedure>,
    /// States that no step list may pass.
    pub nevers: Table<NeverId, Never>,
    /// Words of warning.
    pub cautions: Table<CautionId, Caution>,
    /// What is counted.
    pub kit: Table<KitId, KitLine>,
    /// What is serviced, and when.
    pub upkeep: Table<UpkeepId, UpkeepLine>,
    /// What a briefing covers.
    pub topics: Table<TopicId, Topic>,
    /// Battery banks, tanks, bottles.
    pub stores: Table<StoreId, Store>,
    /// What fills a battery, or feeds mains.
    pub feeds: Table<SourceId, Source>,
    /// What empties a store, or fills a waste tank.
    pub loads: Table<LoadId, Load>,
    /// How the boat stands while she does something.
    pub modes: Table<ModeId, Mode>,
    /// Anchors with their chain and rope.
    pub tackle: Table<TackleId, GroundTackle>,
    /// How items fail.
    pub faults: Table<FaultId, Fault>,
    /// Conditions and readings in an order in which each only needs earlier ones.
    pub(crate) order: Vec<Named>,
    /// Where each thing was written, for pointing at it.
    pub(crate) spans: Spans,
    /// The texts that it was compiled from.
    pub(crate) sources: Sources,
}

/// A condition or a reading: what follows from the positions of controls and states.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Named {
    /// A named fact.
    Condition(ConditionId),
    /// A named quantity.
    Reading(ReadingId),
}

/// Where things were written, by table and position.
#[derive(Debug, Clone, Default)]
pub struct Spans {
    pub(crate) by_thing: std::collections::BTreeMap<Thing, Span>,
}

/// A thing of the boat that a finding can point at.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Thing {
    /// A place.
    Place(PlaceId),
    /// An item.
    Item(ItemId),
    /// A control or state.
    Var(VarId),
    /// A condition.
    Condition(ConditionId),
    /// A reading.
    Reading(ReadingId),
    /// An action.
    Action(ActionId),
    /// A procedure.
    Procedure(ProcedureId),
    /// The step of a procedure, from zero.
    Step(ProcedureId, usize),
    /// A never-state.
    Never(NeverId),
    /// A caution.
    Caution(CautionId),
    /// A kit line.
    Kit(KitId),
    /// An upkeep line.
    Upkeep(UpkeepId),
    /// A topic.
    Topic(TopicId),
    /// The harm of a control, by its place in that control's list.
    VarHarm(VarId, usize),
    /// The harm of an action, by its place in that action's list.
    ActionHarm(ActionId, usize),
    /// The limit of an item, by its place in that item's list.
    ItemLimit(ItemId, usize),
    /// The limit of a control, by its place in that control's list.
    VarLimit(VarId, usize),
    /// The limit of an action, by its place in that action's list.
    ActionLimit(ActionId, usize),
    /// The limit that a topic says again, by its place in that topic's list.
    TopicLimit(TopicId, usize),
    /// The limit that a caution says again, by its place in that caution's list.
    CautionLimit(CautionId, usize),
    /// A store.
    Store(StoreId),
    /// A source of current.
    Feed(SourceId),
    /// A load.
    Load(LoadId),
    /// A mode.
    Mode(ModeId),
    /// Ground tackle.
    Tackle(TackleId),
    /// A fault.
    Fault(FaultId),
    /// The particulars.
    Particulars,
}

impl Boat {
    /// Conditions and readings in an order in which each only needs earlier ones.
    pub fn evaluation_order(&self) -> &[Named] {
        &self.order
    }

    /// Where a thing was written, if it was written anywhere.
    pub fn span(&self, thing: Thing) -> Option<Span> {
        self.spans.by_thing.get(&thing).copied()
    }

    /// The texts that the boat was compiled from: the boat file first, then the classes it uses.
    pub fn sources(&self) -> &Sources {
        &self.sources
    }

    /// The controls, in the order of the file.
    pub fn controls(&self) -> impl Iterator<Item = (VarId, &Var, &Control)> {
        self.vars.iter_ids().filter_map(|(id, var)| match &var.kind {
            VarKind::Control(control) => Some((id, var, control)),
            VarKind::State(_) => None,
        })
    }

    /// The lasting states, in the order of the file.
    pub fn states(&self) -> impl Iterator<Item = (VarId, &Var, &State)> {
        self.vars.iter_ids().filter_map(|(id, var)| match &var.kind {
            VarKind::State(state) => Some((id, var, state)),
            VarKind::Control(_) => None,
        })
    }
}

/// Equality of meaning: the tables, not where they were written.
impl PartialEq for Boat {
    fn eq(&self, other: &Self) -> bool {
        self.particulars == other.particulars
            && self.places == other.places
            && self.items == other.items
            && self.vars == other.vars
            && self.conditions == other.conditions
            && self.readings == other.readings
            && self.actions == other.actions
            && self.procedures == other.procedures
            && self.nevers == other.nevers
            && self.cautions == other.cautions
            && self.kit == other.kit
            && self.upkeep == other.upkeep
            && self.topics == other.topics
            && self.stores == other.stores
            && self.feeds == other.feeds
            && self.loads == other.loads
            && self.modes == other.modes
            && self.tackle == other.tackle
            && self.faults == other.faults
    }
}

macro_rules! by_id {
    ($($(#[$doc:meta])* $find:ident, $table:ident, $id:ty;)*) => {
        impl Boat {$(
            $(#[$doc])*
            pub fn $find(&self, id: &str) -> Option<$id> {
                self.$table.iter_ids().find(|(_, row)| row.id == id).map(|(at, _)| at)
            }
        )*}
    };
}

by_id! {
    /// The place written as `id`.
    place, places, PlaceId;
    /// The item written as `id`.
    item, items, ItemId;
    /// The control or state written as `id`.
    var, vars, VarId;
    /// The condition written as `id`.
    condition, conditions, ConditionId;
    /// The reading written as `id`.
    reading, readings, ReadingId;
    /// The action written as `id`.
    action, actions, ActionId;
    /// The procedure written as `id`.
    procedure, procedures, ProcedureId;
    /// The never-state written as `id`.
    never, nevers, NeverId;
    /// The caution written as `id`.
    caution, cautions, CautionId;
    /// The kit line written as `id`.
    kit_line, kit, KitId;
    /// The upkeep line written as `id`.
    upkeep_line, upkeep, UpkeepId;
    /// The topic written as `id`.
    topic, topics, TopicId;
    /// The fault written as `id`.
    fault, faults, FaultId;
}
