//! What a value is of: the kinds that P3 keeps apart, and the two unit systems.
//!
//! Invariant: `key` and `from_key` are inverse; every kind has at least one unit.

use super::unit::Unit;
use std::fmt;

/// Which units people see.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum System {
    /// bar, mm, kg, °C.
    Metric,
    /// psi, in, lb, °F.
    Us,
}

/// What a value is of. Kinds do not convert into each other by themselves.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Kind {
    /// Pressure over the air outside; what a shop gauge shows.
    GaugePressure,
    /// Pressure over vacuum; typed with `abs`.
    AbsolutePressure,
    /// One pressure less another of the same kind.
    PressureDifference,
    /// A length, height, gap or distance; also the difference of two.
    Length,
    /// Depth of a tyre's main groove; read in mm or 32nds of an inch.
    TreadDepth,
    /// Angle between two lines, without a sense of up or down.
    Angle,
    /// Inclination to the floor: + is nose up, which is down to the rear.
    Slope,
    /// Voltage.
    Voltage,
    /// Mass, also a load read in kg or lb on a scale.
    Mass,
    /// Force.
    Force,
    /// A stretch of time.
    Time,
    /// A temperature on the absolute scale.
    Temperature,
    /// One temperature less another.
    TemperatureStep,
    /// Road speed.
    Speed,
    /// Turns in a time.
    RotationalSpeed,
    /// A share or a gear ratio.
    Ratio,
    /// Counts of a sensor or of things.
    Count,
    /// Area.
    Area,
    /// Volume.
    Volume,
    /// Swings in a time.
    Frequency,
    /// Force for a way: how stiff a spring is.
    Stiffness,
    /// Volume in a time, of air at 20 °C and 1 bar abs unless said otherwise.
    Flow,
    /// Mass in a time.
    MassFlow,
    /// What a valve lets through for each bar before it (ISO 6358).
    Conductance,
    /// Pressure gained or lost in a time.
    PressureRate,
    /// Turning gained in a time.
    AngularAcceleration,
    /// Way for each degree.
    LengthPerAngle,
}

/// One line of the table of kinds.
struct Row {
    key: &'static str,
    name: &'static str,
    units: &'static [Unit],
    metric: Unit,
    us: Unit,
}

const PRESSURE: &[Unit] = &[
    Unit::Bar,
    Unit::Psi,
    Unit::Kilopascal,
    Unit::Millibar,
    Unit::Pascal,
    Unit::Megapascal,
    Unit::KgfPerSquareCentimetre,
    Unit::InchOfMercury,
];
const LENGTH: &[Unit] = &[
    Unit::Millimetre,
    Unit::Inch,
    Unit::Centimetre,
    Unit::Metre,
    Unit::Foot,
];
const SLOPE: &[Unit] = &[
    Unit::Degree,
    Unit::Percent,
    Unit::MillimetrePerMetre,
    Unit::ArcMinute,
];
const AREA: &[Unit] = &[
    Unit::SquareCentimetre,
    Unit::SquareInch,
    Unit::SquareMillimetre,
    Unit::SquareMetre,
];

macro_rules! row {
    ($key:literal, $name:literal, $units:expr, $metric:ident, $us:ident) => {
        Row {
            key: $key,
            name: $name,
            units: $units,
            metric: Unit::$metric,
            us: Unit::$us,
        }
    };
}

