//! Beginning a job, taking one up again, and reading one.

use std::collections::BTreeSet;

use serde_json::value::RawValue;

use super::{Desk, DeskError, Hand, News, Papers, ReadOnly, Site};
use crate::job::{At, Command, Mode, Person, State, decide};
use crate::journal::{
    Beginning, Damage, Draft, Entry, Failure, JobId, Ledger, Pins, Reading, Removed, Told, at_of,
    create, fold, pins, resume, write_events, write_open,
};

impl Desk {
    /// Begins a job: when this returns, its documents and its first entry are on
    /// disk. Nothing is made when the documents can't be loaded or the engine
    /// says no.
    ///
    /// # Errors
    /// As said, and when the disk refuses.
    pub(crate) fn create(
        site: Site,
        mode: Mode,
        papers: &Papers,
        open: &Command,
    ) -> Result<Self, DeskError> {
        let setup = site.load(papers, mode)?;
        let Command::Open { by, .. } = open else {
            return Err(Failure::Unwritable {
                what: "a job begins with another command than opening it",
            }
            .into());
        };
        let session = site.draw_session()?;
        let stamp = site.now();
        let at = at(stamp, session);
        let events = decide(&setup, &State::default(), open, at)?;
        let written = write_events(&events)?;
        let dir = site.settle()?;
        let mut first = |job: &JobId| Draft {
            at: stamp,
            session,
            dir: dir.clone(),
            by: by.to_string(),
            // A command that can't be written is refused as `null` before
            // anything is made.
            command: write_open(open, &papers.pins(mode, job, site.program()))
                .unwrap_or_else(|_unwritable| RawValue::NULL.to_owned()),
            events: written.clone(),
        };
        let parent = site.parent(mode);
        let beginning = Beginning {
            parent: &parent,
            holder: &site.holder(by.as_str()),
            documents: &papers.files()?,
        };
        let (job, writer) = create(site.disk(), &beginning, &mut || site.draw_job(), &mut first)?;
        let pins = papers.pins(mode, &job, site.program());
        let mut state = State::default();
        fold(&mut state, at, &events);
        let mut desk = Self {
            dir,
            session,
            setup,
            pins,
            state,
            begun: at,
            sessions: BTreeSet::from([session]),
            head: writer.head(),
            agreement: None,
            hand: Hand::Own(Box::new(writer)),
            news: News::default(),
            sheet_trouble: None,
            site,
        };
        desk.write_sheet();
        Ok(desk)
    }

    /// Takes a job up again: held against other programs, a torn end cut off and
    /// named, decided again, and resumed. What can be read and not continued is
    /// opened so; [`Desk::read_only`] says why.
    ///
    /// # Errors
    /// When another program holds it (who, is said), there is no such job, its
    /// documents are not those it was begun with or can't be loaded, or an entry
    /// is not known to this version.
    pub(crate) fn open(site: Site, id: &JobId, by: &Person) -> Result<Self, DeskError> {
        let mut desk = Self::read(site, id)?;
        if !matches!(desk.hand, Hand::None(ReadOnly::Asked)) {
            return Ok(desk);
        }
        let (folder, _) = desk.site.find(id)?;
        let holder = desk.site.holder(by.as_str());
        let resumed = resume(desk.site.disk(), folder, &holder, &mut |_| {})?;
        if resumed.writer.head() != desk.head {
            // Another program wrote between the look and the lock.
            desk = Self::read(desk.site, id)?;
            if !matches!(desk.hand, Hand::None(ReadOnly::Asked)) {
                return Ok(desk);
            }
        }
        desk.news.nearly_full = !resumed.has_reserve;
        desk.session = desk.new_session()?;
        desk.dir = desk.site.settle()?;
        desk.hand = Hand::Own(Box::new(resumed.writer));
        desk.note_removed(&resumed.removed)?;
        desk.news.removed = resumed.removed;
        match desk.act(&Command::Resume { by: by.clone() }) {
            Err(DeskError::Refused(refusal)) => {
                desk.hand = Hand::None(ReadOnly::Refused(refusal));
            }
            Err(other) => return Err(other),
            Ok(_) => {}
        }
        Ok(desk)
    }

