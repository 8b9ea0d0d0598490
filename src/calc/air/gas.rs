//! Air outside and air locked in.

use uom::si::f64::{Length, Pressure, TemperatureInterval, ThermodynamicTemperature};

use super::SUBJECT;
use crate::calc::amount::{AIR_OUTSIDE_PA, Absolute, Amount, Gauge};
use crate::calc::error::Snag;
use crate::calc::given::Inputs;
use crate::calc::sum::{Input, Output, Sum};
use crate::quantity::Kind;

/// The pressure of the air at a height over the sea: p = 101 325 Pa ×
/// (1 − 2.25577·10⁻⁵ h)^5.25588, h in m.
///
/// # Errors
/// Over the layer of air that this is for.
///
/// # Source
/// Standard atmosphere, lowest layer (check values: C).
pub fn outside_pressure(height: Length) -> Result<Absolute, Snag> {
    let share = 1.0 - 2.255_77e-5 * height.si();
    if share <= 0.0 {
        return Err(Snag::new(
            "height",
            "this is for the lowest layer of the air",
        ));
    }
    Ok(Absolute::of_si(AIR_OUTSIDE_PA * share.powf(5.255_88)))
}

/// The pressure of air that is shut in, at another temperature and the same volume.
///
/// Takes and gives pressure over vacuum. A gauge pressure does not fit:
///
/// ```compile_fail
/// use levelhand::calc::air::locked_pressure;
/// use levelhand::calc::{Amount, Gauge};
/// let (warm, cool) = (Amount::of_si(303.15), Amount::of_si(300.15));
/// let _after = locked_pressure(Gauge::of_si(5e5), warm, cool);
/// ```
///
/// # Example
/// ```
/// use levelhand::calc::air::locked_pressure;
/// use levelhand::calc::{Amount, Gauge};
/// let (warm, cool) = (Amount::of_si(303.15), Amount::of_si(300.15));
/// let after = locked_pressure(Gauge::of_si(5e5).absolute(), warm, cool);
/// assert!((after.gauge().si() - 494_050.0).abs() < 10.0);
/// ```
///
/// # Source
/// Ideal gas at one volume: p2/p1 = T2/T1.
pub fn locked_pressure(
    pressure: Absolute,
    before: ThermodynamicTemperature,
    after: ThermodynamicTemperature,
) -> Absolute {
    Absolute(pressure.0 * (after.si() / before.si()))
}

/// How much cooler locked air must get to look like a leak: ΔT = T Δp / p.
///
/// # Source
/// As [`locked_pressure`].
pub fn cooling_for_drop(
    pressure: Absolute,
    temperature: ThermodynamicTemperature,
    drop: Pressure,
) -> TemperatureInterval {
    TemperatureInterval::of_si(temperature.si() * drop.si() / pressure.si())
}

/// The air outside where it was given, else the standard one.
pub(super) fn outside(given: &Inputs<'_>, at: usize) -> Absolute {
    given.maybe(at).unwrap_or(Absolute::of_si(AIR_OUTSIDE_PA))
}

/// The input for the air outside.
pub(super) const OUTSIDE: Input =
    Input::one("outside", "air pressure outside", Kind::AbsolutePressure)
        .optional()
        .within(
            3e4,
            1.2e5,
            "air outside has 0.3 to 1.2 bar abs; left out it is 1.01325 bar abs",
        );

/// Why a gauge pressure is not far under zero.
pub(super) const NO_VACUUM: &str =
    "there is no pressure under vacuum, and bellows and reservoirs are over the air outside";

/// A temperature of air.
pub(super) const fn warmth(key: &'static str, title: &'static str) -> Input {
    Input::one(key, title, Kind::Temperature).within(
        200.0,
        400.0,
        "air in a workshop or a reservoir, −73 °C to 127 °C",
    )
}

/// Air pressure by altitude.
pub(in crate::calc) static OUTSIDE_PRESSURE: Sum = Sum {
    name: "outside_pressure",
    subject: SUBJECT,
    title: "the pressure of the air outside at a height over the sea",
    formula: &["outside = 101325 Pa × (1 − 2.25577·10⁻⁵ × height)^5.25588, height in m"],
    source: "standard atmosphere, lowest layer",
    range: "−500 m to 11 000 m; weather changes it by some 3 % either way",
    inputs: &[
        Input::one("height", "height over the sea", Kind::Length).within(
            -500.0,
            11_000.0,
            "the lowest layer of the air ends at 11 000 m",
        ),
    ],
    outputs: &[Output::of(
        "outside",
        "air pressure outside",
        Kind::AbsolutePressure,
    )],
    example: &[("height", "500 m")],
    picture: None,
    work: |given, out| {
        out.set(0, outside_pressure(given.get(0))?);
        Ok(())
    },
};

/// Gauge to absolute.
pub(in crate::calc) static ABSOLUTE_PRESSURE: Sum = Sum {
    name: "absolute_pressure",
    subject: SUBJECT,
    title: "the absolute pressure that a gauge reading means",
    formula: &["absolute = gauge + outside"],
    source: "definition",
    range: "1.01325 bar abs outside where nothing else is given",
    inputs: &[
        Input::one("pressure", "gauge pressure", Kind::GaugePressure).least(-1e5, NO_VACUUM),
        OUTSIDE,
    ],
    outputs: &[Output::of(
        "absolute",
        "absolute pressure",
        Kind::AbsolutePressure,
    )],
    example: &[("pressure", "8.5 bar"), ("outside", "0.95461 bar abs")],
    picture: None,
    work: |given, out| {
        out.set(0, given.get::<Gauge>(0).over(outside(given, 1)));
        Ok(())
    },
};
