//! One event: who said what, when, on which device. It is never edited, only answered by later ones.

use serde::de::Error as _;
use serde::{Deserialize, Deserializer, Serialize, Serializer};
use serde_json::Value;

use crate::ids::{AccountId, BoatId, CharterId, DeviceId, EventId, LinkId, PersonId};
use crate::moment::Moment;
use crate::what::{Strokes, What};

/// Who says it.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Hand {
    /// One of the base's own people.
    Account(AccountId),
    /// A crew, by the link that it was given.
    Crew(LinkId),
}

/// One event.
///
/// It travels as a JSON object. What a later version of this crate has written into it, and this one can't read, is
/// kept and written again; only self-describing formats such as JSON can carry it.
///
/// ```
/// use records::{Event, What};
/// let text = r#"{"id":"019748c2-1c00-7000-8000-000000000001","at":1749300000000,"who":{"account":"jo"},
///     "device":"dock-2","boat":"whimbrel","what":{"kind":"counted","walk":"between","line":"tether","count":4}}"#;
/// let event: Event = serde_json::from_str(text)?;
/// assert!(matches!(event.what, What::Counted { count: 4, .. }));
/// # Ok::<(), serde_json::Error>(())
/// ```
#[derive(Debug, Clone, PartialEq)]
pub struct Event {
    /// Its name, the same wherever a copy of it lies.
    pub id: EventId,
    /// When, by the clock of the device.
    pub at: Moment,
    /// Who says it.
    pub who: Hand,
    /// On which device.
    pub device: DeviceId,
    /// Of which boat.
    pub boat: BoatId,
    /// On which charter.
    pub charter: Option<CharterId>,
    /// The event that it corrects or withdraws.
    pub answers: Option<EventId>,
    /// What it says.
    pub what: What,
    /// The whole event as it came, if this version would write it otherwise; nothing for an event that was made here.
    pub as_sent: Option<Value>,
}

/// The parts of an event that have a place in its JSON.
#[derive(Serialize, Deserialize)]
struct Wire {
    id: EventId,
    at: Moment,
    who: Hand,
    device: DeviceId,
    boat: BoatId,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    charter: Option<CharterId>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    answers: Option<EventId>,
    what: What,
}

impl Event {
    /// An event of a boat, on no charter, that answers nothing.
    pub fn new(id: EventId, at: Moment, who: Hand, device: DeviceId, boat: BoatId, what: What) -> Self {
        Self { id, at, who, device, boat, charter: None, answers: None, what, as_sent: None }
    }

    /// The same on a charter.
    #[must_use]
    pub fn on(self, charter: CharterId) -> Self {
        Self { charter: Some(charter), ..self }
    }

    /// The same as a correction of another event.
    #[must_use]
    pub fn answering(self, event: EventId) -> Self {
        Self { answers: Some(event), ..self }
    }

    /// The same without what tells of a person: the strokes of their signature. Their name stands in no event.
    #[must_use]
    pub fn without(self, person: &PersonId) -> Self {
        match self.what {
            What::Signed(mut signature) if signature.person == *person => {
                signature.strokes = Strokes::Removed;
                Self { what: What::Signed(signature), as_sent: None, ..self }
            }
            What::Other(Value::Object(mut said)) if said.get("person") == Some(&person.as_str().into()) => {
                said.remove("strokes");
                Self { what: What::Other(Value::Object(said)), as_sent: None, ..self }
            }
            _ => self,
        }
    }

    /// The same content in one text, for telling two contents under one name apart and putting them in an order.
    pub(crate) fn text(&self) -> String {
        serde_json::to_string(self).unwrap_or_else(|_| format!("{self:?}"))
    }
}

impl Serialize for Event {
    fn serialize<S: Serializer>(&self, to: S) -> Result<S::Ok, S::Error> {
        if let Some(as_sent) = &self.as_sent {
            return as_sent.serialize(to);
        }
        let Self { id, at, who, device, boat, charter, answers, what, as_sent: _ } = self.clone();
        Wire { id, at, who, device, boat, charter, answers, what }.serialize(to)
    }
}

impl<'de> Deserialize<'de> for Event {
    fn deserialize<D: Deserializer<'de>>(from: D) -> Result<Self, D::Error> {
        let sent = Value::deserialize(from)?;
        let wire = Wire::deserialize(&sent).map_err(D::Error::custom)?;
        let again = serde_json::to_value(&wire).map_err(D::Error::custom)?;
        let Wire { id, at, who, device, boat, charter, answers, what } = wire;
        let as_sent = (again != sent).then_some(sent);
        Ok(Self { id, at, who, device, boat, charter, answers, what, as_sent })
    }
}
