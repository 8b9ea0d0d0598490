//! A pseudo terminal with the program in it: what it draws is parsed as a real
//! terminal would, what it asks of the terminal is answered, what is typed goes in
//! as bytes. Waits end by what is on the screen or by a deadline, never by a guess.

use std::fmt::Write as _;
use std::io::{Read, Write};
use std::num::NonZeroU16;
use std::path::Path;
use std::process::Command;
use std::sync::{Arc, Mutex, MutexGuard, PoisonError};
use std::thread::sleep;
use std::time::{Duration, Instant};

use portable_pty::{Child, CommandBuilder, ExitStatus, MasterPty, PtySize, native_pty_system};

/// Longest wait for anything that needs no time of its own. Long, because the
/// machine may have much else to do.
pub(super) const SOON: Duration = Duration::from_secs(30);
/// How often the screen is looked at.
const LOOK: Duration = Duration::from_millis(4);

/// What came out of the program.
struct Seen {
    parser: vt100::Parser,
    bytes: Vec<u8>,
    ended: bool,
}

/// A terminal with the program in it.
pub(super) struct Terminal {
    child: Box<dyn Child + Send + Sync>,
    master: Option<Box<dyn MasterPty + Send>>,
    writer: Arc<Mutex<Box<dyn Write + Send>>>,
    seen: Arc<Mutex<Seen>>,
    line_before: String,
}

/// How the program is started.
pub(super) struct Start<'a> {
    data: &'a Path,
    size: (u16, u16),
    env: Vec<(&'a str, &'a str)>,
    command: Option<CommandBuilder>,
    trial: bool,
}

fn locked<T>(mutex: &Mutex<T>) -> MutexGuard<'_, T> {
    mutex.lock().unwrap_or_else(PoisonError::into_inner)
}

fn cells(n: u16) -> NonZeroU16 {
    NonZeroU16::new(n).unwrap()
}

impl<'a> Start<'a> {
    /// With this data directory, 80 by 24.
    pub(super) fn new(data: &'a Path) -> Self {
        Self {
            data,
            size: (80, 24),
            env: Vec::new(),
            command: None,
            trial: false,
        }
    }

    /// To try documents out.
    pub(super) fn trial(mut self) -> Self {
        self.trial = true;
        self
    }

    /// Columns and rows.
    pub(super) fn size(mut self, cols: u16, rows: u16) -> Self {
        self.size = (cols, rows);
        self
    }

    /// A variable more.
    pub(super) fn env(mut self, name: &'a str, value: &'a str) -> Self {
        self.env.push((name, value));
        self
    }

    /// Another program than levelhand.
    pub(super) fn command(mut self, command: CommandBuilder) -> Self {
        self.command = Some(command);
        self
    }

    /// Starts it.
    pub(super) fn go(self) -> Terminal {
        let (cols, rows) = self.size;
        let pair = native_pty_system().openpty(size(cols, rows)).unwrap();
        let mut command = self.command.unwrap_or_else(|| {
            let mut command = CommandBuilder::new(env!("CARGO_BIN_EXE_levelhand"));
            command.arg("--data");
            command.arg(self.data);
            if self.trial {
                command.arg("--trial");
            }
            command
        });
        // Nothing of the environment of the tests: it would decide tiers and colours.
        let path = std::env::var_os("PATH").unwrap_or_default();
        command.env_clear();
        command.env("PATH", path);
        command.env("TERM", "xterm-256color");
        for (name, value) in &self.env {
            command.env(name, value);
        }
        let line_before = line(pair.master.as_ref());
        let child = pair.slave.spawn_command(command).unwrap();
        drop(pair.slave);
        let writer = Arc::new(Mutex::new(pair.master.take_writer().unwrap()));
        let seen = Arc::new(Mutex::new(Seen {
            parser: vt100::Parser::new(cells(rows), cells(cols), 0),
            bytes: Vec::new(),
            ended: false,
        }));
        let reader = pair.master.try_clone_reader().unwrap();
        watch(reader, Arc::clone(&seen), Arc::clone(&writer));
        Terminal {
            child,
            master: Some(pair.master),
            writer,
            seen,
            line_before,
        }
    }
}

fn line(master: &dyn MasterPty) -> String {
    let termios = master.get_termios().unwrap();
    format!("{termios:?}")
}

fn size(cols: u16, rows: u16) -> PtySize {
    PtySize {
        rows,
        cols,
        pixel_width: 0,
        pixel_height: 0,
    }
}

/// Reads what the program writes, and answers what it asks.
fn watch(
    mut reader: Box<dyn Read + Send>,
    seen: Arc<Mutex<Seen>>,
    writer: Arc<Mutex<Box<dyn Write + Send>>>,
) {
    std::thread::spawn(move || {
        let mut bytes = [0_u8; 8192];
        loop {
            let Ok(count @ 1..) = reader.read(&mut bytes) else {
                locked(&seen).ended = true;
                return;
            };
            let new = &bytes[..count];
            let answer = {
                let mut seen = locked(&seen);
                seen.parser.process(new);
                seen.bytes.extend_from_slice(new);
                answer(new, seen.parser.screen().cursor_position())
            };
            if !answer.is_empty() {
                let _gone = locked(&writer).write_all(answer.as_bytes());
            }
        }
    });
}

/// The answers of a plain terminal to what is asked in these bytes.
fn answer(bytes: &[u8], (row, column): (u16, u16)) -> String {
    let asked = String::from_utf8_lossy(bytes);
    let mut said = String::new();
    if asked.contains("\x1b[?u") {
        said.push_str("\x1b[?0u");
    }
    if asked.contains("\x1b[c") {
        said.push_str("\x1b[?62c");
    }
    if asked.contains("\x1b[6n") {
        let _never = write!(said, "\x1b[{};{}R", row + 1, column + 1);
    }
    said
}

