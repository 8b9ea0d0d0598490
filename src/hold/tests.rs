//! Tests of the hold: lists of inputs and instants, on a virtual clock.

mod calibration;
mod fuzz;
mod law;
mod lawful;
mod release;
mod repeat;
mod rule;
mod script;
mod sentence;
mod table;
mod turn;
mod valve;
