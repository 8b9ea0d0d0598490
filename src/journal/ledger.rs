//! A journal's entries folded into a job's state, and held against what the
//! engine decides now.
//!
//! Invariants: the state is the fold of what is recorded, never of what is
//! decided again (P1). Every entry is decided again on the state before it; the
//! first that comes out otherwise is where the agreement ends, and the job opens
//! for reading only (P5). One pass, each entry touched once.
//!
//! Must not know where documents come from: the setup comes in ready.

use std::collections::BTreeMap;
use std::fmt;

use super::wire::{self, NotUnderstood, Pins, Told};
use super::{DirId, Entry};
use crate::job::{At, Command, Event, Judged, Refusal, Setup, State, Taken, evolve, redecide};
use crate::quantity::{Kind, Measured, Quantity};

/// How far workings of another version of the program may differ and still
/// count as the same, relative to the largest value they are made of.
const NEAR: f64 = 1e-9;

/// The most differences that are kept; after the first all rest on sand.
const MOST: usize = 20;

/// Something in which record and engine do not agree.
#[derive(Debug, Clone, PartialEq)]
pub struct Difference {
    /// The entry.
    pub entry: u64,
    /// In what.
    pub what: Disagreement,
}

/// In what an entry and the engine do not agree.
#[derive(Debug, Clone, PartialEq)]
pub enum Disagreement {
    /// The engine says no to the command.
    Refused(Box<Refusal>),
    /// Something else follows from the command.
    Otherwise {
        /// What was recorded: the first event that differs.
        recorded: Option<Box<Event>>,
        /// What is decided now in its place.
        decided: Option<Box<Event>>,
    },
    /// The entry names another person than the one at the keyboard.
    By {
        /// Who is named.
        named: String,
        /// Who has the keyboard.
        keyboard: String,
    },
    /// The session's own clock, which never goes back, went back.
    Clock,
}

impl fmt::Display for Difference {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let entry = self.entry;
        match &self.what {
            Disagreement::Refused(refusal) => write!(
                f,
                "Entry {entry}: the record says that this was done; decided again it is refused: {}.",
                crate::finding::escape(&refusal.to_string())
            ),
            Disagreement::Otherwise { recorded, decided } => write!(
                f,
                "Entry {entry}: recorded is {}; decided again it is {}.",
                told(recorded.as_deref()),
                told(decided.as_deref())
            ),
            Disagreement::By { named, keyboard } => write!(
                f,
                "Entry {entry}: it is signed {:?}; {:?} had the keyboard.",
                crate::finding::escape(named),
                crate::finding::escape(keyboard)
            ),
            Disagreement::Clock => write!(
                f,
                "Entry {entry}: the clock of its session runs back, which that clock never does."
            ),
        }
    }
}

/// An event in the words of the journal, cut to a line.
fn told(event: Option<&Event>) -> String {
    let Some(event) = event else {
        return "nothing more".to_owned();
    };
    let text = wire::write_events(std::slice::from_ref(event));
    let text = text.map_or_else(|_| "an event".to_owned(), |raw| raw.get().to_owned());
    let inner = text
        .strip_prefix('[')
        .and_then(|rest| rest.strip_suffix(']'))
        .unwrap_or(&text);
    let mut short: String = inner.chars().take(300).collect();
    if short.len() < inner.len() {
        short.push('…');
    }
    crate::finding::escape(&short).into_owned()
}

/// Whether the record and the engine agree.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Agreement {
    /// Where they do not: the job opens for reading only if there are any.
    pub differences: Vec<Difference>,
    /// There are more than are named.
    pub more: bool,
    /// Entries whose workings, made by another version, differ in their last digits.
    pub near: Vec<u64>,
    /// The data directories in which entries were written, with the first entry
    /// of each: more than one means that the job was carried on elsewhere.
    pub dirs: BTreeMap<DirId, u64>,
    /// The versions of the program that wrote, each with its first entry.
    pub programs: Vec<(u64, String)>,
}

impl Agreement {
    /// Whether the job may be continued.
    pub fn holds(&self) -> bool {
        self.differences.is_empty()
    }

    fn differs(&mut self, entry: u64, what: Disagreement) {
        if self.differences.len() < MOST {
            self.differences.push(Difference { entry, what });
        } else {
            self.more = true;
        }
    }
}

