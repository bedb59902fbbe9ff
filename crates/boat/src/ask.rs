//! Facts typed by people at run time: the goal of a plan, the start of a run.

use crate::diagnostic::Diagnostic;
use crate::fact::{self, Fault, Meaning, Names, ValueNames};
use crate::model::{Assign, Boat, CaseValue, Expr, Operand, VarId};
use crate::source::{Source, SourceId, Sources, Span};

/// What is wrong with a fact that was typed, with the text it points at.
#[derive(Debug, Clone)]
pub struct Asked {
    /// What is wrong.
    pub diagnostics: Vec<Diagnostic>,
    /// The typed text, for pointing at it.
    pub sources: Sources,
}

impl Boat {
    /// Reads a fact about this boat, such as "engine is running and not hatch_open".
    ///
    /// # Errors
    /// All that is wrong with it, pointing into the typed text.
    pub fn read_fact(&self, text: &str) -> Result<Expr, Asked> {
        let mut faults = Vec::new();
        let expr = fact::parse(text, &mut faults).and_then(|tree| fact::check(&tree, self, &mut faults));
        expr.ok_or_else(|| asked(text, faults))
    }

    /// Reads "name is value" for a control or state of this boat.
    ///
    /// # Errors
    /// All that is wrong with it, pointing into the typed text.
    pub fn read_assign(&self, text: &str) -> Result<Assign, Asked> {
        let mut faults = Vec::new();
        let assign = fact::parse_assign(text, &mut faults)
            .and_then(|(name, value)| fact::check_assign(&name, &value, self, &mut faults));
        assign.map(|(var, value)| Assign { var, value }).ok_or_else(|| asked(text, faults))
    }
}

fn asked(text: &str, faults: Vec<Fault>) -> Asked {
    let mut sources = Sources::default();
    sources.add(Source::new("what was asked", text));
    let diagnostics = faults
        .into_iter()
        .map(|fault| Diagnostic {
            expected: fault.expected,
            near: fault.near,
            mend: fault.mend,
            ..Diagnostic::error(
                fault.code,
                Span::new(SourceId::BOAT, fault.at.start, fault.at.end),
                fault.headline,
            )
        })
        .collect();
    Asked { diagnostics, sources }
}

impl ValueNames for Boat {
    fn values(&self, var: VarId) -> &[String] {
        &self.vars[var].values
    }
}

impl Names for Boat {
    fn meaning(&self, name: &str) -> Option<Meaning> {
        let var = || {
            let id = self.var(name)?;
            let first = self.vars[id].reads.as_ref().and_then(|reads| reads.first());
            Some(Meaning::Var(id, first.map(|quantity| quantity.dimension())))
        };
        let condition = || self.condition(name).map(Meaning::Condition);
        let reading = || {
            let id = self.reading(name)?;
            Some(Meaning::Reading(id, Some(self.readings[id].otherwise.dimension())))
        };
        var().or_else(condition).or_else(reading)
    }

    fn all(&self) -> Vec<&str> {
        let vars = self.vars.iter().map(|row| row.id.as_str());
        let conditions = self.conditions.iter().map(|row| row.id.as_str());
        let readings = self.readings.iter().map(|row| row.id.as_str());
        vars.chain(conditions).chain(readings).collect()
    }
}

impl Boat {
    /// A fact as text of the condition language; it reads back as the same fact.
    pub fn fact_text(&self, expr: &Expr) -> String {
        self.fact_part(expr, 0)
    }

    /// `tightness`: 0 inside `or` or nothing, 1 inside `and`, 2 inside `not`.
    fn fact_part(&self, expr: &Expr, tightness: u8) -> String {
        match expr {
            Expr::Const(true) => "always".into(),
            Expr::Const(false) => "never".into(),
            Expr::Is(var, value) => {
                let var = &self.vars[*var];
                format!("{} is {}", var.id, var.values[usize::from(value.0)])
            }
            Expr::Holds(id) => self.conditions[*id].id.clone(),
            Expr::Compare(left, how, right) => {
                format!("{} {} {}", self.operand_text(left), how.sign(), self.operand_text(right))
            }
            Expr::Not(inner) => format!("not {}", self.fact_part(inner, 2)),
            Expr::And(parts) => self.joined(parts, " and ", 1, tightness > 1),
            Expr::Or(parts) => self.joined(parts, " or ", 0, tightness > 0),
        }
    }

    fn joined(&self, parts: &[Expr], word: &str, own: u8, brackets: bool) -> String {
        let inner = own + 1;
        // A list inside a list of the same kind keeps its brackets, so that it reads back as it was.
        let texts: Vec<String> = parts
            .iter()
            .map(|part| match (part, own) {
                (Expr::And(_), 1) | (Expr::Or(_), 0) => format!("({})", self.fact_part(part, 0)),
                _ => self.fact_part(part, inner.min(1)),
            })
            .collect();
        let text = texts.join(word);
        if brackets { format!("({text})") } else { text }
    }

    /// A side of a comparison as text of the condition language.
    pub fn operand_text(&self, operand: &Operand) -> String {
        match operand {
            Operand::Quantity(quantity) => quantity.to_string(),
            Operand::Var(var) => self.vars[*var].id.clone(),
            Operand::Reading(reading) => self.readings[*reading].id.clone(),
        }
    }

    /// What a case reads, as text of the file.
    pub(crate) fn case_text(&self, value: &CaseValue) -> String {
        match value {
            CaseValue::Fixed(quantity) => quantity.to_string(),
            CaseValue::Of(var) => self.vars[*var].id.clone(),
        }
    }

    /// "name is value" as text of the file.
    pub fn assign_text(&self, assign: &Assign) -> String {
        self.fact_text(&Expr::Is(assign.var, assign.value))
    }
}
