//! Reading what people type as a value.
//!
//! Invariants: never panics, whatever is typed; never guesses a unit (P3): a
//! bare number takes the unit shown in the field and nothing else.

use super::kind::Kind;
use super::misread::Misread;
use super::unit::Unit;
use super::value::Quantity;

/// What was typed, understood.
#[derive(Debug, Clone, PartialEq)]
pub struct Typed {
    /// The value.
    pub quantity: Quantity,
    /// The unit it was typed in.
    pub unit: Unit,
    /// The text as typed, without spaces round it.
    pub text: String,
    /// Decimals as typed; of a fraction, as many as show it exactly.
    pub decimals: u8,
}

/// Reads what a person typed into a field that shows a unit.
///
/// # Errors
/// Whatever is not a plain value of the kind in a unit that fits it.
pub fn read(text: &str, kind: Kind, shown: Unit) -> Result<Typed, Misread> {
    super::read::understand(text, kind, Some(shown))
}

/// Reads a value in a document: the unit must be written, except for ratios.
///
/// # Errors
/// As [`read`], and a bare number.
pub fn read_literal(text: &str, kind: Kind) -> Result<Typed, Misread> {
    understand(text, kind, None)
}

fn understand(text: &str, kind: Kind, shown: Option<Unit>) -> Result<Typed, Misread> {
    let _ = shown;
    Err(Misread {
        typed: super::misread::plain(text),
        wanted: kind,
        problem: super::misread::Problem::NoNumber,
        near: None,
    })
}
