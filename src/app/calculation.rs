//! A sum being filled in: its lines, what they are read as, what comes out.
//!
//! Everything comes from the registry; nothing here knows one sum from another.
//! What was typed stays as typed whatever becomes of it, and all of it is read anew
//! after every change, since the kind of one input may hang on another. A line that
//! is not understood holds the result back, also where it may be left out. Nothing
//! is kept when the page is left.

mod weight;
mod wording;

use super::action::Edit;
use super::field::Field;
use crate::calc::{CalcError, Evaluation, Given, Input, Sum, Takes, Trials, read_entry};
use crate::quantity::{Kind, System, Unit};

pub use weight::Weight;

/// How often the values are drawn for a check.
const DRAWS: usize = 20_000;

/// The same draws each time: who checks twice sees the same.
const SEED: u64 = 1;

/// Longest line of an input in characters: a watch has many points.
const LONGEST: usize = 4_000;

/// What the line of an input is read as.
#[derive(Debug, Clone, PartialEq)]
pub enum Entered {
    /// Nothing is typed.
    Nothing,
    /// It is not understood, because.
    Misread(String),
    /// It is understood.
    Given(Given),
}

/// What the sum says to its inputs as they are now.
#[derive(Debug, Clone, PartialEq)]
pub enum Answer {
    /// Its results.
    Found(Evaluation),
    /// Nothing yet, because.
    Waits(String),
}

/// A sum being filled in.
#[derive(Debug, Clone)]
pub struct Calculation {
    /// The sum.
    pub sum: &'static Sum,
    /// A line for each input.
    pub fields: Vec<Field>,
    /// The input in focus; one more is the results.
    pub focus: usize,
    /// First line shown of the results where not all fit.
    pub top: usize,
    /// What the person should know.
    pub message: Option<String>,
    /// What each line is read as.
    entered: Vec<Entered>,
    answer: Answer,
    trials: Option<Result<Trials, String>>,
    system: System,
    /// What each line's bare numbers are read in: those of a line that was typed
    /// before the units were changed keep theirs.
    systems: Vec<System>,
    /// What Esc emptied last, and in which line.
    emptied: Option<(usize, String)>,
    /// A key that takes away what was typed, pressed once.
    asked: Option<char>,
}

impl Calculation {
    /// A sum with nothing filled in.
    pub fn new(sum: &'static Sum, system: System) -> Self {
        let mut new = Self {
            sum,
            fields: sum.inputs.iter().map(|_| Field::roomy(LONGEST)).collect(),
            focus: 0,
            top: 0,
            message: None,
            entered: Vec::new(),
            answer: Answer::Waits(String::new()),
            trials: None,
            system,
            systems: vec![system; sum.inputs.len()],
            emptied: None,
            asked: None,
        };
        new.read_all();
        new
    }

    /// Units shown.
    pub const fn system(&self) -> System {
        self.system
    }

    /// Whether the results are in focus, and no line.
    pub fn on_results(&self) -> bool {
        self.focus >= self.fields.len()
    }

