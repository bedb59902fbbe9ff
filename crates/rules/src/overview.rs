//! What may go overboard where, as a table: each kind of waste against the places that the rules tell apart.

use std::collections::BTreeSet;

use quantity::Length;
use serde::Serialize;

use crate::aboard::Waters;
use crate::authority::Authority;
use crate::waste::{Answer, Question, Waste, ZoneKind, discharge};

/// A kind of place that the rules tell apart from others.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Place {
    /// In which waters.
    pub waters: Waters,
    /// In which zone, if in one.
    pub zone: Option<ZoneKind>,
    /// Farther than this from land; from the shore on if `None`.
    #[serde(serialize_with = "miles")]
    pub over: Option<Length>,
    /// Up to this far from land, that distance included; without end if `None`.
    #[serde(serialize_with = "miles")]
    pub upto: Option<Length>,
}

/// All that is known of what may go overboard, by kind of waste and place.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Overview {
    /// The places, those with rules of their own first, then from the shore outwards.
    pub places: Vec<Place>,
    /// For each kind of waste the answer at each place.
    pub rows: Vec<Row>,
}

/// The answers about one kind of waste.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Row {
    /// What would go overboard.
    pub what: Waste,
    /// One for each place.
    pub answers: Vec<Answer>,
}

#[allow(clippy::ref_option, clippy::trivially_copy_pass_by_ref, reason = "serde hands over a reference")]
fn miles<S: serde::Serializer>(length: &Option<Length>, to: S) -> Result<S::Ok, S::Error> {
    length.map(Length::as_nautical_miles).serialize(to)
}

/// The table of an authority; nothing if no rule of its is known.
pub fn overview(authority: &Authority) -> Option<Overview> {
    if authority.discharges.is_empty() {
        return None;
    }
    let places = places(authority);
    let rows = Waste::ALL
        .into_iter()
        .map(|what| {
            let answers = places.iter().map(|place| discharge(authority, &place.question(what))).collect();
            Row { what, answers }
        })
        .collect();
    Some(Overview { places, rows })
}

/// Zones that a rule is about, then inland waters, then the coast from the shore outwards.
fn places(authority: &Authority) -> Vec<Place> {
    let rules = &authority.discharges;
    let zones: BTreeSet<ZoneKind> = rules.iter().filter_map(|rule| rule.zone).collect();
    let inland = rules.iter().any(|rule| rule.waters.is_empty() || rule.waters.contains(&Waters::Inland));
    let mut bounds: Vec<Length> = Vec::new();
    for bound in
        rules.iter().filter(|rule| rule.zone.is_none()).flat_map(|rule| [rule.over, rule.upto]).flatten()
    {
        // Two rules write one bound in the same words, so that it is the same number.
        if !bounds.iter().any(|known| known.total_cmp(&bound).is_eq()) {
            bounds.push(bound);
        }
    }
    bounds.sort_by(Length::total_cmp);
    let mut found: Vec<Place> = zones
        .into_iter()
        .map(|zone| Place { waters: zone.waters(), zone: Some(zone), over: None, upto: None })
        .collect();
    if inland {
        found.push(Place { waters: Waters::Inland, zone: None, over: None, upto: None });
    }
    let starts = [None].into_iter().chain(bounds.iter().copied().map(Some));
    let ends = bounds.iter().copied().map(Some).chain([None]);
    found.extend(starts.zip(ends).map(|(over, upto)| Place {
        waters: Waters::Coastal,
        zone: None,
        over,
        upto,
    }));
    found
}

impl Place {
    /// The question about this place.
    pub fn question(&self, what: Waste) -> Question {
        Question { what, waters: self.waters, zone: self.zone, from_land: Some(self.middle()) }
    }

    /// A distance from land within it: close to the shore where a distance plays no part.
    fn middle(&self) -> Length {
        match (self.over, self.upto) {
            (None, None) => Length::ZERO,
            (None, Some(upto)) => upto * 0.5,
            (Some(over), None) => over + Length::nautical_miles(1.0),
            (Some(over), Some(upto)) => over + (upto - over) * 0.5,
        }
    }

    /// The words for it, to stand above a column.
    pub fn words(&self) -> String {
        if let Some(zone) = self.zone {
            return zone.words().to_owned();
        }
        let miles = |length: Length| {
            let number = format!("{:.2}", length.as_nautical_miles());
            number.trim_end_matches('0').trim_end_matches('.').to_owned()
        };
        match (self.waters, self.over, self.upto) {
            (Waters::Inland | Waters::InlandNearShore, ..) => {
                "Rivers, canals and lakes, near the shore".to_owned()
            }
            (Waters::Coastal, None, None) => "On the coast".to_owned(),
            (Waters::Coastal, None, Some(upto)) => {
                format!("On the coast, up to {} nautical miles off", miles(upto))
            }
            (Waters::Coastal, Some(over), None) => format!("Farther off than {} nautical miles", miles(over)),
            (Waters::Coastal, Some(over), Some(upto)) => {
                format!("From {} to {} nautical miles off", miles(over), miles(upto))
            }
        }
    }
}
