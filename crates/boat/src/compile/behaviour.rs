//! Controls, states, conditions, readings, actions, never-states, with their harms and limits.

use quantity::{Dimension, Quantity, Time};

use super::Compiler;
use crate::assemble::Row;
use crate::diagnostic::{Diagnostic, nearest};
use crate::document::{Node, Value as Written};
use crate::fact::ValueNames;
use crate::format::{Kind, quoted_list};
use crate::model::{
    Action, ActionId, Case, CaseValue, Condition, ConditionId, Control, Expr, Harm, Id, ItemId, Move,
    Operand, Reading, ReadingId, Severity, State, Table, Thing, Turn, Value, Var, VarId, VarKind, Who,
};
use crate::read::Fields;

pub(super) const SEVERITIES: [Severity; 2] = [Severity::Damage, Severity::Injury];
pub(super) const WHO: [Who; 3] = [Who::Crew, Who::Skipper, Who::Base];

impl<'a> Compiler<'a> {
    /// Controls, then states: one table, so that facts speak of both alike.
    pub(super) fn vars(&mut self) -> Table<VarId, Var> {
        let mut vars = Table::default();
        for name in ["controls", "states"] {
            for row in self.all.section(name) {
                let id = VarId::at(vars.len());
                let fields = self.open(name, row);
                self.spans.by_thing.insert(Thing::Var(id), row.id_span);
                let var = if name == "controls" {
                    self.control(fields, row, id)
                } else {
                    self.state(fields, row, id)
                };
                vars.push(var);
            }
        }
        self.reader.from = None;
        vars
    }

    fn control(&mut self, fields: Fields<'a>, row: &Row, id: VarId) -> Var {
        let named: Option<ItemId> = self.link(fields, "item", "items");
        let item = named.or_else(|| self.reader.symbols.position("items", &row.id).map(ItemId::at));
        let name = self.reader.text(fields, "name").unwrap_or_else(|| self.item_name(item, &row.id));
        let control = Control {
            item,
            place: self.link(fields, "place", "places"),
            moves: self.moves(fields, id),
            harms: self.harms(fields, Some(id), |at| Thing::VarHarm(id, at)),
            limits: self.limits(fields, |at| Thing::VarLimit(id, at)),
        };
        self.var(fields, id, row, name, ("control", "positions"), VarKind::Control(control))
    }

    fn item_name(&self, item: Option<ItemId>, id: &str) -> String {
        let row = item.and_then(|item| self.all.section("items").get(item.index()));
        match row.and_then(|row| row.table.get("name")) {
            Some(Node { value: Written::Text(name), .. }) => name.clone(),
            _ => crate::read::capital(&id.replace('_', " ")),
        }
    }

    fn state(&mut self, fields: Fields<'a>, row: &Row, id: VarId) -> Var {
        let name = self.reader.needed_text(fields, "name");
        let state = State {
            given: self.reader.bool(fields, "given"),
            item: self.link(fields, "item", "items"),
            turns: self.turns(fields, id),
        };
        self.var(fields, id, row, name, ("state", "values"), VarKind::State(state))
    }

    /// What controls and states have alike; `what` it is, and the key of its values.
    fn var(
        &mut self,
        fields: Fields<'a>,
        id: VarId,
        row: &Row,
        name: String,
        (what, key): (&str, &str),
        kind: VarKind,
    ) -> Var {
        self.check_values(fields, key);
        let values = self.reader.symbols.values(id).to_vec();
        let plain = |value: &String| value.replace('_', " ");
        let labels = self.by_value(fields, "labels", id, Kind::WordsByValue, |this, node| {
            this.reader.words_node(node, "labels")
        });
        let labels =
            values.iter().zip(labels).map(|(value, label)| label.unwrap_or_else(|| plain(value))).collect();
        let tell = self.by_value(fields, "tell", id, Kind::WordsByValue, |this, node| {
            this.reader.words_node(node, "tell")
        });
        Var {
            id: row.id.clone(),
            name,
            labels,
            rest: self.rest(fields, row, id, what),
            reads: self.reads(fields, id),
            tell,
            kind,
            source: self.reader.text(fields, "source"),
            values,
        }
    }

