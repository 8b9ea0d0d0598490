//! Rough handling: commands and trucks at random. Few cases; `LEVELHAND_CASES` asks for
//! more.

use levelhand::rig::{Inputs, Params, Rig};
use proptest::prelude::*;

fn cases() -> ProptestConfig {
    let asked = std::env::var("LEVELHAND_CASES").ok();
    let cases = asked.and_then(|n| n.parse().ok()).unwrap_or(24);
    ProptestConfig {
        cases,
        failure_persistence: None,
        ..ProptestConfig::default()
    }
}

/// What a hand may do next, for how long in ms.
#[derive(Debug, Clone, Copy)]
struct Move {
    raise: [bool; 2],
    lower: [bool; 2],
    feed: bool,
    block: [Option<f64>; 2],
    stand: [Option<f64>; 2],
    lump: [Option<f64>; 2],
    ms: u32,
}

fn fitted(low: f64, high: f64) -> impl Strategy<Value = [Option<f64>; 2]> {
    let one = || prop::option::weighted(0.3, low..high);
    [one(), one()]
}

fn moves() -> impl Strategy<Value = Vec<Move>> {
    let one = (
        any::<[bool; 2]>(),
        any::<[bool; 2]>(),
        any::<bool>(),
        fitted(0.12, 0.25),
        fitted(0.60, 0.95),
        fitted(0.05, 0.20),
        1..1_500_u32,
    );
    let one = one.prop_map(|(raise, lower, feed, block, stand, lump, ms)| Move {
        raise,
        lower,
        feed,
        block,
        stand,
        lump,
        ms,
    });
    prop::collection::vec(one, 1..16)
}

/// A truck with every number off by up to a third, and some faults.
fn trucks() -> impl Strategy<Value = Params> {
    let factors = prop::array::uniform12(0.7..1.3_f64);
    let faults = prop::array::uniform8(prop_oneof![Just(0.0), 0.0..1.0_f64]);
    let lean = (
        -0.1..0.1_f64,
        -0.02..0.02_f64,
        0.48..0.51_f64,
        0.48..0.51_f64,
    );
    (any::<bool>(), factors, faults, lean).prop_map(|(four, by, fault, lean)| {
        let mut p = if four {
            Params::four_bellows()
        } else {
            Params::two_bellows()
        };
        for (symbol, by) in [
            "m_f", "i_f", "m_a", "i_a", "k_t", "v_ref", "v_t", "c_s", "c_e", "c_reb", "k_arb", "a0",
        ]
        .into_iter()
        .zip(by)
        {
            for number in p.numbers_mut(symbol).unwrap() {
                *number *= by;
            }
        }
        p.c_leak = [0.1 * fault[0], 0.0];
        p.c_sleak = [0.0, 0.1 * fault[1]];
        p.c_tleak = 0.3 * fault[2];
        p.c_x = 0.2 * fault[3];
        p.friction = [600.0 * fault[4], 300.0 * fault[5]];
        p.play = 0.006 * fault[6];
        p.n = 1.4 - 0.4 * fault[7];
        p.y_cg = lean.0;
        p.slope = lean.1;
        p.r_tyre = [lean.2, lean.3];
        p
    })
}

/// Does a move; nothing is put where it does not fit.
fn act(rig: &mut Rig, next: &Move) {
    let read = rig.readout();
    let fit = |wanted: [Option<f64>; 2], room: [f64; 2]| {
        let [left, right] = [0, 1].map(|side| {
            let fits = wanted[side].filter(|top| *top < room[side] - 0.003);
            fits.unwrap_or(0.0)
        });
        [left, right]
    };
    rig.inputs = Inputs {
        raise: next.raise,
        lower: next.lower,
        feed: next.feed,
        block: fit(next.block, read.height),
        stand: fit(next.stand, read.floor),
        lump: fit(next.lump, read.height),
    };
    rig.run(next.ms);
}

proptest! {
    #![proptest_config(cases())]

    #[test]
    fn whatever_is_done_the_rig_stays_in_bounds_and_its_ledger_closed(
        params in trucks(),
        (middle, apart) in (0.15..0.28_f64, -0.004..0.004_f64),
        moves in moves(),
    ) {
        prop_assert_eq!(params.fault(), None);
        let mut rig = Rig::at_heights(params, middle + apart, middle - apart);
        let mut twin = rig.clone();
        for next in &moves {
            act(&mut rig, next);
            let read = rig.readout();
            prop_assert!(rig.state.0.iter().all(|x| x.is_finite()), "{:?}", rig.state);
            for side in [0, 1] {
                prop_assert!((0.0..0.45).contains(&read.height[side]), "{read:?}");
                prop_assert!((-0.9..11.0).contains(&read.true_bar[side]), "{read:?}");
                prop_assert!((-150.0..250.0).contains(&read.temperature[side]), "{read:?}");
            }
            prop_assert!((0.0..1_023.5).contains(&read.counts), "{read:?}");
            prop_assert!(rig.ledger_error() <= 1e-12, "{}", rig.ledger_error());
        }
        for next in &moves {
            act(&mut twin, next);
        }
        prop_assert_eq!(rig.state.0.map(f64::to_bits), twin.state.0.map(f64::to_bits));
        prop_assert_eq!(rig, twin);
    }
}
