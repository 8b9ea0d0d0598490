//! A drill on the screen: the practice truck beside the procedure, both live.
//!
//! The truck has keys of its own; Ctrl-T gives them to it and takes them back. Its
//! valves are held: each opens on evidence of a key down and shuts without it. The
//! truck's clock follows the wall, or runs ahead of it while nothing is held.
//!
//! Must not know: files, drawing.
#![expect(
    clippy::wildcard_enum_match_arm,
    reason = "a key that means nothing at the truck changes nothing"
)]

mod coach;

use std::time::Duration;

use super::work::Work;
use crate::drill::{Committed, Doing, Drill, Kept, doings, fault_titles};
use crate::hold::{Session, Valve, limit};
use crate::input::{Input, Key, Modifiers, Press, Stamp, Stamped};
use crate::job::{Command, Event, Setup, State};
use crate::rig::{Coaching, Hand, Happening, Reach, Refused, Side, Spot, Way, Write};

pub use coach::coaching;

/// How fast the truck's clock may run.
pub const PACES: [u32; 5] = [1, 2, 5, 10, 20];

/// A machine that was away longer than this was asleep: the truck waits for nobody.
const ASLEEP: Duration = Duration::from_secs(5);

/// How often it is woken while something moves: thirty times a second and a little more.
const MOVING: Duration = Duration::from_millis(33);

/// How often while it rests.
const RESTING: Duration = Duration::from_millis(100);

/// An alarm stays over entries for so long, ms.
const ALARM_STAYS_MS: u64 = 4_000;

/// What the list at the truck shows.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum List {
    /// Where to go.
    Places,
    /// What to do here.
    Here,
    /// Which fault it is.
    Faults,
    /// What to mend.
    Mending,
}

/// A drill on the screen.
#[derive(Debug)]
pub struct Practise {
    /// The drill.
    pub drill: Drill,
    /// The truck has the keys.
    pub front: bool,
    /// Which bellows the control works on.
    pub reach: Reach,
    /// What the list shows.
    pub list: List,
    /// The row in focus; none after something was done, so that a second Enter does not
    /// do its opposite.
    pub row: Option<usize>,
    /// The first thing shown of what is seen here.
    pub top: usize,
    /// How fast the truck's clock runs: an index into [`PACES`].
    pub pace: usize,
    /// What was refused at the truck, or happened there.
    pub message: Option<String>,
    /// What was unsafe, told at once.
    pub alarm: Option<String>,
    /// Since when, on the truck's clock.
    alarm_ms: u64,
    /// Earlier drills of the same person, the last one first.
    pub before: Vec<Kept>,
    /// The debrief was made and sent.
    pub over: bool,
    up: Valve,
    down: Valve,
    last: Stamp,
    /// Parts of a millisecond that are still owed, in microseconds.
    owed_us: u64,
    /// How far the truck's clock is ahead of the wall, ms.
    ahead_ms: u64,
    /// Parts of a millisecond of that, in microseconds.
    ahead_us: u64,
    /// When a key of a valve was seen last: its tail means nothing to the step.
    tail: Option<Duration>,
    told: usize,
}

impl Practise {
    /// A drill as it is opened, with the step at which it begins.
    pub fn new(
        mut drill: Drill,
        setup: &Setup,
        state: &State,
        before: Vec<Kept>,
        session: &Session,
        now: Stamp,
    ) -> Self {
        if let Some(step) = state.step().filter(|_| drill.steps.is_empty()) {
            drill.arrive(setup, step);
        }
        // Where the lead hand began, the truck's clock is ahead already.
        let now_ms = u64::try_from(now.mono.as_millis()).unwrap_or(0);
        let ahead_ms = state
            .last
            .filter(|_| drill.handed_ms.is_some())
            .map_or(0, |last| last.mono_ms.saturating_sub(now_ms));
        let told = drill.unsafe_acts.len();
        Self {
            drill,
            front: false,
            reach: Reach::Both,
            list: List::Places,
            row: Some(0),
            top: 0,
            pace: 0,
            message: None,
            alarm: None,
            alarm_ms: 0,
            before,
            over: false,
            up: Valve::new(session, Key::Char('u'), now),
            down: Valve::new(session, Key::Char('d'), now),
            last: now,
            owed_us: 0,
            ahead_ms,
            ahead_us: 0,
            tail: None,
            told,
        }
    }

