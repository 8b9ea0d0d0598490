//! Gauges on thin hoses: they lag, and may be wrong.

use super::params::Params;

/// How fast the pressure in a gauge changes, Pa/s.
///
/// # Source
/// First-order lag: common practice for a gauge on a hose.
pub(super) fn rate(p: &Params, pressure: f64, lagged: f64) -> f64 {
    (pressure - p.p_atm - lagged) / p.tau_g
}

/// What the three gauges show, bar, of their lagged pressures in Pa.
pub(super) fn readings(p: &Params, lagged: [f64; 3]) -> [f64; 3] {
    let [left, right, tank] = lagged;
    let show = |off: f64, scale: f64, pa: f64| off + scale * pa / 1e5;
    [
        show(p.g_off[0], p.g_scale[0], left),
        show(p.g_off[1], p.g_scale[1], right),
        show(p.g_off[2], p.g_scale[2], tank),
    ]
}
