//! The aeroplane as polygons in space.

use sim_core::aircraft::outline::{control_corners, panel_shapes};
use sim_core::aircraft::{Aircraft, Body, BodyKind};

use super::{Ink, Point3, Side};

/// A closed polygon in space.
pub struct Shape {
    /// What it is.
    pub ink: Ink,
    /// The one view that shows it, or all of them.
    pub only: Option<Side>,
    /// Its corners.
    pub points: Vec<Point3>,
}

/// Everything that is drawn of an aircraft.
pub fn shapes(aircraft: &Aircraft) -> Vec<Shape> {
    let mut shapes = Vec::new();
    let mut add = |ink, only, mirrored: bool, points: Vec<Point3>| {
        if mirrored {
            let points = points.iter().map(|[x, y, z]| [*x, -y, *z]).collect();
            shapes.push(Shape { ink, only, points });
        }
        shapes.push(Shape { ink, only, points });
    };
    for body in &aircraft.bodies {
        for (side, points) in body_outlines(body) {
            add(Ink::Body, Some(side), body.mirrored, points);
        }
    }
    for surface in &aircraft.surfaces {
        for panel in panel_shapes(surface) {
            add(Ink::Surface, None, surface.mirrored, panel.corners().map(Into::into).to_vec());
        }
        for control in 0..surface.controls.len() {
            for corners in control_corners(surface, control) {
                add(Ink::Control, None, surface.mirrored, corners.map(Into::into).to_vec());
            }
        }
    }
    for unit in &aircraft.propulsion {
        let hub = unit.hub.to_body_axes();
        let disc = disc(hub.into(), unit.propeller.diameter_m / 2.0);
        add(Ink::Propeller, None, unit.mirrored, disc);
    }
    shapes
}

/// Points on a circle.
const CIRCLE_POINTS: usize = 36;

/// A disc across the flight direction, seen as a line from above and the side.
fn disc([x, y, z]: Point3, radius: f64) -> Vec<Point3> {
    circle(radius).map(|(a, b)| [x, y + a, z + b]).collect()
}

fn circle(radius: f64) -> impl Iterator<Item = (f64, f64)> {
    (0..CIRCLE_POINTS).map(move |i| {
        let angle = std::f64::consts::TAU * i as f64 / CIRCLE_POINTS as f64;
        (radius * angle.cos(), radius * angle.sin())
    })
}

/// A body's outline on each of the views.
fn body_outlines(body: &Body) -> [(Side, Vec<Point3>); 3] {
    let (front, rear) = (body.front.to_body_axes(), body.rear.to_body_axes());
    let middle = (front + rear) / 2.0;
    let (half_width, half_height) = (body.width_m / 2.0, body.height_m / 2.0);
    let across = |a: f64, b: f64| {
        SQUARE.map(|(p, q)| [middle.x, middle.y + p * a, middle.z + q * b]).to_vec()
    };
    match body.kind {
        BodyKind::Wheel => {
            let radius = (rear - front).norm() / 2.0;
            let lying =
                |(p, q): (f64, f64)| [middle.x + p * radius, middle.y + q * half_width, middle.z];
            let tyre = circle(radius).map(|(a, b)| [middle.x + a, middle.y, middle.z + b]);
            [
                (Side::Above, SQUARE.map(lying).to_vec()),
                (Side::Left, tyre.collect()),
                (Side::Front, across(half_width, radius)),
            ]
        }
        BodyKind::Strut => {
            // Its size across the flow is its width, along the flow its height.
            let ends = [(front, -1.0), (front, 1.0), (rear, 1.0), (rear, -1.0)];
            let blade = ends.map(|(p, sign)| [p.x + sign * half_height, p.y, p.z]).to_vec();
            let edge = ends.map(|(p, sign)| [p.x, p.y + sign * half_width, p.z]).to_vec();
            [(Side::Above, blade.clone()), (Side::Left, blade), (Side::Front, edge)]
        }
        BodyKind::Fuselage | BodyKind::BoxFuselage | BodyKind::Boom => {
            let outline = |sideways: f64, upright: f64| {
                let edge = |sign: f64| {
                    profile(body.kind).iter().map(move |(place, share)| {
                        let at = front + (rear - front) * *place;
                        [at.x, at.y + sign * share * sideways, at.z + sign * share * upright]
                    })
                };
                edge(1.0).chain(edge(-1.0).rev()).collect::<Vec<_>>()
            };
            [
                (Side::Above, outline(half_width, 0.0)),
                (Side::Left, outline(0.0, half_height)),
                (Side::Front, across(half_width, half_height)),
            ]
        }
    }
}

/// Corners of a square of two units' edge.
const SQUARE: [(f64, f64); 4] = [(-1.0, -1.0), (1.0, -1.0), (1.0, 1.0), (-1.0, 1.0)];

/// Half width over greatest half width at places along a body, front to rear.
/// Only for the drawing: the file states the greatest sizes alone.
fn profile(kind: BodyKind) -> &'static [(f64, f64)] {
    match kind {
        BodyKind::Fuselage => &[
            (0.0, 0.25),
            (0.03, 0.55),
            (0.1, 0.85),
            (0.2, 1.0),
            (0.5, 1.0),
            (0.8, 0.6),
            (1.0, 0.2),
        ],
        BodyKind::BoxFuselage => &[(0.0, 0.75), (0.15, 1.0), (0.5, 1.0), (1.0, 0.35)],
        _ => &[(0.0, 1.0), (1.0, 1.0)],
    }
}
