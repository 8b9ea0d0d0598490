//! One prompt, from its opening to its commit.
//!
//! Invariants: disturbances are judged before the gesture; a cancelled try
//! needs the prompt drawn anew and a fresh arm; after a commit nothing is
//! taken any more.
//!
//! Must not know: what the hold is for.

use std::time::Duration;

use super::cause::Cause;
use super::evidence::{Evidence, Tier};
use super::limit;
use super::number::Number;
use super::prompt::{Prompt, Severity};
use super::proven::Proven;
use super::repeat::Repeat;
use super::session::{Release, Session};
use super::strand::{Progress, Strand, Touch};
use super::turn::Turn;
use super::view::{Phase, View, Wait};
use super::watch::{Watch, disturbance, is_hold_key, side};
use crate::input::{Input, Key, Modifiers, Press, Stamp, Stamped};

/// What an input brought about.
#[derive(Debug, Clone, PartialEq)]
pub enum Outcome {
    /// The hold is confirmed. Write the evidence before the gate opens.
    Committed(Evidence),
    /// A try was cancelled. The prompt stays open for another.
    Cancelled(Cause),
    /// The person chose two keys in turn for this prompt.
    TurnsChosen,
}

#[derive(Debug, Clone)]
enum Stage {
    Waiting,
    Armed,
    Trying(Strand),
    Typing(Number),
    Quiet { until: Duration },
    Committed(Evidence),
}

/// The judge of one prompt.
#[derive(Debug, Clone)]
pub struct Judge {
    prompt: Prompt,
    tier: Tier,
    turns_chosen: bool,
    watch: Watch,
    stage: Stage,
    cancels: u32,
    last_cancel: Option<Cause>,
}

impl Judge {
    /// Opens a prompt. It waits until it is drawn, and until the keys that the
    /// last prompt throws away are past.
    pub fn new(session: &Session, prompt: Prompt, at: Stamp) -> Self {
        Self {
            prompt,
            tier: session.tier(prompt.severity()),
            turns_chosen: false,
            watch: Watch::new(at),
            stage: match session.quiet_until(at) {
                Some(until) => Stage::Quiet { until },
                None => Stage::Waiting,
            },
            cancels: 0,
            last_cancel: None,
        }
    }

    /// A frame that shows the prompt reached the terminal. Call it after every
    /// such frame; only the first after the opening, or after a cancel, counts.
    pub fn drawn(&mut self, at: Stamp) {
        self.watch.drawn(at);
    }

    /// The prompt is not shown any more, or the screen is too small for it.
    pub fn hidden(&mut self, session: &mut Session) -> Option<Outcome> {
        let was_drawn = self.watch.is_drawn();
        self.watch.undrawn();
        match self.stage {
            Stage::Committed(_) | Stage::Quiet { .. } => None,
            Stage::Waiting if !was_drawn => None,
            Stage::Waiting | Stage::Armed | Stage::Trying(_) | Stage::Typing(_) => {
                Some(self.cancel(session, Cause::NotShown))
            }
        }
    }

    /// Takes one input. While a prompt is open every input comes here, ticks
    /// among them.
    pub fn take(&mut self, session: &mut Session, stamped: &Stamped) -> Option<Outcome> {
        let clocks = self.watch.advance(stamped);
        let untrue = self.follow(session, &stamped.input);
        if self.is_closed(&stamped.input) {
            return None;
        }
        if let Some(cause) = clocks.or(untrue).or_else(|| disturbance(&stamped.input)) {
            return Some(self.cancel(session, cause));
        }
        match stamped.input {
            Input::Tick => self.tick(session),
            Input::Key {
                key,
                modifiers,
                phase,
            } => self.key(session, key, modifiers, phase),
            Input::Paste(_)
            | Input::FocusGained
            | Input::FocusLost
            | Input::Resize { .. }
            | Input::Mouse
            | Input::Continued
            | Input::Terminate
            | Input::HangUp
            | Input::Interrupt
            | Input::Suspend
            | Input::Overflow
            | Input::DrawFailed => None,
        }
    }

    /// The prompt as it stands at the last input.
    pub fn view(&self) -> View {
        let now = self.watch.now();
        let (phase, offers) = match &self.stage {
            Stage::Waiting => (self.waiting(), true),
            Stage::Armed => (Phase::Armed, true),
            Stage::Trying(strand) => (strand.phase(now), strand.full().is_none()),
            Stage::Typing(number) => (
                Phase::Typing {
                    number: number.shown(),
                    typed: number.typed(),
                },
                false,
            ),
            Stage::Quiet { until } => (
                Phase::Waiting {
                    left: until.saturating_sub(now) + limit::DRAWN,
                    why: Wait::Swallowing,
                },
                false,
            ),
            Stage::Committed(evidence) => (Phase::Committed(evidence.clone()), false),
        };
        View {
            tier: self.tier,
            phase,
            last_cancel: self.last_cancel.clone(),
            cancels: self.cancels,
            offers_turns: offers && self.tier != Tier::Turns,
        }
    }

