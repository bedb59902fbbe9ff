//! Append-only events of boats and charters, folded into how things stand.
//!
//! Phones work offline: events come late, in any order, twice, and from devices with wrong clocks. [`Records`] takes
//! them as they come and [`Records::standing`] tells how boats and charters stand by them; the same set of events gives
//! the same standing, whatever the order and however often each came. Nothing is overwritten: a correction answers an
//! event, two hands who disagree are both kept, and what is out of turn, out of time or not understood is flagged.
//!
//! Of a boat with many years of events most need not be at hand: [`Closed`] splits off what is long over.
//!
//! On the standing rest the rules before a stage ([`lacks`], [`may_check_out`]), what changed between two walks
//! ([`compare`]) and what it costs ([`charges`]), whether a reading can be ([`plausible`]), what is due ([`due`]), and
//! the owner's costs and the fault finder's counts ([`costs`], [`failures`]).

mod answers;
mod charges;
mod clock;
mod closed;
mod compare;
mod costs;
mod due;
mod event;
mod failures;
mod flag;
mod fold;
mod ids;
mod moment;
mod person;
mod plausible;
mod rules;
mod set;
mod stage;
mod standing;
mod tariff;
mod what;
mod wire;

pub use charges::{Bill, ChargeError, Line, Outcome, Unpriced, charges};
pub use clock::{EARLIEST, SLACK_MILLISECONDS};
pub use closed::{Closed, Over};
pub use compare::{Change, Differences, Filled, Harmed, KitChange, Known, Walked, compare, differences};
pub use costs::{Costs, Sums, costs};
pub use due::{Bound, Due, State, Window, due};
pub use event::{Event, Hand};
pub use failures::{Failure, exposure, failures};
pub use flag::{Flag, Why};
pub use fold::fold;
pub use ids::{AccountId, BoatId, CharterId, ContentHash, DeviceId, EventId, LinkId, NotAnId, PersonId};
pub use moment::{Local, Moment, Month, NotALocalTime};
pub use person::{Name, Person, Persons};
pub use plausible::{Doubt, Impossible, Judged, Past, plausible};
pub use rules::{Force, Lack, Need, Rule, Verdict, lacks, may_check_out, usual_rules};
pub use set::{Records, Taken, Took};
pub use stage::{Life, Stage};
pub use standing::{
    About, Added, BoatStanding, CallMade, CharterStanding, Closing, Counting, Damage, DefectStanding,
    Disagreement, Done, Filling, Looked, Mark, Mending, Move, NewMeter, Sails, SeenDefect, Shown, Sight,
    Signed, Standing, Stock, Turnover, Waiver, ashore,
};
pub use tariff::{PerMass, PerTime, PerVolume, Tariff};
pub use what::{
    Amount, ChargeKey, Defect, Held, Level, Look, Meter, Pieces, Plan, Priced, Reading, Role, Severity,
    Showing, Signature, Stroke, Strokes, Walk, What,
};
