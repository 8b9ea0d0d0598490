//! One job at work: documents, state, journal and status sheet kept in step.
//!
//! Invariants: nothing counts as done before its entry is on disk (P2); the
//! state is the fold of confirmed entries (P1); a job whose record and engine do
//! not agree is read and not continued (P5). Entries are folded one by one and not
//! kept: only [`Desk::read_all`] gives them, for pages. A command is given in one go
//! ([`Desk::act`]), in halves ([`Desk::prepare`], [`Desk::commit`]) with the append
//! between them, or decided already ([`Desk::keep`]).
//!
//! Must not know of keys and screens.

mod begin;
mod failure;
mod keep;
mod papers;
mod site;

#[cfg(test)]
mod tests;

use std::collections::BTreeSet;

use crate::job::{At, Command, Event, Refusal, Setup, State, decide};
use crate::journal::{
    Agreement, Damage, DirId, Draft, Failure, Head, JobId, Pins, Removed, Told, Writer, fold,
    signer, write_command, write_events,
};
use crate::record::{Account, status_sheet};

pub(crate) use failure::DeskError;
pub(crate) use papers::{INSTRUMENTS, PROCEDURE, Papers, SHEET, load};
pub(crate) use site::Site;

/// Why a job is read and not continued.
#[derive(Debug, Clone, PartialEq)]
pub(crate) enum ReadOnly {
    /// It was opened only to be read.
    Asked,
    /// It is over.
    Over,
    /// Its file is damaged; what stands before the damage is shown.
    Damaged(Box<Damage>),
    /// Record and engine do not agree; see the agreement.
    Differs,
    /// The engine says no to opening it again.
    Refused(Box<Refusal>),
}

/// What opening a job found that people must be told.
#[derive(Debug, Clone, PartialEq, Default)]
pub(crate) struct News {
    /// Torn ends that were cut off and kept aside.
    pub(crate) removed: Vec<Removed>,
    /// No space could be kept for a safe stop: the disk is nearly full.
    pub(crate) nearly_full: bool,
}

/// Who may write.
#[derive(Debug)]
enum Hand {
    /// This desk.
    Own(Box<Writer>),
    /// Nobody.
    None(ReadOnly),
}

/// One job at work.
#[derive(Debug)]
pub(crate) struct Desk {
    site: Site,
    dir: DirId,
    session: u32,
    setup: Setup,
    pins: Pins,
    state: State,
    begun: At,
    /// Every session that has entries.
    sessions: BTreeSet<u32>,
    head: Head,
    agreement: Option<Agreement>,
    hand: Hand,
    news: News,
    sheet_trouble: Option<Failure>,
}

/// A command that the engine took, ready to be appended.
#[derive(Debug, Clone)]
pub(crate) struct Prepared {
    /// What to append.
    pub(crate) draft: Draft,
    /// What follows once it is on disk.
    pub(crate) events: Vec<Event>,
    at: At,
}

impl Desk {
    /// The job's id.
    pub(crate) fn job(&self) -> &JobId {
        &self.pins.job
    }

    /// The documents it runs on.
    pub(crate) fn setup(&self) -> &Setup {
        &self.setup
    }

    /// Its state, as far as it is on disk.
    pub(crate) fn state(&self) -> &State {
        &self.state
    }

