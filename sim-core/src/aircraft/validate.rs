//! From an aircraft as typed to one that the physics may trust.
//!
//! The ranges stand beside the fields (garde); what concerns several fields at
//! once is checked here. All faults are collected, none hides another.

use garde::Validate;
use serde::Serialize;

use super::outline::{PanelShape, panel_shapes};
use super::{
    Aircraft, ControlRole, ControlSurface, Drive, MassStatement, Spread, Surface, SurfaceRole,
};

/// One fault: which field, and what is wrong with it.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, thiserror::Error)]
#[error("{field}: {message}")]
pub struct Finding {
    /// Path of the field as the file has it, such as
    /// `mass.parts[1].spread.rod.mass_kg`.
    pub field: String,
    /// What is wrong, with the value and what is allowed.
    pub message: String,
}

impl Finding {
    /// A fault of `field`.
    #[inline]
    pub fn new(field: impl Into<String>, message: impl Into<String>) -> Self {
        Self { field: field.into(), message: message.into() }
    }
}

/// An aircraft that got through [`Aircraft::check`]: every number is finite
/// and inside its limits, names refer to existing things, there is a wing, and
/// the outline is symmetric.
#[derive(Debug, Clone, PartialEq)]
pub struct SoundAircraft(Aircraft);

impl std::ops::Deref for SoundAircraft {
    type Target = Aircraft;

    #[inline]
    fn deref(&self) -> &Aircraft {
        &self.0
    }
}

impl SoundAircraft {
    /// The plain data again, to be changed and checked anew.
    #[inline]
    pub fn into_inner(self) -> Aircraft {
        self.0
    }
}

impl Aircraft {
    /// Checks everything and returns the sound aircraft, or all faults.
    ///
    /// # Errors
    /// One [`Finding`] for each fault: what is out of its range first.
    #[inline]
    pub fn check(self) -> Result<SoundAircraft, Vec<Finding>> {
        let mut findings = Vec::new();
        if let Err(report) = self.validate() {
            findings.extend(report.iter().map(|(path, error)| {
                Finding::new(in_the_file(&path.to_string(), &self), error.message())
            }));
        }
        check_surfaces(&self, &mut findings);
        check_bodies_and_propellers(&self, &mut findings);
        check_mass(&self, &mut findings);
        if findings.is_empty() { Ok(SoundAircraft(self)) } else { Err(findings) }
    }
}

/// Garde counts the contents of an enum's variant or leaves the variant out; the
/// file names it.
#[inline]
fn in_the_file(path: &str, aircraft: &Aircraft) -> String {
    let index = |list: &str| path.strip_prefix(list)?.split_once(']')?.0.parse::<usize>().ok();
    let spread = |i: usize| match &aircraft.mass {
        MassStatement::Parts(parts) => parts.get(i).map(|part| match part.spread {
            Spread::Point { .. } => "point",
            Spread::Rod { .. } => "rod",
            Spread::Block { .. } => "block",
            Spread::Sheet { .. } => "sheet",
        }),
        MassStatement::Known(_) => None,
    };
    let drive = |i: usize| {
        aircraft.propulsion.get(i).map(|unit| match unit.drive {
            Drive::Electric { .. } => "electric",
            Drive::KnownThrust { .. } => "known_thrust",
        })
    };
    let mass = match aircraft.mass {
        MassStatement::Parts(_) => "mass.parts",
        MassStatement::Known(_) => "mass.known",
    };
    let steps = [
        ("mass[0]", Some(mass.to_owned())),
        (".spread.", index("mass[0][").and_then(spread).map(|name| format!(".spread.{name}."))),
        (".drive.", index("propulsion[").and_then(drive).map(|name| format!(".drive.{name}."))),
        (".material.", Some(".material.other.".to_owned())),
    ];
    steps.into_iter().fold(path.to_owned(), |path, (step, named)| match named {
        Some(named) => path.replacen(step, &named, 1),
        None => path,
    })
}

/// How far apart places may lie that count as one, m: the width of a pencil line.
const PENCIL_LINE_M: f64 = 1e-4;

#[inline]
fn check_surfaces(aircraft: &Aircraft, findings: &mut Vec<Finding>) {
    let surfaces = &aircraft.surfaces;
    if !surfaces.is_empty() && !surfaces.iter().any(|s| s.role == SurfaceRole::Wing) {
        findings.push(Finding::new(
            "surfaces",
            "has no surface with role \"wing\", allowed is 1 to 12 surfaces with at least one wing",
        ));
    }
    for (i, surface) in surfaces.iter().enumerate() {
        let path = format!("surfaces[{i}]");
        let before = &surfaces[..i];
        if before.iter().any(|other| other.name == surface.name) {
            findings.push(Finding::new(
                format!("{path}.name"),
                format!(
                    "is \"{}\", which another surface already has; allowed is a name of its own",
                    surface.name
                ),
            ));
        }
        if let Some(other) = before.iter().find(|other| coincide(surface, other)) {
            findings.push(Finding::new(
                format!("{path}.root.aft_m"),
                format!(
                    "is {} m, where the surface coincides with \"{}\"; allowed is each in a place of its own",
                    surface.root.aft_m, other.name
                ),
            ));
        }
        check_symmetry(surface, &path, findings);
        check_controls(surface, &path, findings);
    }
}

