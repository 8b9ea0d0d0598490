//! What a person can do at the truck, and how it is written in a script.
//!
//! A script's line is a verb and its words, as people say it: `raise 3 s`,
//! `block left in by hand`, `look left_wheel`.
//!
//! Must not know: what comes of it.

use std::fmt;

use super::spot::{Side, Spot};

/// Which way a valve moves the frame.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Way {
    /// Air in.
    Up,
    /// Air out.
    Down,
}

/// Which bellows a control works on.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Reach {
    /// Both sides.
    Both,
    /// One side alone.
    One(Side),
}

impl Reach {
    /// Whether it works on this side.
    pub fn takes(self, side: Side) -> bool {
        match self {
            Self::Both => true,
            Self::One(one) => one == side,
        }
    }
}

/// How a block is set or taken.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum By {
    /// With the hand in the gap.
    Hand,
    /// With its handle, from outside.
    Handle,
}

/// A height that the control unit keeps.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Level {
    /// Ride height.
    Ride,
    /// The upper stop.
    Upper,
    /// The lower stop.
    Lower,
}

impl Level {
    /// All three.
    pub const ALL: [Self; 3] = [Self::Ride, Self::Upper, Self::Lower];

    /// The word.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Ride => "ride",
            Self::Upper => "upper",
            Self::Lower => "lower",
        }
    }

    /// What people read.
    pub const fn title(self) -> &'static str {
        match self {
            Self::Ride => "ride height",
            Self::Upper => "upper stop",
            Self::Lower => "lower stop",
        }
    }

    /// Its place among three.
    pub const fn index(self) -> usize {
        match self {
            Self::Ride => 0,
            Self::Upper => 1,
            Self::Lower => 2,
        }
    }
}

/// One thing done at the truck.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub enum Hand {
    /// Goes to a place and looks at everything there.
    Look(Spot),
    /// Opens a valve, or both; shuts the others.
    Open(Way, Reach),
    /// Lets go: every valve shuts.
    LetGo,
    /// Opens or shuts the shop air.
    ShopAir(bool),
    /// Support charger on or off.
    Charger(bool),
    /// Parking brake on or off.
    Brake(bool),
    /// Chocks at the front wheels, set or away.
    FrontChocks(bool),
    /// A chock tight against a drive wheel, set or away.
    DriveChock(bool),
    /// Mudguards on or off.
    Mudguards(bool),
    /// A block in (`true`) or out.
    Block(Side, bool, By),
    /// Squares a block on its seat.
    Square(Side),
    /// Wipes a seat.
    Wipe(Side),
    /// A stand under a rail (`true`) or out.
    Stand(Side, bool),
    /// Clears from outside what lies in a gap.
    Clear(Side),
    /// Gauges on (`true`) or off.
    Gauges(bool),
    /// Swaps the two gauges on their points.
    SwapGauges,
    /// Walks round both sides and sends everyone behind the line.
    WalkRound,
    /// Levelling awake (`true`) or stopped.
    Levelling(bool),
    /// Setting mode of the equipment, in (`true`) or out.
    SettingMode(bool),
    /// Stores a height.
    Store(Level),
    /// Begins the write-out.
    Write,
    /// Presses again while it is written.
    Press,
    /// Ignition on (`true`), or off with the key in the pocket.
    Key(bool),
    /// Calls ride height on the remote.
    Ride,
    /// Rolls the truck a length and lets it settle.
    Roll,
    /// Says which fault it is.
    Name(String),
    /// Mends a fault.
    Mend(String),
}

/// What can't be understood of a script's line.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct BadHand {
    /// What was found.
    pub found: String,
    /// What is accepted.
    pub accepted: String,
}

impl fmt::Display for BadHand {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(
            f,
            "{:?} is nothing to do at the truck; write {}",
            self.found, self.accepted
        )
    }
}

impl std::error::Error for BadHand {}

