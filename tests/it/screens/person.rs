//! A person at the screen: keys in, whole screen out, no terminal.

use std::fmt::Write as _;
use std::sync::Arc;

use levelhand::app::{
    App, Came, Catalog, DrillRow, Effect, ItemKind, JobRow, List, Look, Offered, OpenedJob,
    Practise, Reply, Screen, Settings, coaching,
};
use levelhand::cli::shipped::{Shelf, all};
use levelhand::document;
use levelhand::drill::{Drill, Kept};
use levelhand::hold;
use levelhand::input::{Input, Key, Modifiers, Press, Stamp, Stamped};
use levelhand::job::{At, Command, Mode, Person, Setup, State, decide, evolve};
use levelhand::procedure::StepId;
use levelhand::rehearsal::{Rehearsal, play};
use levelhand::screen::{Palette, Theme, paint, truck};
use ratatui::buffer::Buffer;
use ratatui::layout::Rect;
use ratatui::style::Style;

/// The sizes of every snapshot.
const SIZES: [(u16, u16); 3] = [(40, 12), (80, 24), (120, 40)];

/// What the disk does with an entry.
#[derive(Clone, Copy, PartialEq)]
enum Disk {
    Fast,
    Slow,
}

/// A person at the screen.
pub(crate) struct Bench {
    app: App,
    at: Stamp,
    disk: Disk,
    asked: Vec<Effect>,
}

fn bytes(shelf: Shelf, id: &str) -> &'static [u8] {
    all()
        .find(|d| d.shelf == shelf && d.id == id)
        .unwrap_or_else(|| panic!("no document {id}"))
        .bytes
}

pub(crate) fn rehearsal(id: &str) -> Rehearsal {
    let loaded = document::rehearsal(id, bytes(Shelf::Rehearsal, id));
    loaded.value.expect("a rehearsal without errors")
}

pub(crate) fn setup(script: &Rehearsal, mode: Mode) -> Setup {
    let procedure = bytes(Shelf::Procedure, script.procedure.as_str());
    let sheet = bytes(Shelf::Sheet, script.sheet.as_str());
    let instruments = bytes(Shelf::Instruments, &script.instruments);
    Setup {
        procedure: Arc::new(
            document::procedure("p", procedure)
                .value
                .expect("procedure"),
        ),
        sheet: Arc::new(document::sheet("s", sheet).value.expect("sheet")),
        instruments: Arc::new(document::instruments("i", instruments).value.expect("list")),
        mode,
    }
}

fn catalog() -> Catalog {
    let shelf = |shelf: Shelf| {
        all()
            .filter(|d| d.shelf == shelf && d.offered)
            .map(|d| Offered {
                id: d.id.to_owned(),
                title: d.title.to_owned(),
                about: d.about.to_owned(),
                refused: None,
                file: None,
            })
            .collect()
    };
    Catalog {
        procedures: shelf(Shelf::Procedure),
        sheets: shelf(Shelf::Sheet),
        instruments: shelf(Shelf::Instruments),
    }
}

pub(crate) fn some_jobs() -> Vec<JobRow> {
    let row = |id: &str, place: &str, ended| JobRow {
        id: id.to_owned(),
        title: "tractor BW-07 (invented)  Ride height, drive axle".to_owned(),
        place: place.to_owned(),
        ended,
        practice: false,
        trouble: None,
    };
    vec![
        row("20261124-7F3K9QXM", "Onto the blocks", false),
        row("20261123-2BCD9QXM", "The job is over: complete", true),
        JobRow {
            trouble: Some("entry 12 is altered".to_owned()),
            ..row("20261122-9HJK9QXM", "", false)
        },
    ]
}

/// A key as it is typed.
pub(crate) fn plain_key(c: char) -> Key {
    match c {
        '⏎' => Key::Enter,
        '⎋' => Key::Esc,
        '↓' => Key::Down,
        '↑' => Key::Up,
        '→' => Key::Right,
        '←' => Key::Left,
        '⇟' => Key::PageDown,
        '⇥' => Key::Tab,
        c => Key::Char(c),
    }
}

