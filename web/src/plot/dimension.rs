//! Which dimension a field of the form means, as a line on one of the views.

use sim_core::aircraft::outline::{control_corners, panel_shapes};
use sim_core::aircraft::{Aircraft, Body, MassStatement, Part, Place, Propulsion, Spread, Surface};

use super::three_view::{Point3, Side};

/// A line that shows what a field measures.
#[derive(Debug, Clone, PartialEq)]
pub struct Dimension {
    /// The view on which it shows best.
    pub side: Side,
    /// Its points, body axes from the datum, m.
    pub line: Vec<Point3>,
}

/// The dimension that the field at `path` means; nothing for what has no place.
pub fn dimension(aircraft: &Aircraft, path: &str) -> Option<Dimension> {
    let mut steps = path.split('.');
    let (list, index) = item(steps.next()?)?;
    let rest: Vec<&str> = steps.collect();
    match list {
        "surfaces" => of_surface(aircraft.surfaces.get(index)?, &rest),
        "bodies" => of_body(aircraft.bodies.get(index)?, &rest),
        "propulsion" => of_propulsion(aircraft.propulsion.get(index)?, &rest),
        "mass" => match &aircraft.mass {
            MassStatement::Parts(parts) => {
                let (_, part) = item(rest.first()?)?;
                of_part(parts.get(part)?, rest.get(1..)?)
            }
            MassStatement::Known(known) => of_place(&known.balance_point, rest.last()?),
        },
        _ => None,
    }
}

/// A name with an index, which is 0 where there is none.
fn item(step: &str) -> Option<(&str, usize)> {
    match step.split_once('[') {
        Some((name, index)) => Some((name, index.trim_end_matches(']').parse().ok()?)),
        None => Some((step, 0)),
    }
}

fn in_space(place: &Place) -> Point3 {
    place.to_body_axes().into()
}

/// Distance of a place from the datum along one of its axes.
fn of_place(place: &Place, leaf: &str) -> Option<Dimension> {
    let [x, y, z] = in_space(place);
    let (side, from) = match leaf {
        "aft_m" => (Side::Left, [0.0, y, z]),
        "up_m" => (Side::Left, [x, y, 0.0]),
        "right_m" => (Side::Above, [x, 0.0, z]),
        _ => return None,
    };
    Some(Dimension { side, line: vec![from, [x, y, z]] })
}

fn of_surface(surface: &Surface, rest: &[&str]) -> Option<Dimension> {
    let (step, index) = item(rest.first()?)?;
    let leaf = *rest.last()?;
    match step {
        "root" => of_place(&surface.root, leaf),
        "panels" => of_panel(surface, index, rest.get(1)?),
        "controls" => {
            let [inner_hinge, outer_hinge, outer_edge, inner_edge] =
                *control_corners(surface, index).first()?;
            let line: Vec<Point3> = match leaf {
                "inner_chord" => vec![inner_hinge.into(), inner_edge.into()],
                "outer_chord" => vec![outer_hinge.into(), outer_edge.into()],
                _ => [inner_hinge, outer_hinge, outer_edge, inner_edge, inner_hinge]
                    .map(Into::into)
                    .to_vec(),
            };
            Some(Dimension { side: flat_side(surface, 0)?, line })
        }
        _ => None,
    }
}

/// The view on which a panel is seen from its flat side.
fn flat_side(surface: &Surface, panel: usize) -> Option<Side> {
    let along = panel_shapes(surface).get(panel)?.span_direction;
    Some(if along.z.abs() > 0.75 { Side::Left } else { Side::Above })
}

