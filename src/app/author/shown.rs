//! The step as a job that stands at it, so that it is drawn by what draws a job.
//!
//! What holds on every path holds there, what is owed on some path is owed, nothing
//! is answered and no value is known. It is never begun and never kept.

use std::collections::BTreeMap;
use std::sync::Arc;

use super::Picture;
use crate::app::action::OpenedJob;
use crate::app::work::{Page, Work};
use crate::input::Stamp;
use crate::job::{At, Held, Mode, Owed, Place, Setup, State};
use crate::procedure::{Body, Instruments, Sheet, SheetId, SheetKey, Step};
use crate::quantity::System;

/// The size at which a step is shown.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum View {
    /// Read from two metres.
    Far,
    /// The usual window.
    Plain,
    /// A wide one.
    Wide,
}

impl View {
    /// Columns and rows.
    pub const fn size(self) -> (u16, u16) {
        match self {
            Self::Far => (40, 12),
            Self::Plain => (80, 24),
            Self::Wide => (120, 40),
        }
    }

    /// As it is said.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Far => "from afar, 40×12",
            Self::Plain => "80×24",
            Self::Wide => "wide, 120×40",
        }
    }

    /// The one to begin with in a window of this size.
    pub(super) const fn fitting(size: (u16, u16)) -> Self {
        if size.0 < 60 || size.1 < 20 {
            Self::Far
        } else {
            Self::Plain
        }
    }

    pub(super) const fn next(self) -> Self {
        match self {
            Self::Far => Self::Plain,
            Self::Plain => Self::Wide,
            Self::Wide => Self::Far,
        }
    }
}

/// The value of the sheet that answers a look, so that nobody sees it.
pub const fn answered_by_sheet(step: &Step) -> Option<&SheetKey> {
    match &step.body {
        Body::Look { by_sheet, .. } => by_sheet.as_ref(),
        Body::Ordinary { .. } | Body::End(_) => None,
    }
}

/// The short name that stands where a job's own would.
const NAME: &str = "--------·LOOK";

/// A job that stands at a step; on its second page if it is asked for.
pub(super) fn at(picture: &Picture, step: &Step, now: Stamp, second: bool) -> Option<Work> {
    let sheet = match &picture.sheet {
        Some(sheet) => Arc::clone(sheet),
        None => Arc::new(no_sheet()?),
    };
    let instruments = picture.instruments.clone();
    let setup = Setup {
        procedure: Arc::clone(&picture.procedure),
        sheet,
        instruments: instruments.unwrap_or_else(|| Arc::new(no_instruments())),
        mode: Mode::Job,
    };
    let state = state(picture, step, &setup, now);
    let job = OpenedJob {
        id: NAME.to_owned(),
        session: state.session,
        setup: Arc::new(setup),
        state,
        notices: Vec::new(),
        read_only: None,
    };
    let mut work = Work::new(job, now);
    if second && work.page == Page::Move {
        work.page = Page::Answers;
        work.focus_open(0);
    }
    Some(work)
}

fn state(picture: &Picture, step: &Step, setup: &Setup, now: Stamp) -> State {
    let at = At {
        wall_ms: now.wall_ms,
        offset_min: 0,
        mono_ms: u64::try_from(now.mono.as_millis()).unwrap_or(u64::MAX),
        session: 1,
    };
    let roles = setup.procedure.roles.keys();
    let mut state = State {
        place: Place::In(step.id.clone()),
        session: 1,
        last: Some(at),
        trail: vec![step.id.clone()],
        roles: roles
            .filter_map(|r| Some((r.clone(), setup.instruments.for_role(r)?.id.clone())))
            .collect(),
        ..State::default()
    };
    if let Some(arrival) = picture.facts.at(&step.id) {
        let gone = setup.procedure.effective_clears(step);
        let held = Held {
            since: at,
            attested: at,
            stale: false,
            by: step.id.clone(),
        };
        let holds = arrival.holds.into_iter().filter(|c| !gone.contains(c));
        state.conditions = holds.map(|c| (c, held.clone())).collect();
        let owed = Owed {
            by: step.id.clone(),
            to: None,
        };
        let duties = arrival.owed.into_iter().chain(step.incurs.iter().cloned());
        state.duties = duties.map(|d| (d, owed.clone())).collect();
    }
    state
}

fn no_sheet() -> Option<Sheet> {
    Some(Sheet {
        id: SheetId::new("no_sheet").ok()?,
        title: "no sheet".to_owned(),
        revision: 0,
        system: System::Metric,
        identify: Vec::new(),
        values: BTreeMap::new(),
    })
}

fn no_instruments() -> Instruments {
    Instruments {
        id: "none".to_owned(),
        title: "no instruments".to_owned(),
        list: BTreeMap::new(),
    }
}
