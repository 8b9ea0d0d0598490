//! What hands do at the keys: type, press, tap in turn, hold down, paste.

use std::thread::sleep;
use std::time::{Duration, Instant};

use super::terminal::{SOON, Terminal};

pub(super) const ENTER: &str = "\r";
pub(super) const ESC: &str = "\x1b";
pub(super) const DOWN: &str = "\x1b[B";
pub(super) const CTRL_C: &str = "\x03";
pub(super) const CTRL_Z: &str = "\x1a";

/// A keyboard's automatic repeat: delay, then one each so often.
pub(super) const DELAY: Duration = Duration::from_millis(500);
pub(super) const EACH: Duration = Duration::from_millis(33);
/// Taps of a calm hand.
const TAP: Duration = Duration::from_millis(240);

/// After a hold keys are thrown away for 300 ms, so that its tail does nothing.
pub(super) const THROWN_AWAY: Duration = Duration::from_millis(350);

/// What the prompt says when it is ready.
pub(super) const READY_HOLD: &str = "Hold Space until NOW LET GO";
pub(super) const READY_TURNS: &str = "Tap F and J in turn";

impl Terminal {
    /// Types text and accepts it.
    pub(super) fn enter(&self, text: &str) {
        self.send(text);
        self.wait(text);
        self.send(ENTER);
    }

    /// A paste as terminals send it.
    pub(super) fn paste(&self, text: &str) {
        self.send(&format!("\x1b[200~{text}\x1b[201~"));
    }

    /// Sends the same bytes as an automatic repeat does, until told to stop.
    /// The first is sent at once.
    pub(super) fn repeat(&self, first: &str, next: &str, mut goes_on: impl FnMut(&Self) -> bool) {
        let from = Instant::now();
        self.send(first);
        let mut due = DELAY;
        while from.elapsed() < SOON {
            while from.elapsed() < due {
                if !goes_on(self) {
                    return;
                }
                sleep(Duration::from_millis(2));
            }
            self.send(next);
            due += EACH;
        }
        panic!("held for long; on the screen:\n{}", self.framed());
    }

    /// Holds Space on a terminal that tells no letting go, until NOW LET GO is
    /// shown; true if it was.
    pub(super) fn hold_plain(&self) -> bool {
        self.wait(READY_HOLD);
        let mut full = false;
        let mut begun = false;
        self.repeat(" ", " ", |t| {
            full = t.shows("NOW LET GO") && !t.shows(READY_HOLD);
            begun |= t.shows("Keep holding");
            !full && (!begun || t.shows("Keep holding"))
        });
        full
    }

    /// Holds Space on a terminal that tells each repeat and the letting go.
    pub(super) fn hold_told(&self) {
        self.wait(READY_HOLD);
        self.repeat("\x1b[32;1:1u", "\x1b[32;1:2u", |t| {
            !t.shows("NOW LET GO") || t.shows(READY_HOLD)
        });
        self.send("\x1b[32;1:3u");
    }

    /// Taps F and J in turn, calmly, until the gesture is complete; then the
    /// number, if one is asked for. Begins again when the machine was too slow.
    pub(super) fn take_turns(&self) {
        for _ in 0..12 {
            self.wait(READY_TURNS);
            for key in ["f", "j"].iter().cycle().take(40) {
                self.send(key);
                sleep(TAP);
                if self.shows("NOW LET GO") || !self.tapping() {
                    break;
                }
            }
            let says = [
                "Type the number",
                READY_TURNS,
                "Read first",
                "Take your fingers",
            ];
            let from = Instant::now();
            loop {
                let found = says.iter().position(|text| self.shows(text));
                match found {
                    Some(0) => {
                        self.type_number();
                        self.until("the number taken", |t| !t.shows("Type the number"));
                        sleep(THROWN_AWAY);
                        if self.shows("Cancelled") {
                            break;
                        }
                        return;
                    }
                    Some(_) => break,
                    None if !self.shows("NOW LET GO") && !self.tapping() => {
                        return sleep(THROWN_AWAY);
                    }
                    None => assert!(from.elapsed() < SOON, "{}", self.framed()),
                }
                sleep(Duration::from_millis(4));
            }
        }
        panic!("no turns were taken; on the screen:\n{}", self.framed());
    }

    fn tapping(&self) -> bool {
        self.shows("in turn") || self.shows("Begin again")
    }

    /// The number that is asked for; `None` while the screen is half written.
    fn number(&self) -> Option<String> {
        let text = self.text();
        let (_, after) = text.split_once("Type the number")?;
        let (number, _) = after.split_once(':')?;
        let number = number.trim();
        (number.len() == 3 && number.bytes().all(|b| b.is_ascii_digit())).then(|| number.to_owned())
    }

    fn type_number(&self) {
        let mut number = String::new();
        self.until("a number of three figures", |t| {
            number = t.number().unwrap_or_default();
            !number.is_empty()
        });
        for digit in number.chars() {
            self.send(&digit.to_string());
            sleep(TAP / 2);
        }
    }

    /// Passes the hold that is asked for, whichever way the program asks.
    pub(super) fn hold(&self) {
        if self.wait_any(&[READY_HOLD, READY_TURNS]) == 0 {
            self.send("t");
        }
        self.take_turns();
    }
}
