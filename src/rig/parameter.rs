//! The numbers of the physics by the names that documents use.
//!
//! Must not know: what a truck or a fault does with them.

use super::params::Params;

/// One number of the physics.
#[derive(Debug, Clone, Copy)]
pub struct Parameter {
    /// Its name in documents, the unit last.
    pub name: &'static str,
    /// Its symbol in the model; left and right share one.
    pub(super) symbol: &'static str,
    /// Least that is taken.
    pub least: f64,
    /// Most that is taken.
    pub most: f64,
    field: fn(&mut Params) -> &mut f64,
}

impl Parameter {
    /// The number of that name.
    pub fn named(name: &str) -> Option<&'static Self> {
        PARAMETERS.iter().find(|p| p.name == name)
    }

    /// Puts a value in.
    pub fn set(&self, params: &mut Params, value: f64) {
        *(self.field)(params) = value;
    }

    /// The value.
    pub fn get(&self, params: &Params) -> f64 {
        let mut copy = params.clone();
        *(self.field)(&mut copy)
    }
}

macro_rules! parameters {
    ($($name:literal $least:literal .. $most:literal : $($field:tt).+ $([$index:tt])? ;)*) => {
        /// Every number that a document can set, in the order of the model.
        pub const PARAMETERS: &[Parameter] = &[$(Parameter {
            name: $name,
            symbol: stringify!($($field).+),
            least: $least,
            most: $most,
            field: |p| &mut p.$($field).+ $([$index])?,
        }),*];
    };
}

