//! The one integration binary: the program tried from outside.

mod proof;
mod sketch;
mod twin;
