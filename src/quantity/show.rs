//! Values as text. The only place where a value is rounded.
//!
//! Invariants: rounding is from the stored value, half away from zero on its
//! decimal digits (0.15 to one place is 0.2); there is no "-0.0"; what is shown
//! is read back within half a last digit.

use super::kind::Kind;
use super::unit::Unit;
use super::value::Quantity;

/// Significant digits that are looked at before rounding: enough for any
/// instrument, few enough that float dust rounds away.
const DIGITS: usize = 11;

/// Most decimals that are ever shown.
pub(super) const MOST_PLACES: u8 = 9;

impl Quantity {
    /// The value in a unit with so many decimals: "2.10 bar", "1.013 bar abs".
    ///
    /// A unit that does not fit the kind is replaced by the kind's metric one;
    /// what is shown always says its unit.
    pub fn show(self, unit: Unit, decimals: u8) -> String {
        let unit = fitting(unit, self.kind());
        with_symbol(
            &decimal(unit.of_si(self.kind(), self.si()), decimals),
            unit,
            self.kind(),
        )
    }

    /// As [`Quantity::show`]; a slope in words instead of a sign: "4.3° nose up".
    pub fn show_in_words(self, unit: Unit, decimals: u8) -> String {
        let text = self.show(unit, decimals);
        let is_slope = self.kind() == Kind::Slope;
        let is_level = !text.chars().any(|c| c.is_ascii_digit() && c != '0');
        match text.strip_prefix('-') {
            _ if !is_slope || is_level => text,
            Some(size) => format!("{size} nose down"),
            None => format!("{text} nose up"),
        }
    }

    /// The value in a unit and in one more, so that a slip of unit shows (P3):
    /// "0.05 bar = 5 kPa". `decimals` is what was typed or what is measured.
    pub fn echo(self, unit: Unit, decimals: u8) -> String {
        let unit = fitting(unit, self.kind());
        let first = self.show_in_words(unit, decimals);
        match unit.companion(self.kind()) {
            Some(other) => format!(
                "{first} = {}",
                self.show_in_words(other, carried(unit, decimals, other))
            ),
            None => first,
        }
    }

    /// The value in a unit with as few decimals as write it exactly, as a limit
    /// or a span is written: "2 bar", "0.25 bar". One that needs more than two
    /// decimals beyond the usual ones (185 mm in inches) gets the usual ones.
    pub fn show_plain(self, unit: Unit) -> String {
        let unit = fitting(unit, self.kind());
        let value = unit.of_si(self.kind(), self.si());
        let usual = unit.usual_decimals(self.kind());
        let is_exact = |places: &u8| {
            let scaled = value * 10f64.powi(i32::from(*places));
            (scaled - scaled.round()).abs() <= 1e-9 * scaled.abs()
        };
        let places = (0..=usual + 2).find(is_exact).unwrap_or(usual);
        self.show_some(unit, places)
    }

    /// Shown with at least so many decimals, and more while it would read as
    /// nothing though it is something.
    pub(super) fn show_some(self, unit: Unit, decimals: u8) -> String {
        let seems_nothing = |text: &str| !text.chars().any(|c| c.is_ascii_digit() && c != '0');
        let mut places = decimals;
        let mut text = self.show(unit, places);
        while self.si() != 0.0 && seems_nothing(&text) && places < MOST_PLACES {
            places += 1;
            text = self.show(unit, places);
        }
        text
    }
}

impl Unit {
    /// Decimals usual for a reading in this unit of the kind.
    pub fn usual_decimals(self, kind: Kind) -> u8 {
        match self {
            Unit::Bar
            | Unit::KgfPerSquareCentimetre
            | Unit::InchOfMercury
            | Unit::Volt
            | Unit::Foot
            | Unit::SquareInch
            | Unit::Hertz
            | Unit::LitrePerSecond
            | Unit::LitrePerMinute
            | Unit::CubicFootPerMinute
            | Unit::GramPerSecond
            | Unit::PoundPerMinute
            | Unit::LitrePerSecondBar
            | Unit::BarPerSecond
            | Unit::BarPerHour
            | Unit::PsiPerMinute
            | Unit::InchPerDegree
            | Unit::One => 2,
            Unit::Megapascal | Unit::Inch | Unit::Metre | Unit::Tonne | Unit::Kilonewton => 3,
            Unit::Percent if kind == Kind::Slope => 2,
            Unit::SquareMetre | Unit::CubicMetre | Unit::BarPerMinute => 4,
            Unit::Psi
            | Unit::Millimetre
            | Unit::Centimetre
            | Unit::Degree
            | Unit::Percent
            | Unit::MillimetrePerMetre
            | Unit::Celsius
            | Unit::Fahrenheit
            | Unit::Kelvin
            | Unit::MetrePerSecond
            | Unit::Litre
            | Unit::CubicInch
            | Unit::CubicFoot
            | Unit::NewtonPerMillimetre
            | Unit::PoundForcePerInch
            | Unit::RadianPerSecondSquared
            | Unit::MillimetrePerDegree
            | Unit::SquareCentimetre => 1,
            Unit::Millibar
            | Unit::Kilopascal
            | Unit::Pascal
            | Unit::ThirtySecond
            | Unit::ArcMinute
            | Unit::Millivolt
            | Unit::Kilogram
            | Unit::Pound
            | Unit::Newton
            | Unit::PoundForce
            | Unit::Second
            | Unit::Minute
            | Unit::Hour
            | Unit::KilometrePerHour
            | Unit::MilePerHour
            | Unit::RevPerMinute
            | Unit::Count
            | Unit::NewtonPerMetre
            | Unit::SquareMillimetre => 0,
        }
    }
}

