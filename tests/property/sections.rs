//! Section curves of any kind, thickness, camber and Reynolds number: without a
//! leap, with a drag, and turned over with the sign turned.

use fledge_tests::SECTION_KINDS;
use proptest::prelude::*;
use proptest::test_runner::RngSeed;
use sim_core::aero::section::{SectionCoefficients, SectionModel};
use sim_core::aircraft::{KnownSection, Section};

fn values(c: &SectionCoefficients) -> [f64; 5] {
    [c.cl, c.cd, c.cm_quarter_chord, c.cd_lost_suction, c.attached]
}

proptest! {
    #![proptest_config(ProptestConfig {
        cases: 512,
        rng_seed: RngSeed::Fixed(1926),
        ..ProptestConfig::default()
    })]

    #[test]
    fn curves_have_no_leap(
        kind in prop::sample::select(&SECTION_KINDS[..]), thickness in 0.01f64..0.2,
        camber in -0.08f64..0.08, log_reynolds in 3.5f64..6.5,
        known_lift in prop::option::of(0.3f64..2.0), alpha in -3.3f64..3.3, flap in -0.4f64..0.4,
    ) {
        let known = KnownSection { lift_coefficient_max: known_lift, ..KnownSection::default() };
        let section = Section { kind, thickness, camber, known };
        let model = SectionModel::new(&section, 10f64.powf(log_reynolds));
        let here = model.coefficients(alpha, flap);
        prop_assert!(values(&here).iter().all(|value| value.is_finite()));
        prop_assert!(here.cd > 0.0 && (0.0..=1.0).contains(&here.attached));
        // Half a millionth of a radian, at a slope of 50 per rad at the most (the
        // passage from attached to separated flow takes 0.03 rad and more).
        let step = 5e-7;
        for (alpha, flap) in [(alpha + step, flap), (alpha, flap + step)] {
            let near = model.coefficients(alpha, flap);
            for (one, other) in values(&here).iter().zip(values(&near)) {
                prop_assert!((one - other).abs() < 100.0 * step, "{:?} {:?}", here, near);
            }
        }
        // Once round is the same direction.
        let round = model.coefficients(alpha + std::f64::consts::TAU, flap);
        for (one, other) in values(&here).iter().zip(values(&round)) {
            prop_assert!((one - other).abs() < 1e-9);
        }
    }

    #[test]
    fn turned_over_lift_and_moment_change_their_sign(
        kind in prop::sample::select(&SECTION_KINDS[..]), thickness in 0.01f64..0.2,
        camber in -0.08f64..0.08, log_reynolds in 3.5f64..6.5,
        alpha in -3.1f64..3.1, flap in -0.4f64..0.4,
    ) {
        let reynolds = 10f64.powf(log_reynolds);
        let known = KnownSection::default();
        let model =
            |camber| SectionModel::new(&Section { kind, thickness, camber, known }, reynolds);
        let upright = model(camber).coefficients(alpha, flap);
        let turned = model(-camber).coefficients(-alpha, -flap);
        prop_assert!((upright.cl + turned.cl).abs() < 1e-12);
        prop_assert!((upright.cm_quarter_chord + turned.cm_quarter_chord).abs() < 1e-12);
        prop_assert!((upright.cd - turned.cd).abs() < 1e-12);
    }
}
