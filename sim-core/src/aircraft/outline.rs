//! The shape of an aircraft in space: where every panel, hinge line, body and
//! propeller lies. The drawing, the mass of sheet parts and the lattice all
//! start from here, so they cannot disagree.
//!
//! Positions are in body axes (x forward, y right, z down) with the origin at
//! the builder's datum, m. Only the right half of a mirrored surface is given.

use nalgebra::{Rotation3, UnitVector3, Vector3};

use super::{Aircraft, ControlSurface, Panel, Place, Propulsion, Surface};

/// One station across the span of a surface: a panel's inner or outer end.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Station {
    /// Leading edge, body axes from the datum, m.
    pub leading_edge: Vector3<f64>,
    /// Chord, m.
    pub chord_m: f64,
    /// Angle of the chord to the datum line, rad, nose up (towards `normal`).
    pub incidence_rad: f64,
}

/// A panel in space.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PanelShape {
    /// Inner end.
    pub inner: Station,
    /// Outer end.
    pub outer: Station,
    /// Unit vector along the panel towards its outer end, body axes.
    pub span_direction: Vector3<f64>,
}

impl PanelShape {
    /// Unit vector at right angles to the panel at zero incidence: upwards for
    /// a level wing, to the left for an upright fin.
    pub fn normal(&self) -> Vector3<f64> {
        self.span_direction.cross(&Vector3::x())
    }

    /// The station at `fraction` of the panel, 0 inner to 1 outer.
    pub fn station(&self, fraction: f64) -> Station {
        let between = |a: f64, b: f64| a + (b - a) * fraction;
        Station {
            leading_edge: self.inner.leading_edge.lerp(&self.outer.leading_edge, fraction),
            chord_m: between(self.inner.chord_m, self.outer.chord_m),
            incidence_rad: between(self.inner.incidence_rad, self.outer.incidence_rad),
        }
    }

    /// Unit vector along the chord towards the trailing edge at a station.
    pub fn aft_direction(&self, station: &Station) -> Vector3<f64> {
        let (sin, cos) = station.incidence_rad.sin_cos();
        -Vector3::x() * cos - self.normal() * sin
    }

    /// Point at `chord_fraction` of the chord at a station, 0 leading edge.
    pub fn point(&self, station: &Station, chord_fraction: f64) -> Vector3<f64> {
        station.leading_edge + self.aft_direction(station) * (station.chord_m * chord_fraction)
    }

    /// Length from inner to outer end, m.
    pub fn span_m(&self) -> f64 {
        (self.outer.leading_edge - self.inner.leading_edge).dot(&self.span_direction)
    }

    /// Area of this panel, one half only, m2.
    pub fn area_m2(&self) -> f64 {
        0.5 * (self.inner.chord_m + self.outer.chord_m) * self.span_m()
    }

    /// Quarter chord of the mean aerodynamic chord: the mean over the area. Chord
    /// and place are linear along the panel, so Simpson's rule is exact.
    pub fn mean_quarter_chord(&self) -> Vector3<f64> {
        let (mut moment, mut total) = (Vector3::zeros(), 0.0);
        for (fraction, weight) in [(0.0, 1.0), (0.5, 4.0), (1.0, 1.0)] {
            let station = self.station(fraction);
            moment += self.point(&station, 0.25) * (weight * station.chord_m);
            total += weight * station.chord_m;
        }
        moment / total
    }

    /// The four corners: inner leading, outer leading, outer trailing, inner
    /// trailing edge.
    pub fn corners(&self) -> [Vector3<f64>; 4] {
        [
            self.inner.leading_edge,
            self.outer.leading_edge,
            self.point(&self.outer, 1.0),
            self.point(&self.inner, 1.0),
        ]
    }
}

/// Shapes of a surface's panels, root outwards.
pub fn panel_shapes(surface: &Surface) -> Vec<PanelShape> {
    let mut leading_edge = surface.root.to_body_axes();
    surface
        .panels
        .iter()
        .map(|panel| {
            let shape = panel_shape(panel, leading_edge);
            leading_edge = shape.outer.leading_edge;
            shape
        })
        .collect()
}

fn panel_shape(panel: &Panel, inner_leading_edge: Vector3<f64>) -> PanelShape {
    let dihedral = panel.dihedral_deg.to_radians();
    // Exactly upright: the cosine of 90 degrees is not quite nothing.
    let cos = if panel.dihedral_deg.abs() == 90.0 { 0.0 } else { dihedral.cos() };
    let span_direction = Vector3::new(0.0, cos, -dihedral.sin());
    let set_back = panel.sweep_line * (panel.root_chord_m - panel.tip_chord_m)
        + panel.span_m * panel.sweep_deg.to_radians().tan();
    let incidence = panel.incidence_deg.to_radians();
    PanelShape {
        inner: Station {
            leading_edge: inner_leading_edge,
            chord_m: panel.root_chord_m,
            incidence_rad: incidence,
        },
        outer: Station {
            leading_edge: inner_leading_edge + span_direction * panel.span_m
                - Vector3::x() * set_back,
            chord_m: panel.tip_chord_m,
            incidence_rad: incidence + panel.twist_deg.to_radians(),
        },
        span_direction,
    }
}

