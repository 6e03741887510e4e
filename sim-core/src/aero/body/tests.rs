use super::*;

/// Hoerner's form factor of a streamlined body five times as long as wide:
/// 1 + 1.5 x 0.2^1.5 + 7 x 0.2^3 = 1.190, on the wetted area of a tube less its
/// taper; a known drag coefficient replaces friction and ends on the frontal area.
#[test]
fn axial_drag_is_friction_times_form_and_the_ends() {
    let mut body = Body {
        name: "pod".into(),
        kind: BodyKind::Fuselage,
        front: Place::new(0.0, 0.0, 0.0),
        rear: Place::new(1.0, 0.0, 0.0),
        width_m: 0.2,
        height_m: 0.2,
        mirrored: false,
        drag_coefficient: None,
    };
    let model = BodyModel::new(&body, Place::default());
    let wetted = PI * 0.2 * 0.8;
    assert!((model.friction_area / wetted - 1.1902).abs() < 1e-4);
    let frontal = 0.01 * PI;
    assert!((model.blunt_area - 0.05 * frontal).abs() < 1e-12);
    // Speed 15 m/s over 1 m: half of Blasius' and half of the turbulent
    // plate's friction at a Reynolds number of a million.
    let reynolds: f64 = 15.0 / 1.5e-5 + REYNOLDS_MIN;
    let friction = 0.5 * (1.328 / reynolds.sqrt() + 0.031 / reynolds.powf(1.0 / 7.0));
    let area = model.blunt_area + model.friction_area * friction;
    let (force, moment) = model.loads(Vector3::new(15.0, 0.0, 0.0), Vector3::zeros(), 1.2, 1.5e-5);
    assert!((force.x + 0.5 * 1.2 * 225.0 * area).abs() < 1e-9, "{force}");
    assert!(force.y == 0.0 && force.z == 0.0 && moment.norm() < 1e-12);
    body.drag_coefficient = Some(0.3);
    let known = BodyModel::new(&body, Place::default());
    let (force, _) = known.loads(Vector3::new(15.0, 0.0, 0.0), Vector3::zeros(), 1.2, 1.5e-5);
    assert!((force.x + 0.5 * 1.2 * 225.0 * 0.3 * frontal).abs() < 1e-9, "{force}");
}

/// Stations hold the whole volume, area by the given law: full amidships.
#[test]
fn stations_hold_the_whole_volume() {
    for fullness in [0, 2, 4] {
        let shares = area_shares(fullness);
        let mean = shares.iter().sum::<f64>() / STATIONS as f64;
        assert!((mean - 1.0).abs() < 1e-12);
        for k in 0..STATIONS {
            assert!((shares[k] - shares[STATIONS - 1 - k]).abs() < 1e-12);
            // Ratios of areas are those of the law.
            let law = |k: usize| {
                let from_middle: f64 = 2.0 * (k as f64 + 0.5) / STATIONS as f64 - 1.0;
                if fullness == 0 { 1.0 } else { 1.0 - from_middle.powi(fullness) }
            };
            assert!((shares[k] / shares[2] - law(k) / law(2)).abs() < 1e-12);
        }
    }
    // The mean of 1 - x^n over 0 to 1 is n / (n + 1).
    for (fullness, mean) in [(0, 1.0), (2, 2.0 / 3.0), (4, 0.8)] {
        assert!((area_mean(fullness) - mean).abs() < 1e-12);
    }
}

/// Hoerner's struts by hand: 1.1 t/c + 0.02 (1 + c/t), a plate across at most.
#[test]
fn struts_drag_by_their_thickness() {
    for (across_over_along, wanted) in [(0.2, 0.34), (0.5, 0.61), (1.0, 1.14), (5.0, 1.98)] {
        let found = strut_drag(across_over_along);
        assert!((found - wanted).abs() < 1e-12, "{across_over_along}: {found}");
    }
}