    /// At least two value names, each a word, none twice.
    fn check_values(&mut self, fields: Fields<'a>, key: &str) {
        let list = self.reader.list(fields, key, Kind::ValueNames);
        let mut seen: Vec<&str> = Vec::new();
        for node in list {
            let Some(text) = self.reader.text_node(node, key, Kind::ValueNames) else { continue };
            let good = text.chars().all(|c| c.is_ascii_lowercase() || c.is_ascii_digit() || c == '_')
                && !matches!(text.as_str(), "and" | "or" | "not" | "is" | "one" | "of" | "always" | "never");
            let Written::Text(written) = &node.value else { continue };
            if !good {
                self.reader.report(
                    Diagnostic::error(
                        "bad-id",
                        node.span,
                        format!("\"{text}\" can't name a position or value."),
                    )
                    .expected("small letters, figures and _, such as on, shut or port_tank")
                    .mend("Write a plain name here and the words for people in `labels`."),
                );
            } else if seen.contains(&written.as_str()) {
                self.reader.report(
                    Diagnostic::error(
                        "value-twice",
                        node.span,
                        format!("\"{text}\" stands in the list twice."),
                    )
                    .expected("each position or value once")
                    .mend("Remove one of the two."),
                );
            }
            seen.push(written);
        }
        let listed = fields.get(key).filter(|node| matches!(node.value, Written::List(_)));
        if let Some(node) = listed.filter(|_| list.len() < 2 || list.len() > 255) {
            let names = match list.len() {
                0 => "no names".to_owned(),
                1 => "only one name".to_owned(),
                many => format!("{many} names"),
            };
            self.reader.report(
                Diagnostic::error("out-of-range", node.span, format!("`{key}` has {names}."))
                    .expected("from 2 to 255 names")
                    .mend("List every position or value that it can have."),
            );
        }
    }

    fn rest(&mut self, fields: Fields<'a>, row: &Row, id: VarId, what: &str) -> Value {
        if fields.get("rest").is_none() {
            let code = if what == "control" { "control-without-rest" } else { "state-without-rest" };
            let values = match self.reader.symbols.values(id) {
                [] => "... with one of its positions or values".to_owned(),
                values => quoted_list(values),
            };
            self.reader.report(
                Diagnostic::error(code, row.id_span, format!("The {what} \"{}\" has no rest.", row.id))
                    .expected(format!("rest = {values}"))
                    .mend("Add `rest`: how the boat is to be left."),
            );
            return Value(0);
        }
        self.value(fields, "rest", id).unwrap_or(Value(0))
    }

    /// The value of a control or state that a key names.
    pub(super) fn value(&mut self, fields: Fields<'a>, key: &str, id: VarId) -> Option<Value> {
        let node = fields.get(key)?;
        let text = self.reader.text_node(node, key, Kind::ValueName)?;
        self.value_named(node, &text, id)
    }

    fn value_named(&mut self, node: &Node, text: &str, id: VarId) -> Option<Value> {
        let values = self.reader.symbols.values(id);
        let found = values.iter().position(|value| value == text);
        // A control whose positions can't be read is told of where it stands; then no position of it is known.
        if found.is_none() && !values.is_empty() {
            let at = self.reader.inner(node, text);
            self.reader.report(
                Diagnostic::error(
                    "unknown-value",
                    at,
                    format!("\"{text}\" is not one of its positions or values."),
                )
                .expected(quoted_list(values))
                .near(nearest(text, values.iter().map(String::as_str)))
                .mend("Use one of its positions or values."),
            );
        }
        found.and_then(|at| u8::try_from(at).ok()).map(Value)
    }

