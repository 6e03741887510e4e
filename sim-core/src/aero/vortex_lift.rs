//! Lift of the vortices over the edges of short wings.
//!
//! Where the flow leaves a sharp edge it rolls up over the wing, and what the
//! edge loses in suction the wing gains at right angles to itself: the analogy of
//! E. C. Polhamus, NASA TN D-3767, 1966, CL = Kp sin a cos2 a + Kv cos a sin2 a
//! (from memory). The first term is the lattice's. The second follows strip by
//! strip: suction is the Kutta-Joukowski force of the velocity along the normal,
//! square to a swept edge. The side edges of a blunt tip have such vortices too
//! (J. E. Lamar, NASA TR R-428, 1974, from memory); their lift is put on the
//! strips as a share of the front edge's.
//!
//! Valid up to the greatest lift, which the section tells
//! ([`super::section::SectionModel::with_edge_vortices`]); on straight wings of an
//! aspect ratio above 3 there is none of it, since the vortex bursts at once. Not here: where
//! along the chord the vortex pulls, and that it bursts over the rear first,
//! which pitches a swept wing up.

use nalgebra::Vector3;

use super::grid::{Grid, Strip};
use super::model::{StripData, StripFlow};
use super::section::SectionModel;
use crate::aircraft::SurfaceRole;

/// A section as it is on a strip's surface. Fins are left out: they stand on a
/// body, a tailplane or a wing's tip, which makes them act as if they were
/// longer, by how much no simple rule tells.
pub(super) fn on_wing(
    section: SectionModel,
    grid: &Grid,
    strip: &Strip,
    role: SurfaceRole,
) -> SectionModel {
    let section = section.on_wing(strip.surface_aspect_ratio);
    if role == SurfaceRole::Fin {
        return section;
    }
    section.with_edge_vortices(strip.surface_aspect_ratio, strip.cos_sweep, bluntness(grid, strip))
}

/// Chord at the tip of the surface that a strip belongs to, over that surface's
/// mean chord: 1 with side edges as long as the wing, 0 with none. At most 1.
fn bluntness(grid: &Grid, strip: &Strip) -> f64 {
    let (mut area_m2, mut width_m, mut tip_chord_m) = (0.0, 0.0, 0.0);
    for own in grid.strips.iter().filter(|other| other.surface == strip.surface) {
        area_m2 += own.chord_m * own.width_m;
        width_m += own.width_m;
        tip_chord_m = own.chord_m;
    }
    (tip_chord_m * width_m / area_m2).min(1.0)
}

/// What a strip's vortex adds to its Kutta-Joukowski force and its drag, N.
/// `local` is the air's velocity at the quarter chord, induced part included.
pub(super) fn force(
    density: f64,
    strip: &StripData,
    flow: &StripFlow,
    local: Vector3<f64>,
) -> Vector3<f64> {
    let section = &strip.section;
    let share = section.vortex_share() * flow.coefficients.attached;
    let along_normal = local.dot(&strip.normal);
    let strength = share * density * flow.circulation * along_normal;
    if strength <= 0.0 {
        return Vector3::zeros();
    }
    let along_edge_m = strip.bound.norm();
    let lift = strip.normal * (along_edge_m * (1.0 + section.side_edges())).copysign(along_normal);
    let suction = strip.normal.cross(&strip.bound);
    // The section's drag has counted lost suction already, for a long wing. It
    // is taken back, at most as much as there is.
    let speed = local.norm();
    let pressure_area = 0.5 * density * speed * strip.area_m2;
    let counted = pressure_area * speed * flow.coefficients.cd_lost_suction;
    let back = (counted * section.vortex_part()).min(strength * along_edge_m);
    (lift - suction) * strength - local * (back / speed)
}
