//! The documents built into the program: one listing, held against the directory
//! `procedures/` by a test.

mod practice;
mod rehearsal;

use std::collections::BTreeMap;

use serde_json::value::RawValue;

/// What kind of document it is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Shelf {
    /// A procedure.
    Procedure,
    /// A sheet.
    Sheet,
    /// A list of instruments.
    Instruments,
    /// A rehearsal.
    Rehearsal,
    /// A truck to practise on.
    Truck,
    /// A fault that such a truck can have.
    Fault,
    /// A drill.
    Drill,
    /// A drill written out.
    DrillScript,
    /// A run of the simulated truck by itself. None is built in, and nothing names one.
    Timetable,
}

impl Shelf {
    /// What people call such a document, and its word in the list of releases.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Procedure => "procedure",
            Self::Sheet => "sheet",
            Self::Instruments => "instruments",
            Self::Rehearsal => "rehearsal",
            Self::Truck => "truck",
            Self::Fault => "fault",
            Self::Drill => "drill",
            Self::DrillScript => "script of a drill",
            Self::Timetable => "timetable",
        }
    }

    /// Whether it is for practice only: real jobs never take it, so it needs no release.
    pub const fn is_practice(self) -> bool {
        matches!(
            self,
            Self::Truck | Self::Fault | Self::Drill | Self::DrillScript | Self::Timetable
        )
    }

    /// The same with its article.
    pub const fn called(self) -> &'static str {
        match self {
            Self::Procedure => "a procedure",
            Self::Sheet => "a sheet",
            Self::Instruments => "a list of instruments",
            Self::Rehearsal => "a rehearsal",
            Self::Truck => "a truck",
            Self::Fault => "a fault",
            Self::Drill => "a drill",
            Self::DrillScript => "a script of a drill",
            Self::Timetable => "a timetable",
        }
    }
}

/// A document built into the program.
#[derive(Debug, Clone, Copy)]
pub struct Shipped {
    /// What kind.
    pub shelf: Shelf,
    /// Its id.
    pub id: &'static str,
    /// What people see.
    pub title: &'static str,
    /// A few words more.
    pub about: &'static str,
    /// Whether a job can be started with it; rehearsals have sheets of their own.
    pub offered: bool,
    /// Its path in the package.
    pub path: &'static str,
    /// Its bytes.
    pub bytes: &'static [u8],
}

macro_rules! shipped {
    ($shelf:ident, $id:literal, $title:literal, $about:literal, $offered:literal, $path:literal) => {
        Shipped {
            shelf: Shelf::$shelf,
            id: $id,
            title: $title,
            about: $about,
            offered: $offered,
            path: $path,
            bytes: include_bytes!(concat!("../../", $path)),
        }
    };
}

/// Every document built in.
pub fn all() -> impl Iterator<Item = &'static Shipped> {
    let practice = practice::all();
    DOCUMENTS
        .iter()
        .chain(rehearsal::REHEARSALS)
        .chain(practice)
}

