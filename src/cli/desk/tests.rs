//! A desk tried on a disk in memory: every cut end, every flipped bit, every
//! edit that re-chains.

use super::*;
use crate::cli::sample::{begun, commands, person, site, worked};
use crate::job::Mode;
use crate::journal::fault::Memory;

#[test]
fn a_job_goes_from_its_opening_to_its_end() {
    let disk = Memory::new();
    let desk = worked(&disk, Mode::Job);
    assert_eq!(desk.head().count, 11);
    assert_eq!(desk.state().step().unwrap().as_str(), "lamps_now");
}
