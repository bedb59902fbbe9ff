//! Quantities of stores, sources and loads, and what is said where one is missing, out of range or out of place.

use quantity::{Dimension as D, Quantity, Ratio, Temperature};

use super::Compiler;
use crate::diagnostic::Diagnostic;
use crate::document::{Node, Value};
use crate::format::Kind;
use crate::read::Fields;
use crate::source::Span;

/// Nothing lost: the whole of it.
pub(super) const WHOLE: Ratio = Ratio::plain(1.0);

impl<'a> Compiler<'a> {
    /// A quantity of one of the dimensions that the format lists for the key.
    pub(super) fn one_of(&mut self, fields: Fields<'a>, key: &str) -> Option<Quantity> {
        let node = fields.get(key)?;
        let kind = kind_of(fields, key).unwrap_or(Kind::AnyQuantity);
        self.reader.quantity_of_kind(node, key, kind, None, false)
    }

    /// More than nothing, of the dimension that goes with `kind`; nothing if it is not there or wrong.
    pub(super) fn fitting<T: TryFrom<Quantity> + PartialOrd + Default>(
        &mut self,
        fields: Fields<'a>,
        key: &str,
        wanted: D,
        kind: &str,
    ) -> T {
        let Some(node) = fields.get(key) else { return T::default() };
        match self.reader.quantity_of_kind(node, key, Kind::Quantity(wanted), None, false) {
            Some(found) if found.dimension() != wanted => {
                self.wrong_dimension(fields, key, found, wanted, kind);
                T::default()
            }
            Some(_) => self.more_than_nothing(fields, key, wanted).unwrap_or_default(),
            None => T::default(),
        }
    }

    /// A part of a whole: more than nothing, at most all.
    pub(super) fn part(&mut self, fields: Fields<'a>, key: &str) -> Option<Ratio> {
        let part: Ratio = self.more_than_nothing(fields, key, D::Ratio)?;
        if part <= WHOLE {
            return Some(part);
        }
        let headline = format!("`{key}` is more than all of it.");
        self.out_of_range(fields, key, headline, "a part up to 100 %, such as \"60 %\"");
        None
    }

    pub(super) fn more_than_nothing<T: TryFrom<Quantity> + PartialOrd + Default>(
        &mut self,
        fields: Fields<'a>,
        key: &str,
        wanted: D,
    ) -> Option<T> {
        let node = fields.get(key)?;
        let found = T::try_from(self.reader.quantity_node(node, key, Some(wanted), false)?).ok()?;
        if found > T::default() {
            return Some(found);
        }
        let expected = format!("more than nothing, such as \"{}\"", wanted.example());
        self.out_of_range(fields, key, format!("`{key}` is nothing."), &expected);
        None
    }

    pub(super) fn needed_quantity<T: TryFrom<Quantity> + PartialOrd + Default>(
        &mut self,
        fields: Fields<'a>,
        key: &str,
        wanted: D,
        why: &str,
    ) -> Option<T> {
        self.needs(fields, key, why);
        self.more_than_nothing(fields, key, wanted)
    }

    pub(super) fn needed_temperature(
        &mut self,
        fields: Fields<'a>,
        key: &str,
        why: &str,
    ) -> Option<Temperature> {
        self.needs(fields, key, why);
        self.reader.quantity(fields, key, D::Temperature)
    }

    /// Says of a key that is not there why it is needed.
    pub(super) fn needs(&mut self, fields: Fields<'a>, key: &str, why: &str) {
        if fields.get(key).is_none() {
            self.lacks(fields, key, why);
        }
    }

    pub(super) fn lacks(&mut self, fields: Fields<'a>, key: &str, why: &str) {
        let expected = kind_of(fields, key).map_or_else(String::new, Kind::expected);
        self.reader.report(
            Diagnostic::error("missing-key", fields.span, format!("`{key}` is missing: {why}."))
                .expected(expected)
                .mend(format!("Add a line `{key} = ...` to this entry.")),
        );
    }

    /// Says of keys that they have no meaning beside the `kind` or `runs` of the entry.
    pub(super) fn only_for(&mut self, fields: Fields<'a>, keys: &[&str], whom: &str, beside: &str) {
        let stands = match fields.get(beside) {
            Some(Node { value: Value::Text(text), .. }) => text.clone(),
            _ => "electric".to_owned(),
        };
        for entry in keys.iter().filter_map(|key| fields.table.entry(key)) {
            self.reader.report(
                Diagnostic::error("not-here", entry.key_span, format!("`{}` is only for {whom}.", entry.key))
                    .expected(format!("keys that go with `{beside} = \"{stands}\"`"))
                    .mend(format!("Remove the line, or change `{beside}`.")),
            );
        }
    }

    pub(super) fn out_of_range(&mut self, fields: Fields<'a>, key: &str, headline: String, expected: &str) {
        let span = self.text_span(fields, key);
        self.reader.report(
            Diagnostic::error("out-of-range", span, headline)
                .expected(expected)
                .mend(format!("Write {expected}.")),
        );
    }

    pub(super) fn wrong_dimension(
        &mut self,
        fields: Fields<'a>,
        key: &str,
        found: Quantity,
        wanted: D,
        kind: &str,
    ) {
        let span = self.text_span(fields, key);
        let is = found.dimension().with_article();
        let wants = wanted.with_article();
        self.reader.report(
            Diagnostic::error(
                "quantity",
                span,
                format!("{found} is {is}, which does not go with the kind \"{kind}\"."),
            )
            .expected(format!("{wants}, such as \"{}\"", wanted.example()))
            .mend(format!("Write {wants}, or change `kind`.")),
        );
    }

    fn text_span(&self, fields: Fields<'a>, key: &str) -> Span {
        match fields.get(key) {
            Some(node @ Node { value: Value::Text(text), .. }) => self.reader.inner(node, text),
            Some(node) => node.span,
            None => fields.span,
        }
    }
}

/// What the format's table says may stand for a key.
fn kind_of(fields: Fields<'_>, key: &str) -> Option<Kind> {
    fields.keys.iter().find(|known| known.name == key).map(|known| known.kind)
}
