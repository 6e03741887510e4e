//! Where along the span the flow leaves first, and how that spreads.
//!
//! The angle of attack is raised in steps at the speed of the stall, motor off,
//! elevator held where it balances the stall. Each strip of the lattice tells
//! how far its flow is attached. Valid for the gentle approach to a stall; a
//! stall in a turn or under power begins elsewhere.

use nalgebra::Vector3;
use serde::Serialize;

use super::stall::Stall;
use crate::aero::grid::{Grid, Strip};
use crate::aircraft::outline::mirror;
use crate::analysis::FlightPoint;
use crate::atmosphere::Atmosphere;
use crate::dynamics::{Aeroplane, Airframe, Controls};

/// A strip of a surface.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct StripPlace {
    /// Index of the surface in the aircraft.
    pub surface: usize,
    /// Inner front, outer front, outer rear, inner rear corner of the mean
    /// surface, body axes from the balance point, m.
    pub corners: [Vector3<f64>; 4],
    /// Unit vector away from the upper side, body axes.
    pub normal: Vector3<f64>,
}

/// The strips at one angle of attack.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct SpreadStep {
    /// Angle of attack of the body, rad.
    pub alpha_rad: f64,
    /// How far the flow of each strip is attached: 1 wholly, 0 not at all.
    pub attached: Vec<f64>,
}

/// The spread of the stall.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct StallSpread {
    /// All strips: right half, plane of symmetry, left half.
    pub strips: Vec<StripPlace>,
    /// Angles of attack, rising.
    pub steps: Vec<SpreadStep>,
}

/// Angles of attack about that of the stall, rad.
const RANGE_RAD: (f64, f64) = (-0.14, 0.12);
/// Number of steps.
const STEPS: usize = 40;

/// Follows the stall over the span.
pub fn spread_of_stall(
    aeroplane: &Aeroplane,
    stall: &Stall,
    atmosphere: &Atmosphere,
) -> StallSpread {
    let controls = Controls { elevator_rad: stall.elevator_rad, ..Controls::default() };
    let steps = (0..=STEPS)
        .map(|i| {
            let share = i as f64 / STEPS as f64;
            let alpha_rad = stall.alpha_rad + RANGE_RAD.0 + (RANGE_RAD.1 - RANGE_RAD.0) * share;
            let point = FlightPoint {
                airspeed_m_s: stall.airspeed_m_s,
                alpha_rad,
                beta_rad: 0.0,
                density_kg_m3: atmosphere.density_kg_m3,
                kinematic_viscosity_m2_s: atmosphere.kinematic_viscosity_m2_s,
                controls,
            };
            aeroplane.loads(&point.air(), &controls);
            let attached =
                aeroplane.aero().strip_loads().iter().map(|strip| strip.attached).collect();
            SpreadStep { alpha_rad, attached }
        })
        .collect();
    StallSpread { strips: strip_places(aeroplane.aero().grid()), steps }
}

/// Where the strips of a grid lie, in the order of its strip loads.
pub fn strip_places(grid: &Grid) -> Vec<StripPlace> {
    let right = grid.strips.iter().map(|strip| place(grid, strip));
    let left = grid.strips[..grid.right].iter().map(|strip| {
        let right = place(grid, strip);
        StripPlace { corners: right.corners.map(mirror), normal: mirror(right.normal), ..right }
    });
    right.chain(left).collect()
}

fn place(grid: &Grid, strip: &Strip) -> StripPlace {
    let ends = |edge: usize| {
        let nodes = &grid.edges[edge].nodes;
        (nodes[0], nodes[nodes.len() - 1])
    };
    let ((inner_front, inner_rear), (outer_front, outer_rear)) =
        (ends(strip.inner_edge), ends(strip.outer_edge));
    StripPlace {
        surface: strip.surface,
        corners: [inner_front, outer_front, outer_rear, inner_rear],
        normal: strip.normal,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::aero::grid::GridOptions;
    use crate::aircraft::{EXAMPLES, SurfaceRole, read_aircraft};
    use crate::assess::{Question, aeroplane, find_stall, reference_sizes};

    #[test]
    fn the_wing_stalls_alike_on_both_sides_and_only_past_its_stall() {
        for example in EXAMPLES {
            // Without a propeller, whose swirl a stalling wing would magnify.
            let mut aircraft = read_aircraft(example.text).unwrap();
            aircraft.propulsion.clear();
            let aircraft = aircraft.check().unwrap();
            let question = Question::default();
            let aeroplane = aeroplane(&aircraft, &question, GridOptions::default()).unwrap();
            let atmosphere = Atmosphere::standard(0.0).unwrap();
            let stall =
                find_stall(&aeroplane, &reference_sizes(&aircraft), &atmosphere, 0.5).unwrap();
            let spread = spread_of_stall(&aeroplane, &stall, &atmosphere);
            let loads = aeroplane.aero().strip_loads();
            assert_eq!(spread.strips.len(), loads.len());
            for (strip, load) in spread.strips.iter().zip(&loads) {
                let inside = strip.corners.iter().sum::<Vector3<f64>>() / 4.0;
                assert!((inside.y - load.quarter_chord.y).abs() < 0.05, "{}", example.key);
            }
            let wing = |step: &SpreadStep| {
                let of_wing =
                    |strip: &StripPlace| aircraft.surfaces[strip.surface].role == SurfaceRole::Wing;
                let shares = spread.strips.iter().zip(&step.attached).filter(|(s, _)| of_wing(s));
                shares.map(|(_, a)| *a).collect::<Vec<_>>()
            };
            let first = wing(&spread.steps[0]);
            assert!(first.iter().all(|a| *a > 0.7), "{}: {first:?}", example.key);
            let last = wing(&spread.steps[STEPS]);
            assert!(last.iter().any(|a| *a < 0.5), "{}: {last:?}", example.key);
            let half = last.len() / 2;
            for (right, left) in last[..half].iter().zip(&last[half..]) {
                assert!((right - left).abs() < 1e-9, "{}: {right} {left}", example.key);
            }
        }
    }
}
