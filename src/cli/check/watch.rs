//! Looks again whenever a file is saved.
//!
//! The files are looked at by name, time and size, a few times a second: that
//! survives editors that put a new file in the place of the old one. A change is
//! told once the files have come to rest; a file that is gone is given longer, for
//! an editor may be about to put it back.

use super::{Check, once};
use crate::cli::Colour;
use crate::cli::library::Library;
use crate::cli::output::{is_heard, say_raw};
use crate::io::saved::Saved;
use crate::io::{exit, shop, terminal};

/// How long between two looks, in ms.
const EVERY_MS: u64 = 150;

/// So many looks without a change, and the files are at rest.
const REST: u32 = 1;

/// The same while one of them is gone.
const REST_GONE: u32 = 12;

/// When the files are to be told of again.
#[derive(Debug, Default)]
pub(super) struct Watch {
    told: Option<Vec<Option<Saved>>>,
    /// Whether each file was there when last looked at.
    there: Vec<bool>,
    seen: Vec<Option<Saved>>,
    rest: u32,
}

impl Watch {
    /// Which files went away since the last look, by their place among all.
    pub(super) fn went(&mut self, now: &[Option<Saved>]) -> Vec<usize> {
        let were = self.there.iter().chain(std::iter::repeat(&false));
        let pairs = now.iter().zip(were).enumerate();
        let gone = pairs
            .filter(|(_, (now, was))| **was && now.is_none())
            .map(|(at, _)| at)
            .collect();
        self.there = now.iter().map(Option::is_some).collect();
        gone
    }

    /// Takes in how the files are now; tells whether it is time to look into them.
    pub(super) fn is_due(&mut self, now: Vec<Option<Saved>>) -> bool {
        if self.told.as_ref() == Some(&now) {
            self.seen = now;
            self.rest = 0;
            return false;
        }
        if self.told.is_some() && self.seen != now {
            self.seen = now;
            self.rest = 0;
            return false;
        }
        self.rest += 1;
        let wanted = if now.iter().all(Option::is_some) {
            REST
        } else {
            REST_GONE
        };
        if self.told.is_some() && self.rest < wanted {
            return false;
        }
        self.rest = 0;
        self.told = Some(now);
        true
    }
}

/// Looks until the person has enough, or nobody listens any more.
pub(super) fn run(verb: &Check, colour: Colour, library: &Library) -> u8 {
    let mut watch = Watch::default();
    loop {
        let marks: Vec<_> = verb.files.iter().map(|file| Saved::of(file)).collect();
        for at in watch.went(&marks) {
            if let Some(file) = verb.files.get(at).filter(|_| !verb.json) {
                let _heard = is_heard(&format!("{} is gone; waiting for it.", file.display()));
            }
        }
        if watch.is_due(marks) {
            if terminal::is_shown() && !verb.json {
                say_raw("\x1b[H\x1b[2J\x1b[3J");
            }
            let (_, heard) = once(verb, colour, library);
            let waits = "Looks again when a file is saved. Ctrl-C ends it.";
            if !heard || !(verb.json || is_heard(waits)) {
                return exit::OK;
            }
        }
        shop::pause(EVERY_MS);
    }
}
