//! The heights at which all limits of a driveline hold.
//!
//! From ride height outwards to both stops, a short step at a time, so that no place
//! where a limit fails over half a millimetre is stepped over; then halved to where
//! the first one begins to fail.

use uom::si::f64::{Angle, Length};

use super::{Driveline, Snag, State};
use crate::calc::amount::Amount;

/// How far apart the heights are that are looked at, metres.
const STEP_M: f64 = 0.7e-3;

/// Halvings of a step: to 2⁻²² of 0.7 mm, less than a fifth of a nanometre.
const HALVINGS: usize = 22;

/// What rounding may take from a margin, SI: a joint at its limit holds it.
const ROUNDING: f64 = 1e-12;

/// Most steps to a stop; a longer way is looked at in longer steps.
const MOST_STEPS: f64 = 4000.0;

/// Limits of a driveline; one that is left out never fails.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Limits {
    /// The last two joints within this of each other.
    pub equal: Option<Angle>,
    /// Each joint at least this, from the gearbox on.
    pub least: [Option<Angle>; 3],
    /// Each joint at most this.
    pub most: [Option<Angle>; 3],
    /// What is left of all joints together, at most.
    pub residual: Option<Angle>,
    /// What any joint may be bent to at rest.
    pub at_rest: Option<Angle>,
    /// How far the slip joint may go either way.
    pub plunge: Option<Length>,
}

/// What closes a band at one end.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Rule {
    /// The last two joints are too far from equal.
    Equal,
    /// This joint, from 1, is too straight.
    Least(u8),
    /// This joint, from 1, is bent too far.
    Most(u8),
    /// Too much is left of all joints together.
    Residual,
    /// A joint is bent further than it may be at rest.
    AtRest,
    /// The slip joint's way is used up.
    Plunge,
    /// The linkage does not go there.
    Reach,
    /// The stop is reached first.
    Stop,
}

/// The rules that a driveline can break, in the order they are named in.
const RULES: [Rule; 10] = [
    Rule::Equal,
    Rule::Least(1),
    Rule::Least(2),
    Rule::Least(3),
    Rule::Most(1),
    Rule::Most(2),
    Rule::Most(3),
    Rule::Residual,
    Rule::AtRest,
    Rule::Plunge,
];

impl Rule {
    /// In words.
    pub const fn text(self) -> &'static str {
        match self {
            Self::Equal => "joints unequal",
            Self::Least(1) => "joint 1 too straight",
            Self::Least(2) => "joint 2 too straight",
            Self::Least(_) => "joint 3 too straight",
            Self::Most(1) => "joint 1 too steep",
            Self::Most(2) => "joint 2 too steep",
            Self::Most(_) => "joint 3 too steep",
            Self::Residual => "too much left of all joints",
            Self::AtRest => "a joint bent too far at rest",
            Self::Plunge => "slip joint at its end",
            Self::Reach => "linkage does not reach",
            Self::Stop => "the stop",
        }
    }
}

/// The heights at which all limits hold, and what ends them.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Band {
    /// From here …
    pub lowest: Length,
    /// … to here.
    pub highest: Length,
    /// What closes it below.
    pub below: Rule,
    /// What closes it above.
    pub above: Rule,
}

/// Whether there is a band.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Allowed {
    /// There is.
    Within(Band),
    /// There is none: this fails at ride height already.
    Nowhere(Rule),
}

impl Limits {
    /// How much is left to the limit of a rule, SI; under zero it fails.
    fn margin(&self, rule: Rule, state: &State) -> Option<f64> {
        let joint = |nth: u8| {
            let at = usize::from(nth).checked_sub(1)?;
            let there = at < state.joints.count;
            state
                .joints
                .angles
                .get(at)
                .filter(|_| there)
                .map(|a| a.si())
        };
        let limit = |of: &[Option<Angle>; 3], nth: u8| {
            let at = usize::from(nth).checked_sub(1)?;
            of.get(at).copied().flatten().map(Amount::si)
        };
        match rule {
            Rule::Equal => Some(self.equal?.si() - state.equal.si()),
            Rule::Least(nth) => Some(joint(nth)? - limit(&self.least, nth)?),
            Rule::Most(nth) => Some(limit(&self.most, nth)? - joint(nth)?),
            Rule::Residual => Some(self.residual?.si() - state.joints.residual.si()),
            Rule::AtRest => Some(self.at_rest?.si() - state.largest().si()),
            Rule::Plunge => Some(self.plunge?.si() - state.plunge.si().abs()),
            Rule::Reach | Rule::Stop => None,
        }
    }

    /// The first rule that fails.
    pub fn broken(&self, state: &State) -> Option<Rule> {
        RULES
            .into_iter()
            .find(|rule| self.margin(*rule, state).is_some_and(|m| m < -ROUNDING))
    }
}

impl State {
    /// The largest angle of its joints.
    pub fn largest(&self) -> Angle {
        let [first, second, third] = self.joints.angles;
        let two = first.max(second);
        if self.joints.count > 2 {
            two.max(third)
        } else {
            two
        }
    }
}

impl Driveline {
    /// The heights around ride height at which all limits hold, not beyond the stops.
    ///
    /// # Errors
    /// `lower_stop` or `upper_stop` where ride height is not between them.
    pub fn band(
        &self,
        limits: &Limits,
        lower_stop: Length,
        upper_stop: Length,
    ) -> Result<Allowed, Snag> {
        let ride = self.linkage().stance().ride_height;
        if lower_stop > ride {
            return Err(Snag::new(
                "lower_stop",
                "the lower stop lies under ride height",
            ));
        }
        if upper_stop < ride {
            return Err(Snag::new(
                "upper_stop",
                "the upper stop lies over ride height",
            ));
        }
        if let Some(rule) = self.fails(limits, ride.value) {
            return Ok(Allowed::Nowhere(rule));
        }
        let (lowest, below) = self.edge(limits, ride.value, lower_stop.value);
        let (highest, above) = self.edge(limits, ride.value, upper_stop.value);
        Ok(Allowed::Within(Band {
            lowest: Length::of_si(lowest),
            highest: Length::of_si(highest),
            below,
            above,
        }))
    }

    fn fails(&self, limits: &Limits, height_m: f64) -> Option<Rule> {
        match self.at(Length::of_si(height_m)) {
            Ok(state) => limits.broken(&state),
            Err(_no_reach) => Some(Rule::Reach),
        }
    }

    /// Where the first limit begins to fail on the way to a stop.
    fn edge(&self, limits: &Limits, ride_m: f64, stop_m: f64) -> (f64, Rule) {
        let way_m = stop_m - ride_m;
        let steps = (way_m.abs() / STEP_M).ceil().clamp(1.0, MOST_STEPS);
        let mut good_m = ride_m;
        let mut step = 1.0;
        while step <= steps {
            let next_m = ride_m + way_m * (step / steps);
            if let Some(rule) = self.fails(limits, next_m) {
                return self.halve(limits, good_m, next_m, rule);
            }
            good_m = next_m;
            step += 1.0;
        }
        (stop_m, Rule::Stop)
    }

    fn halve(
        &self,
        limits: &Limits,
        mut good_m: f64,
        mut bad_m: f64,
        mut rule: Rule,
    ) -> (f64, Rule) {
        for _ in 0..HALVINGS {
            let middle_m = f64::midpoint(good_m, bad_m);
            match self.fails(limits, middle_m) {
                Some(broken) => (bad_m, rule) = (middle_m, broken),
                None => good_m = middle_m,
            }
        }
        (good_m, rule)
    }
}
