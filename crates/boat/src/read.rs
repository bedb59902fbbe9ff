//! Reading the keys of a row as the kinds that the format says; what does not fit is reported.

use quantity::{Dimension, Money, Quantity};

use crate::day::{is_day, is_day_shaped};
use crate::diagnostic::{Diagnostic, nearest};
use crate::document::{Entry, Node, Table, Value, letters_start};
use crate::fact::{self, Fault};
use crate::format::{Key, Kind, quoted_list};
use crate::ids::is_id;
use crate::names::Symbols;
use crate::source::{Sources, Span};

/// What reading needs at hand and what it finds.
pub(crate) struct Reader<'a> {
    pub(crate) sources: &'a Sources,
    pub(crate) symbols: &'a Symbols,
    pub(crate) diagnostics: Vec<Diagnostic>,
    /// Prose read so far, whose placeholders are checked when all limits are known.
    pub(crate) words: Vec<(String, Span, Option<Span>)>,
    /// Where the boat file names the class that brought the row at hand.
    pub(crate) from: Option<Span>,
}

/// A table being read: its keys, and how to speak of it.
#[derive(Clone, Copy)]
pub(crate) struct Fields<'a> {
    pub(crate) table: &'a Table,
    pub(crate) keys: &'static [Key],
    pub(crate) span: Span,
}

impl<'a> Fields<'a> {
    /// The value of a key. The key must be in the format's table.
    pub(crate) fn get(&self, key: &str) -> Option<&'a Node> {
        debug_assert!(
            self.keys.iter().any(|known| known.name == key),
            "`{key}` is not in the format's table"
        );
        self.table.get(key)
    }

    /// The keys of an inner table or list of tables.
    pub(crate) fn shape(&self, key: &str) -> &'static [Key] {
        match self.keys.iter().find(|known| known.name == key).map(|known| known.kind) {
            Some(Kind::Row(keys) | Kind::Rows(keys)) => keys,
            _ => unreachable!("`{key}` is a table or a list of tables in the format's table"),
        }
    }
}

impl<'a> Reader<'a> {
    /// Reports something; what lies in a class also points at the item that brought it.
    pub(crate) fn report(&mut self, diagnostic: Diagnostic) {
        let diagnostic = match self.from {
            Some(from) if from.source != diagnostic.primary.span.source => {
                diagnostic.also(from, "brought in from the class library here")
            }
            _ => diagnostic,
        };
        self.diagnostics.push(diagnostic);
    }

