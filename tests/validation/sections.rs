//! Sections of models and of a full-size wing against published values.
//!
//! Sources and tolerances beside each check; most published numbers here are
//! recalled, so their tolerance is the scatter between sources, not an error
//! bar. Angles of attack are swept through the whole circle for the properties.

use std::f64::consts::PI;

use fledge_tests::{SECTION_KINDS, check_absolute, check_relative};
use sim_core::aero::hinge::{lift_per_deflection, zero_lift_shift_per_deflection};
use sim_core::aero::section::SectionModel;
use sim_core::aero::section::table::FLAP_LIFT_SHARE;
use sim_core::aircraft::{KnownSection, Section, SectionKind};

const REYNOLDS: [f64; 6] = [1e4, 5e4, 1e5, 2e5, 1e6, 1e7];

fn section(kind: SectionKind, thickness: f64, camber: f64) -> Section {
    Section { kind, thickness, camber, known: KnownSection::default() }
}

fn greatest_lift(model: &SectionModel) -> f64 {
    (0..250)
        .map(|tenth| model.coefficients(f64::from(tenth) * 0.1 * PI / 180.0, 0.0).cl)
        .fold(0.0, f64::max)
}

/// Least drag within +-20 deg.
fn least_drag(model: &SectionModel) -> f64 {
    (-200..200)
        .map(|tenth| model.coefficients(f64::from(tenth) * 0.1 * PI / 180.0, 0.0).cd)
        .fold(f64::INFINITY, f64::min)
}

/// Thin flat plates at Re 8e4 to 2e5: slope 5.2 to 6.2 per rad, greatest lift
/// 0.70 to 0.80 (Hoerner & Borst 1975), least drag 0.012 to 0.018; all from
/// memory. The lift of the attached flow is meant, not the slow rise at 25 deg.
#[test]
fn flat_plate_at_model_scale() {
    for reynolds in [8e4, 2e5] {
        let model = SectionModel::new(&section(SectionKind::RoundedSheet, 0.02, 0.0), reynolds);
        check_absolute("slope", 2.0 * PI * model.lift_slope_factor(), 5.7, 0.5);
        check_absolute("greatest lift", model.lift_coefficient_limits().1, 0.75, 0.1);
        check_absolute("least drag", least_drag(&model), 0.015, 0.0045);
        assert_eq!(model.zero_lift_angle_rad(), 0.0);
    }
}

/// 4 % circular-arc plate: greatest lift 1.0 to 1.2 (from memory); zero lift at
/// -2 f/c and moment -pi f/c by thin-aerofoil theory of the parabolic arc.
#[test]
fn cambered_plate_at_model_scale() {
    let model = SectionModel::new(&section(SectionKind::CamberedPlate, 0.02, 0.04), 1e5);
    check_absolute("greatest lift", model.lift_coefficient_limits().1, 1.1, 0.15);
    check_relative("zero-lift angle", model.zero_lift_angle_rad(), -0.08, 1e-12);
    check_relative("moment", model.moment_coefficient_zero_lift(), -0.04 * PI, 1e-12);
    let at_zero = model.coefficients(-0.08, 0.0);
    check_absolute("lift there", at_zero.cl, 0.0, 1e-12);
}

/// A full-size 15 % profile at Re 6e6: greatest lift 1.5 to 1.7, least drag
/// 0.006 to 0.008, slope 0.105 to 0.110 per deg (Abbott & von Doenhoff 1959,
/// four-digit sections, from memory).
#[test]
fn profile_at_full_scale() {
    let known = KnownSection { zero_lift_angle_deg: Some(-5.0), ..KnownSection::default() };
    let section = Section { known, ..section(SectionKind::Profile, 0.15, 0.03) };
    let model = SectionModel::new(&section, 6e6);
    check_absolute("greatest lift", greatest_lift(&model), 1.6, 0.12);
    check_absolute("least drag", least_drag(&model), 0.007, 0.0015);
    check_absolute(
        "slope per deg",
        model.lift_slope_factor() * 2.0 * PI * PI / 180.0,
        0.1075,
        0.003,
    );
    check_relative("zero-lift angle", model.zero_lift_angle_rad().to_degrees(), -5.0, 1e-12);
    assert!(model.leading_edge_suction() > 0.95);
}

/// Thick profiles lose lift and gain drag below their critical Reynolds number,
/// 1.0e5 to 1.5e5 at 12 % (Schmitz 1942); plates hardly change (Winslow et al.
/// 2018), so at 4e4 the arc plate is the better wing.
#[test]
fn critical_reynolds_number() {
    let at =
        |kind, thickness, reynolds| SectionModel::new(&section(kind, thickness, 0.04), reynolds);
    let below = at(SectionKind::Profile, 0.12, 5e4);
    let above = at(SectionKind::Profile, 0.12, 3e5);
    assert!(least_drag(&below) > 2.0 * least_drag(&above));
    assert!(greatest_lift(&below) < greatest_lift(&above) - 0.1);
    let plate = at(SectionKind::CamberedPlate, 0.02, 4e4);
    let better = |model: &SectionModel| {
        (0..120)
            .map(|tenth| model.coefficients(f64::from(tenth) * PI / 1800.0, 0.0))
            .map(|c| c.cl / c.cd)
            .fold(0.0, f64::max)
    };
    assert!(better(&plate) > better(&below));
}

