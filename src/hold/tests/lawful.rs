//! The rules of a commit, written a second time and another way: a search over
//! the whole list of inputs for a gesture that would justify it. It knows
//! nothing of the judge, and has its own numbers.

use crate::hold::Tier;
use crate::input::{Input, Key, Press, Stamped};

/// What the commit claims.
pub(super) struct Claim {
    pub(super) tier: Tier,
    pub(super) danger: bool,
    pub(super) hold_ms: f64,
    pub(super) number: u16,
    pub(super) repeats_due: bool,
}

/// All inputs up to and with the one that brought the commit.
pub(super) struct Past<'a>(pub(super) &'a [Stamped]);

/// Whether some gesture in these inputs justifies the commit at their end.
pub(super) fn is_lawful(past: &Past<'_>, claim: &Claim) -> bool {
    (0..past.0.len()).any(|start| match claim.tier {
        Tier::Release => past.is_release_hold(start, claim),
        Tier::Repeat => !claim.danger && past.is_repeat_hold(start, claim),
        Tier::Turns => past.is_turns(start, claim),
    })
}

fn is_space(input: &Input) -> bool {
    matches!(
        input,
        Input::Key {
            key: Key::Char(' '),
            ..
        }
    )
}

fn tap(input: &Input) -> Option<char> {
    let Input::Key {
        key: Key::Char(c),
        phase,
        ..
    } = input
    else {
        return None;
    };
    let c = c.to_ascii_lowercase();
    (*phase != Press::Up && (c == 'f' || c == 'j')).then_some(c)
}

fn is_up(input: &Input) -> bool {
    matches!(
        input,
        Input::Key {
            phase: Press::Up,
            ..
        }
    )
}

fn middle(values: &[f64]) -> f64 {
    let mut v = values.to_vec();
    v.sort_by(f64::total_cmp);
    let n = v.len();
    if n == 0 {
        f64::NAN
    } else {
        f64::midpoint(v[(n - 1) / 2], v[n / 2])
    }
}