    /// How fast the truck's clock runs now.
    pub fn pace(&self) -> u32 {
        PACES.get(self.pace).copied().unwrap_or(1)
    }

    /// The instant as the job takes it: the wall's, and as far ahead as the truck is.
    pub fn ahead(&self, at: Stamp) -> Stamp {
        Stamp {
            mono: at.mono + Duration::from_millis(self.ahead_ms),
            wall_ms: at.wall_ms.saturating_add_unsigned(self.ahead_ms),
        }
    }

    /// What is shown of the truck, as far as it is shown: the same face needs no new
    /// frame. `None` while it moves.
    pub fn face(&self) -> Option<[i64; 10]> {
        if self.drill.bay.moves() || self.pace() > 1 {
            return None;
        }
        let seen = self.drill.bay.readout();
        let [left, right] = seen.height;
        let [gauge_left, gauge_right, tank] = seen.gauge;
        let steps = |value: f64, step: f64| (value / step).round() as i64;
        Some([
            steps(left, 1e-4),
            steps(right, 1e-4),
            steps(gauge_left, 0.01),
            steps(gauge_right, 0.01),
            steps(tank, 0.01),
            steps(seen.counts, 1.0),
            steps(self.drill.bay.brake_bar, 0.01),
            count(self.drill.now_ms() / 60_000),
            count(self.drill.lines.len() as u64),
            count(self.drill.unsafe_acts.len() as u64),
        ])
    }

    /// How soon it must be woken.
    pub fn wake_in(&self) -> Duration {
        if self.drill.bay.moves() || self.pace() > 1 {
            MOVING
        } else {
            RESTING
        }
    }

    /// Lets the truck's clock follow; `held`: a hold is being made, which no time lapse
    /// may cross.
    pub(super) fn follow(&mut self, setup: &Setup, at: Stamp, held: bool) {
        let gone = at.mono.saturating_sub(self.last.mono).min(ASLEEP);
        self.last = at;
        if held || self.drill.bay.held.is_some() {
            self.pace = 0;
        }
        let pace = u64::from(self.pace());
        let us = u64::try_from(gone.as_micros()).unwrap_or(0);
        self.owed_us += us * pace;
        let ms = self.owed_us / 1_000;
        self.owed_us %= 1_000;
        self.ahead_us += us * (pace - 1);
        self.ahead_ms += self.ahead_us / 1_000;
        self.ahead_us %= 1_000;
        let happened = self.drill.pass(setup, ms);
        self.tell(&happened);
    }

    /// Every input goes to both valves; they stay shut while the step has the keys.
    pub(super) fn valves(&mut self, setup: &Setup, stamped: &Stamped) {
        let stamped = &without_caps(stamped);
        let up = self.up.take(stamped);
        let down = self.down.take(stamped);
        if !self.front {
            self.up.shut();
            self.down.shut();
            self.set(setup, None);
            return;
        }
        let way = match (up, down) {
            (true, false) => Some(Way::Up),
            (false, true) => Some(Way::Down),
            // Both at once move nothing.
            (true, true) | (false, false) => None,
        };
        self.set(setup, way);
    }

    fn set(&mut self, setup: &Setup, way: Option<Way>) {
        let wanted = way.map(|way| (way, self.reach));
        if self.drill.bay.held == wanted {
            return;
        }
        if let Some((way, reach)) = wanted {
            if self.list != List::Here {
                self.show(List::Here);
            }
            self.act(setup, &Hand::Open(way, reach));
        } else {
            self.act(setup, &Hand::LetGo);
        }
    }

