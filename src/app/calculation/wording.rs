//! What is said of an input: what it takes, what it is read as, what is wrong.

use super::{Calculation, Entered};
use crate::app::work::sentence;
use crate::calc::{CalcError, Given, Input, Misentry, Point, Shape, Sum, Takes};
use crate::quantity::{Kind, Misread, Quantity, Unit, read};

/// Most values of one input that are echoed one by one.
const ECHOED: usize = 4;

/// A registry's word as people read it.
pub(super) fn spaced(word: &str) -> String {
    word.replace('_', " ")
}

/// The word that is meant by what was typed: written whole, or by its first letters
/// where no other begins so.
pub(super) fn word(text: &str, words: &'static [&'static str]) -> Result<&'static str, String> {
    let typed = text.trim().replace([' ', '-'], "_").to_lowercase();
    if let Some(whole) = words.iter().find(|w| **w == typed) {
        return Ok(whole);
    }
    let begins = words.iter().filter(|w| w.starts_with(&typed));
    let begins: Vec<&'static str> = begins.copied().collect();
    let text = text.trim();
    match begins.as_slice() {
        [only] => Ok(only),
        [] => Err(format!("\"{text}\" is none of {}.", listed(words, "and"))),
        several => Err(format!(
            "\"{text}\" may be {}. Type on, or pick with ← →.",
            listed(several, "or")
        )),
    }
}

fn listed(words: &[&str], joint: &str) -> String {
    let words: Vec<String> = words.iter().map(|w| spaced(w)).collect();
    match words.as_slice() {
        [] => String::new(),
        [only] => only.clone(),
        [most @ .., last] => format!("{} {joint} {last}", most.join(", ")),
    }
}

/// Why a line is not understood. Where several kinds are taken, the sentence of one
/// of them would send the reader astray: it ends in what is taken instead.
pub(super) fn misentry(input: &Input, like: Option<Kind>, misentry: &Misentry) -> String {
    let said = sentence(&misentry.to_string());
    let misread = match misentry {
        Misentry::Value(misread) => misread,
        Misentry::Doubt(_)
        | Misentry::Time(_)
        | Misentry::Many { .. }
        | Misentry::NoTime { .. }
        | Misentry::NotLater { .. }
        | Misentry::SomeDoubt { .. }
        | Misentry::Word { .. } => return said,
    };
    if like.is_some() {
        return said;
    }
    format!(
        "{} {}",
        without_wanted(&said, misread),
        sentence(&format!("{} is wanted", kinds(input.takes)))
    )
}

/// A misread's sentence without what one kind would take.
fn without_wanted(said: &str, misread: &Misread) -> String {
    let wanted = sentence(&misread.wanted.with_article());
    let end = format!(" {} is wanted:", wanted.trim_end_matches('.'));
    let body = said.split(&end).next().unwrap_or(said);
    body.to_owned()
}

/// The kinds that an input takes: "a length", "a value with its unit".
fn kinds(takes: Takes) -> String {
    match takes {
        Takes::Is(kind) => kind.with_article(),
        Takes::AnyOf([]) | Takes::Like(_) => "a value of any kind with its unit".to_owned(),
        Takes::AnyOf(kinds) => {
            let names: Vec<String> = kinds.iter().map(|k| k.with_article()).collect();
            match names.as_slice() {
                [most @ .., last] if !most.is_empty() => {
                    format!("{} or {last}, with its unit,", most.join(", "))
                }
                _ => names.concat(),
            }
        }
        Takes::Word(words) => listed(words, "or"),
    }
}

