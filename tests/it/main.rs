//! The one integration binary: the program tried from outside.
<<<<<<< HEAD
#![expect(
    missing_docs,
    reason = "a test is named by its sentence"
)]
=======

mod proof;
mod sketch;
mod twin;
>>>>>>> proof