    /// The truck has the keys; its valves go by what is known of keys by now.
    fn come_to_front(&mut self, session: &Session, at: Stamp) {
        self.front = true;
        for (valve, letter) in [(&mut self.up, 'u'), (&mut self.down, 'd')] {
            if !valve.suits(session) {
                *valve = Valve::new(session, Key::Char(letter), at);
            }
        }
    }

    /// The keys are the procedure's again; nothing stays open.
    pub(super) fn give_back(&mut self, setup: &Setup) {
        self.front = false;
        self.up.shut();
        self.down.shut();
        self.set(setup, None);
    }

    /// Does a thing at the truck and says what came of it; `true`: it is done, and there
    /// was nothing to say.
    pub(super) fn act(&mut self, setup: &Setup, hand: &Hand) -> bool {
        self.message = None;
        match self.drill.act(setup, hand) {
            Ok(happened) => {
                self.tell(&happened);
                return happened.is_empty();
            }
            Err(Refused::InOrder { .. }) => self.message = Some(IN_ORDER.to_owned()),
            Err(refused) => self.message = Some(refused.to_string()),
        }
        false
    }

    /// The same, with words for what is done without a sound.
    fn act_and_say(&mut self, setup: &Setup, hand: &Hand, words: &str) {
        if self.act(setup, hand) {
            self.message = Some(format!("Done: {words}."));
        }
    }

    fn tell(&mut self, happened: &[Happening]) {
        if !happened.is_empty() {
            let said: Vec<String> = happened.iter().map(ToString::to_string).collect();
            self.message = Some(said.join(" "));
        }
        let fresh = self.drill.unsafe_acts.get(self.told..).unwrap_or_default();
        let alone = self.drill.ground.plan.coaching == Coaching::Alone;
        if !fresh.is_empty() && !alone {
            let mut fresh: Vec<&Committed> = fresh.iter().collect();
            fresh.sort_by_key(|c| c.act.seriousness());
            let title =
                |c: &Committed| format!("{}: {}", c.act.seriousness().word(), c.act.title());
            // The worst whole, of the others what they are: all of it fits a small window.
            let mut told = Vec::new();
            for (n, one) in fresh.into_iter().enumerate() {
                told.push(title(one));
                if n == 0 {
                    told.extend([one.what.clone(), one.act.why().to_owned()]);
                }
            }
            self.alarm = Some(told.join(" "));
            self.alarm_ms = self.drill.now_ms();
        }
        self.told = self.drill.unsafe_acts.len();
    }

    /// An entry of the job is on disk.
    pub(super) fn entered(
        &mut self,
        setup: &Setup,
        before: &State,
        command: &Command,
        events: &[Event],
    ) {
        // Whoever answers fast has not read it.
        if self.drill.now_ms() >= self.alarm_ms + ALARM_STAYS_MS {
            self.alarm = None;
        }
        self.drill.entered(setup, before, command, events);
        self.tell(&[]);
    }

    /// The rows of the list.
    pub fn rows(&self) -> Vec<String> {
        match self.list {
            List::Places => Spot::ALL.into_iter().map(Spot::numbered).collect(),
            List::Here => self.doings().into_iter().map(|d| d.words).collect(),
            List::Faults => self.faults().into_iter().map(|(_, title)| title).collect(),
            List::Mending => self
                .mendings()
                .into_iter()
                .map(|(_, title)| title)
                .collect(),
        }
    }

    /// What can be done where the person stands.
    pub fn doings(&self) -> Vec<Doing> {
        doings(&self.drill.bay, self.drill.bay.spot)
    }

    fn faults(&self) -> Vec<(String, String)> {
        fault_titles(&self.drill.ground.known)
    }