/// An error of a sum in the words of this page: inputs by their titles.
pub(super) fn error(sum: &Sum, error: &CalcError) -> String {
    let said = error.to_string();
    let mut said = said.replacen(&format!("the sum {}", sum.name), "this sum", 1);
    let key = match error {
        CalcError::Missing { input, .. }
        | CalcError::Kind { input, .. }
        | CalcError::Points { input, .. }
        | CalcError::Instants { input, .. }
        | CalcError::Range { input, .. }
        | CalcError::Refused { input, .. }
        | CalcError::Edge { input, .. } => Some(*input),
        CalcError::Inputs { .. } | CalcError::NoNumber { .. } => None,
    };
    let input = key
        .and_then(|key| sum.input(key))
        .and_then(|at| sum.inputs.get(at));
    if let Some(Takes::Like(first)) = input.map(|i| i.takes) {
        let like = sum.inputs.get(first).map_or("the first", |i| i.title);
        said = said.replacen(
            "the same kind as the first",
            &format!("the same kind as {like}"),
            1,
        );
    }
    let title = input.map(|input| input.title);
    if let (Some(key), Some(title)) = (key, title) {
        for before in ["needs", "for", "of"] {
            let named = format!("{before} {key}");
            let found = said.match_indices(&named).map(|(at, _)| at).find(|at| {
                let after = said.get(at + named.len()..).unwrap_or("");
                !after.starts_with(|c: char| c.is_alphanumeric() || c == '_')
            });
            if let Some(at) = found {
                said.replace_range(at..at + named.len(), &format!("{before} {title}"));
                break;
            }
        }
    }
    if let CalcError::NoNumber { output, .. } = error {
        let title = sum.output(output).and_then(|at| sum.outputs.get(at));
        if let Some(output_title) = title.map(|o| o.title) {
            said = said.replacen(&format!("for {output}"), &format!("for {output_title}"), 1);
        }
    }
    sentence(&said)
}

impl Calculation {
    /// What an input takes: kind, how many, bounds with why.
    pub fn takes(&self, at: usize) -> String {
        let Some(input) = self.sum.inputs.get(at) else {
            return String::new();
        };
        let kind = self.kind(at);
        let what = match (input.takes, kind) {
            (Takes::Word(words), _) => format!("a word: {}", listed(words, "or")),
            (Takes::Like(first), known) => {
                let title = self.sum.inputs.get(first).map_or("", |i| i.title);
                match known {
                    Some(kind) => format!("{} like {title}", kind.with_article()),
                    None => format!("the same kind as {title}"),
                }
            }
            (Takes::Is(_) | Takes::AnyOf(_), _) => {
                kinds(input.takes).trim_end_matches(',').to_owned()
            }
        };
        let what = match input.shape {
            Shape::One => what,
            Shape::Optional => format!("{what}, or nothing"),
            Shape::Several { least, most } if least == most => {
                format!("{least} values with ; between, each {what}")
            }
            Shape::Several { least, most } => {
                format!("{least} to {most} values with ; between, each {what}")
            }
            Shape::Series { least } => format!(
                "{least} readings or more with ; between, each with its time before it (10 min: …): {what}"
            ),
        };
        match self.bounds(input, kind) {
            Some(bounds) => format!("{what}, {bounds}"),
            None => what,
        }
    }

    fn bounds(&self, input: &Input, kind: Option<Kind>) -> Option<String> {
        let kind = kind?;
        let unit = kind.shown(self.system);
        let shown = |bound: Option<Quantity>| bound.map(|b| b.show_plain(unit));
        let (least, most) = input.bounds(kind);
        let bounds = match (shown(least), shown(most)) {
            (Some(least), Some(most)) => format!("{least} to {most}"),
            (Some(least), None) => format!("{least} or more"),
            (None, Some(most)) => format!("{most} or less"),
            (None, None) => return None,
        };
        Some(if input.why.is_empty() {
            bounds
        } else {
            format!("{bounds} ({})", input.why)
        })
    }

    /// How an uncertainty is typed behind a value of this input; `None` for words.
    pub fn doubt_hint(&self, at: usize) -> Option<String> {
        let input = self.sum.inputs.get(at)?;
        if matches!(input.takes, Takes::Word(_)) {
            return None;
        }
        let Some(kind) = self.kind(at) else {
            let example =
                "± and step may stand behind a value, as in 1.30 bar +- 0.1 bar step 0.05 bar";
            return Some(example.to_owned());
        };
        let (shown, step) = (kind.shown(self.system), kind.difference());
        let unit = if shown.fits(step) {
            shown
        } else {
            step.shown(self.system)
        };
        let symbol = unit.symbol_for(step);
        let unit = if symbol.is_empty() {
            symbol
        } else {
            format!(" {symbol}")
        };
        Some(format!(
            "± and step may stand behind a value: +- 0.1{unit} (limit of error) step 0.05{unit} (smallest step)"
        ))
    }

