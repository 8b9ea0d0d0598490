//! What formulas are typed with: `uom` quantities, and three that `uom` does not
//! keep apart.
//!
//! Invariant: an amount is its number in SI and nothing else, so that a sum can be
//! driven by plain numbers (uncertainty, Monte Carlo) and still be typed inside.

use std::marker::PhantomData;

use uom::si::f64::{Angle, Pressure};

/// Air outside at sea level, Pa: what a gauge pressure counts from.
///
/// # Source
/// Standard atmosphere, exact by definition (NIST SP 811 App. B.8).
pub const AIR_OUTSIDE_PA: f64 = 101_325.0;

/// Standard gravity, m/s².
///
/// # Source
/// As in `quantity`, where the pound-force rests on it.
pub const GRAVITY: f64 = crate::quantity::STANDARD_GRAVITY;

/// A typed number.
pub trait Amount: Copy {
    /// From its number in SI.
    fn of_si(si: f64) -> Self;
    /// Its number in SI.
    fn si(self) -> f64;
}

impl<D: uom::si::Dimension + ?Sized> Amount for uom::si::Quantity<D, uom::si::SI<f64>, f64> {
    fn of_si(si: f64) -> Self {
        Self {
            dimension: PhantomData,
            units: PhantomData,
            value: si,
        }
    }

    fn si(self) -> f64 {
        self.value
    }
}

impl Amount for f64 {
    fn of_si(si: f64) -> Self {
        si
    }

    fn si(self) -> f64 {
        self
    }
}

/// Pressure over the air outside; what a shop gauge shows.
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd)]
pub struct Gauge(pub Pressure);

/// Pressure over vacuum; what gas laws are about.
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd)]
pub struct Absolute(pub Pressure);

/// Inclination to the floor; + is nose up, which is down to the rear.
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd)]
pub struct Slope(pub Angle);

impl Gauge {
    /// Over vacuum, where the air outside has its standard pressure.
    #[must_use]
    pub fn absolute(self) -> Absolute {
        self.over(Absolute(Pressure::of_si(AIR_OUTSIDE_PA)))
    }

    /// Over vacuum, where the air outside has this pressure.
    #[must_use]
    pub fn over(self, outside: Absolute) -> Absolute {
        Absolute(self.0 + outside.0)
    }
}

impl Absolute {
    /// Over the air outside at its standard pressure.
    #[must_use]
    pub fn gauge(self) -> Gauge {
        Gauge(self.0 - Pressure::of_si(AIR_OUTSIDE_PA))
    }
}

macro_rules! amount {
    ($name:ident, $inner:ident) => {
        impl Amount for $name {
            fn of_si(si: f64) -> Self {
                Self($inner::of_si(si))
            }

            fn si(self) -> f64 {
                self.0.value
            }
        }
    };
}

amount!(Gauge, Pressure);
amount!(Absolute, Pressure);
amount!(Slope, Angle);
