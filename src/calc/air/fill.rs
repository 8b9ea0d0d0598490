//! How long a bellows takes to fill and to empty through a valve.
//!
//! The volume stays (the frame sits on blocks or hangs in its stop) and the air stays
//! at one temperature. With r the ratio of the lower to the higher absolute pressure
//! and the time τ = V / (C p0 √(T/T0)), ISO 6358 and p V = m R T give
//!
//! - filling from p1: dr/dt = share(r) / τ. Up to b that is t = τ Δr; from b on, with
//!   s = (r − b) / (1 − b), t = τ (1 − b) Δ asin s;
//! - emptying to p2, u = p / p2: du/dt = −u share(1/u) / τ. Over 1/b that is
//!   t = τ Δ ln u; from there on t = τ (1 − b) ∫ du / √((u − 1)(a u + 1)), a = 1 − 2b,
//!   and the integral from 1 to u is 2 asinh √(a y) / √a with y = (u − 1) / (1 + a)
//!   (asin for a < 0, 2 √y for a = 0).

use uom::si::f64::{ThermodynamicTemperature, Time, Volume};

use super::SUBJECT;
use super::flow::{CONDUCTANCE, CRITICAL, FLOW_AIR_K, FLOW_AIR_PA, Valve};
use super::gas::{NO_VACUUM, OUTSIDE, outside, warmth};
use crate::calc::amount::{Absolute, Amount, Gauge};
use crate::calc::error::Snag;
use crate::calc::sum::{Input, Output, Sum};
use crate::quantity::Kind;

/// A volume behind a valve.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Line {
    /// The valve and its line.
    pub valve: Valve,
    /// The volume.
    pub volume: Volume,
    /// The temperature of the air.
    pub temperature: ThermodynamicTemperature,
}

impl Line {
    /// Time in which the sonic flow fills the volume with the pressure before it.
    fn scale(&self) -> f64 {
        let warmer = (self.temperature.si() / FLOW_AIR_K).sqrt();
        self.volume.si() / (self.valve.conductance.si() * FLOW_AIR_PA * warmer)
    }
}

/// How long the volume takes from one pressure to the other, filled from a reservoir
/// that keeps its pressure.
///
/// # Errors
/// An end under the start, or over the reservoir.
///
/// # Source
/// ISO 6358-1 and p V = m R T at one temperature; our derivation, at the head of this
/// file.
pub fn fill_time(
    line: &Line,
    reservoir: Absolute,
    from: Absolute,
    to: Absolute,
) -> Result<Time, Snag> {
    if to > reservoir {
        return Err(Snag::new("to", "a reservoir can't fill higher than itself"));
    }
    if to < from {
        return Err(Snag::new("to", "filling ends over where it starts"));
    }
    let b = line.valve.critical.si();
    let (start, end) = (from.si() / reservoir.si(), to.si() / reservoir.si());
    let sonic = (end.min(b) - start.min(b)).max(0.0);
    let angle = |ratio: f64| ((ratio.max(b) - b) / (1.0 - b)).min(1.0).asin();
    let subsonic = (1.0 - b) * (angle(end) - angle(start));
    Ok(Time::of_si(line.scale() * (sonic + subsonic)))
}

/// How long the volume takes from one pressure to the other, let out to the air.
///
/// # Errors
/// An end over the start, or under the air outside.
///
/// # Source
/// As [`fill_time`].
pub fn vent_time(
    line: &Line,
    outside: Absolute,
    from: Absolute,
    to: Absolute,
) -> Result<Time, Snag> {
    if to < outside {
        return Err(Snag::new("to", "venting ends at the pressure outside"));
    }
    if to > from {
        return Err(Snag::new("to", "venting ends under where it starts"));
    }
    let b = line.valve.critical.si();
    let (start, end) = (from.si() / outside.si(), to.si() / outside.si());
    let edge = if b > 0.0 { 1.0 / b } else { f64::INFINITY };
    let sonic = if start > edge {
        (start / end.max(edge)).ln()
    } else {
        0.0
    };
    let subsonic =
        (1.0 - b) * (vent_integral(start.min(edge), b) - vent_integral(end.min(edge), b));
    Ok(Time::of_si(line.scale() * (sonic + subsonic)))
}

