//! The propellers' air and the controls' swing, laid over the three-view.

use std::fmt::Write;

use sim_core::aircraft::outline::{mirror, turned_corners};
use sim_core::aircraft::{Aircraft, Place, SurfaceRole};
use sim_core::assess::Assessment;

use super::{Drawing, Point3, Side, View, add_point};

/// Names of the layers for the style sheet, from below.
pub const LAYERS: [&str; 4] = ["ink-wash", "ink-thrust", "ink-swung", "ink-centre"];

/// Half the size of the cross, px.
const CROSS_PX: f64 = 5.0;

/// Paths of the layers in the notation of SVG: slipstreams; lines along which the
/// propellers pull; control surfaces at the ends of their advised high rate, on the
/// view along their hinge lines; the wing's aerodynamic centre, `aside_px` beside the
/// balance point's line. From the front these would be points and circles.
pub fn layers(
    aircraft: &Aircraft,
    assessment: &Assessment,
    drawing: &Drawing,
    aside_px: f64,
) -> [String; 4] {
    let [mut wash, mut thrust, mut swung, mut centre] = [const { String::new() }; 4];
    let centre_aft_m = assessment.geometry.wing.aerodynamic_centre_aft_m();
    let up_m = assessment.mass.balance_point.up_m;
    for view in [drawing.above, drawing.left] {
        let at = |place: Place, aside_px: f64| {
            let (x, y) = view.place(place.to_body_axes().into());
            // Across the flight direction on this view.
            if view.side == Side::Left { (x, y + aside_px) } else { (x + aside_px, y) }
        };
        for lines in &assessment.air_lines {
            for (index, end) in lines.thrust_line.into_iter().enumerate() {
                add_point(&mut thrust, index == 0, at(end, 0.0));
            }
            let edge = lines.wash.iter().map(|ring| (ring, 1.0));
            let back = lines.wash.iter().rev().map(|ring| (ring, -1.0));
            for (index, (ring, sign)) in edge.chain(back).enumerate() {
                add_point(
                    &mut wash,
                    index == 0,
                    at(ring.middle, sign * ring.radius_m * view.scale),
                );
            }
        }
        let (x, y) = at(Place::new(centre_aft_m, 0.0, up_m), -aside_px);
        let _ = write!(centre, "M{:.1} {y:.1}h10m-5 -5v10", x - CROSS_PX);
        swing(&mut swung, aircraft, assessment, view);
    }
    [wash, thrust, swung, centre]
}

fn swing(path: &mut String, aircraft: &Aircraft, assessment: &Assessment, view: View) {
    for surface in &aircraft.surfaces {
        if (surface.role == SurfaceRole::Fin) != (view.side == Side::Above) {
            continue;
        }
        for (index, control) in surface.controls.iter().enumerate() {
            let Some(high_rad) = assessment.high_rate_rad(control.role) else { continue };
            for angle_rad in [high_rad, -high_rad] {
                for corners in turned_corners(surface, index, angle_rad) {
                    add_outline(path, view, corners.map(Into::into));
                    // From the left its image would lie behind it.
                    if surface.mirrored && view.side == Side::Above {
                        add_outline(path, view, corners.map(|corner| mirror(corner).into()));
                    }
                }
            }
        }
    }
}

fn add_outline(path: &mut String, view: View, corners: [Point3; 4]) {
    for (index, corner) in corners.into_iter().enumerate() {
        add_point(path, index == 0, view.place(corner));
    }
}
