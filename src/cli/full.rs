//! The full-screen program: terminal, keys, signals, clerk and app wired together.
#![expect(
    clippy::wildcard_enum_match_arm,
    reason = "inputs and effects that the loop itself has no part in"
)]

use std::sync::Arc;
use std::sync::mpsc::{Receiver, RecvTimeoutError, Sender, channel};
use std::time::Duration;

use ratatui::buffer::Buffer;
use ratatui::layout::{Position, Rect};

use super::author::Loader;
use super::clerk::{Clerk, Errand};
use super::desk::Site;
use super::library::Library;
use super::output::complain;
use super::{Args, Colour};
use crate::app::{App, Effect, List, Look, NewDrill, Reply, Screen, Settings};
use crate::hold;
use crate::input::{Input, Stamped};
use crate::io::clock::Clock;
use crate::io::disk::Disk;
use crate::io::place::Place;
use crate::io::terminal::{Guard, Screen as Display, hook_panics, screen};
use crate::io::{exit, keyboard, prefs, seed};
use crate::quantity::System;
use crate::screen::{Grain, Palette, Theme, draw, truck};

/// What reaches the loop.
enum Message {
    Input(Stamped),
    Reply(Reply),
}

impl From<Stamped> for Message {
    fn from(stamped: Stamped) -> Self {
        Self::Input(stamped)
    }
}

impl From<Reply> for Message {
    fn from(reply: Reply) -> Self {
        Self::Reply(reply)
    }
}

/// Codes of a program that a signal ended: 128 and its number.
const TERMINATED: u8 = 143;
const HUNG_UP: u8 = 129;

/// What it opens on.
pub(super) enum Open {
    /// The board.
    Board,
    /// The author's bench.
    Look(Look),
    /// The course, or a drill; with the name of the person, if it was given.
    Practise(Option<NewDrill>, Option<String>),
}

/// Runs the full-screen program, on its board or on the author's bench.
pub(super) fn run(args: &Args, open: Open) -> u8 {
    let place = match Place::find(args.data.clone()) {
        Ok(place) => place,
        Err(failure) => {
            complain(&failure.to_string());
            return failure.exit_code();
        }
    };
    let clock = Clock::start();
    hook_panics();
    let guard = match Guard::take() {
        Ok(guard) => guard,
        Err(error) => {
            complain(&format!(
                "The full-screen program needs a terminal, and this is none: {error}. Run levelhand in a terminal window, or use a verb: levelhand --help."
            ));
            return exit::USAGE;
        }
    };
    match Session::begin(args, place, clock, guard, open) {
        Ok(session) => session.run(),
        Err(error) => {
            crate::io::terminal::give_back();
            complain(&format!("The terminal can't be used: {error}."));
            exit::INTERNAL
        }
    }
}

/// How long the clerk may take to end.
const CLERK_ENDS: Duration = Duration::from_secs(2);

/// Starts the clerk. The channel given back closes when it has ended.
fn employ(
    place: Place,
    clock: Clock,
    trial: bool,
    prefs: &prefs::Prefs,
    errands: Receiver<Errand>,
    to: Sender<Message>,
) -> Receiver<()> {
    let (busy, idle) = channel::<()>();
    let person = prefs.people.first().cloned();
    std::thread::spawn(move || {
        let ended = std::panic::catch_unwind(std::panic::AssertUnwindSafe(|| {
            let (library, _unreadable) = Library::for_jobs(&Disk, &place, trial);
            // The listing of the program's own documents is on the screen already.
            if to.send(Reply::Catalog(library.catalog()).into()).is_err() {
                return;
            }
            let clerk = Clerk {
                site: Site::real(place, Arc::new(super::library::load), clock),
                library,
                loader: Loader::default(),
                desk: None,
                person,
            };
            clerk.work(&errands, &to);
        }));
        if ended.is_err() {
            // An entry may be in flight; nobody must wait for it for ever.
            let why = "the part of the program that writes has failed".to_owned();
            let _gone = to.send(Reply::StorageFailed(why).into());
        }
        drop(busy);
    });
    idle
}

struct Session {
    app: App,
    theme: Theme,
    display: Display,
    guard: Guard,
    clock: Clock,
    messages: Receiver<Message>,
    errands: Sender<Errand>,
    /// Closed when the clerk has carried out everything.
    idle: Receiver<()>,
    /// When a tick was last taken, on the steady clock in ms.
    ticked: u64,
    code: Option<u8>,
    due: Due,
    /// The last frame.
    frame: Buffer,
    /// What stood around the truck in it.
    around: Option<(List, bool)>,
}

/// What of the frame must be drawn anew.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
enum Due {
    Nothing,
    /// The practice truck has moved, and nothing else has changed.
    Truck,
    Whole,
}