/// A body in still air of 1.2 kg/m3 by its pieces: each with the air that it meets
/// itself, its force where it stands, and Munk's couple.
fn by_pieces(
    body: &Body,
    moment_point: Place,
    velocity: Vector3<f64>,
    rates: Vector3<f64>,
) -> [Vector3<f64>; 2] {
    let (density, viscosity) = (1.2, 1.5e-5);
    let to_point = |place: Place| place.to_body_axes() - moment_point.to_body_axes();
    let (front, rear) = (to_point(body.front), to_point(body.rear));
    let length = (front - rear).norm();
    let along = (front - rear) / length;
    let wished = match body.kind {
        BodyKind::Strut => [Vector3::x(), Vector3::z()],
        _ => [Vector3::y(), Vector3::x()],
    };
    let square = wished.map(|axis| axis - along * axis.dot(&along));
    let second = square[usize::from(square[0].norm() < 1e-3)].normalize();
    let third = along.cross(&second);
    let (width, height) = (body.width_m, body.height_m);
    // Drag area for each metre along the second and the third axis, volume for each
    // metre times k2 - k1, at a place from 0 in front to 1 behind; axial area.
    let diameter = (width * height).sqrt();
    let slender = |kind: &SlenderConstants, thickness: f64| {
        // `thickness`: area there over the greatest.
        let munk = POTENTIAL_SHARE * kind.added_mass * added_mass_difference(length / diameter);
        let breadth = thickness.sqrt() * kind.cross_flow;
        let volume = |size: f64| munk * thickness * 0.25 * PI * size * size;
        ([breadth * height, breadth * width], [volume(height), volume(width)])
    };
    let slim = diameter / length;
    let speed = (velocity + rates.cross(&(0.5 * (front + rear)))).norm();
    let reynolds: f64 = REYNOLDS_MIN + speed * length / viscosity;
    let friction = 0.5 * (1.328 / reynolds.sqrt() + 0.031 / reynolds.powf(1.0 / 7.0));
    let axial_of = |kind: &SlenderConstants| {
        let form = 1.0 + 1.5 * slim.powf(1.5) + 7.0 * slim.powi(3);
        let skin = kind.wetted * (width + height) * length * form * friction;
        skin + kind.blunt_drag * kind.frontal * width * height
    };
    let hoerner = |ratio: f64| 1.1 * ratio + 0.02 + 0.02 / ratio;
    let count = if body.kind == BodyKind::Wheel { 1 } else { STATIONS };
    let piece = length / count as f64;
    // Parabolic areas scaled to hold two thirds of the whole box, and of the fourth
    // power four fifths.
    let thickness = |place: f64, power: i32, whole: f64| {
        let law = |place: f64| 1.0 - (2.0 * place - 1.0).abs().powi(power);
        let sum: f64 = (0..count).map(|k| law((k as f64 + 0.5) / count as f64)).sum();
        law(place) * whole * count as f64 / sum
    };
    let local = |at: Vector3<f64>| velocity + rates.cross(&at);
    let middle = 0.5 * (front + rear);
    let (mut force, mut moment) = (Vector3::zeros(), Vector3::zeros());
    for k in 0..count {
        let place = (k as f64 + 0.5) / count as f64;
        let at = front + (rear - front) * place;
        let (areas, volumes) = match body.kind {
            BodyKind::Fuselage => slender(&FUSELAGE, thickness(place, 2, 2.0 / 3.0)),
            BodyKind::BoxFuselage => slender(&BOX_FUSELAGE, thickness(place, 4, 0.8)),
            BodyKind::Boom => slender(&BOOM, 1.0),
            BodyKind::Strut => {
                let areas = [hoerner(width / height) * width, hoerner(height / width) * height];
                (areas, [0.0; 2])
            }
            BodyKind::Wheel => {
                let disc = WHEEL_SIDE_DRAG * 0.25 * PI * height * height;
                ([disc / length, WHEEL_DRAG * width * height / length], [0.0; 2])
            }
        };
        let air = local(at);
        let crossing = [air.dot(&second), air.dot(&third)];
        let pressure = 0.5 * density * crossing[0].hypot(crossing[1]);
        for (axis, side) in [second, third].into_iter().enumerate() {
            let drag = -side * (pressure * areas[axis] * piece * crossing[axis]);
            force += drag;
            moment += at.cross(&drag);
            // Munk's couple turns the body across its way.
            let couple = density * air.dot(&along) * volumes[axis] * piece * crossing[axis];
            moment -= along.cross(&side) * couple;
        }
    }
    let axial = match body.kind {
        BodyKind::Fuselage => axial_of(&FUSELAGE),
        BodyKind::BoxFuselage => axial_of(&BOX_FUSELAGE),
        BodyKind::Boom => axial_of(&BOOM),
        BodyKind::Strut => STRUT_FRICTION * 2.0 * (width + height) * length,
        BodyKind::Wheel => WHEEL_DRAG * width * height,
    };
    let drag = -along * (0.5 * density * axial * speed * local(middle).dot(&along));
    [force + drag, moment + middle.cross(&drag)]
}

fn body_of(kind: BodyKind, front: Place, rear: Place) -> Body {
    Body {
        name: "body".into(),
        kind,
        front,
        rear,
        width_m: 0.05,
        height_m: 0.08,
        mirrored: false,
        drag_coefficient: None,
    }
}

const KINDS: [BodyKind; 5] =
    [BodyKind::Fuselage, BodyKind::BoxFuselage, BodyKind::Boom, BodyKind::Strut, BodyKind::Wheel];

