//! Index types: each names one row of one table of a [`Task`](crate::Task), so that they cannot be mixed up.

macro_rules! id {
    ($(#[$doc:meta])* $name:ident) => {
        $(#[$doc])*
        #[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
        pub struct $name(u32);

        impl $name {
            /// The id of the row with this index, counted from zero.
            ///
            /// # Panics
            /// If the index is beyond 32 bits.
            pub fn new(index: usize) -> Self {
                Self(u32::try_from(index).expect("a task has fewer than four billion rows"))
            }

            /// The index of the row, counted from zero.
            pub fn index(self) -> usize {
                self.0 as usize
            }
        }
    };
}

id! {
    /// A finite-domain variable of a task.
    VarId
}
id! {
    /// A derived fact of a task.
    DerivedId
}
id! {
    /// An operator of a task.
    OpId
}
id! {
    /// An event (forced change) of a task.
    EventId
}
