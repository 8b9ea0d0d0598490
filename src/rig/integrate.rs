//! A step of time.

use super::motion::derivative;
use super::params::Params;
use super::state::{Inputs, State};

/// The state after `h` seconds. All three masses and the ledger move by the same flows,
/// so that their balance stays to the last bits.
///
/// # Source
/// The classic Runge-Kutta method of fourth order (Kutta, 1901).
pub(super) fn step(p: &Params, state: &State, inputs: &Inputs, h: f64) -> State {
    let k1 = derivative(p, state, inputs);
    let k2 = derivative(p, &moved(state, &k1, h / 2.0), inputs);
    let k3 = derivative(p, &moved(state, &k2, h / 2.0), inputs);
    let k4 = derivative(p, &moved(state, &k3, h), inputs);
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
