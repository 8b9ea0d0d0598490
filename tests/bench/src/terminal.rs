//! A program in a pseudo-terminal: every piece of its output with the instant at
//! which it arrived, and the screen that it makes.

use std::io::{Read as _, Write};
use std::path::Path;
use std::sync::mpsc::{Receiver, RecvTimeoutError, channel};
use std::time::{Duration, Instant};

use portable_pty::{Child, CommandBuilder, MasterPty, PtySize, native_pty_system};

use crate::Wrong;

/// A running program and its screen.
pub(crate) struct Terminal {
    child: Box<dyn Child + Send + Sync>,
    keys: Box<dyn Write + Send>,
    output: Receiver<(Instant, Vec<u8>)>,
    parser: vt100::Parser,
    begun: Instant,
    _master: Box<dyn MasterPty + Send>,
}

/// What stands on a screen, styles and cursor included.
pub(crate) type Picture = (String, (u16, u16));

impl Terminal {
    /// Starts a program on a screen of that size.
    pub(crate) fn start(
        program: &Path,
        args: &[&str],
        (cols, rows): (u16, u16),
    ) -> Result<Self, Wrong> {
        let pair = native_pty_system().openpty(PtySize {
            rows,
            cols,
            pixel_width: 0,
            pixel_height: 0,
        })?;
        let mut command = CommandBuilder::new(program);
        command.args(args);
        command.env("TERM", "xterm-256color");
        command.env_remove("NO_COLOR");
        let mut reader = pair.master.try_clone_reader()?;
        let keys = pair.master.take_writer()?;
        let (to, output) = channel();
        std::thread::spawn(move || {
            let mut piece = vec![0; 1 << 16];
            while let Ok(len @ 1..) = reader.read(&mut piece) {
                let now = Instant::now();
                if to.send((now, piece[..len].to_vec())).is_err() {
                    return;
                }
            }
        });
        let parser = vt100::Parser::new(rows.try_into()?, cols.try_into()?, 0);
        let begun = Instant::now();
        let child = pair.slave.spawn_command(command)?;
        Ok(Self {
            child,
            keys,
            output,
            parser,
            begun,
            _master: pair.master,
        })
    }

    /// When it was started.
    pub(crate) fn begun(&self) -> Instant {
        self.begun
    }

    /// Its process id.
    pub(crate) fn pid(&self) -> Result<u32, Wrong> {
        self.child.process_id().ok_or("no process id".into())
    }

    /// Types.
    pub(crate) fn press(&mut self, keys: &str) -> Result<Instant, Wrong> {
        let now = Instant::now();
        self.keys.write_all(keys.as_bytes())?;
        self.keys.flush()?;
        Ok(now)
    }

    /// When the piece arrived that made the screen so, or `None` in that time.
    pub(crate) fn until_in(
        &mut self,
        time: Duration,
        so: impl Fn(&vt100::Screen) -> bool,
    ) -> Option<Instant> {
        let end = Instant::now() + time;
        while let Ok((at, piece)) = self
            .output
            .recv_timeout(end.saturating_duration_since(Instant::now()))
        {
            self.parser.process(&piece);
            if so(self.parser.screen()) {
                return Some(at);
            }
        }
        None
    }

    /// As [`Terminal::until_in`] with ten seconds, and the screen in the message.
    pub(crate) fn until(&mut self, words: &str) -> Result<Instant, Wrong> {
        if self.parser.screen().contents().contains(words) {
            return Ok(Instant::now());
        }
        self.until_in(Duration::from_secs(10), |s| s.contents().contains(words))
            .ok_or_else(|| {
                format!(
                    "the screen never showed {words:?}:\n{}",
                    self.parser.screen().contents()
                )
                .into()
            })
    }

    /// Takes output until there is none for that time.
    pub(crate) fn settle(&mut self, quiet: Duration) {
        loop {
            match self.output.recv_timeout(quiet) {
                Ok((_, piece)) => self.parser.process(&piece),
                Err(RecvTimeoutError::Timeout | RecvTimeoutError::Disconnected) => return,
            }
        }
    }

    /// What stands there now.
    pub(crate) fn picture(&self) -> Picture {
        picture(self.parser.screen())
    }

    /// What stands there now, as text.
    pub(crate) fn text(&self) -> String {
        self.parser.screen().contents()
    }
}

/// What stands on a screen.
pub(crate) fn picture(screen: &vt100::Screen) -> Picture {
    (screen.contents_formatted(), screen.cursor_position())
}

impl Drop for Terminal {
    fn drop(&mut self) {
        // It may have ended by itself.
        let _gone = self.child.kill();
        let _gone = self.child.wait();
    }
}