/// A job that a shipped rehearsal plays until it stands like that.
pub(crate) fn job(id: &str, until: impl Fn(&State) -> bool, mode: Mode) -> OpenedJob {
    let script = rehearsal(id);
    let setup = setup(&script, Mode::Practice);
    let base = script.like.as_deref().map(rehearsal);
    let played = play(&setup, &script, base.as_ref()).unwrap_or_else(|d| panic!("{d}"));
    let mut state = State::default();
    for (at, _, events) in &played.entries {
        for event in events {
            evolve(&mut state, event);
        }
        state.last = Some(*at);
        if until(&state) {
            break;
        }
    }
    assert!(until(&state), "{id} does not come there");
    OpenedJob {
        id: "20261124-7F3K9QXM".to_owned(),
        setup: Arc::new(Setup { mode, ..setup }),
        session: state.session,
        state,
        notices: Vec::new(),
        read_only: None,
    }
}

impl Bench {
    fn with(screen: Option<OpenedJob>) -> Self {
        let terminal = hold::Session::new("test", true);
        let mut app = App::new(catalog(), Settings::default(), terminal, 7);
        let at = Stamp::from_millis(100_000, 1_772_438_400_000);
        app.clock = at;
        let mut bench = Self {
            app,
            at,
            disk: Disk::Fast,
            asked: Vec::new(),
        };
        if let Some(job) = screen {
            let last = job.state.last.expect("a job with entries");
            bench.at = Stamp::from_millis(last.mono_ms + 1_000, last.wall_ms + 1_000);
            bench.app.clock = bench.at;
            bench.grant(vec![]);
            let more = bench.app.reply(Reply::Opened(Box::new(job)));
            bench.grant(more);
        }
        bench
    }

    /// The board with these jobs.
    pub(crate) fn board(jobs: Vec<JobRow>) -> Self {
        let mut bench = Self::with(None);
        bench.app.reply(Reply::Jobs(jobs));
        bench
    }

    /// The front page of the main job.
    pub(crate) fn front() -> Self {
        let mut bench = Self::board(Vec::new()).keys("⏎");
        let procedure = "ride_height".to_owned();
        let loaded = document::procedure("p", bytes(Shelf::Procedure, &procedure));
        let lines = loaded.value.expect("procedure").scope;
        bench.app.reply(Reply::Scope { procedure, lines });
        bench
    }

    /// The board without jobs, so many rows below the one to practise.
    pub(crate) fn below_practice(rows: usize) -> Self {
        let down = catalog().procedures.len() + rows;
        Self::board(Vec::new()).keys(&"↓".repeat(down))
    }

    /// The calculators, with these words typed to find a sum.
    pub(crate) fn sums(words: &str) -> Self {
        Self::below_practice(1).keys("⏎").type_in(words)
    }

    /// The author's bench on a procedure that was named.
    pub(crate) fn author(look: Look) -> Self {
        let mut bench = Self::with(None);
        let asked = bench.app.look_at(look);
        bench.grant(asked);
        bench
    }

    /// What came of a look reaches the author's bench, a second later.
    pub(crate) fn came(mut self, look: Look, came: Came) -> Self {
        self.rest_on(1_000);
        self.app.reply(Reply::Looked {
            look: Box::new(look),
            came,
            saved_again: true,
        });
        self
    }

    /// What lies on the author's bench; `None` when another page is shown.
    pub(crate) fn looked(&self) -> Option<&levelhand::app::Bench> {
        match &self.app.screen {
            Screen::Author(author) => author.bench.as_deref(),
            _ => None,
        }
    }

    /// Whether the board is shown.
    pub(crate) fn on_board(&self) -> bool {
        matches!(self.app.screen, Screen::Board(_))
    }

    fn played(id: &str, until: impl Fn(&State) -> bool, mode: Mode) -> Self {
        Self::with(Some(job(id, until, mode)))
    }

    /// A real job at a step, as a rehearsal comes to it first.
    pub(crate) fn at(id: &str, step: &str) -> Self {
        let step = StepId::new(step).expect("a step id");
        Self::played(id, |state| state.inside() == Some(&step), Mode::Job)
    }

    /// A real job at its end.
    pub(crate) fn at_end(id: &str) -> Self {
        Self::played(id, |state| state.ended.is_some(), Mode::Job)
    }

