//! Whether every strip is where its section says it is.

use super::super::*;
use super::plain::Plain;
use crate::aero::hinge::{effective_deflection_rad, zero_lift_shift_per_deflection};

/// Angles of the strips from zero lift that a bell along the span gives in the mean
/// for strip `k`, wide by its section's loss of lift; ends throw it back, but where
/// a surface meets its image it goes on there.
fn mean_angle_rad(model: &AeroModel, angles: &[f64], k: usize) -> f64 {
    let grid = &model.lattice.grid;
    let (right, all) = (grid.right, grid.strips.len());
    let source = |k: usize| if k < all { k } else { k - all };
    let (own, is_left) = (source(k), k >= all);
    let surface = grid.strips[own].surface;
    let strips: Vec<usize> = (0..all).filter(|j| grid.strips[*j].surface == surface).collect();
    let side = |j: usize, left: bool| if left { all + j } else { j };
    let root = &grid.edges[grid.strips[strips[0]].inner_edge];
    let goes_on = own < right && root.quarter_chord.y.abs() < 0.05 * root.length_aft_m;
    let width = |j: usize| grid.strips[j].area_m2 / grid.strips[j].chord_m;
    let span_m: f64 = strips.iter().map(|j| width(*j)).sum();
    let place = |j: usize| {
        let inside = strips.iter().take_while(|i| **i < j).map(|i| width(*i));
        inside.sum::<f64>() + 0.5 * width(j)
    };
    let section = &model.strips[k].section;
    let bell = ((section.steepest_loss() / 0.75 - 1.26) / 2.3).max(0.25);
    let bell_m = bell * grid.strips[own].chord_m;
    let (mut sum, mut total) = (0.0, 0.0);
    for &j in &strips {
        for (at, heard) in [
            (place(j), side(j, is_left)),
            (2.0 * span_m - place(j), side(j, is_left)),
            (-place(j), side(j, is_left != goes_on)),
        ] {
            let apart = (at - place(own)) / bell_m;
            if apart.abs() < 2.5 {
                let share = width(j) * (-0.5 * apart * apart).exp();
                // Air from the other side says nothing: its difference fades out
                // between 1 and 2.1 rad.
                let off = angles[heard] - angles[k];
                let off = off.sin().atan2(off.cos());
                let heard = ((2.1 - off.abs()) / 1.1).clamp(0.0, 1.0);
                sum += share * (angles[k] + off * heard);
                total += share;
            }
        }
    }
    sum / total
}

