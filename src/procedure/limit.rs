//! Limits: declarative, never formulas.

use super::id::{ConditionId, SheetKey, ValueId};
use crate::quantity::{Quantity, Rule};

/// The other side of a limit.
#[derive(Debug, Clone, PartialEq)]
pub enum Side {
    /// A value written in the procedure itself.
    Literal(Quantity),
    /// A value of the vehicle's sheet.
    Sheet(SheetKey),
}

/// What a limit is put on.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Subject {
    /// A reading or a working.
    Value(ValueId),
    /// The difference of two readings, first minus second.
    Difference(ValueId, ValueId),
    /// How long a condition has held.
    Age(ConditionId),
}

/// What the limit asks.
#[derive(Debug, Clone, PartialEq)]
pub enum BoundSpec {
    /// Not above.
    AtMost(Side),
    /// Not below.
    AtLeast(Side),
    /// From the first to the second, both included.
    Between(Side, Side),
    /// No further than `within` from `target`.
    Near {
        /// The middle.
        target: Side,
        /// The half-width.
        within: Side,
    },
    /// Two readings apart by no more than this.
    DifferByAtMost(Side),
    /// A condition that has held for at least this long (a time).
    AgeAtLeast(Side),
}

impl BoundSpec {
    /// The sides in the order they are written.
    pub fn sides(&self) -> Vec<&Side> {
        match self {
            Self::AtMost(a) | Self::AtLeast(a) | Self::DifferByAtMost(a) | Self::AgeAtLeast(a) => {
                vec![a]
            }
            Self::Between(a, b) => vec![a, b],
            Self::Near { target, within } => vec![target, within],
        }
    }
}

/// Whether a limit may be overridden.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Grade {
    /// No way past it in the program.
    Interlock,
    /// May be overridden with a reason, which is kept.
    Advice,
}

/// One limit of a step.
#[derive(Debug, Clone, PartialEq)]
pub struct Limit {
    /// What is judged.
    pub subject: Subject,
    /// Against what.
    pub bound: BoundSpec,
    /// The decision rule, fixed here and nowhere else.
    pub rule: Rule,
    /// Interlock or advice.
    pub grade: Grade,
    /// Why the limit is there, in a line.
    pub why: String,
    /// What to do when the verdict is too close to call.
    pub too_close: Vec<String>,
}
