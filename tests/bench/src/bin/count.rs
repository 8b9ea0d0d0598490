//! How often a step of the rig, and reading it off, ask for memory. A program of its
//! own: counting takes the place of the allocator.

use std::hint::black_box;

use allocation_counter::measure;
use levelhand::rig::{Params, Rig};

/// Steps that are counted.
const STEPS: u32 = 10_000;

fn main() {
    let mut rig = Rig::at_heights(Params::two_bellows(), 0.19, 0.19);
    rig.inputs.raise = [true; 2];
    rig.inputs.feed = true;
    rig.inputs.block = [0.185; 2];
    let steps = measure(|| rig.run(black_box(STEPS)));
    let read = measure(|| {
        black_box(rig.readout());
    });
    // Something that does ask, so that a counter that counts nothing is seen.
    let boxed = measure(|| {
        black_box(Box::new(black_box(7_u64)));
    });
    println!(
        "{} {} {}",
        steps.count_total, read.count_total, boxed.count_total
    );
}
