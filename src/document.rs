//! JSON text to procedures, sheets and instruments, with everything that is wrong.

mod json;
