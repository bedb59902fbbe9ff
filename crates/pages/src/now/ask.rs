//! What is asked, read from the parts of an address, and written back as the shortest address that asks the same.

use boat::model::{Assign, Boat, Expr, ProcedureId, Value, VarId, Who};
use operate::{Model, Stand, run};

/// A thing that can be wanted.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Want {
    /// What a step list brings about.
    List(ProcedureId),
    /// A named fact.
    Fact(boat::model::ConditionId),
    /// A control or state with a value.
    Is(Assign),
}

/// How the boat stands, what is wanted, and who does it.
#[derive(Debug, Clone, PartialEq)]
pub struct NowAsk {
    /// The list after which she stands so; `None`: at rest.
    pub(crate) after: Option<ProcedureId>,
    /// How she stands before anything was set by hand in the form.
    pub(crate) base: Stand,
    /// How she stands.
    pub(crate) stand: Stand,
    /// What is wanted, all of it.
    pub(crate) wants: Vec<Want>,
    /// Who does it.
    pub(crate) who: Who,
}

impl NowAsk {
    /// Reads what is asked from the names and values of an address; the error says what to mend, in a sentence.
    ///
    /// `after` names a list, `is.<control>` gives a control or state a value, `want` and `and` name what is wanted,
    /// `who` is crew, skipper or base. `from` names the list for which the form was drawn: values that are as they
    /// were there were not chosen.
    pub fn read(model: &Model<'_>, pairs: &[(String, String)]) -> Result<Self, String> {
        let boat = model.boat();
        let find = |key: &str| {
            pairs
                .iter()
                .find(|(name, value)| name == key && !value.is_empty())
                .map(|(_, value)| value.as_str())
        };
        let list = |key: &str| find(key).map(|id| procedure(boat, id)).transpose();
        let after = list("after")?;
        let drawn_for = if pairs.iter().any(|(name, _)| name == "from") { list("from")? } else { after };
        let base = stand_after(model, after);
        let drawn = if drawn_for == after { base.clone() } else { stand_after(model, drawn_for) };
        let mut stand = base.clone();
        for (name, value) in pairs {
            let Some(id) = name.strip_prefix("is.") else { continue };
            let var = boat
                .var(id)
                .ok_or_else(|| format!("This boat has no control or state \u{201c}{id}\u{201d}."))?;
            let value = value_of(boat, var, value)?;
            if value != drawn.get(var) {
                stand = stand.with(var, value);
            }
        }
        let wants = ["want", "and"]
            .into_iter()
            .filter_map(find)
            .map(|code| want(boat, code))
            .collect::<Result<_, _>>()?;
        Ok(Self { after, base, stand, wants, who: who(find("who"))? })
    }

    /// The fewest names and values that ask the same.
    pub fn shortest(&self, boat: &Boat) -> Vec<(String, String)> {
        let mut pairs = Vec::new();
        for (key, want) in ["want", "and"].into_iter().zip(&self.wants) {
            pairs.push((key.to_owned(), want.code(boat)));
        }
        if let Some(after) = self.after {
            pairs.push(("after".to_owned(), boat.procedures[after].id.clone()));
        }
        if self.who != Who::Skipper {
            pairs.push(("who".to_owned(), who_code(self.who).to_owned()));
        }
        for (var, _, value) in self.base.changes(&self.stand) {
            let row = &boat.vars[var];
            pairs.push((format!("is.{}", row.id), row.values[usize::from(value.0)].clone()));
        }
        pairs
    }

    /// What is wanted as one fact; `None` if nothing is.
    pub(crate) fn goal(&self, boat: &Boat) -> Option<Expr> {
        let mut parts: Vec<Expr> = self.wants.iter().map(|want| want.fact(boat)).collect();
        match parts.len() {
            0 => None,
            1 => parts.pop(),
            _ => Some(Expr::And(parts)),
        }
    }
}

impl Want {
    /// Its name in addresses.
    pub(crate) fn code(self, boat: &Boat) -> String {
        match self {
            Self::List(id) => format!("list:{}", boat.procedures[id].id),
            Self::Fact(id) => format!("fact:{}", boat.conditions[id].id),
            Self::Is(assign) => {
                let var = &boat.vars[assign.var];
                format!("is:{}:{}", var.id, var.values[usize::from(assign.value.0)])
            }
        }
    }

    /// Its words for people.
    pub(crate) fn words(self, boat: &Boat) -> String {
        match self {
            Self::List(id) => boat.procedures[id].name.clone(),
            Self::Fact(id) => boat.conditions[id].name.trim_end_matches('.').to_owned(),
            Self::Is(assign) => boat.value_words(assign.var, assign.value),
        }
    }

    fn fact(self, boat: &Boat) -> Expr {
        match self {
            Self::List(id) => boat.procedures[id].goal.clone(),
            Self::Fact(id) => Expr::Holds(id),
            Self::Is(assign) => Expr::Is(assign.var, assign.value),
        }
    }
}

/// How the boat stands after a list, or at rest.
fn stand_after(model: &Model<'_>, list: Option<ProcedureId>) -> Stand {
    let Some(list) = list else { return model.at_rest() };
    let trace = run(model, list);
    trace.steps.last().map_or(trace.start, |step| step.stand.clone())
}

fn procedure(boat: &Boat, id: &str) -> Result<ProcedureId, String> {
    boat.procedure(id).ok_or_else(|| format!("This boat has no step list \u{201c}{id}\u{201d}."))
}

fn value_of(boat: &Boat, var: VarId, name: &str) -> Result<Value, String> {
    let row = &boat.vars[var];
    let at = row.values.iter().position(|value| value == name).and_then(|at| u8::try_from(at).ok());
    at.map(Value).ok_or_else(|| {
        format!("\u{201c}{name}\u{201d} is no position of {}; it has {}.", row.name, row.values.join(", "))
    })
}

fn want(boat: &Boat, code: &str) -> Result<Want, String> {
    let unknown = || {
        format!("What is wanted, \u{201c}{code}\u{201d}, is not known on this boat. Choose it from the list.")
    };
    let (kind, rest) = code.split_once(':').ok_or_else(unknown)?;
    match kind {
        "list" => boat.procedure(rest).map(Want::List).ok_or_else(unknown),
        "fact" => boat.condition(rest).map(Want::Fact).ok_or_else(unknown),
        "is" => {
            let (var, value) = rest.split_once(':').ok_or_else(unknown)?;
            let var = boat.var(var).ok_or_else(unknown)?;
            Ok(Want::Is(Assign { var, value: value_of(boat, var, value)? }))
        }
        _ => Err(unknown()),
    }
}

fn who(code: Option<&str>) -> Result<Who, String> {
    match code {
        None | Some("skipper") => Ok(Who::Skipper),
        Some("crew") => Ok(Who::Crew),
        Some("base") => Ok(Who::Base),
        Some(other) => Err(format!("\u{201c}{other}\u{201d} is nobody aboard. It is crew, skipper or base.")),
    }
}

/// The name of a rank in addresses.
pub(crate) fn who_code(who: Who) -> &'static str {
    match who {
        Who::Crew => "crew",
        Who::Skipper => "skipper",
        Who::Base => "base",
    }
}