/// Plate normal force 1.98 square to the flow (Hoerner 1965), Lindenburg (2003)
/// in between: 0.953 at 20 deg, 1.607 at 45 deg; force square to the plate. The
/// sections add only their friction, so 1 % is fair.
#[test]
fn separated_plate() {
    let model = SectionModel::new(&section(SectionKind::FlatSheet, 0.02, 0.0), 1e5);
    for (degrees, normal) in [(20.0_f64, 0.953), (45.0, 1.607), (90.0, 1.980)] {
        let (sine, cosine) = degrees.to_radians().sin_cos();
        let ours = model.coefficients(degrees.to_radians(), 0.0);
        let friction = model.drag_coefficient_min();
        check_absolute("lift", ours.cl, normal * cosine, 0.02);
        check_absolute("drag", ours.cd - friction, normal * sine, 0.02);
    }
}

/// Centre of pressure from the quarter chord to the middle square to the flow,
/// to about three quarters in reversed flow (0.69 by Rayleigh 1876).
#[test]
fn centre_of_pressure_travels() {
    let model = SectionModel::new(&section(SectionKind::RoundedSheet, 0.03, 0.0), 1e5);
    let place = |degrees: f64| {
        let alpha = degrees.to_radians();
        let ours = model.coefficients(alpha, 0.0);
        let normal = ours.cl * alpha.cos() + ours.cd * alpha.sin();
        0.25 - ours.cm_quarter_chord / normal
    };
    check_absolute("attached", place(3.0), 0.25, 1e-9);
    check_absolute("square", place(90.0), 0.5, 0.01);
    check_absolute("reversed", place(175.0), 0.69, 0.03);
}

/// A finite wing square to the flow: 1.2 at aspect ratio 5, 1.3 at 10 (Hoerner
/// 1965, from memory, 5 %).
#[test]
fn finite_wing_square_to_the_flow() {
    let model = SectionModel::new(&section(SectionKind::FlatSheet, 0.02, 0.0), 1e5);
    for (aspect_ratio, drag) in [(5.0, 1.2), (10.0, 1.3)] {
        let ours = model.on_wing(aspect_ratio).coefficients(PI / 2.0, 0.0);
        check_relative("drag", ours.cd - model.drag_coefficient_min(), drag, 0.05);
    }
}

/// The share of a flap's lift that comes on top of greatest lift follows from
/// equal nose load: 1 - (1 - theta_h / pi) / tau.
#[test]
fn flap_raises_greatest_lift_by_its_share() {
    for ratio in [0.2, 0.3, 0.4] {
        let theta = (2.0_f64 * ratio - 1.0).acos();
        let tau = zero_lift_shift_per_deflection(ratio);
        check_absolute("share", 1.0 - (1.0 - theta / PI) / tau, FLAP_LIFT_SHARE.value, 0.05);
        check_relative("lift", lift_per_deflection(ratio), 2.0 * PI * tau, 1e-12);
    }
    // At full scale, where the attached flow gives more than the separated one.
    let model = SectionModel::new(&section(SectionKind::Profile, 0.12, 0.0), 6e6);
    let with_flap = (0..250)
        .map(|tenth| model.coefficients(f64::from(tenth) * PI / 1800.0, 0.1).cl)
        .fold(0.0, f64::max);
    let rise = FLAP_LIFT_SHARE.value * 0.1 * 2.0 * PI * model.lift_slope_factor();
    check_absolute("rise", with_flap - greatest_lift(&model), rise, 1e-3);
}

#[test]
fn linear_within_its_window_to_the_last_digits() {
    for kind in SECTION_KINDS {
        for reynolds in REYNOLDS {
            let model = SectionModel::new(&section(kind, 0.06, 0.02), reynolds);
            let slope = 2.0 * PI * model.lift_slope_factor();
            for flap in [-0.1, 0.0, 0.2] {
                let (low, high) = model.linear_window_rad(flap);
                for share in [0.001, 0.3, 0.7, 0.999] {
                    let alpha = low + share * (high - low);
                    let ours = model.coefficients(alpha, flap);
                    let line = slope * (alpha - model.zero_lift_angle_rad() + flap);
                    check_absolute("lift", ours.cl, line, 1e-14);
                    check_relative("slope", ours.cl_alpha, slope, 1e-14);
                }
            }
            let range = 0.999 * model.linear_range_rad();
            let alpha = model.zero_lift_angle_rad() + range;
            check_absolute("range", model.coefficients(alpha, 0.0).cl, slope * range, 1e-14);
        }
    }
}

