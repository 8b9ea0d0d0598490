//! Keeping an entry that was decided elsewhere: on the screen, on the state that
//! is on disk.

use super::{Desk, DeskError, Hand, Prepared, moves_on};
use crate::job::{At, Command, Event};
use crate::journal::{Draft, Told, write_command, write_events};

impl Desk {
    /// Appends a command with the events that were decided on the state that is
    /// on disk, and folds them.
    ///
    /// # Errors
    /// When the disk refuses or the job is open for reading only; the state is
    /// then as it was.
    pub(crate) fn keep(
        &mut self,
        command: Command,
        events: Vec<Event>,
        at: At,
    ) -> Result<(), DeskError> {
        let by = super::signer(&self.state, &command)
            .unwrap_or_default()
            .to_owned();
        let draft = Draft {
            at: self.site.stamp_of(at),
            session: self.session,
            dir: self.dir.clone(),
            by: by.clone(),
            command: write_command(&command, self.site.program())?,
            events: write_events(&events)?,
        };
        let seq = self.head.count;
        let head = self.writer()?.append(&draft)?;
        let moved = moves_on(&events);
        let told = Told {
            seq,
            at,
            by,
            command,
            events: events.clone(),
            pins: None,
            program: None,
        };
        self.commit(
            Prepared {
                draft,
                events,
                told,
            },
            head,
        );
        if moved {
            self.write_sheet();
        }
        Ok(())
    }

    /// The session this desk writes under.
    pub(crate) const fn session(&self) -> u32 {
        self.session
    }

    /// Saves a whole copy of what is on disk at another place.
    ///
    /// # Errors
    /// When the place is taken or refuses; or nothing is held.
    pub(crate) fn copy_to(&self, path: &std::path::Path) -> Result<(), DeskError> {
        match &self.hand {
            Hand::Own(writer) => Ok(writer.save_copy(self.site.disk(), path)?),
            Hand::None(why) => Err(DeskError::ReadOnly(why.clone())),
        }
    }
}
