//! Nested lists to a lifted model with all names resolved.

use std::collections::BTreeMap;

use super::PddlError;
use super::lex::{Item, Kind};

/// A domain and a problem together.
#[derive(Debug)]
pub(super) struct Model {
    pub(super) objects: Vec<String>,
    /// Number of arguments of each predicate.
    pub(super) predicates: Vec<usize>,
    pub(super) rules: Vec<Rule>,
    pub(super) actions: Vec<Action>,
    pub(super) initial: Vec<(usize, Vec<usize>)>,
    pub(super) goal: Expression,
    /// Whether costs count; else each step costs one.
    pub(super) costs: bool,
}

/// `(:derived (predicate parameters) body)`.
#[derive(Debug)]
pub(super) struct Rule {
    pub(super) predicate: usize,
    pub(super) parameters: Vec<Vec<usize>>,
    pub(super) body: Expression,
}

#[derive(Debug)]
pub(super) struct Action {
    pub(super) name: String,
    /// The objects that may stand for each parameter.
    pub(super) parameters: Vec<Vec<usize>>,
    pub(super) precondition: Expression,
    pub(super) effects: Vec<Change>,
    pub(super) cost: u32,
}

/// One effect: for all bindings of the parameters, when the condition holds, the atom becomes so.
#[derive(Debug, Clone)]
pub(super) struct Change {
    pub(super) parameters: Vec<Vec<usize>>,
    pub(super) condition: Expression,
    pub(super) atom: Atom,
    pub(super) becomes: bool,
}

#[derive(Debug, Clone)]
pub(super) struct Atom {
    pub(super) predicate: usize,
    pub(super) terms: Vec<Term>,
}

/// An object, or the value of a slot (parameters and quantified variables are numbered from the outside in).
#[derive(Debug, Clone, Copy)]
pub(super) enum Term {
    Object(usize),
    Slot(usize),
}

#[derive(Debug, Clone)]
pub(super) enum Expression {
    Atom(Atom),
    Equal(Term, Term),
    Not(Box<Expression>),
    And(Vec<Expression>),
    Or(Vec<Expression>),
    /// The slots of the variables come behind those there are.
    Exists(Vec<Vec<usize>>, Box<Expression>),
    Forall(Vec<Vec<usize>>, Box<Expression>),
}

/// Names with the type names given to them.
type Typed<'a> = Vec<(&'a Item, Vec<&'a Item>)>;

struct Reader {
    parents: BTreeMap<String, Vec<String>>,
    objects: BTreeMap<String, usize>,
    object_types: Vec<Vec<String>>,
    predicates: BTreeMap<String, usize>,
    arities: Vec<usize>,
}

pub(super) fn model(domain: &Item, problem: &Item) -> Result<Model, PddlError> {
    let (domain, problem) = (sections(domain)?, sections(problem)?);
    let mut reader = Reader {
        parents: BTreeMap::from([("object".to_owned(), Vec::new())]),
        objects: BTreeMap::new(),
        object_types: Vec::new(),
        predicates: BTreeMap::new(),
        arities: Vec::new(),
    };
    let mut names = Vec::new();
    for (_, items) in domain.iter().filter(|(section, _)| *section == ":types") {
        reader.types(items)?;
    }
    for (section, items) in domain.iter().chain(&problem) {
        if matches!(*section, ":constants" | ":objects") {
            reader.add_objects(items, &mut names)?;
        }
    }
    for (_, items) in domain.iter().filter(|(section, _)| *section == ":predicates") {
        reader.add_predicates(items)?;
    }
    let (mut rules, mut actions) = (Vec::new(), Vec::new());
    for (section, items) in &domain {
        match *section {
            ":derived" => rules.push(reader.rule(items)?),
            ":action" => actions.push(reader.action(items)?),
            _ => {}
        }
    }
    let (mut initial, mut goal, mut costs) = (Vec::new(), Expression::And(Vec::new()), false);
    for (section, items) in &problem {
        match (*section, *items) {
            (":init", items) => initial = reader.initial(items)?,
            (":goal", [item]) => goal = reader.expression(item, &mut Vec::new())?,
            (":metric", _) => costs = true,
            _ => {}
        }
    }
    Ok(Model { objects: names, predicates: reader.arities, rules, actions, initial, goal, costs })
}

