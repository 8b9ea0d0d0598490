//! The player.

use std::collections::{BTreeMap, BTreeSet};
use std::fmt;

use super::coverage::{Walk, walked};
use super::script::{ConfirmWord, Move, Rehearsal, SeriesPoint, StopWord, TickWord};
use crate::job::{
    Answer, At, Command, Correction, Entry, Event, Evidence, Person, Refusal, Setup, State, Tier,
    decide, evolve,
};
use crate::procedure::{Body, Confirm, Side, Step, StepId, ValueId};
use crate::quantity::{System, read};

/// The person of a rehearsal; invented.
const PLAYER: &str = "A. Player";

/// A run that did what its script says.
#[derive(Debug, Clone, PartialEq)]
pub struct Played {
    /// The ways it walked.
    pub ways: BTreeSet<Walk>,
    /// Every command with its instant and what followed.
    pub entries: Vec<(At, Command, Vec<Event>)>,
    /// Where it ended.
    pub state: State,
}

/// The first difference between script and engine.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Difference {
    /// The rehearsal.
    pub rehearsal: String,
    /// The step it was at.
    pub step: String,
    /// Which move of the script, from 1; 0 when it came from the rehearsal it is like.
    pub number: usize,
    /// What was found and what the script says.
    pub what: String,
}

impl fmt::Display for Difference {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}: at {}", self.rehearsal, self.step)?;
        if self.number > 0 {
            write!(f, " (move {})", self.number)?;
        }
        write!(f, ": {}", self.what)
    }
}

impl std::error::Error for Difference {}

/// What goes on beside a job while a script is played: the truck of a drill.
pub trait Beside {
    /// Does what the move does at the truck, and gives the move as it is entered: what
    /// is shown typed, what is seen ticked. With it the time that took, ms.
    ///
    /// # Errors
    /// When something can't be done at the truck.
    fn ready(&mut self, setup: &Setup, state: &State, made: &Move) -> Result<(Move, u64), String>;

    /// What is typed for a reading now.
    fn typed(&mut self, setup: &Setup, state: &State, reading: &ValueId, typed: &str) -> String;

    /// Time goes by, ms.
    fn pass(&mut self, setup: &Setup, ms: u64);

    /// Something was entered.
    fn entered(
        &mut self,
        setup: &Setup,
        before: &State,
        entry: (&Command, &[Event]),
        after: &State,
    );
}

/// Plays a script beside a truck. It may end before the job does.
///
/// # Errors
/// The first difference.
pub fn play_beside(
    setup: &Setup,
    rehearsal: &Rehearsal,
    base: Option<&Rehearsal>,
    beside: &mut dyn Beside,
) -> Result<Played, Box<Difference>> {
    let mut player = Player::new(setup, rehearsal, base);
    player.beside = Some(beside);
    player.run()?;
    Ok(player.played())
}

/// Plays a script beside a truck on from a job that was opened, up to a step.
///
/// # Errors
/// The first difference; also when the step is never reached.
pub fn play_up_to(
    setup: &Setup,
    from: (&State, At),
    (rehearsal, base): (&Rehearsal, Option<&Rehearsal>),
    beside: &mut dyn Beside,
    until: &StepId,
) -> Result<Played, Box<Difference>> {
    let mut player = Player::new(setup, rehearsal, base);
    player.beside = Some(beside);
    (player.state, player.at) = (from.0.clone(), from.1);
    player.until = Some(until.clone());
    player.go_on()?;
    if player.state.step() != Some(until) {
        return Err(player.differs(format!("the script never comes to {until}")));
    }
    Ok(player.played())
}

/// Plays a rehearsal; `base` is the one it is like, whole.
///
/// # Errors
/// The first difference.
pub fn play(
    setup: &Setup,
    rehearsal: &Rehearsal,
    base: Option<&Rehearsal>,
) -> Result<Played, Box<Difference>> {
    let mut player = Player::new(setup, rehearsal, base);
    player.run()?;
    Ok(player.played())
}

/// More moves than this are a loop.
const MOST_MOVES: usize = 5_000;

/// Time that every action takes, ms.
const ACTION_MS: u64 = 2_000;

