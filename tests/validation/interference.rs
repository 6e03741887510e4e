//! What one part does to another: downwash, wing height, flaps on a whole wing.
//!
//! Sources: downwash slope, USAF DATCOM 4.4.1 (formula from memory: 0.425 for
//! aspect ratio 5 with the tail half a span behind, 0.318 for 6 with the tail a
//! tenth of the span above); wing height, DATCOM 5.2.2.1 (formula from memory),
//! and C. D. Perkins and R. E. Hage, Airplane Performance Stability and Control,
//! 1949, ch. 9 (from memory); wing and body, W. C. Pitts, J. N. Nielsen and
//! G. E. Kaattari, NACA Rep. 1307, 1957 (slender-body factor, from memory); flap, H. Glauert, ARC R&M 1095, 1927; circular
//! wing, P. F. Jordan 1971 (from memory); lag of the downwash, B. Etkin and L. D.
//! Reid, Dynamics of Flight, 3rd ed. 1996, section 5.4 (from memory); ground, C.
//! Wieselsberger, NACA TM 77, 1922, with Prandtl's formula (from memory).
//! Tolerances: 15 % between the formula for downwash and a vortex wake, which
//! leaves rolling-up out; 30 % on the wing's height, the scatter of the data
//! behind the rule; 7 % on wing and body, as measurements scatter about the
//! factor; 1.5 % for the flap, whose lattice is corrected to the
//! theory in two dimensions and which the wing's ends change a little; 2 % for
//! a circle drawn with eight straight panels; 10 % on the lag, for which the book
//! counts the way from wing to tail, not from where the wake leaves; 10 % on the
//! ground, as the lumped horseshoe stands for a wing.

use fledge_tests::check_relative;
use nalgebra::Vector3;
use sim_core::aero::grid::GridOptions;
use sim_core::aero::hinge::EFFECTIVENESS_SEALED;
use sim_core::aero::{AeroModel, AeroOptions, DeviceDeflections};
use sim_core::aircraft::{
    Aircraft, Body, BodyKind, ControlRole, ControlSurface, Panel, Place, Surface, SurfaceRole,
};
use sim_core::dynamics::AirState;

use crate::wings::{TestWing, air, bare, ideal_section};

const PRESSURE: f64 = 0.5 * 1.225 * 100.0;

fn model(aircraft: Aircraft) -> AeroModel {
    let options = AeroOptions {
        grid: GridOptions { strips: 24, strips_min: 6, boxes: 4 },
        airspeed_m_s: 10.0,
        kinematic_viscosity_m2_s: 1.46e-5,
        wake_alpha_rad: 0.0,
    };
    AeroModel::new(&aircraft.check().unwrap(), Place::default(), options).unwrap()
}

/// Lift of the tail over that of the same tail far above, both per rad.
fn downwash_slope(aspect_ratio: f64, behind: f64, above: f64) -> f64 {
    let tail_lift = |up_m: f64| {
        let wing = TestWing { aspect_ratio, ..TestWing::default() }.surface();
        let mut tail = TestWing { aspect_ratio: 3.0, ..TestWing::default() }.surface();
        tail.name = "tail".into();
        tail.role = SurfaceRole::Tailplane;
        for panel in &mut tail.panels {
            panel.span_m *= 0.5;
            panel.root_chord_m *= 0.5;
            panel.tip_chord_m *= 0.5;
        }
        // Quarter chords apart: the tail's chord is half of the wing's.
        tail.root = Place::new(behind * aspect_ratio + 0.25 - 0.125, 0.0, up_m);
        let model = model(bare(vec![wing, tail]));
        model.loads(&air(0.02, 0.0, Vector3::zeros()), &DeviceDeflections::default(), &[]);
        let loads = model.strip_loads();
        let of_tail = loads.iter().filter(|load| load.quarter_chord.x < -1.0);
        of_tail.map(|load| load.section_cl).sum::<f64>()
    };
    1.0 - tail_lift(above * aspect_ratio) / tail_lift(45.0)
}

// 0.318 is a downwash gradient, not 1 / pi.
#[allow(clippy::approx_constant)]
#[test]
fn downwash_at_a_tail() {
    for (aspect_ratio, behind, above, theirs) in [(5.0, 0.5, 0.0, 0.425), (6.0, 0.5, 0.1, 0.3181)] {
        let what = format!("downwash slope, AR {aspect_ratio}, {above} spans above");
        check_relative(&what, downwash_slope(aspect_ratio, behind, above), theirs, 0.15);
    }
}

