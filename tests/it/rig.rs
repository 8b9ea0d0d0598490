//! The simulated truck from outside: against reference runs of a stiff implicit solver,
//! against closed forms, under rough handling, and as a verb.
//!
//! The reference lies in `tests/rig`; nothing of it was made by this program.

mod law;
mod reference;
mod rough;
mod verb;

use levelhand::rig::{Inputs, Params, Rig};

/// A rig at rest at this height on both sides.
fn level(params: Params, height_m: f64) -> Rig {
    Rig::at_heights(params, height_m, height_m)
}

/// Inputs with both valves of a kind open, and nothing else.
fn raise() -> Inputs {
    Inputs {
        raise: [true; 2],
        ..Inputs::default()
    }
}

fn lower() -> Inputs {
    Inputs {
        lower: [true; 2],
        ..Inputs::default()
    }
}

/// Runs for so many seconds under these inputs.
fn run(rig: &mut Rig, inputs: Inputs, seconds: f64) {
    rig.inputs = inputs;
    rig.run((seconds / Rig::STEP).round() as u32);
}

/// Fails unless a value is as near to another as is demanded.
#[track_caller]
fn near(what: &str, found: f64, wanted: f64, within: f64) {
    assert!(
        (found - wanted).abs() <= within,
        "{what}: found {found}, wanted {wanted} within {within}"
    );
}
