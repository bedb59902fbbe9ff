//! The ground tackle and the hull as a boat file describes them.

use boat::model::{Boat, GroundTackle, Hull as HullForm};

use super::{ChainWeight, Fault, Hull, HullKind, Tackle};

/// Why a boat file's ground tackle can't be reckoned with.
#[derive(Debug, Clone, PartialEq)]
pub enum Unready {
    /// Nothing is known of the bow roller's height, on which scope rests.
    NoBowHeight,
    /// A figure makes no sense.
    Fault(Fault),
}

impl std::fmt::Display for Unready {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            Self::NoBowHeight => f.write_str(
                "The boat file does not say how high the bow roller stands above the water (`bow_height` in \
                 [tackle]), and scope is counted from there. Measure it and write it down.",
            ),
            Self::Fault(fault) => fault.fmt(f),
        }
    }
}

impl std::error::Error for Unready {}

impl From<Fault> for Unready {
    fn from(fault: Fault) -> Self {
        Self::Fault(fault)
    }
}

impl Tackle {
    /// The tackle of a boat file; lengths and sizes that it does not give stay unknown.
    ///
    /// # Errors
    /// If the height of the bow roller is not known, or the chain's size is none that is made.
    pub fn of(written: &GroundTackle) -> Result<Self, Unready> {
        Ok(Self {
            chain: written.chain,
            chain_weight: written.chain_size.map(ChainWeight::nominal).transpose()?,
            rope: written.rope,
            bow_height: written.bow_height.ok_or(Unready::NoBowHeight)?,
        })
    }
}

impl Hull {
    /// The hull of a boat file. A boat with a rig is a sailing boat; windage and freeboard are not in the file.
    pub fn of(boat: &Boat) -> Self {
        let particulars = &boat.particulars;
        let kind = match particulars.hull {
            HullForm::Catamaran => HullKind::Multihull,
            HullForm::Monohull if particulars.rig.eq_ignore_ascii_case("none") => HullKind::Power,
            HullForm::Monohull => HullKind::Sail,
        };
        Self {
            beam: Some(particulars.beam),
            draught: Some(particulars.draught),
            ..Self::new(kind, particulars.length)
        }
    }
}
