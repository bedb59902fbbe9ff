//! Proving the whole boat: every step list in every world it may begin in, and all of them against each other.
//! One kind of finding a file; each gets the rehearsed list and adds what it finds.

mod agree;
mod cautions;
mod endless;
mod ends;
mod figures;
mod harms;
mod limits;
mod looks;
mod needs;
mod nevers;
mod start;
mod unused;
mod who;

use std::collections::BTreeSet;

use boat::diagnostic::{Diagnostic, Severity};
use boat::model::{Boat, Id, ProcedureId, StepKind, Thing, VarId};
use boat::source::Span;

use crate::model::Model;
use crate::rehearse::{Rehearsal, WorldStep, rehearse};

/// What proving a boat came to.
#[derive(Debug, Clone, PartialEq)]
pub struct Proof {
    /// Everything found: by list in the order of the file, then what concerns the whole boat.
    pub findings: Vec<Diagnostic>,
    /// The step lists in the order of the file.
    pub procedures: Vec<ProcedureProof>,
}

/// What proving one step list came to.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ProcedureProof {
    /// Which.
    pub procedure: ProcedureId,
    /// Whether it is proven: nothing that was found in it is an error.
    pub proven: bool,
    /// How many steps it has.
    pub steps: usize,
    /// Possible worlds that it was followed in.
    pub worlds: usize,
    /// States that the world decides and that matter, in every value that they can have.
    pub open: Vec<VarId>,
    /// Whether every combination of those was followed; else every single one and every pair.
    pub whole: bool,
    /// Needs looked at (steps that need something, by world).
    pub needs_checked: usize,
    /// Harms that could have been done and were looked at (by world).
    pub harms_excluded: usize,
    /// Limits looked at (by world).
    pub limits_kept: usize,
    /// Never-states looked for after every step.
    pub nevers_avoided: usize,
}

impl Proof {
    /// Whether no error was found.
    pub fn holds(&self) -> bool {
        self.findings.iter().all(|finding| finding.severity != Severity::Error)
    }
}

/// One step list with its rehearsal: what the findings look at.
pub(crate) struct Case<'a, 'b> {
    pub(crate) model: &'a Model<'b>,
    pub(crate) id: ProcedureId,
    pub(crate) rehearsal: &'a Rehearsal,
}

/// Proves every step list of a boat, and all of them together.
pub fn prove(model: &Model<'_>) -> Proof {
    let mut findings = Vec::new();
    let mut procedures = Vec::new();
    for id in model.boat.procedures.ids() {
        let (proof, found) = prove_procedure(model, id);
        procedures.push(proof);
        findings.extend(found);
    }
    for whole in [agree::find, figures::find, cautions::find, unused::find] {
        whole(model, &mut findings);
    }
    Proof { findings, procedures }
}

/// Proves one step list by itself.
pub fn prove_procedure(model: &Model<'_>, id: ProcedureId) -> (ProcedureProof, Vec<Diagnostic>) {
    let rehearsal = rehearse(model, id);
    let case = Case { model, id, rehearsal: &rehearsal };
    let mut found = Vec::new();
    let kinds = [
        start::find,
        who::find,
        endless::find,
        needs::find,
        harms::find,
        limits::find,
        nevers::find,
        looks::find,
        ends::find,
    ];
    for kind in kinds {
        kind(&case, &mut found);
    }
    let proven = found.iter().all(|finding| finding.severity != Severity::Error);
    (summary(&case, proven), found)
}

fn summary(case: &Case<'_, '_>, proven: bool) -> ProcedureProof {
    let Case { model, id, rehearsal } = case;
    let (mut needs, mut harms, mut limits) = (0, 0, 0);
    for (step, taken) in model.boat.procedures[*id].steps.iter().zip(&rehearsal.steps) {
        match &step.kind {
            StepKind::Set { var, to, .. } => {
                let Some(row) = &model.controls[var.index()] else { continue };
                needs += taken.len() * usize::from(model.move_row(*var, *to).is_some());
                harms +=
                    taken.len() * row.harms.iter().filter(|harm| harm.to.is_none_or(|at| at == *to)).count();
                limits += taken.len() * row.bounds.len();
            }
            StepKind::Do { action, .. } => {
                let row = &model.actions[action.index()];
                needs += taken.len() * usize::from(row.needs != boat::model::Expr::Const(true));
                harms += taken.len() * row.harms.len();
                limits += taken.len() * row.bounds.len();
            }
            StepKind::Look { .. } | StepKind::Wait { .. } => {}
        }
    }
    ProcedureProof {
        procedure: *id,
        proven,
        steps: model.boat.procedures[*id].steps.len(),
        worlds: rehearsal.start.worlds.len(),
        open: rehearsal.start.open.clone(),
        whole: rehearsal.start.whole,
        needs_checked: needs,
        harms_excluded: harms,
        limits_kept: limits,
        nevers_avoided: model.boat.nevers.len(),
    }
}

/// Where a thing was written; the start of the boat file if nowhere.
pub(crate) fn at(boat: &Boat, thing: Thing) -> Span {
    boat.span(thing).unwrap_or_default()
}

impl Case<'_, '_> {
    /// The place of a step in the file.
    pub(crate) fn step_span(&self, step: usize) -> Span {
        let boat = self.model.boat;
        boat.span(Thing::Step(self.id, step)).unwrap_or_else(|| at(boat, Thing::Procedure(self.id)))
    }

    /// `Step 3 of “Start the engine”`.
    pub(crate) fn step_name(&self, step: usize) -> String {
        format!("Step {} of “{}”", step + 1, self.model.boat.procedures[self.id].name)
    }

    /// In which of the worlds at a step these are, in words: `` if `swimmers is near` ``; nothing if in all.
    pub(crate) fn only_if(&self, all: &[WorldStep], bad: &[&WorldStep]) -> String {
        let worlds = &self.rehearsal.start.worlds;
        let values = |world: usize, var: VarId| worlds[world].is(var);
        let mut parts = Vec::new();
        for var in &self.rehearsal.start.open {
            let here: BTreeSet<_> = bad.iter().map(|taken| values(taken.world, *var)).collect();
            let everywhere: BTreeSet<_> = all.iter().map(|taken| values(taken.world, *var)).collect();
            if here.len() < everywhere.len() {
                let told: Vec<String> = here
                    .iter()
                    .map(|value| {
                        format!("`{}`", self.model.boat.fact_text(&boat::model::Expr::Is(*var, *value)))
                    })
                    .collect();
                parts.push(told.join(" or "));
            }
        }
        if parts.is_empty() { String::new() } else { format!(" if {}", parts.join(" and ")) }
    }
}