    /// The input in focus.
    pub fn input(&self) -> Option<&'static Input> {
        self.sum.inputs.get(self.focus)
    }

    /// Whether the input in focus is a word, which is picked as well as typed.
    pub fn picks(&self) -> bool {
        matches!(self.input().map(|i| i.takes), Some(Takes::Word(_)))
    }

    /// Whether something is typed into the line in focus.
    pub fn has_typed(&self) -> bool {
        self.fields.get(self.focus).is_some_and(|f| !f.is_empty())
    }

    /// What the line of an input is read as.
    pub fn entered(&self, at: usize) -> &Entered {
        self.entered.get(at).unwrap_or(&Entered::Nothing)
    }

    /// What comes out.
    pub const fn answer(&self) -> &Answer {
        &self.answer
    }

    /// What the check by trials gave, if there was one since the last change.
    pub const fn trials(&self) -> Option<&Result<Trials, String>> {
        self.trials.as_ref()
    }

    /// Whether a check by trials could say anything.
    pub fn can_check(&self) -> bool {
        match &self.answer {
            Answer::Found(found) => {
                let outputs = 0..self.sum.outputs.len();
                let mut values = outputs.filter_map(|at| found.value(at));
                values.any(|m| m.expanded().si() > 0.0)
            }
            Answer::Waits(_) => false,
        }
    }

    /// The kind that an input has, as far as it is known.
    pub fn kind(&self, at: usize) -> Option<Kind> {
        let declared = self.sum.inputs.get(at)?.takes;
        given_kind(self.entered(at)).or_else(|| wanted_kind(declared, &self.entered))
    }

    /// The unit that a bare number takes, and that is shown beside the line (P3).
    pub fn shown_unit(&self, at: usize) -> Option<Unit> {
        let declared = self.sum.inputs.get(at)?.takes;
        wanted_kind(declared, &self.entered).map(|kind| kind.shown(self.system_of(at)))
    }

    /// Why a value of an input that was read is out of its bounds.
    pub fn outside(&self, at: usize) -> Option<String> {
        let input = self.sum.inputs.get(at)?;
        let Entered::Given(Given::Points(points)) = self.entered(at) else {
            return None;
        };
        let under = |si: f64| input.least.is_some_and(|least| si < least);
        let over = |si: f64| input.most.is_some_and(|most| si > most);
        let mut values = points.iter().map(|point| point.measured.value());
        let found = values.find(|value| under(value.si()) || over(value.si()))?;
        let (least, most) = input.bounds(found.kind());
        Some(self.said(&CalcError::Range {
            sum: self.sum.name,
            input: input.key,
            found,
            least,
            most,
            why: input.why,
        }))
    }

    /// Units that a line's bare numbers are read in.
    fn system_of(&self, at: usize) -> System {
        self.systems.get(at).copied().unwrap_or(self.system)
    }

    /// Changes between metric and US units. A line that would be read as something
    /// else, or is not understood yet, keeps its unit; so no value changes.
    pub(super) fn switch(&mut self) {
        let to = match self.system {
            System::Metric => System::Us,
            System::Us => System::Metric,
        };
        self.system = to;
        let mut kept = false;
        let lines = self.sum.inputs.iter().zip(&self.fields).zip(&self.entered);
        for (((input, field), now), system) in lines.zip(&mut self.systems) {
            let like = wanted_kind(input.takes, &self.entered);
            let then = read_line(input, field.text(), like, like.map(|kind| kind.shown(to)));
            let same = then == *now && !matches!(now, Entered::Misread(_));
            if same {
                *system = to;
            }
            kept |= *system != to;
        }
        self.top = 0;
        self.asked = None;
        self.message = kept
            .then(|| "What was typed without a unit keeps the unit behind its field.".to_owned());
        self.read_all();
    }

    /// Moves the focus by one; round at the ends.
    pub(super) fn step(&mut self, by: isize) {
        let count = self.fields.len() + 1;
        self.go(if by > 0 {
            (self.focus + 1) % count
        } else {
            (self.focus + count - 1) % count
        });
    }

    /// Moves the focus by several; it stays at the ends.
    pub(super) fn leap(&mut self, by: isize) {
        let to = self.focus.saturating_add_signed(by);
        self.go(to.min(self.fields.len()));
    }

    fn go(&mut self, to: usize) {
        self.focus = to;
        self.top = 0;
        self.message = None;
        self.asked = None;
    }

    /// Changes the line in focus.
    pub(super) fn edit(&mut self, edit: &Edit) {
        let several = self.input().is_some_and(|i| i.count().1 > 1);
        let Some(field) = self.fields.get_mut(self.focus) else {
            return;
        };
        let before = field.text().to_owned();
        if *edit == Edit::Left
            && before.is_empty()
            && let Some((_, text)) = self.emptied.take_if(|(at, _)| *at == self.focus)
        {
            field.edit(&Edit::PutText(text));
            self.changed();
            return;
        }
        match edit {
            Edit::PutText(text) => {
                let between = if several { "; " } else { " " };
                field.edit(&Edit::PutText(in_a_line(text, between)));
            }
            Edit::Put(_)
            | Edit::Back
            | Edit::Delete
            | Edit::Left
            | Edit::Right
            | Edit::Home
            | Edit::End => field.edit(edit),
        }
        if field.text() != before {
            self.changed();
        }
    }

    /// Empties the line in focus.
    pub(super) fn clear(&mut self) {
        if let Some(field) = self.fields.get_mut(self.focus) {
            self.emptied = Some((self.focus, field.text().to_owned()));
            field.clear();
            self.changed();
            if !self.picks() {
                self.message = Some("Emptied. ← brings it back.".to_owned());
            }
        }
    }

    /// Puts the word before or after into the line in focus.
    pub(super) fn pick(&mut self, by: isize) {
        let Some(Takes::Word(words)) = self.input().map(|i| i.takes) else {
            return;
        };
        let now = match self.entered(self.focus) {
            Entered::Given(Given::Word(word)) => words.iter().position(|w| w == word),
            Entered::Given(_) | Entered::Nothing | Entered::Misread(_) => None,
        };
        let count = words.len();
        let to = match (now, by > 0) {
            (None, true) => 0,
            (None, false) => count.saturating_sub(1),
            (Some(at), true) => (at + 1) % count,
            (Some(at), false) => (at + count - 1) % count,
        };
        if let (Some(field), Some(word)) = (self.fields.get_mut(self.focus), words.get(to)) {
            *field = Field::roomy(LONGEST);
            field.edit(&Edit::PutText(wording::spaced(word)));
            self.changed();
        }
    }

    /// A key of the results row.
    pub(super) fn letter(&mut self, letter: char) {
        self.message = None;
        if !self.on_results() {
            return;
        }
        match letter {
            'm' => self.check(),
            'u' => self.switch(),
            'e' if self.once_more('e', "puts the example in place of what was typed") => {
                for (input, field) in self.sum.inputs.iter().zip(&mut self.fields) {
                    let text = self.sum.example.iter().find(|(key, _)| *key == input.key);
                    *field = Field::roomy(LONGEST);
                    if let Some((_, text)) = text {
                        field.edit(&Edit::PutText((*text).to_owned()));
                    }
                }
                self.systems.fill(self.system);
                self.changed();
            }
            'c' if self.once_more('c', "empties every field") => {
                self.fields.iter_mut().for_each(Field::clear);
                self.changed();
                self.focus = 0;
            }
            _ => {}
        }
    }

    /// Whether a key that takes typed values away may do so: nothing is typed, or it
    /// is pressed for the second time in a row.
    fn once_more(&mut self, letter: char, does: &str) -> bool {
        let nothing = self.fields.iter().all(Field::is_empty);
        if nothing || self.asked == Some(letter) {
            self.asked = None;
            return true;
        }
        self.asked = Some(letter);
        self.message = Some(format!("{letter} once more {does}."));
        false
    }

    fn check(&mut self) {
        self.asked = None;
        if let Answer::Waits(why) = &self.answer {
            self.message = Some(format!("Nothing to test yet. {why}"));
            return;
        }
        if !self.can_check() {
            let say = "Nothing to test: no value has an uncertainty. Type +- behind one.";
            self.message = Some(say.to_owned());
            return;
        }
        let drawn = self.sum.draw(&self.given(), DRAWS, SEED);
        self.trials = Some(drawn.map_err(|error| self.said(&error)));
    }

    fn changed(&mut self) {
        self.trials = None;
        self.message = None;
        self.asked = None;
        self.top = 0;
        self.read_all();
    }

    fn given(&self) -> Vec<Option<Given>> {
        let given = |entered: &Entered| match entered {
            Entered::Given(given) => Some(given.clone()),
            Entered::Nothing | Entered::Misread(_) => None,
        };
        self.entered.iter().map(given).collect()
    }

    fn read_all(&mut self) {
        self.entered.clear();
        let lines = self.sum.inputs.iter().zip(&self.fields);
        for ((input, field), system) in lines.zip(&mut self.systems) {
            if field.is_empty() {
                *system = self.system;
            }
            let like = wanted_kind(input.takes, &self.entered);
            let shown = like.map(|kind| kind.shown(*system));
            let entered = read_line(input, field.text(), like, shown);
            self.entered.push(entered);
        }
        let misread = self.entered.iter().zip(self.sum.inputs);
        let mut misread = misread.filter(|(e, _)| matches!(e, Entered::Misread(_)));
        if let Some((_, input)) = misread.next() {
            let say = format!("{} is not understood yet", input.title);
            self.answer = Answer::Waits(super::work::sentence(&say));
            return;
        }
        let mut outside = (0..self.fields.len()).filter_map(|at| self.outside(at));
        if let Some(why) = outside.next() {
            self.answer = Answer::Waits(why);
            return;
        }
        self.answer = match self.sum.evaluate(&self.given()) {
            Ok(found) => Answer::Found(found),
            Err(error) => Answer::Waits(self.said(&error)),
        };
    }

    fn said(&self, error: &CalcError) -> String {
        wording::error(self.sum, error)
    }
}

