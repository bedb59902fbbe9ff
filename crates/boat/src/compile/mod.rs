//! From text to a typed boat: all that is wrong is reported at once, and a boat comes out only if nothing is.

mod amounts;
mod behaviour;
mod faults;
mod limits;
mod loads;
mod order;
mod parts;
mod steps;
mod stores;
mod words;

use quantity::Quantity;

use crate::assemble::{self, Assembled, Row};
use crate::diagnostic::{Diagnostic, Severity};
use crate::document::{self, Node, Value};
use crate::format::section;
use crate::model::{Boat, Id, Spans, Table, Thing};
use crate::names::Symbols;
use crate::read::{Fields, Reader};
use crate::source::{Source, SourceId, Sources, Span};
use crate::syntax;

/// A compiled boat file: the boat, if it is well formed, and all there is to say about the file.
#[derive(Debug, Clone)]
pub struct Compiled {
    /// The boat; `None` if there is an error.
    pub boat: Option<Boat>,
    /// What is wrong, in the order of the file.
    pub diagnostics: Vec<Diagnostic>,
    /// The texts that the diagnostics point at.
    pub sources: Sources,
}

impl Compiled {
    /// Whether there is an error.
    pub fn has_errors(&self) -> bool {
        self.diagnostics.iter().any(|diagnostic| diagnostic.severity == Severity::Error)
    }
}

/// Compiles a boat file: `name` is how people know the file, `text` what it says.
///
/// ```
/// let compiled = boat::compile("wader.toml", "becket = 1\n[boat]\nname = \"Wader\"\n");
/// assert!(compiled.boat.is_none());
/// assert!(compiled.diagnostics.iter().all(|d| d.code == "missing-key"));
/// ```
pub fn compile(name: &str, text: &str) -> Compiled {
    let mut sources = Sources::default();
    sources.add(Source::new(name, text));
    let mut diagnostics = Vec::new();
    let file = document::parse(text, SourceId::BOAT, &mut diagnostics);
    let all = assemble::assemble(file, &mut sources, &mut diagnostics);
    let symbols = Symbols::collect(&all, &mut diagnostics);
    let reader = Reader { sources: &sources, symbols: &symbols, diagnostics, words: Vec::new(), from: None };
    let mut compiler = Compiler { reader, all: &all, spans: Spans::default() };
    let boat = compiler.boat();
    let mut diagnostics = compiler.reader.diagnostics;
    // What lies in a class is told where the boat file brings it in; the rest in the order of the file.
    diagnostics.sort_by_key(|diagnostic| (diagnostic.primary.span.source, diagnostic.primary.span.start));
    diagnostics.dedup();
    let diagnostics = syntax::without_consequences(text, without_incomplete_classes(diagnostics));
    let errors = diagnostics.iter().any(|diagnostic| diagnostic.severity == Severity::Error);
    let boat = (!errors).then(|| Boat { sources: sources.clone(), ..boat });
    Compiled { boat, diagnostics, sources }
}

/// Takes out what is wrong in a class only because the boat file does not give a parameter of it.
fn without_incomplete_classes(mut diagnostics: Vec<Diagnostic>) -> Vec<Diagnostic> {
    let incomplete: Vec<Span> = diagnostics
        .iter()
        .filter(|found| found.code == "class-parameter")
        .map(|found| found.primary.span)
        .collect();
    diagnostics.retain(|found| {
        found.primary.span.source == SourceId::BOAT
            || !found.secondary.iter().any(|label| incomplete.contains(&label.span))
    });
    diagnostics
}

/// The state of a compilation: what is read, and where it stood.
struct Compiler<'a> {
    reader: Reader<'a>,
    all: &'a Assembled,
    spans: Spans,
}

impl<'a> Compiler<'a> {
    /// The boat as far as it can be read; what can't be read is reported, and the boat then thrown away.
    fn boat(&mut self) -> Boat {
        let particulars = self.particulars();
        let places = self.places();
        let items = self.items();
        let vars = self.vars();
        let conditions = self.conditions();
        let readings = self.readings();
        let actions = self.actions();
        let procedures = self.procedures();
        let nevers = self.nevers();
        let cautions = self.cautions();
        let kit = self.kit();
        let upkeep = self.upkeep();
        let topics = self.topics();
        let stores = self.stores();
        let feeds = self.feeds(&stores);
        let loads = self.loads(&stores);
        let modes = self.modes();
        let tackle = self.tackle();
        let faults = self.faults(&conditions, &procedures);
        let order = self.order(&conditions, &readings);
        let boat = Boat {
            particulars,
            places,
            items,
            vars,
            conditions,
            readings,
            actions,
            procedures,
            nevers,
            cautions,
            kit,
            upkeep,
            topics,
            stores,
            feeds,
            loads,
            modes,
            tackle,
            faults,
            order,
            spans: std::mem::take(&mut self.spans),
            sources: Sources::default(),
        };
        self.check_words(&boat);
        boat
    }

    /// Reads every row of a section. What can't be read of a row is reported, so that no boat comes out, and
    /// something else stands in for it meanwhile, so that the ids of other rows stay what they are.
    fn table<I: Id, T>(
        &mut self,
        name: &'static str,
        thing: impl Fn(I) -> Thing,
        mut read: impl FnMut(&mut Self, Fields<'a>, &'a Row, I) -> T,
    ) -> Table<I, T> {
        let mut table = Table::default();
        for (at, row) in self.all.section(name).iter().enumerate() {
            let id = I::at(at);
            let fields = self.open(name, row);
            self.spans.by_thing.insert(thing(id), row.id_span);
            let value = read(self, fields, row, id);
            table.push(value);
        }
        self.reader.from = None;
        table
    }

    /// Checks a row's keys and makes ready to read it.
    fn open(&mut self, name: &'static str, row: &'a Row) -> Fields<'a> {
        let section = section(name).expect("sections are named as in the format's table");
        self.reader.from = row.from;
        let one = section.one.split_once(' ').map_or(section.one, |(_, one)| one);
        let what = format!("the {one} \"{}\"", row.id);
        self.reader.fields(&row.table, section.keys, row.id_span, &what)
    }

    /// The id that a key names in another section.
    fn link<I: Id>(&mut self, fields: Fields<'a>, key: &str, section: &'static str) -> Option<I> {
        self.reader.reference(fields, key, section).map(I::at)
    }

    /// The ids that a key names in another section.
    fn links<I: Id>(&mut self, fields: Fields<'a>, key: &str, section: &'static str) -> Vec<I> {
        self.reader.references(fields, key, section).into_iter().map(I::at).collect()
    }

    /// Says that a bound of a limit is of the wrong kind.
    fn wrong_bound(&mut self, fields: Fields<'a>, found: Quantity, wanted: quantity::Dimension, kind: &str) {
        let span = match fields.get("is") {
            Some(node @ Node { value: Value::Text(text), .. }) => self.reader.inner(node, text),
            _ => fields.span,
        };
        self.reader.report(
            Diagnostic::error(
                "quantity",
                span,
                format!(
                    "{found} is {}; the limit \"{kind}\" is {}.",
                    found.dimension().with_article(),
                    wanted.with_article()
                ),
            )
            .expected(format!("{}, such as {}", wanted.with_article(), wanted.example()))
            .mend(format!("Write {}, such as {}.", wanted.with_article(), wanted.example())),
        );
    }
}
