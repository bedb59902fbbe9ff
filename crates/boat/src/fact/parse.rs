//! Tokens to a tree: `or` binds least, then `and`, then `not`, then `is` and comparisons.

use std::ops::Range;

use super::lex::{Spanned, Token, lex};
use super::{Fault, Side, Tree, Word};
use crate::model::Compare;

/// How deep brackets and `not`s may nest; deeper is refused rather than overflowing the stack.
const DEEPEST: usize = 64;

/// Reads a fact. `None` if it can't be read; then there is at least one fault.
pub(crate) fn parse(text: &str, faults: &mut Vec<Fault>) -> Option<Tree> {
    let before = faults.len();
    let mut parser = Parser::new(text, faults);
    let tree = parser.or(0).and_then(|tree| parser.end().map(|()| tree));
    match tree {
        Ok(tree) if faults.len() == before => Some(tree),
        Ok(_) => None,
        Err(fault) => {
            // A sign that was skipped already explains what follows it.
            if faults.len() == before {
                faults.push(*fault);
            }
            None
        }
    }
}

/// Reads an assignment, `name is value`.
pub(crate) fn parse_assign(text: &str, faults: &mut Vec<Fault>) -> Option<(Word, Word)> {
    let tree = parse(text, faults)?;
    match tree {
        Tree::Is { name, mut values, not: false } if values.len() == 1 => {
            values.pop().map(|value| (name, value))
        }
        _ => {
            faults.push(
                Fault::new(
                    "assign-syntax",
                    0..text.len(),
                    format!("\"{text}\" does not set one thing to one value."),
                )
                .expected("a control or state, `is`, and one of its values, such as \"engine is running\"")
                .mend("Write \"name is value\"; in a list, one for each thing."),
            );
            None
        }
    }
}

struct Parser {
    tokens: Vec<Spanned>,
    next: usize,
    end: usize,
}

type Parsed<T> = Result<T, Box<Fault>>;

impl Parser {
    fn new(text: &str, faults: &mut Vec<Fault>) -> Self {
        Self { tokens: lex(text, faults), next: 0, end: text.len() }
    }

    fn peek(&self) -> Option<&Token> {
        self.tokens.get(self.next).map(|(token, _)| token)
    }

    fn peek_word(&self, word: &str) -> bool {
        matches!(self.peek(), Some(Token::Word(found)) if found == word)
    }

    fn take(&mut self) -> Option<Spanned> {
        let token = self.tokens.get(self.next).cloned();
        self.next += usize::from(token.is_some());
        token
    }

    fn take_word(&mut self, word: &str) -> bool {
        let found = self.peek_word(word);
        self.next += usize::from(found);
        found
    }

    /// Where the next token stands; the very end if there is none.
    fn here(&self) -> Range<usize> {
        self.tokens.get(self.next).map_or(self.end..self.end, |(_, at)| at.clone())
    }

    #[allow(clippy::unnecessary_box_returns, reason = "every caller returns it in a boxed error")]
    fn unexpected(&self, expected: &str) -> Box<Fault> {
        let at = self.here();
        let headline = match self.peek() {
            None if self.tokens.is_empty() => "There is no fact here.".to_owned(),
            None => "The fact stops too early.".to_owned(),
            Some(Token::Word(word)) => format!("The word \"{word}\" can't stand here."),
            Some(Token::Quantity(text)) => format!("The quantity \"{text}\" can't stand here."),
            Some(Token::Open) => "An opening bracket can't stand here.".to_owned(),
            Some(Token::Close) => "This closing bracket closes nothing, or comes too early.".to_owned(),
            Some(Token::Comma) => "A comma can't stand here.".to_owned(),
            Some(Token::Compare(sign)) => format!("The sign {sign} can't stand here."),
        };
        let mend = match self.peek() {
            Some(Token::Word(word))
                if word.eq_ignore_ascii_case("and") || word.eq_ignore_ascii_case("or") =>
            {
                "Put a fact on both sides of `and` and `or`, in lower case."
            }
            Some(Token::Word(_)) => {
                "Write `is` before a position, `and` or `or` between facts, and _ instead of a space in a name."
            }
            Some(Token::Close) => "Remove the bracket, or open one before it.",
            None if expected.contains("closing bracket") => {
                "Put a closing bracket for each one that is open."
            }
            Some(Token::Comma) => "Join facts with `and`; commas only stand in `is one of (a, b)`.",
            _ => "Complete the fact, such as \"engine is running and not hatch_open\".",
        };
        Box::new(Fault::new("fact-syntax", at, headline).expected(expected).mend(mend))
    }

    fn end(&self) -> Parsed<()> {
        if self.next == self.tokens.len() {
            Ok(())
        } else {
            Err(self.unexpected("`and`, `or`, or the end of the fact"))
        }
    }