    /// The course, for someone of this name; `None`: its drills are being read.
    pub(crate) fn course(by: &str, drills: Option<Vec<DrillRow>>, kept: Vec<Kept>) -> Self {
        let mut bench = Self::with(None);
        bench.app.settings.people = vec![by.to_owned()];
        let asked = bench.app.practise(None, None);
        bench.grant(asked);
        if let Some(drills) = drills {
            bench.app.reply(Reply::Drills(drills, kept, Vec::new()));
        }
        bench
    }

    /// A drill is opened, whatever was shown before.
    pub(crate) fn drilled(mut self, job: OpenedJob, drill: Drill) -> Self {
        let last = job.state.last.expect("a job with entries");
        self.at = Stamp::from_millis(last.mono_ms + 1_000, last.wall_ms + 1_000);
        self.app.clock = self.at;
        let before = Vec::new();
        let more = self
            .app
            .reply(Reply::Drilled(Box::new(job), Box::new(drill), before));
        self.grant(more);
        self
    }

    /// A page of text.
    pub(crate) fn page() -> Self {
        let mut bench = Self::board(Vec::new());
        bench.app.reply(Reply::Page {
            title: "RECORD OF 20261124-7F3K9QXM".to_owned(),
            lines: (1..60).map(|n| format!("line {n} of a record")).collect(),
        });
        bench
    }

    /// The same job, opened again.
    pub(crate) fn resumed(mut self) -> Self {
        let work = self.work();
        let (setup, mut state) = (work.setup.clone(), work.state.clone());
        let at = At {
            session: state.session + 1,
            ..state.last.expect("a job with entries")
        };
        let by = Person::new("A. Player").expect("a name");
        let events = decide(&setup, &state, &Command::Resume { by }, at).expect("a resume");
        for event in &events {
            evolve(&mut state, event);
        }
        state.last = Some(at);
        self = Self::with(Some(OpenedJob {
            id: "20261124-7F3K9QXM".to_owned(),
            setup,
            session: state.session,
            state,
            notices: vec!["Opened again as A. Player.".to_owned()],
            read_only: None,
        }));
        self
    }

    fn work(&self) -> &levelhand::app::Work {
        match &self.app.screen {
            Screen::Work(work) => work,
            other => panic!("no job on the screen: {other:?}"),
        }
    }

    /// The step at hand.
    pub(crate) fn step(&self) -> Option<StepId> {
        self.work().state.step().cloned()
    }

    fn grant(&mut self, effects: Vec<Effect>) {
        for effect in effects {
            if matches!(effect, Effect::Append { .. }) && self.disk == Disk::Fast {
                let more = self.app.reply(Reply::Durable);
                self.grant(more);
            } else {
                self.asked.push(effect);
            }
        }
        self.app.drawn();
    }

    fn input(&mut self, input: Input) {
        let effects = self.app.take(&Stamped::new(input, self.at));
        self.grant(effects);
    }

    fn pass(&mut self, ms: u64) {
        let mono = self.at.mono.as_millis() as u64 + ms;
        self.at = Stamp::from_millis(mono, self.at.wall_ms + ms.cast_signed());
    }

    /// Presses one key.
    pub(crate) fn press(&mut self, key: Key) {
        self.rest_on(150);
        self.input(Input::Key {
            key,
            modifiers: Modifiers::NONE,
            phase: Press::Down,
        });
    }

    /// Presses keys.
    pub(crate) fn keys(mut self, keys: &str) -> Self {
        for c in keys.chars() {
            self.press(plain_key(c));
        }
        self
    }

    /// Types a text.
    pub(crate) fn type_in(self, text: &str) -> Self {
        self.keys(text)
    }

    /// Answers every tick well.
    pub(crate) fn ticks(mut self) -> Self {
        for _ in 0..30 {
            let Some(item) = self.work().focused() else {
                break;
            };
            match item.kind {
                ItemKind::Tick(_) => self.press(Key::Char('y')),
                ItemKind::Reading(_) => {
                    for c in "8.2".chars() {
                        self.press(Key::Char(c));
                    }
                    self.press(Key::Enter);
                }
                _ => break,
            }
        }
        self
    }

