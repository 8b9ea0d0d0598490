//! What physics demands, and no reference is needed for: sums that stay, places where a
//! truck comes to rest, swings and flows that have a formula.

use levelhand::rig::{GRAVITY, Inputs, Params, R_AIR, Rig, T_REF, flow};

use super::{level, lower, near, raise, run};

const BAR: f64 = 1e5;

#[test]
fn with_shut_valves_not_a_gram_of_air_comes_or_goes() {
    let mut rig = Rig::at_heights(Params::two_bellows(), 0.21, 0.19);
    rig.state.0[4] = 0.2;
    rig.run(10_000);
    near("ledger", rig.ledger_error(), 0.0, 0.0);
}

#[test]
fn with_valves_at_work_the_ledger_stays_closed() {
    let mut params = Params::two_bellows();
    params.c_leak = [0.03, 0.0];
    params.c_sleak = [0.0, 0.01];
    params.c_tleak = 0.15;
    params.c_x = 0.02;
    let mut rig = level(params, 0.19);
    for inputs in [raise(), lower(), raise(), Inputs::default()] {
        let feed = Inputs {
            feed: true,
            ..inputs
        };
        run(&mut rig, feed, 10.0);
    }
    let read = rig.readout();
    assert!(read.ledger_in > 0.05 && read.ledger_out > 0.05);
    assert!(rig.ledger_error() <= 1e-12, "{}", rig.ledger_error());
}

/// A truck that keeps all its energy: nothing damps and nothing passes warmth.
fn undamped(mut params: Params) -> Params {
    params.c_t = 0.0;
    params.c_bump = 0.0;
    params.c_reb = 0.0;
    params.c_arb = 0.0;
    params.g_w = 0.0;
    params.g_t = 0.0;
    params
}

/// Volume of a side, m³, out of its air: V = m R T / p.
fn volumes(rig: &Rig) -> [f64; 2] {
    let [left, right] = rig.readout().temperature.map(|c| c + 273.15);
    let x = &rig.state.0;
    [x[8] * R_AIR * left / x[9], x[10] * R_AIR * right / x[11]]
}

/// All energy of a truck on its tyres, J: of motion, of weight, of tyres and bar, of the
/// air inside against that outside.
fn energy(rig: &Rig) -> f64 {
    let (p, x) = (&rig.params, &rig.state.0);
    let moving =
        p.m_f * x[4] * x[4] + p.i_f * x[5] * x[5] + p.m_a * x[6] * x[6] + p.i_a * x[7] * x[7];
    let weight = GRAVITY * (p.m_f * (x[0] + p.y_cg * x[1]) + p.m_a * x[2]);
    let tyres: f64 = [p.y_t, -p.y_t]
        .iter()
        .zip(p.r_tyre)
        .map(|(y, radius)| p.k_t * (radius - x[2] - y * x[3]).powi(2))
        .sum();
    let bar = p.k_arb * (x[1] - x[3]).powi(2);
    let [left, right] = volumes(rig);
    let air = (x[9] * left + x[11] * right) / (p.n - 1.0) + p.p_atm * (left + right);
    (moving + tyres + bar) / 2.0 + weight + air
}

#[test]
fn a_minute_of_swinging_without_dampers_keeps_its_energy() {
    let mut rig = level(undamped(Params::two_bellows()), 0.19);
    let rest = energy(&rig);
    // Along the two slow ways to swing, the axle moving with the frame.
    let p = rig.params.clone();
    let tyres = 2.0 * p.k_t;
    rig.state.0[4] = 0.10;
    rig.state.0[6] = 0.10 * share(1.679_00, p.m_f, p.m_a, tyres);
    rig.state.0[5] = 0.20;
    rig.state.0[7] = 0.20 * share(3.107_91, p.i_f, p.i_a, tyres * p.y_t * p.y_t);
    let start = energy(&rig);
    near("energy put in, J", start - rest, 20.4, 0.5);
    let mut worst = 0.0_f64;
    let mut least_moving = f64::MAX;
    for _ in 0..6_000 {
        rig.run(10);
        worst = worst.max((energy(&rig) - start).abs());
        least_moving = least_moving.min(rig.state.0[4].abs());
    }
    assert!(least_moving < 0.01, "it swings to and fro");
    assert!(worst < 3e-7 * (start - rest), "drift of {worst} J");
}

