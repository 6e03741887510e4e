//! Names and shapes of roots whose matrix is worked by hand.

use super::*;

/// Stability-axis matrix of a toy with a given yaw stiffness and dihedral.
fn lateral(yaw_stiffness: f64, dihedral: f64, roll_damping: f64) -> Matrix4<f64> {
    Matrix4::new(
        -0.3,
        0.0,
        -10.0,
        9.8, //
        -dihedral,
        -roll_damping,
        1.0,
        0.0, //
        yaw_stiffness,
        -0.3,
        -1.0,
        0.0, //
        0.0,
        1.0,
        0.0,
        0.0,
    )
}

fn kinds(modes: &[Mode]) -> Vec<ModeKind> {
    let mut kinds: Vec<ModeKind> = modes.iter().map(|mode| mode.kind).collect();
    kinds.sort_by_key(|kind| format!("{kind:?}"));
    kinds
}

#[test]
fn an_ordinary_aircraft_has_the_three_classic_modes() {
    let modes = lateral_modes(&lateral(1.0, 1.0, 10.0), 10.0).unwrap();
    assert_eq!(kinds(&modes), [ModeKind::DutchRoll, ModeKind::Roll, ModeKind::Spiral]);
}

#[test]
fn a_fin_of_the_wrong_sign_splits_the_dutch_roll() {
    let modes = lateral_modes(&lateral(-1.0, 1.0, 10.0), 10.0).unwrap();
    assert!(modes.iter().any(|mode| mode.kind == ModeKind::DutchRollRoot && mode.is_growing()));
    assert!(modes.iter().any(|mode| mode.kind == ModeKind::Roll));
}

#[test]
fn little_roll_damping_and_much_dihedral_join_roll_and_spiral() {
    // Roots -1.19 +- 5.85i and -0.61 +- 1.71i.
    let a = Matrix4::new(
        -0.3, 0.0, -10.0, 9.8, //
        -4.0, -0.3, 0.0, 0.0, //
        4.0, 0.0, -3.0, 0.0, //
        0.0, 1.0, 0.0, 0.0,
    );
    let modes = lateral_modes(&a, 10.0).unwrap();
    assert_eq!(kinds(&modes), [ModeKind::DutchRoll, ModeKind::RollSpiralOscillation]);
}

#[test]
fn an_aft_centre_of_gravity_splits_the_short_period() {
    let with_stiffness = |stiffness: f64| {
        let a = Matrix4::new(
            -0.1, 0.3, 0.0, -9.8, //
            -1.0, -6.0, 10.0, 0.0, //
            0.0, -stiffness, -6.0, 0.0, //
            0.0, 0.0, 1.0, 0.0,
        );
        longitudinal_modes(&a, 10.0).unwrap()
    };
    assert_eq!(kinds(&with_stiffness(5.0)), [ModeKind::Phugoid, ModeKind::ShortPeriod]);
    let split = with_stiffness(-1.0);
    let short = split.iter().filter(|mode| mode.kind == ModeKind::ShortPeriodRoot).count();
    assert_eq!(short, 2, "{:?}", kinds(&split));
    let unstable = with_stiffness(-8.0);
    assert!(unstable.iter().any(Mode::is_growing));
}

#[test]
fn a_motion_without_any_rate_has_no_times() {
    let modes = lateral_modes(&Matrix4::zeros(), 10.0).unwrap();
    assert!(modes.iter().all(|mode| mode.time_to_half_or_double_s.is_none()));
    assert!(modes.iter().all(|mode| mode.parts.iter().all(|part| part.magnitude.is_finite())));
}

/// Four states by themselves, but for one pair that swings: both of its states decay
/// at the first one's rate and turn into each other at `turning`.
fn uncoupled(rates: [f64; 4], pairs: &[(usize, usize, f64)]) -> Matrix4<f64> {
    let mut a = Matrix4::from_diagonal(&rates.into());
    for &(one, other, turning) in pairs {
        a[(other, other)] = a[(one, one)];
        (a[(one, other)], a[(other, one)]) = (turning, -turning);
    }
    a
}

