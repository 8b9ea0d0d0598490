//! Engineering sums and the one registry that names them.
//!
//! A sum takes measured values with their kinds and gives a measured value; it
//! reads no clock and keeps nothing. The registry says for each sum what goes in
//! and what comes out, so that documents can be checked before anything is read.

mod compare;

use std::fmt;

use crate::quantity::{Kind, Measured};

/// One input of a sum as it is used.
#[derive(Debug, Clone, PartialEq)]
pub struct Given {
    /// The points, one for a plain value, all of them in order for a series.
    pub points: Vec<Measured>,
    /// The instrument they were read with; two inputs with the same one share its error.
    pub instrument: Option<String>,
}

/// What an input must be.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Input {
    /// Its name in documents and messages.
    pub name: &'static str,
    /// Whether it is all points of a series.
    pub series: bool,
}

/// Why a sum gives nothing.
#[derive(Debug, Clone, PartialEq)]
pub enum CalcError {
    /// Too few or too many inputs.
    Inputs {
        /// The sum.
        sum: &'static str,
        /// How many it takes.
        wanted: usize,
        /// How many there were.
        found: usize,
    },
    /// An input of a kind the sum can't use.
    Kind {
        /// The sum.
        sum: &'static str,
        /// The input.
        input: &'static str,
        /// What it was.
        found: Kind,
        /// What it should be.
        wanted: &'static str,
    },
    /// A series with too few points.
    Points {
        /// The sum.
        sum: &'static str,
        /// The input.
        input: &'static str,
        /// How many points it takes at least.
        wanted: usize,
        /// How many there were.
        found: usize,
    },
}

impl fmt::Display for CalcError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Inputs { sum, wanted, found } => {
                write!(f, "the sum {sum} takes {wanted} inputs; {found} were given")
            }
            Self::Kind {
                sum,
                input,
                found,
                wanted,
            } => write!(
                f,
                "the sum {sum} can't use {} for {input}; it takes {wanted}",
                found.with_article()
            ),
            Self::Points {
                sum,
                input,
                wanted,
                found,
            } => write!(
                f,
                "the sum {sum} needs {wanted} points of {input}; there are {found} so far, take the next reading"
            ),
        }
    }
}

impl std::error::Error for CalcError {}

/// One sum of the registry.
#[derive(Debug)]
pub struct Sum {
    /// Its name in documents.
    pub name: &'static str,
    /// What it works out, in a line.
    pub title: &'static str,
    /// The formula as people read it.
    pub formula: &'static str,
    /// Where it comes from.
    pub source: &'static str,
    /// What goes in.
    pub inputs: &'static [Input],
    kind: fn(&[Kind]) -> Result<Kind, CalcError>,
    work: fn(&[Given]) -> Result<Measured, CalcError>,
}

impl Sum {
    /// The kind that comes out for inputs of these kinds.
    ///
    /// # Errors
    /// When the number of inputs or a kind does not fit.
    pub fn kind(&self, inputs: &[Kind]) -> Result<Kind, CalcError> {
        self.count(inputs.len())?;
        (self.kind)(inputs)
    }

    /// Works the sum out.
    ///
    /// # Errors
    /// When the number of inputs, a kind or the number of points does not fit.
    pub fn work(&self, inputs: &[Given]) -> Result<Measured, CalcError> {
        self.count(inputs.len())?;
        for (given, input) in inputs.iter().zip(self.inputs) {
            let wanted = if input.series { 2 } else { 1 };
            if given.points.len() < wanted {
                return Err(CalcError::Points {
                    sum: self.name,
                    input: input.name,
                    wanted,
                    found: given.points.len(),
                });
            }
        }
        (self.work)(inputs)
    }

    const fn count(&self, found: usize) -> Result<(), CalcError> {
        if found == self.inputs.len() {
            return Ok(());
        }
        Err(self.miscount(found))
    }

    const fn miscount(&self, found: usize) -> CalcError {
        CalcError::Inputs {
            sum: self.name,
            wanted: self.inputs.len(),
            found,
        }
    }
}

/// Every sum, in the order of the reference.
pub const REGISTRY: &[&Sum] = &[
    &compare::DIFFERENCE,
    &compare::MEAN,
    &compare::SWAPPED_DIFFERENCE,
    &compare::SERIES_DROP,
];

/// The sum of that name.
pub fn find(name: &str) -> Option<&'static Sum> {
    REGISTRY.iter().find(|s| s.name == name).copied()
}