    /// A table from value names to something, laid out beside the values.
    fn by_value<T: Clone>(
        &mut self,
        fields: Fields<'a>,
        key: &str,
        id: VarId,
        kind: Kind,
        mut read: impl FnMut(&mut Self, &'a Node) -> Option<T>,
    ) -> Vec<Option<T>> {
        let entries = self.reader.entries(fields, key, kind);
        let mut found = vec![None; self.reader.symbols.values(id).len()];
        for entry in entries {
            let node = Node { value: entry.node.value.clone(), span: entry.key_span };
            let value = self.value_named(&node, &entry.key, id);
            let read = read(self, &entry.node);
            if let (Some(value), Some(read)) = (value, read) {
                found[usize::from(value.0)] = Some(read);
            }
        }
        found
    }

    fn reads(&mut self, fields: Fields<'a>, id: VarId) -> Option<Vec<Quantity>> {
        let node = fields.get("reads")?;
        let entries = self.reader.entries(fields, "reads", Kind::QuantityByValue);
        let wanted = self.reader.symbols.dimension(id);
        let reads = self.by_value(fields, "reads", id, Kind::QuantityByValue, |this, node| {
            this.reader.quantity_node(node, "reads", wanted, true)
        });
        let values = self.reader.symbols.values(id);
        let missing: Vec<&String> =
            values.iter().filter(|value| entries.iter().all(|entry| entry.key != **value)).collect();
        if !missing.is_empty() && matches!(node.value, Written::Table(_)) {
            self.reader.report(
                Diagnostic::error(
                    "reads-incomplete",
                    node.span,
                    format!("`reads` has no quantity for {}.", quoted_list(&missing)),
                )
                .expected(Kind::QuantityByValue.expected())
                .mend("Give every position a quantity of the same kind."),
            );
        }
        reads.into_iter().collect()
    }

    fn moves(&mut self, fields: Fields<'a>, id: VarId) -> Vec<Move> {
        let rows = self.reader.rows(fields, "moves", "a move");
        let mut moves: Vec<Move> = Vec::new();
        for row in rows {
            let to = self.value(row, "to", id);
            let needs = self.reader.fact(row, "needs").unwrap_or(Expr::Const(true));
            let fails = self.reader.words(row, "fails");
            let takes = self.reader.quantity(row, "takes", Dimension::Time);
            let Some(to) = to else { continue };
            if moves.iter().any(|other| other.to == to) {
                self.reader.report(
                    Diagnostic::error("value-twice", row.span, "There are two moves to this position.")
                        .expected("one move for each position")
                        .mend("Join what they need with `and` or `or`."),
                );
            }
            moves.push(Move { to, needs, fails, takes });
        }
        moves
    }

    fn turns(&mut self, fields: Fields<'a>, id: VarId) -> Vec<Turn> {
        let rows = self.reader.rows(fields, "turns", "a turn");
        rows.into_iter()
            .filter_map(|row| {
                let to = self.value(row, "to", id);
                let when = self.reader.fact(row, "when");
                let after = self.reader.quantity(row, "after", Dimension::Time);
                let seen = self.reader.words(row, "seen");
                Some(Turn { to: to?, when: when?, after, seen })
            })
            .collect()
    }

    /// The harms of a control (`var`) or an action.
    fn harms(&mut self, fields: Fields<'a>, var: Option<VarId>, thing: impl Fn(usize) -> Thing) -> Vec<Harm> {
        let rows = self.reader.rows(fields, "harms", "a harm");
        let mut harms = Vec::new();
        for row in rows {
            let harm = Harm {
                to: var.and_then(|id| self.value(row, "to", id)),
                when: self.reader.fact(row, "when").unwrap_or(Expr::Const(false)),
                severity: SEVERITIES[self.reader.choice(row, "severity").unwrap_or(0)],
                what: self.reader.needed_words(row, "what"),
                seen: self.reader.words(row, "seen"),
                caution: self.link(row, "caution", "cautions"),
            };
            // A class's harm that this boat's parameters rule out is no harm of hers, nor is its caution.
            if self.reader.from.is_some() && harm.when.is_never() {
                continue;
            }
            self.spans.by_thing.insert(thing(harms.len()), row.span);
            harms.push(harm);
        }
        harms
    }

    pub(super) fn conditions(&mut self) -> Table<ConditionId, Condition> {
        self.table("conditions", Thing::Condition, |this, fields, row, _| Condition {
            id: row.id.clone(),
            name: this.reader.needed_words(fields, "name"),
            when: this.reader.fact(fields, "when").unwrap_or(Expr::Const(false)),
            items: this.links(fields, "items", "items"),
            symptom: this.reader.words(fields, "symptom"),
            look: this.reader.words(fields, "look"),
            source: this.reader.text(fields, "source"),
        })
    }

    pub(super) fn readings(&mut self) -> Table<ReadingId, Reading> {
        self.table("readings", Thing::Reading, |this, fields, row, _| {
            let name = this.reader.needed_text(fields, "name");
            let otherwise = fields
                .get("otherwise")
                .and_then(|node| this.reader.quantity_node(node, "otherwise", None, true));
            let wanted = otherwise.map(Quantity::dimension);
            let rows = this.reader.rows(fields, "cases", "a case");
            let cases = rows
                .into_iter()
                .filter_map(|row| {
                    let when = this.reader.fact(row, "when");
                    let reads = this.case_value(row, wanted);
                    Some(Case { when: when?, reads: reads? })
                })
                .collect();
            let otherwise = otherwise.unwrap_or(Time::seconds(0.0).into());
            Reading { id: row.id.clone(), name, cases, otherwise }
        })
    }

    fn case_value(&mut self, row: Fields<'a>, wanted: Option<Dimension>) -> Option<CaseValue> {
        let node = row.get("reads")?;
        let text = self.reader.text_node(node, "reads", Kind::QuantityOrMeasured)?;
        if !crate::ids::is_id(&text) {
            return self.reader.quantity_node(node, "reads", wanted, true).map(CaseValue::Fixed);
        }
        let (operand, found) = self.measured_name(node, &text, "reads", Kind::QuantityOrMeasured)?;
        let Operand::Var(var) = operand else {
            self.reader.report(
                Diagnostic::error("fact-type", node.span, format!("\"{text}\" is a reading itself."))
                    .expected("a quantity, or a control or state with `reads`")
                    .mend("Write its cases here."),
            );
            return None;
        };
        if let (Some(found), Some(wanted), true) = (found, wanted, found != wanted) {
            self.reader.report(
                Diagnostic::error(
                    "fact-type",
                    node.span,
                    format!(
                        "\"{text}\" reads {}, but the reading is {}.",
                        found.with_article(),
                        wanted.with_article()
                    ),
                )
                .expected(format!("{}, such as {}", wanted.with_article(), wanted.example()))
                .mend("Name something of the same kind as `otherwise`."),
            );
            return None;
        }
        Some(CaseValue::Of(var))
    }

    pub(super) fn actions(&mut self) -> Table<ActionId, Action> {
        self.table("actions", Thing::Action, |this, fields, row, id| Action {
            id: row.id.clone(),
            name: this.reader.needed_text(fields, "name"),
            item: this.link(fields, "item", "items"),
            place: this.link(fields, "place", "places"),
            needs: this.reader.fact(fields, "needs").unwrap_or(Expr::Const(true)),
            fails: this.reader.words(fields, "fails"),
            makes: this.reader.assigns(fields, "makes"),
            harms: this.harms(fields, None, |at| Thing::ActionHarm(id, at)),
            limits: this.limits(fields, |at| Thing::ActionLimit(id, at)),
            takes: this.reader.quantity(fields, "takes", Dimension::Time),
            tell: this.reader.words(fields, "tell"),
            who: this.who(fields),
            source: this.reader.text(fields, "source"),
        })
    }

    pub(super) fn who(&mut self, fields: Fields<'a>) -> Who {
        WHO[self.reader.choice(fields, "who").unwrap_or(0)]
    }
}
