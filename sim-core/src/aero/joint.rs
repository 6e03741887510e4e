//! Where surfaces meet each other, their own images and their own panels.
//!
//! A joint is tight: the circulation that one surface ends with passes on to
//! the other, as a fin's does to the tailplane that it stands on. A lattice
//! keeps to that only if the vortices on both sides lie on one line, so
//!
//! * the end of a surface is drawn on along its span to the plane that it
//!   meets: another surface, the plane of symmetry, or half-way to the next
//!   panel (chords at an incidence turn about their own hinge lines and would
//!   part there);
//! * a surface that another one's end stands on gets an edge between two
//!   strips in that place.
//!
//! Without either, the flow leaks through a slot that no aeroplane has, the
//! more the finer the strips, or a vortex grazes a control point.

use nalgebra::Vector3;

use crate::aircraft::Surface;
use crate::aircraft::outline::{PanelShape, Station};

/// An end this close to another surface, as a share of its chord, stands on
/// it: glue, a fillet or a bit of fuselage closes the gap.
const JOINT_SHARE: f64 = 0.15;

/// Root of a mirrored surface this close to the plane of symmetry, as a share
/// of its chord, meets its image.
const AXIS_SHARE: f64 = 0.02;

/// Planes that are met at a flatter angle (its sine) are not drawn on to: the
/// way would be long.
const MITRE_MIN: f64 = 0.3;

/// A plane that a surface's end is drawn on to.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Mitre {
    /// Point of the plane, body axes from the datum, m.
    point: Vector3<f64>,
    /// At right angles to the plane, of any length.
    normal: Vector3<f64>,
}

impl Mitre {
    /// `point` moved along the span to the plane.
    pub fn draw_on(&self, point: Vector3<f64>, span_direction: &Vector3<f64>) -> Vector3<f64> {
        let off = (point - self.point).dot(&self.normal) / span_direction.dot(&self.normal);
        point - span_direction * off
    }

    /// The plane half-way between two panels.
    pub fn between(inner: &PanelShape, outer: &PanelShape) -> Option<Self> {
        let normal = (inner.span_direction + outer.span_direction) * 0.5;
        (normal.norm() > MITRE_MIN).then_some(Self { point: outer.inner.leading_edge, normal })
    }
}

/// How one end of a surface ends.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub(super) struct End {
    /// In free air.
    pub free: bool,
    /// At this plane.
    pub mitre: Option<Mitre>,
}

/// The joints of one surface.
#[derive(Debug, Clone, PartialEq, Default)]
pub(super) struct Joints {
    /// Root and tip.
    pub ends: [End; 2],
    /// Distances from the root along the panels at which others stand on it, m.
    pub stands: Vec<f64>,
    /// Surfaces that it is joined to, by index.
    pub joined: Vec<usize>,
}

/// The joints of all surfaces, whose panels are `shapes`.
pub(super) fn joints(surfaces: &[Surface], shapes: &[Vec<PanelShape>]) -> Vec<Joints> {
    let mut list = vec![Joints::default(); surfaces.len()];
    for (index, own) in shapes.iter().enumerate() {
        let (Some(first), Some(last)) = (own.first(), own.last()) else { continue };
        for (end, shape, station) in [(0, first, &first.inner), (1, last, &last.outer)] {
            let mut found = End { free: true, mitre: None };
            for (other, panels) in shapes.iter().enumerate().filter(|(other, _)| *other != index) {
                let Some(contact) = contact(shape, station, panels) else { continue };
                found = End { free: false, mitre: found.mitre.or(contact.mitre) };
                list[other].stands.push(contact.along_m);
                list[other].joined.push(index);
                list[index].joined.push(other);
            }
            if end == 0 && meets_image(&surfaces[index], first) {
                let mitre = Mitre { point: Vector3::zeros(), normal: Vector3::y() };
                found = End { free: false, mitre: Some(mitre) };
            }
            list[index].ends[end] = found;
        }
    }
    list
}

fn meets_image(surface: &Surface, first: &PanelShape) -> bool {
    surface.mirrored
        && first.inner.leading_edge.y.abs() < AXIS_SHARE * first.inner.chord_m
        && first.span_direction.y > MITRE_MIN
}

/// Where an end touches another surface.
struct Contact {
    along_m: f64,
    mitre: Option<Mitre>,
}