/// The stretch of a panel that a control surface covers.
pub struct Covered<'a> {
    /// The panel.
    pub shape: &'a PanelShape,
    /// Inner and outer end as fractions of the panel.
    pub ends: [f64; 2],
    /// Chord of the control surface over the local chord at both ends.
    pub chord_ratios: [f64; 2],
}

/// What a control surface covers of the panels of its surface, root outwards.
pub fn covered<'a>(control: &ControlSurface, shapes: &'a [PanelShape]) -> Vec<Covered<'a>> {
    let whole: f64 = shapes.iter().map(PanelShape::span_m).sum();
    let (from, to) = (control.from_span * whole, control.to_span * whole);
    let chord_ratio = |along: f64| {
        let fraction = ((along - from) / (to - from)).clamp(0.0, 1.0);
        control.inner_chord + (control.outer_chord - control.inner_chord) * fraction
    };
    let mut start = 0.0;
    let mut list = Vec::new();
    for shape in shapes {
        let end = start + shape.span_m();
        let ends = [from.max(start), to.min(end)];
        if ends[1] > ends[0] {
            list.push(Covered {
                shape,
                ends: ends.map(|along| (along - start) / shape.span_m()),
                chord_ratios: ends.map(chord_ratio),
            });
        }
        start = end;
    }
    list
}

/// The quadrilaterals of one control surface, one for each panel it touches:
/// hinge inner, hinge outer, trailing edge outer, trailing edge inner.
pub fn control_corners(surface: &Surface, control_index: usize) -> Vec<[Vector3<f64>; 4]> {
    let Some(control) = surface.controls.get(control_index) else { return Vec::new() };
    let corners = |Covered { shape, ends, chord_ratios }: Covered<'_>| {
        let [a, b] = ends.map(|fraction| shape.station(fraction));
        [
            shape.point(&a, 1.0 - chord_ratios[0]),
            shape.point(&b, 1.0 - chord_ratios[1]),
            shape.point(&b, 1.0),
            shape.point(&a, 1.0),
        ]
    };
    covered(control, &panel_shapes(surface)).into_iter().map(corners).collect()
}

/// The same quadrilaterals with the control surface turned by `angle_rad` about its
/// hinge line; positive moves the trailing edge against the panel's normal, down on
/// a level wing.
#[inline]
pub fn turned_corners(
    surface: &Surface,
    control_index: usize,
    angle_rad: f64,
) -> Vec<[Vector3<f64>; 4]> {
    let turned = |[inner, outer, trailing_outer, trailing_inner]: [Vector3<f64>; 4]| {
        let hinge = UnitVector3::new_normalize(outer - inner);
        let turn = Rotation3::from_axis_angle(&hinge, angle_rad);
        let about = |point: Vector3<f64>| inner + turn * (point - inner);
        [inner, outer, about(trailing_outer), about(trailing_inner)]
    };
    control_corners(surface, control_index).into_iter().map(turned).collect()
}

/// The mirror image of a point in the plane of symmetry.
pub fn mirror(point: Vector3<f64>) -> Vector3<f64> {
    Vector3::new(point.x, -point.y, point.z)
}

/// Unit vector along which a propeller pulls, body axes.
pub fn thrust_direction(unit: &Propulsion) -> Vector3<f64> {
    let (down_sin, down_cos) = unit.down_thrust_deg.to_radians().sin_cos();
    let (right_sin, right_cos) = unit.right_thrust_deg.to_radians().sin_cos();
    Vector3::new(down_cos * right_cos, down_cos * right_sin, down_sin)
}

/// Sizes of the wing that everything else is measured by.
#[derive(Debug, Clone, Copy, PartialEq, serde::Serialize)]
pub struct WingSize {
    /// Area over both halves of all wings, along the panels, m2.
    pub area_m2: f64,
    /// Span from tip to tip of the widest wing, level, m.
    pub span_m: f64,
    /// Mean aerodynamic chord, m.
    pub mean_aerodynamic_chord_m: f64,
    /// Leading edge of the mean aerodynamic chord, in the plane of symmetry.
    pub mean_chord_leading_edge: Place,
    /// Span squared over area.
    pub aspect_ratio: f64,
}

impl WingSize {
    /// Where the wing's lift grows with angle of attack, m behind the datum: a quarter
    /// of the mean aerodynamic chord (thin-aerofoil theory; Glauert, The Elements of
    /// Aerofoil and Airscrew Theory, 1926, chapter 7, from memory). Of a swept or short
    /// wing it is an estimate; the neutral point counts all surfaces.
    #[inline]
    pub fn aerodynamic_centre_aft_m(&self) -> f64 {
        self.mean_chord_leading_edge.aft_m + 0.25 * self.mean_aerodynamic_chord_m
    }
}