static GAUGE: Row = row!("gauge_pressure", "gauge pressure", PRESSURE, Bar, Psi);
static ABSOLUTE: Row = row!("absolute_pressure", "absolute pressure", PRESSURE, Bar, Psi);
static DIFFERENCE: Row = row!(
    "pressure_difference",
    "pressure difference",
    PRESSURE,
    Bar,
    Psi
);
static LENGTH_ROW: Row = row!("length", "length", LENGTH, Millimetre, Inch);
static TREAD: Row = row!(
    "tread_depth",
    "tread depth",
    &[Unit::Millimetre, Unit::ThirtySecond, Unit::Inch],
    Millimetre,
    ThirtySecond
);
static ANGLE: Row = row!(
    "angle",
    "angle",
    &[Unit::Degree, Unit::ArcMinute],
    Degree,
    Degree
);
static SLOPE_ROW: Row = row!("slope", "slope", SLOPE, Degree, Degree);
static VOLTAGE: Row = row!(
    "voltage",
    "voltage",
    &[Unit::Volt, Unit::Millivolt],
    Volt,
    Volt
);
static MASS: Row = row!(
    "mass",
    "mass",
    &[Unit::Kilogram, Unit::Pound, Unit::Tonne],
    Kilogram,
    Pound
);
static FORCE: Row = row!(
    "force",
    "force",
    &[Unit::Newton, Unit::Kilonewton, Unit::PoundForce],
    Newton,
    PoundForce
);
static TIME: Row = row!(
    "time",
    "time",
    &[Unit::Second, Unit::Minute, Unit::Hour],
    Second,
    Second
);
static TEMPERATURE: Row = row!(
    "temperature",
    "temperature",
    &[Unit::Celsius, Unit::Fahrenheit, Unit::Kelvin],
    Celsius,
    Fahrenheit
);
static STEP: Row = row!(
    "temperature_step",
    "temperature step",
    &[Unit::Kelvin, Unit::Fahrenheit, Unit::Celsius],
    Kelvin,
    Fahrenheit
);
static SPEED: Row = row!(
    "speed",
    "speed",
    &[
        Unit::KilometrePerHour,
        Unit::MilePerHour,
        Unit::MetrePerSecond
    ],
    KilometrePerHour,
    MilePerHour
);
static TURNING: Row = row!(
    "rotational_speed",
    "rotational speed",
    &[Unit::RevPerMinute],
    RevPerMinute,
    RevPerMinute
);
static RATIO: Row = row!("ratio", "ratio", &[Unit::One, Unit::Percent], One, One);
static COUNT: Row = row!("count", "count", &[Unit::Count], Count, Count);
static AREA_ROW: Row = row!("area", "area", AREA, SquareCentimetre, SquareInch);
static VOLUME: Row = row!(
    "volume",
    "volume",
    &[
        Unit::Litre,
        Unit::CubicInch,
        Unit::CubicMetre,
        Unit::CubicFoot
    ],
    Litre,
    CubicInch
);
static FREQUENCY: Row = row!("frequency", "frequency", &[Unit::Hertz], Hertz, Hertz);
static STIFFNESS: Row = row!(
    "stiffness",
    "stiffness",
    &[
        Unit::NewtonPerMillimetre,
        Unit::PoundForcePerInch,
        Unit::NewtonPerMetre
    ],
    NewtonPerMillimetre,
    PoundForcePerInch
);
static FLOW: Row = row!(
    "flow",
    "flow",
    &[
        Unit::LitrePerSecond,
        Unit::LitrePerMinute,
        Unit::CubicFootPerMinute
    ],
    LitrePerSecond,
    CubicFootPerMinute
);
static MASS_FLOW: Row = row!(
    "mass_flow",
    "mass flow",
    &[Unit::GramPerSecond, Unit::PoundPerMinute],
    GramPerSecond,
    PoundPerMinute
);
static CONDUCTANCE: Row = row!(
    "conductance",
    "conductance",
    &[Unit::LitrePerSecondBar],
    LitrePerSecondBar,
    LitrePerSecondBar
);
static PRESSURE_RATE: Row = row!(
    "pressure_rate",
    "pressure rate",
    &[
        Unit::BarPerMinute,
        Unit::PsiPerMinute,
        Unit::BarPerSecond,
        Unit::BarPerHour
    ],
    BarPerMinute,
    PsiPerMinute
);
static ANGULAR_ACCELERATION: Row = row!(
    "angular_acceleration",
    "angular acceleration",
    &[Unit::RadianPerSecondSquared],
    RadianPerSecondSquared,
    RadianPerSecondSquared
);
static LENGTH_PER_ANGLE: Row = row!(
    "length_per_angle",
    "way for each degree",
    &[Unit::MillimetrePerDegree, Unit::InchPerDegree],
    MillimetrePerDegree,
    InchPerDegree
);

impl Kind {
    /// Every kind, in reading order.
    pub const ALL: [Kind; 27] = [
        Kind::GaugePressure,
        Kind::AbsolutePressure,
        Kind::PressureDifference,
        Kind::Length,
        Kind::TreadDepth,
        Kind::Angle,
        Kind::Slope,
        Kind::Voltage,
        Kind::Mass,
        Kind::Force,
        Kind::Time,
        Kind::Temperature,
        Kind::TemperatureStep,
        Kind::Speed,
        Kind::RotationalSpeed,
        Kind::Ratio,
        Kind::Count,
        Kind::Area,
        Kind::Volume,
        Kind::Frequency,
        Kind::Stiffness,
        Kind::Flow,
        Kind::MassFlow,
        Kind::Conductance,
        Kind::PressureRate,
        Kind::AngularAcceleration,
        Kind::LengthPerAngle,
    ];