    /// Everything that can be mended in some truck: the list tells nothing of this one.
    fn mendings(&self) -> Vec<(String, String)> {
        let known = self.drill.ground.known.iter();
        let mut list: Vec<(String, String)> = known
            .filter_map(|f| Some((f.id.clone(), f.mending.clone()?)))
            .collect();
        list.sort_by(|a, b| a.1.cmp(&b.1));
        list.dedup_by(|a, b| a.1 == b.1);
        list
    }

    /// A key at the truck.
    pub(super) fn key(&mut self, setup: &Setup, key: Key, page: usize) {
        let rows = self.rows().len();
        match key {
            Key::Up | Key::BackTab => {
                let before = self.row.and_then(|row| row.checked_sub(1));
                self.row = Some(before.unwrap_or(rows.saturating_sub(1)));
            }
            Key::Down | Key::Tab => {
                let next = self.row.map_or(0, |row| row + 1);
                self.row = Some(if next < rows { next } else { 0 });
            }
            Key::PageUp => self.top = self.top.saturating_sub(page),
            Key::PageDown => {
                let last = self.drill.seen_at(self.drill.bay.spot).len();
                self.top = (self.top + page).min(last.saturating_sub(1));
            }
            Key::Enter => self.choose(setup),
            Key::Left => self.show(List::Places),
            Key::Right => self.show(List::Here),
            Key::Char(c) => self.letter(setup, c.to_ascii_lowercase()),
            _ => {}
        }
    }

    fn letter(&mut self, setup: &Setup, letter: char) {
        match letter {
            '1'..='9' => {
                let at = letter as usize - '1' as usize;
                if let Some(spot) = Spot::ALL.get(at) {
                    self.go(setup, *spot);
                }
            }
            'g' => self.show(List::Places),
            'h' => self.show(List::Here),
            'n' => self.show(List::Faults),
            'm' => self.show(List::Mending),
            'w' => self.act_and_say(
                setup,
                &Hand::WalkRound,
                "walked round, everyone is sent behind the line",
            ),
            'b' => self.reach = Reach::Both,
            'l' => self.reach = Reach::One(Side::Left),
            'r' => self.reach = Reach::One(Side::Right),
            'p' => self.pace = (self.pace + 1) % PACES.len(),
            _ => {}
        }
    }

    fn show(&mut self, list: List) {
        self.list = list;
        self.row = (list != List::Here).then_some(0);
        self.top = 0;
    }

    fn go(&mut self, setup: &Setup, spot: Spot) {
        self.act(setup, &Hand::Look(spot));
        self.show(List::Here);
    }

    fn choose(&mut self, setup: &Setup) {
        // The first Enter only says that the alarm was read.
        if self.alarm.take().is_some() {
            return;
        }
        let Some(row) = self.row else {
            self.message = Some("Choose with ↑↓ first, then Enter.".to_owned());
            return;
        };
        match self.list {
            List::Places => {
                if let Some(spot) = Spot::ALL.get(row) {
                    self.go(setup, *spot);
                }
            }
            List::Here => {
                if let Some(doing) = self.doings().into_iter().nth(row) {
                    self.act_and_say(setup, &doing.hand, &doing.words);
                    self.row = self.doings().iter().position(|d| d.hand == doing.hand);
                    if matches!(self.drill.bay.equipment.write, Write::Running { .. }) {
                        self.row = Some(0);
                    }
                }
            }
            List::Faults => {
                if let Some((fault, _)) = self.faults().into_iter().nth(row) {
                    self.act(setup, &Hand::Name(fault));
                }
            }
            List::Mending => {
                if let Some((fault, _)) = self.mendings().into_iter().nth(row) {
                    let same = self.same_mending(&fault);
                    match self.mended_elsewhere(&same) {
                        Some(spot) => {
                            let spot = spot.numbered();
                            self.message =
                                Some(format!("That is done at {spot}. Go there and look first."));
                        }
                        None => {
                            self.act(setup, &Hand::Mend(same));
                        }
                    }
                }
            }
        }
    }

