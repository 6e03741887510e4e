//! Wind: steady with its gradient near the ground, turbulence, single gusts.
//!
//! # Method
//! Military specification MIL-F-8785C (1980), 3.7.3, low-altitude model, and
//! its Dryden spectra; formulas from memory. The forming filters are stepped by
//! their exact solution between samples of white noise, so the spread of the
//! gusts does not depend on the step. The noise is a PCG generator with a seed.
//!
//! # Conventions
//! A wind is named by where the air goes: north, east, down. The longitudinal
//! gust lies along the steady wind, the lateral one to its right.
//!
//! # Limits
//! 10 to 1000 ft above ground; beyond, the nearer end holds. The specification
//! was made for full-size aircraft: eddies smaller than a model's span are left
//! to the model. One gust acts on the whole aircraft, without gust rates.

use nalgebra::Vector3;
use rand_distr::{Distribution, StandardNormal};
use rand_pcg::Pcg32;
use serde::Serialize;

const FOOT_M: f64 = 0.3048;
/// Height at which the specification quotes the steady wind, m.
pub const REFERENCE_HEIGHT_M: f64 = 20.0 * FOOT_M;
/// Range of heights of the low-altitude model, ft.
const HEIGHT_RANGE_FT: (f64, f64) = (10.0, 1000.0);
/// Roughness of short grass for the wind's gradient, m: 0.15 ft, the
/// specification's value for landing.
pub const GRASS_ROUGHNESS_M: f64 = 0.15 * FOOT_M;
/// Any odd number selects a sequence of the generator.
const NOISE_STREAM: u64 = 0x5bd1_e995;

/// A steady wind that grows with height.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct SteadyWind {
    /// Speed at 20 ft above ground, m/s.
    pub speed_m_s: f64,
    /// Heading the air comes from, clockwise from north, rad.
    pub from_rad: f64,
    /// Roughness length of the ground, m, positive.
    pub roughness_m: f64,
}

impl SteadyWind {
    /// No wind.
    pub const CALM: Self = Self { speed_m_s: 0.0, from_rad: 0.0, roughness_m: GRASS_ROUGHNESS_M };

    /// The wind at a height above ground: north, east, down, m/s.
    ///
    /// # Method
    /// The logarithmic profile of the boundary layer; none below the roughness
    /// length, and no more than at 1000 ft above that.
    pub fn at_height(&self, height_m: f64) -> Vector3<f64> {
        let top_m = HEIGHT_RANGE_FT.1 * FOOT_M;
        let relative = height_m.min(top_m).max(self.roughness_m) / self.roughness_m;
        let factor = relative.ln() / (REFERENCE_HEIGHT_M / self.roughness_m).ln();
        self.speed_m_s * factor * self.along()
    }

    /// Unit vector along the air's motion.
    fn along(&self) -> Vector3<f64> {
        -Vector3::new(self.from_rad.cos(), self.from_rad.sin(), 0.0)
    }
}

/// Lengths and strengths of turbulence at one height.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct TurbulenceScales {
    /// Length of longitudinal and lateral gusts, m.
    pub horizontal_length_m: f64,
    /// Length of vertical gusts, m.
    pub vertical_length_m: f64,
    /// Standard deviation of longitudinal and lateral gusts, m/s.
    pub horizontal_sigma_m_s: f64,
    /// Standard deviation of vertical gusts, m/s.
    pub vertical_sigma_m_s: f64,
}

impl TurbulenceScales {
    /// The specification's scales for a height above ground and the speed of
    /// the steady wind at 20 ft: light 15 kt, moderate 30 kt, severe 45 kt.
    pub fn at_height(height_m: f64, wind_at_20_ft_m_s: f64) -> Self {
        let height_ft = (height_m / FOOT_M).max(HEIGHT_RANGE_FT.0).min(HEIGHT_RANGE_FT.1);
        let shape = 0.177 + 0.000_823 * height_ft;
        let vertical_sigma_m_s = 0.1 * wind_at_20_ft_m_s;
        Self {
            horizontal_length_m: height_ft * FOOT_M / shape.powf(1.2),
            vertical_length_m: height_ft * FOOT_M,
            horizontal_sigma_m_s: vertical_sigma_m_s / shape.powf(0.4),
            vertical_sigma_m_s,
        }
    }
}

/// Turbulence after Dryden's spectra, as an aircraft meets it on its way.
#[derive(Debug, Clone, PartialEq)]
pub struct Turbulence {
    noise: Pcg32,
    longitudinal: f64,
    lateral: [f64; 2],
    vertical: [f64; 2],
}

