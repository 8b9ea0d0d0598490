//! levelhand: a guided procedure runner for setting the ride height of an
//! air-sprung, electronically levelled axle.
//!
//! The modules below are in reading order, lower floors first. A module may
//! name only the modules that `DEVELOPERS.md` lists for it; a test holds that
//! table.

pub mod finding;
pub mod hold;
pub mod input;
pub mod journal;
pub mod procedure;
pub mod proof;
pub mod quantity;