#[test]
fn a_pushed_truck_comes_back_to_the_height_that_its_air_carries() {
    for (params, wanted) in [
        (Params::two_bellows(), [1.273_726, 1.300_568, 1.352_500]),
        (Params::four_bellows(), [1.351_425, 1.377_432, 1.426_099]),
    ] {
        for (height, bar) in [0.150, 0.190, 0.250].into_iter().zip(wanted) {
            let mut params = params.clone();
            params.n = 1.0;
            let mut rig = level(params, height);
            rig.state.0[4] = 0.05;
            rig.state.0[6] = -0.02;
            rig.run(100);
            let moved = (rig.readout().height[0] - height).abs();
            assert!(moved > 1e-3, "it was pushed by {moved} m");
            rig.run(40_000);
            let read = rig.readout();
            near("height", read.height[0], height, 1e-9);
            near("pressure", read.true_bar[0], bar, 6e-7);
        }
    }
}

#[test]
fn an_emptied_truck_lies_on_what_is_under_it() {
    let params = Params::two_bellows();
    let weight = params.m_f * GRAVITY / 2.0;
    let mut blocks = lower();
    blocks.block = [0.190; 2];
    let mut rig = level(params.clone(), 0.20);
    run(&mut rig, blocks, 60.0);
    let read = rig.readout();
    let squashed = 0.190 - weight / params.k_bl;
    near("on blocks", read.height[0] * 1e3, 189.714, 0.02);
    near("on blocks", read.height[1], squashed, 2e-5);
    near("block", read.block[0], weight, 150.0);

    let mut rig = level(params.clone(), 0.20);
    run(&mut rig, lower(), 90.0);
    let read = rig.readout();
    near("on bump stops", read.height[0] * 1e3, 98.124, 0.1);
    near("bump stop", read.bump[0], weight, 100.0);

    let tyre = (params.m_f + params.m_a) * GRAVITY / 2.0;
    let axle = rig.state.0[2];
    near("tyre sag", (0.505 - axle) * 1e3, 8.737, 1e-3);
    near("tyre", read.tyre[0], tyre, 0.1);
}

/// Swings in a second of a small motion of this place of the state, of heave (0) or
/// roll (1), with the axle moving along by this share.
fn frequency(params: &Params, height: f64, place: usize, share: f64) -> f64 {
    let mut rig = level(params.clone(), height);
    let middle = rig.state.0[place];
    rig.state.0[place + 4] = 1e-4;
    rig.state.0[place + 6] = share * 1e-4;
    let mut crossings = Vec::new();
    let mut before = 0.0;
    for _ in 0..60_000 {
        rig.step();
        let now = rig.state.0[place] - middle;
        if before < 0.0 && now >= 0.0 {
            crossings.push(rig.time() - Rig::STEP * now / (now - before));
        }
        before = now;
    }
    let swings = (crossings.len() - 1) as f64;
    swings / (crossings.last().unwrap() - crossings[0])
}

/// How far the axle moves for each way of the frame in the slower of two ways to swing,
/// out of the motion of both against the tyres.
fn share(hertz: f64, frame: f64, axle: f64, tyres: f64) -> f64 {
    let w2 = (hertz * std::f64::consts::TAU).powi(2);
    w2 * frame / (tyres - w2 * axle)
}

#[test]
fn a_truck_heaves_and_rolls_as_often_as_its_stiffness_says() {
    for (params, height, heave, roll) in [
        (Params::two_bellows(), 0.190, 1.679_00, 3.107_91),
        (Params::two_bellows(), 0.250, 1.514_28, 3.067_81),
        (Params::four_bellows(), 0.190, 1.648_01, 3.126_56),
    ] {
        let p = undamped(params);
        let along = share(heave, p.m_f, p.m_a, 2.0 * p.k_t);
        near("heave", frequency(&p, height, 0, along), heave, 2e-5);
        let along = share(roll, p.i_f, p.i_a, 2.0 * p.k_t * p.y_t * p.y_t);
        near("roll", frequency(&p, height, 1, along), roll, 2e-5);
    }
}

