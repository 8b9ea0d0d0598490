//! The program's verbs, one file each, and the wiring of engine, journal and disk.

pub(crate) mod desk;
pub(crate) mod jobs;
#[cfg(test)]
pub(crate) mod sample;
