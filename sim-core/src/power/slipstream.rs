//! The air behind (and before) a propeller.
//!
//! A tube of added velocity: growing from the disc backwards as
//! vi (1 + x / sqrt(x2 + R2)) (McCormick 1979, formula from memory, good to
//! 15 %), contracting as continuity asks, turning with the swirl left by the
//! torque, carried sideways by the free stream so that it bends with angle of
//! attack and sideslip. Its edge is smooth, so that loads on surfaces have
//! derivatives. Ahead of the disc the same growth law gives the inflow,
//! without swirl, faded out 3 radii upstream. The profile across is flat: the
//! slow core behind the hub is not modelled.

use nalgebra::Vector3;

use super::{Mount, OperatingPoint, PowerModel};

/// Half the width of the smooth edge over the local radius (estimate: the
/// mixing layer of a free jet after one or two diameters).
const EDGE_HALF_WIDTH: f64 = 0.15;
/// Largest local radius over tip radius; keeps the inflow of a hovering
/// propeller, which comes from everywhere, in a tube.
const RADIUS_MAX: f64 = 1.4;
/// The inflow fades between these distances upstream, in radii.
const UPSTREAM_FADE: (f64, f64) = (1.5, 3.0);
/// Swirl grows from nothing to all over this distance either side of the
/// disc, in radii.
const SWIRL_ONSET: f64 = 0.15;
/// Least axial speed that carries the tube, as a share of the larger of
/// induced velocity and sideways wind.
const CARRY_MIN: f64 = 0.1;
/// Share of the swirl that a tail behind a wing in the same stream still
/// meets; the wing takes out the rest (estimate, 0.3-0.7). A tail alone in
/// the stream meets all of it.
pub const SWIRL_BEHIND_A_WING: f64 = 0.5;

/// The slipstream of one propeller at one moment.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Slipstream {
    hub_body: Vector3<f64>,
    axis_body: Vector3<f64>,
    radius_m: f64,
    axial_airspeed_m_s: f64,
    induced_m_s: f64,
    /// Free stream across the shaft as the motion of the air, m/s.
    sideways_body: Vector3<f64>,
    /// Least speed that carries the tube backwards, m/s.
    carry_min_m_s: f64,
    /// Swirl just behind the disc about `axis_body`, rad/s.
    swirl_rad_s: f64,
}

impl Slipstream {
    /// The slipstream at an operating point of a propeller of tip radius
    /// `radius_m`, whose hub moves with `velocity_hub_body` (m/s, relative to
    /// the air, x forward).
    pub fn new(
        point: &OperatingPoint,
        mount: &Mount,
        radius_m: f64,
        velocity_hub_body: &Vector3<f64>,
    ) -> Self {
        let axis_body = mount.axis_body;
        let sideways_body = axis_body * axis_body.dot(velocity_hub_body) - velocity_hub_body;
        let induced_m_s = point.induced_velocity_m_s;
        Self {
            hub_body: mount.hub_body,
            axis_body,
            radius_m,
            axial_airspeed_m_s: point.axial_airspeed_m_s,
            induced_m_s,
            sideways_body,
            carry_min_m_s: CARRY_MIN * induced_m_s.abs().max(sideways_body.norm()).max(1e-6),
            swirl_rad_s: mount.rotation_sign * point.swirl_rad_s,
        }
    }

    /// The same with only a share of the swirl left, see
    /// [`SWIRL_BEHIND_A_WING`].
    pub fn with_swirl_share(mut self, share: f64) -> Self {
        self.swirl_rad_s *= share;
        self
    }

    /// Velocity that the propeller adds to the air at a point, m/s, body axes.
    ///
    /// It is the air's velocity, not the aircraft's: behind a pulling propeller
    /// its x component is negative (the air is blown aft). The velocity of a
    /// surface relative to the air is the aircraft's own minus this. The point
    /// is given from the mount's reference.
    pub fn velocity_body(&self, point_body: &Vector3<f64>) -> Vector3<f64> {
        let from_hub = point_body - self.hub_body;
        let behind = -self.axis_body.dot(&from_hub);
        if behind < -UPSTREAM_FADE.1 * self.radius_m {
            return Vector3::zeros();
        }
        let distance = behind.hypot(self.radius_m);
        let growth = 1.0 + behind / distance;
        let added = self.induced_m_s * growth;
        let radius = self.local_radius(added);
        let across = from_hub + self.axis_body * behind - self.drift(behind, distance);
        let off_axis = across.norm_squared();
        let outer = radius * (1.0 + EDGE_HALF_WIDTH);
        if off_axis >= outer * outer {
            return Vector3::zeros();
        }
        let inside = rise((outer - off_axis.sqrt()) / (2.0 * EDGE_HALF_WIDTH * radius));
        let ahead = -behind / self.radius_m;
        let begun = rise((UPSTREAM_FADE.1 - ahead) / (UPSTREAM_FADE.1 - UPSTREAM_FADE.0));
        let turning = rise((SWIRL_ONSET - ahead) / (2.0 * SWIRL_ONSET));
        let spun_up = (self.radius_m / radius).powi(2);
        let swirl = self.axis_body.cross(&across) * (self.swirl_rad_s * spun_up * turning);
        (swirl - self.axis_body * (added * begun)) * inside
    }

    /// Radius of the tube where the added velocity is `added`: the flow
    /// through it stays the same.
    fn local_radius(&self, added: f64) -> f64 {
        let at_disc = self.axial_airspeed_m_s + self.induced_m_s;
        let here = self.axial_airspeed_m_s + added;
        let square = RADIUS_MAX * RADIUS_MAX;
        let ratio = if at_disc > 0.0 && here * square > at_disc {
            at_disc / here
        } else if at_disc > 0.0 {
            square
        } else {
            1.0
        };
        self.radius_m * ratio.max(0.25).sqrt()
    }

    /// How far the free stream has carried the tube's middle sideways.
    fn drift(&self, behind: f64, distance: f64) -> Vector3<f64> {
        if behind <= 0.0 {
            return Vector3::zeros();
        }
        // The mean of the growth law from the disc to here, exactly.
        let mean_growth = 1.0 + (distance - self.radius_m) / behind;
        let carried = self.axial_airspeed_m_s + self.induced_m_s * mean_growth;
        self.sideways_body * (behind / carried.max(self.carry_min_m_s))
    }
}

impl PowerModel {
    /// The slipstream at an operating point.
    pub fn slipstream(
        &self,
        point: &OperatingPoint,
        mount: &Mount,
        velocity_hub_body: &Vector3<f64>,
    ) -> Slipstream {
        Slipstream::new(point, mount, self.propeller.radius_m(), velocity_hub_body)
    }
}

/// 0 below 0, 1 above 1, once continuously differentiable.
fn rise(x: f64) -> f64 {
    let x = x.clamp(0.0, 1.0);
    x * x * (3.0 - 2.0 * x)
}
