//! One value of a kind.
//!
//! Invariant: the value is finite, and possible for its kind (no absolute
//! pressure or temperature under zero, no slope of a right angle). It is kept
//! in SI; rounding happens only where it is shown.

use super::kind::Kind;
use super::unit::Unit;
use std::cmp::Ordering;
use std::fmt;
use uom::si::f64 as si;

/// How far two values of the same size may differ and still be one: float
/// dust. Sums of typed values carry about 1e-15; nobody measures 1e-10.
const DUST: f64 = 1e-10;

/// A value with its kind.
///
/// # Units
/// Kept in SI: Pa, m, rad, V, kg, N, s, K, m/s, rad/s, m², m³, Hz, N/m, m³/s, kg/s,
/// m³/(s·Pa), Pa/s, rad/s², m/rad or a plain number.
/// Slope: rad from level, + is nose up, which is down to the rear.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Quantity {
    kind: Kind,
    si: f64,
}

/// A value of one kind stood where another is wanted.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct KindError {
    /// The kind that is wanted.
    pub wanted: Kind,
    /// The kind that was found.
    pub found: Kind,
}

impl fmt::Display for KindError {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        let (wanted, found) = (self.wanted.with_article(), self.found.with_article());
        write!(out, "{wanted} is wanted here, {found} was given")
    }
}

impl std::error::Error for KindError {}

/// Why a number is no value of a kind.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum NotAQuantity {
    /// Not a finite number.
    NotFinite {
        /// The kind that was to be made.
        kind: Kind,
    },
    /// Under absolute zero or under vacuum.
    UnderZero {
        /// The kind that was to be made.
        kind: Kind,
    },
    /// A slope of a right angle or more.
    TooSteep,
    /// A value of another kind was to be added.
    Mixed(KindError),
    /// The unit is of another kind.
    ForeignUnit {
        /// The kind that was to be made.
        kind: Kind,
        /// The unit that was given.
        unit: Unit,
    },
}

impl fmt::Display for NotAQuantity {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            NotAQuantity::NotFinite { kind } => {
                write!(out, "{} must be a plain number", kind.with_article())
            }
            NotAQuantity::UnderZero { kind } => {
                write!(out, "{} can't be under zero", kind.with_article())
            }
            NotAQuantity::Mixed(error) => error.fmt(out),
            NotAQuantity::TooSteep => out.write_str("a slope is less than 90°"),
            NotAQuantity::ForeignUnit { kind, unit } => {
                write!(out, "{unit} is no unit of {}", kind.with_article())
            }
        }
    }
}

impl std::error::Error for NotAQuantity {}

impl Quantity {
    /// So many of a unit.
    ///
    /// # Errors
    /// The unit must fit the kind; the number must be finite and possible.
    pub fn new(value: f64, unit: Unit, kind: Kind) -> Result<Quantity, NotAQuantity> {
        if !unit.fits(kind) {
            return Err(NotAQuantity::ForeignUnit { kind, unit });
        }
        let steep = kind == Kind::Slope && value.is_infinite();
        let amount = if steep {
            value
        } else {
            unit.to_si(kind, value)
        };
        Quantity::from_si(amount, kind)
    }

    /// From an amount in SI, as [`Quantity::si`] gives it.
    ///
    /// # Errors
    /// The number must be finite and possible for the kind.
    pub fn from_si(amount: f64, kind: Kind) -> Result<Quantity, NotAQuantity> {
        if !amount.is_finite() {
            return Err(NotAQuantity::NotFinite { kind });
        }
        let over_zero_only = matches!(kind, Kind::AbsolutePressure | Kind::Temperature);
        if over_zero_only && amount < 0.0 {
            return Err(NotAQuantity::UnderZero { kind });
        }
        if kind == Kind::Slope && amount.abs() >= std::f64::consts::FRAC_PI_2 {
            return Err(NotAQuantity::TooSteep);
        }
        // "-0.0" must not reach anyone.
        Ok(Quantity {
            kind,
            si: amount + 0.0,
        })
    }

    /// Nothing of a kind: no pressure, level, 0 K.
    pub fn zero(kind: Kind) -> Quantity {
        Quantity { kind, si: 0.0 }
    }

    /// What it is of.
    pub fn kind(self) -> Kind {
        self.kind
    }

    /// The amount in SI.
    pub fn si(self) -> f64 {
        self.si
    }

    /// The value in a unit.
    ///
    /// # Errors
    /// The unit must fit the kind.
    pub fn in_unit(self, unit: Unit) -> Result<f64, NotAQuantity> {
        if unit.fits(self.kind) {
            Ok(unit.of_si(self.kind, self.si))
        } else {
            Err(NotAQuantity::ForeignUnit {
                kind: self.kind,
                unit,
            })
        }
    }

    /// The same value, if it is of that kind.
    pub fn of_kind(self, wanted: Kind) -> Result<Quantity, KindError> {
        if self.kind == wanted {
            Ok(self)
        } else {
            Err(KindError {
                wanted,
                found: self.kind,
            })
        }
    }