impl Past<'_> {
    fn at(&self, n: usize) -> f64 {
        self.0[n].at.mono.as_micros() as f64 / 1000.0
    }

    fn end(&self) -> usize {
        self.0.len() - 1
    }

    fn input(&self, n: usize) -> &Input {
        &self.0[n].input
    }

    /// The tick before input n; the opening of the prompt counts as one.
    fn tick_before(&self, n: usize) -> (f64, i64) {
        (0..n)
            .rev()
            .find(|&m| *self.input(m) == Input::Tick)
            .map_or((self.at(0), self.0[0].at.wall_ms), |m| {
                (self.at(m), self.0[m].at.wall_ms)
            })
    }

    /// Whether input n may not come while this tier's gesture is made.
    fn disturbs(&self, n: usize, claim: &Claim) -> bool {
        let (tick, wall) = self.tick_before(n);
        let steady = self.at(n) - tick;
        let walled = (self.0[n].at.wall_ms - wall) as f64;
        if steady > 250.0 + 1e-6 || (walled - steady).abs() > 501.0 {
            return true;
        }
        if matches!(self.input(n), Input::Tick | Input::FocusGained) {
            return false;
        }
        let Input::Key {
            key,
            modifiers: m,
            phase,
        } = self.input(n)
        else {
            return true;
        };
        let chord = m.alt || m.ctrl || m.super_;
        match (claim.tier, key) {
            (Tier::Release | Tier::Repeat, Key::Char(' ')) => chord || m.shift,
            (Tier::Turns, Key::Char('f' | 'F' | 'j' | 'J')) => chord,
            (Tier::Turns, Key::Char('0'..='9')) if claim.danger => chord && *phase != Press::Up,
            // Released before the gesture, it is the key before.
            _ => *phase != Press::Up,
        }
    }

    fn any_disturbs(&self, from_ms: f64, claim: &Claim) -> bool {
        (0..=self.end()).any(|n| self.at(n) > from_ms && self.disturbs(n, claim))
    }

    /// Whether a gesture that begins at input n begins armed: the prompt seen
    /// for a second without disturbance, its keys silent for 1.2 s.
    fn begins_armed(&self, n: usize, claim: &Claim) -> bool {
        let at = self.at(n);
        let mine = |input: &Input| match claim.tier {
            Tier::Release | Tier::Repeat => is_space(input),
            Tier::Turns => tap(input).is_some(),
        };
        let silent = (0..n).all(|m| !mine(self.input(m)) || at - self.at(m) >= 1200.0);
        at - self.at(0) >= 1200.0 && silent && !self.any_disturbs(at - 1000.0, claim)
    }

    fn is_plain_press(&self, n: usize) -> bool {
        *self.input(n) == Input::press(Key::Char(' '))
    }

    fn other_key_moves(&self, from: usize) -> bool {
        (from..=self.end())
            .any(|n| matches!(self.input(n), Input::Key { .. }) && !is_space(self.input(n)))
    }

    fn is_release_hold(&self, start: usize, claim: &Claim) -> bool {
        let end = self.end();
        if !self.is_plain_press(start) || !is_space(self.input(end)) || !is_up(self.input(end)) {
            return false;
        }
        let ups_between = (start..end).any(|n| is_space(self.input(n)) && is_up(self.input(n)));
        if ups_between || self.other_key_moves(start) || !self.begins_armed(start, claim) {
            return false;
        }
        // The first tick at which the time is reached shows NOW LET GO.
        let shown = (start..end).find(|&n| {
            *self.input(n) == Input::Tick && self.at(n) - self.at(start) >= claim.hold_ms - 1e-6
        });
        let Some(shown) = shown else { return false };
        let repeats: Vec<f64> = (start + 1..shown)
            .filter(|&n| is_space(self.input(n)))
            .map(|n| self.at(n))
            .collect();
        let gaps: Vec<f64> = repeats.windows(2).map(|w| w[1] - w[0]).collect();
        let allowed = (4.0 * middle(&gaps)).max(250.0) + 1e-3;
        let fresh = match repeats.last() {
            Some(last) => self.at(shown) - last <= allowed,
            None => !claim.repeats_due,
        };
        fresh && self.at(end) - self.at(shown) <= 5250.0 && !self.has_untrue_release()
    }

    /// Two releases without a press between, or one within 8 ms of its press.
    fn has_untrue_release(&self) -> bool {
        let mut pressed: Option<f64> = None;
        let mut released = false;
        for n in (0..=self.end()).filter(|&n| is_space(self.input(n))) {
            if is_up(self.input(n)) {
                if released || pressed.is_some_and(|p| self.at(n) - p <= 8.0) {
                    return true;
                }
                released = true;
                pressed = None;
            } else {
                pressed.get_or_insert(self.at(n));
                released = false;
            }
        }
        false
    }

    fn is_repeat_hold(&self, start: usize, claim: &Claim) -> bool {
        if !self.is_plain_press(start)
            || *self.input(self.end()) != Input::Tick
            || self.other_key_moves(start)
            || !self.begins_armed(start, claim)
        {
            return false;
        }
        let events: Vec<usize> = (start..=self.end())
            .filter(|&n| is_space(self.input(n)) && !is_up(self.input(n)))
            .collect();
        let times: Vec<f64> = events.iter().map(|&n| self.at(n)).collect();
        let gaps: Vec<f64> = times.windows(2).map(|w| w[1] - w[0]).collect();
        let Some(&first) = gaps.first() else {
            return false;
        };
        if !(150.0..=1150.0).contains(&first) {
            return false;
        }
        if gaps[1..].windows(3).any(|w| w.iter().all(|g| *g < 8.0)) {
            return false;
        }
        // Where the hold is long enough for the first time.
        let full = (2..times.len()).find(|&n| {
            let counted = gaps[1..n].iter().filter(|g| **g >= 8.0).count();
            gaps[n - 1] >= 8.0 && counted >= 8 && times[n] - times[0] >= claim.hold_ms - 1e-6
        });
        let Some(full) = full else { return false };
        if (start..events[full]).any(|n| is_space(self.input(n)) && is_up(self.input(n))) {
            return false;
        }
        let counted: Vec<f64> = gaps[1..full]
            .iter()
            .copied()
            .filter(|g| *g >= 8.0)
            .collect();
        let silence = (4.0 * middle(&counted)).clamp(150.0, 1200.0);
        let quiet = self.at(self.end()) - times[times.len() - 1];
        let since_full = self.at(self.end()) - times[full];
        looks_like_a_repeat(first, &counted)
            && quiet >= silence - 1e-3
            && since_full <= 5000.0 + 1e-6
    }

    fn is_turns(&self, start: usize, claim: &Claim) -> bool {
        if tap(self.input(start)).is_none() || !self.begins_armed(start, claim) {
            return false;
        }
        let all: Vec<(f64, char)> = (start..=self.end())
            .filter_map(|n| Some((self.at(n), tap(self.input(n))?)))
            .collect();
        let last_tap = all[all.len() - 1].0;
        let run =
            (0..all.len()).any(|from| (from + 5..all.len()).any(|to| is_run(&all[from..=to])));
        if !run {
            return false;
        }
        let others: Vec<(f64, char)> = (start..=self.end())
            .filter(|&n| tap(self.input(n)).is_none())
            .filter_map(|n| {
                let Input::Key {
                    key,
                    phase: Press::Down,
                    ..
                } = self.input(n)
                else {
                    return None;
                };
                let Key::Char(c) = key else {
                    return Some((self.at(n), '?'));
                };
                Some((self.at(n), *c))
            })
            .collect();
        if !claim.danger {
            let quiet = self.at(self.end()) - last_tap;
            return others.is_empty()
                && *self.input(self.end()) == Input::Tick
                && quiet >= 300.0 - 1e-6;
        }
        let typed: String = others.iter().map(|(_, c)| *c).collect();
        typed == claim.number.to_string()
            && others[0].0 - last_tap >= 300.0 - 1e-6
            && others.windows(2).all(|w| w[1].0 - w[0].0 >= 40.0 - 1e-6)
    }
}

