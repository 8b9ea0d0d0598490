//! A truck to practise on, a fault it can have, and a drill: as their documents
//! describe them.
//!
//! Must not know: how they are written, what a procedure makes of a reading.

use std::collections::BTreeMap;

use super::params::Params;
use super::spot::{Side, Spot};
use crate::quantity::Quantity;

/// What is so at a place.
#[derive(Debug, Clone, PartialEq)]
pub enum Truth {
    /// Something that is measured.
    Value(Quantity),
    /// Something that is looked at.
    Word {
        /// What is seen.
        word: String,
        /// Whether that is as it should be.
        good: bool,
    },
}

/// A fact of the bay that changes what is so elsewhere.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Fact {
    /// The support charger is on.
    ChargerOn,
    /// The shop air is open.
    ShopAirOpen,
    /// The parking brake is on.
    BrakeOn,
    /// The mudguards are off.
    MudguardsOff,
    /// The settings were written and the key was turned since.
    Written,
    /// The truck was rolled.
    Rolled,
    /// Levelling was stopped, and is not awake again.
    LevellingStopped,
}

impl Fact {
    /// All.
    pub const ALL: [Self; 7] = [
        Self::ChargerOn,
        Self::ShopAirOpen,
        Self::BrakeOn,
        Self::MudguardsOff,
        Self::Written,
        Self::Rolled,
        Self::LevellingStopped,
    ];

    /// The word in documents.
    pub const fn key(self) -> &'static str {
        match self {
            Self::ChargerOn => "charger_on",
            Self::ShopAirOpen => "shop_air_open",
            Self::BrakeOn => "brake_on",
            Self::MudguardsOff => "mudguards_off",
            Self::Written => "written",
            Self::Rolled => "rolled",
            Self::LevellingStopped => "levelling_stopped",
        }
    }
}

/// Something that the physics does not move: opened at its place and read.
#[derive(Debug, Clone, PartialEq)]
pub struct Card {
    /// What people read.
    pub title: String,
    /// Where it is opened.
    pub spot: Spot,
    /// What is so.
    pub truth: Truth,
    /// What is so instead, once a fact is true; the last one that is counts.
    pub changes: Vec<(Fact, Truth)>,
    /// It moves with the mean height: so much a metre, in SI, from the height at which
    /// the truth holds.
    pub with_height: Option<(f64, f64)>,
}

/// Where the arm's pivot lies, for how far the axle turns with the height.
///
/// # Units
/// Metres; over the floor at ride height.
/// # Source
/// Geometry of our demo sheets: the frame turns about its point over the front axle,
/// the axle centre keeps its height over the floor.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ArmGeometry {
    /// Pivot to axle centre.
    pub arm: f64,
    /// From the front axle back to the pivot.
    pub pivot_back: f64,
    /// The pivot below the frame underside.
    pub pivot_below_frame: f64,
    /// Frame underside over the front axle.
    pub frame_front: f64,
    /// Axle centre over the floor, which is the loaded radius of the tyre.
    pub axle_over_floor: f64,
}

/// A truck to practise on.
#[derive(Debug, Clone, PartialEq)]
pub struct Truck {
    /// Its name.
    pub id: String,
    /// What people read.
    pub title: String,
    /// The sheet that is its own.
    pub sheet: String,
    /// The physics.
    pub params: Params,
    /// Heights at the start, m.
    pub start: [f64; 2],
    /// Gauge pressure in the reservoir at the start, Pa; `None`: as full as the shop air
    /// fills it.
    pub reservoir: Option<f64>,
    /// The arm, if the axle turns with the height.
    pub arm: Option<ArmGeometry>,
    /// What the control unit has stored: ride, upper, lower.
    pub stored: [u16; 3],
    /// Counts either side of its target within which levelling rests.
    pub dead_band: u16,
    /// True heights of the two blocks, m.
    pub blocks: [f64; 2],
    /// Write-out is refused below this, V, and stops without a press in this time, ms.
    pub write_least_v: f64,
    /// See above.
    pub write_within_ms: u64,
    /// Presses until it is written.
    pub write_presses: u32,
    /// The card that says the battery's voltage.
    pub battery: String,
    /// What is read at its place and not moved by the physics.
    pub cards: BTreeMap<String, Card>,
    /// What a reading of a procedure shows: a sight or a card, by the reading's name.
    pub readings: BTreeMap<String, String>,
    /// What a tick or a choice of a procedure says is as it should be: a sight or a card,
    /// by `STEP.TICK` or `STEP.CHOICE`. STEP is without the place of a fragment, or with
    /// it where that place differs from the others. What is not named here is not judged.
    pub answers: BTreeMap<String, String>,
}

