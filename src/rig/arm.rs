//! How far the axle turns with the height, and the wheel with the axle.
//!
//! Must not know: what holds the wheel.

use super::truck::ArmGeometry;

/// How often the pitch is halved: to far below a micrometre.
const HALVINGS: u32 = 48;

impl ArmGeometry {
    /// How the arm slopes at a height over the seat, rad, down to the rear.
    ///
    /// # Units
    /// Metres; `seat` is from the seat down to the axle centre.
    ///
    /// # Source
    /// Ours: the frame, with the pivot on it, turns about its point over the front axle;
    /// the axle centre stays at its height over the floor at the arm's length behind the
    /// pivot; frame underside straight above it less axle centre is height and seat.
    pub fn slope(&self, height: f64, seat: f64) -> f64 {
        let over = |pitch: f64| {
            let (sin, cos) = pitch.sin_cos();
            let x = self.pivot_back * cos + self.pivot_below_frame * sin;
            let z = self.frame_front + self.pivot_back * sin - self.pivot_below_frame * cos;
            let rise = z - self.axle_over_floor;
            let axle = x + (self.arm * self.arm - rise * rise).max(0.0).sqrt();
            let frame = self.frame_front + axle * pitch.tan();
            (frame - self.axle_over_floor - seat, rise)
        };
        let (mut low, mut high) = (-0.1_f64, 0.1_f64);
        for _ in 0..HALVINGS {
            let middle = 0.5 * (low + high);
            if over(middle).0 < height {
                low = middle;
            } else {
                high = middle;
            }
        }
        (over(0.5 * (low + high)).1 / self.arm)
            .clamp(-1.0, 1.0)
            .asin()
    }

    /// How far a held wheel would roll from one height to another, m, + forward as the
    /// frame rises.
    pub fn roll(&self, from: f64, to: f64, seat: f64) -> f64 {
        self.axle_over_floor * (self.slope(to, seat) - self.slope(from, seat))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The table of the demo sheet: from ride in mm, axle turns in degrees, tyre rolls
    /// in mm. Computed apart from this program, printed to these digits.
    const TABLE: [(f64, f64, f64); 8] = [
        (-92.0, -8.18, -71.0),
        (-20.0, -1.78, -15.0),
        (-10.0, -0.89, -8.0),
        (0.0, 0.0, 0.0),
        (7.0, 0.62, 5.0),
        (15.0, 1.33, 12.0),
        (20.0, 1.78, 15.0),
        (120.0, 10.81, 94.0),
    ];

    #[test]
    fn the_axle_turns_as_the_demo_sheet_says() {
        let arm = ArmGeometry {
            arm: 0.55,
            pivot_back: 3.1508,
            pivot_below_frame: 0.28,
            frame_front: 0.806,
            axle_over_floor: 0.496,
        };
        for (off, turn, roll) in TABLE {
            let height = 0.19 + off / 1000.0;
            let turned = (arm.slope(height, 0.12) - arm.slope(0.19, 0.12)).to_degrees();
            assert!((turned - turn).abs() < 0.0051, "{off}: {turned}");
            let rolled = arm.roll(0.19, height, 0.12) * 1000.0;
            assert!((rolled - roll).abs() < 0.51, "{off}: {rolled}");
        }
        assert!((arm.slope(0.19, 0.12).to_degrees() - 3.1).abs() < 0.05);
    }
}
