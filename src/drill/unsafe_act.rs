//! What can be done wrong so that it hurts: each with its name, its signal word, and
//! why.
//!
//! Must not know: when it was done.

use std::fmt;

/// How bad it is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Seriousness {
    /// It kills or maims.
    Danger,
    /// It could.
    Warning,
    /// It spoils the work or the record.
    Notice,
}

impl Seriousness {
    /// The word.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Danger => "DANGER",
            Self::Warning => "WARNING",
            Self::Notice => "NOTICE",
        }
    }
}

macro_rules! acts {
    ($($name:ident $key:literal $serious:ident $title:literal $why:literal;)*) => {
        /// An unsafe act.
        #[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
        pub enum Act {
            $(#[doc = $title] $name),*
        }

        impl Act {
            /// All, the worst first.
            pub const ALL: &'static [Self] = &[$(Self::$name),*];

            /// Its name in scripts and data.
            pub const fn key(self) -> &'static str {
                match self { $(Self::$name => $key),* }
            }

            /// How bad it is.
            pub const fn seriousness(self) -> Seriousness {
                match self { $(Self::$name => Seriousness::$serious),* }
            }

            /// What was done.
            pub const fn title(self) -> &'static str {
                match self { $(Self::$name => $title),* }
            }

            /// Why that hurts.
            pub const fn why(self) -> &'static str {
                match self { $(Self::$name => $why),* }
            }
        }
    };
}

acts! {
    UnderOnAir "under_on_air" Danger
        "Under the frame while air held it."
        "A bellows, pipe or valve that fails drops the frame. Go under only when it sits on both blocks with the air out.";
    HandsOnAir "hands_on_air" Danger
        "Hands at a block while only air held the frame."
        "The gap closes faster than a hand comes out. Set stands close under both rails first, or use the handle.";
    MovedOnSomeone "moved_on_someone" Danger
        "The frame was moved with someone under or beside it."
        "Walk round both sides, call, wait for both answers; then move.";
    BlockValveOpen "block_valve_open" Danger
        "A block was handled with a valve open."
        "The frame was moving. Let go, see it still, then handle blocks.";
    HalfBlocks "half_blocks" Danger
        "Lowered with blocks half fitted, tipped or on dirt."
        "A block under one side only, or tipped, flies out under load. Both in, square, on clean seats.";
    NotChocked "not_chocked" Danger
        "The frame was moved, or the brake let off, without chocks at the front wheels."
        "With the brake off the chocks alone hold the truck.";
    StandsIn "stands_in" Danger
        "The frame was moved with stands under it."
        "It tips off a stand that only one side touches. Take both out, then move.";
    SelfMove "self_move" Danger
        "Levelling could move the frame while someone was at the gap or under it."
        "It wakes by itself. Stop it as the sheet says, before anyone goes near the gap.";
    PastStop "past_stop" Warning
        "Raise was held on at the upper stop."
        "Pressure climbs about 0.18 bar a second there; straps tear, bellows come off their pistons. Let go within a second.";
    OverPressure "over_pressure" Warning
        "The bellows went over the limit that the sheet has for the upper stop."
        "Lower a little at once, read again; the second time: look at everything before going on.";
    BrakeHeld "brake_held" Warning
        "The frame was moved with the wheels held, though the sheet wants them free."
        "The axle turns with its arm: tyres and bushes wind up.";
    Jump "jump" Warning
        "The truck jumped when the wheels were let go."
        "What was wound up lets go at once. Keep the wheels free while the height changes, stand clear when releasing.";
    HoseCaught "hose_caught" Warning
        "Lowered onto a hose in the gap."
        "It is cut, and the frame stands wrong on it.";
    StoredAfloat "stored_afloat" Warning
        "A height was stored while the frame did not sit where it should."
        "A height stored on air, short of its stop or with pressure left is wrong for ever after.";
    KeyLeft "key_left" Warning
        "Under the truck with the ignition on."
        "Someone starts the engine, or the door wakes levelling. Key in the pocket of whoever goes under.";
    WriteLapsed "write_lapsed" Warning
        "The write-out stopped for want of a press."
        "Half-written settings: nobody knows what the truck will do. Press as the sheet says, eyes on it.";
    AgainstSight "against_sight" Warning
        "Something was said to be in order that was seen to be wrong, or was wrong."
        "A good answer given to a bad sight lets the next step hurt someone.";
    NotShown "not_shown" Notice
        "A reading was typed that the instrument did not show."
        "The record is worth what its readings are worth. Go there, read, type what it shows.";
    NotLooked "not_looked" Notice
        "Something was ticked or typed that nobody had looked at."
        "A tick says that it was seen.";
}

impl fmt::Display for Act {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.title())
    }
}