/// Sections that are used or may be passed over.
const SECTIONS: &str = "domain problem :domain :requirements :types :constants :objects :predicates :functions \
                        :derived :action :init :goal :metric :length";

/// The sections behind `define`, each with its name.
fn sections(whole: &Item) -> Result<Vec<(&str, &[Item])>, PddlError> {
    let (head, rest) = whole.headed()?;
    if head != "define" {
        return Err(whole.place.error("The text should begin with \u{201c}(define\u{201d}."));
    }
    let mut found = Vec::new();
    for item in rest {
        let (section, items) = item.headed()?;
        if !SECTIONS.split(' ').any(|known| known == section) {
            return Err(item
                .place
                .error(format!("The section \u{201c}{section}\u{201d} is not understood.")));
        }
        found.push((section, items));
    }
    Ok(found)
}

/// `a b - type c - (either x y) d` as names with types; no type means `object`.
fn typed(items: &[Item]) -> Result<Typed<'_>, PddlError> {
    let mut found: Typed<'_> = Vec::new();
    let mut waiting = 0;
    let mut items = items.iter();
    while let Some(item) = items.next() {
        if item.word()? != "-" {
            found.push((item, Vec::new()));
            waiting += 1;
            continue;
        }
        let item = items.next().ok_or_else(|| item.place.error("A type is expected after the dash."))?;
        let types: Vec<&Item> = match &item.kind {
            Kind::Word(_) => vec![item],
            Kind::List(_) => match item.headed()? {
                ("either", types) => types.iter().collect(),
                _ => return Err(item.place.error("A type is a name or \u{201c}(either ...)\u{201d}.")),
            },
        };
        let from = found.len() - waiting;
        for (_, given) in &mut found[from..] {
            given.clone_from(&types);
        }
        waiting = 0;
    }
    Ok(found)
}

impl Reader {
    fn types(&mut self, items: &[Item]) -> Result<(), PddlError> {
        for (name, parents) in typed(items)? {
            let mut list = Vec::new();
            for parent in parents {
                list.push(parent.word()?.to_owned());
                self.parents.entry(parent.word()?.to_owned()).or_default();
            }
            self.parents.entry(name.word()?.to_owned()).or_default().extend(list);
        }
        Ok(())
    }

    fn add_objects(&mut self, items: &[Item], names: &mut Vec<String>) -> Result<(), PddlError> {
        for (name, types) in typed(items)? {
            let word = name.word()?;
            if self.objects.insert(word.to_owned(), names.len()).is_some() {
                return Err(name.place.error(format!("The object \u{201c}{word}\u{201d} is named twice.")));
            }
            names.push(word.to_owned());
            let mut list = Vec::new();
            for kind in types {
                list.push(self.known_type(kind)?.to_owned());
            }
            self.object_types.push(list);
        }
        Ok(())
    }