/// Whether a panel of one surface lies on a panel of the other.
#[inline]
pub fn coincide(one: &Surface, other: &Surface) -> bool {
    let (ones, others) = (panel_shapes(one), panel_shapes(other));
    ones.iter().any(|a| others.iter().any(|b| lies_on(a, b) || lies_on(b, a)))
}

/// Whether the middle of a panel lies within another one that is parallel to it:
/// no lattice tells the two apart. Panels that cross are sound, as a fin through
/// a tailplane.
#[inline]
fn lies_on(panel: &PanelShape, other: &PanelShape) -> bool {
    let middle = panel.point(&panel.station(0.5), 0.5);
    let fraction = (middle - other.inner.leading_edge).dot(&other.span_direction) / other.span_m();
    let station = other.station(fraction);
    let aft = other.aft_direction(&station);
    let from_edge = middle - station.leading_edge;
    let along_chord = from_edge.dot(&aft);
    // Six degrees.
    panel.span_direction.cross(&other.span_direction).norm() < 0.1
        && (0.0..=1.0).contains(&fraction)
        && (0.0..=station.chord_m).contains(&along_chord)
        && (from_edge - aft * along_chord).norm() < PENCIL_LINE_M
}

#[inline]
fn check_symmetry(surface: &Surface, path: &str, findings: &mut Vec<Finding>) {
    if surface.mirrored {
        if surface.root.right_m < 0.0 {
            findings.push(Finding::new(
                format!("{path}.root.right_m"),
                format!(
                    "is {} m, allowed is 0 m or more: a mirrored surface is described by its right half",
                    surface.root.right_m
                ),
            ));
        }
        if surface.role != SurfaceRole::Fin
            && surface.panels.iter().any(|p| p.dihedral_deg.abs() > 89.0)
            && surface.root.right_m < PENCIL_LINE_M
        {
            findings.push(Finding::new(
                format!("{path}.panels"),
                "has an upright panel on the plane of symmetry, which would coincide with its own mirror image; allowed is dihedral within ±89 deg, or mirrored false",
            ));
        }
        if surface.role == SurfaceRole::Fin && surface.root.right_m < PENCIL_LINE_M {
            findings.push(Finding::new(
                format!("{path}.mirrored"),
                "is true for a fin on the plane of symmetry; allowed is false there, or root.right_m above 0 for twin fins",
            ));
        }
        return;
    }
    if surface.root.right_m.abs() > PENCIL_LINE_M {
        findings.push(Finding::new(
            format!("{path}.root.right_m"),
            format!(
                "is {} m, allowed is 0 m for a surface that is not mirrored",
                surface.root.right_m
            ),
        ));
    }
    for (j, panel) in surface.panels.iter().enumerate() {
        if panel.dihedral_deg.abs() < 90.0 {
            findings.push(Finding::new(
                format!("{path}.panels[{j}].dihedral_deg"),
                format!(
                    "is {} deg, allowed is 90 or -90 deg for a surface that is not mirrored",
                    panel.dihedral_deg
                ),
            ));
        }
        if panel.incidence_deg != 0.0 || panel.twist_deg != 0.0 {
            findings.push(Finding::new(
                format!("{path}.panels[{j}].incidence_deg"),
                "is turned out of the plane of symmetry, allowed is 0 deg for a single fin; use rudder trim",
            ));
        }
        if panel.section.camber != 0.0
            || panel.section.known.zero_lift_angle_deg.unwrap_or(0.0) != 0.0
            || panel.section.known.moment_coefficient.unwrap_or(0.0) != 0.0
        {
            findings.push(Finding::new(
                format!("{path}.panels[{j}].section.camber"),
                "is not symmetric, allowed is 0 for a single fin",
            ));
        }
    }
}

#[inline]
fn check_controls(surface: &Surface, path: &str, findings: &mut Vec<Finding>) {
    for (j, control) in surface.controls.iter().enumerate() {
        let field = format!("{path}.controls[{j}]");
        if surface.controls[..j].iter().any(|other| other.name == control.name) {
            findings.push(Finding::new(
                format!("{field}.name"),
                format!(
                    "is \"{}\", which another control of this surface already has; allowed is a name of its own",
                    control.name
                ),
            ));
        }
        check_linkage(control, &field, findings);
        if control.from_span >= control.to_span {
            findings.push(Finding::new(
                format!("{field}.to_span"),
                format!(
                    "is {}, allowed is above from_span, which is {}",
                    control.to_span, control.from_span
                ),
            ));
        }
        if let Some(other) = surface.controls[..j].iter().find(|other| overlap(control, other)) {
            findings.push(Finding::new(
                format!("{field}.from_span"),
                format!(
                    "is {} (to_span {}), which runs into \"{}\" from {} to {}; allowed is a stretch of the trailing edge of its own",
                    control.from_span, control.to_span, other.name, other.from_span, other.to_span
                ),
            ));
        }
        let opposed = matches!(
            control.role,
            ControlRole::Aileron
                | ControlRole::Elevon
                | ControlRole::Flaperon
                | ControlRole::Ruddervator
        );
        if opposed && !surface.mirrored {
            findings.push(Finding::new(
                format!("{field}.role"),
                "needs a left and a right half; allowed on a single surface is elevator, rudder or flap",
            ));
        }
    }
}

