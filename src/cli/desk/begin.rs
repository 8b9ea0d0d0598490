//! Beginning a job, taking one up again, and reading one.

use std::collections::BTreeSet;

use serde_json::value::RawValue;

use super::{Desk, DeskError, Hand, News, Papers, ReadOnly, Site};
use crate::job::{At, Command, Mode, Person, State, decide};
use crate::journal::{
    Beginning, Draft, Entry, Failure, Folder, Head, JobId, Ledger, Pins, Removed, Told, create,
    fold, look, pins, resume, write_events, write_open,
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
        let (job, writer) =
            create(site.disk(), &beginning, &mut || site.draw_job(), &mut first)?;
        let pins = papers.pins(mode, &job, site.program());
        let mut state = State::default();
        fold(&mut state, at, &events);
        let told = Told {
            seq: 0,
            at,
            by: by.to_string(),
            command: open.clone(),
            events,
            pins: Some(pins.clone()),
            program: Some(site.program().to_owned()),
        };
        let mut desk = Self {
            dir,
            session,
            setup,
            pins,
            state,
            told: vec![told],
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
        let resumed = resume(desk.site.disk(), folder, &desk.site.holder(by.as_str()))?;
        if resumed.writer.head() != desk.head {
            // Another program wrote between the look and the lock.
            desk.take_entries(&resumed.entries, resumed.writer.head())?;
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
        let (folder, mode) = site.find(id)?;
        let (entries, head, damage) = entries(&site, &folder)?;
        let first = entries.first().ok_or_else(|| Failure::NoJob {
            path: folder.path().to_owned(),
        })?;
        let pins = pins(first)?;
        check_place(&pins, id, mode)?;
        let papers = Papers::of_job(site.disk(), &folder, &pins)?;
        let setup = site.load(&papers, mode)?;
        let mut desk = Self {
            dir: first.dir.clone(),
            session: 0,
            setup,
            pins,
            state: State::default(),
            told: Vec::new(),
            head,
            agreement: None,
            hand: Hand::None(ReadOnly::Asked),
            news: News::default(),
            sheet_trouble: None,
            site,
        };
        desk.take_entries(&entries, head)?;
        if let Some(damage) = damage {
            desk.hand = Hand::None(ReadOnly::Damaged(damage));
        }
        Ok(desk)
    }

    /// Folds entries and decides them again.
    fn take_entries(&mut self, entries: &[Entry], head: Head) -> Result<(), DeskError> {
        let ledger = Ledger::open(&self.setup, entries, self.site.program())?;
        let why = if !ledger.agreement.holds() {
            ReadOnly::Differs
        } else if ledger.state.ended.is_some() {
            ReadOnly::Over
        } else {
            ReadOnly::Asked
        };
        self.hand = Hand::None(why);
        self.state = ledger.state;
        self.told = ledger.told;
        self.agreement = Some(ledger.agreement);
        self.head = head;
        Ok(())
    }

    /// A session that no entry has yet: two sessions' clocks are never compared.
    fn new_session(&self) -> Result<u32, Failure> {
        let used: BTreeSet<u32> = self.told.iter().map(|told| told.at.session).collect();
        let mut session = self.site.draw_session()?;
        while used.contains(&session) {
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

type Looked = (Vec<Entry>, Head, Option<Box<crate::journal::Damage>>);

/// The entries there are; of a damaged file those before the damage.
fn entries(site: &Site, folder: &Folder) -> Result<Looked, Failure> {
    match look(site.disk(), folder) {
        Ok(opened) => Ok((opened.entries, opened.head, None)),
        Err(Failure::Damaged { path, damage }) => {
            let valid = damage.valid.clone();
            if valid.entries.is_empty() {
                return Err(Failure::Damaged { path, damage });
            }
            Ok((valid.entries, valid.head, Some(damage)))
        }
        Err(other) => Err(other),
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