/// Procedures, sheets and instruments.
const DOCUMENTS: &[Shipped] = &[
    shipped!(
        Procedure,
        "ride_height",
        "Ride height, drive axle",
        "the whole job, to the road test",
        true,
        "procedures/ride_height.json"
    ),
    shipped!(
        Procedure,
        "height_check",
        "Height check, all axles",
        "ends in leave it or set it",
        true,
        "procedures/height_check.json"
    ),
    shipped!(
        Procedure,
        "bellows_change",
        "New bellows, drive axle",
        "air out and in again, on stands",
        true,
        "procedures/bellows_change.json"
    ),
    shipped!(
        Procedure,
        "sensor_linkage",
        "Height sensor or linkage, drive axle",
        "ends in a Ride height job",
        true,
        "procedures/sensor_linkage.json"
    ),
    shipped!(
        Sheet,
        "bw_07",
        "tractor BW-07 (invented)",
        "metric demo vehicle",
        true,
        "procedures/sheets/bw_07.json"
    ),
    shipped!(
        Sheet,
        "sr_214",
        "tractor SR-214 (invented)",
        "US demo vehicle",
        true,
        "procedures/sheets/sr_214.json"
    ),
    shipped!(
        Sheet,
        "bw_11",
        "tractor BW-11, Brackwater Haulage (invented)",
        "for rehearsals",
        false,
        "procedures/sheets/bw_11.json"
    ),
    shipped!(
        Sheet,
        "bw_12",
        "tractor BW-12, Brackwater Haulage (invented)",
        "for rehearsals",
        false,
        "procedures/sheets/bw_12.json"
    ),
    shipped!(
        Sheet,
        "bw_13",
        "tractor BW-13, Brackwater Haulage (invented)",
        "for rehearsals",
        false,
        "procedures/sheets/bw_13.json"
    ),
    shipped!(
        Sheet,
        "bw_14",
        "tractor BW-14, Brackwater Haulage (invented)",
        "for rehearsals",
        false,
        "procedures/sheets/bw_14.json"
    ),
    shipped!(
        Sheet,
        "bw_15",
        "tractor BW-15, Brackwater Haulage (invented)",
        "for rehearsals",
        false,
        "procedures/sheets/bw_15.json"
    ),
    shipped!(
        Sheet,
        "bw_16",
        "tractor BW-16, Brackwater Haulage (invented)",
        "for rehearsals",
        false,
        "procedures/sheets/bw_16.json"
    ),
    shipped!(
        Sheet,
        "bw_18",
        "tractor BW-18, Brackwater Haulage (invented)",
        "for rehearsals",
        false,
        "procedures/sheets/bw_18.json"
    ),
    shipped!(
        Sheet,
        "bw_19",
        "tractor BW-19, Brackwater Haulage (invented)",
        "for rehearsals",
        false,
        "procedures/sheets/bw_19.json"
    ),
    shipped!(
        Sheet,
        "bw_21",
        "tractor BW-21, Brackwater Haulage (invented)",
        "four bellows, for practice",
        false,
        "procedures/sheets/bw_21.json"
    ),
    shipped!(
        Instruments,
        "demo_bench",
        "demo bench, Brackwater Haulage (invented)",
        "metric",
        true,
        "procedures/instruments/demo_bench.json"
    ),
    shipped!(
        Instruments,
        "sable_ridge_bench",
        "demo bench, Sable Ridge Freight (invented)",
        "US",
        true,
        "procedures/instruments/sable_ridge_bench.json"
    ),
];

/// Shelf and id of a document's text, told from its own members.
pub(crate) fn head(bytes: &[u8]) -> Option<(Shelf, String)> {
    Some((shelf(bytes)?, member(bytes, "id")?))
}

/// What kind of document a text says it is.
pub(crate) fn shelf(bytes: &[u8]) -> Option<Shelf> {
    Some(match member(bytes, "format")?.as_str() {
        "levelhand procedure 1" => Shelf::Procedure,
        "levelhand sheet 1" => Shelf::Sheet,
        "levelhand instruments 1" => Shelf::Instruments,
        "levelhand rehearsal 1" => Shelf::Rehearsal,
        "levelhand truck 1" => Shelf::Truck,
        "levelhand fault 1" => Shelf::Fault,
        "levelhand drill 1" => Shelf::Drill,
        "levelhand drill script 1" => Shelf::DrillScript,
        "levelhand timetable 1" => Shelf::Timetable,
        _ => return None,
    })
}

/// The title in a document's text.
pub(crate) fn title(bytes: &[u8]) -> Option<String> {
    member(bytes, "title")
}

/// A text that stands at the top of a document, whatever else is wrong with it but
/// its grammar; nothing else is read.
pub(crate) fn member(bytes: &[u8], name: &str) -> Option<String> {
    let members: BTreeMap<String, &RawValue> = serde_json::from_slice(bytes).ok()?;
    serde_json::from_str(members.get(name)?.get()).ok()
}