    /// Where a fault is mended, if that is not here.
    fn mended_elsewhere(&self, fault: &str) -> Option<Spot> {
        let known = self.drill.ground.known.iter();
        let at = known.filter(|f| f.id == fault).find_map(|f| f.mended_at)?;
        (at != self.drill.bay.spot).then_some(at)
    }

    /// Several faults are mended alike: the one that this truck has is meant.
    fn same_mending(&self, fault: &str) -> String {
        let known = &self.drill.ground.known;
        let words = known
            .iter()
            .find(|f| f.id == fault)
            .and_then(|f| f.mending.clone());
        let own = self.drill.bay.faults.iter().find(|f| f.mending == words);
        own.map_or_else(|| fault.to_owned(), |f| f.id.clone())
    }
}

impl Work {
    /// Whether the truck has the keys.
    pub(super) fn truck_front(&self) -> bool {
        self.practise.as_ref().is_some_and(|p| p.front)
    }

    /// What an input does at the truck; `true`: it means nothing else.
    pub(super) fn truck_takes(
        &mut self,
        stamped: &Stamped,
        session: &Session,
        page: usize,
    ) -> bool {
        let setup = std::sync::Arc::clone(&self.setup);
        let stopped = self.stopped();
        let free = matches!(self.over, super::Over::None) && self.failed.is_none();
        let Some(practise) = &mut self.practise else {
            return false;
        };
        practise.follow(&setup, stamped.at, self.judge.is_some());
        if (stopped || !free) && practise.front {
            practise.give_back(&setup);
        }
        practise.valves(&setup, stamped);
        let Input::Key {
            key,
            modifiers,
            phase: Press::Down | Press::Repeat,
        } = stamped.input
        else {
            // A paste at the truck is no reading of the step.
            return practise.front && matches!(stamped.input, Input::Paste(_));
        };
        let turn = key == Key::Char('t') && is_ctrl(modifiers);
        if turn && !stopped && free {
            practise.message = None;
            practise.alarm = None;
            if practise.front {
                practise.give_back(&setup);
            } else {
                practise.come_to_front(session, stamped.at);
            }
            return true;
        }
        if modifiers.ctrl || modifiers.alt || modifiers.super_ {
            return false;
        }
        let holds = matches!(key, Key::Char('u' | 'd' | 'U' | 'D'));
        let now = stamped.at.mono;
        let tail = practise
            .tail
            .is_some_and(|at| now.saturating_sub(at) < limit::SILENT);
        if holds && (practise.front || tail) {
            practise.tail = Some(now);
        }
        if !practise.front {
            return holds && tail;
        }
        match key {
            Key::Esc => practise.give_back(&setup),
            // Held keys are the valves'.
            Key::Char('u' | 'd' | 'U' | 'D') => {}
            other => practise.key(&setup, other, page),
        }
        true
    }
}

fn count(n: u64) -> i64 {
    i64::try_from(n).unwrap_or(i64::MAX)
}

/// A capital U or D is the same key: Caps Lock is no other hand.
fn without_caps(stamped: &Stamped) -> Stamped {
    match stamped.input {
        Input::Key {
            key: Key::Char(c @ ('U' | 'D')),
            modifiers,
            phase,
        } if modifiers.is_at_most_shift() => Stamped::new(
            Input::Key {
                key: Key::Char(c.to_ascii_lowercase()),
                modifiers: Modifiers::NONE,
                phase,
            },
            stamped.at,
        ),
        _ => stamped.clone(),
    }
}

fn is_ctrl(modifiers: Modifiers) -> bool {
    modifiers.ctrl && !modifiers.alt && !modifiers.super_
}

/// What is said when a part is to be mended that is sound.
const IN_ORDER: &str = "Looked at closely and found in order; nothing was changed.";