    /// Count and last hash of what is on disk.
    #[cfg_attr(
        not(test),
        expect(dead_code, reason = "nothing on the screen shows it yet")
    )]
    pub(crate) fn head(&self) -> Head {
        self.head
    }

    /// When it was begun.
    pub(crate) const fn begun(&self) -> At {
        self.begun
    }

    /// Why it can't be continued, if it can't.
    pub(crate) fn read_only(&self) -> Option<&ReadOnly> {
        match &self.hand {
            Hand::None(why) => Some(why),
            Hand::Own(_) => None,
        }
    }

    /// Where record and engine do not agree; `None` for a job begun just now.
    pub(crate) fn agreement(&self) -> Option<&Agreement> {
        self.agreement.as_ref()
    }

    /// What opening it found.
    pub(crate) fn news(&self) -> &News {
        &self.news
    }

    /// Why the last status sheet could not be written, if it could not. The
    /// record itself is safe then.
    pub(crate) fn sheet_trouble(&self) -> Option<&Failure> {
        self.sheet_trouble.as_ref()
    }

    /// Now, as the engine sees it.
    pub(crate) fn at(&self) -> At {
        let stamp = self.site.now();
        At {
            wall_ms: stamp.wall_ms,
            offset_min: stamp.offset_min,
            mono_ms: stamp.mono_ms,
            session: self.session,
        }
    }

    /// The job as the record shows it; `told` are its entries, as
    /// [`Desk::read_all`] gives them.
    pub(crate) fn account<'a>(&'a self, told: &'a [Told]) -> Account<'a> {
        Account {
            setup: &self.setup,
            pins: &self.pins,
            state: &self.state,
            told,
            head: self.head,
            agreement: self.agreement.as_ref(),
        }
    }

    /// The status sheet as it stands.
    pub(crate) fn status_sheet(&self) -> String {
        // The sheet tells the state and no entry.
        status_sheet(&self.account(&[]))
    }

    /// Decides a command and makes its entry; nothing is written and nothing has
    /// happened. One at a time: what is prepared fits only the state it was
    /// prepared on.
    ///
    /// # Errors
    /// When the engine says no, or the job is open for reading only.
    pub(crate) fn prepare(&self, command: &Command) -> Result<Prepared, DeskError> {
        if let Hand::None(why) = &self.hand {
            return Err(DeskError::ReadOnly(why.clone()));
        }
        let at = self.at();
        let events = decide(&self.setup, &self.state, command, at)?;
        let by = signer(&self.state, command).unwrap_or_default().to_owned();
        let draft = Draft {
            at: self.site.stamp_of(at),
            session: self.session,
            dir: self.dir.clone(),
            by,
            command: write_command(command, self.site.program())?,
            events: write_events(&events)?,
        };
        Ok(Prepared { draft, events, at })
    }

    /// Folds a command whose entry is on disk; `head` is what the writer gave.
    pub(crate) fn commit(&mut self, prepared: &Prepared, head: Head) {
        fold(&mut self.state, prepared.at, &prepared.events);
        self.sessions.insert(prepared.at.session);
        self.head = head;
    }

    /// Gives a command: decides, appends, folds, and writes the status sheet
    /// where the job moved on.
    ///
    /// # Errors
    /// When the engine says no, the disk refuses or the job is open for reading
    /// only; the state is then as it was.
    pub(crate) fn act(&mut self, command: &Command) -> Result<Vec<Event>, DeskError> {
        let prepared = self.prepare(command)?;
        let head = self.writer()?.append(&prepared.draft)?;
        self.commit(&prepared, head);
        if moves_on(&prepared.events) {
            self.write_sheet();
        }
        Ok(prepared.events)
    }

    /// Whoever may write.
    fn writer(&mut self) -> Result<&mut Writer, DeskError> {
        match &mut self.hand {
            Hand::Own(writer) => Ok(writer),
            Hand::None(why) => Err(DeskError::ReadOnly(why.clone())),
        }
    }

    /// Writes the status sheet; trouble with it is kept and does not undo what
    /// was done.
    pub(crate) fn write_sheet(&mut self) {
        let text = self.status_sheet();
        if let Hand::Own(writer) = &self.hand {
            self.sheet_trouble = writer.write_sheet(self.site.disk(), &text).err();
        }
    }
}

/// Whether the status sheet is written after these events: where the job moved
/// on, stopped, or owes or holds something else than before.
pub(crate) fn moves_on(events: &[Event]) -> bool {
    events.iter().any(|event| {
        matches!(
            event,
            Event::Opened { .. }
                | Event::Resumed { .. }
                | Event::Left { .. }
                | Event::AtDoor { .. }
                | Event::Entered { .. }
                | Event::StopCalled { .. }
                | Event::StopTaken { .. }
                | Event::Attested { .. }
                | Event::Corrected { .. }
                | Event::RepeatBegun { .. }
                | Event::RepeatEnded { .. }
                | Event::HandedOver { .. }
                | Event::RepeatsHandedOver { .. }
                | Event::Ended { .. }
        )
    })
}
