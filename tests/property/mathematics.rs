//! Rotations there and back, eigenvalues against invariants.

use nalgebra::{Complex, DMatrix, Vector3};
use proptest::prelude::*;
use proptest::test_runner::RngSeed;
use sim_core::frames::{AirAngles, Euler, body_from_wind};
use sim_core::math::find_eigenpairs;

proptest! {
    #![proptest_config(ProptestConfig {
        rng_seed: RngSeed::Fixed(2511),
        ..ProptestConfig::default()
    })]

    #[test]
    fn attitude_there_and_back(
        bank_rad in -3.1..3.1f64,
        pitch_rad in -1.55..1.55f64,
        heading_rad in -3.1..3.1f64,
    ) {
        let euler = Euler { bank_rad, pitch_rad, heading_rad };
        let back = Euler::of_attitude(&euler.ned_from_body());
        prop_assert!((back.bank_rad - bank_rad).abs() < 1e-9);
        prop_assert!((back.pitch_rad - pitch_rad).abs() < 1e-9);
        prop_assert!((back.heading_rad - heading_rad).abs() < 1e-9);
        let down = euler.ned_from_body().inverse_transform_vector(&Vector3::z());
        prop_assert!((down - euler.down_body()).norm() < 1e-12);
    }

    #[test]
    fn euler_rates_are_the_derivative_of_the_attitude(
        bank_rad in -3.0..3.0f64,
        pitch_rad in -1.3..1.3f64,
        p in -5.0..5.0f64,
        q in -5.0..5.0f64,
        r in -5.0..5.0f64,
    ) {
        let euler = Euler { bank_rad, pitch_rad, heading_rad: 0.1 };
        let rates_body = Vector3::new(p, q, r);
        let step_s = 1e-6;
        let turned = |time_s: f64| {
            let turn = nalgebra::UnitQuaternion::from_scaled_axis(rates_body * time_s);
            Euler::of_attitude(&(euler.ned_from_body() * turn))
        };
        let (after, before) = (turned(step_s), turned(-step_s));
        let numeric = Vector3::new(
            after.bank_rad - before.bank_rad,
            after.pitch_rad - before.pitch_rad,
            after.heading_rad - before.heading_rad,
        ) / (2.0 * step_s);
        prop_assert!((numeric - euler.rates(&rates_body)).norm() < 1e-6);
    }

    #[test]
    fn velocity_there_and_back(
        u in -50.0..50.0f64,
        v in -50.0..50.0f64,
        w in -50.0..50.0f64,
    ) {
        let velocity = Vector3::new(u, v, w);
        prop_assume!(velocity.norm() > 1e-3);
        let angles = AirAngles::of_velocity(&velocity);
        prop_assert!((angles.velocity_body() - velocity).norm() < 1e-12 * velocity.norm());
        let along = body_from_wind(angles.alpha_rad, angles.beta_rad) * Vector3::x();
        prop_assert!((along * velocity.norm() - velocity).norm() < 1e-12 * velocity.norm());
    }

    #[test]
    fn eigenvalues_keep_trace_and_determinant(
        entries in prop::collection::vec(-10.0..10.0f64, 16),
        zeros in prop::collection::vec(any::<bool>(), 16),
    ) {
        // Half of the entries zero: reducible and companion-like matrices.
        let entries: Vec<f64> =
            entries.iter().zip(&zeros).map(|(x, zero)| if *zero { 0.0 } else { *x }).collect();
        let matrix = DMatrix::from_row_slice(4, 4, &entries);
        let pairs = find_eigenpairs(&matrix).unwrap();
        let sum: Complex<f64> = pairs.iter().map(|pair| pair.value).sum();
        prop_assert!((sum - matrix.trace()).norm() < 1e-9 * (1.0 + matrix.norm()));
        let product: Complex<f64> = pairs.iter().map(|pair| pair.value).product();
        prop_assert!((product - matrix.determinant()).norm() < 1e-7 * (1.0 + matrix.norm().powi(4)));
        for pair in &pairs {
            let total = pair.participation().sum();
            prop_assert!(total == 0.0 || (total - 1.0).abs() < 1e-12);
        }
    }
}
