//! The mark scheme: printed and explained, no figure that hides others.
//!
//! A drill is passed when every row is. Rows are of four kinds: what was found, what was
//! safe, what was true, what was left. Nothing is added up.
//!
//! Must not know: the screen.

use super::debrief::Debrief;
use super::unsafe_act::Seriousness;
use crate::rig::Remedy;

/// So many faults named or mended that were not there are guessing.
const GUESSES: usize = 3;

/// Whether a row is passed.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Mark {
    /// As it should be.
    Good,
    /// It should be better, and does not fail the drill.
    Noted,
    /// It fails the drill.
    Fail,
}

impl Mark {
    /// The word.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Good => "good",
            Self::Noted => "noted",
            Self::Fail => "not passed",
        }
    }
}

/// One row of the scheme.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Row {
    /// What is looked at.
    pub title: &'static str,
    /// How it is judged.
    pub rule: &'static str,
    /// What came of it.
    pub found: String,
    /// The mark.
    pub mark: Mark,
}

/// The rows of a debrief.
pub fn marks(debrief: &Debrief) -> Vec<Row> {
    let mut rows = fault_rows(debrief);
    rows.extend(act_rows(debrief));
    let dishonest = debrief.said.iter().filter(|s| !s.honest).count();
    rows.push(Row {
        title: "Readings as shown",
        rule: "each within a division of what its instrument showed",
        found: format!(
            "{} of {}",
            debrief.said.len() - dishonest,
            debrief.said.len()
        ),
        mark: fail(dishonest > 0),
    });
    rows.push(left_row(debrief));
    rows
}

const fn fail(bad: bool) -> Mark {
    if bad { Mark::Fail } else { Mark::Good }
}

const fn note(bad: bool) -> Mark {
    if bad { Mark::Noted } else { Mark::Good }
}

fn fault_rows(debrief: &Debrief) -> Vec<Row> {
    let faults = debrief.faults.len();
    let found = debrief
        .faults
        .iter()
        .filter(|f| f.found_ms.is_some())
        .count();
    let treated = debrief.faults.iter().filter(|f| f.treated).count();
    let share = |n: usize| match faults {
        0 => "there was none".to_owned(),
        all => format!("{n} of {all}"),
    };
    vec![
        Row {
            title: "Faults found",
            rule: "every fault is named or mended before the end",
            found: share(found),
            mark: fail(found < faults),
        },
        Row {
            title: "Faults treated",
            rule: "mended, swapped, noted or stopped for, as each asks",
            found: share(treated),
            mark: fail(treated < faults),
        },
        Row {
            title: "Not there",
            rule: "named or mended and not there: noted; three or more are not passed",
            found: debrief.misnamed.len().to_string(),
            mark: if debrief.misnamed.len() >= GUESSES {
                Mark::Fail
            } else {
                note(!debrief.misnamed.is_empty())
            },
        },
    ]
}

fn act_rows(debrief: &Debrief) -> Vec<Row> {
    let count = |serious: Seriousness| {
        let acts = debrief.unsafe_acts.iter();
        acts.filter(|c| c.act.seriousness() == serious).count()
    };
    let dangers = count(Seriousness::Danger);
    let warnings = count(Seriousness::Warning);
    let notices = count(Seriousness::Notice);
    vec![
        Row {
            title: "DANGER acts",
            rule: "none: one is enough to kill",
            found: dangers.to_string(),
            mark: fail(dangers > 0),
        },
        Row {
            title: "WARNING acts",
            rule: "none",
            found: warnings.to_string(),
            mark: fail(warnings > 0),
        },
        Row {
            title: "NOTICE acts",
            rule: "noted; three or more are not passed",
            found: notices.to_string(),
            mark: if notices >= 3 {
                Mark::Fail
            } else {
                note(notices > 0)
            },
        },
    ]
}

fn left_row(debrief: &Debrief) -> Row {
    let title = "What is left";
    let rule = "ride height within the sheet on both sides; or left as found and handed over; or made safe, where a fault asks for it";
    if debrief.made_safe {
        let asked = debrief.faults.iter().any(|f| f.remedy == Remedy::Stop);
        let found = if asked {
            "work was stopped and the truck made safe"
        } else {
            "made safe, and nothing on this truck asked for it: the job is not done"
        };
        return Row {
            title,
            rule,
            found: found.to_owned(),
            mark: fail(!asked),
        };
    }
    if debrief.left.unknown {
        return Row {
            title,
            rule,
            found: "settings unknown".to_owned(),
            mark: Mark::Fail,
        };
    }
    let off = debrief.off_mm();
    let (found, mark) = match (off, debrief.left.wanted) {
        (Some(off), Some((_, within))) => (
            format!("at most {off:.1} mm off, {:.0} mm allowed", within * 1000.0),
            if off <= within * 1000.0 {
                Mark::Good
            } else {
                Mark::Fail
            },
        ),
        _ => ("the sheet says no ride height".to_owned(), Mark::Noted),
    };
    let (found, mark) = if debrief.left_as_found {
        (
            format!("as it was found and handed over; {found}"),
            Mark::Good,
        )
    } else if debrief.ended {
        (found, mark)
    } else {
        (format!("left before the end; {found}"), Mark::Fail)
    };
    Row {
        title,
        rule,
        found,
        mark,
    }
}