/// A job's entries, understood, folded and decided again. The entries themselves
/// are not kept: what an open job needs does not grow with them.
#[derive(Debug, Clone, PartialEq)]
pub struct Ledger {
    /// What entry 0 pins.
    pub pins: Pins,
    /// The fold of what is recorded.
    pub state: State,
    /// Whether the engine agrees.
    pub agreement: Agreement,
    /// The last instant of each session.
    clocks: BTreeMap<u32, u64>,
}

impl Ledger {
    /// A ledger without entries, for a job with these pins.
    pub fn new(pins: Pins) -> Self {
        Self {
            pins,
            state: State::default(),
            agreement: Agreement::default(),
            clocks: BTreeMap::new(),
        }
    }

    /// Reads entries that stand in their order, as `read` gives them.
    ///
    /// `program` is the version at hand: what another version wrote is compared
    /// with room for the last digits of its workings.
    ///
    /// # Errors
    /// The first entry that can't be understood, and a journal without entries.
    pub fn open(setup: &Setup, entries: &[Entry], program: &str) -> Result<Self, NotUnderstood> {
        let first = entries.first().ok_or(NotUnderstood {
            entry: 0,
            part: wire::Part::Command,
            what: "there is none".to_owned(),
        })?;
        let mut ledger = Self::new(wire::pins(first)?);
        for entry in entries {
            ledger.take(setup, entry, program)?;
        }
        Ok(ledger)
    }

    /// Understands the next entry, decides it again and folds it; gives it back
    /// for who wants to keep it.
    ///
    /// # Errors
    /// When it can't be understood; nothing is folded then.
    pub fn take(
        &mut self,
        setup: &Setup,
        entry: &Entry,
        program: &str,
    ) -> Result<Told, NotUnderstood> {
        let told = wire::understand(entry)?;
        self.agreement
            .dirs
            .entry(entry.dir.clone())
            .or_insert(entry.seq);
        if let Some(program) = &told.program {
            self.agreement.programs.push((told.seq, program.clone()));
        }
        if self
            .clocks
            .insert(told.at.session, told.at.mono_ms)
            .is_some_and(|before| told.at.mono_ms < before)
        {
            self.agreement.differs(told.seq, Disagreement::Clock);
        }
        self.check(setup, &told, program);
        fold(&mut self.state, told.at, &told.events);
        Ok(told)
    }

    /// The sessions that have entries.
    pub fn sessions(&self) -> impl Iterator<Item = u32> {
        self.clocks.keys().copied()
    }

    /// Decides an entry again on the state before it.
    fn check(&mut self, setup: &Setup, told: &Told, program: &str) {
        let Told {
            seq,
            at,
            by,
            command,
            events,
            ..
        } = told;
        if let Some(keyboard) = signer(&self.state, command)
            && keyboard != by
        {
            let what = Disagreement::By {
                named: by.clone(),
                keyboard: keyboard.to_owned(),
            };
            self.agreement.differs(*seq, what);
        }
        match redecide(setup, &self.state, command, *at, events) {
            Ok(None) => {}
            Ok(Some(decided)) => {
                let wrote = self.agreement.programs.last().map(|(_, wrote)| wrote);
                let foreign = wrote.is_none_or(|wrote| wrote != program);
                if foreign && all_near(&self.state, events, &decided) {
                    self.agreement.near.push(*seq);
                } else {
                    let what = otherwise(events, &decided);
                    self.agreement.differs(*seq, what);
                }
            }
            Err(refusal) => {
                let what = Disagreement::Refused(Box::new(refusal));
                self.agreement.differs(*seq, what);
            }
        }
    }
}

/// Folds the events of one entry. The instant of an entry is part of it: the
/// engine sees from it when the wall clock goes back.
pub fn fold(state: &mut State, at: At, events: &[Event]) {
    for event in events {
        evolve(state, event);
    }
    state.last = Some(at);
}

/// Who signs an entry: whoever has the keyboard once the command is given.
pub fn signer<'a>(state: &'a State, command: &'a Command) -> Option<&'a str> {
    if let Command::Open { by, .. } | Command::Resume { by } | Command::SignOn { by } = command {
        return Some(by.as_str());
    }
    state.by.as_ref().map(crate::job::Person::as_str)
}