    fn or(&mut self, depth: usize) -> Parsed<Tree> {
        let mut parts = vec![self.and(depth)?];
        while self.take_word("or") {
            parts.push(self.and(depth)?);
        }
        Ok(if parts.len() == 1 { parts.remove(0) } else { Tree::Or(parts) })
    }

    fn and(&mut self, depth: usize) -> Parsed<Tree> {
        let mut parts = vec![self.not(depth)?];
        while self.take_word("and") {
            parts.push(self.not(depth)?);
        }
        Ok(if parts.len() == 1 { parts.remove(0) } else { Tree::And(parts) })
    }

    fn not(&mut self, depth: usize) -> Parsed<Tree> {
        if depth > DEEPEST {
            let fault = Fault::new("fact-syntax", self.here(), "The brackets and `not`s nest too deep.")
                .expected(format!("at most {DEEPEST} levels"))
                .mend("Give a part of it a name under [conditions] and use the name.");
            return Err(Box::new(fault));
        }
        if self.take_word("not") {
            return Ok(Tree::Not(Box::new(self.not(depth + 1)?)));
        }
        self.atom(depth)
    }

    fn atom(&mut self, depth: usize) -> Parsed<Tree> {
        match self.peek() {
            Some(Token::Open) => {
                self.take();
                let inner = self.or(depth + 1)?;
                self.close()?;
                Ok(inner)
            }
            Some(Token::Word(word)) if word == "always" || word == "never" => {
                let yes = word == "always";
                self.take();
                Ok(Tree::Const(yes))
            }
            Some(Token::Word(word)) if !is_reserved(word) => {
                let name = self.name("a name")?;
                if self.take_word("is") {
                    return self.is(name);
                }
                match self.peek() {
                    Some(Token::Compare(_)) => self.compare(Side::Name(name)),
                    _ => Ok(Tree::Name(name)),
                }
            }
            Some(Token::Quantity(_)) => {
                let side = self.side()?;
                match self.peek() {
                    Some(Token::Compare(_)) => self.compare(side),
                    _ => Err(self.unexpected("<, <=, > or >= after a quantity")),
                }
            }
            _ => Err(self.unexpected("a name, a quantity, `not` or an opening bracket")),
        }
    }

    fn close(&mut self) -> Parsed<()> {
        if matches!(self.peek(), Some(Token::Close)) {
            self.take();
            Ok(())
        } else {
            Err(self.unexpected("`and`, `or`, or a closing bracket"))
        }
    }

    fn name(&mut self, expected: &str) -> Parsed<Word> {
        match self.peek() {
            Some(Token::Word(word)) if !is_reserved(word) => {
                let text = word.clone();
                let at = self.here();
                self.take();
                Ok(Word { text, at })
            }
            _ => Err(self.unexpected(expected)),
        }
    }

    fn is(&mut self, name: Word) -> Parsed<Tree> {
        let not = self.take_word("not");
        if !self.take_word("one") {
            let value = self.name("one of its positions or values")?;
            return Ok(Tree::Is { name, values: vec![value], not });
        }
        if !self.take_word("of") || !matches!(self.peek(), Some(Token::Open)) {
            return Err(self.unexpected("`one of (a, b)`"));
        }
        self.take();
        let mut values = vec![self.name("one of its positions or values")?];
        while matches!(self.peek(), Some(Token::Comma)) {
            self.take();
            values.push(self.name("one of its positions or values")?);
        }
        self.close()?;
        Ok(Tree::Is { name, values, not })
    }

    fn compare(&mut self, left: Side) -> Parsed<Tree> {
        let at = self.here();
        let how = match self.take() {
            Some((Token::Compare("<"), _)) => Compare::Less,
            Some((Token::Compare("<="), _)) => Compare::AtMost,
            Some((Token::Compare(">"), _)) => Compare::More,
            _ => Compare::AtLeast,
        };
        let right = self.side()?;
        Ok(Tree::Compare { left, how, right, at })
    }

    fn side(&mut self) -> Parsed<Side> {
        let Some(Token::Quantity(text)) = self.peek() else {
            return self.name("a quantity such as 1500 rpm, or a reading").map(Side::Name);
        };
        let text = text.clone();
        let at = self.here();
        self.take();
        quantity::Quantity::parse(&text).map(|quantity| Side::Quantity(quantity, at.clone())).map_err(
            |error| {
                let inner = error.span();
                let mut fault =
                    Fault::new("quantity", at.start + inner.start..at.start + inner.end, error.headline());
                fault.mend = error.help();
                Box::new(fault.expected("a quantity such as 1500 rpm or 12.2 V"))
            },
        )
    }
}

fn is_reserved(word: &str) -> bool {
    matches!(word, "and" | "or" | "not" | "is" | "always" | "never")
}