    fn waiting(&self) -> Phase {
        let (left, why) = self
            .watch
            .waits_for()
            .unwrap_or((Duration::ZERO, Wait::Reading));
        Phase::Waiting { left, why }
    }

    /// Keeps silence and the session's trail up to date, whatever the stage.
    /// Says what is wrong with a release while releases are relied on.
    fn follow(&mut self, session: &mut Session, input: &Input) -> Option<Cause> {
        let &Input::Key { key, phase, .. } = input else {
            return None;
        };
        if is_hold_key(key) || side(key).is_some() {
            self.watch.touched();
        }
        if !is_hold_key(key) {
            return None;
        }
        let untrue = session.follow(phase, self.watch.stamp());
        untrue.filter(|_| self.tier == Tier::Release)
    }

    /// Whether inputs are thrown away now. The end of that time is noticed
    /// here.
    fn is_closed(&mut self, input: &Input) -> bool {
        match self.stage {
            Stage::Committed(_) => true,
            Stage::Quiet { until } if self.watch.now() < until => {
                if *input == Input::DrawFailed {
                    self.watch.undrawn();
                }
                true
            }
            Stage::Quiet { until } => {
                // Keys thrown away were keys all the same: the time to read
                // begins after them.
                self.watch.drawn_not_before(until);
                self.stage = Stage::Waiting;
                false
            }
            Stage::Waiting | Stage::Armed | Stage::Trying(_) | Stage::Typing(_) => false,
        }
    }

    fn tick(&mut self, session: &mut Session) -> Option<Outcome> {
        let now = self.watch.now();
        let progress = match &mut self.stage {
            Stage::Waiting => {
                if self.watch.waits_for().is_none() {
                    self.stage = Stage::Armed;
                }
                return None;
            }
            Stage::Trying(strand) => {
                let full = strand.full();
                if full.is_some_and(|since| now.saturating_sub(since) > limit::LET_GO) {
                    Progress::Failed(Cause::NotLetGo)
                } else {
                    strand.tick(now)
                }
            }
            Stage::Typing(number) => number.tick(now),
            Stage::Armed | Stage::Quiet { .. } | Stage::Committed(_) => return None,
        };
        self.progress(session, progress)
    }

    fn key(
        &mut self,
        session: &mut Session,
        key: Key,
        modifiers: Modifiers,
        phase: Press,
    ) -> Option<Outcome> {
        if let Stage::Typing(_) = self.stage {
            return self.typed(session, key, modifiers, phase);
        }
        if phase != Press::Up && self.chooses_turns(key, modifiers) {
            return Some(self.choose_turns());
        }
        let touch = match self.tier {
            Tier::Release | Tier::Repeat if is_hold_key(key) => Some(Touch::Hold),
            Tier::Turns => side(key).map(Touch::Tap),
            Tier::Release | Tier::Repeat => None,
        };
        let allowed = match touch {
            Some(Touch::Tap(_)) => modifiers.is_at_most_shift(),
            Some(Touch::Hold) | None => modifiers.is_none(),
        };
        match touch {
            // The key that opened the prompt is let go after it has opened.
            _ if phase == Press::Up && matches!(self.stage, Stage::Waiting) => None,
            Some(_) if !allowed => Some(self.cancel(session, Cause::Modified)),
            Some(touch) => self.touch(session, touch, phase),
            None if self.is_turn_key_again(key, modifiers) => {
                self.watch.touched();
                None
            }
            None => Some(self.cancel(session, Cause::OtherKey { key, modifiers })),
        }
    }

    /// A gesture key moved, as it should.
    fn touch(&mut self, session: &mut Session, touch: Touch, phase: Press) -> Option<Outcome> {
        let now = self.watch.now();
        match (&mut self.stage, phase) {
            (Stage::Armed, Press::Down) => {
                self.last_cancel = None;
                self.stage = Stage::Trying(self.begin(session, touch));
                None
            }
            (Stage::Armed, Press::Repeat) => Some(self.cancel(session, Cause::RepeatWithoutPress)),
            // A key that was down all along is let go: it was not silent.
            (Stage::Armed, Press::Up) => {
                self.stage = Stage::Waiting;
                None
            }
            (Stage::Trying(strand), _) => {
                let progress = strand.key(touch, phase, now);
                self.progress(session, progress)
            }
            (
                Stage::Waiting | Stage::Typing(_) | Stage::Quiet { .. } | Stage::Committed(_),
                Press::Down | Press::Repeat | Press::Up,
            ) => None,
        }
    }

