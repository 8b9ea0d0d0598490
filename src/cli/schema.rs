//! `levelhand schema`: what stands where in a document, for editors.

use std::path::{Path, PathBuf};

use clap::{Args, ValueEnum};

use super::output::{complain, say, say_raw};
use crate::document::schema::Format;
use crate::io::{exit, shop};

/// Prints the JSON Schema of a document format, which an editor uses to help while
/// someone writes. Without a format the formats are listed.
#[derive(Debug, Args)]
#[command(
    after_help = "Examples:\n  levelhand schema procedure > levelhand-procedure-1.schema.json\n  levelhand schema --all schemas\n\nA document names its schema after its format:\n  \"$schema\": \"schemas/levelhand-procedure-1.schema.json\"\n\nExit codes: 0 good, 2 wrong use, 3 a file can't be written."
)]
pub(crate) struct Schema {
    /// The format.
    #[arg(value_enum)]
    format: Option<Sort>,
    /// Write the schemas of all formats into this directory.
    #[arg(long, value_name = "DIR", conflicts_with = "format")]
    all: Option<PathBuf>,
}

/// A sort of document, as it is typed.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub(crate) enum Sort {
    /// The steps of a job.
    Procedure,
    /// The values of one vehicle.
    Sheet,
    /// What a shop measures with.
    Instruments,
    /// A scripted run of a procedure.
    Rehearsal,
    /// A truck to practise on.
    Truck,
    /// What can be wrong with it.
    Fault,
    /// A truck with faults, under a procedure.
    Drill,
    /// A drill written out.
    DrillScript,
    /// A run of the simulated truck by itself.
    Timetable,
}

impl From<Sort> for Format {
    fn from(sort: Sort) -> Self {
        match sort {
            Sort::Procedure => Self::Procedure,
            Sort::Sheet => Self::Sheet,
            Sort::Instruments => Self::Instruments,
            Sort::Rehearsal => Self::Rehearsal,
            Sort::Truck => Self::Truck,
            Sort::Fault => Self::Fault,
            Sort::Drill => Self::Drill,
            Sort::DrillScript => Self::DrillScript,
            Sort::Timetable => Self::Timetable,
        }
    }
}

/// Prints, lists or writes.
pub(crate) fn run(verb: &Schema) -> u8 {
    if let Some(dir) = &verb.all {
        return write_all(dir);
    }
    if let Some(format) = verb.format {
        say_raw(&Format::from(format).schema());
        return exit::OK;
    }
    for format in Format::ALL {
        say(&format!("{:<12} {}", format.key(), format.about()));
    }
    exit::OK
}

fn write_all(dir: &Path) -> u8 {
    for format in Format::ALL {
        let path = dir.join(format.file_name());
        if let Err(error) = shop::put(&path, format.schema().as_bytes(), true) {
            complain(&format!(
                "{} can't be written: {error}. Give a directory where you may write.",
                path.display()
            ));
            return exit::STORAGE;
        }
        say(&format!("written  {}", path.display()));
    }
    exit::OK
}
