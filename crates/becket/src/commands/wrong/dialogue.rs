//! The dialogue: one question, one reply, until it works again or the base is called.

use std::io::{self, BufRead, Write, stdin, stdout};

use trace::words;
use trace::{Ask, Case, Next, Reply, Symptom, Told};

use super::{MOST_LISTED, standing};
use crate::commands::case::Desk;
use crate::commands::{symptoms, urgent};
use crate::layout::{self, Side};
use crate::load::Failure;
use crate::output::Printed;

/// What was typed.
enum Typed {
    Reply(Reply),
    Undo,
    Stop,
    Emergency,
    Number(usize),
    Other,
}

/// Asks which of several symptoms is meant; nothing if whoever is asked stops.
pub(super) fn choose(desk: &Desk, fits: &[Symptom]) -> Result<Option<Symptom>, Failure> {
    let (mut input, mut out) = (stdin().lock(), stdout().lock());
    well(chosen(desk, fits, &mut input, &mut out), None)
}

/// Holds the dialogue of a case that answers may have been given in; prints as it goes.
pub(super) fn hold(desk: &Desk, symptom: &Symptom, cases: Vec<Case<'_>>) -> Result<Printed, Failure> {
    let (mut input, mut out) = (stdin().lock(), stdout().lock());
    let mut table = Table { desk, symptom, cases, input: &mut input, out: &mut out };
    well(table.talk(), ())?;
    Ok(Printed { text: String::new(), failed: desk.failed() })
}

/// A reader who stops reading (`| head`) is no failure.
fn well<T>(done: io::Result<T>, otherwise: T) -> Result<T, Failure> {
    match done {
        Err(error) if error.kind() == io::ErrorKind::BrokenPipe => Ok(otherwise),
        done => done.map_err(|error| Failure(format!("The dialogue broke off: {error}."))),
    }
}

fn chosen(
    desk: &Desk,
    fits: &[Symptom],
    input: &mut impl BufRead,
    out: &mut impl Write,
) -> io::Result<Option<Symptom>> {
    let boat = &desk.boat;
    let fits = &fits[..fits.len().min(MOST_LISTED)];
    writeln!(out, "Which of these is it?\n")?;
    for (at, symptom) in fits.iter().enumerate() {
        let words = format!("{} ({})", standing::say(boat, &symptom.words), symptoms::at(boat, symptom));
        write!(out, "{}", layout::hang(&words, &format!("{:>3}. ", at + 1), "     "))?;
    }
    writeln!(out, "\nType its number, or q to stop and say it otherwise.")?;
    loop {
        match read(input, out)? {
            None | Some(Typed::Stop) => return Ok(None),
            Some(Typed::Number(number)) if (1..=fits.len()).contains(&number) => {
                writeln!(out)?;
                return Ok(Some(fits[number - 1].clone()));
            }
            Some(Typed::Emergency) => {
                emergencies(desk, input, out)?;
                return Ok(None);
            }
            Some(_) => writeln!(out, "Type a number from 1 to {}, or q.", fits.len())?,
        }
    }
}

/// One line that was typed; nothing at the end of the input.
fn read(input: &mut impl BufRead, out: &mut impl Write) -> io::Result<Option<Typed>> {
    write!(out, "> ")?;
    out.flush()?;
    let mut line = String::new();
    if input.read_line(&mut line)? == 0 {
        writeln!(out)?;
        return Ok(None);
    }
    let word = line.trim().to_lowercase();
    Ok(Some(match word.as_str() {
        "y" | "yes" => Typed::Reply(Reply::Yes),
        "n" | "no" => Typed::Reply(Reply::No),
        "c" | "cannot" | "can't" => Typed::Reply(Reply::Cannot),
        "u" | "undo" => Typed::Undo,
        "q" | "stop" | "quit" => Typed::Stop,
        "e" | "emergency" => Typed::Emergency,
        _ => word.parse().map_or(Typed::Other, Typed::Number),
    }))
}

/// The emergency lists by number, and the steps of the one that is chosen.
fn emergencies(desk: &Desk, input: &mut impl BufRead, out: &mut impl Write) -> io::Result<()> {
    let boat = &desk.boat;
    let lists = urgent::lists(boat);
    if lists.is_empty() {
        return write!(
            out,
            "\n{}",
            layout::wrap(&format!("The boat file has no list for it. {}", urgent::HELP), "")
        );
    }
    writeln!(out, "\nEmergency lists. Type the number, and begin at once.\n")?;
    for (at, list) in lists.iter().enumerate() {
        writeln!(out, "{:>3}. {}", at + 1, boat.procedures[*list].name)?;
    }
    write!(out, "\n{}", layout::wrap(&format!("None fits: {}", urgent::HELP), ""))?;
    loop {
        match read(input, out)? {
            None | Some(Typed::Stop) => return Ok(()),
            Some(Typed::Number(number)) if (1..=lists.len()).contains(&number) => {
                return write!(out, "\n{}", urgent::steps(boat, lists[number - 1]));
            }
            Some(_) => writeln!(out, "Type a number from 1 to {}, or q.", lists.len())?,
        }
    }
}

