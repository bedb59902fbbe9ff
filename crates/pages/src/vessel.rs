//! A boat with what was worked out about her once, when her file was read.

use boat::diagnostic::{Diagnostic, Severity};
use boat::model::{Boat, ProcedureId};
use boat::source::Sources;
use brief::Played;
use maud::{Markup, html};
use operate::{Model, ProcedureProof, Slips, Use, all_slips, prove};

use crate::links::{self, Room};
use crate::words;

/// A boat that compiled, with her proof and her slips.
#[derive(Debug, Clone)]
pub struct Vessel {
    /// Her part of the address.
    pub slug: String,
    /// The boat.
    pub boat: Boat,
    /// Everything found: first what the compiler noticed, then what proving found.
    pub findings: Vec<Diagnostic>,
    /// What proving each step list came to, in the order of the boat.
    pub proofs: Vec<ProcedureProof>,
    /// What can slip in any step list, worst first.
    pub slips: Slips,
    /// What playing her step lists showed, for her briefing.
    pub played: Vec<Played>,
}

/// A boat file that did not compile.
#[derive(Debug, Clone)]
pub struct Wreck {
    /// Her part of the address.
    pub slug: String,
    /// The file's name.
    pub file: String,
    /// What is wrong with it.
    pub diagnostics: Vec<Diagnostic>,
    /// The texts that it points at.
    pub sources: Sources,
}

/// A boat of the base, well or not.
#[derive(Debug, Clone)]
pub enum Moored {
    /// Her file compiled.
    Well(Box<Vessel>),
    /// Her file did not.
    Wrecked(Box<Wreck>),
}

impl Moored {
    /// Reads a boat file and works out what can be worked out about her. It takes as long as her proof takes.
    pub fn read(slug: &str, file: &str, text: &str) -> Self {
        let compiled = boat::compile(file, text);
        match compiled.boat {
            Some(boat) => Self::Well(Box::new(Vessel::new(slug, boat, compiled.diagnostics))),
            None => Self::Wrecked(Box::new(Wreck {
                slug: slug.to_owned(),
                file: file.to_owned(),
                diagnostics: compiled.diagnostics,
                sources: compiled.sources,
            })),
        }
    }

    /// Her part of the address.
    pub fn slug(&self) -> &str {
        match self {
            Self::Well(vessel) => &vessel.slug,
            Self::Wrecked(wreck) => &wreck.slug,
        }
    }
}

impl Vessel {
    /// A boat with her proof and slips worked out; `noticed` is what the compiler had to say.
    pub fn new(slug: &str, boat: Boat, noticed: Vec<Diagnostic>) -> Self {
        let model = Model::new(&boat);
        let proof = prove(&model);
        let slips = all_slips(&model, Use::Read);
        let played = brief::played(&model, &slips);
        let mut findings = noticed;
        findings.extend(proof.findings);
        Self { slug: slug.to_owned(), boat, findings, proofs: proof.procedures, slips, played }
    }

    /// The address of one of her pages.
    pub(crate) fn link(&self, room: Room) -> String {
        links::room(&self.slug, room)
    }

    /// How many findings are errors.
    pub(crate) fn errors(&self) -> usize {
        self.findings.iter().filter(|finding| finding.severity == Severity::Error).count()
    }

    /// The proof of a step list.
    pub(crate) fn proof(&self, procedure: ProcedureId) -> Option<&ProcedureProof> {
        self.proofs.iter().find(|proof| proof.procedure == procedure)
    }

    /// Her state of proof in one line, with a link to what it rests on.
    pub(crate) fn state_line(&self) -> Markup {
        let lists = words::count(self.proofs.len(), "step list", "step lists");
        let errors = self.errors();
        let others = self.findings.len() - errors;
        html! {
            @if errors == 0 {
                span.state.proven { (shield(true)) "Proven" } " "
                a href=(self.link(Room::Proof)) { (lists) " followed, none does harm" }
                @if others > 0 { "; " (words::count(others, "remark", "remarks")) }
            } @else {
                span.state.open { (shield(false)) "Not proven" } " "
                a href=(self.link(Room::Proof)) { (words::count(errors, "finding", "findings")) " to mend" }
                @if others > 0 { ", " (words::count(others, "remark", "remarks")) }
            }
            "."
        }
    }
}

/// A shield with a tick, or with a cross.
pub(crate) fn shield(well: bool) -> Markup {
    let inner = if well { "M8.5 12l2.5 2.5 4.5-5" } else { "M9 9l6 6M15 9l-6 6" };
    html! {
        svg.icon viewBox="0 0 24 24" aria-hidden="true" focusable="false" {
            path d="M12 2.5l8 3v6c0 5-3.5 8.5-8 10-4.5-1.5-8-5-8-10v-6z" {}
            path d=(inner) {}
        }
    }
}
