//! levelhand: a guided procedure runner for setting the ride height of an
//! air-sprung, electronically levelled axle.
//!
//! The modules below are in reading order, lower floors first. A module may
//! name only the modules that `DEVELOPERS.md` lists for it; a test holds that
//! table.

// Blank lines keep the reading order from being sorted away.
pub mod quantity;

pub mod finding;

pub mod input;

pub mod hold;

pub mod procedure;

pub mod calc;

pub mod rig;

pub mod job;

pub mod rehearsal;

pub mod proof;

pub mod revision;

pub mod journal;

pub mod document;

pub mod record;

pub mod chart;

pub mod drill;

pub mod app;

pub mod screen;

pub mod io;

pub mod cli;
