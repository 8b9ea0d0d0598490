//! The one integration binary: the program tried from outside.
#![expect(
    clippy::unwrap_used,
    clippy::disallowed_methods,
    reason = "allowances for tests do not reach their helpers, and tests read files"
)]

mod document;
mod proof;
mod sketch;
mod twin;
