//! Low-altitude turbulence.
//!
//! Source: MIL-F-8785C, 1980, 3.7.3 (formulas from memory; table worked out
//! from them). One-sided Dryden spectra over spatial frequency:
//! `Phi_u = sigma^2 (2 L/pi) / (1 + (L Om)^2)`,
//! `Phi_w = sigma^2 (L/pi) (1 + 3 (L Om)^2) / (1 + (L Om)^2)^2`.
//! Compared: lengths and strengths by height; spread and autocorrelation of a
//! long record, the latter being the spectrum's transform; its decay at high
//! frequency.
//! Tolerance: table 0.1 %. Record: of N lengths, sampled finely, the variance
//! has a relative spread of about sqrt(2/N): 60 000 lengths give 0.6 %, three
//! of these 2 %.

use fledge_tests::{check_absolute, check_relative};
use nalgebra::Vector3;
use sim_core::dynamics::{SteadyWind, Turbulence, TurbulenceScales};

const FOOT_M: f64 = 0.3048;
const KNOT_M_S: f64 = 1852.0 / 3600.0;

#[test]
fn scales_by_height() {
    for (height_ft, horizontal_ft, ratio, sigma_w, sigma_u) in [
        (20.0, 143.6, 1.929, 0.772, 1.489),
        (50.0, 310.8, 1.839, 0.772, 1.419),
        (100.0, 505.2, 1.716, 0.772, 1.324),
        (200.0, 725.8, 1.537, 0.772, 1.186),
        (1000.0, 1000.0, 1.000, 0.772, 0.772),
    ] {
        let scales = TurbulenceScales::at_height(height_ft * FOOT_M, 15.0 * KNOT_M_S);
        check_relative("Lu", scales.horizontal_length_m, horizontal_ft * FOOT_M, 1e-3);
        check_relative("Lw", scales.vertical_length_m, height_ft * FOOT_M, 1e-3);
        check_relative("sigma w", scales.vertical_sigma_m_s, sigma_w, 1e-3);
        check_relative("sigma u", scales.horizontal_sigma_m_s, sigma_u, 1e-3);
        let ours = scales.horizontal_sigma_m_s / scales.vertical_sigma_m_s;
        check_relative("ratio", ours, ratio, 1e-3);
    }
}

/// A record at 1000 ft, where all lengths and strengths are equal, in units of
/// both: along the wind, to its right, up.
fn record(lengths: usize, per_length: usize) -> Vec<Vector3<f64>> {
    let height_m = 1000.0 * FOOT_M;
    let wind = SteadyWind { speed_m_s: 10.0, from_rad: 0.7, ..SteadyWind::CALM };
    let scales = TurbulenceScales::at_height(height_m, wind.speed_m_s);
    let airspeed_m_s = 10.0;
    let step_s = scales.vertical_length_m / (airspeed_m_s * per_length as f64);
    let mut turbulence = Turbulence::new(20_261_125);
    let (sin, cos) = wind.from_rad.sin_cos();
    let along = -Vector3::new(cos, sin, 0.0);
    let right = Vector3::new(sin, -cos, 0.0);
    (0..lengths * per_length)
        .map(|_| {
            let gust = turbulence.advance(&wind, height_m, airspeed_m_s, step_s);
            Vector3::new(gust.dot(&along), gust.dot(&right), gust.z) / scales.vertical_sigma_m_s
        })
        .collect()
}

fn correlation(record: &[Vector3<f64>], lag: usize) -> Vector3<f64> {
    let count = record.len() - lag;
    let sum: Vector3<f64> =
        (0..count).map(|start| record[start].component_mul(&record[start + lag])).sum();
    sum / count as f64
}

#[test]
fn spread_and_autocorrelation_follow_the_spectra() {
    let per_length = 4;
    let record = record(60_000, per_length);
    for lag in [0, 2, 4, 8] {
        let distance = lag as f64 / per_length as f64;
        // Transforms of the spectra: f(d) along, g(d) across (Batchelor).
        let along = (-distance).exp();
        let across = (1.0 - 0.5 * distance) * (-distance).exp();
        let ours = correlation(&record, lag);
        check_absolute(&format!("u at {distance}"), ours.x, along, 0.02);
        check_absolute(&format!("v at {distance}"), ours.y, across, 0.02);
        check_absolute(&format!("w at {distance}"), ours.z, across, 0.02);
    }
    let mixed: f64 = record.iter().map(|gust| gust.x * gust.y).sum::<f64>() / record.len() as f64;
    check_absolute("u with v", mixed, 0.0, 0.02);
}

#[test]
fn the_spread_does_not_depend_on_the_step() {
    // Steps of a whole length: far too coarse for a filter stepped by Euler.
    let coarse = correlation(&record(60_000, 1), 0);
    for (axis, variance) in coarse.iter().enumerate() {
        check_absolute(&format!("variance of axis {axis}"), *variance, 1.0, 0.025);
    }
}

#[test]
fn small_eddies_decay_with_the_square_of_frequency() {
    // A spectrum that falls as Om^-2 means a mean square difference over short
    // distances that grows as the distance: 2 d along, 3 d across (from 1 - f
    // and 1 - g above).
    let per_length = 200;
    let record = record(3_000, per_length);
    let difference = |lag: usize| {
        let count = record.len() - lag;
        let sum: Vector3<f64> = (0..count)
            .map(|start| record[start + lag] - record[start])
            .map(|step| step.component_mul(&step))
            .sum();
        sum / count as f64
    };
    for lag in [1, 4] {
        let distance = lag as f64 / per_length as f64;
        let ours = difference(lag) / distance;
        // The next term of the series is at most 1.3 d, sampling adds 1 %.
        check_relative("along", ours.x, 2.0, 0.04);
        check_relative("right", ours.y, 3.0, 0.04);
        check_relative("down", ours.z, 3.0, 0.04);
    }
}
