//! A job on the bench: a procedure, a clock, and words instead of structs.

use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

use levelhand::job::{
    Answer, At, Command, Correction, Entry, Event, Evidence, Mode, Offer, Person, Refusal, Setup,
    State, Tier, decide, evolve, offers, redecide, replay,
};
use levelhand::procedure::{
    Instrument, InstrumentId, Instruments, Procedure, Role, RoleId, Sheet, SheetEntry, SheetId,
    SheetValue, StepId, Tick, TickId,
};
use levelhand::quantity::{Day, ErrorLimit, Kind, Metrology, Quantity, System};

use crate::sketch::{Named, id};

macro_rules! named {
    ($($id:ident),*) => {$(
        impl Named for $id {
            fn named(name: &str) -> Self {
                Self::new(name).expect("a test's own name")
            }
        }
    )*};
}

named!(InstrumentId, RoleId, SheetId, TickId);

/// A length in mm.
pub(crate) fn mm(value: f64) -> Quantity {
    Quantity::from_si(value / 1000.0, Kind::Length).expect("a length")
}

/// A time in s.
pub(crate) fn seconds(value: f64) -> Quantity {
    Quantity::from_si(value, Kind::Time).expect("a time")
}

pub(crate) fn entry(value: Quantity) -> Entry {
    Entry {
        typed: format!("{}", value.si()),
        value,
        again: false,
    }
}

pub(crate) fn person(name: &str) -> Person {
    Person::new(name).expect("a name")
}

/// A tick that asks for no words and always applies.
pub(crate) fn tick(name: &str) -> Tick {
    Tick {
        id: id(name),
        text: name.to_owned(),
        yes: "yes".to_owned(),
        no: "no".to_owned(),
        may_not_apply: false,
        words: false,
    }
}

/// A tape of up to 1 m, wrong by up to 2 mm: U is a little over 2.3 mm.
pub(crate) fn tape(name: &str) -> Instrument {
    let step = Kind::Length.difference();
    let at_most = Quantity::from_si(0.002, step).expect("a limit");
    let smallest = Quantity::from_si(0.001, step).expect("a step");
    let metrology = Metrology::new(mm(0.0), mm(1000.0), ErrorLimit::Absolute(at_most), smallest);
    Instrument {
        id: id(name),
        title: name.to_owned(),
        kind: Kind::Length,
        metrology: metrology.expect("a tape"),
        roles: vec![id("tape")],
    }
}

pub(crate) fn role() -> Role {
    Role {
        title: "tape".to_owned(),
        kind: Kind::Length,
    }
}

/// The sheet says `most`: 100 mm. There are tapes `tape_a`, `tape_b`, and one that
/// is past its date, `tape_old`.
pub(crate) fn setup(procedure: Procedure) -> Setup {
    let most = SheetEntry {
        title: "most".to_owned(),
        value: SheetValue::Quantity(mm(100.0)),
        written: "100 mm".to_owned(),
        source: "invented".to_owned(),
    };
    let sheet = Sheet {
        id: id("sketch"),
        title: "sketch".to_owned(),
        revision: 1,
        system: System::Metric,
        identify: Vec::new(),
        values: BTreeMap::from([(id("most"), most)]),
    };
    let mut old = tape("tape_old");
    old.metrology = old.metrology.with_due(Day::of(2020, 1, 1).expect("a day"));
    let list = [tape("tape_a"), tape("tape_b"), old];
    Setup {
        procedure: Arc::new(procedure),
        sheet: Arc::new(sheet),
        instruments: Arc::new(Instruments {
            id: "bench".to_owned(),
            title: "bench".to_owned(),
            list: list.map(|i| (i.id.clone(), i)).into(),
        }),
        mode: Mode::Job,
    }
}

pub(crate) fn opening(setup: &Setup) -> Command {
    let roles = setup.procedure.roles.keys();
    let roles = roles.filter_map(|r| Some((r.clone(), setup.instruments.for_role(r)?.id.clone())));
    Command::Open {
        by: person("Ann"),
        with: Vec::new(),
        why: "to try it".to_owned(),
        roles: roles.collect(),
        system: System::Metric,
        earlier: None,
    }
}

/// A hold that any step takes.
pub(crate) fn long_hold() -> Command {
    Command::Hold(Evidence {
        tier: Tier::Release,
        held_ms: 10_000,
        events: 1,
        median_ms: 0,
        cancels: 0,
        terminal: "bench".to_owned(),
    })
}

/// A job that is being done.
pub(crate) struct Bench {
    pub(crate) setup: Setup,
    pub(crate) state: State,
    pub(crate) at: At,
    pub(crate) log: Vec<(At, Command, Vec<Event>)>,
}