impl Session {
    fn begin(
        args: &Args,
        place: Place,
        clock: Clock,
        guard: Guard,
        open: Open,
    ) -> std::io::Result<Self> {
        let mut display = screen()?;
        let size = display.size()?;
        let prefs = prefs::read(&Disk, &place);
        let (terminal, local) = keyboard::terminal_identity();
        let grain = grain(&terminal);
        let library = Library::default();
        let mut app = App::new(
            library.catalog(),
            settings(&prefs),
            hold::Session::new(terminal, local),
            seed::bits().unwrap_or(0x5EED),
        );
        app.size = (size.width, size.height);
        app.trial = args.trial;
        let now = clock.now();
        app.clock = keyboard::stamp(&clock);
        app.offset_min = now.offset_min;
        let theme = Theme {
            palette: palette(args.color),
            grain,
        };
        let mut asked = vec![Effect::ListJobs];
        match open {
            Open::Board => {}
            Open::Look(look) => asked.extend(app.look_at(look)),
            Open::Practise(drill, by) => asked.extend(app.practise(drill, by)),
        }
        let drawn = display.draw(|frame| draw(frame, &app, theme))?;
        let frame = drawn.buffer.clone();
        let (to_loop, messages) = channel();
        let (errands, to_clerk) = channel();
        keyboard::listen_signals::<Message>(clock, to_loop.clone())?;
        keyboard::listen::<Message>(clock, to_loop.clone());
        let idle = employ(place, clock, args.trial, &prefs, to_clerk, to_loop);
        let mut session = Self {
            app,
            theme,
            display,
            guard,
            clock,
            messages,
            errands,
            idle,
            ticked: now.mono_ms,
            code: None,
            due: Due::Nothing,
            frame,
            around: None,
        };
        session.carry_out(asked);
        Ok(session)
    }

    fn run(mut self) -> u8 {
        loop {
            if let Some(code) = self.code {
                return self.leave(code);
            }
            let painted = match std::mem::replace(&mut self.due, Due::Nothing) {
                Due::Nothing => Ok(()),
                Due::Truck => self.paint_truck(),
                Due::Whole => self.paint(),
            };
            if painted.is_err() {
                // The terminal is gone; the job is on disk up to its last entry.
                return self.leave(HUNG_UP);
            }
            let message = match self.tick_in() {
                Some(wait) => match self.messages.recv_timeout(wait) {
                    Ok(message) => Some(message),
                    Err(RecvTimeoutError::Timeout) => None,
                    Err(RecvTimeoutError::Disconnected) => return self.leave(exit::INTERNAL),
                },
                None => match self.messages.recv() {
                    Ok(message) => Some(message),
                    Err(_gone) => return self.leave(exit::INTERNAL),
                },
            };
            if let Some(message) = message {
                self.take(message);
            }
            // Everything that is waiting is taken before the next frame.
            while self.code.is_none() {
                match self.messages.try_recv() {
                    Ok(message) => self.take(message),
                    Err(_none) => break,
                }
            }
            // Time passes although keys come without a pause, as they do while
            // one is held down.
            if self.code.is_none() && self.tick_in().is_some_and(|wait| wait.is_zero()) {
                self.tick();
            }
        }
    }

    /// How long until the next tick is due; `None`: none is.
    fn tick_in(&self) -> Option<Duration> {
        let since = self.clock.now().mono_ms.saturating_sub(self.ticked);
        let wake = self.app.wake_in()?;
        Some(wake.saturating_sub(Duration::from_millis(since)))
    }

    fn tick(&mut self) {
        let face = self.app.face();
        self.ticked = self.clock.now().mono_ms;
        let tick = Stamped::new(Input::Tick, keyboard::stamp(&self.clock));
        let effects = self.app.take(&tick);
        let due = if !effects.is_empty() {
            Due::Whole
        } else if face.is_some() && self.app.face() == face {
            Due::Nothing
        } else if self.around.is_some() && self.app.around_truck() == self.around {
            Due::Truck
        } else {
            Due::Whole
        };
        self.due = self.due.max(due);
        self.carry_out(effects);
    }

    fn paint(&mut self) -> std::io::Result<()> {
        let (app, theme) = (&self.app, self.theme);
        let drawn = self.display.draw(|frame| draw(frame, app, theme))?;
        self.frame.clone_from(drawn.buffer);
        self.around = app.around_truck();
        self.app.clock = keyboard::stamp(&self.clock);
        self.app.drawn();
        Ok(())
    }

    /// The last frame with the truck as it stands now. Most pictures of a truck that
    /// moves slowly are like the last one, and are not sent again.
    fn paint_truck(&mut self) -> std::io::Result<()> {
        let Some(part) = truck(self.frame.area, &self.app, self.theme) else {
            return self.paint();
        };
        let places = part.area.positions();
        let mut changed = false;
        for (place, cell) in places.zip(&part.content) {
            if let Some(last) = self.frame.cell_mut(place).filter(|last| *last != cell) {
                last.clone_from(cell);
                changed = true;
            }
        }
        if !changed {
            return Ok(());
        }
        let (app, theme, last) = (&self.app, self.theme, &self.frame);
        self.display.draw(|frame| {
            if frame.area() == last.area {
                frame.buffer_mut().clone_from(last);
            } else {
                draw(frame, app, theme);
            }
        })?;
        Ok(())
    }