/// How plain a fault is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Plain {
    /// It shows.
    Clear,
    /// It must be looked for.
    Subtle,
}

impl Plain {
    /// Both.
    pub const ALL: [Self; 2] = [Self::Clear, Self::Subtle];

    /// The word.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Clear => "clear",
            Self::Subtle => "subtle",
        }
    }
}

/// What is right to do about a fault.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Remedy {
    /// Mend it and go on.
    Mend,
    /// Fit another one, or swap, and go on.
    Swap,
    /// Stop work.
    Stop,
    /// Note it and go on: it does no harm here.
    GoOn,
}

impl Remedy {
    /// All.
    pub const ALL: [Self; 4] = [Self::Mend, Self::Swap, Self::Stop, Self::GoOn];

    /// The word in documents.
    pub const fn key(self) -> &'static str {
        match self {
            Self::Mend => "mend",
            Self::Swap => "swap",
            Self::Stop => "stop",
            Self::GoOn => "go_on",
        }
    }

    /// What people read.
    pub const fn words(self) -> &'static str {
        match self {
            Self::Mend => "mend it and go on",
            Self::Swap => "fit another one and go on",
            Self::Stop => "stop work",
            Self::GoOn => "note it and go on",
        }
    }
}

/// One thing that a fault changes.
#[derive(Debug, Clone, PartialEq)]
pub enum Set {
    /// A number of the physics, by its name.
    Physics(String, f64),
    /// A block's true height, m.
    Block(Side, f64),
    /// A hose or the like in the gap, so thick, m.
    Hose(Side, f64),
    /// Dirt on the seat, so thick, m.
    Dirt(Side, f64),
    /// A block set by hand stands tipped.
    Tips(Side),
    /// Gauge pressure in the reservoir at the start, Pa.
    Reservoir(f64),
    /// The shop air is shut at the start and stays so until someone opens it.
    ShopAirShut,
    /// What is so on a card.
    Card(String, Truth),
}

/// A fault to find.
#[derive(Debug, Clone, PartialEq)]
pub struct Fault {
    /// Its name.
    pub id: String,
    /// What people read when they say which fault it is.
    pub title: String,
    /// How plain it is.
    pub plain: Plain,
    /// What it changes.
    pub sets: Vec<Set>,
    /// How it shows.
    pub symptom: Vec<String>,
    /// Steps at which a careful person finds it: without the place of a fragment, or
    /// with it.
    pub found_at: Vec<String>,
    /// What is right to do.
    pub remedy: Remedy,
    /// What mending is called, where it can be mended here.
    pub mending: Option<String>,
    /// Where it is mended.
    pub mended_at: Option<Spot>,
    /// What to have done, in a line or two.
    pub lesson: Vec<String>,
}

/// Which faults a drill has.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Chosen {
    /// These.
    Named(Vec<String>),
    /// So many, drawn by the seed among those of this plainness, or all.
    Drawn {
        /// How many.
        count: usize,
        /// How plain; `None`: any.
        plain: Option<Plain>,
    },
}

/// How much is said on the way.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Coaching {
    /// The next thing is explained, and an unsafe act is told at once.
    Coached,
    /// An unsafe act is told at once.
    Hints,
    /// Nothing is told before the debrief.
    Alone,
}

impl Coaching {
    /// All.
    pub const ALL: [Self; 3] = [Self::Coached, Self::Hints, Self::Alone];

    /// The word.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Coached => "coached",
            Self::Hints => "hints",
            Self::Alone => "alone",
        }
    }

    /// What people read.
    pub const fn words(self) -> &'static str {
        match self {
            Self::Coached => "coached: the next thing is explained",
            Self::Hints => "hints: an unsafe act is told at once",
            Self::Alone => "alone: nothing is told before the debrief",
        }
    }
}

/// A drill.
#[derive(Debug, Clone, PartialEq)]
pub struct Plan {
    /// Its name.
    pub id: String,
    /// What people read.
    pub title: String,
    /// What it teaches.
    pub aim: Vec<String>,
    /// Its place in the course, from 1.
    pub number: u32,
    /// The drill that should have been passed before.
    pub after: Option<String>,
    /// The procedure.
    pub procedure: String,
    /// The sheet that is handed to the person: perhaps not the truck's own.
    pub sheet: String,
    /// The instruments.
    pub instruments: String,
    /// The truck.
    pub truck: String,
    /// Its faults.
    pub faults: Chosen,
    /// How much is said.
    pub coaching: Coaching,
    /// The script by which the coach says what is next.
    pub coach: Option<String>,
    /// Honest gauges differ a little, drawn by the seed.
    pub scatter: bool,
    /// Everything before this step was done by the lead hand, as this script says.
    pub begin: Option<(String, String)>,
}