    /// Lets time pass, with ticks as the program asks for them.
    pub(crate) fn rest(mut self, ms: u64) -> Self {
        self.rest_on(ms);
        self
    }

    fn rest_on(&mut self, ms: u64) {
        let mut left = ms;
        while left > 0 {
            let step = match self.app.wake_in() {
                Some(wake) => left.min(wake.as_millis().max(1) as u64),
                None => left,
            };
            self.pass(step);
            left -= step;
            self.input(Input::Tick);
        }
    }

    /// Taps two keys in turn.
    pub(crate) fn turns(mut self, count: usize) -> Self {
        for n in 0..count {
            self = self.rest(300);
            self.press(Key::Char(if n % 2 == 0 { 'f' } else { 'j' }));
        }
        self
    }

    /// The disk takes its time from here on.
    pub(crate) fn slow_disk(mut self) -> Self {
        self.disk = Disk::Slow;
        self
    }

    /// The disk refuses an entry.
    pub(crate) fn broken_disk(mut self) -> Self {
        let why = "The record could not be written: no space left on the disk.".to_owned();
        let more = self.app.reply(Reply::StorageFailed(why));
        self.grant(more);
        self
    }

    /// The same as practice.
    pub(crate) fn practice(mut self) -> Self {
        if let Screen::Work(work) = &mut self.app.screen {
            let setup = Setup {
                mode: Mode::Practice,
                ..(*work.setup).clone()
            };
            work.setup = Arc::new(setup);
        }
        self
    }

    /// The same, to be read only.
    pub(crate) fn read_only(mut self) -> Self {
        if let Screen::Work(work) = &mut self.app.screen {
            work.read_only = Some("Decided again, it does not come out as recorded.".to_owned());
        }
        self
    }

    /// Tells the program another size.
    pub(crate) fn resize(&mut self, cols: u16, rows: u16) {
        self.input(Input::Resize { cols, rows });
    }

    fn buffer(&self, cols: u16, rows: u16, palette: Palette) -> (Buffer, Option<(u16, u16)>) {
        let area = Rect::new(0, 0, cols, rows);
        let mut buf = Buffer::empty(area);
        let cursor = paint(
            &mut buf,
            area,
            &self.app,
            Theme {
                palette,
                ..Theme::default()
            },
        );
        (buf, cursor)
    }

    /// What stands around the truck, and the whole frame of this size.
    pub(super) fn frame(&self, (cols, rows): (u16, u16)) -> (Option<(List, bool)>, Buffer) {
        let (buf, _) = self.buffer(cols, rows, Palette::Sixteen);
        (self.app.around_truck(), buf)
    }

    /// An earlier frame with the truck's part as it is now.
    pub(super) fn over(&self, mut earlier: Buffer) -> Buffer {
        let part = truck(earlier.area, &self.app, Theme::default()).expect("the truck's part");
        for place in part.area.positions() {
            earlier[place] = part[place].clone();
        }
        earlier
    }

    /// The grid without styles.
    pub(crate) fn grid(&self, cols: u16, rows: u16) -> String {
        let (buf, _) = self.buffer(cols, rows, Palette::Sixteen);
        grid(&buf)
    }

    /// Everything that is told of a screen.
    pub(crate) fn told(&self) -> String {
        let mut told = String::new();
        for (cols, rows) in SIZES {
            let (buf, cursor) = self.buffer(cols, rows, Palette::Sixteen);
            let cursor = cursor.map_or("none".to_owned(), |(x, y)| format!("{x},{y}"));
            let _ = write!(
                told,
                "=== {cols}x{rows}, cursor {cursor}\n{}--- styles\n{}",
                grid(&buf),
                styles(&buf)
            );
        }
        let (buf, _) = self.buffer(80, 24, Palette::None);
        let colours = styles(&buf);
        assert!(
            !colours.contains("fg") && !colours.contains("bg"),
            "colour without colour: {colours}"
        );
        let _ = write!(told, "=== 80x24 without colour\n--- styles\n{colours}");
        told
    }
}

pub(super) fn grid(buf: &Buffer) -> String {
    let area = buf.area;
    let mut out = String::new();
    for y in area.top()..area.bottom() {
        let line: String = (area.left()..area.right())
            .map(|x| buf[(x, y)].symbol())
            .collect();
        out.push_str(line.trim_end());
        out.push('\n');
    }
    out
}