#[test]
fn the_heave_frequency_is_that_of_the_air_springs_formula_in_series_with_the_tyres() {
    let p = undamped(Params::two_bellows());
    let pressure = p.p_atm + p.m_f * GRAVITY / (2.0 * p.nb * p.i_b * p.a0);
    let air = p.n * pressure * p.a0 * p.a0 / p.v_ref - (pressure - p.p_atm) * p.a1;
    let side = p.nb * p.i_b * p.i_b * air;
    near("stiffness of a side", side, 103.96e3, 5.0);
    // The lower root of the two masses on two springs.
    let (k, kt) = (2.0 * side, 2.0 * p.k_t);
    let sum = k / p.m_f + (k + kt) / p.m_a;
    let product = k * kt / (p.m_f * p.m_a);
    let w2 = (sum - (sum * sum - 4.0 * product).sqrt()) / 2.0;
    let hertz = w2.sqrt() / std::f64::consts::TAU;
    near("two masses", hertz, 1.679_00, 1e-5);
    let along = share(hertz, p.m_f, p.m_a, kt);
    near("swung", frequency(&p, 0.190, 0, along), hertz, 1e-5);
}

#[test]
fn a_reservoir_blows_down_along_its_closed_form_while_the_hole_is_sonic() {
    for n in [1.4, 1.0] {
        let mut params = Params::two_bellows();
        params.n = n;
        params.g_t = 0.0;
        params.c_tleak = 3.0;
        let (p0, volume, critical) = (params.p_shop, params.v_t, params.b_e);
        let k = 3.0e-8 * (BAR / (R_AIR * T_REF)) * R_AIR * T_REF / volume;
        let mut rig = level(params, 0.19);
        let mut rows = 0;
        loop {
            rig.run(50);
            let found = rig.state.0[13];
            if found < BAR / critical {
                break;
            }
            let t = rig.time();
            let share = if n > 1.0 {
                (1.0 + (n - 1.0) * k * t / 2.0).powf(-2.0 * n / (n - 1.0))
            } else {
                (-k * t).exp()
            };
            near("share left", found / p0, share, 1e-12);
            rows += 1;
        }
        assert!(rows > 20, "{rows} rows were looked at");
    }
}

#[test]
fn a_gauge_closes_in_on_a_step_of_pressure_with_its_lag() {
    let mut rig = level(Params::two_bellows(), 0.19);
    let wanted = rig.readout().gauge[2];
    rig.state.0[16] = 0.0;
    rig.run(600);
    let left = 1.0 - rig.readout().gauge[2] / wanted;
    near(
        "left of the step after one lag",
        left,
        (-1.0_f64).exp(),
        1e-9,
    );
}

#[test]
fn gauges_show_their_own_errors_and_the_truth_stays() {
    let mut params = Params::two_bellows();
    params.g_off = [0.20, 0.0, 0.0];
    params.g_scale = [1.0, 0.85, 1.0];
    let read = level(params, 0.19).readout();
    let sound = level(Params::two_bellows(), 0.19).readout();
    near("offset", read.gauge[0], sound.gauge[0] + 0.20, 1e-12);
    near("scale", read.gauge[1], sound.gauge[1] * 0.85, 1e-12);
    assert_eq!(
        read.true_bar.map(f64::to_bits),
        sound.true_bar.map(f64::to_bits)
    );
}

#[test]
fn stands_carry_the_frame_from_the_floor_and_the_axle_hangs_free() {
    let params = Params::two_bellows();
    let weight = params.m_f * GRAVITY / 2.0;
    let mut rig = level(params.clone(), 0.25);
    let mut standing = lower();
    let under = rig.readout().floor[0];
    standing.stand = [under - 0.005; 2];
    run(&mut rig, standing, 60.0);
    let read = rig.readout();
    near("stand", read.stand[0], weight, 150.0);
    near("block", read.block[0], 0.0, 0.0);
    // The tyres carry the axle alone.
    near("tyre", read.tyre[0], params.m_a * GRAVITY / 2.0, 150.0);
    near("frame", read.floor[0], under - 0.005, 5e-4);
}

#[test]
fn a_stand_under_one_side_tilts_the_frame_about_it() {
    let mut rig = level(Params::two_bellows(), 0.25);
    let mut standing = lower();
    standing.stand = [rig.readout().floor[0] - 0.005, 0.0];
    run(&mut rig, standing, 30.0);
    let read = rig.readout();
    assert!(read.roll > 0.02, "roll {}", read.roll);
    assert!(read.stand[0] > 5_000.0 && read.stand[1] == 0.0);
}