/// The first words of a line and what may follow, for messages and help.
pub const VERBS: [(&str, &str); 27] = [
    ("look", "look PLACE, such as look left_wheel"),
    ("raise", "raise, raise left or raise right"),
    ("lower", "lower, lower left or lower right"),
    ("let_go", "let_go"),
    ("shop_air", "shop_air open or shop_air shut"),
    ("charger", "charger on or charger off"),
    ("brake", "brake on or brake off"),
    ("front_chocks", "front_chocks set or front_chocks away"),
    ("drive_chock", "drive_chock set or drive_chock away"),
    ("mudguards", "mudguards on or mudguards off"),
    ("block", "block left in by hand, block right out by handle"),
    ("square", "square left or square right"),
    ("wipe", "wipe left or wipe right"),
    ("stand", "stand left in or stand right out"),
    ("clear", "clear left or clear right"),
    ("gauges", "gauges on, gauges off or gauges swap"),
    ("walk_round", "walk_round"),
    ("levelling", "levelling on or levelling stop"),
    ("setting_mode", "setting_mode in or setting_mode out"),
    ("store", "store ride, store upper or store lower"),
    ("write", "write"),
    ("press", "press"),
    ("key", "key on or key off"),
    ("ride", "ride"),
    ("roll", "roll"),
    ("name", "name FAULT"),
    ("mend", "mend FAULT"),
];

impl Hand {
    /// Reads a script's line.
    ///
    /// # Errors
    /// When the verb is not known or its words don't fit.
    pub fn parse(line: &str) -> Result<Self, BadHand> {
        let words: Vec<&str> = line.split_whitespace().collect();
        Self::of_words(&words).ok_or_else(|| BadHand {
            found: line.to_owned(),
            accepted: accepted(words.first().copied().unwrap_or_default()),
        })
    }

    fn of_words(words: &[&str]) -> Option<Self> {
        let flag = |word: &str, yes: &str, no: &str| match word {
            w if w == yes => Some(true),
            w if w == no => Some(false),
            _ => None,
        };
        Some(match words {
            ["look", place] => Self::Look(Spot::from_key(place)?),
            ["raise", rest @ ..] => Self::Open(Way::Up, reach(rest)?),
            ["lower", rest @ ..] => Self::Open(Way::Down, reach(rest)?),
            ["let_go"] => Self::LetGo,
            ["shop_air", word] => Self::ShopAir(flag(word, "open", "shut")?),
            ["charger", word] => Self::Charger(flag(word, "on", "off")?),
            ["brake", word] => Self::Brake(flag(word, "on", "off")?),
            ["front_chocks", word] => Self::FrontChocks(flag(word, "set", "away")?),
            ["drive_chock", word] => Self::DriveChock(flag(word, "set", "away")?),
            ["mudguards", word] => Self::Mudguards(flag(word, "on", "off")?),
            ["block", at, word, "by", how] => Self::Block(
                side(at)?,
                flag(word, "in", "out")?,
                match *how {
                    "hand" => By::Hand,
                    "handle" => By::Handle,
                    _ => return None,
                },
            ),
            ["square", at] => Self::Square(side(at)?),
            ["wipe", at] => Self::Wipe(side(at)?),
            ["stand", at, word] => Self::Stand(side(at)?, flag(word, "in", "out")?),
            ["clear", at] => Self::Clear(side(at)?),
            ["gauges", "swap"] => Self::SwapGauges,
            ["gauges", word] => Self::Gauges(flag(word, "on", "off")?),
            ["walk_round"] => Self::WalkRound,
            ["levelling", word] => Self::Levelling(flag(word, "on", "stop")?),
            ["setting_mode", word] => Self::SettingMode(flag(word, "in", "out")?),
            ["store", word] => Self::Store(Level::ALL.into_iter().find(|l| l.word() == *word)?),
            ["write"] => Self::Write,
            ["press"] => Self::Press,
            ["key", word] => Self::Key(flag(word, "on", "off")?),
            ["ride"] => Self::Ride,
            ["roll"] => Self::Roll,
            ["name", fault] => Self::Name((*fault).to_owned()),
            ["mend", fault] => Self::Mend((*fault).to_owned()),
            _ => return None,
        })
    }
}

