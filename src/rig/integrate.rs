//! A step of time.

use super::friction::Grip;
use super::motion::rates;
use super::params::Params;
use super::state::{Inputs, State};

/// The state after `h` seconds. All three masses and the ledger move by the same flows,
/// so that their balance stays to the last bits.
///
/// # Source
/// The classic Runge-Kutta method of fourth order (Kutta, 1901).
pub(super) fn step(p: &Params, state: &State, inputs: &Inputs, grip: Grip, h: f64) -> State {
    let k1 = rates(p, state, inputs, grip);
    let k2 = rates(p, &moved(state, &k1, h / 2.0), inputs, grip);
    let k3 = rates(p, &moved(state, &k2, h / 2.0), inputs, grip);
    let k4 = rates(p, &moved(state, &k3, h), inputs, grip);
    let mut next = *state;
    let slopes = k1.iter().zip(&k2).zip(&k3).zip(&k4);
    for (x, (((a, b), c), d)) in next.0.iter_mut().zip(slopes) {
        *x += h / 6.0 * (a + 2.0 * b + 2.0 * c + d);
    }
    next
}

/// The state moved along a slope for `h` seconds.
fn moved(state: &State, slope: &[f64; 19], h: f64) -> State {
    let mut next = *state;
    for (x, k) in next.0.iter_mut().zip(slope) {
        *x += h * k;
    }
    next
}
