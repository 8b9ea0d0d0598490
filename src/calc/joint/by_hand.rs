//! The residual angle as it is worked by hand, to be compared with the exact one.
//!
//! Invariant: nothing else in the program decides by these; they hold for joints in
//! one plane or for small angles only.

use uom::si::f64::Angle;

use super::super::amount::Amount;

/// Residual angle of joints whose axes lie in one plane, exact.
///
/// # Units
/// Each angle with the sign by which it counts: the first +; from one joint to the
/// next the sign changes where the yokes on the shaft between are in phase and stays
/// where they are crossed.
///
/// # Source
/// F1.9, F1.11: ln cos β = −|Σ ± ln cos βᵢ| (our derivation; the form is that of
/// SAE AE-7, from memory, very sure).
pub fn coplanar_residual(signed: impl Iterator<Item = Angle>) -> Angle {
    let sum: f64 = signed
        .map(|angle| {
            let sin = angle.si().sin();
            angle.si().signum() * -0.5 * (-sin * sin).ln_1p()
        })
        .sum();
    Angle::of_si(2.0 * (sum.abs() / 2.0).tanh().sqrt().atan())
}

/// Residual angle of joints in one plane, for small angles: √|Σ ± βᵢ²|.
///
/// # Units
/// Signed as for [`coplanar_residual`].
///
/// # Source
/// F1.9, F1.11 (SAE AE-7 form, from memory, very sure).
pub fn rough_residual(signed: impl Iterator<Item = Angle>) -> Angle {
    let sum: f64 = signed.map(|a| a.si() * a.si().abs()).sum();
    Angle::of_si(sum.abs().sqrt())
}

/// Residual angle of two joints in phase whose planes are twisted against each other
/// about the shaft between, for small angles: ⁴√(β1⁴ + β2⁴ − 2·β1²·β2²·cos 2Δ).
///
/// # Source
/// F1.10 (our derivation).
pub fn rough_twisted_residual(first: Angle, second: Angle, twist: Angle) -> Angle {
    let (one, two) = (first.si().powi(2), second.si().powi(2));
    let fourth = one * one + two * two - 2.0 * one * two * (2.0 * twist.si()).cos();
    Angle::of_si(fourth.max(0.0).sqrt().sqrt())
}
