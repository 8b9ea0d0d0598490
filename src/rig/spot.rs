//! Where a person can stand at the truck.
//!
//! Must not know: what a procedure asks there.

/// A side of the truck; left is left when sitting in the cab.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Side {
    /// Left.
    Left,
    /// Right.
    Right,
}

impl Side {
    /// Both, left first.
    pub const BOTH: [Self; 2] = [Self::Left, Self::Right];

    /// Its place in a pair, left first.
    pub const fn index(self) -> usize {
        match self {
            Self::Left => 0,
            Self::Right => 1,
        }
    }

    /// The word.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Left => "left",
            Self::Right => "right",
        }
    }

    /// A place so far from the middle, on this side: left is +.
    pub(super) const fn at(self, y: f64) -> f64 {
        match self {
            Self::Left => y,
            Self::Right => -y,
        }
    }

    /// This side's of a pair.
    pub fn of<T: Copy>(self, pair: [T; 2]) -> T {
        let [left, right] = pair;
        match self {
            Self::Left => left,
            Self::Right => right,
        }
    }

    /// This side's of a pair, to change it.
    pub fn of_mut<T>(self, pair: &mut [T; 2]) -> &mut T {
        let [left, right] = pair;
        match self {
            Self::Left => left,
            Self::Right => right,
        }
    }
}

/// A place at the truck.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Spot {
    /// Behind the line, with the whole truck in view.
    Line,
    /// The left drive wheel, from outside.
    LeftWheel,
    /// The right drive wheel, from outside.
    RightWheel,
    /// The gauges, outside the wheels.
    Gauges,
    /// The cab: dash, brake, key.
    Cab,
    /// The diagnostic equipment.
    Equipment,
    /// The wall: shop air, charger, bench with blocks and gauges.
    Wall,
    /// The front axle.
    Front,
    /// Under the truck.
    Under,
}

impl Spot {
    /// All, in the order of a walk.
    pub const ALL: [Self; 9] = [
        Self::Line,
        Self::LeftWheel,
        Self::RightWheel,
        Self::Gauges,
        Self::Equipment,
        Self::Cab,
        Self::Wall,
        Self::Front,
        Self::Under,
    ];

    /// The word in documents.
    pub const fn key(self) -> &'static str {
        match self {
            Self::Line => "line",
            Self::LeftWheel => "left_wheel",
            Self::RightWheel => "right_wheel",
            Self::Gauges => "gauges",
            Self::Cab => "cab",
            Self::Equipment => "equipment",
            Self::Wall => "wall",
            Self::Front => "front",
            Self::Under => "under",
        }
    }

    /// What people read.
    pub const fn title(self) -> &'static str {
        match self {
            Self::Line => "behind the line",
            Self::LeftWheel => "left drive wheel",
            Self::RightWheel => "right drive wheel",
            Self::Gauges => "gauges",
            Self::Cab => "cab",
            Self::Equipment => "equipment",
            Self::Wall => "wall and bench",
            Self::Front => "front axle",
            Self::Under => "under the truck",
        }
    }

    /// Its number in the list of places, from 1.
    pub fn number(self) -> usize {
        Self::ALL
            .iter()
            .position(|spot| *spot == self)
            .map_or(0, |at| at + 1)
    }

    /// Number and title, as the list of places has them.
    pub fn numbered(self) -> String {
        format!("{} {}", self.number(), self.title())
    }

    /// The place of that word.
    pub fn from_key(key: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|spot| spot.key() == key)
    }

    /// The wheel of a side.
    pub const fn wheel(side: Side) -> Self {
        match side {
            Side::Left => Self::LeftWheel,
            Side::Right => Self::RightWheel,
        }
    }
}