/// A paste as one line: values that were copied below each other stand one after
/// the other.
fn in_a_line(text: &str, between: &str) -> String {
    let lines = text.split(['\n', '\r']).map(str::trim);
    let lines: Vec<&str> = lines.filter(|line| !line.is_empty()).collect();
    lines.join(between)
}

fn read_line(input: &Input, text: &str, like: Option<Kind>, shown: Option<Unit>) -> Entered {
    if text.trim().is_empty() {
        return Entered::Nothing;
    }
    if let Takes::Word(words) = input.takes {
        return match wording::word(text, words) {
            Ok(word) => Entered::Given(Given::Word(word.to_owned())),
            Err(why) => Entered::Misread(why),
        };
    }
    match read_entry(input, text, like, shown) {
        Ok(Given::Points(points)) if points.is_empty() => Entered::Nothing,
        Ok(given) => Entered::Given(given),
        Err(misentry) => Entered::Misread(wording::misentry(input, like, &misentry)),
    }
}

fn given_kind(entered: &Entered) -> Option<Kind> {
    match entered {
        Entered::Given(Given::Points(points)) => points.first().map(|p| p.measured.kind()),
        Entered::Given(Given::Word(_)) | Entered::Nothing | Entered::Misread(_) => None,
    }
}

/// The one kind that an input must be of, if that is known before it is typed.
fn wanted_kind(takes: Takes, before: &[Entered]) -> Option<Kind> {
    match takes {
        Takes::Is(kind) => Some(kind),
        Takes::AnyOf([kind]) => Some(*kind),
        Takes::Like(first) => before.get(first).and_then(given_kind),
        Takes::AnyOf(_) | Takes::Word(_) => None,
    }
}

#[cfg(test)]
mod tests;