/// The first event that differs, from both sides.
fn otherwise(recorded: &[Event], decided: &[Event]) -> Disagreement {
    let same = recorded
        .iter()
        .zip(decided)
        .take_while(|(recorded, decided)| recorded == decided)
        .count();
    let nth = |events: &[Event]| events.get(same).cloned().map(Box::new);
    Disagreement::Otherwise {
        recorded: nth(recorded),
        decided: nth(decided),
    }
}

/// Whether two lists of events are equal but for the last digits of workings.
///
/// A working that comes out again as it was, but for those digits, is given anew
/// by one version and not by the other: such events are left out on both sides.
fn all_near(state: &State, recorded: &[Event], decided: &[Event]) -> bool {
    let kept = |events: &[Event]| -> Vec<Event> {
        let says = events.iter().filter(|event| !says_nothing(state, event));
        says.cloned().collect()
    };
    let (recorded, decided) = (kept(recorded), kept(decided));
    recorded.len() == decided.len()
        && recorded.iter().zip(&decided).all(|(recorded, decided)| {
            recorded == decided || is_near(&scale(state, decided), recorded, decided)
        })
}

/// Whether an event gives a working or verdicts as they stand already.
fn says_nothing(state: &State, event: &Event) -> bool {
    if let Event::Worked { working, taken } = event {
        return state.value(working).is_some_and(|held| {
            measured_near(&scale(state, event), &held.measured, &taken.measured)
        });
    }
    let Event::Judged(judged) = event else {
        return false;
    };
    let (held, scale) = (&state.current().judged, scale(state, event));
    held.len() == judged.len()
        && held
            .iter()
            .zip(judged)
            .all(|(held, judged)| judged_near(&scale, held, judged))
}

fn is_near(scale: &BTreeMap<Kind, f64>, recorded: &Event, decided: &Event) -> bool {
    match (recorded, decided) {
        (
            Event::Worked {
                working: a,
                taken: x,
            },
            Event::Worked {
                working: b,
                taken: y,
            },
        )
        | (Event::Replaced { value: a, taken: x }, Event::Replaced { value: b, taken: y }) => {
            a == b && taken_near(scale, x, y)
        }
        (Event::Judged(a), Event::Judged(b)) => {
            a.len() == b.len() && a.iter().zip(b).all(|(x, y)| judged_near(scale, x, y))
        }
        _ => false,
    }
}

fn taken_near(scale: &BTreeMap<Kind, f64>, recorded: &Taken, decided: &Taken) -> bool {
    let moved = Taken {
        measured: decided.measured,
        ..recorded.clone()
    };
    moved == *decided && measured_near(scale, &recorded.measured, &decided.measured)
}

fn measured_near(scale: &BTreeMap<Kind, f64>, recorded: &Measured, decided: &Measured) -> bool {
    let parts = |m: &Measured| [m.value(), m.u_repeated(), m.u_fresh()];
    parts(recorded)
        .into_iter()
        .zip(parts(decided))
        .all(|(x, y)| near(scale, x, y))
}

fn judged_near(scale: &BTreeMap<Kind, f64>, recorded: &Judged, decided: &Judged) -> bool {
    let (x, y) = (&recorded.judgement, &decided.judgement);
    recorded.limit == decided.limit
        && x.verdict == y.verdict
        && x.rule == y.rule
        && near(scale, x.margin, y.margin)
        && near(scale, x.expanded, y.expanded)
        && x.k.to_bits() == y.k.to_bits()
}

fn near(scale: &BTreeMap<Kind, f64>, x: Quantity, y: Quantity) -> bool {
    let own = x.si().abs().max(y.si().abs());
    let size = scale
        .get(&x.kind().difference())
        .map_or(own, |size| size.max(own));
    x.kind() == y.kind() && (x.si() - y.si()).abs() <= NEAR * size
}

/// The largest value of each difference kind: a small difference of two large
/// values carries the last digits of the large ones.
fn scale(state: &State, decided: &Event) -> BTreeMap<Kind, f64> {
    let mut scale = BTreeMap::new();
    let own = if let Event::Worked { taken, .. } | Event::Replaced { taken, .. } = decided {
        Some(taken)
    } else {
        None
    };
    for taken in state.values.values().chain(own) {
        let value = taken.measured.value();
        let size = scale.entry(value.kind().difference()).or_insert(0.0_f64);
        *size = size.max(value.si().abs());
    }
    scale
}