    /// The size without the sign; 0 stays the zero of the kind.
    #[must_use]
    pub fn size(self) -> Quantity {
        Quantity {
            kind: self.kind,
            si: self.si.abs(),
        }
    }

    /// Which of two values of one kind is greater; values that differ only by
    /// float dust (1e-10 of the larger) are equal.
    pub fn compare(self, other: Quantity) -> Result<Ordering, KindError> {
        let other = other.of_kind(self.kind)?;
        Ok(order(self.si, other.si, self.si.abs().max(other.si.abs())))
    }

    /// This less the other, as a value of the difference kind.
    ///
    /// # Errors
    /// Both must be of one kind.
    pub fn less(self, other: Quantity) -> Result<Quantity, KindError> {
        let other = other.of_kind(self.kind)?;
        Ok(Quantity {
            kind: self.kind.difference(),
            si: finite(self.si - other.si),
        })
    }

    /// Moved by a difference: 1.30 bar and a difference of 0.23 bar.
    ///
    /// # Errors
    /// The other must be of the difference kind of this one; the sum must be
    /// possible.
    pub fn moved_by(self, step: Quantity) -> Result<Quantity, NotAQuantity> {
        if step.kind != self.kind.difference() {
            return Err(NotAQuantity::Mixed(KindError {
                wanted: self.kind.difference(),
                found: step.kind,
            }));
        }
        Quantity::from_si(self.si + step.si, self.kind)
    }

    /// Made of an amount that the caller knows to be possible; what is not
    /// finite becomes the largest number there is, which proves nothing.
    pub(super) fn raw(amount: f64, kind: Kind) -> Quantity {
        Quantity {
            kind,
            si: finite(amount) + 0.0,
        }
    }
}

/// The largest number instead of none or an infinite one; finite inputs of
/// people never get there, and if they did, nothing so large is within a limit.
fn finite(amount: f64) -> f64 {
    if amount.is_nan() {
        f64::MAX
    } else {
        amount.clamp(f64::MIN, f64::MAX)
    }
}

/// Order of two amounts; closer than dust of `size` is equal.
pub(super) fn order(left: f64, right: f64, size: f64) -> Ordering {
    let gap = left - right;
    if gap.abs() <= DUST * size {
        Ordering::Equal
    } else if gap < 0.0 {
        Ordering::Less
    } else {
        Ordering::Greater
    }
}

/// A way in from a `uom` value and a way out to it, for one kind.
macro_rules! typed {
    ($kind:ident, $from:ident, $into:ident, $uom:ident, $what:literal) => {
        impl Quantity {
            #[doc = concat!("From ", $what, ".\n\n# Errors\nThe number must be finite and possible.")]
            pub fn $from(amount: si::$uom) -> Result<Quantity, NotAQuantity> {
                Quantity::from_si(amount.value, Kind::$kind)
            }

            #[doc = concat!("As ", $what, ".\n\n# Errors\nIt must be of that kind.")]
            pub fn $into(self) -> Result<si::$uom, KindError> {
                let amount = self.of_kind(Kind::$kind)?.si;
                Ok(si::$uom {
                    dimension: std::marker::PhantomData,
                    units: std::marker::PhantomData,
                    value: amount,
                })
            }
        }
    };
}

typed!(
    GaugePressure,
    gauge_pressure,
    as_gauge_pressure,
    Pressure,
    "pressure over the air outside"
);
typed!(
    AbsolutePressure,
    absolute_pressure,
    as_absolute_pressure,
    Pressure,
    "pressure over vacuum"
);
typed!(
    PressureDifference,
    pressure_difference,
    as_pressure_difference,
    Pressure,
    "a pressure difference"
);
typed!(Length, length, as_length, Length, "a length");
typed!(
    TreadDepth,
    tread_depth,
    as_tread_depth,
    Length,
    "a tread depth"
);
typed!(Angle, angle, as_angle, Angle, "an angle");
typed!(Slope, slope, as_slope, Angle, "a slope (+ is nose up)");
typed!(Voltage, voltage, as_voltage, ElectricPotential, "a voltage");
typed!(Mass, mass, as_mass, Mass, "a mass");
typed!(Force, force, as_force, Force, "a force");
typed!(Time, time, as_time, Time, "a stretch of time");
typed!(
    Temperature,
    temperature,
    as_temperature,
    ThermodynamicTemperature,
    "a temperature"
);
typed!(
    TemperatureStep,
    temperature_step,
    as_temperature_step,
    TemperatureInterval,
    "a temperature step"
);
typed!(Speed, speed, as_speed, Velocity, "a speed");
typed!(
    RotationalSpeed,
    rotational_speed,
    as_rotational_speed,
    AngularVelocity,
    "a rotational speed"
);
typed!(Ratio, ratio, as_ratio, Ratio, "a ratio");
typed!(Count, count, as_count, Ratio, "a count");
typed!(Area, area, as_area, Area, "an area");
