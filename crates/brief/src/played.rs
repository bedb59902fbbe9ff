//! What playing a boat's step lists showed: how she stands at their ends, their slips and their cautions.

use boat::model::{CautionId, ProcedureId, Value, VarId};
use operate::{Class, Model, Slips, Stand, cautions, run, weight};

use crate::risk::Risk;

/// What playing a step list showed.
#[derive(Debug, Clone, PartialEq)]
pub struct Played {
    /// The list.
    pub procedure: ProcedureId,
    /// The controls and states that are not at rest where it begins.
    pub starts: Vec<(VarId, Value)>,
    /// The controls and states that are not at rest where it ends.
    pub ends: Vec<(VarId, Value)>,
    /// The slips that it allows, by trained hands that read the list.
    pub risks: Vec<Risk>,
    /// The cautions due at its steps.
    pub cautions: Vec<CautionId>,
}

impl Played {
    /// The list of a procedure, if it was played.
    pub(crate) fn of(all: &[Self], procedure: ProcedureId) -> Option<&Self> {
        all.iter().find(|played| played.procedure == procedure)
    }
}

/// Plays every step list of a boat; `slips` are those of all her lists.
pub fn played(model: &Model<'_>, slips: &Slips) -> Vec<Played> {
    let boat = model.boat();
    let rest = model.at_rest();
    let off_rest = |stand: &Stand| rest.changes(stand).map(|(var, _, value)| (var, value)).collect();
    boat.procedures
        .iter_ids()
        .map(|(procedure, list)| {
            let trace = run(model, procedure);
            let own = slips.slips.iter().filter(|slip| slip.procedure == procedure);
            let matter = own.filter(|slip| slip.class != Class::NoMatter);
            let risks = matter.map(|slip| Risk { probability: slip.probability, weight: weight(slip.class) });
            let mut shown: Vec<CautionId> =
                list.steps.iter().flat_map(|step| cautions(model, step)).collect();
            shown.sort_unstable();
            shown.dedup();
            Played {
                procedure,
                starts: off_rest(&trace.start),
                ends: off_rest(trace.last_stand()),
                risks: risks.collect(),
                cautions: shown,
            }
        })
        .collect()
}
