//! One universal joint: how unevenly the driven shaft turns.
//!
//! Invariant: the driving shaft turns evenly. The turn of the driving yoke counts
//! from where its pin lies in the plane of the two shafts; there the driven shaft is
//! fastest.

use uom::si::f64::{Angle, AngularAcceleration, AngularVelocity, Ratio};

use super::super::amount::Amount;

/// A universal joint, by the angle between its two shafts; less than 90°.
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd)]
pub struct Joint(pub Angle);

/// Fastest and slowest of the driven shaft, as shares of the driving shaft.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Extremes {
    /// The driving yoke's pin in the plane of the shafts.
    pub fastest: Ratio,
    /// A quarter turn on.
    pub slowest: Ratio,
}

/// The greatest angular acceleration in a turn.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Peak {
    /// Where it slows the most; at as much before the fastest place it gains the most.
    pub turn: Angle,
    /// How much.
    pub amount: AngularAcceleration,
}

impl Joint {
    /// The joint for this unevenness; the other way round of [`Joint::uneven`].
    ///
    /// # Source
    /// Check values F1.3 solved for cos β: cos²β + U·cos β − 1 = 0 (our derivation).
    pub fn of_uneven(uneven: Ratio) -> Self {
        let u = uneven.si();
        let root = (u * u + 4.0).sqrt();
        // cos β = 2 / (u + root); one less that, without cancelling.
        let short = (u + u * u / (root + 2.0)) / (u + root);
        Self(Angle::of_si(2.0 * (short / (2.0 - short)).sqrt().atan()))
    }

    /// Speed of the driven shaft as a share of the driving shaft's.
    ///
    /// # Source
    /// Carvill, Mechanical Engineer's Data Handbook (1993) 2.4.3 p. 72 (F1.1).
    pub fn ratio(self, turn: Angle) -> Ratio {
        let (sin, cos) = self.0.si().sin_cos();
        Ratio::of_si(cos / (1.0 - (sin * turn.si().cos()).powi(2)))
    }

    /// Fastest and slowest.
    ///
    /// # Source
    /// Carvill (1993) 2.4.3 p. 72 (F1.2).
    pub fn extremes(self) -> Extremes {
        let cos = self.0.si().cos();
        Extremes {
            fastest: Ratio::of_si(1.0 / cos),
            slowest: Ratio::of_si(cos),
        }
    }

    /// Fastest less slowest, as a share: tan β · sin β.
    ///
    /// # Source
    /// Our derivation from F1.2 (F1.3).
    pub fn uneven(self) -> Ratio {
        let (sin, cos) = self.0.si().sin_cos();
        Ratio::of_si(sin * sin / cos)
    }

    /// How far the driven shaft runs ahead and behind at most.
    ///
    /// # Source
    /// Our derivation (F1.6): tan δ = (1 − cos β) / (2·√cos β).
    pub fn lag(self) -> Angle {
        let half = (self.0.si() / 2.0).sin();
        Angle::of_si((half * half / self.0.si().cos().sqrt()).atan())
    }

    /// The turn at which both shafts have the same speed; also at 180° less that.
    ///
    /// # Source
    /// F1.2: cos²θ = (1 − cos β)/sin²β, which is 1/(1 + cos β).
    pub fn even_turn(self) -> Angle {
        Angle::of_si((1.0 / (1.0 + self.0.si().cos())).sqrt().acos())
    }

    /// Angular acceleration of the driven shaft.
    ///
    /// # Source
    /// Text-book form (from memory, very sure), F1.4: F1.1 differentiated.
    pub fn acceleration(self, speed: AngularVelocity, turn: Angle) -> AngularAcceleration {
        let (sin, cos) = self.0.si().sin_cos();
        let even = 1.0 - (sin * turn.si().cos()).powi(2);
        let double = (2.0 * turn.si()).sin();
        AngularAcceleration::of_si(-speed.si().powi(2) * cos * sin * sin * double / (even * even))
    }

    /// The greatest angular acceleration in a turn, exact.
    ///
    /// # Source
    /// Our derivation: F1.4 is greatest where, with C = cos 2θ,
    /// sin²β·C² + (2 − sin²β)·C − 2·sin²β = 0.
    pub fn peak(self, speed: AngularVelocity) -> Peak {
        let square = self.0.si().sin().powi(2);
        let middle = 2.0 - square;
        let cos_double = 4.0 * square / (middle + (middle * middle + 8.0 * square * square).sqrt());
        let turn = Angle::of_si(cos_double.acos() / 2.0);
        Peak {
            turn,
            amount: AngularAcceleration::of_si(-self.acceleration(speed, turn).si()),
        }
    }

    /// The greatest acceleration as most tables have it: ω²·sin²β. Reads low, by under
    /// 1 % up to 7° and by 6 % at 20°.
    ///
    /// # Source
    /// F1.5, small angles.
    pub fn peak_by_sine(self, speed: AngularVelocity) -> AngularAcceleration {
        AngularAcceleration::of_si((speed.si() * self.0.si().sin()).powi(2))
    }

    /// The greatest acceleration in the shortest form: ω²·β².
    ///
    /// # Source
    /// F1.5, small angles.
    pub fn peak_by_angle(self, speed: AngularVelocity) -> AngularAcceleration {
        AngularAcceleration::of_si((speed.si() * self.0.si()).powi(2))
    }
}
