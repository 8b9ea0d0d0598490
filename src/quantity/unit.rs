//! Units: symbol, what people write for it, and the way to SI and back.
//!
//! Invariant: `of_si(to_si(v)) == v` but for float dust. Factors come from
//! `uom`, except pound, pound-force and psi, whose factors there are rounded;
//! the exact ones are below.

use super::kind::{Kind, System};
use std::fmt;
use uom::si::angle::{degree, minute as arc_minute};
use uom::si::angular_velocity::revolution_per_minute;
use uom::si::area::{square_centimeter, square_inch, square_meter, square_millimeter};
use uom::si::electric_potential::{millivolt, volt};
use uom::si::f64 as si;
use uom::si::force::{kilonewton, newton};
use uom::si::length::{centimeter, foot, inch, meter, millimeter};
use uom::si::mass::{kilogram, ton};
use uom::si::pressure::{
    atmosphere_technical, bar, inch_of_mercury, kilopascal, megapascal, millibar, pascal,
};
use uom::si::temperature_interval as step;
use uom::si::thermodynamic_temperature as temperature;
use uom::si::time::{hour, minute, second};
use uom::si::velocity::{kilometer_per_hour, meter_per_second, mile_per_hour};
use uom::si::volume::{cubic_foot, cubic_inch, liter};

/// Kilograms in a pound (avoirdupois).
///
/// # Source
/// NIST SP 811 App. B.8, exact by definition (from memory, very sure).
const POUND_KG: f64 = 0.453_592_37;

/// Standard gravity, m/s².
///
/// # Source
/// NIST SP 811 App. B.8, exact by definition (from memory, very sure).
pub const STANDARD_GRAVITY: f64 = 9.806_65;

/// Newtons in a pound-force: pound times standard gravity, so exact.
const POUND_FORCE_N: f64 = POUND_KG * STANDARD_GRAVITY;

/// Pascals in a psi: pound-force over a square inch of exactly 25.4 mm.
pub const PSI_PA: f64 = POUND_FORCE_N / (0.0254 * 0.0254);

/// A unit that people may type or be shown.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
#[expect(missing_docs, reason = "each unit is named by its name")]
pub enum Unit {
    Bar,
    Millibar,
    Kilopascal,
    Pascal,
    Megapascal,
    Psi,
    KgfPerSquareCentimetre,
    /// Conventional inch of mercury, 3386.389 Pa.
    InchOfMercury,
    Millimetre,
    Centimetre,
    Metre,
    Inch,
    Foot,
    /// A thirty-second of an inch, for tread.
    ThirtySecond,
    Degree,
    /// A sixtieth of a degree.
    ArcMinute,
    /// A hundredth; of a slope: rise over run.
    Percent,
    /// Rise over run, in thousandths.
    MillimetrePerMetre,
    Volt,
    Millivolt,
    Kilogram,
    /// 1000 kg.
    Tonne,
    Pound,
    Newton,
    Kilonewton,
    PoundForce,
    Second,
    Minute,
    Hour,
    Celsius,
    Fahrenheit,
    Kelvin,
    KilometrePerHour,
    MilePerHour,
    MetrePerSecond,
    RevPerMinute,
    /// A plain number, for ratios.
    One,
    /// Counts of a sensor, or things counted.
    Count,
    SquareMetre,
    SquareCentimetre,
    SquareMillimetre,
    SquareInch,
    Litre,
    CubicMetre,
    CubicInch,
    CubicFoot,
    Hertz,
    NewtonPerMetre,
    NewtonPerMillimetre,
    PoundForcePerInch,
    LitrePerSecond,
    LitrePerMinute,
    CubicFootPerMinute,
    GramPerSecond,
    PoundPerMinute,
    LitrePerSecondBar,
    BarPerSecond,
    BarPerMinute,
    BarPerHour,
    PsiPerMinute,
    RadianPerSecondSquared,
    MillimetrePerDegree,
    InchPerDegree,
}