    fn take(&mut self, message: Message) {
        let whole = match &message {
            Message::Input(stamped) => !self.app.is_held_on(stamped),
            Message::Reply(_) => true,
        };
        if whole {
            self.due = Due::Whole;
        }
        let effects = match message {
            Message::Reply(reply) => self.app.reply(reply),
            Message::Input(stamped) => {
                match stamped.input {
                    Input::Terminate => self.code = Some(TERMINATED),
                    Input::HangUp => self.code = Some(HUNG_UP),
                    Input::Resize { .. } => {
                        // Frames are made whole for the new size.
                        let _small = self.display.autoresize();
                    }
                    Input::Continued => self.come_back(),
                    _ => {}
                }
                self.app.take(&stamped)
            }
        };
        self.carry_out(effects);
    }

    fn carry_out(&mut self, effects: Vec<Effect>) {
        for effect in effects {
            match effect {
                Effect::KeyReleases(wanted) => self.guard.key_releases(wanted),
                Effect::Bell => self.guard.bell(),
                Effect::Suspend => self.step_aside(),
                Effect::Quit => self.code = self.code.or(Some(exit::OK)),
                Effect::KeepSettings => {
                    self.ask(Errand::Keep(self.app.settings.clone()));
                }
                other => self.ask(Errand::Effect(other)),
            }
        }
    }

    fn ask(&mut self, errand: Errand) {
        if self.errands.send(errand).is_err() {
            // The clerk is gone: nothing can be written any more.
            let why = "the part of the program that writes has stopped".to_owned();
            if let Screen::Work(_) = self.app.screen {
                let _more = self.app.reply(Reply::StorageFailed(why));
            } else {
                self.code = Some(exit::INTERNAL);
            }
        }
    }

    fn step_aside(&mut self) {
        self.guard.step_aside();
        keyboard::stop_here();
        self.come_back();
        let continued = Stamped::new(Input::Continued, keyboard::stamp(&self.clock));
        let effects = self.app.take(&continued);
        self.carry_out(effects);
        self.due = Due::Whole;
    }

    /// Continued after a stop, by our own doing or not: whoever had the terminal
    /// meanwhile may have left it in any state.
    fn come_back(&mut self) {
        if self.guard.step_in().is_err() || self.blank().is_err() {
            self.code = Some(HUNG_UP);
        }
    }

    /// Makes the next frame a whole one. `Terminal::clear` would do, but it asks
    /// the terminal where the cursor is, and the answer would go to the thread that
    /// reads the keys.
    fn blank(&mut self) -> std::io::Result<()> {
        let size = self.display.size()?;
        self.display.resize(Rect::from((Position::ORIGIN, size)))
    }

    fn leave(self, code: u8) -> u8 {
        let terminated = code == HUNG_UP;
        if !terminated {
            self.drain();
        }
        drop(self.guard);
        // What was asked of the clerk is carried out, but a disk that hangs must
        // not keep the program here for ever.
        drop(self.errands);
        let _late = self.idle.recv_timeout(CLERK_ENDS);
        code
    }

    /// Keys still on their way after a hold must not reach the shell.
    fn drain(&self) {
        if !matches!(self.app.screen, Screen::Work(_)) {
            return;
        }
        let most = self.app.hold.drains_for();
        let from = self.clock.now().mono_ms;
        // Bounded: a key may lie under an object.
        loop {
            let gone = Duration::from_millis(self.clock.now().mono_ms.saturating_sub(from));
            let left = most.saturating_sub(gone);
            if left.is_zero() || self.messages.recv_timeout(left.min(most / 4)).is_err() {
                return;
            }
        }
    }
}

fn settings(prefs: &prefs::Prefs) -> Settings {
    Settings {
        system: match prefs.units.as_deref() {
            Some("metric") => Some(System::Metric),
            Some("us") => Some(System::Us),
            _ => None,
        },
        bell: prefs.bell,
        turns: prefs.turns,
        people: prefs.people.clone(),
    }
}

/// Settings as they are kept.
pub(super) fn kept(settings: &Settings) -> prefs::Prefs {
    prefs::Prefs {
        format: 1,
        units: settings.system.map(|s| {
            match s {
                System::Metric => "metric",
                System::Us => "us",
            }
            .to_owned()
        }),
        bell: settings.bell,
        turns: settings.turns,
        people: settings.people.clone(),
    }
}

/// The bare console of Linux has halves of a cell and no dots.
fn grain(terminal: &str) -> Grain {
    if terminal == "linux" {
        Grain::Half
    } else {
        Grain::Fine
    }
}

fn palette(colour: Colour) -> Palette {
    if colour.is_wanted() {
        Palette::Sixteen
    } else {
        Palette::None
    }
}
