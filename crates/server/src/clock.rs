//! The clock and the names of events: the only places where the server asks for time.

use std::sync::Mutex;

use jiff::Timestamp;
use records::{EventId, Moment};

use crate::app::Failure;
use crate::secret;

/// The base's clock. The names that it makes rise, also within a millisecond and when the machine's clock is set back.
#[derive(Debug, Default)]
pub(crate) struct Clock {
    last: Mutex<u128>,
    /// Where it stands still; nothing if it goes by the machine's.
    stands: Option<Timestamp>,
}

impl Clock {
    /// One that stands still.
    pub(crate) fn standing(at: Timestamp) -> Self {
        Self { stands: Some(at), ..Self::default() }
    }

    /// Now.
    pub(crate) fn timestamp(&self) -> Timestamp {
        if let Some(at) = self.stands {
            return at;
        }
        let since = std::time::SystemTime::now().duration_since(std::time::UNIX_EPOCH).unwrap_or_default();
        let milliseconds = i64::try_from(since.as_millis()).unwrap_or_default();
        Timestamp::from_millisecond(milliseconds).unwrap_or(Timestamp::UNIX_EPOCH)
    }

    /// Now, as records have it.
    pub(crate) fn now(&self) -> Moment {
        Moment::from_milliseconds(self.timestamp().as_millisecond())
    }

    /// A name for an event that is made now.
    ///
    /// # Source
    /// RFC 9562, sections 5.7 and 6.2: names rise; the first of a millisecond has a random tail.
    pub(crate) fn name(&self) -> Result<EventId, Failure> {
        let fresh = EventId::version_7(self.now(), secret::chance()?).bits();
        let mut last = self.last.lock().map_err(|_| Failure::Broken)?;
        *last = if fresh > *last { fresh } else { *last + 1 };
        Ok(EventId::from_bits(*last))
    }
}