impl Turbulence {
    /// Turbulence in full swing; the same seed gives the same gusts.
    pub fn new(seed: u64) -> Self {
        let mut fresh = Self {
            noise: Pcg32::new(seed, NOISE_STREAM),
            longitudinal: 0.0,
            lateral: [0.0; 2],
            vertical: [0.0; 2],
        };
        // One endless step from rest: states as spread as they ever are.
        fresh.longitudinal = first_order(0.0, f64::INFINITY, fresh.draw());
        fresh.lateral = second_order([0.0; 2], f64::INFINITY, [fresh.draw(), fresh.draw()]);
        fresh.vertical = second_order([0.0; 2], f64::INFINITY, [fresh.draw(), fresh.draw()]);
        fresh
    }

    /// The gust after flying on for `step_s`: north, east, down, m/s.
    ///
    /// The lengths of the gusts divided by the airspeed are their times. A
    /// height or airspeed that is not finite leaves the gusts as they are.
    pub fn advance(
        &mut self,
        wind: &SteadyWind,
        height_m: f64,
        airspeed_m_s: f64,
        step_s: f64,
    ) -> Vector3<f64> {
        let scales = TurbulenceScales::at_height(height_m, wind.speed_m_s);
        let distance_m = (airspeed_m_s * step_s).max(0.0);
        let horizontal = distance_m / scales.horizontal_length_m;
        let vertical = distance_m / scales.vertical_length_m;
        let draws: [f64; 5] = std::array::from_fn(|_| self.draw());
        if horizontal.is_finite() && vertical.is_finite() {
            self.longitudinal = first_order(self.longitudinal, horizontal, draws[0]);
            self.lateral = second_order(self.lateral, horizontal, [draws[1], draws[2]]);
            self.vertical = second_order(self.vertical, vertical, [draws[3], draws[4]]);
        }
        let along = wind.along();
        let right = Vector3::z().cross(&along);
        scales.horizontal_sigma_m_s * (self.longitudinal * along + gust(self.lateral) * right)
            + scales.vertical_sigma_m_s * gust(self.vertical) * Vector3::z()
    }

    fn draw(&mut self) -> f64 {
        StandardNormal.sample(&mut self.noise)
    }
}

/// Steps `x' = -x + sqrt(2) noise`, of unit variance, over a distance in
/// lengths; it forms Dryden's longitudinal spectrum.
fn first_order(state: f64, distance: f64, draw: f64) -> f64 {
    let kept = (-distance).exp();
    kept * state + (1.0 - kept * kept).sqrt() * draw
}

/// Steps the states behind [`gust`], `x' = -x + noise`, `y' = x - y`, over a
/// distance in lengths.
///
/// The noise of both states over the step has the covariance `P - F P F^T`,
/// with the stationary covariance `P = [[1/2, 1/4], [1/4, 1/4]]` and the
/// transition `F = exp(-d) [[1, 0], [d, 1]]`; its Cholesky factor makes it of
/// two independent draws.
fn second_order([x, y]: [f64; 2], distance: f64, draws: [f64; 2]) -> [f64; 2] {
    let kept = (-distance).exp();
    // exp(-d) d, zero for an endless step.
    let carried = if distance.is_finite() { kept * distance } else { 0.0 };
    let var_x = 0.5 - 0.5 * kept * kept;
    let cov = 0.25 - kept * (0.5 * carried + 0.25 * kept);
    let var_y = 0.25 - (0.5 * carried * carried + 0.5 * carried * kept + 0.25 * kept * kept);
    let spread_x = var_x.max(0.0).sqrt();
    let shared = if spread_x > 0.0 { cov / spread_x } else { 0.0 };
    let spread_y = (var_y - shared * shared).max(0.0).sqrt();
    [
        kept * x + spread_x * draws[0],
        carried * x + kept * y + shared * draws[0] + spread_y * draws[1],
    ]
}

/// The gust of unit variance from its two states: the filter
/// `(1 + sqrt(3) s) / (1 + s)^2` of Dryden's lateral and vertical spectra.
fn gust([x, y]: [f64; 2]) -> f64 {
    let root_3 = 3f64.sqrt();
    root_3 * x + (1.0 - root_3) * y
}

/// A single gust in the shape of a cosine.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct DiscreteGust {
    /// The gust at its height: north, east, down, m/s.
    pub peak_ned: Vector3<f64>,
    /// Distance over which it grows, m, positive.
    pub length_m: f64,
    /// Whether it falls again over as long a distance, or stays.
    pub falls_again: bool,
}