parameters! {
    "outside_pressure_pa" 6.0e4 .. 1.1e5: p_atm;
    "outside_temperature_k" 240.0 .. 330.0: t_amb;
    "gas_exponent" 1.0 .. 1.4: n;
    "frame_mass_kg" 300.0 .. 12000.0: m_f;
    "frame_inertia_kg_m2" 50.0 .. 8000.0: i_f;
    "load_left_m" -0.5 .. 0.5: y_cg;
    "axle_mass_kg" 300.0 .. 3000.0: m_a;
    "axle_inertia_kg_m2" 50.0 .. 3000.0: i_a;
    "seat_to_axle_m" 0.0 .. 0.4: d_seat;
    "tyre_radius_left_m" 0.3 .. 0.7: r_tyre[0];
    "tyre_radius_right_m" 0.3 .. 0.7: r_tyre[1];
    "tyre_stiffness_n_per_m" 2.0e5 .. 1.0e7: k_t;
    "tyre_damping_ns_per_m" 0.0 .. 3.0e4: c_t;
    "half_track_m" 0.5 .. 1.3: y_t;
    "floor_slope_rad" -0.1 .. 0.1: slope;
    "bellows_a_side" 1.0 .. 4.0: nb;
    "bellows_lever_ratio" 0.5 .. 2.0: i_b;
    "bellows_off_middle_m" 0.2 .. 0.8: y_b;
    "reference_height_m" 0.05 .. 0.4: s_ref;
    "bellows_reference_height_m" 0.1 .. 0.6: h_ref;
    "bellows_area_m2" 0.01 .. 0.2: a0;
    "bellows_area_slope_m" -0.5 .. 0.5: a1;
    "bellows_area_square" -5.0 .. 5.0: a2;
    "bellows_area_cube_per_m" -20.0 .. 20.0: a3;
    "bellows_travel_low_m" -0.4 .. 0.0: x_lo;
    "bellows_travel_high_m" 0.0 .. 0.4: x_hi;
    "bellows_volume_m3" 0.002 .. 0.1: v_ref;
    "bellows_wall_w_per_k" 0.0 .. 100.0: g_w;
    "damper_bump_ns_per_m" 0.0 .. 5.0e4: c_bump;
    "damper_rebound_ns_per_m" 0.0 .. 5.0e4: c_reb;
    "damper_off_middle_m" 0.1 .. 0.8: y_d;
    "anti_roll_nm_per_rad" 0.0 .. 3.0e6: k_arb;
    "anti_roll_damping_nms_per_rad" 0.0 .. 5.0e4: c_arb;
    "block_stiffness_n_per_m" 5.0e6 .. 5.0e7: k_bl;
    "block_off_middle_m" 0.1 .. 0.8: y_bl;
    "upper_stop_left_m" 0.1 .. 0.5: s_up[0];
    "upper_stop_right_m" 0.1 .. 0.5: s_up[1];
    "upper_stop_stiffness_n_per_m" 2.0e5 .. 1.0e7: k_up;
    "upper_stop_off_middle_m" 0.1 .. 0.8: y_up;
    "bump_stop_left_m" 0.02 .. 0.3: s_bp[0];
    "bump_stop_right_m" 0.02 .. 0.3: s_bp[1];
    "bump_stop_stiffness_n_per_m" 5.0e4 .. 5.0e6: k_bp;
    "bump_stop_cube_n_per_m3" 0.0 .. 1.0e10: k3_bp;
    "bump_stop_off_middle_m" 0.1 .. 0.8: y_bp;
    "raise_left_dm3_per_s_bar" 0.0 .. 5.0: c_s[0];
    "raise_right_dm3_per_s_bar" 0.0 .. 5.0: c_s[1];
    "raise_critical_ratio" 0.1 .. 0.6: b_s;
    "lower_left_dm3_per_s_bar" 0.0 .. 5.0: c_e[0];
    "lower_right_dm3_per_s_bar" 0.0 .. 5.0: c_e[1];
    "lower_critical_ratio" 0.1 .. 0.6: b_e;
    "cross_dm3_per_s_bar" 0.0 .. 5.0: c_x;
    "raise_seat_leak_left_dm3_per_s_bar" 0.0 .. 1.0: c_sleak[0];
    "raise_seat_leak_right_dm3_per_s_bar" 0.0 .. 1.0: c_sleak[1];
    "bellows_leak_left_dm3_per_s_bar" 0.0 .. 1.0: c_leak[0];
    "bellows_leak_right_dm3_per_s_bar" 0.0 .. 1.0: c_leak[1];
    "reservoir_leak_dm3_per_s_bar" 0.0 .. 1.0: c_tleak;
    "reservoir_volume_m3" 0.01 .. 0.5: v_t;
    "reservoir_wall_w_per_k" 0.0 .. 100.0: g_t;
    "shop_air_dm3_per_s_bar" 0.0 .. 5.0: c_f;
    "shop_air_critical_ratio" 0.1 .. 0.6: b_f;
    "shop_air_pa" 1.0e5 .. 1.3e6: p_shop;
    "gauge_lag_s" 0.05 .. 5.0: tau_g;
    "gauge_scale_left" 0.5 .. 1.5: g_scale[0];
    "gauge_scale_right" 0.5 .. 1.5: g_scale[1];
    "gauge_zero_left_bar" -1.0 .. 1.0: g_off[0];
    "gauge_zero_right_bar" -1.0 .. 1.0: g_off[1];
    "sensor_off_middle_m" -0.8 .. 0.8: y_s;
    "sensor_lever_m" 0.05 .. 0.5: l1;
    "sensor_rod_m" 0.05 .. 0.8: l2;
    "sensor_along_m" 0.05 .. 0.8: x_s;
    "sensor_over_m" -0.3 .. 0.5: h_s;
    "sensor_level_counts" 0.0 .. 1023.0: cnt0;
    "sensor_counts_per_rad" -3000.0 .. 3000.0: cnt_k;
    "bracket_along_m" -0.1 .. 0.1: dx;
    "bracket_up_m" -0.1 .. 0.1: dy;
    "lever_slip_rad" -1.0 .. 1.0: dth;
    "rod_play_m" 0.0 .. 0.05: play;
    "friction_left_n" 0.0 .. 5000.0: friction[0];
    "friction_right_n" 0.0 .. 5000.0: friction[1];
}

#[cfg(test)]
mod tests {
    use std::collections::BTreeSet;

    use super::*;

    #[expect(clippy::float_cmp, reason = "what was put in is read out, bit for bit")]
    #[test]
    fn every_number_is_its_own_and_within_its_bounds_on_both_trucks() {
        let mut names = BTreeSet::new();
        for parameter in PARAMETERS {
            assert!(names.insert(parameter.name), "{} twice", parameter.name);
            for truck in [Params::two_bellows(), Params::four_bellows()] {
                let value = parameter.get(&truck);
                assert!(
                    (parameter.least..=parameter.most).contains(&value),
                    "{}: {value}",
                    parameter.name
                );
                let mut other = truck.clone();
                let moved = if value == parameter.most {
                    parameter.least
                } else {
                    parameter.most
                };
                parameter.set(&mut other, moved);
                let changed: Vec<&str> = PARAMETERS
                    .iter()
                    .filter(|p| p.get(&truck) != p.get(&other))
                    .map(|p| p.name)
                    .collect();
                assert_eq!(changed, [parameter.name]);
            }
        }
    }
}
