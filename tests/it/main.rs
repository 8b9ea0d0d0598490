//! The one integration binary: the program tried from outside.
#![expect(
    clippy::expect_used,
    clippy::indexing_slicing,
    clippy::panic,
    reason = "a test may fall over; clippy's own leave does not reach helpers here"
)]

mod proof;
mod sketch;
mod twin;