    /// Whether what was typed for an input carries no uncertainty.
    pub fn is_exact(&self, at: usize) -> bool {
        match self.entered(at) {
            Entered::Given(Given::Points(points)) => {
                points.iter().all(|p| p.measured.expanded().si() == 0.0)
            }
            Entered::Given(Given::Word(_)) | Entered::Nothing | Entered::Misread(_) => true,
        }
    }

    /// What an input is read as, in two units (P3); `None` while it is not.
    pub fn echo(&self, at: usize) -> Option<String> {
        let Entered::Given(given) = self.entered(at) else {
            return None;
        };
        let input = self.sum.inputs.get(at)?;
        let points = match given {
            Given::Word(word) => return Some(format!("that is {}", spaced(word))),
            Given::Points(points) => points,
        };
        let kind = points.first()?.measured.kind();
        let named = matches!(input.takes, Takes::AnyOf([] | [_, _, ..]));
        let named = if named {
            format!(", {}", kind.with_article())
        } else {
            String::new()
        };
        if input.count().1 == 1 {
            let first = points.first()?;
            let text = self.fields.get(at).map_or("", super::Field::text);
            let read_in = self.shown_unit(at);
            return Some(format!("that is {}{named}", self.one(first, text, read_in)));
        }
        let shown: Vec<String> = match points.as_slice() {
            [first, second, .., last] if points.len() > ECHOED => vec![
                self.one(first, "", None),
                self.one(second, "", None),
                "…".to_owned(),
                self.one(last, "", None),
            ],
            points => points.iter().map(|p| self.one(p, "", None)).collect(),
        };
        let count = points.len();
        let values = if count == 1 { "value" } else { "values" };
        Some(format!(
            "that is {count} {values}{named}: {}",
            shown.join("; ")
        ))
    }

    /// One value in two units, with its time before it and its uncertainty behind it.
    fn one(&self, point: &Point, text: &str, read_in: Option<Unit>) -> String {
        let value = point.measured.value();
        let kind = value.kind();
        let unit = kind.shown(self.system);
        let echo = as_typed(value, text, read_in.unwrap_or(unit), unit).unwrap_or_else(|| {
            let first = value.show_plain(unit);
            match unit.companion(kind) {
                Some(other) => format!("{first} = {}", value.show_plain(other)),
                None => first,
            }
        });
        let doubt = point.measured.sentence_in(unit);
        let doubt = doubt.rfind(" (U").and_then(|from| doubt.get(from..));
        let doubt = doubt.filter(|_| point.measured.expanded().si() > 0.0);
        let time = point
            .second
            .map_or_else(String::new, |s| format!("{}: ", time(s)));
        format!("{time}{echo}{}", doubt.unwrap_or(""))
    }
}

/// The echo with the decimals and the unit that were typed. What stands before ± and
/// step is read once more; where that is not the value, there is none.
fn as_typed(value: Quantity, text: &str, read_in: Unit, unit: Unit) -> Option<String> {
    let ends = ["±", "+-", "+/-", " step "].into_iter();
    let end = ends.filter_map(|mark| text.find(mark)).min();
    let number = text.get(..end.unwrap_or(text.len()))?;
    let typed = read(number, value.kind(), read_in).ok()?;
    if typed.quantity != value {
        return None;
    }
    // Where one or two decimals more say it exactly, nothing is rounded away.
    let exact = value.in_unit(unit).ok().and_then(|shown| {
        let whole = |places: i32| {
            let scaled = shown * 10f64.powi(places);
            (scaled - scaled.round()).abs() < 1e-6
        };
        let needs = |places: &u8| whole(i32::from(*places));
        if whole(0) {
            None
        } else {
            (1..=2_u8).find(needs)
        }
    });
    match exact {
        Some(places) if typed.unit != unit => Some(format!(
            "{} = {}",
            value.show_in_words(unit, places),
            value.show_in_words(typed.unit, typed.decimals)
        )),
        Some(_) | None => Some(typed.echo(unit)),
    }
}

fn time(seconds: f64) -> String {
    let unit = if seconds % 60.0 == 0.0 {
        Unit::Minute
    } else {
        Unit::Second
    };
    Quantity::from_si(seconds, Kind::Time)
        .map_or_else(|_no| String::new(), |time| time.show_plain(unit))
}
