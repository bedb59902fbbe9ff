//! What is asked about waste: whose rules, and where she is.

use boat::model::Boat;
use quantity::Length;
use rules::{Answer, Authority, Question, Waste, Waters, ZoneKind, discharge};

use crate::authority::Whose;
use crate::given::Given;

/// What is asked about waste.
#[derive(Debug, Clone, PartialEq)]
pub struct WasteAsk {
    pub(super) given: Given,
    pub(super) whose: Whose,
    pub(super) waters: Option<Waters>,
    pub(super) zone: Option<ZoneKind>,
    pub(super) off: Option<Length>,
}

impl WasteAsk {
    /// Reads what is asked from the names and values of an address.
    pub fn read(boat: &Boat, pairs: &[(String, String)]) -> Self {
        let mut given = Given::new(pairs);
        let whose = Whose::read(&given, boat);
        let waters = given.choice("waters", "The waters", Waters::find);
        let zone = given.choice("zone", "The waters with rules of their own", ZoneKind::find);
        let off = given.quantity::<Length>("off", "The distance from land", "nmi", "2.5, or 2.5 nmi");
        if off.is_some_and(|off| off < Length::ZERO) {
            given.fault("off", "The distance from land can't be less than nothing.");
        }
        // A zone says its waters if nobody does.
        let waters = waters.or_else(|| zone.map(ZoneKind::waters));
        if let (Some(Waters::Coastal), Some(ZoneKind::ClosedLake)) = (waters, zone) {
            given.fault("zone", "A closed lake is not on the sea. Change one of the two.");
        }
        Self { given, whose, waters, zone, off }
    }

    /// Whether all of it was understood.
    pub fn is_sound(&self) -> bool {
        self.given.is_sound()
    }

    /// What could not be understood, for programs; nothing if all of it was.
    pub fn flaws(&self) -> Option<String> {
        self.given.flaws()
    }

    /// Why there is no answer, if there can be none.
    pub fn unknown(&self) -> Option<String> {
        self.whose.unknown()
    }

    /// Those whose rules hold; nothing if none of them is listed.
    pub fn authorities(&self) -> Vec<&'static Authority> {
        self.whose.chain()
    }

    /// What an authority says of each kind of waste where she is; nothing if that is not said.
    pub fn answers(&self, authority: &Authority) -> Option<Vec<(Waste, Answer)>> {
        let waters = self.waters?;
        let question = |what| Question { what, waters, zone: self.zone, from_land: self.off };
        Some(Waste::ALL.into_iter().map(|what| (what, discharge(authority, &question(what)))).collect())
    }
}
