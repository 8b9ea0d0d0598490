//! Keeping an entry that was decided elsewhere: on the screen, on the state that
//! is on disk.

use super::{Desk, DeskError, Hand, Prepared, moves_on};
use crate::job::{At, Command, Event};
use crate::journal::{Draft, write_command, write_events};

impl Desk {
    /// Appends a command with the events that were decided on the state that is
    /// on disk, and folds them.
    ///
    /// # Errors
    /// When the disk refuses or the job is open for reading only; the state is
    /// then as it was.
    pub(crate) fn keep(
        &mut self,
        command: &Command,
        events: Vec<Event>,
        at: At,
    ) -> Result<(), DeskError> {
        let by = super::signer(&self.state, command)
            .unwrap_or_default()
            .to_owned();
        let draft = Draft {
            at: self.site.stamp_of(at),
            session: self.session,
            dir: self.dir.clone(),
            by,
            command: write_command(command, self.site.program())?,
            events: write_events(&events)?,
        };
        let head = self.writer()?.append(&draft)?;
        let prepared = Prepared { draft, events, at };
        self.commit(&prepared, head);
        if moves_on(&prepared.events) {
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
    /// When the place is taken or refuses; when the job is long and its own disk
    /// does not give it back; or nothing is held.
    pub(crate) fn copy_to(&self, path: &std::path::Path) -> Result<(), DeskError> {
        match &self.hand {
            Hand::Own(writer) => {
                let disk = self.site.disk();
                Ok(writer.save_copy(disk, disk, path)?)
            }
            Hand::None(why) => Err(DeskError::ReadOnly(why.clone())),
        }
    }
}
