//! Why a text was not taken as a value, as a sentence with the way out.
//!
//! Invariant: what is repeated of the text carries no control characters (P9).

use super::kind::Kind;
use super::unit::Unit;
use super::value::NotAQuantity;
use std::fmt;

/// The longest text that is read, in characters.
pub const LONGEST: usize = 64;

/// A text that is no value of the kind that is wanted.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Misread {
    /// What was typed, cut to 64 characters, control characters made visible.
    pub typed: String,
    /// The kind that is wanted.
    pub wanted: Kind,
    /// What is wrong with it.
    pub problem: Problem,
    /// The accepted unit nearest to what was typed.
    pub near: Option<Unit>,
}

/// What is wrong with a typed value.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Problem {
    /// Nothing was typed.
    Empty,
    /// More than 64 characters.
    TooLong,
    /// It does not begin with a number.
    NoNumber,
    /// The number is not written plainly: `2.`, `1.2.3`, an exponent.
    BadNumber,
    /// More digits than any instrument has.
    TooManyDigits,
    /// A comma that may part thousands or decimals.
    AmbiguousComma {
        /// The number if it parts thousands: `1250`.
        thousands: String,
        /// The number if it is a decimal comma: `1.25`.
        decimal: String,
    },
    /// Two numbers where one is wanted: `1 250`.
    TwoNumbers,
    /// A fraction that is none of a rule's: 3/7, 9/8, of mm.
    BadFraction,
    /// No unit, where one must be written.
    UnitMissing,
    /// A unit that nobody here knows.
    UnknownUnit {
        /// What stands in its place.
        written: String,
    },
    /// A unit of another kind.
    OtherKind {
        /// The unit that was found.
        unit: Unit,
    },
    /// An absolute pressure typed without `abs`.
    AbsMissing,
    /// `abs` on another kind than an absolute pressure.
    AbsNotMeant,
    /// A gauge mark (`psig`) on another kind than a gauge pressure.
    GaugeNotMeant,
    /// Minutes of 60 and more, or inches of 12 and more, or a sign inside.
    BadParts,
    /// Nose up or nose down together with a sign.
    SignAndWords,
    /// Nose up or nose down for something that is no slope.
    WordsNotMeant,
    /// The value can't be: under vacuum, under absolute zero, too steep.
    Impossible {
        /// Why not.
        why: NotAQuantity,
    },
}

/// Plain text of at most [`LONGEST`] characters: control and direction
/// characters become `·`.
pub(super) fn plain(text: &str) -> String {
    let hidden = |c: char| {
        c.is_control()
            || matches!(c, '\u{200B}'..='\u{200F}' | '\u{2028}'..='\u{202E}' | '\u{2060}'..='\u{206F}' | '\u{FEFF}')
    };
    let shown = |c: char| if hidden(c) { '·' } else { c };
    let mut cut: String = text.chars().take(LONGEST).map(shown).collect();
    if text.chars().nth(LONGEST).is_some() {
        cut.push('…');
    }
    cut
}

impl Misread {
    fn found(&self) -> String {
        let wanted = self.wanted.with_article();
        match &self.problem {
            Problem::Empty => "Nothing was typed.".to_owned(),
            Problem::TooLong => format!("That is longer than {LONGEST} characters."),
            Problem::NoNumber => "There is no number at the beginning.".to_owned(),
            Problem::BadNumber => "The number is not written plainly. Write digits with one decimal mark, 2.1 or 2,1.".to_owned(),
            Problem::TooManyDigits => "The number has more digits than anyone can measure.".to_owned(),
            Problem::AmbiguousComma { thousands, decimal } => format!(
                "The comma can mean thousands or decimals. Write {thousands} or {decimal}."
            ),
            Problem::TwoNumbers => "There are two numbers. Write one, without a space inside.".to_owned(),
            Problem::BadFraction => {
                "Fractions are of inches only, in halves, 4ths, 8ths, 16ths, 32nds or 64ths, less than one.".to_owned()
            }
            Problem::UnitMissing => "The unit is missing.".to_owned(),
            Problem::UnknownUnit { written } => format!("\"{written}\" is no unit known here."),
            Problem::OtherKind { unit } => format!("{unit} is a unit of {}.", kinds(*unit)),
            Problem::AbsMissing => "An absolute pressure is written with abs.".to_owned(),
            Problem::AbsNotMeant => format!("abs makes it an absolute pressure; {wanted} is wanted."),
            Problem::GaugeNotMeant => format!("The g makes it a gauge pressure; {wanted} is wanted."),
            Problem::BadParts => "The second part must be smaller than one of the first, without a sign.".to_owned(),
            Problem::SignAndWords => "There are a sign and words. Write one of them: 4.3° nose up, or 4.3°.".to_owned(),
            Problem::WordsNotMeant => format!("Nose up and nose down are for slopes; {wanted} is wanted."),
            Problem::Impossible { why } => format!("{}.", capital(&why.to_string())),
        }
    }

    /// What would be taken instead.
    fn accepted(&self) -> String {
        format!(
            "{} is wanted: {}.",
            capital(&self.wanted.with_article()),
            units(self.wanted)
        )
    }
}

/// Kinds of a unit: "mass", "length or tread depth".
fn kinds(unit: Unit) -> String {
    let names: Vec<String> = unit
        .kinds()
        .into_iter()
        .map(|kind| kind.name().to_owned())
        .collect();
    alternatives(&names)
}

/// Units of a kind as written: "bar, psi or kPa".
fn units(kind: Kind) -> String {
    let plain_number = |symbol: String| {
        if symbol.is_empty() {
            "a plain number".to_owned()
        } else {
            symbol
        }
    };
    let symbols: Vec<String> = kind
        .units()
        .iter()
        .map(|unit| plain_number(unit.symbol_for(kind)))
        .collect();
    alternatives(&symbols)
}

fn alternatives(words: &[String]) -> String {
    match words {
        [] => String::new(),
        [only] => only.clone(),
        [most @ .., last] => format!("{} or {last}", most.join(", ")),
    }
}

fn capital(text: &str) -> String {
    let mut chars = text.chars();
    chars.next().map_or_else(String::new, |first| {
        first.to_uppercase().chain(chars).collect()
    })
}

impl fmt::Display for Misread {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        if self.problem != Problem::Empty {
            write!(out, "`{}`: ", self.typed)?;
        }
        out.write_str(&self.found())?;
        if let Some(near) = self.near {
            write!(out, " Did you mean {}?", near.symbol_for(self.wanted))?;
        }
        // These have said it all.
        let is_complete = matches!(
            self.problem,
            Problem::AmbiguousComma { .. } | Problem::SignAndWords | Problem::TwoNumbers
        );
        if is_complete {
            return Ok(());
        }
        write!(out, " {}", self.accepted())
    }
}

impl std::error::Error for Misread {}
