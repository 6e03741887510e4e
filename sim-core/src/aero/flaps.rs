//! What a turned device does to the strips that it covers: air through the flap,
//! and a shift of the section's angle of zero lift.

use super::grid::Grid;
use super::hinge::{effective_deflection_rad, zero_lift_shift_per_deflection};
use super::lattice::Lattice;
use super::model::{DeviceDeflections, Scratch};

/// All flaps of the lattice, in the order of its columns.
#[derive(Debug, Clone)]
pub(super) struct Flaps {
    flaps: Vec<Flap>,
    motions: Vec<Motion>,
}

#[derive(Debug, Clone, Copy)]
struct Flap {
    strip: usize,
    /// Which of the motions it has part in.
    motion: usize,
    shift_per_rad: f64,
}

/// How a device turns the strips that it covers; the same for most of them, so
/// it is worked out once for all.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Motion {
    device: usize,
    all_moving: bool,
    gap_sealed: bool,
}

impl Flaps {
    pub fn new(lattice: &Lattice) -> Self {
        let mut motions: Vec<Motion> = Vec::new();
        let flaps = lattice
            .flap_columns
            .iter()
            .map(|column| {
                let all_moving = column.chord_ratio > 0.999;
                let gap_sealed = lattice.grid.devices[column.device].gap_sealed;
                let own = Motion { device: column.device, all_moving, gap_sealed };
                let motion =
                    motions.iter().position(|motion| *motion == own).unwrap_or_else(|| {
                        motions.push(own);
                        motions.len() - 1
                    });
                let shift = if all_moving {
                    0.0
                } else {
                    zero_lift_shift_per_deflection(column.chord_ratio) * column.cover
                };
                Flap { strip: column.strip, motion, shift_per_rad: shift }
            })
            .collect();
        Self { flaps, motions }
    }

    /// The strip of every flap.
    pub fn strips(&self) -> impl Iterator<Item = usize> {
        self.flaps.iter().map(|flap| flap.strip)
    }

    /// Turns the devices: fills in the air through each flap and adds to the
    /// strips' shifts.
    pub fn turn(&self, grid: &Grid, deflections: &DeviceDeflections, scratch: &mut Scratch) {
        let first_left = grid.strips.len();
        let sides = [&deflections.right_rad, &deflections.left_rad];
        scratch.turned.clear();
        scratch.turned.extend(self.motions.iter().map(|motion| {
            sides.map(|list| {
                let turned = list.get(motion.device).copied().unwrap_or(0.0);
                let effective = if motion.all_moving {
                    turned
                } else {
                    effective_deflection_rad(turned, motion.gap_sealed)
                };
                (effective, effective.sin())
            })
        }));
        for (column, flap) in self.flaps.iter().enumerate() {
            for (side, (effective, sine)) in scratch.turned[flap.motion].into_iter().enumerate() {
                // The plane of symmetry has no image.
                if side == 1 && flap.strip >= grid.right {
                    continue;
                }
                let strip = if side == 0 { flap.strip } else { first_left + flap.strip };
                let flow = &mut scratch.flow[strip];
                scratch.flap_velocity[side][column] = flow.tangential_m_s * sine;
                flow.flap_shift_rad += flap.shift_per_rad * effective;
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use nalgebra::Vector3;

    use super::*;
    use crate::aero::grid::GridOptions;
    use crate::aircraft::{EXAMPLES, SurfaceRole, read_aircraft};

    /// A strip's angle of zero lift is shifted by as much of a flap as covers it, and
    /// by nothing where all of its chord turns.
    #[test]
    fn a_flap_shifts_the_strips_that_it_covers() {
        let mut aircraft = read_aircraft(EXAMPLES[0].text).unwrap();
        for surface in &mut aircraft.surfaces {
            for control in &mut surface.controls {
                (control.from_span, control.to_span) = (0.23, 0.71);
                if surface.role == SurfaceRole::Fin {
                    (control.inner_chord, control.outer_chord) = (1.0, 1.0);
                }
            }
        }
        let options = GridOptions { strips: 4, strips_min: 4, boxes: 2 };
        let grid = Grid::new(&aircraft, Vector3::zeros(), options);
        let lattice = Lattice::new(grid, &[1.0; 16], 0.0).unwrap();
        let flaps = Flaps::new(&lattice);
        assert!(lattice.flap_columns.iter().any(|column| column.cover < 1.0));
        for (column, flap) in lattice.flap_columns.iter().zip(&flaps.flaps) {
            let wanted =
                if lattice.grid.strips[column.strip].side == crate::aero::grid::Side::Centre {
                    0.0
                } else {
                    zero_lift_shift_per_deflection(0.3) * column.cover
                };
            assert!((flap.shift_per_rad - wanted).abs() < 1e-12, "{column:?}");
            let motion = &flaps.motions[flap.motion];
            assert_eq!((motion.device, flap.strip), (column.device, column.strip));
        }
    }
}
