//! Step lists, and the states that none of them may pass.

use quantity::Dimension;

use super::Compiler;
use super::behaviour::SEVERITIES;
use crate::diagnostic::Diagnostic;
use crate::document::{Node, Value};
use crate::model::{
    ActionId, Expr, Id, Never, NeverId, Procedure, ProcedureId, Step, StepKind, Table, Thing, VarId,
};
use crate::read::Fields;

/// Which keys go with which kind of step.
const COMPANIONS: [(&str, &[&str]); 4] = [
    ("set", &["to", "for"]),
    ("do", &["for", "rest"]),
    ("look", &["confirm", "otherwise"]),
    ("wait", &["until"]),
];

impl<'a> Compiler<'a> {
    pub(super) fn procedures(&mut self) -> Table<ProcedureId, Procedure> {
        let procedures = self.table("procedures", Thing::Procedure, |this, fields, row, id| Procedure {
            id: row.id.clone(),
            name: this.reader.needed_text(fields, "name"),
            about: this.reader.words(fields, "about"),
            who: this.who(fields),
            emergency: this.reader.bool(fields, "emergency"),
            signs: this.signs(fields),
            after: this.links(fields, "after", "procedures"),
            start: this.reader.assigns(fields, "start"),
            given: this.reader.fact(fields, "given").unwrap_or(Expr::Const(true)),
            goal: this.reader.fact(fields, "goal").unwrap_or(Expr::Const(true)),
            steps: this.steps(fields, id),
            leaves: this.reader.assigns(fields, "leaves"),
            cautions: this.links(fields, "cautions", "cautions"),
            source: this.reader.text(fields, "source"),
        });
        self.circles(
            &procedures,
            |list| (&list.id, &list.after),
            Thing::Procedure,
            "step list",
            "a list that can begin from the boat at rest",
        );
        procedures
    }

    /// What calls for an emergency list; other lists are not called for by anything.
    fn signs(&mut self, fields: Fields<'a>) -> Vec<String> {
        let calm = !matches!(fields.get("emergency"), Some(Node { value: Value::Bool(true), .. }));
        if let Some(entry) = fields.table.entry("signs").filter(|_| calm) {
            self.reader.report(
                Diagnostic::error(
                    "not-emergency",
                    entry.key_span,
                    "Only an emergency list has `signs`: what one sees, smells or hears that calls for it.",
                )
                .expected("`emergency = true` in the same entry")
                .mend("Write `emergency = true` if it is for an emergency, or remove `signs`."),
            );
        }
        self.reader.texts(fields, "signs")
    }

    fn steps(&mut self, fields: Fields<'a>, id: ProcedureId) -> Vec<Step> {
        let rows = self.reader.rows(fields, "steps", "a step");
        let empty = |node: &&Node| matches!(&node.value, Value::List(list) if list.is_empty());
        if let Some(node) = fields.get("steps").filter(empty) {
            self.reader.report(
                Diagnostic::error("no-steps", node.span, "The step list has no steps.")
                    .expected("at least one step, such as { set = \"panel\", to = \"on\" }")
                    .mend("Write its steps, or remove the procedure."),
            );
        }
        let mut steps = Vec::new();
        for row in rows {
            self.spans.by_thing.insert(Thing::Step(id, steps.len()), row.span);
            // What can't be read of a step is reported; it then stands for looking, so that the others keep their places.
            let kind = self.step_kind(row).unwrap_or(StepKind::Look {
                look: String::new(),
                confirm: None,
                otherwise: None,
            });
            steps.push(Step {
                kind,
                say: self.reader.words(row, "say"),
                why: self.reader.words(row, "why"),
                place: self.link(row, "place", "places"),
                item: self.link(row, "item", "items"),
                cautions: self.links(row, "cautions", "cautions"),
            });
        }
        steps
    }

