//! Sizes of an aircraft as a builder and an engineer want to read them.

use serde::Serialize;

use crate::aircraft::outline::{PanelShape, WingSize, panel_shapes};
use crate::aircraft::{ControlRole, SoundAircraft, Surface, SurfaceRole};
use crate::mass::MassProperties;

/// Sizes of the whole aircraft.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct GeometrySummary {
    /// The wing.
    pub wing: WingSize,
    /// All lifting surfaces in the order of the file.
    pub surfaces: Vec<SurfaceSummary>,
    /// All control surfaces in the order of the file.
    pub controls: Vec<ControlSummary>,
    /// Tailplane area times arm over wing area times mean chord.
    pub horizontal_tail_volume: f64,
    /// Fin area times arm over wing area times span.
    pub vertical_tail_volume: f64,
    /// Mass over wing area, kg/m2.
    pub wing_loading_kg_m2: f64,
}

/// Sizes of one surface, both halves.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct SurfaceSummary {
    /// The builder's name.
    pub name: String,
    /// What it is for.
    pub role: SurfaceRole,
    /// Area along the panels, m2.
    pub area_m2: f64,
    /// Length along the panels from tip to tip (or root to tip), m.
    pub span_m: f64,
    /// Span squared over area.
    pub aspect_ratio: f64,
    /// Distance of the quarter chord behind the balance point, m.
    pub arm_m: f64,
}

/// Sizes of one control surface.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct ControlSummary {
    /// The builder's name.
    pub name: String,
    /// What it does.
    pub role: ControlRole,
    /// Mean chord of the control surface, m.
    pub chord_m: f64,
    /// Area of one half, m2.
    pub area_m2: f64,
    /// Greatest deflection, rad.
    pub throw_max_rad: f64,
}

/// Measures an aircraft.
pub fn geometry_summary(aircraft: &SoundAircraft, mass: &MassProperties) -> GeometrySummary {
    let wing = aircraft.wing_size();
    let surfaces: Vec<SurfaceSummary> =
        aircraft.surfaces.iter().map(|s| surface_summary(s, mass)).collect();
    let volume = |weight: fn(&Surface) -> f64, length_m: f64| {
        let moment: f64 = aircraft
            .surfaces
            .iter()
            .zip(&surfaces)
            .map(|(surface, size)| weight(surface) * size.area_m2 * size.arm_m.abs())
            .sum();
        moment / (wing.area_m2 * length_m)
    };
    GeometrySummary {
        horizontal_tail_volume: volume(level_share, wing.mean_aerodynamic_chord_m),
        vertical_tail_volume: volume(upright_share, wing.span_m),
        wing_loading_kg_m2: mass.mass_kg / wing.area_m2,
        controls: control_summaries(aircraft),
        wing,
        surfaces,
    }
}

/// Share of a tail surface that counts as level: the square of the cosine of
/// its dihedral.
fn level_share(surface: &Surface) -> f64 {
    match surface.role {
        SurfaceRole::Wing => 0.0,
        _ => 1.0 - upright_share(surface),
    }
}

fn upright_share(surface: &Surface) -> f64 {
    if surface.role == SurfaceRole::Wing {
        return 0.0;
    }
    let (mut upright, mut whole) = (0.0, 0.0);
    for shape in panel_shapes(surface) {
        whole += shape.area_m2();
        upright += shape.area_m2() * shape.span_direction.z.powi(2);
    }
    upright / whole
}

fn surface_summary(surface: &Surface, mass: &MassProperties) -> SurfaceSummary {
    let shapes = panel_shapes(surface);
    let halves = if surface.mirrored { 2.0 } else { 1.0 };
    let area: f64 = shapes.iter().map(PanelShape::area_m2).sum();
    let span: f64 = shapes.iter().map(PanelShape::span_m).sum();
    let quarter_chord: f64 =
        shapes.iter().map(|shape| shape.area_m2() * shape.mean_quarter_chord().x).sum();
    SurfaceSummary {
        name: surface.name.clone(),
        role: surface.role,
        area_m2: halves * area,
        span_m: halves * span,
        aspect_ratio: halves * span * span / area,
        arm_m: -quarter_chord / area - mass.balance_point.aft_m,
    }
}

/// Chord of a panel of the surface at a share of its whole length.
fn chord_at(shapes: &[PanelShape], share: f64) -> f64 {
    let whole: f64 = shapes.iter().map(PanelShape::span_m).sum();
    let mut left = share * whole;
    for shape in shapes {
        if left <= shape.span_m() {
            return shape.station(left / shape.span_m()).chord_m;
        }
        left -= shape.span_m();
    }
    shapes.last().map_or(0.0, |shape| shape.outer.chord_m)
}

/// All control surfaces in the order of the file.
pub(super) fn control_summaries(aircraft: &SoundAircraft) -> Vec<ControlSummary> {
    aircraft.surfaces.iter().flat_map(controls_of).collect()
}

fn controls_of(surface: &Surface) -> Vec<ControlSummary> {
    let shapes = panel_shapes(surface);
    let whole: f64 = shapes.iter().map(PanelShape::span_m).sum();
    surface
        .controls
        .iter()
        .map(|control| {
            let inner = chord_at(&shapes, control.from_span) * control.inner_chord;
            let outer = chord_at(&shapes, control.to_span) * control.outer_chord;
            let chord_m = 0.5 * (inner + outer);
            ControlSummary {
                name: control.name.clone(),
                role: control.role,
                chord_m,
                area_m2: chord_m * (control.to_span - control.from_span) * whole,
                throw_max_rad: control.throw_max_deg.to_radians(),
            }
        })
        .collect()
}