fn looks_like_a_repeat(first: f64, counted: &[f64]) -> bool {
    let m = middle(counted);
    let off: Vec<f64> = counted.iter().map(|g| (g - m).abs()).collect();
    let n = counted.len() as f64;
    let mean = counted.iter().sum::<f64>() / n;
    let mean_square = counted.iter().map(|g| g * g).sum::<f64>() / n;
    let sd = (mean_square - mean * mean).max(0.0).sqrt();
    m <= 450.0 + 1e-3
        && first >= 2.2 * m - 1e-3
        && 1.4826 * middle(&off) <= 0.35 * m + 1e-3
        && sd <= 0.6 * mean + 1e-3
}

fn is_run(taps: &[(f64, char)]) -> bool {
    taps[taps.len() - 1].0 - taps[0].0 >= 1200.0 - 1e-6
        && taps.windows(2).all(|w| {
            let gap = w[1].0 - w[0].0;
            w[0].1 != w[1].1 && (120.0 - 1e-6..=1500.0 + 1e-6).contains(&gap)
        })
}

/// The second judge must itself be able to say no.
#[test]
fn the_second_judge_refuses_what_lacks_a_rule() {
    use super::script::{held_plain, held_with_release, ms, taps, with_ticks};
    let claim = |tier| Claim {
        tier,
        danger: false,
        hold_ms: 1500.0,
        number: 471,
        repeats_due: true,
    };
    let lawful = |beats: &[super::script::Beat], until, tier| {
        let inputs = with_ticks(beats, until);
        let end = if tier == Tier::Release {
            inputs.iter().rposition(|it| is_space(&it.input)).unwrap()
        } else {
            inputs.len() - 1
        };
        is_lawful(&Past(&inputs[..=end]), &claim(tier))
    };
    let release = |from, held| held_with_release(from, held, 500, 30);
    assert!(lawful(&release(2000, 2000), 6000, Tier::Release));
    assert!(!lawful(&release(2000, 1400), 6000, Tier::Release));
    assert!(!lawful(&release(1100, 2000), 6000, Tier::Release));
    assert!(!lawful(&release(2000, 7000), 12_000, Tier::Release));
    let mut disturbed = release(2000, 2000);
    disturbed.push((ms(2900), Input::FocusLost));
    assert!(!lawful(&disturbed, 6000, Tier::Release));
    let plain = |held, delay, period| held_plain(2000, held, delay, period);
    assert!(lawful(&plain(2000, 500, 30), 4400, Tier::Repeat));
    assert!(!lawful(&plain(2000, 500, 30), 4000, Tier::Repeat));
    assert!(!lawful(&plain(1400, 500, 30), 4400, Tier::Repeat));
    assert!(!lawful(&plain(4000, 200, 200), 7000, Tier::Repeat));
    assert!(lawful(&taps(2000, &[300; 5]), 4000, Tier::Turns));
    assert!(!lawful(&taps(2000, &[300; 4]), 4000, Tier::Turns));
    assert!(!lawful(&taps(2000, &[100; 30]), 6000, Tier::Turns));
}