/// The lift that the tail has too much while the wing's rises, and its moment:
/// a_t S_t (d eps/d alpha) l_t / 2 per w' in air of density one, times l_t. What
/// both have far from each other is taken off.
#[test]
fn downwash_is_late_at_a_tail() {
    const BEHIND_M: f64 = 6.0;
    let wing = TestWing::default().surface();
    let [near, far] = [0.3, 45.0].map(|up_m| {
        let mut tail = TestWing { aspect_ratio: 3.0, ..TestWing::default() }.surface();
        tail.name = "tail".into();
        tail.role = SurfaceRole::Tailplane;
        tail.root = Place::new(BEHIND_M, 0.0, up_m);
        model(bare(vec![wing.clone(), tail]))
    });
    let together = |of: &dyn Fn(&AeroModel) -> f64| of(&near) - of(&far);
    let slope = |model: &AeroModel| {
        let lift = |alpha: f64| {
            let air = air(alpha, 0.0, Vector3::zeros());
            -model.loads(&air, &DeviceDeflections::default(), &[]).force_body.z
        };
        (lift(1e-3) - lift(-1e-3)) / 2e-3
    };
    // The lift slope that the tail loses, over the square of the speed.
    let lost = -together(&slope) / 100.0 / 1.225;
    let late = |row: usize| together(&|model: &AeroModel| model.added_mass(1.0)[(row, 2)]);
    check_relative("late lift of a tail, kg", late(2), lost * BEHIND_M, 0.10);
    check_relative("its moment, kg m", late(4), lost * BEHIND_M * BEHIND_M, 0.10);
}

/// Induced drag per lift squared near the ground less that far from it, over
/// 1/(pi A): Wieselsberger's sigma.
#[test]
fn induced_drag_of_a_wing_near_the_ground() {
    let wing = TestWing { taper: 0.45, ..TestWing::default() };
    let model = model(bare(vec![wing.surface()]));
    let lift_and_drag = |alpha: f64, height_m: Option<f64>| {
        let air = AirState { height_m, ..air(alpha, 0.0, Vector3::zeros()) };
        let wrench = model.loads(&air, &DeviceDeflections::default(), &[]);
        assert!(wrench.moment_body.x.abs() < 1e-9 && wrench.force_body.y.abs() < 1e-9);
        let (sin, cos) = alpha.sin_cos();
        let [x, z] = [wrench.force_body.x, wrench.force_body.z].map(|part| part / (PRESSURE * 6.0));
        [x * sin - z * cos, -x * cos - z * sin]
    };
    let per_lift_squared = |height_m: Option<f64>| {
        let [lift, drag] = lift_and_drag(0.06, height_m);
        (drag - lift_and_drag(0.0, height_m)[1]) / (lift * lift)
    };
    let free = per_lift_squared(None);
    for over_span in [0.1, 0.2] {
        let near = per_lift_squared(Some(6.0 * over_span));
        let sigma = (free - near) * std::f64::consts::PI * 6.0;
        let theirs = (1.0 - 1.32 * over_span) / (1.05 + 7.4 * over_span);
        check_relative(&format!("sigma at {over_span} spans"), sigma, theirs, 0.10);
    }
}

/// A round body of diameter 0.5 whose axis lies `below_m` under the datum.
fn fuselage(below_m: f64) -> Body {
    Body {
        name: "fuselage".into(),
        kind: BodyKind::Fuselage,
        front: Place::new(-1.5, 0.0, -below_m),
        rear: Place::new(3.5, 0.0, -below_m),
        width_m: 0.5,
        height_m: 0.5,
        mirrored: false,
        drag_coefficient: None,
    }
}

/// Cl_beta per degree of a wing of span 6 and chord 1 with a fuselage of
/// diameter 0.5, the wing's root `up_m` above its axis.
fn roll_by_sideslip(up_m: f64, with_body: bool) -> f64 {
    let mut aircraft = bare(vec![TestWing::default().surface()]);
    if with_body {
        aircraft.bodies.push(fuselage(up_m));
    }
    let model = model(aircraft);
    let roll = |beta: f64| {
        let air = air(0.0, beta, Vector3::zeros());
        model.loads(&air, &DeviceDeflections::default(), &[]).moment_body.x
    };
    let step = 1f64.to_radians();
    (roll(step) - roll(-step)) / 2.0 / (PRESSURE * 36.0)
}