/// Runs of cells with a style, as `row:from-to style`.
pub(super) fn styles(buf: &Buffer) -> String {
    let area = buf.area;
    let mut out = String::new();
    for y in area.top()..area.bottom() {
        let mut x = area.left();
        while x < area.right() {
            let style = buf[(x, y)].style();
            let from = x;
            while x < area.right() && buf[(x, y)].style() == style {
                x += 1;
            }
            let said = say(style);
            if !said.is_empty() {
                let _ = writeln!(out, "{y}:{from}-{} {said}", x - 1);
            }
        }
    }
    out
}

fn say(style: Style) -> String {
    let mut said = Vec::new();
    let reset = ratatui::style::Color::Reset;
    if let Some(fg) = style.fg.filter(|c| *c != reset) {
        said.push(format!("fg {fg}"));
    }
    if let Some(bg) = style.bg.filter(|c| *c != reset) {
        said.push(format!("bg {bg}"));
    }
    if !style.add_modifier.is_empty() {
        said.push(format!("{:?}", style.add_modifier).to_lowercase());
    }
    said.join(" ")
}

impl Bench {
    /// What is asked of the world outside, in order, entries that were granted at
    /// once left out.
    pub(crate) fn asked(&self) -> &[Effect] {
        &self.asked
    }

    /// The disk has the entry in flight.
    pub(crate) fn durable(mut self) -> Self {
        let more = self.app.reply(Reply::Durable);
        self.grant(more);
        self
    }

    /// A paste.
    pub(crate) fn paste(mut self, text: &str) -> Self {
        self.rest_on(150);
        self.input(Input::Paste(text.to_owned()));
        self
    }

    /// The window loses the keyboard.
    pub(crate) fn loses_focus(mut self) -> Self {
        self.input(Input::FocusLost);
        self
    }

    /// The state of the job.
    pub(crate) fn state(&self) -> &State {
        &self.work().state
    }

    /// The line being typed.
    pub(crate) fn typed(&self) -> String {
        self.work().field.text().to_owned()
    }

    /// What the person is told.
    pub(crate) fn message(&self) -> String {
        self.work().message.clone().unwrap_or_default()
    }

    /// Something reaches the program, at this very instant.
    pub(crate) fn comes(mut self, input: Input) -> Self {
        self.input(input);
        self
    }

    /// A key moves, at this very instant.
    pub(crate) fn moves(self, key: Key, phase: Press) -> Self {
        let modifiers = Modifiers::NONE;
        self.comes(Input::Key {
            key,
            modifiers,
            phase,
        })
    }

    /// A key together with Ctrl, at this very instant.
    pub(crate) fn ctrl(self, letter: char) -> Self {
        let modifiers = Modifiers {
            ctrl: true,
            ..Modifiers::NONE
        };
        self.comes(Input::Key {
            key: Key::Char(letter),
            modifiers,
            phase: Press::Down,
        })
    }

    /// The machine stands still for so long: no tick comes.
    pub(crate) fn stands_still(mut self, ms: u64) -> Self {
        self.pass(ms);
        self.comes(Input::Tick)
    }

    /// The setting of two keys in turn.
    pub(crate) fn always_turns(mut self) -> Self {
        self.app.hold.set_always_turns(true);
        self
    }

    /// The drill that is open.
    pub(crate) fn practise(&self) -> &Practise {
        self.work().practise.as_deref().expect("a drill is open")
    }

    /// What the coach says for the step at hand.
    pub(crate) fn coached(&self) -> Option<String> {
        let work = self.work();
        let step = work.setup.step(work.state.step()?)?;
        coaching(self.practise(), step)
    }

    /// The page that is read, and its title.
    pub(crate) fn read(&self) -> Option<(&str, &[String])> {
        match &self.app.screen {
            Screen::Page { title, lines, .. } => Some((title, lines)),
            _ => None,
        }
    }

    /// What is asked of a person again after the course's Enter, or why not.
    pub(crate) fn course_says(&self) -> Option<&str> {
        match &self.app.screen {
            Screen::Course(course) => course.message.as_deref(),
            _ => None,
        }
    }
}
