//! How the tests write and play lists of inputs.

use std::time::Duration;

use crate::hold::{Calibration, Evidence, Judge, Outcome, Prompt, Ruling, Session, Severity, View};
use crate::input::{Input, Key, Modifiers, Press, Stamp, Stamped};

/// An instant, and what happens then.
pub(super) type Beat = (Duration, Input);

pub(super) const TICK: u64 = 50;

pub(super) fn ms(n: u64) -> Duration {
    Duration::from_millis(n)
}

pub(super) fn stamp(at: Duration) -> Stamp {
    Stamp {
        mono: at,
        wall_ms: 1_700_000_000_000 + i64::try_from(at.as_millis()).unwrap(),
    }
}

pub(super) fn key(key: Key, phase: Press) -> Input {
    Input::Key {
        key,
        modifiers: Modifiers::NONE,
        phase,
    }
}

pub(super) fn letter(c: char) -> Input {
    Input::press(Key::Char(c))
}

pub(super) fn space(phase: Press) -> Input {
    key(Key::Char(' '), phase)
}

/// A tick every 50 ms from 0 on, merged with the beats; both clocks agree.
pub(super) fn with_ticks(beats: &[Beat], until: u64) -> Vec<Stamped> {
    let ticks = (0..=until / TICK).map(|n| (ms(n * TICK), Input::Tick));
    let mut all: Vec<Beat> = ticks.chain(beats.iter().cloned()).collect();
    all.sort_by_key(|(at, _)| *at);
    all.into_iter()
        .map(|(at, input)| Stamped::new(input, stamp(at)))
        .collect()
}

/// A hold as a terminal with releases tells it.
pub(super) fn held_with_release(from: u64, held: u64, delay: u64, period: u64) -> Vec<Beat> {
    let mut beats = vec![(ms(from), space(Press::Down))];
    let mut at = delay;
    while at < held {
        beats.push((ms(from + at), space(Press::Repeat)));
        at += period;
    }
    beats.push((ms(from + held), space(Press::Up)));
    beats
}

/// A hold as a terminal without releases tells it.
pub(super) fn held_plain(from: u64, held: u64, delay: u64, period: u64) -> Vec<Beat> {
    held_with_release(from, held, delay, period)
        .into_iter()
        .filter(|(_, input)| *input != space(Press::Up))
        .map(|(at, _)| (at, space(Press::Down)))
        .collect()
}

/// Taps of F and J in turn, at these gaps.
pub(super) fn taps(from: u64, gaps: &[u64]) -> Vec<Beat> {
    let mut at = from;
    let mut beats = vec![(ms(at), letter('f'))];
    for (n, gap) in gaps.iter().enumerate() {
        at += gap;
        beats.push((ms(at), letter(if n % 2 == 0 { 'j' } else { 'f' })));
    }
    beats
}

pub(super) fn caution() -> Prompt {
    Prompt::new(Severity::Caution, None, 471)
}

pub(super) fn danger() -> Prompt {
    Prompt::new(Severity::Danger, None, 471)
}

/// A session in which nothing is proved: tier A for a caution, T for a danger.
pub(super) fn unproven() -> Session {
    Session::new("plain", true)
}

/// A session that has passed a calibration with repeats: tier R.
pub(super) fn proven() -> Session {
    let mut session = Session::new("keen", true);
    let beats = held_with_release(2000, 1500, 500, 30);
    let ruling = calibrate(&mut session, &with_ticks(&beats, 4000));
    assert!(matches!(ruling, Some(Ruling::Proven { .. })), "{ruling:?}");
    session
}

pub(super) fn always_turns() -> Session {
    let mut session = Session::new("plain", true);
    session.set_always_turns(true);
    session
}

/// The same inputs at a later hour of the same session.
pub(super) fn later(inputs: &[Stamped], by: Duration) -> Vec<Stamped> {
    inputs
        .iter()
        .map(|it| Stamped::new(it.input.clone(), stamp(it.at.mono + by)))
        .collect()
}

/// A trial that opens, and is drawn, with the first input.
pub(super) fn calibrate(session: &mut Session, inputs: &[Stamped]) -> Option<Ruling> {
    let opened = inputs.first()?.at;
    let mut trial = Calibration::new(opened);
    trial.drawn(opened);
    inputs.iter().find_map(|it| trial.take(session, it))
}

/// What a play brought about.
pub(super) struct Play {
    /// Index of the input, and its outcome.
    pub(super) outcomes: Vec<(usize, Outcome)>,
    /// The prompt after every input.
    pub(super) views: Vec<View>,
}

impl Play {
    pub(super) fn commit(&self) -> Option<(usize, &Evidence)> {
        self.outcomes.iter().find_map(|(n, it)| match it {
            Outcome::Committed(evidence) => Some((*n, evidence)),
            Outcome::Cancelled(_) | Outcome::TurnsChosen => None,
        })
    }

    pub(super) fn evidence(&self) -> &Evidence {
        let (_, evidence) = self.commit().unwrap_or_else(|| {
            panic!("no commit, but {:?}", self.outcomes);
        });
        evidence
    }

    pub(super) fn causes(&self) -> Vec<crate::hold::Cause> {
        self.outcomes
            .iter()
            .filter_map(|(_, it)| match it {
                Outcome::Cancelled(cause) => Some(cause.clone()),
                Outcome::Committed(_) | Outcome::TurnsChosen => None,
            })
            .collect()
    }
}

/// Plays inputs to a prompt that opens at 0 and is drawn after every input.
pub(super) fn play(session: &mut Session, prompt: Prompt, inputs: &[Stamped]) -> Play {
    let mut judge = Judge::new(session, prompt, stamp(Duration::ZERO));
    judge.drawn(stamp(Duration::ZERO));
    let mut out = Play {
        outcomes: Vec::new(),
        views: Vec::new(),
    };
    for (n, it) in inputs.iter().enumerate() {
        if let Some(outcome) = judge.take(session, it) {
            out.outcomes.push((n, outcome));
        }
        judge.drawn(it.at);
        out.views.push(judge.view());
    }
    out
}

/// Plays beats with ticks.
pub(super) fn act(session: &mut Session, prompt: Prompt, beats: &[Beat], until: u64) -> Play {
    play(session, prompt, &with_ticks(beats, until))
}

/// How many runs, or cases: few by default, more under `LEVELHAND_CASES`.
#[expect(
    clippy::disallowed_methods,
    reason = "the number of test cases is the tester's to choose"
)]
pub(super) fn cases(few: u32) -> u32 {
    std::env::var("LEVELHAND_CASES")
        .ok()
        .and_then(|text| text.parse().ok())
        .unwrap_or(few)
}
