//! What the bench is to look at, and what came of reading it.

use std::path::PathBuf;
use std::sync::Arc;

use crate::document::Places;
use crate::finding::Placed;
use crate::procedure::{Instruments, Procedure, Sheet};
use crate::proof::Facts;

/// Where a document comes from.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Source {
    /// Built in, by its id.
    BuiltIn(String),
    /// A file.
    File(PathBuf),
}

/// What the bench is to look at.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Look {
    /// The procedure.
    pub procedure: Source,
    /// A sheet, whose values stand in the steps.
    pub sheet: Option<Source>,
    /// Instruments, which the limits are held against together with the sheet.
    pub instruments: Option<Source>,
}

/// A reading of the documents.
#[derive(Debug)]
pub struct Reading {
    /// The procedure's document, as people call it.
    pub name: String,
    /// The step graph with what holds where; `None` when it can't be followed.
    pub followed: Option<(Arc<Procedure>, Facts)>,
    /// Where things stand in the procedure's text.
    pub places: Places,
    /// Everything found, in the order of the text.
    pub findings: Vec<Placed>,
    /// The sheet, if it can be used.
    pub sheet: Option<Arc<Sheet>>,
    /// The instruments, if they can be used.
    pub instruments: Option<Arc<Instruments>>,
    /// What is wrong with the sheet or the instruments as files.
    pub beside: Vec<String>,
}

/// What came of a look.
#[derive(Debug)]
pub enum Came {
    /// Nothing was saved since.
    Same,
    /// The procedure can't be read, because.
    Unreadable(String),
    /// It was read.
    Read(Box<Reading>),
}