    fn step_kind(&mut self, row: Fields<'a>) -> Option<StepKind> {
        let kinds: Vec<&(&str, &[&str])> =
            COMPANIONS.iter().filter(|(kind, _)| row.get(kind).is_some()).collect();
        let [(kind, companions)] = kinds.as_slice() else {
            let headline = if kinds.is_empty() {
                "The step does nothing.".to_owned()
            } else {
                let names: Vec<&str> = kinds.iter().map(|(kind, _)| *kind).collect();
                format!("The step does more than one thing: {}.", names.join(" and "))
            };
            self.reader.report(
                Diagnostic::error("step-shape", row.span, headline)
                    .expected("exactly one of `set` with `to`, `do`, `look`, `wait`")
                    .mend("Write one thing a step; make several steps of several things."),
            );
            return None;
        };
        for (_, keys) in COMPANIONS.iter().filter(|(other, _)| other != kind) {
            for key in keys.iter().filter(|key| !companions.contains(key) && row.get(key).is_some()) {
                let span = row.table.entry(key).map_or(row.span, |entry| entry.key_span);
                self.reader.report(
                    Diagnostic::error(
                        "step-shape",
                        span,
                        format!("`{key}` means nothing in a step that is a `{kind}`."),
                    )
                    .expected(format!("with `{kind}`: {}", companions.join(", ")))
                    .mend(format!("Remove `{key}`, or make it a step of its own.")),
                );
            }
        }
        self.step_of(kind, row)
    }

    fn step_of(&mut self, kind: &str, row: Fields<'a>) -> Option<StepKind> {
        match kind {
            "set" => {
                let hold = self.reader.quantity(row, "for", Dimension::Time);
                let var: VarId = self.link(row, "set", "controls")?;
                if row.get("to").is_none() {
                    self.reader.report(
                        Diagnostic::error(
                            "step-shape",
                            row.span,
                            "The step does not say to what position the control is set.",
                        )
                        .expected("`to` with one of its positions")
                        .mend("Add `to`, such as to = \"on\"."),
                    );
                }
                let to = self.value(row, "to", var)?;
                Some(StepKind::Set { var, to, hold })
            }
            "do" => {
                let action: Option<ActionId> = self.link(row, "do", "actions");
                let hold = self.reader.quantity(row, "for", Dimension::Time);
                let rest = self.reader.quantity(row, "rest", Dimension::Time);
                Some(StepKind::Do { action: action?, hold, rest })
            }
            "look" => {
                let look = self.reader.words(row, "look");
                let confirm = self.reader.fact(row, "confirm");
                let otherwise = self.reader.words(row, "otherwise");
                Some(StepKind::Look { look: look?, confirm, otherwise })
            }
            _ => {
                let until = self.reader.fact(row, "until");
                Some(StepKind::Wait { time: self.reader.quantity(row, "wait", Dimension::Time)?, until })
            }
        }
    }

    /// Says which rows of a section come after themselves by their `after` entries.
    pub(super) fn circles<I: Id + PartialEq, T>(
        &mut self,
        table: &Table<I, T>,
        row: impl Fn(&T) -> (&str, &Vec<I>),
        thing: impl Fn(I) -> Thing,
        one: &str,
        expected: &str,
    ) {
        for (id, this) in table.iter_ids() {
            let (name, after) = row(this);
            let mut seen: Vec<I> = Vec::new();
            let mut open = after.clone();
            while let Some(next) = open.pop() {
                if !seen.contains(&next) {
                    seen.push(next);
                    open.extend(table.get(next).map(|next| row(next).1.clone()).unwrap_or_default());
                }
            }
            if seen.contains(&id) {
                let span = self.spans.by_thing[&thing(id)];
                self.reader.report(
                    Diagnostic::error("cycle", span, format!("The {one} \"{name}\" comes after itself."))
                        .expected(expected)
                        .mend("Remove one of the `after` entries on the way round."),
                );
            }
        }
    }

    pub(super) fn nevers(&mut self) -> Table<NeverId, Never> {
        self.table("never", Thing::Never, |this, fields, row, _| Never {
            id: row.id.clone(),
            name: this.reader.needed_text(fields, "name"),
            when: this.reader.fact(fields, "when").unwrap_or(Expr::Const(false)),
            severity: SEVERITIES[this.reader.choice(fields, "severity").unwrap_or(0)],
            what: this.reader.needed_words(fields, "what"),
            seen: this.reader.words(fields, "seen"),
            caution: this.link(fields, "caution", "cautions"),
        })
    }
}