fn contact(shape: &PanelShape, station: &Station, others: &[PanelShape]) -> Option<Contact> {
    let end = shape.point(station, 0.25);
    let mut start_m = 0.0;
    for panel in others {
        let along = (end - panel.inner.leading_edge).dot(&panel.span_direction) / panel.span_m();
        let near = panel.station(along.clamp(0.0, 1.0));
        let behind = (end - near.leading_edge).dot(&panel.aft_direction(&near));
        let nearest = panel.point(&near, (behind / near.chord_m).clamp(0.0, 1.0));
        if (end - nearest).norm() < JOINT_SHARE * station.chord_m {
            let (sin, cos) = near.incidence_rad.sin_cos();
            let normal = panel.normal() * cos - Vector3::x() * sin;
            let mitre = (shape.span_direction.dot(&normal).abs() > MITRE_MIN)
                .then_some(Mitre { point: near.leading_edge, normal });
            return Some(Contact {
                along_m: start_m + along.clamp(0.0, 1.0) * panel.span_m(),
                mitre,
            });
        }
        start_m += panel.span_m();
    }
    None
}

#[cfg(test)]
mod tests {
    use super::super::grid::{Edge, Grid, GridOptions, Side};
    use crate::aircraft::{Aircraft, EXAMPLES, SurfaceRole, read_aircraft};
    use nalgebra::Vector3;

    fn grid(aircraft: &Aircraft) -> Grid {
        Grid::new(aircraft, Vector3::new(-0.3, 0.0, 0.0), GridOptions::default())
    }

    fn example() -> Aircraft {
        read_aircraft(EXAMPLES[0].text).unwrap()
    }

    fn edges(grid: &Grid, surface: usize) -> Vec<&Edge> {
        grid.edges.iter().filter(|edge| edge.surface == surface).collect()
    }

    #[test]
    fn a_bent_wing_has_no_slot() {
        let mut aircraft = example();
        let wing = &mut aircraft.surfaces[0];
        wing.panels[0].incidence_deg = 5.0;
        wing.panels[0].twist_deg = 0.0;
        let mut outer = wing.panels[0];
        outer.root_chord_m = outer.tip_chord_m;
        outer.dihedral_deg = 20.0;
        wing.panels.push(outer);
        let grid = grid(&aircraft);
        let edges = edges(&grid, 0);
        assert!(edges[0].nodes.iter().all(|node| node.y.abs() < 1e-12), "root");
        let meet = edges.windows(2).any(|pair| {
            pair[0].nodes.iter().zip(&pair[1].nodes).all(|(a, b)| (a - b).norm() < 1e-12)
        });
        assert!(meet, "break");
    }

    #[test]
    fn a_fin_stands_on_the_tailplane() {
        let aircraft = example();
        let role = |role| aircraft.surfaces.iter().position(|s| s.role == role).unwrap();
        let (tail, fin) = (role(SurfaceRole::Tailplane), role(SurfaceRole::Fin));
        let grid = grid(&aircraft);
        assert!(grid.are_joined(tail, fin) && grid.are_joined(fin, tail));
        let strip = grid.strips.iter().find(|strip| strip.surface == tail).unwrap();
        for node in &edges(&grid, fin)[0].nodes {
            let off = (node - strip.quarter_chord).dot(&strip.normal);
            assert!(off.abs() < 1e-12, "{off} m above the tailplane");
        }
    }

    #[test]
    fn the_tailplane_has_an_edge_under_each_of_two_fins() {
        let mut aircraft = example();
        let tail = aircraft.surfaces.iter().position(|s| s.role == SurfaceRole::Tailplane).unwrap();
        let fin = aircraft.surfaces.iter().position(|s| s.role == SurfaceRole::Fin).unwrap();
        aircraft.surfaces[fin].mirrored = true;
        aircraft.surfaces[fin].root.right_m = 0.137;
        let grid = grid(&aircraft);
        assert!(grid.strips.iter().all(|strip| strip.side == Side::Right));
        let near = edges(&grid, tail)
            .iter()
            .map(|edge| (edge.quarter_chord.y - 0.137).abs())
            .fold(1.0, f64::min);
        assert!(near < 1e-9, "{near} m beside the fin");
    }
}