fn kind_of(modes: &[Mode], real: f64) -> ModeKind {
    let near = |mode: &&Mode| (mode.real_1_s - real).abs() < 1e-9;
    modes.iter().find(near).unwrap_or_else(|| panic!("{real}: {modes:?}")).kind
}

/// Where each state is a mode of its own, or swings with one other, the names are
/// those of the states: `u w q theta`.
#[test]
fn longitudinal_roots_are_named_by_their_states() {
    use ModeKind::{
        Phugoid, PhugoidRoot, PitchPhugoidOscillation as Joined, ShortPeriod, ShortPeriodRoot,
    };
    type Case<'a> = ([f64; 4], &'a [(usize, usize, f64)], &'a [(f64, ModeKind)]);
    let cases: [Case; 7] = [
        (
            [-0.1, -3.0, -5.0, -0.2],
            &[],
            &[
                (-5.0, ShortPeriodRoot),
                (-3.0, ShortPeriodRoot),
                (-0.2, PhugoidRoot),
                (-0.1, PhugoidRoot),
            ],
        ),
        // By what takes part, not by size.
        (
            [-3.0, -0.1, -0.2, -5.0],
            &[],
            &[
                (-5.0, PhugoidRoot),
                (-3.0, PhugoidRoot),
                (-0.2, ShortPeriodRoot),
                (-0.1, ShortPeriodRoot),
            ],
        ),
        (
            [-0.1, -2.0, 0.0, -0.2],
            &[(1, 2, 5.0)],
            &[(-2.0, ShortPeriod), (-0.2, PhugoidRoot), (-0.1, PhugoidRoot)],
        ),
        (
            [-0.1, -3.0, -5.0, 0.0],
            &[(0, 3, 2.0)],
            &[(-5.0, ShortPeriodRoot), (-3.0, ShortPeriodRoot), (-0.1, Phugoid)],
        ),
        (
            [-0.1, -1.0, -4.0, 0.0],
            &[(1, 3, 3.0)],
            &[(-4.0, ShortPeriodRoot), (-1.0, Joined), (-0.1, PhugoidRoot)],
        ),
        (
            [-0.1, -4.0, -1.0, 0.0],
            &[(2, 3, 3.0)],
            &[(-4.0, ShortPeriodRoot), (-1.0, Joined), (-0.1, PhugoidRoot)],
        ),
        (
            [-0.3, -0.1, 0.0, 0.0],
            &[(1, 2, 2.0), (0, 3, 6.0)],
            &[(-0.3, Phugoid), (-0.1, ShortPeriod)],
        ),
    ];
    for (rates, pairs, wanted) in cases {
        let modes = longitudinal_modes(&uncoupled(rates, pairs), 10.0).unwrap();
        assert_eq!(modes.len(), wanted.len());
        for (mode, (real, kind)) in modes.iter().zip(wanted) {
            // From fast to slow.
            assert!((mode.real_1_s - real).abs() < 1e-9, "{real}: {modes:?}");
            assert_eq!(mode.kind, *kind, "{real} of {rates:?}");
        }
    }
}

/// The same of `v p r phi`.
#[test]
fn lateral_roots_are_named_by_their_states() {
    use ModeKind::{DutchRoll, DutchRollRoot, Roll, RollSpiralOscillation, Spiral};
    type Case<'a> = ([f64; 4], &'a [(usize, usize, f64)], &'a [(f64, ModeKind)]);
    let cases: [Case; 6] = [
        (
            [-1.0, -8.0, -2.0, -0.05],
            &[],
            &[(-1.0, DutchRollRoot), (-8.0, Roll), (-2.0, DutchRollRoot), (-0.05, Spiral)],
        ),
        (
            [-0.4, -0.1, -7.0, -3.0],
            &[],
            &[(-0.4, DutchRollRoot), (-0.1, Roll), (-7.0, DutchRollRoot), (-3.0, Spiral)],
        ),
        ([-0.5, -8.0, 0.0, 0.1], &[(0, 2, 3.0)], &[(-0.5, DutchRoll), (-8.0, Roll), (0.1, Spiral)]),
        (
            [-0.7, -1.0, -3.0, 0.0],
            &[(1, 3, 2.0)],
            &[(-1.0, RollSpiralOscillation), (-0.7, DutchRollRoot), (-3.0, DutchRollRoot)],
        ),
        (
            [-0.5, -1.0, 0.0, 0.0],
            &[(0, 2, 3.0), (1, 3, 6.0)],
            &[(-0.5, DutchRoll), (-1.0, RollSpiralOscillation)],
        ),
        (
            [-0.5, -1.0, 0.0, 0.0],
            &[(0, 2, 6.0), (1, 3, 3.0)],
            &[(-0.5, DutchRoll), (-1.0, RollSpiralOscillation)],
        ),
    ];
    for (rates, pairs, wanted) in cases {
        let modes = lateral_modes(&uncoupled(rates, pairs), 10.0).unwrap();
        assert_eq!(modes.len(), wanted.len());
        for (real, kind) in wanted {
            assert_eq!(kind_of(&modes, *real), *kind, "{real} of {rates:?}");
        }
    }
}

