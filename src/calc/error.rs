//! Why a sum gives nothing: which input of which sum, what was found, what is
//! accepted.

use std::fmt;

use crate::quantity::{Kind, Quantity};

/// What a formula says when it can't use an input: which, and why in a line.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Snag {
    /// The key of the input.
    pub input: &'static str,
    /// Why, as a clause: "the shaft must turn".
    pub why: &'static str,
}

impl Snag {
    /// An input that can't be used.
    pub const fn new(input: &'static str, why: &'static str) -> Self {
        Self { input, why }
    }
}

/// Why a sum gives nothing.
#[derive(Debug, Clone, PartialEq)]
pub enum CalcError {
    /// Too many inputs.
    Inputs {
        /// The sum.
        sum: &'static str,
        /// How many it takes.
        wanted: usize,
        /// How many there were.
        found: usize,
    },
    /// An input is missing.
    Missing {
        /// The sum.
        sum: &'static str,
        /// The input.
        input: &'static str,
        /// What it should be.
        wanted: String,
    },
    /// An input of a kind the sum can't use.
    Kind {
        /// The sum.
        sum: &'static str,
        /// The input.
        input: &'static str,
        /// What it was.
        found: String,
        /// What it should be.
        wanted: String,
    },
    /// Too few or too many values.
    Points {
        /// The sum.
        sum: &'static str,
        /// The input.
        input: &'static str,
        /// How many it takes at least.
        wanted: usize,
        /// How many it takes at most.
        most: usize,
        /// How many there were.
        found: usize,
    },
    /// A series without its instants.
    Instants {
        /// The sum.
        sum: &'static str,
        /// The input.
        input: &'static str,
    },
    /// A value out of its range.
    Range {
        /// The sum.
        sum: &'static str,
        /// The input.
        input: &'static str,
        /// What it was.
        found: Quantity,
        /// The least that is taken.
        least: Option<Quantity>,
        /// The most that is taken.
        most: Option<Quantity>,
        /// Why.
        why: &'static str,
    },
    /// The formula can't use a value.
    Refused {
        /// The sum.
        sum: &'static str,
        /// The input.
        input: &'static str,
        /// What it was, in words.
        found: String,
        /// Why.
        why: &'static str,
    },
    /// The uncertainty of an input reaches over the edge of what the sum takes.
    Edge {
        /// The sum.
        sum: &'static str,
        /// The input.
        input: &'static str,
    },
    /// A result that is no number, from inputs far off anything real.
    NoNumber {
        /// The sum.
        sum: &'static str,
        /// The result.
        output: &'static str,
    },
}

/// A value with its kind's usual unit, for a message.
fn shown(value: Quantity) -> String {
    let metric = value.kind().shown(crate::quantity::System::Metric);
    value.show_plain(metric)
}

impl fmt::Display for CalcError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Inputs { sum, wanted, found } => {
                write!(f, "the sum {sum} takes {wanted} inputs; {found} were given")
            }
            Self::Missing { sum, input, wanted } => {
                write!(f, "the sum {sum} needs {input}: {wanted}")
            }
            Self::Kind {
                sum,
                input,
                found,
                wanted,
            } => write!(
                f,
                "the sum {sum} can't use {found} for {input}; it takes {wanted}"
            ),
            Self::Points {
                sum,
                input,
                wanted,
                most,
                found,
            } => few_or_many(f, sum, input, (*wanted, *most), *found),
            Self::Instants { sum, input } => write!(
                f,
                "the sum {sum} needs to know when each value of {input} was read"
            ),
            Self::Range {
                sum,
                input,
                found,
                least,
                most,
                why,
            } => {
                write!(f, "the sum {sum} can't use {} for {input}", shown(*found))?;
                match (least, most) {
                    (Some(least), Some(most)) => {
                        write!(f, "; it takes {} to {}", shown(*least), shown(*most))?;
                    }
                    (Some(least), None) => write!(f, "; it takes {} or more", shown(*least))?,
                    (None, Some(most)) => write!(f, "; it takes {} or less", shown(*most))?,
                    (None, None) => {}
                }
                if why.is_empty() {
                    Ok(())
                } else {
                    write!(f, ": {why}")
                }
            }
            Self::Refused {
                sum,
                input,
                found,
                why,
            } => write!(f, "the sum {sum} can't use {found} for {input}: {why}"),
            Self::Edge { sum, input } => write!(
                f,
                "the uncertainty of {input} reaches over what the sum {sum} can take; read it with a better instrument"
            ),
            Self::NoNumber { sum, output } => write!(
                f,
                "the sum {sum} gives no number for {output} with these inputs; look at each of them"
            ),
        }
    }
}

fn few_or_many(
    f: &mut fmt::Formatter<'_>,
    sum: &str,
    input: &str,
    (least, most): (usize, usize),
    found: usize,
) -> fmt::Result {
    if found > most && most == 1 {
        return write!(
            f,
            "the sum {sum} takes one value of {input}; {found} were given"
        );
    }
    if found > most {
        return write!(
            f,
            "the sum {sum} takes at most {most} values of {input}; {found} were given"
        );
    }
    write!(
        f,
        "the sum {sum} needs {least} points of {input}; there are {found} so far, take the next reading"
    )
}

impl std::error::Error for CalcError {}

/// What a kind is called in a message.
pub(super) fn called(kind: Kind) -> String {
    kind.with_article()
}
