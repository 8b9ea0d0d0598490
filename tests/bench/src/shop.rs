//! Jobs as the program makes them, made quickly: by its own engine and writer, on
//! a disk that says it has synced and has not.

use std::any::Any;
use std::io;
use std::path::{Path, PathBuf};
use std::sync::Arc;

use levelhand::cli::shipped::{self, Shelf};
use levelhand::document;
use levelhand::io::disk::Disk;
use levelhand::io::place::Place;
use levelhand::job::{
    Answer, At, Command, Entry, Evidence, Mode, Offer, Person, Setup, State, Tier, decide, offers,
};
use levelhand::journal::{
    self, Beginning, Digest, DirId, Draft, FileName, Holder, JobId, Pins, Sink, Stamp, Storage,
    Told, Writer, fold, signer, write_command, write_events, write_open,
};
use levelhand::procedure::ValueId;
use levelhand::quantity::{Quantity, System, Unit};
use levelhand::record::{Account, status_sheet};

use crate::Wrong;

/// The version that jobs are written with.
pub(crate) const PROGRAM: &str = env!("CARGO_PKG_VERSION");

/// The step with typed fields at which every job made here stands.
const FIELDS: &str = "tyres_left";

const PAPERS: [(Shelf, &str, &str); 3] = [
    (Shelf::Procedure, "ride_height", "procedure.json"),
    (Shelf::Sheet, "bw_07", "sheet.json"),
    (Shelf::Instruments, "demo_bench", "instruments.json"),
];

/// The bytes of a shipped document.
fn bytes(shelf: Shelf, id: &str) -> Result<&'static [u8], Wrong> {
    let found = shipped::all().find(|d| d.shelf == shelf && d.id == id);
    Ok(found.ok_or("no such document is shipped")?.bytes)
}

/// The setup that every job here runs on.
pub(crate) fn setup() -> Result<Setup, Wrong> {
    let [p, s, i] = PAPERS.map(|(shelf, id, _)| bytes(shelf, id));
    let gone = "a shipped document can't be read";
    Ok(Setup {
        procedure: Arc::new(document::procedure("procedure", p?).value.ok_or(gone)?),
        sheet: Arc::new(document::sheet("sheet", s?).value.ok_or(gone)?),
        instruments: Arc::new(document::instruments("instruments", i?).value.ok_or(gone)?),
        mode: Mode::Job,
    })
}

/// A job being made.
pub(crate) struct Bench {
    setup: Setup,
    state: State,
    told: Vec<Told>,
    dir: DirId,
    pins: Pins,
    pub(crate) writer: Writer,
    /// When the first entry is made.
    wall_ms: i64,
}

impl Bench {
    /// Opens the `number`th job of a data directory, `lasting_ms` ago.
    pub(crate) fn open(
        setup: &Setup,
        place: &Place,
        number: u64,
        lasting_ms: i64,
    ) -> Result<Self, Wrong> {
        let dir = place.settle(&Unsynced, DirId::new(0x00BE_7C40))?;
        let now = levelhand::io::clock::Clock::start().now().wall_ms;
        let wall_ms = now - lasting_ms - 1_000;
        let open = opening(setup)?;
        let at = instant(wall_ms, 0);
        let events = decide(setup, &State::default(), &open, at).map_err(|r| r.to_string())?;
        let mut draw = || JobId::new(wall_ms, number.wrapping_mul(0x9E37_79B9_7F4A_7C15));
        let written = write_events(&events)?;
        let mut first = |job: &JobId| Draft {
            at: stamp(at),
            session: at.session,
            dir: dir.clone(),
            by: "A. Bench".to_owned(),
            command: pins(job)
                .ok()
                .and_then(|pins| write_open(&open, &pins).ok())
                .unwrap_or_default(),
            events: written.clone(),
        };
        let documents: Result<Vec<_>, Wrong> = PAPERS
            .iter()
            .map(|(shelf, id, name)| Ok((FileName::parse(name)?, bytes(*shelf, id)?.to_vec())))
            .collect();
        let beginning = Beginning {
            parent: &place.jobs(),
            holder: &holder(),
            documents: &documents?,
        };
        let (id, writer) = journal::create(&Unsynced, &beginning, &mut draw, &mut first)?;
        let mut state = State::default();
        fold(&mut state, at, &events);
        let pins = pins(&id)?;
        let told = Told {
            seq: 0,
            at,
            by: "A. Bench".to_owned(),
            command: open,
            events,
            pins: Some(pins.clone()),
            program: Some(PROGRAM.to_owned()),
        };
        Ok(Self {
            setup: setup.clone(),
            state,
            told: vec![told],
            dir,
            pins,
            writer,
            wall_ms,
        })
    }

