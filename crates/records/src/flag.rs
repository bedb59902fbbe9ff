//! What someone should look at: each flag is about one event, which is kept whatever the flag says.

use crate::ids::EventId;
use crate::moment::Moment;
use crate::stage::Stage;

/// Something that someone should look at.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub struct Flag {
    /// The event.
    pub event: EventId,
    /// What is odd about it.
    pub why: Why,
}

/// What is odd about an event.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Why {
    /// Its device's clock was ahead: it was received, or known to someone, before it says that it was made. It is placed
    /// where it was known at the latest.
    ClockAhead {
        /// When it was known at the latest.
        known: Moment,
    },
    /// Its device's clock shows a time before [`crate::EARLIEST`]. It is placed after what came before it.
    ClockUnset,
    /// Its device's clock went back between the event before it and this one. The events before it are placed no
    /// later than it.
    ClockWentBack {
        /// The event before it on that device.
        after: EventId,
    },
    /// By its clock it was made before an event that it names. It is placed after that one.
    BeforeItsCause {
        /// The event that it names.
        cause: EventId,
    },
    /// Several contents came under its name. The first by their text counts.
    Twin,
    /// This version can't read what it says. It is kept and changes nothing.
    NotUnderstood,
    /// It answers an event that has not come. It waits for that one and changes nothing.
    Waiting {
        /// The event that it answers.
        on: EventId,
    },
    /// It answers an event that answers it in turn. None of them counts.
    Circle,
    /// It withdraws, but names no event.
    AnswersNothing,
    /// It answers the removal of a person, which can't be taken back.
    CantBeAnswered,
    /// Several hands corrected the same event, and none of them answered the other. All are kept.
    CorrectedTwice,
    /// It belongs to a charter and names none.
    NoCharter,
    /// It says that the charter came to a stage, and a stage before that was not told.
    OutOfTurn {
        /// The first stage that is missing; for a cancellation, the stage that forbids it.
        stage: Stage,
    },
    /// The charter had come to that stage already.
    Again {
        /// The stage.
        stage: Stage,
    },
    /// By the clocks its stage came before the stage that must be before it.
    AgainstTheClock {
        /// The event of the stage before it.
        before: EventId,
    },
    /// It came after the charter was cancelled.
    AfterCancelled,
    /// It changes what is owed for a charter after that was settled.
    AfterSettled,
    /// It speaks of another boat than the charter's plan.
    AnotherBoat,
    /// It speaks of a defect that has not come, or was withdrawn.
    NoSuchDefect,
    /// A crew can't decide that.
    NotTheirs,
    /// It must give a reason and gives none. It doesn't count.
    NoReason,
    /// More was taken from stock than there was.
    StockBelowNothing,
}
