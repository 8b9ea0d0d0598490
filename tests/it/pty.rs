//! The program in a real terminal: keys go in as bytes, the screen is read as a
//! terminal shows it. Slow beside the other tests, and the only ones that try the
//! wiring of keys, clocks, signals, disk and screen together.

mod author;
mod colour;
mod crash;
mod disk;
mod drill;
mod hand;
mod hold;
mod job;
mod leave;
mod main_job;
mod paste;
mod resize;
mod shop;
mod stop;
mod terminal;
mod twice;