    /// The next entry of this command, and what comes of it.
    pub(crate) fn draft(&self, command: Command) -> Result<(Draft, Told), Wrong> {
        let at = instant(self.wall_ms, self.writer.head().count * STEP_MS);
        let events = decide(&self.setup, &self.state, &command, at).map_err(|r| r.to_string())?;
        let by = signer(&self.state, &command).unwrap_or_default().to_owned();
        let draft = Draft {
            at: stamp(at),
            session: at.session,
            dir: self.dir.clone(),
            by: by.clone(),
            command: write_command(&command, PROGRAM)?,
            events: write_events(&events)?,
        };
        let told = Told {
            seq: self.writer.head().count,
            at,
            by,
            command,
            events,
            pins: None,
            program: None,
        };
        Ok((draft, told))
    }

    /// Gives a command.
    pub(crate) fn act(&mut self, command: Command) -> Result<(), Wrong> {
        let (draft, told) = self.draft(command)?;
        self.writer.append(&draft)?;
        fold(&mut self.state, told.at, &told.events);
        self.told.push(told);
        Ok(())
    }

    /// Says yes to everything as far as the first step with typed fields.
    pub(crate) fn walk(&mut self) -> Result<(), Wrong> {
        while self.state.inside().is_none_or(|s| s.as_str() != FIELDS) {
            let at = instant(self.wall_ms, self.writer.head().count * STEP_MS);
            let offered = offers(&self.setup, &self.state, &at);
            let next = offered.iter().find_map(|offer| self.answer(offer));
            let next = next.ok_or_else(|| format!("no way on from {:?}", self.state.place))?;
            self.act(next)?;
        }
        Ok(())
    }

    fn answer(&self, offer: &Offer) -> Option<Command> {
        Some(match offer {
            Offer::Tick {
                tick,
                answered: false,
            } => Command::Tick {
                tick: tick.clone(),
                answer: Answer::Yes(self.words(tick)),
            },
            // What the equipment shows before anything is changed: three counts.
            Offer::Read {
                reading,
                accepted: false,
            } => Command::Read {
                reading: reading.clone(),
                entry: Entry {
                    typed: "500".to_owned(),
                    value: Quantity::from_si(
                        500.0,
                        self.setup.procedure.readings.get(reading)?.kind,
                    )
                    .ok()?,
                    again: true,
                },
            },
            Offer::Confirm => Command::Confirm,
            Offer::Hold => Command::Hold(Evidence {
                tier: Tier::Release,
                held_ms: 2_600,
                events: 60,
                median_ms: 40,
                cancels: 0,
                terminal: "bench".to_owned(),
            }),
            _ => return None,
        })
    }

    fn words(&self, tick: &levelhand::procedure::TickId) -> String {
        let step = self.state.inside().and_then(|s| self.setup.step(s));
        let asks = step.is_some_and(|s| s.ticks.iter().any(|t| &t.id == tick && t.words));
        if asks {
            "as agreed with the lead hand".to_owned()
        } else {
            String::new()
        }
    }

    /// The `n`th of the entries that make a job long: readings given anew, and a
    /// remark after every fourth.
    pub(crate) fn long(&self, n: u64) -> Result<Command, Wrong> {
        if n % 5 == 4 {
            let text = format!("Remark {n}: valve stem wiped clean, cap back on, read again.");
            return Ok(Command::Note { text });
        }
        let bar = 8.0 + (n % 7) as f64 / 100.0;
        Ok(Command::Read {
            reading: ValueId::new("tyre_front_left").map_err(|e| e.to_string())?,
            entry: Entry {
                typed: format!("{bar:.2}"),
                value: Quantity::new(bar, Unit::Bar, levelhand::quantity::Kind::GaugePressure)
                    .map_err(|e| e.to_string())?,
                again: true,
            },
        })
    }

    /// Writes the status sheet, which the board reads.
    pub(crate) fn sheet(&self) -> Result<(), Wrong> {
        let account = Account {
            setup: &self.setup,
            pins: &self.pins,
            state: &self.state,
            told: &self.told,
            head: self.writer.head(),
            agreement: None,
        };
        Ok(self
            .writer
            .write_sheet(&Unsynced, &status_sheet(&account))?)
    }
}

/// How far entries lie apart, in ms.
const STEP_MS: u64 = 3_000;

/// A data directory with that many jobs of that many entries at least.
pub(crate) fn fill(root: &Path, jobs: u64, entries: u64) -> Result<(), Wrong> {
    let place = Place::find(Some(root.to_owned()))?;
    let setup = setup()?;
    for number in 1..=jobs {
        job(&setup, &place, number, entries)?.sheet()?;
    }
    Ok(())
}

