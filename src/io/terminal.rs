//! The terminal: taken over once, given back on every way out.
//!
//! The guard undoes what it did itself, in reverse, and goes on when one part
//! fails. It is called from its drop, from the panic hook and around a step aside;
//! calling it twice does nothing.

use std::io::{self, BufWriter, Stdout, Write, stdout};
use std::sync::atomic::{AtomicBool, Ordering};

use crossterm::cursor::Show;
use crossterm::event::{
    DisableBracketedPaste, DisableFocusChange, EnableBracketedPaste, EnableFocusChange,
    KeyboardEnhancementFlags, PopKeyboardEnhancementFlags, PushKeyboardEnhancementFlags,
};
use crossterm::execute;
use crossterm::terminal::{
    EnterAlternateScreen, LeaveAlternateScreen, disable_raw_mode, enable_raw_mode,
};
use ratatui::Terminal;
use ratatui::backend::CrosstermBackend;

/// Whether the terminal is taken over now.
static TAKEN: AtomicBool = AtomicBool::new(false);
/// Whether key releases are asked for now.
static RELEASES: AtomicBool = AtomicBool::new(false);

/// Whether key releases are to be asked for when the terminal is taken again.
static RELEASES_LATER: AtomicBool = AtomicBool::new(false);

/// Room for a frame, in bytes: 200 by 60 cells with their styles.
const FRAME: usize = 64 * 1024;

/// The terminal while the program has it.
pub type Screen = Terminal<CrosstermBackend<BufWriter<Stdout>>>;

/// Gives the terminal back when dropped.
#[derive(Debug)]
pub struct Guard(());

impl Guard {
    /// Takes the terminal over.
    ///
    /// # Errors
    /// When standard input or output is no terminal that can be set up.
    pub fn take() -> io::Result<Self> {
        enter()?;
        Ok(Self(()))
    }

    /// Gives the terminal back for a while.
    pub fn step_aside(&self) {
        let wanted = RELEASES.load(Ordering::SeqCst);
        give_back();
        RELEASES_LATER.store(wanted, Ordering::SeqCst);
    }

    /// Takes it over again, whether it was given back or someone else set it up
    /// meanwhile. Key releases are asked for again if they were before.
    ///
    /// # Errors
    /// As [`Guard::take`].
    pub fn step_in(&self) -> io::Result<()> {
        let _not_raw = disable_raw_mode();
        enter()?;
        if RELEASES_LATER.swap(false, Ordering::SeqCst) {
            self.key_releases(true);
        }
        Ok(())
    }

    /// Asks the terminal to tell when keys are let go, or no longer. Asked for
    /// only while a hold is open, because with it some terminals deliver no
    /// composed letters. A terminal that doesn't know it ignores it.
    pub fn key_releases(&self, wanted: bool) {
        if wanted == RELEASES.swap(wanted, Ordering::SeqCst) {
            return;
        }
        // A terminal that is gone is noticed by the next frame.
        let _ignored = if wanted {
            execute!(
                stdout(),
                PushKeyboardEnhancementFlags(
                    KeyboardEnhancementFlags::DISAMBIGUATE_ESCAPE_CODES
                        | KeyboardEnhancementFlags::REPORT_EVENT_TYPES
                        | KeyboardEnhancementFlags::REPORT_ALL_KEYS_AS_ESCAPE_CODES
                )
            )
        } else {
            execute!(stdout(), PopKeyboardEnhancementFlags)
        };
    }

    /// Sounds the bell.
    pub fn bell(&self) {
        let mut out = stdout();
        let _ignored = out.write_all(b"\x07").and_then(|()| out.flush());
    }
}

impl Drop for Guard {
    fn drop(&mut self) {
        give_back();
    }
}

/// The drawing side of the terminal.
///
/// # Errors
/// When the size of the terminal can't be read.
pub fn screen() -> io::Result<Screen> {
    // A frame goes out whole: half a frame is seen, above all over a network.
    let out = BufWriter::with_capacity(FRAME, stdout());
    Terminal::new(CrosstermBackend::new(out))
}

fn enter() -> io::Result<()> {
    enable_raw_mode()?;
    TAKEN.store(true, Ordering::SeqCst);
    execute!(
        stdout(),
        EnterAlternateScreen,
        EnableBracketedPaste,
        EnableFocusChange
    )
}

/// Whether standard output is seen by a person: it is a terminal.
pub fn is_shown() -> bool {
    std::io::IsTerminal::is_terminal(&stdout())
}

/// The same of standard error.
pub fn error_is_shown() -> bool {
    std::io::IsTerminal::is_terminal(&io::stderr())
}

/// Whether the program has the terminal now.
pub fn is_taken() -> bool {
    TAKEN.load(Ordering::SeqCst)
}

/// Undoes everything, as far as it goes.
pub fn give_back() {
    if !TAKEN.swap(false, Ordering::SeqCst) {
        return;
    }
    let mut out = stdout();
    if RELEASES.swap(false, Ordering::SeqCst) {
        let _ignored = execute!(out, PopKeyboardEnhancementFlags);
    }
    let _ignored = execute!(out, DisableFocusChange);
    let _ignored = execute!(out, DisableBracketedPaste);
    let _ignored = execute!(out, LeaveAlternateScreen, Show);
    let _ignored = disable_raw_mode();
}

/// Gives the terminal back before a panic of the main thread is told. A panic of
/// another thread must not tear the live screen down: it is told by the main
/// thread, which notices the silence.
pub fn hook_panics() {
    let main = std::thread::current().id();
    let before = std::panic::take_hook();
    std::panic::set_hook(Box::new(move |info| {
        if std::thread::current().id() == main {
            give_back();
            before(info);
        }
    }));
}