#[test]
fn high_and_low_wings() {
    // 1.2 sqrt(A) (z/b) (2 d/b) / 57.3 per degree, z = d/2 below: b 6, d 0.5.
    let rule = 1.2 * 6f64.sqrt() * (0.25 / 6.0) * (2.0 * 0.5 / 6.0) / 57.3;
    let high = roll_by_sideslip(0.25, true) - roll_by_sideslip(0.25, false);
    let low = roll_by_sideslip(-0.25, true) - roll_by_sideslip(-0.25, false);
    check_relative("high wing, per degree", high, -rule, 0.30);
    check_relative("low wing, per degree", low, rule, 0.30);
}

#[test]
fn lift_of_wing_and_body() {
    // (1 + r)^2 times the lift of the exposed wing, r = radius over half span:
    // here 1/12, the exposed wing of aspect ratio 5.5 (slope between 4.01 of 5
    // and 4.214 of 6 by the independent lifting surface and its interpolation,
    // 4.10), over the whole wing's 4.214.
    let theirs = (1.0 + 1.0f64 / 12.0).powi(2) * (1.0 - 1.0 / 12.0) * 4.10 / 4.214;
    let slope = |with_body: bool| {
        let mut aircraft = bare(vec![TestWing::default().surface()]);
        if with_body {
            aircraft.bodies.push(fuselage(0.0));
        }
        let model = model(aircraft);
        let lift = |alpha: f64| {
            let air = air(alpha, 0.0, Vector3::zeros());
            model.loads(&air, &DeviceDeflections::default(), &[]).force_body.z
        };
        lift(-1e-3) - lift(1e-3)
    };
    check_relative("lift with a body over lift without", slope(true) / slope(false), theirs, 0.07);
}

/// Lift, drag and nose-up moment of a wing and what is with it, motionless air.
fn lift_drag_moment(aircraft: &Aircraft, alpha: f64) -> [f64; 3] {
    let model = model(aircraft.clone());
    let air = air(alpha, 0.0, Vector3::zeros());
    let wrench = model.loads(&air, &DeviceDeflections::default(), &[]);
    let (sin, cos) = alpha.sin_cos();
    let (x, z) = (wrench.force_body.x, wrench.force_body.z);
    [x * sin - z * cos, -x * cos - z * sin, wrench.moment_body.y]
}

/// The wake alone decides induced drag (Munk, NACA Rep. 121, 1921): upwash beside
/// a fuselage cannot make it less than that of the best wake, which a wing of
/// taper 0.45 misses by 1 % (H. Glauert, The Elements of Aerofoil and Airscrew
/// Theory, 1926, from memory). Half a per cent is the lattice's.
#[test]
fn a_fuselage_takes_no_induced_drag_away() {
    let drag_by_lift = |diameter: f64| {
        let wing = TestWing { taper: 0.45, ..TestWing::default() }.surface();
        let mut aircraft = bare(vec![wing]);
        if diameter > 0.0 {
            let size = Body { width_m: diameter, height_m: diameter, ..fuselage(0.0) };
            aircraft.bodies.push(size);
        }
        let [_, still, _] = lift_drag_moment(&aircraft, 0.0);
        let [lift, drag, _] = lift_drag_moment(&aircraft, 0.05);
        (drag - still) / lift.powi(2)
    };
    let alone = drag_by_lift(0.0);
    for diameter in [0.25, 0.5, 0.8] {
        let ratio = drag_by_lift(diameter) / alone;
        assert!((0.985..1.1).contains(&ratio), "diameter {diameter}: {ratio}");
    }
}

/// By how much a fuselage moves the neutral point of wing and tail aft, chords,
/// the wing `up_m` above its axis.
fn neutral_point_shift(up_m: f64) -> f64 {
    let wing = TestWing::default().surface();
    let mut tail = TestWing { aspect_ratio: 3.5, ..TestWing::default() }.surface();
    tail.name = "tail".into();
    tail.role = SurfaceRole::Tailplane;
    tail.root = Place::new(3.25, 0.0, 0.5 - up_m);
    tail.panels[0].span_m = 1.25;
    tail.panels[0].root_chord_m = 0.7;
    tail.panels[0].tip_chord_m = 0.7;
    let mut aircraft = bare(vec![wing, tail]);
    let place = |aircraft: &Aircraft| {
        let [[lift_up, _, moment_up], [lift, _, moment]] =
            [1e-3, -1e-3].map(|alpha| lift_drag_moment(aircraft, alpha));
        (moment - moment_up) / (lift_up - lift)
    };
    let without = place(&aircraft);
    aircraft.bodies.push(fuselage(up_m));
    place(&aircraft) - without
}