impl Aircraft {
    /// How far behind the datum the last trailing edge lies, m.
    pub fn rear_aft_m(&self) -> f64 {
        let corners = self.surfaces.iter().flat_map(panel_shapes).flat_map(|panel| panel.corners());
        corners.map(|corner| -corner.x).fold(f64::NEG_INFINITY, f64::max)
    }

    /// Sizes of the wing: area and span as projected on the ground, mean
    /// aerodynamic chord as the integral of chord squared over area.
    pub fn wing_size(&self) -> WingSize {
        let (mut area, mut chord_moment, mut lead_x, mut lead_z) = (0.0, 0.0, 0.0, 0.0);
        let mut half_span: f64 = 0.0;
        for surface in self.surfaces.iter().filter(|s| s.role == super::SurfaceRole::Wing) {
            for shape in panel_shapes(surface) {
                let level = shape.span_direction.y.abs();
                let (a, b) = (shape.inner.chord_m, shape.outer.chord_m);
                let span = shape.span_m() * level;
                area += (a + b) * span;
                chord_moment += 2.0 * span * (a * a + a * b + b * b) / 3.0;
                // Mean leading edge weighted with the chord (linear times linear).
                let (p, q) = (shape.inner.leading_edge, shape.outer.leading_edge);
                let weigh =
                    |u: f64, v: f64| 2.0 * span * (u * (2.0 * a + b) + v * (a + 2.0 * b)) / 6.0;
                lead_x += weigh(p.x, q.x);
                lead_z += weigh(p.z, q.z);
                half_span = half_span.max(q.y.abs());
            }
        }
        let area_safe = area.max(f64::MIN_POSITIVE);
        let span_m = 2.0 * half_span;
        WingSize {
            area_m2: area,
            span_m,
            mean_aerodynamic_chord_m: chord_moment / area_safe,
            mean_chord_leading_edge: Place::new(-lead_x / area_safe, 0.0, -lead_z / area_safe),
            aspect_ratio: span_m * span_m / area_safe,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::aircraft::{EXAMPLES, Section, SurfaceRole, read_aircraft};

    /// A flap turned down keeps its hinge line and its chord, and its trailing edge
    /// comes to lie as far below it as the sine of the angle says.
    #[test]
    fn a_control_surface_turns_about_its_hinge() {
        let trainer = read_aircraft(EXAMPLES[0].text).unwrap();
        let is_tail = |surface: &&Surface| surface.role == SurfaceRole::Tailplane;
        let tailplane = trainer.surfaces.iter().find(is_tail).unwrap();
        let flat = control_corners(tailplane, 0);
        let down = turned_corners(tailplane, 0, 0.3);
        assert!(!flat.is_empty());
        for (flat, down) in flat.iter().zip(&down) {
            assert_eq!(flat[..2], down[..2]);
            let chord = |corners: &[Vector3<f64>; 4]| corners[3] - corners[0];
            let (chord, turned) = (chord(flat), chord(down));
            assert!((turned.norm() - chord.norm()).abs() < 1e-12);
            // The tailplane lies flat and its hinge line square to the flow but for
            // a little sweep.
            assert!((turned.z - chord.norm() * 0.3_f64.sin()).abs() < 0.01 * chord.norm());
        }
        assert!(turned_corners(tailplane, 9, 0.3).is_empty());
    }

    fn wing(dihedral_deg: f64, sweep_deg: f64, tip_chord_m: f64) -> Surface {
        Surface {
            name: "wing".into(),
            role: SurfaceRole::Wing,
            root: Place::new(0.1, 0.0, 0.05),
            mirrored: true,
            panels: vec![Panel {
                span_m: 0.5,
                root_chord_m: 0.2,
                tip_chord_m,
                sweep_deg,
                sweep_line: 0.25,
                dihedral_deg,
                incidence_deg: 2.0,
                twist_deg: -2.0,
                section: Section::default(),
            }],
            controls: Vec::new(),
        }
    }

    #[test]
    fn dihedral_lifts_the_tip_and_incidence_drops_the_trailing_edge() {
        let shape = panel_shapes(&wing(6.0, 0.0, 0.2))[0];
        assert!(shape.outer.leading_edge.z < shape.inner.leading_edge.z);
        assert!(shape.point(&shape.inner, 1.0).z > shape.inner.leading_edge.z);
        assert!((shape.span_m() - 0.5).abs() < 1e-12);
    }

    #[test]
    fn quarter_chord_sweep_sets_the_quarter_chord_line_back() {
        let shape = panel_shapes(&wing(0.0, 10.0, 0.1))[0];
        let inner = shape.inner.leading_edge.x - 0.25 * 0.2;
        let outer = shape.outer.leading_edge.x - 0.25 * 0.1;
        assert!((inner - outer - 0.5 * 10f64.to_radians().tan()).abs() < 1e-12);
    }

    #[test]
    fn an_upright_fin_points_its_normal_to_the_left() {
        let mut fin = wing(90.0, 0.0, 0.2);
        fin.mirrored = false;
        let shape = panel_shapes(&fin)[0];
        assert_eq!(shape.normal(), Vector3::new(0.0, -1.0, 0.0));
    }
}