fn of_panel(surface: &Surface, index: usize, leaf: &str) -> Option<Dimension> {
    let shapes = panel_shapes(surface);
    let shape = shapes.get(index)?;
    let [inner, outer, outer_edge, inner_edge] = shape.corners();
    let flat = flat_side(surface, index)?;
    let (side, line) = match leaf {
        "span_m" => (flat, vec![inner, outer]),
        "tip_chord_m" => (flat, vec![outer, outer_edge]),
        "sweep_deg" => (flat, vec![inner + shape.span_direction * shape.span_m(), inner, outer]),
        "dihedral_deg" => {
            let mut level = outer;
            level.z = inner.z;
            (Side::Front, vec![level, inner, outer])
        }
        "incidence_deg" => (Side::Left, vec![inner, inner_edge]),
        "twist_deg" => (Side::Left, vec![outer, outer_edge]),
        _ => (flat, vec![inner, inner_edge]),
    };
    Some(Dimension { side, line: line.into_iter().map(Into::into).collect() })
}

fn of_body(body: &Body, rest: &[&str]) -> Option<Dimension> {
    let (front, rear) = (in_space(&body.front), in_space(&body.rear));
    let [x, y, z] = [0, 1, 2].map(|axis| 0.5 * (front[axis] + rear[axis]));
    let (half_width, half_height) = (body.width_m / 2.0, body.height_m / 2.0);
    match (*rest.first()?, *rest.last()?) {
        ("front", leaf) => of_place(&body.front, leaf),
        ("rear", leaf) => of_place(&body.rear, leaf),
        ("width_m", _) => Some(Dimension {
            side: Side::Above,
            line: vec![[x, y - half_width, z], [x, y + half_width, z]],
        }),
        ("height_m", _) => Some(Dimension {
            side: Side::Left,
            line: vec![[x, y, z - half_height], [x, y, z + half_height]],
        }),
        _ => None,
    }
}

fn of_propulsion(unit: &Propulsion, rest: &[&str]) -> Option<Dimension> {
    match (*rest.first()?, *rest.last()?) {
        ("hub", leaf) => of_place(&unit.hub, leaf),
        ("propeller", "diameter_m") => {
            let [x, y, z] = in_space(&unit.hub);
            let radius = unit.propeller.diameter_m / 2.0;
            let line = vec![[x, y, z - radius], [x, y, z + radius]];
            Some(Dimension { side: Side::Left, line })
        }
        _ => None,
    }
}

fn of_part(part: &Part, rest: &[&str]) -> Option<Dimension> {
    let (end, leaf) = (rest.get(1).copied()?, *rest.last()?);
    match (&part.spread, end) {
        (Spread::Point { at, .. } | Spread::Block { at, .. }, "at") => of_place(at, leaf),
        (Spread::Rod { from, .. }, "from") => of_place(from, leaf),
        (Spread::Rod { to, .. }, "to") => of_place(to, leaf),
        _ => None,
    }
}

#[cfg(test)]
mod tests {
    use wasm_bindgen_test::wasm_bindgen_test;

    use super::*;
    use crate::state::{examples, fields};

    fn length(line: &[Point3]) -> f64 {
        let squares = (0..3).map(|axis| (line[1][axis] - line[0][axis]).powi(2));
        squares.sum::<f64>().sqrt()
    }

    /// A line for a length is as long as the field says.
    #[wasm_bindgen_test(unsupported = test)]
    fn lengths_are_drawn_as_long_as_they_are() {
        let mut drawn = 0;
        for aircraft in examples::all() {
            for field in fields::number_fields(&aircraft) {
                let path = &field.field.path;
                let Some(shown) = dimension(&aircraft, path) else { continue };
                assert!(shown.line.len() >= 2, "{path}");
                drawn += 1;
                let is_length = path.ends_with("_m") && !path.contains("pitch");
                if is_length && !path.contains("span_m") {
                    let value = field.field.read(&aircraft).unwrap();
                    assert!((length(&shown.line) - value.abs()).abs() < 1e-9, "{path}");
                }
            }
        }
        assert!(drawn > 100, "{drawn}");
    }

    #[wasm_bindgen_test(unsupported = test)]
    fn a_path_that_leads_nowhere_shows_nothing() {
        let aircraft = examples::all().remove(0);
        for path in ["", "name", "surfaces[99].root.aft_m", "mass.parts[x].spread", "bodies[0]"] {
            assert_eq!(dimension(&aircraft, path), None, "{path}");
        }
    }
}