impl fmt::Display for Hand {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let reach = |reach: &Reach| match reach {
            Reach::Both => String::new(),
            Reach::One(side) => format!(" {}", side.word()),
        };
        let pick = |yes: bool, a: &'static str, b: &'static str| if yes { a } else { b };
        match self {
            Self::Look(spot) => write!(f, "look {}", spot.key()),
            Self::Open(Way::Up, which) => write!(f, "raise{}", reach(which)),
            Self::Open(Way::Down, which) => write!(f, "lower{}", reach(which)),
            Self::LetGo => f.write_str("let_go"),
            Self::ShopAir(yes) => write!(f, "shop_air {}", pick(*yes, "open", "shut")),
            Self::Charger(yes) => write!(f, "charger {}", pick(*yes, "on", "off")),
            Self::Brake(yes) => write!(f, "brake {}", pick(*yes, "on", "off")),
            Self::FrontChocks(yes) => write!(f, "front_chocks {}", pick(*yes, "set", "away")),
            Self::DriveChock(yes) => write!(f, "drive_chock {}", pick(*yes, "set", "away")),
            Self::Mudguards(yes) => write!(f, "mudguards {}", pick(*yes, "on", "off")),
            Self::Block(side, into, by) => write!(
                f,
                "block {} {} by {}",
                side.word(),
                pick(*into, "in", "out"),
                pick(*by == By::Hand, "hand", "handle")
            ),
            Self::Square(side) => write!(f, "square {}", side.word()),
            Self::Wipe(side) => write!(f, "wipe {}", side.word()),
            Self::Stand(side, into) => {
                write!(f, "stand {} {}", side.word(), pick(*into, "in", "out"))
            }
            Self::Clear(side) => write!(f, "clear {}", side.word()),
            Self::Gauges(yes) => write!(f, "gauges {}", pick(*yes, "on", "off")),
            Self::SwapGauges => f.write_str("gauges swap"),
            Self::WalkRound => f.write_str("walk_round"),
            Self::Levelling(yes) => write!(f, "levelling {}", pick(*yes, "on", "stop")),
            Self::SettingMode(yes) => write!(f, "setting_mode {}", pick(*yes, "in", "out")),
            Self::Store(level) => write!(f, "store {}", level.word()),
            Self::Write => f.write_str("write"),
            Self::Press => f.write_str("press"),
            Self::Key(yes) => write!(f, "key {}", pick(*yes, "on", "off")),
            Self::Ride => f.write_str("ride"),
            Self::Roll => f.write_str("roll"),
            Self::Name(fault) => write!(f, "name {fault}"),
            Self::Mend(fault) => write!(f, "mend {fault}"),
        }
    }
}

fn side(word: &str) -> Option<Side> {
    Side::BOTH.into_iter().find(|side| side.word() == word)
}

fn reach(words: &[&str]) -> Option<Reach> {
    match words {
        [] | ["both"] => Some(Reach::Both),
        [one] => Some(Reach::One(side(one)?)),
        _ => None,
    }
}

/// What may stand after this verb, or every verb.
fn accepted(verb: &str) -> String {
    let known = VERBS.iter().find(|(word, _)| *word == verb);
    known.map_or_else(
        || {
            let verbs: Vec<&str> = VERBS.iter().map(|(word, _)| *word).collect();
            format!("one of {}", verbs.join(", "))
        },
        |(_, usage)| (*usage).to_owned(),
    )
}

/// What stands in a script between procedure entries.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Deed {
    /// Something done, at once.
    Do(Hand),
    /// A valve held for so long, ms.
    Hold(Way, Reach, u64),
    /// A valve held until the frame is at this height, in micrometres, either side.
    HoldTo(Way, Reach, u32),
    /// A valve held until the frame has stopped moving.
    HoldStill(Way, Reach),
    /// Both lower valves held until both gauges stand still at the bottom.
    HoldEmpty,
    /// Time goes by, ms.
    Wait(u64),
    /// Time goes by until frame and needles stand still.
    WaitStill,
}