    /// Reads a job without holding or changing it.
    ///
    /// # Errors
    /// As [`Desk::open`], but for jobs held by others, which can be read.
    pub(crate) fn read(site: Site, id: &JobId) -> Result<Self, DeskError> {
        Self::read_through(site, id, &mut |_| {})
    }

    /// Reads a job with every entry, for its pages.
    ///
    /// # Errors
    /// As [`Desk::read`].
    pub(crate) fn read_all(site: Site, id: &JobId) -> Result<(Self, Vec<Told>), DeskError> {
        let mut told = Vec::new();
        let desk = Self::read_through(site, id, &mut |next| told.push(next))?;
        Ok((desk, told))
    }

    /// Folds a job's entries one by one, decides them again and hands them on.
    fn read_through(site: Site, id: &JobId, each: &mut dyn FnMut(Told)) -> Result<Self, DeskError> {
        let (folder, mode) = site.find(id)?;
        let mut reading = Reading::open(site.disk(), &folder)?;
        let first = reading.next_entry()?.ok_or_else(|| Failure::NoJob {
            path: folder.path().to_owned(),
        })?;
        let pins = pins(&first)?;
        check_place(&pins, id, mode)?;
        let setup = site.load(&Papers::of_job(site.disk(), &folder, &pins)?, mode)?;
        let (begun, dir) = (at_of(&first), first.dir.clone());
        let mut ledger = Ledger::new(pins);
        let (mut next, mut damage) = (Some(first), None);
        while let Some(entry) = next {
            each(ledger.take(&setup, &entry, site.program())?);
            (next, damage) = undamaged(reading.next_entry())?;
        }
        let head = reading.head();
        drop(reading);
        Ok(Self {
            dir,
            session: 0,
            setup,
            begun,
            sessions: ledger.sessions().collect(),
            hand: Hand::None(damage.map_or_else(|| why(&ledger), ReadOnly::Damaged)),
            pins: ledger.pins,
            state: ledger.state,
            head,
            agreement: Some(ledger.agreement),
            news: News::default(),
            sheet_trouble: None,
            site,
        })
    }

    /// A session that no entry has yet: two sessions' clocks are never compared.
    fn new_session(&self) -> Result<u32, Failure> {
        let mut session = self.site.draw_session()?;
        while self.sessions.contains(&session) {
            session = session.wrapping_add(1);
        }
        Ok(session)
    }

    /// The first thing in the journal after a torn end is what was cut off.
    fn note_removed(&mut self, removed: &[Removed]) -> Result<(), DeskError> {
        for removed in removed {
            self.act(&Command::Recovered {
                bytes: removed.len,
                hash: removed.digest.to_string(),
            })?;
        }
        Ok(())
    }
}

/// What can be read after the first entry: of a damaged file what stands before
/// the damage.
fn undamaged(
    next: Result<Option<Entry>, Failure>,
) -> Result<(Option<Entry>, Option<Box<Damage>>), Failure> {
    match next {
        Ok(next) => Ok((next, None)),
        Err(Failure::Damaged { damage, .. }) => Ok((None, Some(damage))),
        Err(other) => Err(other),
    }
}

/// Why a whole record that was only read is not written on.
fn why(ledger: &Ledger) -> ReadOnly {
    if !ledger.agreement.holds() {
        ReadOnly::Differs
    } else if ledger.state.ended.is_some() {
        ReadOnly::Over
    } else {
        ReadOnly::Asked
    }
}

fn check_place(pins: &Pins, id: &JobId, mode: Mode) -> Result<(), DeskError> {
    if &pins.job != id {
        return Err(DeskError::OtherJob {
            pinned: pins.job.clone(),
            found: id.clone(),
        });
    }
    if pins.mode != mode {
        return Err(DeskError::OtherMode { pinned: pins.mode });
    }
    Ok(())
}

fn at(stamp: crate::journal::Stamp, session: u32) -> At {
    At {
        wall_ms: stamp.wall_ms,
        offset_min: stamp.offset_min,
        mono_ms: stamp.mono_ms,
        session,
    }
}
