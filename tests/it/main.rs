//! The one integration binary: the program tried from outside.

mod document;
mod proof;
#[cfg(unix)]
mod pty;
mod sketch;
mod twin;
