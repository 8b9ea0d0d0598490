//! The one integration binary: the program tried from outside.
#![expect(
    clippy::expect_used,
    clippy::indexing_slicing,
    clippy::panic,
    clippy::unwrap_used,
    clippy::disallowed_methods,
    clippy::wildcard_enum_match_arm,
    reason = "a test may fall over, and looks at single things among many; clippy's own leave does not reach helpers"
)]

mod behaviour;
mod chart;
mod check;
mod document;
mod drill;
mod engine;
mod gauge;
mod guide;
mod mutant;
mod new;
mod program;
mod proof;
#[cfg(unix)]
mod pty;
mod release;
mod rig;
mod schema;
mod screens;
mod sensor;
mod sentences;
mod sketch;
mod tidy;
mod twin;
mod verb;
mod wrong;