/// Of w' = -2 w + 5 q, q' = -5 w - 2 q the root is -2 + 5i with q = i w: angle of
/// attack w/V against the angle swept q/|root|, a quarter of a swing behind it; the
/// larger of them counts as one.
#[test]
fn a_shape_compares_angles() {
    let size = 29f64.sqrt();
    for airspeed in [10.0, 4.0] {
        let a = uncoupled([-0.1, -2.0, 0.0, -0.2], &[(1, 2, 5.0)]);
        let modes = longitudinal_modes(&a, airspeed).unwrap();
        let short = modes.iter().find(|mode| mode.kind == ModeKind::ShortPeriod).unwrap();
        assert!((short.natural_frequency_rad_s - size).abs() < 1e-9);
        assert!((short.damping_ratio - 2.0 / size).abs() < 1e-9);
        assert!((short.period_s.unwrap() - TAU / 5.0).abs() < 1e-9);
        assert!((short.time_to_half_or_double_s.unwrap() - LN_2 / 2.0).abs() < 1e-9);
        let part = |motion| short.part(motion).unwrap();
        let (alpha, rate) = (part(MotionVariable::AngleOfAttack), part(MotionVariable::PitchRate));
        let ratio = size / airspeed;
        assert!((alpha.magnitude - ratio.min(1.0)).abs() < 1e-9, "{alpha:?}");
        assert!((rate.magnitude - (1.0 / ratio).min(1.0)).abs() < 1e-9, "{rate:?}");
        assert!((alpha.phase_rad - rate.phase_rad + TAU / 4.0).abs() < 1e-9, "{alpha:?}");
        assert!(alpha.phase_rad.abs().min(rate.phase_rad.abs()) < 1e-9);
        for still in [MotionVariable::Speed, MotionVariable::Pitch] {
            assert!(part(still).magnitude < 1e-9 && part(still).participation < 1e-9);
        }
        for moving in [alpha, rate] {
            assert!((moving.participation - 0.5).abs() < 1e-9, "{moving:?}");
        }
    }
}

/// A root of each half, coupled by e both ways, becomes the mean plus and minus
/// sqrt(d2 / 4 + e2): the shift over the smaller root, or over g/V where that is more.
#[test]
fn coupling_is_the_greatest_shift_of_a_root() {
    for (one, other, cross, wanted) in [
        (-4.0, -5.0, 1.0, (1.25f64.sqrt() - 0.5) / 4.0),
        (-0.1, -0.3, 0.2, (0.05f64.sqrt() - 0.1) / (GRAVITY_M_S2 / 10.0)),
    ] {
        let rest = nalgebra::SVector::<f64, 8>::from_row_slice(&[
            one, other, -2.0, -8.0, -3.0, -6.5, -10.0, -1.2,
        ]);
        let mut a = nalgebra::SMatrix::<f64, 8, 8>::from_diagonal(&rest);
        (a[(0, 1)], a[(1, 0)]) = (cross, cross);
        let model = LinearModel {
            a,
            b: nalgebra::SMatrix::zeros(),
            airspeed_m_s: 10.0,
            alpha_rad: 0.0,
            beta_rad: 0.0,
            pitch_rad: 0.0,
            bank_rad: 0.0,
        };
        let found = coupling(&model).unwrap();
        assert!((found / wanted - 1.0).abs() < 1e-9, "{found} {wanted}");
    }
}
