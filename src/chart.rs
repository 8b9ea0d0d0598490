//! A procedure as a picture, as a graph for other programs, and as a paper form.
//!
//! Invariants: the same procedure gives the same bytes; every step and every way
//! stands there exactly once, or is counted where it is folded away; text of
//! documents is escaped before it stands in any of them (P9). What is said to be
//! true at a step comes from the proof and is worked out nowhere here.
//!
//! Must not know of files, jobs or journals: digest and general stop words come in.

mod band;
mod dot;
mod form;
mod graph;
mod known;
mod layout;
mod letter;
mod mark;
mod phrase;
mod picture;
mod slot;
mod svg;

use crate::procedure::{Procedure, Sheet, StepId};
use crate::proof::Facts;

pub use dot::dot;
pub use form::form;
pub use known::{Known, known};
pub use layout::picture;
pub use picture::{Frame, Line, Picture, Piece, Shape, Text, Tone};
pub use svg::svg;

/// What is drawn.
#[derive(Debug, Clone, Copy)]
pub struct Chart<'a> {
    /// The step graph.
    pub procedure: &'a Procedure,
    /// What holds where.
    pub facts: &'a Facts,
    /// How many errors the checker found; 0 if it is proved.
    pub errors: usize,
    /// The values of one vehicle, where they are to stand beside their names.
    pub sheet: Option<&'a Sheet>,
    /// The digest of the document's bytes, in hex.
    pub sha256: &'a str,
    /// What is done first at every stop, whatever the phase.
    pub stop: &'a [&'a str],
    /// Whether asides are drawn step by step.
    pub unfold: bool,
    /// The step at which it is shown what is known.
    pub at: Option<&'a StepId>,
}
