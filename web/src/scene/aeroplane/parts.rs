//! Bodies, wheels and propellers of the paper model.

use nalgebra::{Rotation3, Unit};
use sim_core::aircraft::outline::thrust_direction;
use sim_core::aircraft::{Body, BodyKind, Mounting, Propulsion, Rotation};

use super::{Builder, Joint, Piece, colour};
use crate::scene::mesh::{Mesh, Point, between, circle};

impl Builder {
    pub(super) fn body(&mut self, body: &Body) {
        let ends = [body.front.to_body_axes(), body.rear.to_body_axes()];
        let (width, height) = (body.width_m as f32, body.height_m as f32);
        for left in [false, true] {
            if left && !body.mirrored {
                continue;
            }
            let place = self.place(left);
            let [front, rear] = ends.map(&place);
            match body.kind {
                BodyKind::Fuselage => self.tube(front, rear, (width, height), &ROUNDED, 10),
                BodyKind::BoxFuselage => self.tube(front, rear, (width, height), &BOXED, 4),
                BodyKind::Boom => self.tube(front, rear, (width, height), &STRAIGHT, 6),
                BodyKind::Strut => self.strut(front, rear, (width, height)),
                BodyKind::Wheel => self.wheel(front, rear, width),
            }
        }
    }

    /// A body of rings along its axis.
    fn tube(
        &mut self,
        front: Point,
        rear: Point,
        (width, height): (f32, f32),
        rings: &[(f32, f32)],
        corners: usize,
    ) {
        let (paint, tube) = match corners {
            6 => (colour::TUBE, true),
            _ => (colour::BODY, false),
        };
        // The corners of a square reach farther out than its sides.
        let (reach, first) = if corners == 4 { (2f32.sqrt(), 0.5) } else { (1.0, 0.0) };
        let outline = |along: f32, size: f32| -> Vec<Point> {
            let centre = front + (rear - front) * along;
            (0..corners)
                .map(|i| {
                    let angle = std::f32::consts::TAU * (i as f32 + first) / corners as f32;
                    let (sin, cos) = angle.sin_cos();
                    let (across, up) = (0.5 * width * reach * cos, 0.5 * height * reach * sin);
                    centre + Point::new(0.0, across, -up) * size
                })
                .collect()
        };
        let outlines: Vec<Vec<Point>> =
            rings.iter().map(|(along, size)| outline(*along, *size)).collect();
        for pair in outlines.windows(2) {
            self.body.skin(&pair[1], &pair[0], paint);
            if !tube && corners == 4 {
                for (a, b) in pair[0].iter().zip(&pair[1]) {
                    self.body.line(*a, *b, colour::INK);
                }
            }
        }
        if let (Some(nose), Some(tail)) = (outlines.first(), outlines.last()) {
            self.body.cap(nose, paint);
            self.body.cap(&tail.iter().rev().copied().collect::<Vec<_>>(), paint);
            if !tube {
                self.body.outline(nose, colour::INK);
                self.body.outline(tail, colour::INK);
            }
        }
    }

    /// A blade between two points, wide along the flight direction.
    fn strut(&mut self, one: Point, other: Point, (across, along): (f32, f32)) {
        let Some(length) = (other - one).try_normalize(1e-9) else { return };
        let (across, along) = (across.max(WIRE_MIN_M), along.max(WIRE_MIN_M));
        let Some(side) = length.cross(&Point::x()).try_normalize(1e-3) else { return };
        let aft = side.cross(&length);
        let ring = |at: Point| {
            [(-0.5, 0.0), (-0.2, 0.5), (0.5, 0.0), (-0.2, -0.5)]
                .map(|(x, y)| at + aft * (along * x) + side * (across * y))
        };
        let (from, to) = (ring(one), ring(other));
        self.body.skin(&from, &to, colour::BODY);
        self.body.cap(&to, colour::BODY);
        self.body.outline(&from, colour::INK);
        self.body.outline(&to, colour::INK);
    }

    fn wheel(&mut self, front: Point, rear: Point, width: f32) {
        let centre = (front + rear) / 2.0;
        let radius = (front - rear).norm() / 2.0;
        let half = Point::y() * (width / 2.0);
        let rim = |at: Point, r: f32| circle(at, Point::x() * r, Point::z() * r, 14);
        let (left, right) = (rim(centre - half, radius), rim(centre + half, radius));
        self.body.skin(&left, &right, colour::TYRE);
        for (outline, outwards) in [(&left, -1.0), (&right, 1.0)] {
            self.body.cap(outline, colour::TYRE);
            let hub = rim(centre + half * (1.05 * outwards), radius * 0.5);
            self.body.cap(&hub, colour::PAPER);
        }
    }

