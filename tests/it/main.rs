//! The one integration binary: the program tried from outside.
#![expect(missing_docs, reason = "a test is named by its sentence")]

mod sketch;
mod twin;