/// Values and slopes are continuous all the way round, seen in steps of h =
/// 1e-4 rad. A leap in value D shows as D, against a true growth of at most
/// 30 h; a leap in slope D shows as a bend D / h. The steepest true bend is the
/// passage of `attached` from 1 to 0 over 0.1 rad, 6 / 0.1^2 = 600, so 2000
/// finds any leap in slope above 0.2 per rad.
#[test]
fn smooth_all_the_way_round() {
    let step = 1e-4;
    let count = (2.0 * PI / step) as i32;
    for kind in SECTION_KINDS {
        for reynolds in REYNOLDS {
            let model = SectionModel::new(&section(kind, 0.08, 0.03), reynolds);
            for flap in [0.0, 0.25] {
                let at = |index: i32| model.coefficients(-PI + f64::from(index) * step, flap);
                let (mut before, mut now) = (at(-1), at(0));
                for index in 1..=count {
                    let next = at(index);
                    let values = |c: &sim_core::aero::section::SectionCoefficients| {
                        [c.cl, c.cd, c.cm_quarter_chord, c.cd_lost_suction, c.attached]
                    };
                    for ((a, b), c) in values(&before).iter().zip(values(&now)).zip(values(&next)) {
                        assert!((b - a).abs() < 30.0 * step, "{kind:?} leaps at {index}");
                        let bend = (c - 2.0 * b + a) / (step * step);
                        assert!(bend.abs() < 2e3, "{kind:?} {reynolds} kink {bend} at {index}");
                    }
                    // The slope given is the slope of the lift given.
                    let slope = (next.cl - before.cl) / (2.0 * step);
                    check_absolute("cl_alpha", now.cl_alpha, slope, 0.1);
                    assert!(now.cd > 0.0 && (0.0..=1.0).contains(&now.attached));
                    (before, now) = (now, next);
                }
            }
        }
    }
}

/// Turning a section over turns the signs, exactly.
#[test]
fn odd_when_turned_over() {
    for kind in SECTION_KINDS {
        let upright = SectionModel::new(&section(kind, 0.05, 0.03), 1e5);
        let turned = SectionModel::new(&section(kind, 0.05, -0.03), 1e5);
        for degrees in -400..400 {
            let alpha = f64::from(degrees) * PI / 180.0 * 0.9;
            let a = upright.coefficients(alpha, 0.12);
            let b = turned.coefficients(-alpha, -0.12);
            assert_eq!(a.cl, -b.cl);
            assert_eq!(a.cd, b.cd);
            assert_eq!(a.cm_quarter_chord, -b.cm_quarter_chord);
            assert_eq!(a.cl_alpha, b.cl_alpha);
        }
    }
}

/// Whatever is known from measurement comes back, and is trusted more.
#[test]
fn known_coefficients_replace_estimates() {
    let known = KnownSection {
        zero_lift_angle_deg: Some(-3.0),
        lift_slope_per_rad: Some(6.0),
        moment_coefficient: Some(-0.07),
        lift_coefficient_max: Some(1.35),
        drag_coefficient_min: Some(0.011),
    };
    let plain = section(SectionKind::Profile, 0.1, 0.02);
    let model = SectionModel::new(&Section { known, ..plain }, 3e5);
    check_relative("slope", model.lift_slope_factor() * 2.0 * PI, 6.0, 1e-12);
    check_relative("greatest lift", greatest_lift(&model), 1.35, 1e-3);
    check_relative("least drag", least_drag(&model), 0.011, 1e-3);
    check_relative("moment", model.moment_coefficient_zero_lift(), -0.07, 1e-12);
    let estimated = SectionModel::new(&plain, 3e5).uncertainty();
    let trusted = model.uncertainty();
    assert!(trusted.lift_slope < estimated.lift_slope);
    assert!(trusted.lift_coefficient_max < estimated.lift_coefficient_max);
    assert!(trusted.drag_coefficient_min < estimated.drag_coefficient_min);
}

#[test]
fn wild_input_stays_finite() {
    let wild = [f64::NAN, f64::INFINITY, f64::NEG_INFINITY, 0.0, -1.0, 1e300, 1e-300];
    for kind in SECTION_KINDS {
        for reynolds in wild {
            for thickness in [0.001, 0.25] {
                let model = SectionModel::new(&section(kind, thickness, 0.12), reynolds);
                for alpha in wild {
                    for flap in wild {
                        let ours = model.coefficients(alpha, flap);
                        let sum = ours.cl + ours.cd + ours.cm_quarter_chord + ours.cl_alpha;
                        assert!(sum.is_finite(), "{kind:?} {reynolds} {alpha} {flap}");
                    }
                }
            }
        }
    }
}