/// A job of that many entries at least, at the step with typed fields.
pub(crate) fn job(setup: &Setup, place: &Place, number: u64, entries: u64) -> Result<Bench, Wrong> {
    let lasting = i64::try_from((entries + 100) * STEP_MS)?;
    let mut bench = Bench::open(setup, place, number, lasting)?;
    bench.walk()?;
    for n in bench.writer.head().count..entries {
        let next = bench.long(n)?;
        bench.act(next)?;
    }
    Ok(bench)
}

/// Where a bench keeps its files: on the disk that the package lies on.
pub(crate) fn scratch(name: &str) -> Result<PathBuf, Wrong> {
    let path = Path::new(env!("CARGO_MANIFEST_DIR"))
        .join("target/scratch")
        .join(name);
    match std::fs::remove_dir_all(&path) {
        Err(error) if error.kind() != io::ErrorKind::NotFound => return Err(error.into()),
        _ => {}
    }
    std::fs::create_dir_all(&path)?;
    Ok(path)
}

fn opening(setup: &Setup) -> Result<Command, Wrong> {
    let roles = setup.procedure.roles.keys();
    let roles = roles
        .filter_map(|r| Some((r.clone(), setup.instruments.for_role(r)?.id.clone())))
        .collect();
    Ok(Command::Open {
        by: Person::new("A. Bench").map_err(|e| e.to_string())?,
        with: Vec::new(),
        why: "measuring the program".to_owned(),
        roles,
        system: System::Metric,
        earlier: None,
    })
}

fn pins(job: &JobId) -> Result<Pins, Wrong> {
    let [procedure, sheet, instruments] =
        PAPERS.map(|(shelf, id, _)| bytes(shelf, id).map(Digest::of));
    Ok(Pins {
        mode: Mode::Job,
        job: job.clone(),
        program: PROGRAM.to_owned(),
        procedure: procedure?,
        sheet: sheet?,
        instruments: instruments?,
        released: None,
    })
}

fn instant(wall_ms: i64, mono_ms: u64) -> At {
    At {
        wall_ms: wall_ms + mono_ms as i64,
        offset_min: 60,
        mono_ms,
        session: 7,
    }
}

fn stamp(at: At) -> Stamp {
    Stamp {
        wall_ms: at.wall_ms,
        offset_min: at.offset_min,
        mono_ms: at.mono_ms,
    }
}

fn holder() -> Holder {
    Holder {
        pid: std::process::id(),
        who: "A. Bench".to_owned(),
        since: String::new(),
        host: None,
    }
}

/// The real disk without its syncs: for files that are only there to be measured.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Unsynced;

#[derive(Debug)]
struct Loose(Box<dyn Sink>);

fn loose(sink: io::Result<Box<dyn Sink>>) -> io::Result<Box<dyn Sink>> {
    Ok(Box::new(Loose(sink?)))
}

impl Sink for Loose {
    fn write_all(&mut self, bytes: &[u8]) -> io::Result<()> {
        self.0.write_all(bytes)
    }
    fn sync_data(&mut self) -> io::Result<()> {
        Ok(())
    }
    fn sync_all(&mut self) -> io::Result<()> {
        Ok(())
    }
    fn cut(&mut self, len: u64) -> io::Result<()> {
        self.0.cut(len)
    }
}

impl Storage for Unsynced {
    fn read(&self, path: &Path) -> io::Result<Vec<u8>> {
        Disk.read(path)
    }
    fn open(&self, path: &Path) -> io::Result<Box<dyn io::Read>> {
        Disk.open(path)
    }
    fn list(&self, dir: &Path) -> io::Result<Vec<String>> {
        Disk.list(dir)
    }
    fn make_dir(&self, dir: &Path) -> io::Result<()> {
        Disk.make_dir(dir)
    }
    fn exists(&self, path: &Path) -> io::Result<bool> {
        Disk.exists(path)
    }
    fn create_new(&self, path: &Path) -> io::Result<Box<dyn Sink>> {
        loose(Disk.create_new(path))
    }
    fn append(&self, path: &Path) -> io::Result<Box<dyn Sink>> {
        loose(Disk.append(path))
    }
    fn amend(&self, path: &Path) -> io::Result<Box<dyn Sink>> {
        loose(Disk.amend(path))
    }
    fn rename(&self, from: &Path, to: &Path) -> io::Result<()> {
        Disk.rename(from, to)
    }
    fn remove(&self, path: &Path) -> io::Result<()> {
        Disk.remove(path)
    }
    fn sync_dir(&self, _dir: &Path) -> io::Result<()> {
        Ok(())
    }
    fn lock(&self, path: &Path) -> io::Result<Option<Box<dyn Any + Send>>> {
        Disk.lock(path)
    }
}
