//! Loads worked out strip by strip on both sides, from a plain lattice.

use super::super::*;
use super::plain::Plain;
use crate::aero::hinge::{box_rotations, effective_deflection_rad};
use crate::aircraft::Aircraft;

pub const POINT: Place = Place { aft_m: 0.3, right_m: 0.02, up_m: 0.01 };
pub const WAKE_ALPHA_RAD: f64 = 0.04;

/// Circulation, its moment and the load.
pub struct ByHand {
    pub circulation: Vec<f64>,
    pub moment: Vec<f64>,
    pub wrench: Wrench,
}

/// How far the wake swings to an angle: the first order is used up to 0.3.
fn swing(angle_rad: f64) -> f64 {
    0.3 * (angle_rad / 0.3).tanh()
}

/// What the model last told in `state`, but for how its sections answered.
pub fn by_hand(
    model: &AeroModel,
    aircraft: &Aircraft,
    state: &AirState,
    deflections: &DeviceDeflections,
    added: &[Vector3<f64>],
) -> ByHand {
    let grid = &model.lattice.grid;
    let told = model.scratch.borrow().flow.clone();
    let sections: Vec<SectionModel> = model.strips.iter().map(|strip| strip.section).collect();
    let factors: Vec<f64> = sections.iter().map(SectionModel::lift_slope_factor).collect();
    let plain = Plain::new(grid, &factors, WAKE_ALPHA_RAD);
    let (rates, density) = (state.rates_body, state.density_kg_m3);
    let count = plain.strips.len();
    // All is worked out about the point's foot on the plane of symmetry.
    let offset = Vector3::new(0.0, POINT.right_m, 0.0);
    let velocity = state.velocity_body - rates.cross(&offset);
    let at = |k: usize| plain.strips[k].place(plain.strips[k].source.quarter_chord);
    let motion: Vec<_> = (0..count).map(|k| -(velocity + rates.cross(&at(k)))).collect();
    let mut met: Vec<_> =
        (0..count).map(|k| motion[k] + added.get(k).copied().unwrap_or_default()).collect();
    let bent: Vec<_> =
        (0..count).map(|k| model.strips[k].cross_flow.velocity_body(motion[k])).collect();
    let chordwise: Vec<f64> =
        (0..count).map(|k| (met[k] + bent[k]).dot(&plain.strips[k].aft())).collect();
    let flaps = |through: &mut nalgebra::DVector<f64>| {
        for (k, strip) in plain.strips.iter().enumerate() {
            for part in &strip.source.hinged {
                let side = if strip.image { &deflections.left_rad } else { &deflections.right_rad };
                let turned = match part.chord_ratio {
                    1.0 => side[part.device],
                    _ => effective_deflection_rad(
                        side[part.device],
                        grid.devices[part.device].gap_sealed,
                    ),
                };
                let velocity = part.cover * chordwise[k] * turned.sin();
                for (i, rotation) in box_rotations(grid.boxes, part.chord_ratio).iter().enumerate()
                {
                    through[k * grid.boxes + i] += rotation * velocity;
                }
            }
        }
    };
    // Flown from behind the wake stays as it was laid.
    let forward = f64::from(velocity.x > 0.0);
    let alpha = forward * swing((velocity.z / velocity.x).atan() - WAKE_ALPHA_RAD);
    let beta = forward * swing((velocity.y / velocity.norm()).asin());
    // Circulation and its moment in this air, so much of it blocked.
    let answer = |met: &[Vector3<f64>], blocked: f64| {
        let uniform: Vec<f64> = (0..count)
            .map(|k| {
                let through = (met[k] + bent[k]).dot(&plain.strips[k].normal());
                let no_lift = sections[k].zero_lift_angle_rad() * chordwise[k];
                through - no_lift - blocked * told[k].blocked_m_s
            })
            .collect();
        let mut through = plain.through(&uniform, rates);
        flaps(&mut through);
        let [mut circulation, mut moment] = plain.answer(&through);
        let swung =
            plain.swing(&circulation, false) * alpha + plain.swing(&circulation, true) * beta;
        let [more, more_moment] = plain.answer(&swung);
        for k in 0..count {
            circulation[k] += more[k];
            moment[k] += more_moment[k];
        }
        [circulation, moment]
    };
    if let Some(height_m) = state.height_m {
        let [free, _] = answer(&met, 0.0);
        let left = |k: usize| free[grid.strips.len() + k];
        let mean = |k: usize| 0.5 * (free[k] + left(k));
        let share = model.ground.share(state.height_m, &velocity);
        let image = model.ground.image(grid, mean, height_m, &velocity, share);
        for (k, strip) in plain.strips.iter().enumerate() {
            met[k] += strip.place(image.velocity_body(strip.source.quarter_chord));
        }
    }
    let [circulation, moment] = answer(&met, 1.0);
    let ahead = velocity.try_normalize(0.0).unwrap_or_default();
    let across = |force: Vector3<f64>| force - ahead * ahead.dot(&force);
    let mut wrench = Wrench::default();
    let mut turning = Vector3::zeros();
    let mut pull = |force: Vector3<f64>, at: Vector3<f64>| {
        wrench.force_body += force;
        wrench.moment_body += at.cross(&force);
    };
    for (k, strip) in plain.strips.iter().enumerate() {
        let (source, told) = (strip.source, &told[k]);
        let induced: Vector3<f64> = (0..count).map(|j| plain.gathered(j, k) * circulation[j]).sum();
        let local = met[k] + induced;
        let [from, to] = strip.quarter_chords();
        let bound = to - from;
        let strength = density * circulation[k];
        pull(local.cross(&bound) * strength + across(bent[k].cross(&bound) * strength), at(k));
        for (edge, sense) in strip.edges().into_iter().zip([-1.0, 1.0]) {
            let leg = strip.aft() * (sense * edge.length_aft_m);
            let force = met[k].cross(&leg) + across(bent[k].cross(&leg));
            let middle = strip.place(edge.quarter_chord) + strip.aft() * (0.5 * edge.length_aft_m);
            pull(force * strength, middle);
        }
        let pressure = 0.5 * density * local.norm_squared() * source.area_m2;
        pull(local.normalize() * (pressure * told.coefficients.cd), at(k));
        pull(vortex_lift::force(density, &model.strips[k], told, local), at(k));
        // Moments keep their lifting sense on the left.
        let sense = if strip.image { -1.0 } else { 1.0 };
        let axis = strip.place(source.span_direction) * sense;
        turning += axis * (pressure * source.chord_m * told.coefficients.cm_quarter_chord);
        let couple = strip.aft().cross(&local.cross(&bound)) * (density * moment[k]);
        turning += couple * told.coefficients.attached;
    }
    let foot = Place { right_m: 0.0, ..POINT };
    for body in &aircraft.bodies {
        let viscosity = state.kinematic_viscosity_m2_s;
        let (force_body, moment_body) =
            BodyModel::new(body, foot).loads(velocity, rates, density, viscosity);
        wrench = wrench + Wrench { force_body, moment_body };
    }
    wrench.moment_body += turning - offset.cross(&wrench.force_body);
    ByHand { circulation, moment, wrench }
}