impl Deed {
    /// Reads a script's line.
    ///
    /// # Errors
    /// When it is no deed.
    pub fn parse(line: &str) -> Result<Self, BadHand> {
        let words: Vec<&str> = line.split_whitespace().collect();
        match Self::of_words(&words) {
            Some(deed) => Ok(deed),
            None => Hand::parse(line).map(Self::Do).map_err(|mut bad| {
                let timed = "wait 10 s, wait until still, raise 3 s, raise until 215 mm, \
                             raise until still, lower until empty";
                bad.accepted = format!("{}; or {timed}", bad.accepted);
                bad
            }),
        }
    }

    fn of_words(words: &[&str]) -> Option<Self> {
        let way = |word: &str| match word {
            "raise" => Some(Way::Up),
            "lower" => Some(Way::Down),
            _ => None,
        };
        Some(match words {
            ["wait", "until", "still"] => Self::WaitStill,
            ["wait", n, "s"] => Self::Wait(millis(n, 1_000.0)?),
            ["wait", n, "min"] => Self::Wait(millis(n, 60_000.0)?),
            ["lower", "until", "empty"] => Self::HoldEmpty,
            [verb, at @ .., "until", "still"] => Self::HoldStill(way(verb)?, reach(at)?),
            [verb, at @ .., "until", n, "mm"] => {
                let um = n
                    .parse::<f64>()
                    .ok()
                    .filter(|n| (50.0..400.0).contains(n))?;
                Self::HoldTo(way(verb)?, reach(at)?, (um * 1000.0).round() as u32)
            }
            [verb, at @ .., n, "s"] => Self::Hold(way(verb)?, reach(at)?, millis(n, 1_000.0)?),
            _ => return None,
        })
    }
}

fn millis(text: &str, unit: f64) -> Option<u64> {
    let n = text.parse::<f64>().ok()?;
    (n > 0.0 && n * unit <= 7_200_000.0).then_some((n * unit).round() as u64)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_line_reads_back_as_it_is_shown() {
        let lines = [
            "look left_wheel",
            "raise",
            "raise left",
            "lower right",
            "let_go",
            "shop_air open",
            "charger off",
            "brake on",
            "front_chocks set",
            "drive_chock away",
            "mudguards off",
            "block left in by hand",
            "block right out by handle",
            "square left",
            "wipe right",
            "stand left in",
            "clear right",
            "gauges on",
            "gauges swap",
            "walk_round",
            "levelling stop",
            "setting_mode in",
            "store upper",
            "write",
            "press",
            "key off",
            "ride",
            "roll",
            "name left_leak",
            "mend left_leak",
        ];
        for line in lines {
            assert_eq!(Hand::parse(line).unwrap().to_string(), line);
        }
    }

    #[test]
    fn timed_deeds_are_read() {
        let read = |line: &str| Deed::parse(line).unwrap();
        assert_eq!(read("wait 2 min"), Deed::Wait(120_000));
        assert_eq!(read("raise 0.8 s"), Deed::Hold(Way::Up, Reach::Both, 800));
        assert_eq!(
            read("lower left until 200 mm"),
            Deed::HoldTo(Way::Down, Reach::One(Side::Left), 200_000)
        );
        assert_eq!(
            read("raise until still"),
            Deed::HoldStill(Way::Up, Reach::Both)
        );
        assert_eq!(read("lower until empty"), Deed::HoldEmpty);
        assert_eq!(read("write"), Deed::Do(Hand::Write));
    }

    #[test]
    fn what_is_no_deed_says_what_would_be() {
        let bad = Hand::parse("block left inside").unwrap_err();
        assert_eq!(
            bad.to_string(),
            "\"block left inside\" is nothing to do at the truck; write block left in by hand, block right out by handle"
        );
        let bad = Deed::parse("rise 3 s").unwrap_err().to_string();
        assert!(bad.contains("one of look, raise"), "{bad}");
        assert!(bad.contains("raise until 215 mm"), "{bad}");
    }
}