    /// Checks a table's keys against the format: unknown ones and missing ones are reported.
    pub(crate) fn fields(
        &mut self,
        table: &'a Table,
        keys: &'static [Key],
        span: Span,
        what: &str,
    ) -> Fields<'a> {
        for entry in &table.entries {
            if !keys.iter().any(|key| key.name == entry.key) {
                let names: Vec<&str> = keys.iter().map(|key| key.name).collect();
                self.report(
                    Diagnostic::error(
                        "unknown-key",
                        entry.key_span,
                        format!("{} has no key \"{}\".", capital(what), entry.key),
                    )
                    .expected(names.join(", "))
                    .near(nearest(&entry.key, names))
                    .mend("Mend the key's name, or remove the line."),
                );
            }
        }
        for key in keys.iter().filter(|key| key.required && table.get(key.name).is_none()) {
            self.report(
                Diagnostic::error("missing-key", span, format!("{} has no `{}`.", capital(what), key.name))
                    .expected(key.kind.expected())
                    .mend(format!("Add `{} = ...`: {}", key.name, key.about)),
            );
        }
        Fields { table, keys, span }
    }

    /// The value's span without its quotes, where the text stands as it is.
    pub(crate) fn inner(&self, node: &Node, text: &str) -> Span {
        match letters_start(&self.sources.get(node.span.source).text, node.span, text) {
            Some(start) => Span::new(node.span.source, start, start + text.len()),
            None => node.span,
        }
    }

    pub(crate) fn wrong_kind(&mut self, node: &Node, key: &str, kind: Kind) {
        let mend = match (kind, &node.value) {
            (Kind::Rows(_), Value::Table(_)) => "Put square brackets around it: [{ ... }].".to_owned(),
            (Kind::Rows(_), _) => {
                format!("Write `{key} = [{{ ... }}]` with keys and values in the curly brackets.")
            }
            (Kind::Row(_), _) => {
                format!("Write `{key} = {{ ... }}` with keys and values in the curly brackets.")
            }
            _ => format!("Write `{key}` as {}.", kind.expected()),
        };
        self.report(
            Diagnostic::error("wrong-kind", node.span, format!("`{key}` is {}.", node.value.kind()))
                .expected(kind.expected())
                .mend(mend),
        );
    }

    /// An entry of a list is not what the entries are.
    fn wrong_entry(&mut self, node: &Node, key: &str, kind: Kind) {
        let mend = match kind {
            Kind::Rows(_) => "Write { ... } with keys and values in the curly brackets.".to_owned(),
            _ => format!("Write {}.", kind.entry()),
        };
        self.report(
            Diagnostic::error(
                "wrong-kind",
                node.span,
                format!("An entry of `{key}` is {}.", node.value.kind()),
            )
            .expected(kind.entry())
            .mend(mend),
        );
    }

    /// A text that says something.
    pub(crate) fn text(&mut self, fields: Fields<'a>, key: &str) -> Option<String> {
        self.text_node(fields.get(key)?, key, Kind::Text)
    }

    pub(crate) fn text_node(&mut self, node: &Node, key: &str, kind: Kind) -> Option<String> {
        match &node.value {
            Value::Text(text) if !text.trim().is_empty() => Some(text.clone()),
            Value::Text(_) => {
                self.report(
                    Diagnostic::error("empty-text", node.span, format!("`{key}` says nothing."))
                        .expected(kind.entry())
                        .mend("Write something between the quotes, or remove it."),
                );
                None
            }
            _ if kind.is_list() => {
                self.wrong_entry(node, key, kind);
                None
            }
            _ => {
                self.wrong_kind(node, key, kind);
                None
            }
        }
    }

    /// A text that must be there: its lack was reported with the keys, so any text will do until then.
    pub(crate) fn needed_text(&mut self, fields: Fields<'a>, key: &str) -> String {
        self.text(fields, key).unwrap_or_default()
    }

    /// Prose, remembered for the check of its placeholders.
    pub(crate) fn words(&mut self, fields: Fields<'a>, key: &str) -> Option<String> {
        let node = fields.get(key)?;
        self.words_node(node, key)
    }

    pub(crate) fn words_node(&mut self, node: &Node, key: &str) -> Option<String> {
        let text = self.text_node(node, key, Kind::Words)?;
        let span = self.inner(node, &text);
        self.words.push((text.clone(), span, self.from));
        Some(text)
    }

    pub(crate) fn needed_words(&mut self, fields: Fields<'a>, key: &str) -> String {
        self.words(fields, key).unwrap_or_default()
    }

    /// The nodes of a list; a single value in place of a list is reported.
    pub(crate) fn list(&mut self, fields: Fields<'a>, key: &str, kind: Kind) -> &'a [Node] {
        match fields.get(key) {
            None => &[],
            Some(Node { value: Value::List(list), .. }) => list,
            Some(Node { value: Value::Text(text), span })
                if !matches!(kind, Kind::Rows(_) | Kind::ValueNames) =>
            {
                self.report(
                    Diagnostic::error("wrong-kind", *span, format!("`{key}` is one text, not a list."))
                        .expected(kind.expected())
                        .mend(format!("Put it in brackets: [\"{text}\"].")),
                );
                &[]
            }
            Some(node) => {
                self.wrong_kind(node, key, kind);
                &[]
            }
        }
    }

    pub(crate) fn texts(&mut self, fields: Fields<'a>, key: &str) -> Vec<String> {
        let list = self.list(fields, key, Kind::Texts);
        list.iter().filter_map(|node| self.text_node(node, key, Kind::Texts)).collect()
    }

    pub(crate) fn bool(&mut self, fields: Fields<'a>, key: &str) -> bool {
        match fields.get(key) {
            None => false,
            Some(Node { value: Value::Bool(yes), .. }) => *yes,
            Some(node) => {
                self.wrong_kind(node, key, Kind::Bool);
                false
            }
        }
    }

    pub(crate) fn integer(&mut self, fields: Fields<'a>, key: &str) -> Option<u32> {
        let node = fields.get(key)?;
        let Some(kind @ Kind::Integer(least, most)) =
            fields.keys.iter().find(|known| known.name == key).map(|key| key.kind)
        else {
            unreachable!("`{key}` is a whole number in the format's table")
        };
        match node.value {
            Value::Integer(number) if (least..=most).contains(&number) => u32::try_from(number).ok(),
            Value::Integer(number) => {
                self.report(
                    Diagnostic::error("out-of-range", node.span, format!("`{key}` can't be {number}."))
                        .expected(kind.expected())
                        .mend(format!("Write {}.", kind.expected())),
                );
                None
            }
            _ => {
                self.wrong_kind(node, key, kind);
                None
            }
        }
    }

    /// A number, whole or not.
    pub(crate) fn number(&mut self, fields: Fields<'a>, key: &str) -> Option<f64> {
        let node = fields.get(key)?;
        let Some(kind @ Kind::Number(least, most)) =
            fields.keys.iter().find(|known| known.name == key).map(|key| key.kind)
        else {
            unreachable!("`{key}` is a number in the format's table")
        };
        #[allow(clippy::cast_precision_loss, reason = "far fewer than 2^53 of anything")]
        let number = match node.value {
            Value::Integer(number) => number as f64,
            Value::Float(number) => number,
            _ => {
                self.wrong_kind(node, key, kind);
                return None;
            }
        };
        if (f64::from(least)..=f64::from(most)).contains(&number) {
            return Some(number);
        }
        self.report(
            Diagnostic::error("out-of-range", node.span, format!("`{key}` can't be {number}."))
                .expected(kind.expected())
                .mend(format!("Write {}.", kind.expected())),
        );
        None
    }

    /// Some of the words that the format lists for the key, by their places in that list.
    pub(crate) fn choices(&mut self, fields: Fields<'a>, key: &str) -> Vec<usize> {
        let Some(kind @ Kind::Choices(words)) =
            fields.keys.iter().find(|known| known.name == key).map(|key| key.kind)
        else {
            unreachable!("`{key}` is a list of choices in the format's table")
        };
        let list = self.list(fields, key, kind);
        let mut found = Vec::new();
        for node in list {
            let Some(text) = self.text_node(node, key, kind) else { continue };
            match words.iter().position(|word| *word == text) {
                Some(at) if !found.contains(&at) => found.push(at),
                Some(_) => {}
                None => self.report(
                    Diagnostic::error(
                        "bad-choice",
                        self.inner(node, &text),
                        format!("`{key}` can't have \"{text}\"."),
                    )
                    .expected(quoted_list(words))
                    .near(nearest(&text, words.iter().copied()))
                    .mend("Use these words only."),
                ),
            }
        }
        found
    }

    /// One of the words that the format lists for the key, by its place in that list.
    pub(crate) fn choice(&mut self, fields: Fields<'a>, key: &str) -> Option<usize> {
        let node = fields.get(key)?;
        let Some(kind @ Kind::Choice(words)) =
            fields.keys.iter().find(|known| known.name == key).map(|key| key.kind)
        else {
            unreachable!("`{key}` is a choice in the format's table")
        };
        let text = self.text_node(node, key, kind)?;
        let found = words.iter().position(|word| *word == text);
        if found.is_none() {
            self.report(
                Diagnostic::error(
                    "bad-choice",
                    self.inner(node, &text),
                    format!("`{key}` can't be \"{text}\"."),
                )
                .expected(quoted_list(words))
                .near(nearest(&text, words.iter().copied()))
                .mend("Use one of these words."),
            );
        }
        found
    }

    /// A quantity of one dimension, never negative.
    pub(crate) fn quantity<T: TryFrom<Quantity>>(
        &mut self,
        fields: Fields<'a>,
        key: &str,
        wanted: Dimension,
    ) -> Option<T> {
        let node = fields.get(key)?;
        let quantity = self.quantity_node(node, key, Some(wanted), false)?;
        T::try_from(quantity).ok()
    }

    pub(crate) fn quantity_node(
        &mut self,
        node: &Node,
        key: &str,
        wanted: Option<Dimension>,
        signed: bool,
    ) -> Option<Quantity> {
        let kind = wanted.map_or(Kind::AnyQuantity, Kind::Quantity);
        self.quantity_of_kind(node, key, kind, wanted, signed)
    }

    /// A quantity, of the wanted dimension if one is given; `kind` says what is expected.
    pub(crate) fn quantity_of_kind(
        &mut self,
        node: &Node,
        key: &str,
        kind: Kind,
        wanted: Option<Dimension>,
        signed: bool,
    ) -> Option<Quantity> {
        let text = self.text_node(node, key, kind)?;
        let read = wanted.map_or_else(|| Quantity::parse(&text), |wanted| Quantity::parse_as(&text, wanted));
        let inner = self.inner(node, &text);
        match read {
            Ok(quantity)
                if signed
                    || quantity.dimension() == Dimension::Temperature
                    || !text.trim_start().starts_with(['-', '−']) =>
            {
                Some(quantity)
            }
            Ok(_) => {
                self.report(
                    Diagnostic::error("negative-quantity", inner, format!("`{key}` is less than nothing."))
                        .expected(kind.expected())
                        .mend("Write it without the minus sign."),
                );
                None
            }
            Err(error) => {
                let at = error.span();
                let span = if inner == node.span {
                    inner
                } else {
                    Span::new(inner.source, inner.start + at.start, inner.start + at.end)
                };
                let near = match error.kind() {
                    quantity::ErrorKind::UnknownUnit { nearest: Some(unit), .. } => {
                        Some(unit.symbol().to_owned())
                    }
                    _ => None,
                };
                let mend = match &near {
                    Some(unit) => format!("Use a known unit, such as {unit}."),
                    None => error.help().unwrap_or_else(|| format!("Write {}.", kind.expected())),
                };
                self.report(
                    Diagnostic::error("quantity", span, error.headline())
                        .expected(kind.expected())
                        .near(near)
                        .mend(mend),
                );
                None
            }
        }
    }

    /// A list of tables, each with its checked keys.
    pub(crate) fn rows(&mut self, fields: Fields<'a>, key: &str, what: &str) -> Vec<Fields<'a>> {
        let shape = fields.shape(key);
        let kind = Kind::Rows(shape);
        let list = self.list(fields, key, kind);
        let mut rows = Vec::new();
        for node in list {
            match &node.value {
                Value::Table(table) => rows.push(self.fields(table, shape, node.span, what)),
                _ => self.wrong_entry(node, key, kind),
            }
        }
        rows
    }

    /// One inner table with its checked keys.
    pub(crate) fn row(&mut self, fields: Fields<'a>, key: &str, what: &str) -> Option<Fields<'a>> {
        let node = fields.get(key)?;
        let shape = fields.shape(key);
        if let Value::Table(table) = &node.value {
            return Some(self.fields(table, shape, node.span, what));
        }
        self.wrong_kind(node, key, Kind::Row(shape));
        None
    }

    /// The entries of a table from names to values.
    pub(crate) fn entries(&mut self, fields: Fields<'a>, key: &str, kind: Kind) -> &'a [Entry] {
        match fields.get(key) {
            None => &[],
            Some(Node { value: Value::Table(table), .. }) => &table.entries,
            Some(node) => {
                self.wrong_kind(node, key, kind);
                &[]
            }
        }
    }

    /// A day, written with or without quotes.
    pub(crate) fn date(&mut self, fields: Fields<'a>, key: &str) -> Option<String> {
        let node = fields.get(key)?;
        let text = match &node.value {
            Value::Date(text) => text.clone(),
            _ => self.text_node(node, key, Kind::Date)?,
        };
        if is_day(&text) {
            return Some(text);
        }
        self.report(
            Diagnostic::error("bad-date", node.span, format!("\"{text}\" is not a day of the calendar."))
                .expected(Kind::Date.expected())
                .mend(if is_day_shaped(&text) {
                    "Look at the calendar: that month or day does not exist."
                } else {
                    "Write year, month and day with four, two and two figures, such as 2027-05-31."
                }),
        );
        None
    }

    pub(crate) fn money(&mut self, fields: Fields<'a>, key: &str) -> Option<Money> {
        let node = fields.get(key)?;
        let text = self.text_node(node, key, Kind::Money)?;
        match Money::parse(&text) {
            Ok(money) if money.minor_units() >= 0 => Some(money),
            read => {
                let (why, mend) = match read {
                    Ok(_) => {
                        ("A price can't be less than nothing.".to_owned(), "Write it without the minus sign.")
                    }
                    Err(error) => (
                        error.to_string(),
                        "Write the amount with a point before the decimals, a space, and the currency's three letters.",
                    ),
                };
                self.report(
                    Diagnostic::error("bad-money", self.inner(node, &text), why)
                        .expected(Kind::Money.expected())
                        .mend(mend),
                );
                None
            }
        }
    }

    /// A fact; absent stays absent.
    pub(crate) fn fact(&mut self, fields: Fields<'a>, key: &str) -> Option<crate::model::Expr> {
        let node = fields.get(key)?;
        let text = self.text_node(node, key, Kind::Fact)?;
        let mut faults = Vec::new();
        let symbols = self.symbols;
        let fact = fact::parse(&text, &mut faults).and_then(|tree| fact::check(&tree, symbols, &mut faults));
        self.faults(node, &text, faults);
        fact
    }

    /// A list of "x is value".
    pub(crate) fn assigns(&mut self, fields: Fields<'a>, key: &str) -> Vec<crate::model::Assign> {
        let list = self.list(fields, key, Kind::Assigns);
        let mut assigns: Vec<(crate::model::Assign, Span)> = Vec::new();
        for node in list {
            let Some(text) = self.text_node(node, key, Kind::Assigns) else { continue };
            let Some(assign) = self.assign_text(node, &text) else { continue };
            if let Some((_, first)) = assigns.iter().find(|(old, _)| old.var == assign.var) {
                let first = *first;
                self.report(
                    Diagnostic::error(
                        "set-twice",
                        node.span,
                        format!("\"{text}\" sets what the same list has set already."),
                    )
                    .also(first, "set here first")
                    .expected("each control or state once")
                    .mend("Remove one of the two."),
                );
                continue;
            }
            assigns.push((assign, node.span));
        }
        assigns.into_iter().map(|(assign, _)| assign).collect()
    }

    /// One "x is value"; absent stays absent.
    pub(crate) fn assign(&mut self, fields: Fields<'a>, key: &str) -> Option<crate::model::Assign> {
        let node = fields.get(key)?;
        let text = self.text_node(node, key, Kind::Assign)?;
        self.assign_text(node, &text)
    }

    fn assign_text(&mut self, node: &Node, text: &str) -> Option<crate::model::Assign> {
        let mut faults = Vec::new();
        let symbols = self.symbols;
        let assign = fact::parse_assign(text, &mut faults)
            .and_then(|(name, value)| fact::check_assign(&name, &value, symbols, &mut faults));
        self.faults(node, text, faults);
        assign.map(|(var, value)| crate::model::Assign { var, value })
    }

    fn faults(&mut self, node: &Node, text: &str, faults: Vec<Fault>) {
        let inner = self.inner(node, text);
        for fault in faults {
            let span = if inner == node.span {
                inner
            } else {
                Span::new(inner.source, inner.start + fault.at.start, inner.start + fault.at.end)
            };
            let mut diagnostic = Diagnostic::error(fault.code, span, fault.headline);
            if self.sources.words(inner) != text {
                diagnostic = diagnostic.label(format!("read as \"{text}\""));
            }
            diagnostic.expected = fault.expected;
            diagnostic.near = fault.near;
            diagnostic.mend = fault.mend;
            self.report(diagnostic);
        }
    }

    /// The place in its section of an entry named by id.
    pub(crate) fn reference(
        &mut self,
        fields: Fields<'a>,
        key: &str,
        section: &'static str,
    ) -> Option<usize> {
        let node = fields.get(key)?;
        self.reference_node(node, key, section)
    }

    pub(crate) fn references(&mut self, fields: Fields<'a>, key: &str, section: &'static str) -> Vec<usize> {
        let list = self.list(fields, key, Kind::Refs(section));
        list.iter().filter_map(|node| self.reference_node(node, key, section)).collect()
    }

    pub(crate) fn reference_node(&mut self, node: &Node, key: &str, section: &'static str) -> Option<usize> {
        let id = self.text_node(node, key, Kind::Ref(section))?;
        let found = self.symbols.position(section, &id);
        if found.is_none() {
            let elsewhere = self.symbols.section_of(&id);
            let mut diagnostic = Diagnostic::error(
                "unknown-name",
                self.inner(node, &id),
                format!("[{section}] has no entry \"{id}\"."),
            )
            .expected(Kind::Ref(section).expected())
            .near(nearest(&id, self.symbols.ids(section)));
            diagnostic = match elsewhere {
                Some(other) => diagnostic
                    .mend(format!("\"{id}\" is an entry of [{other}]; name one of [{section}] here.")),
                None if is_id(&id) => {
                    diagnostic.mend(format!("Mend the name, or add [{section}.{id}] to the file."))
                }
                None => {
                    diagnostic.mend(format!("Mend the name; it must be the id of an entry of [{section}]."))
                }
            };
            self.report(diagnostic);
        }
        found
    }
}

pub(crate) fn capital(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map_or_else(String::new, |first| first.to_uppercase().chain(letters).collect())
}
