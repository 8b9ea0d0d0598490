//! Universal joints and shaft lines: true angles, and how evenly the last shaft turns.
//!
//! Invariants: an [`Axis`] has length one; a [`Line`] is worked without allocation.

mod line;

pub use line::{Axis, Joints, Line, Phase};

#[cfg(test)]
mod tests;