impl Unit {
    /// Every unit.
    pub const ALL: [Unit; 63] = [
        Unit::Bar,
        Unit::Millibar,
        Unit::Kilopascal,
        Unit::Pascal,
        Unit::Megapascal,
        Unit::Psi,
        Unit::KgfPerSquareCentimetre,
        Unit::InchOfMercury,
        Unit::Millimetre,
        Unit::Centimetre,
        Unit::Metre,
        Unit::Inch,
        Unit::Foot,
        Unit::ThirtySecond,
        Unit::Degree,
        Unit::ArcMinute,
        Unit::Percent,
        Unit::MillimetrePerMetre,
        Unit::Volt,
        Unit::Millivolt,
        Unit::Kilogram,
        Unit::Tonne,
        Unit::Pound,
        Unit::Newton,
        Unit::Kilonewton,
        Unit::PoundForce,
        Unit::Second,
        Unit::Minute,
        Unit::Hour,
        Unit::Celsius,
        Unit::Fahrenheit,
        Unit::Kelvin,
        Unit::KilometrePerHour,
        Unit::MilePerHour,
        Unit::MetrePerSecond,
        Unit::RevPerMinute,
        Unit::One,
        Unit::Count,
        Unit::SquareMetre,
        Unit::SquareCentimetre,
        Unit::SquareMillimetre,
        Unit::SquareInch,
        Unit::Litre,
        Unit::CubicMetre,
        Unit::CubicInch,
        Unit::CubicFoot,
        Unit::Hertz,
        Unit::NewtonPerMetre,
        Unit::NewtonPerMillimetre,
        Unit::PoundForcePerInch,
        Unit::LitrePerSecond,
        Unit::LitrePerMinute,
        Unit::CubicFootPerMinute,
        Unit::GramPerSecond,
        Unit::PoundPerMinute,
        Unit::LitrePerSecondBar,
        Unit::BarPerSecond,
        Unit::BarPerMinute,
        Unit::BarPerHour,
        Unit::PsiPerMinute,
        Unit::RadianPerSecondSquared,
        Unit::MillimetrePerDegree,
        Unit::InchPerDegree,
    ];