/// Share of a span up to which two controls may run into each other: a rounding of
/// what was measured.
const OVERLAP_MAX: f64 = 0.002;

/// Whether two controls take the same stretch of a trailing edge, which no one can
/// build.
fn overlap(one: &ControlSurface, other: &ControlSurface) -> bool {
    one.to_span.min(other.to_span) - one.from_span.max(other.from_span) > OVERLAP_MAX
}

/// What concerns several numbers of a linkage at once.
#[inline]
fn check_linkage(control: &ControlSurface, field: &str, findings: &mut Vec<Finding>) {
    if let Some(setting) = &control.setting
        && setting.low_rate_deg.is_some_and(|low| low > setting.high_rate_deg)
    {
        findings.push(Finding::new(
            format!("{field}.setting.low_rate_deg"),
            format!(
                "is {} deg, allowed is up to high_rate_deg, which is {} deg",
                setting.low_rate_deg.unwrap_or_default(),
                setting.high_rate_deg
            ),
        ));
    }
    if let Some(setting) = &control.setting
        && setting.high_rate_deg > control.throw_max_deg
    {
        findings.push(Finding::new(
            format!("{field}.setting.high_rate_deg"),
            format!(
                "is {} deg, allowed is up to throw_max_deg, which is {} deg",
                setting.high_rate_deg, control.throw_max_deg
            ),
        ));
    }
    let Some(rod) = control.linkage.as_ref().and_then(|linkage| linkage.pushrod) else { return };
    if rod.inner_diameter_m > 0.99 * rod.diameter_m {
        findings.push(Finding::new(
            format!("{field}.linkage.pushrod.inner_diameter_m"),
            format!(
                "is {} m, allowed is below diameter_m, which is {} m",
                rod.inner_diameter_m, rod.diameter_m
            ),
        ));
    }
    if rod.free_length_m > rod.length_m {
        findings.push(Finding::new(
            format!("{field}.linkage.pushrod.free_length_m"),
            format!(
                "is {} m, allowed is up to length_m, which is {} m",
                rod.free_length_m, rod.length_m
            ),
        ));
    }
}

#[inline]
fn check_bodies_and_propellers(aircraft: &Aircraft, findings: &mut Vec<Finding>) {
    for (i, body) in aircraft.bodies.iter().enumerate() {
        let length = (body.rear.to_body_axes() - body.front.to_body_axes()).norm();
        if length < 1e-3 {
            findings.push(Finding::new(
                format!("bodies[{i}].rear"),
                format!("lies {length} m from front, allowed is 0.001 m or more"),
            ));
        }
    }
    for (i, unit) in aircraft.propulsion.iter().enumerate() {
        if unit.mirrored && unit.hub.right_m < PENCIL_LINE_M {
            findings.push(Finding::new(
                format!("propulsion[{i}].hub.right_m"),
                format!("is {} m, allowed is above 0 m for a mirrored propeller", unit.hub.right_m),
            ));
        }
    }
}

#[inline]
fn check_mass(aircraft: &Aircraft, findings: &mut Vec<Finding>) {
    match &aircraft.mass {
        MassStatement::Parts(parts) => {
            for (i, part) in parts.iter().enumerate() {
                let Spread::Sheet { surface, .. } = &part.spread else { continue };
                if !aircraft.surfaces.iter().any(|s| s.name == *surface) {
                    findings.push(Finding::new(
                        format!("mass.parts[{i}].spread.sheet.surface"),
                        format!("is \"{surface}\", allowed is the name of a surface"),
                    ));
                }
            }
        }
        MassStatement::Known(known) => {
            let (x, y, z) = (known.ixx_kg_m2, known.iyy_kg_m2, known.izz_kg_m2);
            if x + y < z || y + z < x || z + x < y {
                findings.push(Finding::new(
                    "mass.known",
                    format!(
                        "has inertias {x}, {y} and {z} kg m2, of which one exceeds the sum of the others; no body has that"
                    ),
                ));
            }
            if known.ixz_kg_m2.powi(2) >= x * z {
                findings.push(Finding::new(
                    "mass.known.ixz_kg_m2",
                    format!(
                        "is {} kg m2, allowed is a size below {} kg m2, the root of ixx times izz",
                        known.ixz_kg_m2,
                        (x * z).sqrt()
                    ),
                ));
            }
        }
    }
}

#[cfg(test)]
mod tests;
