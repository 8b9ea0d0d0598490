//! The engine from outside: rule by rule, at random against the naive twin, and
//! with a pretend truck under the shipped procedure.

mod bench;
mod offered;
mod rule;
mod truck;
mod walk;
mod worked;