    fn row(self) -> &'static Row {
        match self {
            Kind::GaugePressure => &GAUGE,
            Kind::AbsolutePressure => &ABSOLUTE,
            Kind::PressureDifference => &DIFFERENCE,
            Kind::Length => &LENGTH_ROW,
            Kind::TreadDepth => &TREAD,
            Kind::Angle => &ANGLE,
            Kind::Slope => &SLOPE_ROW,
            Kind::Voltage => &VOLTAGE,
            Kind::Mass => &MASS,
            Kind::Force => &FORCE,
            Kind::Time => &TIME,
            Kind::Temperature => &TEMPERATURE,
            Kind::TemperatureStep => &STEP,
            Kind::Speed => &SPEED,
            Kind::RotationalSpeed => &TURNING,
            Kind::Ratio => &RATIO,
            Kind::Count => &COUNT,
            Kind::Area => &AREA_ROW,
            Kind::Volume => &VOLUME,
            Kind::Frequency => &FREQUENCY,
            Kind::Stiffness => &STIFFNESS,
            Kind::Flow => &FLOW,
            Kind::MassFlow => &MASS_FLOW,
            Kind::Conductance => &CONDUCTANCE,
            Kind::PressureRate => &PRESSURE_RATE,
            Kind::AngularAcceleration => &ANGULAR_ACCELERATION,
            Kind::LengthPerAngle => &LENGTH_PER_ANGLE,
        }
    }

    /// What people read: "gauge pressure".
    pub fn name(self) -> &'static str {
        self.row().name
    }

    /// The name with its article: "a gauge pressure", "an angle".
    pub fn with_article(self) -> String {
        let name = self.name();
        let article = if name.starts_with('a') { "an" } else { "a" };
        format!("{article} {name}")
    }

    /// The word in documents: `gauge_pressure`.
    pub fn key(self) -> &'static str {
        self.row().key
    }

    /// The kind that a document's word names.
    pub fn from_key(key: &str) -> Option<Kind> {
        Kind::ALL.into_iter().find(|kind| kind.key() == key)
    }

    /// Units that fit, the usual ones first. Never empty.
    pub fn units(self) -> &'static [Unit] {
        self.row().units
    }

    /// The unit shown where nothing else is asked for.
    pub fn shown(self, system: System) -> Unit {
        match system {
            System::Metric => self.row().metric,
            System::Us => self.row().us,
        }
    }

    /// The kind of one value less another: pressures give a pressure
    /// difference, temperatures a step; every other kind is its own difference
    /// (the change of a slope is a slope: + means the nose came up).
    ///
    /// Tolerances, margins and uncertainties of a value are of this kind.
    #[must_use]
    pub fn difference(self) -> Kind {
        match self {
            Kind::GaugePressure | Kind::AbsolutePressure | Kind::PressureDifference => {
                Kind::PressureDifference
            }
            Kind::Temperature | Kind::TemperatureStep => Kind::TemperatureStep,
            Kind::Length
            | Kind::TreadDepth
            | Kind::Angle
            | Kind::Slope
            | Kind::Voltage
            | Kind::Mass
            | Kind::Force
            | Kind::Time
            | Kind::Speed
            | Kind::RotationalSpeed
            | Kind::Ratio
            | Kind::Count
            | Kind::Area
            | Kind::Volume
            | Kind::Frequency
            | Kind::Stiffness
            | Kind::Flow
            | Kind::MassFlow
            | Kind::Conductance
            | Kind::PressureRate
            | Kind::AngularAcceleration
            | Kind::LengthPerAngle => self,
        }
    }
}

impl fmt::Display for Kind {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        out.write_str(self.name())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_kind_is_found_again_by_its_key() {
        for kind in Kind::ALL {
            assert_eq!(Kind::from_key(kind.key()), Some(kind));
        }
        assert_eq!(Kind::from_key("gauge pressure"), None);
    }

    #[test]
    fn shown_units_fit_their_kind() {
        for kind in Kind::ALL {
            for system in [System::Metric, System::Us] {
                assert!(kind.units().contains(&kind.shown(system)), "{kind}");
            }
        }
    }

    #[test]
    fn a_difference_of_differences_is_of_the_same_kind() {
        for kind in Kind::ALL {
            assert_eq!(kind.difference().difference(), kind.difference());
        }
    }
}