    fn known_type<'a>(&self, item: &'a Item) -> Result<&'a str, PddlError> {
        let word = item.word()?;
        if self.parents.contains_key(word) {
            Ok(word)
        } else {
            Err(item.place.error(format!("There is no type \u{201c}{word}\u{201d}.")))
        }
    }

    fn add_predicates(&mut self, items: &[Item]) -> Result<(), PddlError> {
        for item in items {
            let (name, parameters) = item.headed()?;
            if self.predicates.insert(name.to_owned(), self.arities.len()).is_some() {
                return Err(item
                    .place
                    .error(format!("The predicate \u{201c}{name}\u{201d} is declared twice.")));
            }
            self.arities.push(typed(parameters)?.len());
        }
        Ok(())
    }

    /// The objects of any of these types; all objects if none is given.
    fn of_types(&self, types: &[&Item]) -> Result<Vec<usize>, PddlError> {
        let mut wanted = Vec::new();
        for item in types {
            wanted.push(self.known_type(item)?);
        }
        let fits = |object: &usize| {
            wanted.is_empty()
                || wanted.contains(&"object")
                || self.object_types[*object].iter().any(|own| self.is_below(own, &wanted))
        };
        Ok((0..self.object_types.len()).filter(fits).collect())
    }

    fn is_below(&self, own: &str, wanted: &[&str]) -> bool {
        let (mut to_do, mut seen) = (vec![own], Vec::new());
        while let Some(name) = to_do.pop() {
            if wanted.contains(&name) {
                return true;
            }
            if !seen.contains(&name) {
                seen.push(name);
                to_do.extend(self.parents[name].iter().map(String::as_str));
            }
        }
        false
    }

    /// Parameters: their objects; their names go onto the scope.
    fn parameters<'a>(
        &self,
        items: &'a [Item],
        scope: &mut Vec<&'a str>,
    ) -> Result<Vec<Vec<usize>>, PddlError> {
        let mut found = Vec::new();
        for (name, types) in typed(items)? {
            scope.push(name.word()?);
            found.push(self.of_types(&types)?);
        }
        Ok(found)
    }

    fn rule(&self, items: &[Item]) -> Result<Rule, PddlError> {
        let [head, body] = items else {
            let message = "A derived predicate is a head and a body.";
            return Err(items.first().map_or_else(|| unplaced(message), |item| item.place.error(message)));
        };
        let (name, parameters) = head.headed()?;
        let predicate = self.predicate(head, name)?;
        let mut scope = Vec::new();
        let parameters = self.parameters(parameters, &mut scope)?;
        if parameters.len() != self.arities[predicate] {
            return Err(head.place.error(format!(
                "The predicate \u{201c}{name}\u{201d} takes {} arguments, not {}.",
                self.arities[predicate],
                parameters.len()
            )));
        }
        Ok(Rule { predicate, parameters, body: self.expression(body, &mut scope)? })
    }

    fn action(&self, items: &[Item]) -> Result<Action, PddlError> {
        let [name, rest @ ..] = items else { return Err(unplaced("An action needs a name.")) };
        let mut action = Action {
            name: name.word()?.to_owned(),
            parameters: Vec::new(),
            precondition: Expression::And(Vec::new()),
            effects: Vec::new(),
            cost: 0,
        };
        let mut scope = Vec::new();
        for pair in rest.chunks(2) {
            let [key, value] = pair else {
                return Err(pair[0].place.error("A value is expected after this."));
            };
            match key.word()? {
                ":parameters" => action.parameters = self.parameters(value.list()?, &mut scope)?,
                ":precondition" => action.precondition = self.expression(value, &mut scope)?,
                ":effect" => {
                    let always = Expression::And(Vec::new());
                    self.effect(value, &mut scope, (&[], &always), &mut action)?;
                }
                other => {
                    let message = format!("\u{201c}{other}\u{201d} is not understood in an action.");
                    return Err(key.place.error(message));
                }
            }
        }
        Ok(action)
    }

    /// Reads an effect that stands below some quantifiers and conditions.
    fn effect<'a>(
        &self,
        item: &'a Item,
        scope: &mut Vec<&'a str>,
        below: (&[Vec<usize>], &Expression),
        action: &mut Action,
    ) -> Result<(), PddlError> {
        let (parameters, condition) = below;
        if item.list()?.is_empty() {
            return Ok(());
        }
        let (head, rest) = item.headed()?;
        match (head, rest) {
            ("and", parts) => {
                for part in parts {
                    self.effect(part, scope, below, action)?;
                }
            }
            ("when", [when, then]) => {
                let when = self.expression(when, scope)?;
                let both = Expression::And(vec![condition.clone(), when]);
                self.effect(then, scope, (parameters, &both), action)?;
            }
            ("forall", [variables, then]) => {
                let depth = scope.len();
                let mut all = parameters.to_vec();
                all.extend(self.parameters(variables.list()?, scope)?);
                self.effect(then, scope, (&all, condition), action)?;
                scope.truncate(depth);
            }
            ("increase", [what, by]) => {
                let amount = by.word().ok().and_then(|word| word.parse::<f64>().ok());
                let whole = amount.filter(|amount| amount.fract().abs() < f64::EPSILON);
                let cost = whole.and_then(|amount| format!("{amount:.0}").parse::<u32>().ok());
                match (what.headed()?.0, cost) {
                    ("total-cost", Some(cost)) => action.cost += cost,
                    _ => {
                        return Err(item
                            .place
                            .error("Only (increase (total-cost) n) with a whole n is understood."));
                    }
                }
            }
            ("not", [inner]) => {
                let atom = self.atom(inner, scope)?;
                let (parameters, condition) = (parameters.to_vec(), condition.clone());
                action.effects.push(Change { parameters, condition, atom, becomes: false });
            }
            _ => {
                let atom = self.atom(item, scope)?;
                let (parameters, condition) = (parameters.to_vec(), condition.clone());
                action.effects.push(Change { parameters, condition, atom, becomes: true });
            }
        }
        Ok(())
    }

    fn expression<'a>(&self, item: &'a Item, scope: &mut Vec<&'a str>) -> Result<Expression, PddlError> {
        if item.list()?.is_empty() {
            return Ok(Expression::And(Vec::new()));
        }
        Ok(match item.headed()? {
            ("and", parts) => Expression::And(self.expressions(parts, scope)?),
            ("or", parts) => Expression::Or(self.expressions(parts, scope)?),
            ("not", [inner]) => Expression::Not(Box::new(self.expression(inner, scope)?)),
            ("imply", [from, to]) => Expression::Or(vec![
                Expression::Not(Box::new(self.expression(from, scope)?)),
                self.expression(to, scope)?,
            ]),
            ("=", [a, b]) => Expression::Equal(self.term(a, scope)?, self.term(b, scope)?),
            (head @ ("exists" | "forall"), [variables, body]) => {
                let depth = scope.len();
                let variables = self.parameters(variables.list()?, scope)?;
                let body = Box::new(self.expression(body, scope)?);
                scope.truncate(depth);
                if head == "exists" {
                    Expression::Exists(variables, body)
                } else {
                    Expression::Forall(variables, body)
                }
            }
            _ => Expression::Atom(self.atom(item, scope)?),
        })
    }

    fn expressions<'a>(
        &self,
        items: &'a [Item],
        scope: &mut Vec<&'a str>,
    ) -> Result<Vec<Expression>, PddlError> {
        items.iter().map(|item| self.expression(item, scope)).collect()
    }

    fn atom(&self, item: &Item, scope: &[&str]) -> Result<Atom, PddlError> {
        let (name, arguments) = item.headed()?;
        let predicate = self.predicate(item, name)?;
        if arguments.len() != self.arities[predicate] {
            return Err(item.place.error(format!(
                "The predicate \u{201c}{name}\u{201d} takes {} arguments, not {}.",
                self.arities[predicate],
                arguments.len()
            )));
        }
        let terms = arguments.iter().map(|argument| self.term(argument, scope)).collect::<Result<_, _>>()?;
        Ok(Atom { predicate, terms })
    }

    fn predicate(&self, item: &Item, name: &str) -> Result<usize, PddlError> {
        let known = self.predicates.get(name).copied();
        known.ok_or_else(|| item.place.error(format!("There is no predicate \u{201c}{name}\u{201d}.")))
    }

    fn term(&self, item: &Item, scope: &[&str]) -> Result<Term, PddlError> {
        let word = item.word()?;
        if word.starts_with('?') {
            let slot = scope.iter().rposition(|name| *name == word);
            slot.map(Term::Slot).ok_or_else(|| {
                item.place.error(format!("The variable \u{201c}{word}\u{201d} is not declared here."))
            })
        } else {
            let object = self.objects.get(word).copied();
            object
                .map(Term::Object)
                .ok_or_else(|| item.place.error(format!("There is no object \u{201c}{word}\u{201d}.")))
        }
    }

    fn initial(&self, items: &[Item]) -> Result<Vec<(usize, Vec<usize>)>, PddlError> {
        let mut found = Vec::new();
        for item in items {
            if item.headed()?.0 == "=" {
                continue;
            }
            let atom = self.atom(item, &[])?;
            let objects = atom.terms.iter().map(|term| match term {
                Term::Object(object) => *object,
                Term::Slot(_) => unreachable!("no variable is declared in the initial state"),
            });
            found.push((atom.predicate, objects.collect()));
        }
        Ok(found)
    }
}

/// An error about something so empty that it has no place of its own.
fn unplaced(message: &str) -> PddlError {
    PddlError { text: super::Text::Domain, line: 1, column: 1, message: message.to_owned() }
}