    fn begin(&self, session: &Session, touch: Touch) -> Strand {
        let now = self.watch.now();
        match (touch, self.tier) {
            (Touch::Tap(side), _) => Strand::Turn(Turn::new(side, now)),
            (Touch::Hold, Tier::Release) => {
                // Without a proof that says otherwise, repeats are due.
                let due = session.release() != Release::Proven { repeats: false };
                Strand::Proven(Proven::new(now, self.prompt.hold(), due))
            }
            (Touch::Hold, Tier::Repeat | Tier::Turns) => {
                Strand::Repeat(Repeat::new(now, self.prompt.hold()))
            }
        }
    }

    /// A key while the number is typed. Letting go of the tapped keys, or of a
    /// digit, says nothing.
    fn typed(
        &mut self,
        session: &mut Session,
        key: Key,
        modifiers: Modifiers,
        phase: Press,
    ) -> Option<Outcome> {
        let now = self.watch.now();
        let digit = if let Key::Char(c) = key
            && modifiers.is_at_most_shift()
        {
            c.to_digit(10)
        } else {
            None
        };
        let tapped = side(key).is_some() && modifiers.is_at_most_shift();
        if phase == Press::Up && (digit.is_some() || tapped) {
            return None;
        }
        let progress = match (digit, &mut self.stage) {
            (Some(digit), Stage::Typing(number)) => number.digit(digit, phase, now),
            _ => Progress::Failed(Cause::OtherKey { key, modifiers }),
        };
        self.progress(session, progress)
    }

    fn progress(&mut self, session: &mut Session, progress: Progress) -> Option<Outcome> {
        match progress {
            Progress::On => None,
            Progress::Failed(cause) => Some(self.cancel(session, cause)),
            Progress::Done => self.done(session),
        }
    }

    /// The gesture is complete and let go: the number is next, or the commit.
    fn done(&mut self, session: &mut Session) -> Option<Outcome> {
        let danger = self.prompt.severity() == Severity::Danger;
        let (tally, typed) = match &self.stage {
            Stage::Trying(Strand::Turn(turn)) if danger => {
                let number = Number::new(self.prompt.number(), turn.tally(), self.watch.now());
                self.stage = Stage::Typing(number);
                return None;
            }
            Stage::Trying(strand) => (strand.tally(), false),
            Stage::Typing(number) => (number.taps(), true),
            Stage::Waiting | Stage::Armed | Stage::Quiet { .. } | Stage::Committed(_) => {
                return None;
            }
        };
        if self.tier == Tier::Repeat {
            session.repeat_succeeded();
        }
        let evidence = Evidence {
            tier: self.tier,
            held: tally.held,
            events: u32::try_from(tally.events).unwrap_or(u32::MAX),
            median_interval: tally.median,
            terminal: session.terminal().to_owned(),
            cancels: self.cancels,
            number_typed: typed,
        };
        session.quiet_from(self.watch.stamp());
        self.stage = Stage::Committed(evidence.clone());
        Some(Outcome::Committed(evidence))
    }

    fn cancel(&mut self, session: &mut Session, cause: Cause) -> Outcome {
        let trying = matches!(self.stage, Stage::Trying(_));
        if trying && self.tier == Tier::Repeat && cause.is_repeat_failure() {
            session.repeat_failed();
        }
        if !self.turns_chosen {
            self.tier = session.tier(self.prompt.severity());
        }
        session.quiet_from(self.watch.stamp());
        self.watch.undrawn();
        self.stage = Stage::Quiet {
            until: self.watch.now() + limit::SWALLOW,
        };
        self.cancels = self.cancels.saturating_add(1);
        self.last_cancel = Some(cause.clone());
        Outcome::Cancelled(cause)
    }

    /// `t`, with or without Caps Lock, while nothing is complete yet.
    fn chooses_turns(&self, key: Key, modifiers: Modifiers) -> bool {
        let open = match &self.stage {
            Stage::Waiting | Stage::Armed => true,
            Stage::Trying(strand) => strand.full().is_none(),
            Stage::Typing(_) | Stage::Quiet { .. } | Stage::Committed(_) => false,
        };
        open && self.tier != Tier::Turns && is_turn_key(key, modifiers)
    }

    /// `t` again, or its repeats, just after it was chosen.
    fn is_turn_key_again(&self, key: Key, modifiers: Modifiers) -> bool {
        matches!(self.stage, Stage::Waiting)
            && self.tier == Tier::Turns
            && is_turn_key(key, modifiers)
    }

    fn choose_turns(&mut self) -> Outcome {
        self.turns_chosen = true;
        self.tier = Tier::Turns;
        self.stage = Stage::Waiting;
        self.watch.undrawn();
        self.watch.touched();
        Outcome::TurnsChosen
    }
}

fn is_turn_key(key: Key, modifiers: Modifiers) -> bool {
    matches!(key, Key::Char('t' | 'T')) && modifiers.is_at_most_shift()
}