#[test]
fn something_in_the_gap_holds_its_side_up() {
    let mut rig = level(Params::two_bellows(), 0.20);
    let mut squeezed = lower();
    squeezed.lump = [0.150, 0.0];
    run(&mut rig, squeezed, 60.0);
    let read = rig.readout();
    assert!(
        read.lump[0] > 3_000.0 && read.lump[1] == 0.0,
        "{:?}",
        read.lump
    );
    let deep = 0.150 - read.height[0];
    near("its own stiffness", read.lump[0], 1.5e6 * deep, 1.0);
    assert!(read.height[0] - read.height[1] > 0.02);
}

#[test]
fn blocks_stands_and_lumps_that_touch_nothing_change_nothing() {
    let mut alone = level(Params::two_bellows(), 0.25);
    let mut beside = alone.clone();
    let mut inputs = raise();
    run(&mut alone, inputs, 1.0);
    inputs.block = [0.190; 2];
    inputs.stand = [0.700; 2];
    inputs.lump = [0.150; 2];
    run(&mut beside, inputs, 1.0);
    assert_eq!(alone.state, beside.state);
}

/// Raises from below, or lowers from above, to about ride height, then waits.
fn come_to_rest(friction: f64, from: f64, moved: Inputs, seconds: f64) -> [f64; 2] {
    let mut params = Params::two_bellows();
    params.friction = [friction; 2];
    let mut rig = level(params, from);
    run(&mut rig, moved, seconds);
    run(&mut rig, Inputs::default(), 10.0);
    let soon = rig.readout().height[0];
    rig.run(60_000);
    [soon, rig.readout().height[0]]
}

#[test]
fn friction_leaves_a_frame_some_millimetres_short_of_where_it_was_going_and_there_it_stays() {
    for (from, moved, seconds, sense) in [(0.170, raise(), 0.9, -1.0), (0.215, lower(), 0.82, 1.0)]
    {
        let free = come_to_rest(0.0, from, moved, seconds);
        let stuck = come_to_rest(300.0, from, moved, seconds);
        let short = sense * (stuck[1] - free[1]) * 1e3;
        assert!((2.0..4.5).contains(&short), "{short} mm from {from}");
        near("it stays", stuck[1], stuck[0], 3e-4);
    }
}

#[test]
fn friction_takes_energy_and_gives_none() {
    let mut params = undamped(Params::two_bellows());
    params.friction = [300.0; 2];
    let mut rig = level(params, 0.19);
    rig.state.0[4] = 0.2;
    let start = energy(&rig);
    let mut before = start;
    for _ in 0..50 {
        rig.run(100);
        let now = energy(&rig);
        // What its give holds for a moment: F d / 2 a side.
        assert!(
            now < before + 2.0 * 300.0 * 3e-4,
            "{now} J after {before} J"
        );
        before = before.min(now);
    }
    assert!(start - before > 20.0, "lost {} J of 35", start - before);
}

#[test]
fn a_floor_that_slopes_leaves_the_heights_over_the_axle_as_they_are() {
    let mut params = Params::two_bellows();
    params.slope = 0.0175;
    let mut rig = level(params, 0.19);
    rig.settle(2.0);
    let read = rig.readout();
    near("left", read.height[0], 0.19, 1e-9);
    near("right", read.height[1], 0.19, 1e-9);
    near("roll", read.roll, 0.0175_f64.tan(), 1e-9);
    near("floor", read.floor[0], read.floor[1], 1e-9);
}

#[test]
fn a_held_raise_valve_goes_up_to_the_reservoirs_pressure_and_no_further() {
    let mut rig = level(Params::two_bellows(), 0.30);
    let mut inputs = raise();
    inputs.feed = true;
    run(&mut rig, inputs, 120.0);
    let read = rig.readout();
    near("pressure", read.true_bar[0], 8.2, 0.2);
    near("height, mm", read.height[0] * 1e3, 324.0, 2.0);
    near("counts", read.counts, 921.0, 4.0);
    assert!(read.true_bar[0] < read.reservoir_bar + 1e-6);
    assert!(read.upper[0] > 10_000.0);
}

#[test]
fn the_flow_of_a_half_open_path_is_half() {
    let whole = flow(1.0, 0.3, 9.0e5, 300.0, 5.0e5, 0.995);
    near(
        "half",
        flow(0.5, 0.3, 9.0e5, 300.0, 5.0e5, 0.995),
        whole / 2.0,
        1e-15,
    );
}
