//! The one integration binary: the program tried from outside.

mod document;
mod engine;
mod proof;
mod sketch;
mod twin;