    pub(super) fn propeller(&mut self, propulsion: &Propulsion, unit: usize) {
        let sides: &[bool] = if propulsion.mirrored { &[false, true] } else { &[false] };
        for &left in sides {
            let place = self.place(left);
            let hub = place(propulsion.hub.to_body_axes());
            let thrust = thrust_direction(propulsion).cast::<f32>();
            let thrust = if left { Point::new(thrust.x, -thrust.y, thrust.z) } else { thrust };
            let clockwise = (propulsion.propeller.rotation == Rotation::Clockwise) != left;
            // Seen from behind, clockwise is a turn about the thrust line.
            let axis = Unit::new_normalize(if clockwise { thrust } else { -thrust });
            let radius = (propulsion.propeller.diameter_m / 2.0) as f32;
            let first = axis.cross(&Point::y()).try_normalize(1e-3).unwrap_or_else(Point::z);
            let second = axis.cross(&first);
            self.pieces.push(Piece {
                mesh: blades(propulsion, hub, &axis, first, radius),
                joint: Joint::Shaft { at: hub, axis, unit },
            });
            let mut disc = Mesh::default();
            disc.cap(&circle(hub, first * radius, second * radius, 40), colour::BLADE);
            self.pieces.push(Piece { mesh: disc, joint: Joint::Disc { unit } });
            self.spinner(propulsion, hub, thrust, radius);
        }
    }

    /// Hub and motor bell, which say where the propeller is held.
    fn spinner(&mut self, propulsion: &Propulsion, hub: Point, thrust: Point, radius: f32) {
        let away = match propulsion.mounting {
            Mounting::Tractor => thrust,
            Mounting::Pusher => -thrust,
        };
        let Some(side) = away.cross(&Point::z()).try_normalize(1e-6) else { return };
        let up = away.cross(&side);
        let r = radius * 0.11;
        let ring = |along: f32, size: f32| {
            circle(hub + away * (r * along), side * (r * size), up * (r * size), 10)
        };
        let rings = [ring(2.0, 0.15), ring(1.0, 0.8), ring(-0.4, 1.0), ring(-2.6, 1.0)];
        for pair in rings.windows(2) {
            self.body.skin(&pair[0], &pair[1], colour::TUBE);
        }
    }
}

/// Blades of a propeller: twisted strips, narrow at the tips.
fn blades(
    propulsion: &Propulsion,
    hub: Point,
    axis: &Unit<Point>,
    first: Point,
    radius: f32,
) -> Mesh {
    let mut mesh = Mesh::default();
    let count = usize::from(propulsion.propeller.blades);
    let pitch = propulsion.propeller.pitch_m as f32;
    for blade in 0..count {
        let angle = std::f32::consts::TAU * blade as f32 / count as f32;
        let out = Rotation3::from_axis_angle(axis, angle) * first;
        let round = axis.cross(&out);
        let edge = |share: f32| {
            let r = radius * share;
            let slope = (pitch / (std::f32::consts::TAU * r.max(1e-4))).atan();
            let chord = radius * (0.20 - 0.11 * share);
            let along = round * slope.cos() + axis.into_inner() * slope.sin();
            [hub + out * r - along * (chord / 2.0), hub + out * r + along * (chord / 2.0)]
        };
        let stations = [0.12, 0.35, 0.7, 1.0].map(edge);
        for (i, pair) in stations.windows(2).enumerate() {
            let paint =
                if i == 2 { between(colour::BLADE, colour::PAPER, 0.75) } else { colour::BLADE };
            mesh.quad([pair[0][0], pair[0][1], pair[1][1], pair[1][0]], paint);
        }
    }
    mesh
}

/// Wire thinner than this is drawn so thick, or it would not be seen, m.
const WIRE_MIN_M: f32 = 0.005;

/// Rings along a body: share of its length, share of its greatest size.
const ROUNDED: [(f32, f32); 8] = [
    (0.0, 0.12),
    (0.03, 0.45),
    (0.1, 0.76),
    (0.24, 1.0),
    (0.5, 1.0),
    (0.7, 0.86),
    (0.88, 0.55),
    (1.0, 0.3),
];
const BOXED: [(f32, f32); 5] = [(0.0, 0.62), (0.07, 0.86), (0.2, 1.0), (0.58, 1.0), (1.0, 0.5)];
const STRAIGHT: [(f32, f32); 2] = [(0.0, 1.0), (1.0, 1.0)];