impl DiscreteGust {
    /// The gust after flying a distance into it: `(1 - cos(pi x / d)) / 2` of
    /// the peak (MIL-F-8785C, 3.7.2.3).
    pub fn at_distance(&self, distance_m: f64) -> Vector3<f64> {
        let end = if self.falls_again { 2.0 } else { 1.0 };
        let lengths = (distance_m / self.length_m).max(0.0).min(end);
        0.5 * (1.0 - (std::f64::consts::PI * lengths).cos()) * self.peak_ned
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn wind_is_as_quoted_at_twenty_feet_and_none_on_the_ground() {
        let wind = SteadyWind { speed_m_s: 5.0, from_rad: 0.0, ..SteadyWind::CALM };
        let at = wind.at_height(REFERENCE_HEIGHT_M);
        assert!((at - Vector3::new(-5.0, 0.0, 0.0)).norm() < 1e-12, "from the north goes south");
        assert_eq!(wind.at_height(0.0).norm(), 0.0);
        assert_eq!(wind.at_height(-3.0).norm(), 0.0);
        assert!(wind.at_height(50.0).norm() > 5.0);
        assert!(wind.at_height(290.0).norm() < wind.at_height(304.0).norm());
        assert_eq!(wind.at_height(304.9), wind.at_height(900.0));
        let from_east = SteadyWind { from_rad: std::f64::consts::FRAC_PI_2, ..wind };
        let at = from_east.at_height(REFERENCE_HEIGHT_M);
        assert!((at - Vector3::new(0.0, -5.0, 0.0)).norm() < 1e-12, "from the east goes west");
    }

    #[test]
    fn gust_rises_to_its_peak_and_stays_or_falls() {
        let peak_ned = Vector3::new(0.0, 0.0, -2.0);
        let gust = DiscreteGust { peak_ned, length_m: 10.0, falls_again: false };
        assert_eq!(gust.at_distance(-1.0).norm(), 0.0);
        assert!((gust.at_distance(5.0).z + 1.0).abs() < 1e-15);
        assert!((gust.at_distance(99.0).z + 2.0).abs() < 1e-15);
        let back = DiscreteGust { falls_again: true, ..gust };
        assert!((back.at_distance(10.0).z + 2.0).abs() < 1e-15);
        assert!(back.at_distance(25.0).norm() < 1e-15);
    }

    #[test]
    fn the_same_seed_gives_the_same_gusts_and_another_does_not() {
        let wind = SteadyWind { speed_m_s: 6.0, ..SteadyWind::CALM };
        let run = |seed| -> Vec<Vector3<f64>> {
            let mut turbulence = Turbulence::new(seed);
            (0..20).map(|_| turbulence.advance(&wind, 20.0, 10.0, 0.02)).collect()
        };
        assert_eq!(run(7), run(7));
        assert_ne!(run(7), run(8));
    }

    #[test]
    fn two_half_steps_spread_as_one_whole_step() {
        // Variance after two steps from rest against that of one: the exact
        // discretisation has to compose.
        let spread = |distance: f64| {
            let by = |draws| second_order([0.0; 2], distance, draws);
            let (first, second) = (by([1.0, 0.0]), by([0.0, 1.0]));
            [
                first[0] * first[0] + second[0] * second[0],
                first[0] * first[1] + second[0] * second[1],
                first[1] * first[1] + second[1] * second[1],
            ]
        };
        let half = spread(0.35);
        let kept = (-0.35f64).exp();
        let carry = |[xx, xy, yy]: [f64; 3]| {
            let d = 0.35;
            [
                kept * kept * xx,
                kept * kept * (d * xx + xy),
                kept * kept * (d * d * xx + 2.0 * d * xy + yy),
            ]
        };
        let carried = carry(half);
        for (index, whole) in spread(0.7).into_iter().enumerate() {
            assert!((carried[index] + half[index] - whole).abs() < 1e-14);
        }
    }

    /// Without noise the states run down by their equations: x to x e^-d, y to
    /// (y + d x) e^-d; with it the first keeps a variance of one.
    #[test]
    fn gusts_die_out_by_their_equations() {
        for distance in [0.1f64, 0.7, 2.0] {
            let kept = (-distance).exp();
            assert!((first_order(3.0, distance, 0.0) - 3.0 * kept).abs() < 1e-12);
            let noise = first_order(0.0, distance, 1.0);
            assert!(noise > 0.0 && (kept * kept + noise * noise - 1.0).abs() < 1e-12);
            let [x, y] = second_order([2.0, -3.0], distance, [0.0; 2]);
            assert!((x - 2.0 * kept).abs() < 1e-12, "{x}");
            assert!((y - (2.0 * distance - 3.0) * kept).abs() < 1e-12, "{y}");
        }
    }
}