/// A case on the table: all that came of each answer, so that the last can be undone.
struct Table<'a, 'b, I, O> {
    desk: &'a Desk,
    symptom: &'a Symptom,
    cases: Vec<Case<'b>>,
    input: &'a mut I,
    out: &'a mut O,
}

impl<I: BufRead, O: Write> Table<'_, '_, I, O> {
    fn talk(&mut self) -> io::Result<()> {
        let desk = self.desk;
        write!(self.out, "{}{}", desk.notes(), standing::head(desk, self.symptom))?;
        loop {
            let next = self.now().next();
            match next {
                Next::Ask(step) => self.ask(step.ask)?,
                ref end => {
                    let words = standing::ending(desk, self.symptom, self.now(), end);
                    write!(self.out, "\n{words}")?;
                    writeln!(self.out, "\nu  undo the last answer   q  stop")?;
                }
            }
            let asked = if let Next::Ask(step) = next { Some(step.ask) } else { None };
            match self.reply(asked)? {
                Some(Typed::Reply(reply)) => self.tell(asked, reply),
                Some(Typed::Undo) => self.undo()?,
                Some(Typed::Emergency) => return emergencies(desk, self.input, self.out),
                _ => {
                    if asked.is_some() {
                        write!(self.out, "\n{}", standing::ending(desk, self.symptom, self.now(), &next))?;
                    }
                    return self.resume();
                }
            }
        }
    }

    fn now(&self) -> &Case<'_> {
        &self.cases[self.cases.len() - 1]
    }

    /// One question, with what is suspected before it.
    fn ask(&mut self, ask: Ask) -> io::Result<()> {
        let desk = self.desk;
        let case = &self.cases[self.cases.len() - 1];
        let first = format!("{:>3}. ", case.told().len() + 1);
        write!(self.out, "\n{}\n", standing::suspects(case))?;
        write!(self.out, "{}", standing::question(desk, case, ask, &first))?;
        let [yes, no, cannot] = words::question(case, ask).replies;
        let row = |key: &str, says: String| [key.to_owned(), says];
        let rows = [row("y", yes), row("n", no), row("c", cannot)];
        write!(self.out, "\n{}", layout::columns("     ", [Side::Left, Side::Left], &rows))?;
        writeln!(self.out, "     u  undo the last answer   q  stop")?;
        write!(self.out, "{}", layout::wrap(&urgent::line(&desk.boat, &desk.argument, true), "     "))
    }

    /// What is typed, once it is something that can be typed here.
    fn reply(&mut self, asked: Option<Ask>) -> io::Result<Option<Typed>> {
        loop {
            let typed = read(self.input, self.out)?;
            match typed {
                Some(Typed::Number(_) | Typed::Other) => {}
                Some(Typed::Reply(_)) if asked.is_none() => {}
                typed => return Ok(typed),
            }
            let keys =
                if asked.is_some() { "y, n or c; u to undo; q to stop" } else { "u to undo or q to stop" };
            writeln!(self.out, "Type {keys}; e in an emergency.")?;
        }
    }

    fn tell(&mut self, asked: Option<Ask>, reply: Reply) {
        let Some(ask) = asked else { return };
        let mut case = self.cases[self.cases.len() - 1].clone();
        case.tell(Told { ask, reply });
        self.cases.push(case);
    }

    fn undo(&mut self) -> io::Result<()> {
        if self.cases.len() > 1 {
            self.cases.pop();
            return writeln!(self.out, "The last answer is undone.");
        }
        writeln!(self.out, "Nothing was answered yet.")
    }

    /// How to come back to the case.
    fn resume(&mut self) -> io::Result<()> {
        let desk = self.desk;
        let told: Vec<String> =
            self.now().told().iter().map(|told| format!(" --told {}", told.token(&desk.boat))).collect();
        if told.is_empty() {
            return Ok(());
        }
        writeln!(self.out, "\nTo come back to this case:")?;
        writeln!(self.out, "becket wrong {} {}{} --ask", desk.argument, self.symptom.id, told.concat())
    }
}