impl Terminal {
    /// The screen as text.
    pub(super) fn text(&self) -> String {
        locked(&self.seen).parser.screen().contents()
    }

    /// The screen, a row a line.
    pub(super) fn rows(&self) -> Vec<String> {
        let seen = locked(&self.seen);
        let screen = seen.parser.screen();
        let wide = screen.size().1.get();
        screen.rows(0, wide).collect()
    }

    /// Something that only the terminal knows.
    pub(super) fn state<T>(&self, ask: impl FnOnce(&vt100::Screen) -> T) -> T {
        ask(locked(&self.seen).parser.screen())
    }

    /// Everything that the program wrote so far.
    pub(super) fn bytes(&self) -> Vec<u8> {
        locked(&self.seen).bytes.clone()
    }

    /// Whether text stands on the screen; breaks of lines do not count.
    pub(super) fn shows(&self, text: &str) -> bool {
        flat(&self.text()).contains(&flat(text))
    }

    /// Waits until the screen is as it must be.
    #[track_caller]
    pub(super) fn until(&self, what: &str, mut is: impl FnMut(&Self) -> bool) {
        let from = Instant::now();
        while !is(self) {
            assert!(
                from.elapsed() <= SOON,
                "waited for {what} in vain; on the screen:\n{}",
                self.framed()
            );
            sleep(LOOK);
        }
    }

    /// Waits until text stands on the screen.
    #[track_caller]
    pub(super) fn wait(&self, text: &str) {
        self.until(&format!("{text:?}"), |t| t.shows(text));
    }

    /// Waits until one of several texts stands on the screen, and says which.
    #[track_caller]
    pub(super) fn wait_any(&self, texts: &[&str]) -> usize {
        let mut found = None;
        self.until(&format!("one of {texts:?}"), |t| {
            found = texts.iter().position(|text| t.shows(text));
            found.is_some()
        });
        found.unwrap()
    }

    /// For this long the screen must not show that.
    #[track_caller]
    pub(super) fn never(&self, text: &str, during: Duration) {
        let from = Instant::now();
        while from.elapsed() < during {
            assert!(!self.shows(text), "{text:?} is shown:\n{}", self.framed());
            sleep(LOOK);
        }
    }

    /// The screen in a frame, for messages.
    pub(super) fn framed(&self) -> String {
        let rows = self.rows();
        let text: Vec<String> = rows.iter().map(|row| format!("|{row}")).collect();
        text.join("\n")
    }

    /// Sends bytes as one write.
    pub(super) fn send(&self, bytes: &str) {
        let mut writer = locked(&self.writer);
        // A program that has ended is noticed by what is waited for next.
        let _gone = writer
            .write_all(bytes.as_bytes())
            .and_then(|()| writer.flush());
    }

    /// A new size.
    pub(super) fn resize(&self, cols: u16, rows: u16) {
        let mut seen = locked(&self.seen);
        seen.parser.set_size(cells(rows), cells(cols));
        self.master().resize(size(cols, rows)).unwrap();
    }

    fn master(&self) -> &dyn MasterPty {
        self.master.as_deref().unwrap()
    }

    /// The line settings of the terminal.
    pub(super) fn line(&self) -> String {
        line(self.master())
    }

    /// The same before the program was started.
    pub(super) fn line_before(&self) -> String {
        self.line_before.clone()
    }

    /// The process of the program.
    pub(super) fn id(&self) -> u32 {
        self.child.process_id().unwrap()
    }

    /// The terminal goes away, as when its window is closed.
    pub(super) fn hang_up(&mut self) {
        self.signal("HUP");
        self.master = None;
    }

    /// Sends a signal to the program.
    pub(super) fn signal(&self, name: &str) {
        let id = self.child.process_id().unwrap();
        let sent = Command::new("kill")
            .args([format!("-{name}"), id.to_string()])
            .status();
        assert!(sent.unwrap().success());
    }

    /// The state letter of the process, as the system tells it: `T` is stopped.
    pub(super) fn process(&self) -> char {
        let id = self.child.process_id().unwrap();
        let stat = std::fs::read_to_string(format!("/proc/{id}/stat")).unwrap_or_default();
        let after = stat.rsplit_once(") ").map_or("", |(_, after)| after);
        after.chars().next().unwrap_or('?')
    }

    /// Waits until the program has ended by itself.
    #[track_caller]
    pub(super) fn ended(&mut self) -> ExitStatus {
        let from = Instant::now();
        loop {
            if let Some(status) = self.child.try_wait().unwrap() {
                // The rest of what it wrote.
                while !locked(&self.seen).ended && from.elapsed() < SOON {
                    sleep(LOOK);
                }
                return status;
            }
            assert!(
                from.elapsed() < SOON,
                "the program goes on; on the screen:\n{}",
                self.framed()
            );
            sleep(LOOK);
        }
    }

    /// Whether the program still runs.
    pub(super) fn runs(&mut self) -> bool {
        self.child.try_wait().unwrap().is_none()
    }

    /// Kills the program, which can do nothing against it.
    pub(super) fn kill(mut self) {
        self.signal("KILL");
        self.ended();
    }
}

impl Drop for Terminal {
    fn drop(&mut self) {
        let _over = self.child.kill();
        let _over = self.child.wait();
    }
}

/// Text without its blanks: lines break where the screen is narrow.
fn flat(text: &str) -> String {
    text.chars().filter(|c| !c.is_whitespace()).collect()
}