/// ∫ du / √((u − 1)(a u + 1)) from 1 to u, a = 1 − 2b.
fn vent_integral(u: f64, b: f64) -> f64 {
    let a = 1.0 - 2.0 * b;
    let y = (u - 1.0).max(0.0) / (1.0 + a);
    let z = a * y;
    // asinh √z / √z goes over into asin √−z / √−z at 0, where both are 1.
    let bend = if z.abs() < 1e-12 {
        1.0
    } else if z > 0.0 {
        z.sqrt().asinh() / z.sqrt()
    } else {
        let root = (-z).sqrt();
        root.min(1.0).asin() / root
    };
    2.0 * y.sqrt() * bend
}

const VOLUME: Input = Input::one("volume", "volume that is filled or emptied", Kind::Volume)
    .least(1e-5, "some air is in it, at least 0.01 dm³");
const TIME: Output = Output::of("time", "time that it takes", Kind::Time);

const fn gauge(key: &'static str, title: &'static str) -> Input {
    Input::one(key, title, Kind::GaugePressure).least(0.0, NO_VACUUM)
}

/// Time to fill.
pub(in crate::calc) static FILL_TIME: Sum = Sum {
    name: "fill_time",
    subject: SUBJECT,
    title: "how long a bellows takes to fill through a valve",
    formula: &[
        "τ = V / (C × 1 bar × √(T / 293.15 K)), r = pressure / reservoir, both absolute",
        "up to r = b: τ × (r2 − r1)",
        "over b: τ × (1 − b) × (asin s2 − asin s1), s = (r − b) / (1 − b)",
    ],
    source: "ISO 6358-1 and the gas law at one temperature; our derivation",
    range: "the reservoir keeps its pressure, the volume stays (on blocks or at a stop), the air keeps its temperature; a quick fill warms the air and ends sooner",
    inputs: &[
        CONDUCTANCE,
        CRITICAL,
        VOLUME,
        gauge("reservoir", "reservoir pressure"),
        gauge("from", "pressure at the start"),
        gauge("to", "pressure at the end"),
        warmth("temperature", "temperature of the air"),
        OUTSIDE,
    ],
    outputs: &[TIME],
    example: &[
        ("conductance", "2 dm³/(s·bar)"),
        ("critical", "0.35"),
        ("volume", "20 dm³"),
        ("reservoir", "8.5 bar"),
        ("from", "0 bar"),
        ("to", "1.30 bar"),
        ("temperature", "20 °C"),
    ],
    picture: None,
    work: |given, out| {
        let line = Line {
            valve: Valve {
                conductance: given.get(0),
                critical: given.get(1),
            },
            volume: given.get(2),
            temperature: given.get(6),
        };
        let air = outside(given, 7);
        let at = |place| given.get::<Gauge>(place).over(air);
        out.set(0, fill_time(&line, at(3), at(4), at(5))?);
        Ok(())
    },
};

/// Time to empty.
pub(in crate::calc) static VENT_TIME: Sum = Sum {
    name: "vent_time",
    subject: SUBJECT,
    title: "how long a bellows takes to empty through a valve to the outside",
    formula: &[
        "τ = V / (C × 1 bar × √(T / 293.15 K)), u = pressure / outside, both absolute",
        "over u = 1/b: τ × ln(u1 / u2)",
        "under it: τ × (1 − b) × (I(u1) − I(u2)), I(u) = 2 asinh √(a y) / √a, a = 1 − 2b, y = (u − 1) / (1 + a)",
    ],
    source: "ISO 6358-1 and the gas law at one temperature; our derivation",
    range: "the volume stays (on blocks or at a stop) and the air keeps its temperature; a bellows that goes down under its load keeps its pressure until the frame is caught",
    inputs: &[
        CONDUCTANCE,
        CRITICAL,
        VOLUME,
        gauge("from", "pressure at the start"),
        gauge("to", "pressure at the end"),
        warmth("temperature", "temperature of the air"),
        OUTSIDE,
    ],
    outputs: &[TIME],
    example: &[
        ("conductance", "2 dm³/(s·bar)"),
        ("critical", "0.35"),
        ("volume", "20 dm³"),
        ("from", "1.30 bar"),
        ("to", "0.10 bar"),
        ("temperature", "20 °C"),
    ],
    picture: None,
    work: |given, out| {
        let line = Line {
            valve: Valve {
                conductance: given.get(0),
                critical: given.get(1),
            },
            volume: given.get(2),
            temperature: given.get(5),
        };
        let air = outside(given, 6);
        let at = |place| given.get::<Gauge>(place).over(air);
        out.set(0, vent_time(&line, air, at(3), at(4))?);
        Ok(())
    },
};
