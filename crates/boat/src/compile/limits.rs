//! Limits of items, controls and actions, and where they are said again.

use quantity::{Dimension, Quantity};

use super::Compiler;
use super::behaviour::SEVERITIES;
use crate::diagnostic::{Diagnostic, nearest};
use crate::document::Node;
use crate::fact::{Meaning, Names};
use crate::format::Kind;
use crate::model::{Breach, Limit, LimitKind, Operand, Restated, Thing};
use crate::read::Fields;

const LIMIT_KINDS: [LimitKind; 6] = [
    LimitKind::Longest,
    LimitKind::Rest,
    LimitKind::Hold,
    LimitKind::Least,
    LimitKind::Most,
    LimitKind::Clear,
];

impl<'a> Compiler<'a> {
    pub(super) fn limits(&mut self, fields: Fields<'a>, thing: impl Fn(usize) -> Thing) -> Vec<Limit> {
        let rows = self.reader.rows(fields, "limits", "a limit");
        let mut limits = Vec::new();
        for row in rows {
            let kind = self.reader.choice(row, "kind").map(|at| LIMIT_KINDS[at]);
            let of = self.measured(row);
            let bound = self.bound(row, kind, of.as_ref());
            let breach = self.reader.row(row, "breach", "what happens past the limit").map(|breach| Breach {
                severity: self.reader.choice(breach, "severity").map(|at| SEVERITIES[at]),
                what: self.reader.needed_words(breach, "what"),
                seen: self.reader.words(breach, "seen"),
            });
            let caution = self.link(row, "caution", "cautions");
            let source = self.reader.text(row, "source");
            let (Some(kind), Some(is)) = (kind, bound) else { continue };
            self.check_of(row, kind, of.is_some());
            self.spans.by_thing.insert(thing(limits.len()), row.span);
            limits.push(Limit { kind, is, of: of.map(|(operand, _)| operand), breach, caution, source });
        }
        limits
    }

    fn check_of(&mut self, row: Fields<'a>, kind: LimitKind, has_of: bool) {
        let needs_of = matches!(kind, LimitKind::Least | LimitKind::Most);
        if needs_of && row.get("of").is_none() {
            self.reader.report(
                Diagnostic::error(
                    "limit-of-nothing",
                    row.span,
                    "The limit does not say which reading it limits.",
                )
                .expected(Kind::Measured.expected())
                .mend("Add `of`, such as of = \"engine_rpm\"."),
            );
        } else if !needs_of && kind != LimitKind::Clear && has_of {
            self.reader.report(
                Diagnostic::error("limit-of-nothing", row.span, "A limit of time has no reading.")
                    .expected("`of` only for least, most and clear")
                    .mend("Remove `of`, or use the kind least or most."),
            );
        }
    }

    /// What `of` names: something with a quantity.
    fn measured(&mut self, row: Fields<'a>) -> Option<(Operand, Option<Dimension>)> {
        let node = row.get("of")?;
        let text = self.reader.text_node(node, "of", Kind::Measured)?;
        self.measured_name(node, &text, "of", Kind::Measured)
    }

    pub(super) fn measured_name(
        &mut self,
        node: &Node,
        text: &str,
        key: &str,
        kind: Kind,
    ) -> Option<(Operand, Option<Dimension>)> {
        match self.reader.symbols.meaning(text) {
            Some(Meaning::Reading(id, dimension)) => Some((Operand::Reading(id), dimension)),
            Some(Meaning::Var(id, Some(dimension))) => Some((Operand::Var(id), Some(dimension))),
            Some(_) => {
                self.reader.report(
                    Diagnostic::error(
                        "fact-type",
                        node.span,
                        format!("`{key}` names \"{text}\", which has no quantity."),
                    )
                    .expected(kind.expected())
                    .mend(format!("Give \"{text}\" a `reads` table, or name a reading.")),
                );
                None
            }
            None => {
                self.reader.report(
                    Diagnostic::error("unknown-name", node.span, format!("Nothing is called \"{text}\"."))
                        .expected(kind.expected())
                        .near(nearest(text, self.reader.symbols.all()))
                        .mend(format!("Mend the name, or add [readings.{text}] to the file.")),
                );
                None
            }
        }
    }

    /// A limit's bound, of the kind that the limit needs.
    fn bound(
        &mut self,
        row: Fields<'a>,
        kind: Option<LimitKind>,
        of: Option<&(Operand, Option<Dimension>)>,
    ) -> Option<Quantity> {
        let node = row.get("is")?;
        let signed = matches!(kind, Some(LimitKind::Least | LimitKind::Most));
        let found = self.reader.quantity_node(node, "is", None, signed)?;
        let wanted = match kind {
            Some(LimitKind::Longest | LimitKind::Rest | LimitKind::Hold) => Some(Dimension::Time),
            Some(LimitKind::Clear) => Some(Dimension::Length),
            Some(LimitKind::Least | LimitKind::Most) => of.and_then(|(_, dimension)| *dimension),
            None => None,
        };
        match (wanted, kind) {
            (Some(wanted), Some(kind)) if wanted != found.dimension() => {
                self.wrong_bound(row, found, wanted, kind.word());
                None
            }
            _ => Some(found),
        }
    }

    pub(super) fn restates(&mut self, fields: Fields<'a>, thing: impl Fn(usize) -> Thing) -> Vec<Restated> {
        let rows = self.reader.rows(fields, "restates", "a limit said again");
        let mut all = Vec::new();
        for row in rows {
            let kind = self.reader.choice(row, "kind").map(|at| LIMIT_KINDS[at]);
            let is = self.bound(row, kind, None);
            let item = self.link(row, "item", "items");
            let (Some(kind), Some(is), Some(item)) = (kind, is, item) else { continue };
            self.spans.by_thing.insert(thing(all.len()), row.span);
            all.push(Restated { item, kind, is });
        }
        all
    }
}
