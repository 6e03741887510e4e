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

#[cfg(test)]
mod tests {
    use super::*;
    use crate::aero::grid::GridOptions;
    use crate::aero::interference::CrossFlow;
    use crate::aero::section::SectionCoefficients;
    use crate::aircraft::{EXAMPLES, Section, read_aircraft};

    /// A swept strip of a short wing that leans to the right.
    fn strip() -> StripData {
        let normal = Vector3::new(-0.1, -0.3, -0.9).normalize();
        let aft = Vector3::new(-1.0, 0.0, 0.1).cross(&normal).cross(&normal).normalize();
        StripData {
            quarter_chord: Vector3::new(-0.3, 0.11, -0.02),
            legs_m: 0.0,
            legs_arm: Vector3::zeros(),
            bound: normal.cross(&aft) * 0.08 + aft * 0.03,
            pitch_axis: normal.cross(&aft),
            aft,
            normal,
            chord_m: 0.2,
            area_m2: 0.016,
            normal_per_circulation_1_m: 1.0,
            section: SectionModel::new(&Section::default(), 1e5).with_edge_vortices(1.2, 1.0, 0.8),
            cross_flow: CrossFlow::default(),
        }
    }

    /// Polhamus by hand: what the edge loses of its pull, which is the force of the
    /// air along the normal on the bound vortex, it gains along the normal, on the
    /// side to which it pulled; so do the side edges in their share. Of the drag that
    /// lost suction has been counted as, so much is taken back, but no more than
    /// there is pull.
    #[test]
    fn lost_suction_turns_upright() {
        let strip = strip();
        let share = strip.section.vortex_share() * 0.9;
        assert!(share > 0.0 && strip.section.side_edges() > 0.0);
        for sense in [1.0, -1.0] {
            for counted in [0.01, 10.0] {
                let local = strip.aft * 11.0 + strip.normal * (3.0 * sense) + strip.bound * 5.0;
                let coefficients = SectionCoefficients {
                    attached: 0.9,
                    cd_lost_suction: counted,
                    ..SectionCoefficients::default()
                };
                let circulation = 1.7 * sense;
                let flow = StripFlow { circulation, coefficients, ..StripFlow::default() };
                let along_normal =
                    strip.normal * (3.0 * sense + 5.0 * strip.bound.dot(&strip.normal));
                let pull = along_normal.cross(&strip.bound) * (1.2 * share * circulation);
                assert!(pull.dot(&strip.aft) < 0.0, "the edge pulls ahead");
                let upright = strip.normal * (sense * pull.norm());
                let pressure = 0.5 * 1.2 * local.norm_squared() * strip.area_m2;
                let back = (pressure * counted * strip.section.vortex_part()).min(pull.norm());
                let wanted =
                    upright * (1.0 + strip.section.side_edges()) - pull - local.normalize() * back;
                let found = force(1.2, &strip, &flow, local);
                assert!((found - wanted).norm() < 1e-12, "{found} {wanted}");
                // Air that comes from the side without lift pulls nothing.
                let other = StripFlow { circulation: -circulation, ..flow };
                assert_eq!(force(1.2, &strip, &other, local), Vector3::zeros());
            }
        }
    }

    /// A tapered wing's tip over its mean chord, to the middle of the outmost of
    /// six strips; a rectangle's is one, and of a wing that widens no more.
    #[test]
    fn a_tip_is_as_blunt_as_its_chord_is_long() {
        for taper in [0.25, 0.6, 1.0, 1.5] {
            let mut aircraft = read_aircraft(EXAMPLES[0].text).unwrap();
            let panel = &mut aircraft.surfaces[0].panels[0];
            panel.tip_chord_m = taper * panel.root_chord_m;
            let options = GridOptions { strips: 6, strips_min: 6, boxes: 1 };
            let grid = Grid::new(&aircraft, Vector3::zeros(), options);
            let outmost = taper + (1.0 - taper) / 12.0;
            let wanted = (2.0 * outmost / (1.0 + taper)).min(1.0);
            let found = bluntness(&grid, &grid.strips[0]);
            assert!((found - wanted).abs() < 0.05, "{taper}: {found} {wanted}");
        }
    }

    /// Fins keep their section; on a wing of the same shape vortices hold the flow.
    #[test]
    fn fins_have_no_edge_vortices() {
        let mut aircraft = read_aircraft(EXAMPLES[0].text).unwrap();
        aircraft.surfaces[0].panels[0].span_m = 0.1;
        let grid = Grid::new(&aircraft, Vector3::zeros(), GridOptions::default());
        let strip = &grid.strips[0];
        let section = SectionModel::new(&strip.section, 1e5);
        let of = |role| on_wing(section, &grid, strip, role).vortex_part();
        assert_eq!((of(SurfaceRole::Fin), of(SurfaceRole::Wing)), (0.0, 1.0));
    }
}
