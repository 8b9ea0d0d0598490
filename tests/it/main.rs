//! The one integration binary: the program tried from outside.
#![expect(missing_docs, reason = "a test is named by its sentence")]
#![expect(
    clippy::unwrap_used,
    clippy::indexing_slicing,
    clippy::disallowed_methods,
    reason = "allowances for tests do not reach their helpers, and tests read files"
)]

mod document;