/// Lift that a body carries on is worth 5 % of the wing's at the most (NACA Rep.
/// 1307, above); it takes that share, and with its downwash as much again, from
/// what the tail gives, here 0.4 chords: 4 %. A fifth more for the tail's
/// standing in the middle of the wake.
#[test]
fn the_height_of_the_wing_hardly_moves_the_neutral_point() {
    let tangent = neutral_point_shift(0.25);
    for up_m in [0.0, 0.1, 0.2] {
        let shift = neutral_point_shift(up_m);
        assert!((-0.1..0.0).contains(&shift), "{up_m} m above the axis: {shift} chords");
        assert!((shift - tangent).abs() < 0.048, "{up_m} m above: {shift}, tangent {tangent}");
    }
}

/// Nothing leaps as a body leaves the plane of symmetry.
#[test]
fn a_body_may_stand_beside_the_plane_of_symmetry() {
    let loads = |right_m: f64| {
        let mut body = fuselage(0.0);
        body.front.right_m = right_m;
        body.rear.right_m = right_m;
        let mut aircraft = bare(vec![TestWing::default().surface()]);
        aircraft.bodies.push(body);
        lift_drag_moment(&aircraft, 0.05)
    };
    let [lift, drag, _] = loads(0.0);
    for right_m in [1e-9, 1e-4] {
        let [off_lift, off_drag, _] = loads(right_m);
        assert!((off_lift / lift - 1.0).abs() < 1e-4, "{right_m} m beside: {off_lift}, {lift}");
        assert!((off_drag / drag - 1.0).abs() < 1e-4, "{right_m} m beside: {off_drag}, {drag}");
    }
}

#[test]
fn a_flap_along_a_long_wing() {
    let wing = TestWing { aspect_ratio: 20.0, ..TestWing::default() };
    for (chord, tau) in [(0.2, 0.5498), (0.3, 0.6607)] {
        let mut surface = wing.surface();
        surface.controls.push(ControlSurface {
            name: "flap".into(),
            role: ControlRole::Flap,
            from_span: 0.0,
            to_span: 1.0,
            inner_chord: chord,
            outer_chord: chord,
            throw_max_deg: 30.0,
            gap_sealed: true,
            setting: None,
            linkage: None,
        });
        let model = model(bare(vec![surface]));
        let lift = |alpha: f64, flap: f64| {
            let both = DeviceDeflections { right_rad: vec![flap], left_rad: vec![flap] };
            -model.loads(&air(alpha, 0.0, Vector3::zeros()), &both, &[]).force_body.z
        };
        let step = 1e-3;
        let by_flap = lift(0.0, step) - lift(0.0, -step);
        let by_alpha = lift(step, 0.0) - lift(-step, 0.0);
        let what = format!("flap of {chord} chord over angle of attack");
        check_relative(&what, by_flap / by_alpha, tau * EFFECTIVENESS_SEALED, 0.015);
    }
}

#[test]
fn a_circular_wing() {
    const PANELS: usize = 8;
    // Equal steps of the angle, so that panels are short where the edge curves.
    let at = |k: usize| (k as f64 / PANELS as f64 * std::f64::consts::FRAC_PI_2).sin();
    let chord = |y: f64| 2.0 * (1.0 - y * y).max(1e-3).sqrt();
    let panels: Vec<Panel> = (0..PANELS)
        .map(|k| Panel {
            span_m: at(k + 1) - at(k),
            root_chord_m: chord(at(k)),
            tip_chord_m: chord(at(k + 1)),
            sweep_deg: 0.0,
            sweep_line: 0.5,
            dihedral_deg: 0.0,
            incidence_deg: 0.0,
            twist_deg: 0.0,
            section: ideal_section(),
        })
        .collect();
    let wing = Surface { panels, ..TestWing::default().surface() };
    let model = model(bare(vec![wing]));
    let lift = |alpha: f64| {
        let air = air(alpha, 0.0, Vector3::zeros());
        model.loads(&air, &DeviceDeflections::default(), &[]).force_body
    };
    let step = 1e-3;
    let slope = -(lift(step).z - lift(-step).z) / (2.0 * step) / (PRESSURE * std::f64::consts::PI);
    check_relative("lift slope of a circle", slope, 1.790, 0.02);
}
