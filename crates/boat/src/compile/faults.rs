//! Faults: what they stop if the file does not say it, and who may check and mend them.

use quantity::{Dimension, Ratio};

use super::Compiler;
use super::behaviour::WHO;
use super::parts::HAZARDS;
use crate::diagnostic::Diagnostic;
use crate::document::{Node, Value};
use crate::model::{
    Assign, Condition, ConditionId, Fault, FaultId, Hazard, Id, ItemId, Procedure, ProcedureId, Table, Thing,
    Who,
};
use crate::read::Fields;

/// How surely a check tells whose entry does not say it: common practice.
const SURE: f64 = 0.95;

impl<'a> Compiler<'a> {
    pub(super) fn faults(
        &mut self,
        conditions: &Table<ConditionId, Condition>,
        procedures: &Table<ProcedureId, Procedure>,
    ) -> Table<FaultId, Fault> {
        self.table("faults", Thing::Fault, |this, fields, row, _| {
            let item = this.link(fields, "item", "items").unwrap_or(ItemId::at(0));
            let means = this.reader.assign(fields, "means");
            let mend = this.reader.words(fields, "mend");
            let mend_by = this.link(fields, "mend_by", "procedures");
            let danger = this.reader.choice(fields, "danger").map(|at| HAZARDS[at]);
            let mender = if mend.is_some() || mend_by.is_some() { Who::Crew } else { Who::Base };
            Fault {
                id: row.id.clone(),
                name: this.reader.needed_text(fields, "name"),
                item,
                seen: this.reader.needed_words(fields, "seen"),
                per_year: this.reader.number(fields, "per_year").unwrap_or(0.0),
                weight: this.weight(fields),
                stops: this.stops(fields, item, means, conditions),
                means,
                check: this.reader.words(fields, "check"),
                check_takes: this.reader.quantity(fields, "check_takes", Dimension::Time),
                check_who: this.who_of_fault(fields, "check_who", Who::Crew, danger),
                sure: this.sure(fields),
                tools: this.reader.texts(fields, "tools"),
                mend,
                mend_by,
                mend_takes: this.reader.quantity(fields, "mend_takes", Dimension::Time),
                mend_who: this.who_of_fault(fields, "mend_who", mender, danger),
                danger,
                emergency: this.emergency_list(fields, procedures),
                parts: this.reader.texts(fields, "parts"),
                source: this.reader.text(fields, "source"),
            }
        })
    }

    fn weight(&mut self, fields: Fields<'a>) -> f64 {
        let weight = self.reader.number(fields, "weight").unwrap_or(1.0);
        if weight > 0.0 {
            return weight;
        }
        self.out_of_range(
            fields,
            "weight",
            "`weight` is nothing.".to_owned(),
            "a number of more than 0, such as 2",
        );
        1.0
    }

    fn sure(&mut self, fields: Fields<'a>) -> f64 {
        let Some(ratio) = self.reader.quantity::<Ratio>(fields, "sure", Dimension::Ratio) else {
            return SURE;
        };
        let sure = ratio.as_plain();
        let headline = if sure > 1.0 {
            "No check is surer than 100 %."
        } else if sure > 0.5 {
            return sure;
        } else {
            "A check that is right half the time or less tells nothing."
        };
        self.out_of_range(
            fields,
            "sure",
            headline.to_owned(),
            "more than 50 % and at most 100 %, such as \"95 %\"",
        );
        SURE
    }

    /// What the fault stops: as written; else all that needs the item sound, unless the fault is a value itself.
    fn stops(
        &mut self,
        fields: Fields<'a>,
        item: ItemId,
        means: Option<Assign>,
        conditions: &Table<ConditionId, Condition>,
    ) -> Vec<ConditionId> {
        if fields.get("stops").is_some() {
            return self.links(fields, "stops", "conditions");
        }
        if means.is_some() {
            return Vec::new();
        }
        let needs_it = conditions.iter_ids().filter(|(_, condition)| condition.items.contains(&item));
        needs_it.map(|(id, _)| id).collect()
    }

    /// Who checks or mends it: what is dangerous is never asked of a crew.
    fn who_of_fault(&mut self, fields: Fields<'a>, key: &str, usual: Who, danger: Option<Hazard>) -> Who {
        let written = self.reader.choice(fields, key).map(|at| WHO[at]);
        if danger.is_none() {
            return written.unwrap_or(usual);
        }
        if let (Some(Who::Crew | Who::Skipper), Some(node)) = (written, fields.get(key)) {
            self.reader.report(
                Diagnostic::error(
                    "danger-for-crew",
                    node.span,
                    format!(
                        "`{key}` is not the base, though the entry has a `danger`: what is dangerous is never asked of a crew."
                    ),
                )
                .expected("\"base\", or no such line")
                .mend(format!(
                    "Remove the line `{key}`, so that the base does it; remove `danger` only if checking and mending are safe."
                )),
            );
        }
        Who::Base
    }

    fn emergency_list(
        &mut self,
        fields: Fields<'a>,
        procedures: &Table<ProcedureId, Procedure>,
    ) -> Option<ProcedureId> {
        let list: ProcedureId = self.link(fields, "emergency", "procedures")?;
        let procedure = &procedures[list];
        if !procedure.emergency {
            let span = match fields.get("emergency") {
                Some(node @ Node { value: Value::Text(text), .. }) => self.reader.inner(node, text),
                _ => fields.span,
            };
            self.reader.report(
                Diagnostic::error(
                    "not-emergency",
                    span,
                    format!("The step list \"{}\" is not for an emergency.", procedure.id),
                )
                .expected("a step list with `emergency = true`")
                .mend(format!(
                    "Name an emergency list, or write `emergency = true` in [procedures.{}].",
                    procedure.id
                )),
            );
        }
        Some(list)
    }
}
