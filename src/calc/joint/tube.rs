//! The speed at which a propshaft tube whirls.
//!
//! Invariant: the tube is uniform and held at its ends without bending moment; yokes,
//! slip joint and hanger bearing are left out.

use std::f64::consts::PI;

use uom::si::f64::{AngularVelocity, Length, MassDensity, Pressure};

use super::super::Snag;
use super::super::amount::Amount;

/// What a tube is made of.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Stuff {
    /// Modulus of elasticity.
    pub modulus: Pressure,
    /// Mass in a volume.
    pub density: MassDensity,
}

impl Stuff {
    /// Propshaft steel: 2.06·10¹¹ Pa, 7850 kg/m³.
    ///
    /// # Source
    /// F1.12, common hand-book values (from memory); each within about 1 %.
    pub fn steel() -> Self {
        Self {
            modulus: Pressure::of_si(206e9),
            density: MassDensity::of_si(7850.0),
        }
    }
}

/// A tube between two joints.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Tube {
    /// Outside diameter.
    pub outer: Length,
    /// Wall.
    pub wall: Length,
    /// From joint to joint.
    pub length: Length,
    /// What it is made of.
    pub stuff: Stuff,
}

impl Tube {
    /// The speed at which it whirls.
    ///
    /// # Errors
    /// When the wall is thicker than half the diameter, or there is no length.
    ///
    /// # Source
    /// Beam formula, first bending (F1.12): ω = (π²/L²)·√(E·I/(ρ·A)), with
    /// I/A = (D² + d²)/16.
    pub fn whirling(self) -> Result<AngularVelocity, Snag> {
        let (outer, wall, length) = (self.outer.si(), self.wall.si(), self.length.si());
        let inner = outer - 2.0 * wall;
        if inner < 0.0 {
            return Err(Snag::new(
                "wall",
                "a wall is at most half the outside diameter",
            ));
        }
        if length <= 0.0 {
            return Err(Snag::new("length", "a tube has a length"));
        }
        let speed = (self.stuff.modulus.si() / self.stuff.density.si()).sqrt();
        let radius = outer.hypot(inner) / 4.0;
        Ok(AngularVelocity::of_si(
            (PI / length).powi(2) * speed * radius,
        ))
    }
}