fn fitting(unit: Unit, kind: Kind) -> Unit {
    if unit.fits(kind) {
        unit
    } else {
        kind.shown(super::kind::System::Metric)
    }
}

/// Decimals in `other` that carry what so many decimals in `unit` do.
pub(super) fn carried(unit: Unit, decimals: u8, other: Unit) -> u8 {
    let last_digit = 10f64.powi(-i32::from(decimals)) * unit.scale() / other.scale();
    places(last_digit, 0)
}

/// Decimals that show two significant digits of an uncertainty; the usual
/// number for none.
pub(super) fn places_for(expanded: Quantity, unit: Unit) -> u8 {
    let unit = fitting(unit, expanded.kind());
    let size = (expanded.si() / unit.scale()).abs();
    if size > 0.0 {
        places(size, 1)
    } else {
        unit.usual_decimals(expanded.kind())
    }
}

/// Decimals down to the first digit of `size`, and `further` digits more.
fn places(size: f64, further: i32) -> u8 {
    // A hair up, so that 0.1 kPa worked out as 0.0999… counts as 0.1.
    let first = (size * (1.0 + 1e-9)).log10().floor();
    let wanted = (-first + f64::from(further)).clamp(0.0, f64::from(MOST_PLACES));
    wanted as u8
}

/// Puts the symbol where people expect it: close after a number for degrees,
/// minutes and 32nds, else after a space.
fn with_symbol(number: &str, unit: Unit, kind: Kind) -> String {
    let symbol = unit.symbol_for(kind);
    let close = matches!(unit, Unit::Degree | Unit::ArcMinute | Unit::ThirtySecond);
    if symbol.is_empty() || close {
        format!("{number}{symbol}")
    } else {
        format!("{number} {symbol}")
    }
}

/// A finite number as decimal text, half away from zero.
pub(super) fn decimal(value: f64, decimals: u8) -> String {
    let decimals = decimals.min(MOST_PLACES);
    // One letter before the point, then DIGITS - 1 digits, then e and the power.
    let scientific = format!("{:.*e}", DIGITS - 1, value.abs());
    let (mantissa, power) = scientific.split_once('e').unwrap_or((&scientific, "0"));
    let power: i64 = power.parse().unwrap_or(0);
    let digits: Vec<u8> = mantissa
        .bytes()
        .filter(u8::is_ascii_digit)
        .map(|digit| digit - b'0')
        .collect();
    // Digits kept: those before the point and the decimals asked for.
    let kept = power + 1 + i64::from(decimals);
    let rounded = round_to(&digits, kept);
    let text = place_point(&rounded, usize::from(decimals));
    let is_zero = rounded.iter().all(|digit| *digit == 0);
    if value < 0.0 && !is_zero {
        format!("-{text}")
    } else {
        text
    }
}

/// The first `kept` digits, rounded half up, filled with zeros.
fn round_to(digits: &[u8], kept: i64) -> Vec<u8> {
    let Ok(kept) = usize::try_from(kept) else {
        return vec![0];
    };
    let mut out: Vec<u8> = digits
        .iter()
        .copied()
        .chain(std::iter::repeat(0))
        .take(kept)
        .collect();
    let mut carry = digits.get(kept).is_some_and(|next| *next >= 5);
    for digit in out.iter_mut().rev() {
        if !carry {
            break;
        }
        carry = *digit == 9;
        *digit = if carry { 0 } else { *digit + 1 };
    }
    if carry {
        out.insert(0, 1);
    }
    out
}

/// Digits with the point before the last `decimals` of them.
fn place_point(digits: &[u8], decimals: usize) -> String {
    let missing = (decimals + 1).saturating_sub(digits.len());
    let mut text: String = std::iter::repeat_n('0', missing)
        .chain(digits.iter().map(|digit| char::from(b'0' + digit)))
        .collect();
    if decimals > 0 {
        text.insert(text.len() - decimals, '.');
    }
    text
}