impl Bench {
    pub(crate) fn closed(setup: Setup) -> Self {
        Self {
            setup,
            state: State::default(),
            at: At {
                wall_ms: 1_795_000_000_000,
                offset_min: 0,
                mono_ms: 0,
                session: 1,
            },
            log: Vec::new(),
        }
    }

    /// A job that was opened.
    pub(crate) fn open(procedure: Procedure) -> Self {
        let mut bench = Self::closed(setup(procedure));
        let opening = opening(&bench.setup);
        bench.does(opening);
        bench
    }

    pub(crate) fn pass_ms(&mut self, ms: u64) {
        self.at.mono_ms += ms;
        self.at.wall_ms += i64::try_from(ms).expect("a short time");
    }

    /// Half a second later.
    pub(crate) fn try_it(&mut self, command: Command) -> Result<Vec<Event>, Refusal> {
        self.pass_ms(500);
        let events = decide(&self.setup, &self.state, &command, self.at)?;
        for event in &events {
            evolve(&mut self.state, event);
        }
        self.state.last = Some(self.at);
        self.log.push((self.at, command, events.clone()));
        Ok(events)
    }

    pub(crate) fn does(&mut self, command: Command) -> Vec<Event> {
        let said = format!("{command:?}");
        self.try_it(command)
            .unwrap_or_else(|no| panic!("{said}: {no}"))
    }

    pub(crate) fn refuses(&mut self, command: Command) -> Refusal {
        let said = format!("{command:?}");
        match self.try_it(command) {
            Ok(_) => panic!("{said} was taken"),
            Err(no) => no,
        }
    }

    pub(crate) fn ticks(&mut self, name: &str, answer: Answer) -> Vec<Event> {
        self.does(Command::Tick {
            tick: id(name),
            answer,
        })
    }

    pub(crate) fn reads(&mut self, name: &str, value: f64) -> Vec<Event> {
        self.does(reading(name, value))
    }

    pub(crate) fn confirms(&mut self) {
        self.does(Command::Confirm);
    }

    pub(crate) fn chooses(&mut self, name: &str) {
        self.does(Command::Choose { choice: id(name) });
    }

    /// The program is started again.
    pub(crate) fn resumes(&mut self) {
        self.at.session += 1;
        self.at.mono_ms = 0;
        self.does(Command::Resume { by: person("Ann") });
    }

    pub(crate) fn attests(&mut self, name: &str) {
        self.does(Command::Attest {
            condition: id(name),
            entry: None,
        });
    }

    pub(crate) fn corrects(&mut self, name: &str, value: f64) -> Vec<Event> {
        self.does(Command::Correct {
            what: Correction::Reading {
                reading: id(name),
                entry: entry(mm(value)),
            },
            reason: "misread".to_owned(),
        })
    }

    pub(crate) fn step(&self) -> &str {
        self.state.step().map_or("nowhere", StepId::as_str)
    }

    pub(crate) fn offers(&self) -> Vec<Offer> {
        offers(&self.setup, &self.state, &self.at)
    }

    pub(crate) fn holds(&self) -> String {
        words(self.state.conditions.keys())
    }

    pub(crate) fn owes(&self) -> String {
        words(self.state.duties.keys())
    }

    pub(crate) fn knows(&self) -> String {
        words(self.state.values.keys())
    }

    pub(crate) fn repeats(&self) -> String {
        words(&self.state.repeats)
    }

    pub(crate) fn value_mm(&self, name: &str) -> f64 {
        let taken = &self.state.values[&id(name)];
        taken.measured.value().si() * 1000.0
    }

    /// P1: the fold of the recorded events is the state, and deciding each command
    /// again gives the events that were recorded.
    pub(crate) fn check_replay(&self) {
        let events = self.log.iter().flat_map(|(_, _, events)| events);
        let mut whole = replay(events);
        let mut state = State::default();
        for (at, command, recorded) in &self.log {
            let differs = redecide(&self.setup, &state, command, *at, recorded);
            assert_eq!(differs, Ok(None), "{command:?}");
            for event in recorded {
                evolve(&mut state, event);
            }
            state.last = Some(*at);
        }
        // The last instant stands beside the events of an entry, not in them.
        whole.last = self.state.last;
        assert_eq!(whole, self.state);
        assert_eq!(state, self.state);
    }
}

pub(crate) fn reading(name: &str, value: f64) -> Command {
    Command::Read {
        reading: id(name),
        entry: entry(mm(value)),
    }
}

fn words<T: ToString>(ids: impl IntoIterator<Item = T>) -> String {
    let ids: BTreeSet<String> = ids.into_iter().map(|i| i.to_string()).collect();
    ids.into_iter().collect::<Vec<_>>().join(" ")
}
