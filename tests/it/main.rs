//! The one integration binary: the program tried from outside.

mod document;
mod proof;
mod sentences;
mod sketch;
mod tidy;
mod twin;