pub(super) struct Player<'r> {
    pub(super) setup: &'r Setup,
    pub(super) rehearsal: &'r Rehearsal,
    base: Option<&'r Rehearsal>,
    pub(super) state: State,
    pub(super) at: At,
    pub(super) entries: Vec<(At, Command, Vec<Event>)>,
    visits: BTreeMap<StepId, u32>,
    pub(super) next: usize,
    pub(super) number: usize,
    pub(super) beside: Option<&'r mut dyn Beside>,
    until: Option<StepId>,
}

pub(super) type Step1 = Result<(), Box<Difference>>;

enum Acted {
    Done,
    Refused(Refusal),
}

impl<'r> Player<'r> {
    /// A player before the job is opened.
    pub(super) fn new(
        setup: &'r Setup,
        rehearsal: &'r Rehearsal,
        base: Option<&'r Rehearsal>,
    ) -> Self {
        Self {
            setup,
            rehearsal,
            base,
            state: State::default(),
            at: At {
                wall_ms: rehearsal.start_ms,
                offset_min: 0,
                mono_ms: 0,
                session: 1,
            },
            entries: Vec::new(),
            visits: BTreeMap::new(),
            next: 0,
            number: 0,
            beside: None,
            until: None,
        }
    }

    fn played(self) -> Played {
        let events: Vec<Event> = self
            .entries
            .iter()
            .flat_map(|(_, _, events)| events.clone())
            .collect();
        Played {
            ways: walked(&self.setup.procedure, &events),
            entries: self.entries,
            state: self.state,
        }
    }

