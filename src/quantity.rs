//! Values with units: kinds, reading what people type, showing, uncertainty, verdicts.
//!
//! Invariants: a [`Quantity`] always has a [`Kind`] and a finite value; two
//! kinds never meet by accident; units are never guessed (P3); a verdict knows
//! its uncertainty and its rule (P4).
//!
//! Knows nothing of any other module, of clocks or of files.

mod bound;
mod day;
mod error_limit;
mod kind;
mod measured;
mod metrology;
mod misread;
mod number;
mod read;
mod show;
mod unit;
mod value;
mod verdict;

#[cfg(test)]
mod tests;

pub use bound::Bound;
pub use day::{Day, NotADay};
pub use error_limit::{CLASSES, ErrorLimit, Grade};
pub use kind::{Kind, System};
pub use measured::{Measured, difference, drop_between, mean, swapped_difference};
pub use metrology::{Metrology, NotAnInstrument, ZeroCheck, highest_provable};
pub use misread::{LONGEST, Misread, Problem};
pub use read::{Typed, read, read_literal};
pub use unit::{PSI_PA, STANDARD_GRAVITY, Unit};
pub use value::{KindError, NotAQuantity, Quantity};
pub use verdict::{COVERAGE, Judgement, Rule, Verdict, judge};
