//! How the state changes: forces to accelerations, flows to pressures, pressures to
//! gauges. Knows no time and no step.

use super::bellows::{self, Bellows};
use super::contact;
use super::friction::Grip;
use super::gas::{self, Chamber, Open};
use super::gauge;
use super::params::{GRAVITY, Params};
use super::spot::Side;
use super::state::{Inputs, Moving, Pose, State};
use super::tyre;

/// Rates of all that the state holds, in its order, without friction: where a side
/// stuck is no part of the state. A [`super::Rig`] remembers it.
pub fn derivative(p: &Params, state: &State, inputs: &Inputs) -> [f64; 19] {
    rates(p, state, inputs, Grip::at(p, &state.pose()))
}

/// Rates of all that the state holds, its sides sticking where they do.
pub(super) fn rates(p: &Params, state: &State, inputs: &Inputs, grip: Grip) -> [f64; 19] {
    let pose = state.pose();
    let slope_tan = tangent(p.slope);
    let [left_air, right_air, tank_air] = state.air();
    let bellows = Side::BOTH.map(|side| bellows::side(p, pose.height(p, side.at(p.y_b))));
    let push = |side, bellows: Bellows, pressure| Push {
        side,
        bellows: (pressure - p.p_atm) * bellows.lift,
    };
    let pushes = [
        push(Side::Left, bellows[0], left_air.pressure),
        push(Side::Right, bellows[1], right_air.pressure),
    ];
    let drive = Drive {
        inputs,
        grip,
        pushes,
    };
    let [frame, frame_roll, axle, axle_roll] = accelerations(p, &pose, &drive, slope_tan);
    let chambers = [
        Chamber::new(left_air, bellows[0].volume, bellows[0].growth, p.g_w),
        Chamber::new(right_air, bellows[1].volume, bellows[1].growth, p.g_w),
        Chamber::new(tank_air, p.v_t, 0.0, p.g_t),
    ];
    let air = gas::rates(p, &open(p, inputs), &chambers);
    let [left, right, tank] = air.air;
    let [gl, gr, gt] = state.lagged();
    [
        pose.frame_rate,
        pose.frame_roll_rate,
        pose.axle_rate,
        pose.axle_roll_rate,
        frame,
        frame_roll,
        axle,
        axle_roll,
        left.0,
        left.1,
        right.0,
        right.1,
        tank.0,
        tank.1,
        gauge::rate(p, left_air.pressure, gl),
        gauge::rate(p, right_air.pressure, gr),
        gauge::rate(p, tank_air.pressure, gt),
        air.taken,
        air.given,
    ]
}

/// Tangent of the floor's slope; a level floor costs nothing.
pub(super) fn tangent(slope: f64) -> f64 {
    if slope == 0.0 { 0.0 } else { slope.tan() }
}

/// The air paths that are open.
fn open(p: &Params, inputs: &Inputs) -> Open {
    let path = |c: f64, is_open: bool, leak: f64| if is_open { c + leak } else { leak };
    Open {
        raise: Side::BOTH
            .map(|side| path(side.of(p.c_s), side.of(inputs.raise), side.of(p.c_sleak))),
        lower: Side::BOTH
            .map(|side| path(side.of(p.c_e), side.of(inputs.lower), side.of(p.c_leak))),
        feed: path(p.c_f, inputs.feed, 0.0),
    }
}

/// What the bellows of a side push with, N.
#[derive(Debug, Clone, Copy)]
struct Push {
    side: Side,
    bellows: f64,
}

/// What moves frame and axle, beside what they do themselves.
#[derive(Debug, Clone, Copy)]
struct Drive<'a> {
    inputs: &'a Inputs,
    grip: Grip,
    pushes: [Push; 2],
}

/// Accelerations of frame, frame roll, axle, axle roll.
///
/// # Source
/// Newton and Euler for two bodies with small angles; sums over both sides.
fn accelerations(p: &Params, pose: &Pose, drive: &Drive<'_>, slope_tan: f64) -> [f64; 4] {
    let inputs = drive.inputs;
    let (mut frame, mut frame_turn) = (0.0, 0.0);
    let (mut axle, mut axle_turn) = (0.0, 0.0);
    for Push { side, bellows } in drive.pushes {
        let damped = pose.height(p, side.at(p.y_d));
        for (force, y) in [
            (bellows, p.y_b),
            (damper(p, damped), p.y_d),
            (drive.grip.force(p, pose, side), p.y_d),
            (contact::block(p, pose, inputs, side), p.y_bl),
            (contact::lump(p, pose, inputs, side), p.y_bl),
            (contact::bump(p, pose, side), p.y_bp),
            (-contact::upper(p, pose, side), p.y_up),
        ] {
            let turn = side.at(y) * force;
            frame += force;
            frame_turn += turn;
            axle -= force;
            axle_turn -= turn;
        }
        let stand = contact::stand(p, pose, inputs, side, slope_tan);
        frame += stand;
        frame_turn += side.at(p.y_st) * stand;
        let tyre = tyre::force(p, pose, side, slope_tan);
        axle += tyre;
        axle_turn += side.at(p.y_t) * tyre;
    }
    let bar = -p.k_arb * (pose.frame_roll - pose.axle_roll)
        - p.c_arb * (pose.frame_roll_rate - pose.axle_roll_rate);
    let weight = p.m_f * GRAVITY;
    [
        (frame - weight) / p.m_f,
        (frame_turn + bar - weight * p.y_cg) / p.i_f,
        (axle - p.m_a * GRAVITY) / p.m_a,
        (axle_turn - bar) / p.i_a,
    ]
}

/// Force of a side's damper on the frame, N.
fn damper(p: &Params, s: Moving) -> f64 {
    let c = if s.rate > 0.0 { p.c_reb } else { p.c_bump };
    -c * s.rate
}