    /// The symbol, as shown: "bar", "°", "/32 in". Empty for a plain number.
    ///
    /// An absolute pressure also needs `abs`: see [`Unit::symbol_for`].
    pub fn symbol(self) -> &'static str {
        self.spellings().first().copied().unwrap_or_default()
    }

    /// The symbol in a field of this kind: "bar abs" for absolute pressure.
    pub fn symbol_for(self, kind: Kind) -> String {
        if kind == Kind::AbsolutePressure {
            format!("{} abs", self.symbol())
        } else {
            self.symbol().to_owned()
        }
    }

    /// What people write for it, the symbol first. Compared without case
    /// except where case tells units apart (see `written_as`).
    fn spellings(self) -> &'static [&'static str] {
        match self {
            Unit::Bar => &["bar", "bars"],
            Unit::Millibar => &["mbar"],
            Unit::Kilopascal => &["kPa"],
            Unit::Pascal => &["Pa"],
            Unit::Megapascal => &["MPa"],
            Unit::Psi => &["psi", "lbf/in²", "lbf/in2"],
            Unit::KgfPerSquareCentimetre => &["kgf/cm²", "kgf/cm2"],
            Unit::InchOfMercury => &["inHg"],
            Unit::Millimetre => &["mm"],
            Unit::Centimetre => &["cm"],
            Unit::Metre => &["m"],
            Unit::Inch => &["in", "\"", "inch", "inches"],
            Unit::Foot => &["ft", "'", "foot", "feet"],
            Unit::ThirtySecond => &["/32 in", "/32", "/32\"", "/32in"],
            Unit::Degree => &["°", "deg", "degrees"],
            Unit::ArcMinute => &["'", "arcmin"],
            Unit::Percent => &["%", "percent"],
            Unit::MillimetrePerMetre => &["mm/m"],
            Unit::Volt => &["V", "volt", "volts"],
            Unit::Millivolt => &["mV"],
            Unit::Kilogram => &["kg"],
            Unit::Tonne => &["t", "tonne", "tonnes"],
            Unit::Pound => &["lb", "lbs"],
            Unit::Newton => &["N"],
            Unit::Kilonewton => &["kN"],
            Unit::PoundForce => &["lbf"],
            Unit::Second => &["s", "sec", "seconds"],
            Unit::Minute => &["min", "minutes"],
            Unit::Hour => &["h", "hours"],
            Unit::Celsius => &["°C", "C", "degC"],
            Unit::Fahrenheit => &["°F", "F", "degF"],
            Unit::Kelvin => &["K"],
            Unit::KilometrePerHour => &["km/h", "kph"],
            Unit::MilePerHour => &["mph", "mi/h"],
            Unit::MetrePerSecond => &["m/s"],
            Unit::RevPerMinute => &["rev/min", "rpm", "1/min"],
            Unit::One => &[""],
            Unit::Count => &["counts", "count"],
            Unit::SquareMetre => &["m²", "m2"],
            Unit::SquareCentimetre => &["cm²", "cm2"],
            Unit::SquareMillimetre => &["mm²", "mm2"],
            Unit::SquareInch => &["in²", "in2", "sq in"],
            Unit::Litre => &["dm³", "dm3", "L", "litre", "litres", "liter", "liters"],
            Unit::CubicMetre => &["m³", "m3"],
            Unit::CubicInch => &["in³", "in3", "cu in"],
            Unit::CubicFoot => &["ft³", "ft3", "cu ft"],
            Unit::Hertz => &["Hz"],
            Unit::NewtonPerMetre => &["N/m"],
            Unit::NewtonPerMillimetre => &["N/mm"],
            Unit::PoundForcePerInch => &["lbf/in", "lb/in"],
            Unit::LitrePerSecond => &["dm³/s", "dm3/s", "L/s"],
            Unit::LitrePerMinute => &["L/min", "dm³/min", "dm3/min"],
            Unit::CubicFootPerMinute => &["cfm", "ft³/min", "ft3/min"],
            Unit::GramPerSecond => &["g/s"],
            Unit::PoundPerMinute => &["lb/min"],
            Unit::LitrePerSecondBar => &["dm³/(s·bar)", "dm3/(s bar)", "dm3/(s*bar)", "dm3/s/bar"],
            Unit::BarPerSecond => &["bar/s"],
            Unit::BarPerMinute => &["bar/min"],
            Unit::BarPerHour => &["bar/h"],
            Unit::PsiPerMinute => &["psi/min"],
            Unit::RadianPerSecondSquared => &["rad/s²", "rad/s2"],
            Unit::MillimetrePerDegree => &["mm/°", "mm/deg"],
            Unit::InchPerDegree => &["in/°", "in/deg"],
        }
    }

    /// Whether `text` is how people write this unit. Case is let go (`PSI`,
    /// `Mm`), but never where it could be a factor of a thousand and more:
    /// `mPa` is not `MPa`, `MV` not `mV`.
    pub fn written_as(self, text: &str) -> bool {
        let begins = |letter: char| text.starts_with(letter);
        let factor_at_risk = (self == Unit::Megapascal && begins('m'))
            || (self == Unit::Millivolt && begins('M'))
            || (self == Unit::Millibar && begins('M') && text != "MBAR");
        let lower = text.to_lowercase();
        !factor_at_risk
            && self
                .spellings()
                .iter()
                .any(|known| known.to_lowercase() == lower)
    }

    /// The unit of a kind that people write so: "mm/m", "bar abs", "PSI".
    pub fn from_symbol(written: &str, kind: Kind) -> Option<Unit> {
        let base = if kind == Kind::AbsolutePressure {
            written.strip_suffix(" abs")?
        } else {
            written
        };
        kind.units()
            .iter()
            .copied()
            .find(|unit| unit.written_as(base))
    }

    /// Kinds that this unit fits.
    pub fn kinds(self) -> Vec<Kind> {
        Kind::ALL
            .into_iter()
            .filter(|kind| self.fits(*kind))
            .collect()
    }

    /// Whether the unit fits the kind.
    pub fn fits(self, kind: Kind) -> bool {
        kind.units().contains(&self)
    }

    /// A second unit to echo beside this one, so that a slip shows (P3): the
    /// other system's, or another scale of the same. None where there is none.
    pub fn companion(self, kind: Kind) -> Option<Unit> {
        const PAIRS: [(Unit, Unit); 8] = [
            (Unit::Bar, Unit::Kilopascal),
            (Unit::Second, Unit::Minute),
            (Unit::Volt, Unit::Millivolt),
            (Unit::Newton, Unit::PoundForce),
            (Unit::Degree, Unit::Percent),
            (Unit::Percent, Unit::Degree),
            (Unit::MillimetrePerMetre, Unit::Degree),
            (Unit::One, Unit::Percent),
        ];
        let metric = kind.shown(System::Metric);
        let usual = if self == metric {
            kind.shown(System::Us)
        } else {
            metric
        };
        let paired = PAIRS
            .iter()
            .find(|(from, to)| *from == self && to.fits(kind));
        let other = paired.map_or(usual, |(_, to)| *to);
        (other != self && other.fits(kind)).then_some(other)
    }

    /// SI units in one of this unit, on the scale of differences (no offset; a
    /// slope near level).
    ///
    /// # Units
    /// Pa, m, rad, V, kg, N, s, K, m/s, rad/s, m², m³, Hz, N/m, m³/s, kg/s, m³/(s·Pa),
    /// Pa/s, rad/s², m/rad, or a plain number.
    pub(super) fn scale(self) -> f64 {
        match self {
            Unit::Psi => PSI_PA,
            Unit::Pound => POUND_KG,
            Unit::PoundForce => POUND_FORCE_N,
            Unit::Bar => si::Pressure::new::<bar>(1.0).value,
            Unit::Millibar => si::Pressure::new::<millibar>(1.0).value,
            Unit::Kilopascal => si::Pressure::new::<kilopascal>(1.0).value,
            Unit::Pascal => si::Pressure::new::<pascal>(1.0).value,
            Unit::Megapascal => si::Pressure::new::<megapascal>(1.0).value,
            Unit::KgfPerSquareCentimetre => si::Pressure::new::<atmosphere_technical>(1.0).value,
            Unit::InchOfMercury => si::Pressure::new::<inch_of_mercury>(1.0).value,
            Unit::Millimetre => si::Length::new::<millimeter>(1.0).value,
            Unit::Centimetre => si::Length::new::<centimeter>(1.0).value,
            Unit::Metre => si::Length::new::<meter>(1.0).value,
            Unit::Inch => si::Length::new::<inch>(1.0).value,
            Unit::Foot => si::Length::new::<foot>(1.0).value,
            Unit::ThirtySecond => si::Length::new::<inch>(1.0 / 32.0).value,
            Unit::Degree => si::Angle::new::<degree>(1.0).value,
            Unit::ArcMinute => si::Angle::new::<arc_minute>(1.0).value,
            Unit::Percent => 0.01,
            Unit::MillimetrePerMetre | Unit::GramPerSecond => 0.001,
            Unit::Volt => si::ElectricPotential::new::<volt>(1.0).value,
            Unit::Millivolt => si::ElectricPotential::new::<millivolt>(1.0).value,
            Unit::Kilogram => si::Mass::new::<kilogram>(1.0).value,
            Unit::Tonne => si::Mass::new::<ton>(1.0).value,
            Unit::Newton => si::Force::new::<newton>(1.0).value,
            Unit::Kilonewton => si::Force::new::<kilonewton>(1.0).value,
            Unit::Second => si::Time::new::<second>(1.0).value,
            Unit::Minute => si::Time::new::<minute>(1.0).value,
            Unit::Hour => si::Time::new::<hour>(1.0).value,
            Unit::Celsius => si::TemperatureInterval::new::<step::degree_celsius>(1.0).value,
            Unit::Fahrenheit => si::TemperatureInterval::new::<step::degree_fahrenheit>(1.0).value,
            Unit::Kelvin => si::TemperatureInterval::new::<step::kelvin>(1.0).value,
            Unit::KilometrePerHour => si::Velocity::new::<kilometer_per_hour>(1.0).value,
            Unit::MilePerHour => si::Velocity::new::<mile_per_hour>(1.0).value,
            Unit::MetrePerSecond => si::Velocity::new::<meter_per_second>(1.0).value,
            Unit::RevPerMinute => si::AngularVelocity::new::<revolution_per_minute>(1.0).value,
            Unit::One
            | Unit::Count
            | Unit::CubicMetre
            | Unit::Hertz
            | Unit::NewtonPerMetre
            | Unit::RadianPerSecondSquared => 1.0,
            Unit::SquareMetre => si::Area::new::<square_meter>(1.0).value,
            Unit::SquareCentimetre => si::Area::new::<square_centimeter>(1.0).value,
            Unit::SquareMillimetre => si::Area::new::<square_millimeter>(1.0).value,
            Unit::SquareInch => si::Area::new::<square_inch>(1.0).value,
            Unit::Litre | Unit::LitrePerSecond => si::Volume::new::<liter>(1.0).value,
            Unit::CubicInch => si::Volume::new::<cubic_inch>(1.0).value,
            Unit::CubicFoot => si::Volume::new::<cubic_foot>(1.0).value,
            Unit::NewtonPerMillimetre => Unit::Newton.scale() / Unit::Millimetre.scale(),
            Unit::PoundForcePerInch => Unit::PoundForce.scale() / Unit::Inch.scale(),
            Unit::LitrePerMinute => Unit::Litre.scale() / Unit::Minute.scale(),
            Unit::CubicFootPerMinute => Unit::CubicFoot.scale() / Unit::Minute.scale(),
            Unit::PoundPerMinute => Unit::Pound.scale() / Unit::Minute.scale(),
            Unit::LitrePerSecondBar => Unit::Litre.scale() / Unit::Bar.scale(),
            Unit::BarPerSecond => Unit::Bar.scale(),
            Unit::BarPerMinute => Unit::Bar.scale() / Unit::Minute.scale(),
            Unit::BarPerHour => Unit::Bar.scale() / Unit::Hour.scale(),
            Unit::PsiPerMinute => Unit::Psi.scale() / Unit::Minute.scale(),
            Unit::MillimetrePerDegree => Unit::Millimetre.scale() / Unit::Degree.scale(),
            Unit::InchPerDegree => Unit::Inch.scale() / Unit::Degree.scale(),
        }
    }

    /// The value in SI. A slope in % or mm/m is rise over run, so its angle is
    /// the arc tangent; a temperature has its zero moved.
    pub(super) fn to_si(self, kind: Kind, value: f64) -> f64 {
        match (kind, self) {
            (Kind::Slope, Unit::Percent | Unit::MillimetrePerMetre) => {
                (value * self.scale()).atan()
            }
            (Kind::Temperature, Unit::Celsius) => {
                si::ThermodynamicTemperature::new::<temperature::degree_celsius>(value).value
            }
            (Kind::Temperature, Unit::Fahrenheit) => {
                si::ThermodynamicTemperature::new::<temperature::degree_fahrenheit>(value).value
            }
            _ => value * self.scale(),
        }
    }

    /// The value of an SI amount in this unit; the way back of `to_si`.
    pub(super) fn of_si(self, kind: Kind, amount: f64) -> f64 {
        match (kind, self) {
            (Kind::Slope, Unit::Percent | Unit::MillimetrePerMetre) => amount.tan() / self.scale(),
            (Kind::Temperature, Unit::Celsius) => {
                si::ThermodynamicTemperature::new::<temperature::kelvin>(amount)
                    .get::<temperature::degree_celsius>()
            }
            (Kind::Temperature, Unit::Fahrenheit) => {
                si::ThermodynamicTemperature::new::<temperature::kelvin>(amount)
                    .get::<temperature::degree_fahrenheit>()
            }
            _ => amount / self.scale(),
        }
    }
}

impl fmt::Display for Unit {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        out.write_str(self.symbol())
    }
}
