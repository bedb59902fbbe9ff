//! Typed positions of the boat's tables: an id of one table can't index another.

use std::fmt;
use std::marker::PhantomData;
use std::ops::{Index, IndexMut};

/// A typed index: what `Table<I, T>` is indexed by.
pub trait Id: Copy + Eq + Ord + fmt::Debug {
    /// The id of position `index` (tables hold fewer than 65,536 rows).
    fn at(index: usize) -> Self;
    /// The position in its table, from zero.
    fn index(self) -> usize;
}

macro_rules! ids {
    ($($(#[$doc:meta])* $name:ident;)*) => {$(
        $(#[$doc])*
        #[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
        pub struct $name(u16);
        impl Id for $name {
            fn at(index: usize) -> Self {
                Self(u16::try_from(index).expect("a boat's tables are limited to 65,535 rows when compiled"))
            }
            fn index(self) -> usize {
                usize::from(self.0)
            }
        }
    )*};
}

ids! {
    /// A space of the boat: [`super::Place`].
    PlaceId;
    /// A thing that can be pointed at: [`super::Item`].
    ItemId;
    /// What can be in one of several values: a control or a lasting state, [`super::Var`].
    VarId;
    /// A named fact that follows from others: [`super::Condition`].
    ConditionId;
    /// A named quantity that follows from others: [`super::Reading`].
    ReadingId;
    /// What a hand does: [`super::Action`].
    ActionId;
    /// A step list: [`super::Procedure`].
    ProcedureId;
    /// A state that no step list may pass: [`super::Never`].
    NeverId;
    /// Words of warning: [`super::Caution`].
    CautionId;
    /// A line of the count at check-out and hand-back: [`super::KitLine`].
    KitId;
    /// A line of the service plan: [`super::UpkeepLine`].
    UpkeepId;
    /// A subject of the briefing: [`super::Topic`].
    TopicId;
    /// A battery bank, a tank or bottles: [`super::Store`].
    StoreId;
    /// What fills a battery, or feeds mains: [`super::Source`].
    SourceId;
    /// What empties a store: [`super::Load`].
    LoadId;
    /// How the boat stands while she does something: [`super::Mode`].
    ModeId;
    /// An anchor with its rode: [`super::GroundTackle`].
    TackleId;
    /// A way in which an item fails: [`super::Fault`].
    FaultId;
}

/// Rows of one kind, indexed by their own id type and kept in the order of the file.
#[derive(Clone, PartialEq)]
pub struct Table<I, T> {
    rows: Vec<T>,
    id: PhantomData<I>,
}

impl<I: Id, T> Table<I, T> {
    /// A table of these rows, the first with id 0.
    pub fn new(rows: Vec<T>) -> Self {
        Self { rows, id: PhantomData }
    }
    /// How many rows there are.
    pub fn len(&self) -> usize {
        self.rows.len()
    }
    /// Whether there is no row.
    pub fn is_empty(&self) -> bool {
        self.rows.is_empty()
    }
    /// The rows in order.
    pub fn iter(&self) -> std::slice::Iter<'_, T> {
        self.rows.iter()
    }
    /// The ids in order.
    pub fn ids(&self) -> impl DoubleEndedIterator<Item = I> + ExactSizeIterator + use<I, T> {
        (0..self.rows.len()).map(I::at)
    }
    /// The ids with their rows, in order.
    pub fn iter_ids(&self) -> impl DoubleEndedIterator<Item = (I, &T)> + ExactSizeIterator {
        self.rows.iter().enumerate().map(|(i, row)| (I::at(i), row))
    }
    /// The row of an id that may come from elsewhere.
    pub fn get(&self, id: I) -> Option<&T> {
        self.rows.get(id.index())
    }
    /// Adds a row and gives its id.
    pub fn push(&mut self, row: T) -> I {
        self.rows.push(row);
        I::at(self.rows.len() - 1)
    }
}

impl<I, T> Default for Table<I, T> {
    fn default() -> Self {
        Self { rows: Vec::new(), id: PhantomData }
    }
}

impl<I: Id, T> Index<I> for Table<I, T> {
    type Output = T;
    fn index(&self, id: I) -> &T {
        &self.rows[id.index()]
    }
}

impl<I: Id, T> IndexMut<I> for Table<I, T> {
    fn index_mut(&mut self, id: I) -> &mut T {
        &mut self.rows[id.index()]
    }
}

impl<'a, I: Id, T> IntoIterator for &'a Table<I, T> {
    type Item = &'a T;
    type IntoIter = std::slice::Iter<'a, T>;
    fn into_iter(self) -> Self::IntoIter {
        self.iter()
    }
}

impl<I, T: fmt::Debug> fmt::Debug for Table<I, T> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.debug_list().entries(&self.rows).finish()
    }
}