/// Checks angle, coefficients and blocked velocity of every strip, to the
/// accuracy that is asked of them, and what is told of them.
pub fn check(model: &AeroModel, deflections: &DeviceDeflections) {
    let grid = &model.lattice.grid;
    let all = grid.strips.len();
    let flow = model.scratch.borrow().flow.clone();
    let strips = &model.strips;
    // From the circulation: that of a plate at the angle to the air that is met and
    // blocked.
    let normal = |k: usize| {
        let source = &grid.strips[if k < all { k } else { k - all }];
        let chord_m = source.chord_m * (source.width_m / source.bound.norm()).min(1.0);
        let slope = 2.0 * PI * strips[k].section.lift_slope_factor();
        2.0 * flow[k].circulation / (slope * chord_m) + flow[k].blocked_m_s
    };
    let angles: Vec<f64> =
        (0..strips.len()).map(|k| normal(k).atan2(flow[k].tangential_m_s)).collect();
    let loads = model.strip_loads();
    for (k, strip) in strips.iter().enumerate() {
        let source = &grid.strips[if k < all { k } else { k - all }];
        let (section, flow) = (&strip.section, &flow[k]);
        let side = if k < all { &deflections.right_rad } else { &deflections.left_rad };
        let shift: f64 = source
            .hinged
            .iter()
            .filter(|part| part.chord_ratio < 1.0)
            .map(|part| {
                let sealed = grid.devices[part.device].gap_sealed;
                let turned = effective_deflection_rad(side[part.device], sealed);
                zero_lift_shift_per_deflection(part.chord_ratio) * part.cover * turned
            })
            .sum();
        assert!((shift - flow.flap_shift_rad).abs() < 1e-12, "{k}: shift");
        let no_lift_rad = section.zero_lift_angle_rad() - shift;
        let mean = mean_angle_rad(model, &angles, k);
        let told = section.coefficients(mean + no_lift_rad, shift);
        let slope = 2.0 * PI * section.lift_slope_factor();
        // Lift of the lattice at this angle: its sine, but its arc as far as the
        // flow is attached, so that attached flow is missing nothing.
        let ahead = mean.abs() < 0.5 * PI;
        let attached = if ahead { told.attached } else { 0.0 };
        let missing = attached * mean + (1.0 - attached) * mean.sin() - told.cl / slope;
        let speed = normal(k).hypot(flow.tangential_m_s);
        let off = flow.blocked_m_s - speed * missing;
        assert!(off.abs() < 2e-5 * speed, "{k}: blocked {} of {speed}, {off}", flow.blocked_m_s);
        // Drag of attached flow is that of the strip's own angle.
        let own = angles[k] + no_lift_rad;
        let change = section.attached_drag_change(own, mean + no_lift_rad, shift);
        let found = &flow.coefficients;
        let alike = |found: f64, wanted: f64| (found - wanted).abs() < 1e-4 * (1.0 + wanted.abs());
        assert!(alike(found.cd, told.cd + told.attached * change), "{k}: {found:?} {told:?}");
        assert!(alike(found.cm_quarter_chord, told.cm_quarter_chord), "{k}: {found:?}");
        assert!(alike(found.attached, told.attached), "{k}: {found:?}");
        let load = &loads[k];
        assert!(alike(load.alpha_rad, mean + no_lift_rad), "{k}: {load:?}");
        assert!(alike(load.section_cl, told.cl) && alike(load.attached, told.attached), "{k}");
        assert!((load.airspeed_m_s - flow.air.norm()).abs() < 1e-12);
        let wanted = strip.quarter_chord - model.offset;
        assert!((load.quarter_chord - wanted).norm() < 1e-12);
    }
}

/// What is blocked takes angle from its strip, but the lattice gives a part of it
/// back there and beside it; all read in the mean.
#[test]
fn what_is_blocked_is_felt_in_the_mean_angle() {
    let mut aircraft = super::aircraft();
    aircraft.surfaces[0].root.right_m = 0.1;
    for aircraft in [super::aircraft(), aircraft] {
        let model = super::model(&aircraft);
        let grid = &model.lattice.grid;
        let factors: Vec<f64> =
            model.strips.iter().map(|strip| strip.section.lift_slope_factor()).collect();
        let plain = Plain::new(grid, &factors, super::WAKE_ALPHA_RAD);
        let count = model.strips.len();
        let blocked: Vec<f64> = (0..count).map(|k| 1e-3 * (1.3 * k as f64).sin()).collect();
        let through: Vec<f64> = blocked.iter().map(|blocked| -blocked).collect();
        let [circulation, _] = plain.answer(&plain.through(&through, Vector3::zeros()));
        let normal: Vec<f64> = (0..count)
            .map(|k| {
                let source = plain.strips[k].source;
                let chord_m = source.chord_m * (source.width_m / source.bound.norm()).min(1.0);
                blocked[k] + circulation[k] / (PI * chord_m * factors[k])
            })
            .collect();
        let scratch = &mut *model.scratch.borrow_mut();
        scratch.term.copy_from_slice(&blocked);
        scratch.active = (0..count).map(|k| (k, 0.0, 0.0)).collect();
        model.limiter.feel(scratch);
        let wanted: Vec<f64> = (0..count).map(|k| mean_angle_rad(&model, &normal, k)).collect();
        super::assert_alike(&scratch.felt, &wanted, "felt");
    }
}