fn assert_near(found: [Vector3<f64>; 2], wanted: [Vector3<f64>; 2], name: &str) {
    for (found, wanted) in found.iter().zip(wanted) {
        assert!(
            (found - wanted).norm() < 1e-10 * (1.0 + wanted.norm()),
            "{name}: {found} {wanted}"
        );
    }
}

/// However it lies and turns, a body's load is that of its pieces, each in the air
/// that it meets, about any point.
#[test]
fn a_body_is_the_sum_of_its_pieces() {
    let point = Place::new(0.3, -0.02, 0.04);
    let (velocity, rates) = (Vector3::new(12.0, 2.0, -3.0), Vector3::new(1.5, -2.4, 1.8));
    for kind in KINDS {
        for (front, rear) in [
            (Place::new(0.1, 0.05, -0.05), Place::new(0.5, 0.2, -0.2)),
            (Place::new(0.1, 0.4, 0.1), Place::new(0.1, 0.0, 0.1)),
            (Place::new(0.0, 0.1, 0.0), Place::new(0.7, 0.1, 0.0)),
        ] {
            let body = body_of(kind, front, rear);
            let (force, moment) = BodyModel::new(&body, point).loads(velocity, rates, 1.2, 1.5e-5);
            let wanted = by_pieces(&body, point, velocity, rates);
            assert_near([force, moment], wanted, &format!("{kind:?} {front:?}"));
        }
    }
}

/// A mirrored body is a pair of bodies, the other described on the left.
#[test]
fn a_mirrored_body_is_a_pair() {
    let point = Place::new(0.3, 0.0, 0.04);
    let (velocity, rates) = (Vector3::new(12.0, 2.0, -3.0), Vector3::new(1.5, -2.4, 1.8));
    for kind in KINDS {
        let (front, rear) = (Place::new(0.1, 0.05, -0.05), Place::new(0.5, 0.2, -0.2));
        let right = body_of(kind, front, rear);
        let image = |place: Place| Place { right_m: -place.right_m, ..place };
        let left = body_of(kind, image(front), image(rear));
        let load = |body: &Body| {
            let (force, moment) = BodyModel::new(body, point).loads(velocity, rates, 1.2, 1.5e-5);
            [force, moment]
        };
        let both = load(&Body { mirrored: true, ..right.clone() });
        let [one, other] = [load(&right), load(&left)];
        assert_near(both, [one[0] + other[0], one[1] + other[1]], &format!("{kind:?}"));
    }
}

/// A known drag coefficient stands for the section of a strut across the flow, on
/// its width, and for a wheel on its width times diameter.
#[test]
fn a_known_drag_coefficient_replaces_the_estimate() {
    let upright = [Place::new(0.0, 0.0, 0.0), Place::new(0.0, 0.0, -0.4)];
    let rolling = [Place::new(0.0, 0.0, 0.0), Place::new(0.08, 0.0, 0.0)];
    for (kind, [front, rear], area) in
        [(BodyKind::Strut, upright, 0.05 * 0.4), (BodyKind::Wheel, rolling, 0.05 * 0.08)]
    {
        let body = Body { drag_coefficient: Some(0.7), ..body_of(kind, front, rear) };
        let model = BodyModel::new(&body, Place::default());
        let (force, _) = model.loads(Vector3::new(10.0, 0.0, 0.0), Vector3::zeros(), 1.2, 1.5e-5);
        assert!((force.x + 60.0 * 0.7 * area).abs() < 1e-9, "{kind:?} {force}");
    }
}

/// Hoerner's form factor of a body shorter than wide is that of a ball.
#[test]
fn a_disc_has_the_form_of_a_ball() {
    let [front, rear] = [Place::new(0.0, 0.0, 0.0), Place::new(0.02, 0.0, 0.0)];
    let body = body_of(BodyKind::Fuselage, front, rear);
    let model = BodyModel::new(&body, Place::default());
    assert!((model.friction_area - FUSELAGE.wetted * 0.13 * 0.02 * 9.5).abs() < 1e-12);
}

/// Munk's table (NACA Rep. 184, 1924, after Lamb; from memory): k2 - k1 by length over
/// diameter.
#[test]
fn spheroids_have_the_added_masses_of_lamb() {
    for (fineness, longitudinal, transverse) in
        [(1.0, 0.5, 0.5), (2.0, 0.209, 0.702), (4.0, 0.082, 0.860), (6.0, 0.045, 0.918)]
    {
        let found = added_mass_difference(fineness);
        assert!((found - (transverse - longitudinal)).abs() < 0.002, "{fineness}: {found}");
    }
}