    #[expect(
        clippy::unnecessary_box_returns,
        reason = "the error of every fallible function here is boxed, to keep results small"
    )]
    pub(super) fn differs(&self, what: impl Into<String>) -> Box<Difference> {
        let step = self.state.step();
        Box::new(Difference {
            rehearsal: self.rehearsal.id.clone(),
            step: step.map_or_else(|| "the start".to_owned(), ToString::to_string),
            number: self.number,
            what: what.into(),
        })
    }

    fn run(&mut self) -> Step1 {
        self.open()?;
        self.go_on()
    }

    fn go_on(&mut self) -> Step1 {
        for _ in 0..MOST_MOVES {
            if self.state.ended.is_some() {
                return self.check_end();
            }
            if self.beside.is_some() && self.is_said() {
                return Ok(());
            }
            let Some(step) = self.state.step().cloned() else {
                return Err(self.differs("the job is nowhere"));
            };
            if self.until.as_ref() == Some(&step) {
                return Ok(());
            }
            let visit = self.visits.get(&step).copied().unwrap_or(0) + 1;
            let Some(made) = self.choose_move(&step, visit) else {
                return Err(self.differs(self.no_move(&step)));
            };
            self.visits.insert(step.clone(), visit);
            self.make(&made)?;
        }
        Err(self.differs("the run does not come to an end"))
    }

    /// Whether a script of a drill has nothing more to say.
    fn is_said(&self) -> bool {
        self.base.is_none() && self.next >= self.rehearsal.moves.len()
    }

    fn no_move(&self, step: &StepId) -> String {
        let title = self.setup.step(step).map_or("", |s| s.title.as_str());
        if let Some(next) = self.rehearsal.moves.get(self.next) {
            return format!(
                "the job is at {step} (\"{title}\"); the script's next move is at {}",
                next.at
            );
        }
        let wanted = self.not_taken_on(step);
        format!("the job is at {step} (\"{title}\"); the script has no more moves{wanted}")
    }

    /// What an end still waits for: duties that nobody has taken on.
    fn not_taken_on(&self, step: &StepId) -> String {
        let at = self.setup.step(step);
        if !at.is_some_and(|s| matches!(s.body, Body::End(_))) {
            return String::new();
        }
        let owed = self
            .state
            .duties
            .iter()
            .filter(|(_, owed)| owed.to.is_none());
        let owed: Vec<&str> = owed.map(|(duty, _)| duty.as_str()).collect();
        if owed.is_empty() {
            return String::new();
        }
        format!(
            ", and this end waits for someone to take on {}: add a move at {step} with \"hand_over_to\"",
            owed.join(", ")
        )
    }

    /// The script's next own move if it is for here, else what the rehearsal it is
    /// like does here.
    fn choose_move(&mut self, step: &StepId, visit: u32) -> Option<Move> {
        if let Some(own) = self.rehearsal.moves.get(self.next)
            && &own.at == step
            && own.visit.is_none_or(|v| v == visit)
        {
            self.next += 1;
            self.number = self.next;
            return Some(own.clone());
        }
        self.number = 0;
        let base = self.base?;
        let here: Vec<&Move> = base.moves.iter().filter(|m| &m.at == step).collect();
        let index = (visit as usize - 1).min(here.len().checked_sub(1)?);
        here.get(index).map(|m| (*m).clone())
    }

    pub(super) fn open(&mut self) -> Step1 {
        let instruments = &self.setup.instruments;
        let roles = self.setup.procedure.roles.keys();
        let roles = roles
            .filter_map(|r| Some((r.clone(), instruments.for_role(r)?.id.clone())))
            .collect();
        let by = self.person(PLAYER)?;
        let command = Command::Open {
            by,
            with: Vec::new(),
            why: self.rehearsal.title.clone(),
            roles,
            system: self.setup.sheet.system,
            earlier: None,
        };
        match self.act(command) {
            Acted::Done => Ok(()),
            Acted::Refused(refusal) => Err(self.differs(refusal.to_string())),
        }
    }

    fn person(&self, name: &str) -> Result<Person, Box<Difference>> {
        Person::new(name).map_err(|e| self.differs(e.to_string()))
    }

    fn pass_time(&mut self, ms: u64) {
        if let Some(beside) = &mut self.beside {
            beside.pass(self.setup, ms);
        }
        self.clock(ms);
    }

    fn clock(&mut self, ms: u64) {
        self.at.mono_ms = self.at.mono_ms.saturating_add(ms);
        self.at.wall_ms = self.at.wall_ms.saturating_add_unsigned(ms);
    }

    fn act(&mut self, command: Command) -> Acted {
        self.pass_time(ACTION_MS);
        match decide(self.setup, &self.state, &command, self.at) {
            Ok(events) => {
                let before = self.beside.is_some().then(|| self.state.clone());
                for event in &events {
                    evolve(&mut self.state, event);
                }
                self.state.last = Some(self.at);
                if let (Some(beside), Some(before)) = (&mut self.beside, before) {
                    beside.entered(self.setup, &before, (&command, &events), &self.state);
                }
                self.entries.push((self.at, command, events));
                Acted::Done
            }
            Err(refusal) => Acted::Refused(refusal),
        }
    }

    pub(super) fn make(&mut self, made: &Move) -> Step1 {
        self.pass_time(made.after_ms);
        let from = self.entries.len();
        if made.resume {
            self.at.session += 1;
            self.at.mono_ms = 0;
            let by = self.person(PLAYER)?;
            if let Acted::Refused(refusal) = self.act(Command::Resume { by }) {
                return Err(self.differs(refusal.to_string()));
            }
        }
        self.check_arrival(made)?;
        let before = self.entries.len();
        let made = &self.readied(made)?;
        let refused = self.actions(made)?;
        match (refused, &made.refused) {
            (Some(refusal), Some(words)) if refusal.to_string().contains(words.as_str()) => {}
            (Some(refusal), Some(words)) => {
                return Err(self.differs(format!(
                    "refused with \"{refusal}\"; the script says \"{words}\""
                )));
            }
            (Some(refusal), None) => return Err(self.differs(format!("refused: {refusal}"))),
            (None, Some(words)) => {
                return Err(self.differs(format!("taken; the script says refused: \"{words}\"")));
            }
            (None, None) if before == self.entries.len() && !made.resume => {
                return Err(self.differs("the move does nothing"));
            }
            (None, None) => {}
        }
        self.check_left(made, from)
    }

    /// The move as it is entered: in a drill the truck has a say in it.
    fn readied(&mut self, made: &Move) -> Result<Move, Box<Difference>> {
        let Some(beside) = &mut self.beside else {
            return Ok(made.clone());
        };
        match beside.ready(self.setup, &self.state, made) {
            Ok((made, ms)) => {
                self.clock(ms);
                Ok(made)
            }
            Err(why) => Err(self.differs(why)),
        }
    }

    /// Everything the person does, up to the first refusal.
    fn actions(&mut self, made: &Move) -> Result<Option<Refusal>, Box<Difference>> {
        for command in self.before_verdicts(made)? {
            if let Acted::Refused(refusal) = self.act(command) {
                return Ok(Some(refusal));
            }
        }
        for point in &made.series {
            if let Some(refusal) = self.watch(point)? {
                return Ok(Some(refusal));
            }
        }
        self.check_verdicts(made)?;
        for command in self.after_verdicts(made)? {
            if let Acted::Refused(refusal) = self.act(command) {
                return Ok(Some(refusal));
            }
        }
        match made.confirm {
            Some(word) => self.confirm(word),
            None => Ok(None),
        }
    }

    fn before_verdicts(&self, made: &Move) -> Result<Vec<Command>, Box<Difference>> {
        let mut commands = Vec::new();
        for (condition, typed) in &made.attest {
            let reading = self
                .setup
                .procedure
                .conditions
                .get(condition)
                .and_then(|c| c.ask.as_ref())
                .and_then(|a| a.reading.clone());
            let entry = match (typed, reading) {
                (Some(typed), Some(reading)) => Some(self.entry(&reading, typed, made)?),
                _ => None,
            };
            commands.push(Command::Attest {
                condition: condition.clone(),
                entry,
            });
        }
        for (role, swap) in &made.swaps {
            let zero = match &swap.zero {
                Some(typed) => {
                    let kind = self.setup.procedure.roles.get(role).map(|r| r.kind);
                    let kind = kind.ok_or_else(|| self.differs(format!("no use named {role}")))?;
                    Some(self.typed(typed, kind, None)?)
                }
                None => None,
            };
            commands.push(Command::UseInstrument {
                role: role.clone(),
                instrument: swap.instrument.clone(),
                zero,
                reason: swap.reason.clone(),
            });
        }
        let step = self.state.step().and_then(|s| self.setup.step(s));
        commands.extend(step.into_iter().flat_map(|s| ticks(s, made)));
        for (reading, typed) in &made.read {
            commands.push(Command::Read {
                reading: reading.clone(),
                entry: self.entry(reading, typed, made)?,
            });
        }
        for (reading, second) in &made.witness {
            commands.push(Command::Witness {
                reading: reading.clone(),
                by: self.person(&second.by)?,
                entry: self.entry(reading, &second.value, made)?,
            });
        }
        Ok(commands)
    }

    fn after_verdicts(&self, made: &Move) -> Result<Vec<Command>, Box<Difference>> {
        let mut commands = Vec::new();
        for (limit, reason) in &made.overrides {
            commands.push(Command::Override {
                limit: limit.saturating_sub(1),
                reason: reason.clone(),
            });
        }
        for correct in &made.correct {
            let entry = self.entry(&correct.value, &correct.to, made)?;
            commands.push(Command::Correct {
                what: Correction::Reading {
                    reading: correct.value.clone(),
                    entry,
                },
                reason: correct.reason.clone(),
            });
        }
        commands.extend(made.repeat.clone().map(|step| Command::Repeat { step }));
        commands.extend(made.choose.clone().map(|choice| Command::Choose { choice }));
        for (duty, to) in &made.hand_over_to {
            commands.push(Command::HandOver {
                duty: duty.clone(),
                to: self.person(to)?,
            });
        }
        match made.stop {
            Some(StopWord::Taken) => {
                commands.extend([Command::CallStop, Command::TakeStop]);
            }
            Some(StopWord::CarryOn) => {
                commands.extend([Command::CallStop, Command::CarryOn]);
            }
            None => {}
        }
        Ok(commands)
    }

    fn entry(&self, id: &ValueId, typed: &str, made: &Move) -> Result<Entry, Box<Difference>> {
        let reading = self.setup.procedure.readings.get(id);
        let reading = reading.ok_or_else(|| self.differs(format!("no reading named {id}")))?;
        let mut entry = self.typed(typed, reading.kind, reading.shown)?;
        entry.again = made.again.contains(id);
        Ok(entry)
    }

    fn typed(
        &self,
        typed: &str,
        kind: crate::quantity::Kind,
        shown: Option<(crate::quantity::Unit, crate::quantity::Unit)>,
    ) -> Result<Entry, Box<Difference>> {
        let system = self.setup.sheet.system;
        let unit = match (shown, system) {
            (Some((metric, _)), System::Metric) => metric,
            (Some((_, us)), System::Us) => us,
            (None, system) => kind.shown(system),
        };
        let understood = read(typed, kind, unit).map_err(|e| self.differs(e.to_string()))?;
        Ok(Entry {
            typed: typed.to_owned(),
            value: understood.quantity,
            again: false,
        })
    }

    fn watch(&mut self, point: &SeriesPoint) -> Result<Option<Refusal>, Box<Difference>> {
        self.pass_time(point.after_ms);
        for (reading, typed) in &point.read {
            let typed = match &mut self.beside {
                Some(beside) => beside.typed(self.setup, &self.state, reading, typed),
                None => typed.clone(),
            };
            let condition = self
                .state
                .watches
                .iter()
                .find(|(_, w)| w.readings.contains(reading))
                .map(|(c, _)| c.clone());
            let condition =
                condition.ok_or_else(|| self.differs(format!("no watch asks for {reading}")))?;
            let blank = Move::at(self.rehearsal.end.clone());
            let entry = self.entry(reading, &typed, &blank)?;
            let command = Command::Watch {
                condition,
                reading: reading.clone(),
                entry,
            };
            if let Acted::Refused(refusal) = self.act(command) {
                return Ok(Some(refusal));
            }
        }
        Ok(None)
    }

    fn confirm(&mut self, word: ConfirmWord) -> Result<Option<Refusal>, Box<Difference>> {
        let step = self.state.step().and_then(|s| self.setup.step(s));
        let confirm = step.map_or(Confirm::None, |s| s.confirm().clone());
        let commands: Vec<(u64, Command)> = match (word, &confirm) {
            (ConfirmWord::Enter, _) => vec![(0, Command::Confirm)],
            (ConfirmWord::GoOn, _) => vec![(0, Command::GoOn)],
            (ConfirmWord::Hold, Confirm::Hold { for_ms, .. }) => {
                vec![(0, Command::Hold(evidence(u64::from(*for_ms))))]
            }
            (ConfirmWord::Hold, _) => vec![(0, Command::Hold(evidence(10_000)))],
            (ConfirmWord::Pulse, Confirm::Pulse { presses, .. }) => {
                let presses = (0..*presses).map(|_| (0, Command::Press));
                [(0, Command::Begin)].into_iter().chain(presses).collect()
            }
            (ConfirmWord::Wait, Confirm::Wait { at_least, .. }) => {
                let ms = self.ms(at_least)?;
                vec![(0, Command::Begin), (ms, Command::Confirm)]
            }
            (ConfirmWord::Lapse, Confirm::Pulse { within, .. }) => {
                vec![(0, Command::Begin), (self.ms(within)?, Command::Lapse)]
            }
            (
                ConfirmWord::Lapse,
                Confirm::Wait {
                    at_most: Some(most),
                    ..
                },
            ) => vec![(0, Command::Begin), (self.ms(most)?, Command::Lapse)],
            (ConfirmWord::Pulse | ConfirmWord::Wait | ConfirmWord::Lapse, _) => {
                return Err(self.differs("the step is not confirmed so"));
            }
        };
        for (ms, command) in commands {
            self.pass_time(ms);
            if let Acted::Refused(refusal) = self.act(command) {
                return Ok(Some(refusal));
            }
        }
        Ok(None)
    }

    fn ms(&self, side: &Side) -> Result<u64, Box<Difference>> {
        let ms = self.setup.side_ms(side);
        ms.ok_or_else(|| self.differs("the sheet has no such time"))
    }
}

fn evidence(held_ms: u64) -> Evidence {
    Evidence {
        tier: Tier::Script,
        held_ms,
        events: 0,
        median_ms: 0,
        cancels: 0,
        terminal: "rehearsal".to_owned(),
    }
}

fn ticks(step: &Step, made: &Move) -> Vec<Command> {
    let answer = |word: &TickWord, words: bool| match word {
        TickWord::Yes(said) if said.is_empty() && words => Answer::Yes("as rehearsed".to_owned()),
        TickWord::Yes(said) => Answer::Yes(said.clone()),
        TickWord::No => Answer::No,
        TickWord::Not(why) => Answer::NotApplicable(why.clone()),
    };
    step.ticks
        .iter()
        .filter_map(|tick| {
            let word = made.ticks.get(&tick.id).or(made.all_ticks.as_ref())?;
            Some(Command::Tick {
                tick: tick.id.clone(),
                answer: answer(word, tick.words),
            })
        })
        .collect()
}
