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
/// Share of the swirl that acts on what stands in the stream. A lattice lays the
/// whole of it on every surface, as if a turning jet had no end: alone, a wing
/// with a chord like the jet's radius would then take out more torque than the
/// propeller put in. Half of it is what a wing behind a propeller was found to
/// feel (L. L. M. Veldhuis, Propeller Wing Aerodynamic Interference, thesis,
/// Delft 2005: swirl recovery factor, from memory; spread 0.2).
const SWIRL_FELT: f64 = 0.5;
/// Least axial speed that carries the tube, as a share of the larger of
/// induced velocity and sideways wind.
const CARRY_MIN: f64 = 0.1;
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
    /// Swirl about `axis_body` that is felt just behind the disc, rad/s.
    swirl_rad_s: f64,
    /// Largest radius of the tube's edge before and behind the disc, m, and the
    /// most that its middle can be carried sideways per distance behind it.
    reach_ahead_m: f64,
    reach_behind_m: f64,
    drift_max: f64,
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
        let sideways_m_s = sideways_body.norm();
        let carry_min_m_s = CARRY_MIN * induced_m_s.abs().max(sideways_m_s).max(1e-6);
        // The growth law's mean lies between one and two induced velocities.
        let reach_ahead_m = RADIUS_MAX * (1.0 + EDGE_HALF_WIDTH) * radius_m;
        let slowest = point.axial_airspeed_m_s + induced_m_s + induced_m_s.min(0.0);
        Self {
            reach_ahead_m,
            // A tube that speeds up behind the disc grows no wider than it.
            reach_behind_m: if induced_m_s >= 0.0 && slowest > 0.0 {
                (1.0 + EDGE_HALF_WIDTH) * radius_m
            } else {
                reach_ahead_m
            },
            drift_max: sideways_m_s / slowest.max(carry_min_m_s),
            hub_body: mount.hub_body,
            axis_body,
            radius_m,
            axial_airspeed_m_s: point.axial_airspeed_m_s,
            induced_m_s,
            sideways_body,
            carry_min_m_s,
            swirl_rad_s: SWIRL_FELT * mount.rotation_sign * point.swirl_rad_s,
        }
    }

    /// Velocity that the propeller adds to the air at a point, as far as surfaces
    /// feel it, m/s, body axes.
    ///
    /// It is the air's velocity, not the aircraft's: behind a pulling propeller
    /// its x component is negative (the air is blown aft). The velocity of a
    /// surface relative to the air is the aircraft's own minus this. The point
    /// is given from the mount's reference.
    pub fn velocity_body(&self, point_body: &Vector3<f64>) -> Vector3<f64> {
        let from_hub = point_body - self.hub_body;
        self.velocity_at(&StreamPlace::new(&from_hub, &self.axis_body, self.radius_m))
    }

    /// The same at a place of which all that does not change in flight is known.
    pub fn velocity_at(&self, place: &StreamPlace) -> Vector3<f64> {
        if self.may_reach(place) { self.velocity_near(place) } else { Vector3::zeros() }
    }

    /// Whether a place may lie in the tube: a cheap question, and most do not.
    #[inline]
    pub fn may_reach(&self, place: &StreamPlace) -> bool {
        let near_m = if place.behind_m > 0.0 {
            self.reach_behind_m + self.drift_max * place.behind_m
        } else {
            self.reach_ahead_m
        };
        place.off_axis_m2 <= near_m * near_m && place.begun != 0.0
    }

    /// Whether it blows backwards rather than holds the air up.
    pub fn blows(&self) -> bool {
        self.induced_m_s > 0.0
    }

    /// Middle, from the mount's reference in body axes, and radius of the tube at a
    /// distance behind the disc, m.
    pub fn ring(&self, behind_m: f64) -> (Vector3<f64>, f64) {
        let on_shaft = -self.axis_body * behind_m;
        let place = StreamPlace::new(&on_shaft, &self.axis_body, self.radius_m);
        let contraction = self.contraction(self.induced_m_s * place.growth);
        let middle = self.hub_body + on_shaft + self.drift(&place);
        (middle, self.radius_m * contraction.sqrt())
    }

    fn velocity_near(&self, place: &StreamPlace) -> Vector3<f64> {
        let added = self.induced_m_s * place.growth;
        let contraction = self.contraction(added);
        let radius = self.radius_m * contraction.sqrt();
        let across = place.aside_body - self.drift(place);
        let off_axis = across.norm_squared();
        let outer = radius * (1.0 + EDGE_HALF_WIDTH);
        if off_axis >= outer * outer {
            return Vector3::zeros();
        }
        let inside = rise((outer - off_axis.sqrt()) / (2.0 * EDGE_HALF_WIDTH * radius));
        let swirl =
            self.axis_body.cross(&across) * (self.swirl_rad_s * place.turning / contraction);
        (swirl - self.axis_body * (added * place.begun)) * inside
    }

    /// Area of the tube over the disc's where the added velocity is `added`: the
    /// flow through it stays the same.
    fn contraction(&self, added: f64) -> f64 {
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
        ratio.max(0.25)
    }

    /// How far the free stream has carried the tube's middle sideways.
    fn drift(&self, place: &StreamPlace) -> Vector3<f64> {
        if place.behind_m <= 0.0 {
            return Vector3::zeros();
        }
        let carried = self.axial_airspeed_m_s + self.induced_m_s * place.mean_growth;
        self.sideways_body * (place.behind_m / carried.max(self.carry_min_m_s))
    }
}

/// A place as a propeller sees it: all that the slipstream there depends on
/// besides the operating point. Surfaces do not move against the propeller, so
/// it is worked out once.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct StreamPlace {
    /// Behind the disc along the shaft, m.
    behind_m: f64,
    /// From the shaft, square to it, body axes, m, and its square, m2.
    aside_body: Vector3<f64>,
    off_axis_m2: f64,
    /// Added velocity over that at the disc, here and in the mean from there to
    /// here.
    growth: f64,
    mean_growth: f64,
    /// Share of the inflow, and of the swirl, that has begun here.
    begun: f64,
    turning: f64,
}

impl StreamPlace {
    /// The place `from_hub_body` from the middle of a disc of radius `radius_m`
    /// whose shaft points along `axis_body`.
    pub fn new(from_hub_body: &Vector3<f64>, axis_body: &Vector3<f64>, radius_m: f64) -> Self {
        let behind_m = -axis_body.dot(from_hub_body);
        let aside_body = from_hub_body + axis_body * behind_m;
        let edge_m = (behind_m * behind_m + radius_m * radius_m).sqrt();
        let ahead = -behind_m / radius_m;
        Self {
            behind_m,
            aside_body,
            off_axis_m2: aside_body.norm_squared(),
            growth: 1.0 + behind_m / edge_m,
            // The mean of the growth law from the disc to here, exactly.
            mean_growth: 1.0 + if behind_m > 0.0 { (edge_m - radius_m) / behind_m } else { 0.0 },
            begun: rise((UPSTREAM_FADE.1 - ahead) / (UPSTREAM_FADE.1 - UPSTREAM_FADE.0)),
            turning: rise((SWIRL_ONSET - ahead) / (2.0 * SWIRL_ONSET)),
        }
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

#[cfg(test)]
mod tests {
    use super::*;
    use crate::power::samples;
    use std::f64::consts::PI;

    fn mount() -> Mount {
        Mount {
            hub_body: Vector3::new(0.25, 0.0, 0.02),
            axis_body: Vector3::x(),
            rotation_sign: 1.0,
        }
    }

    fn stream(velocity: Vector3<f64>) -> (Slipstream, OperatingPoint, f64) {
        let model = samples::electric();
        let mount = mount();
        let point = model.operate(0.8, PowerModel::axial_airspeed(&mount, &velocity), 1.225);
        let radius = model.propeller().radius_m();
        (model.slipstream(&point, &mount, &velocity), point, radius)
    }

    #[test]
    fn carries_the_disc_s_mass_momentum_and_swirl() {
        let (stream, point, radius) = stream(Vector3::new(12.0, 0.0, 0.0));
        // Sum over rings 20 radii behind; the smooth edge has its middle at
        // the radius of continuity.
        let behind = 20.0 * radius;
        let rings = 4000;
        let width = 2.0 * radius / f64::from(rings);
        let (mut mass, mut thrust, mut torque) = (0.0, 0.0, 0.0);
        for ring in 0..rings {
            let r = (f64::from(ring) + 0.5) * width;
            let place = mount().hub_body + Vector3::new(-behind, r, 0.0);
            let added = stream.velocity_body(&place);
            let flow = 1.225 * 2.0 * PI * r * width * (12.0 - added.x);
            if added.x != 0.0 {
                mass += flow;
            }
            thrust -= flow * added.x;
            torque += flow * added.z * r;
        }
        let disc_area = PI * radius * radius;
        let expected = 1.225 * disc_area * (12.0 + point.induced_velocity_m_s);
        // A flat tube would give these exactly; the edge smears mass outwards
        // (to 1.15 radii) and keeps momentum to a few per cent.
        assert!(mass > expected && mass < 1.35 * expected, "{mass} {expected}");
        assert!((thrust / point.thrust_n - 1.0).abs() < 0.05, "{thrust} {}", point.thrust_n);
        let felt = SWIRL_FELT * point.torque_n_m;
        assert!((torque / felt - 1.0).abs() < 0.10, "{torque} {felt}");
    }

    /// The tube that is told is the one that blows: half of what its middle feels is
    /// felt on its edge, and what flows through it is the same everywhere.
    #[test]
    fn its_rings_lie_where_it_ends_to_blow() {
        let (stream, point, radius) = stream(Vector3::new(12.0, 0.5, 1.0));
        let disc = 12.0 + point.induced_velocity_m_s;
        for behind in [0.0, 0.5 * radius, 2.0 * radius, 8.0 * radius] {
            let (middle, ring_m) = stream.ring(behind);
            let inside = stream.velocity_body(&middle);
            for across in [Vector3::y(), -Vector3::y(), Vector3::z(), -Vector3::z()] {
                let edge = stream.velocity_body(&(middle + across * ring_m));
                assert!((edge.x / inside.x - 0.5).abs() < 1e-6, "{behind} m: {edge} {inside}");
            }
            let flow = (12.0 - inside.x) * ring_m * ring_m;
            assert!((flow / (disc * radius * radius) - 1.0).abs() < 1e-9, "{behind} m");
        }
    }

    #[test]
    fn is_still_outside_and_far_ahead() {
        let (stream, _, radius) = stream(Vector3::new(12.0, 0.0, 0.0));
        let hub = mount().hub_body;
        for away in [
            Vector3::new(3.1 * radius, 0.0, 0.0),
            Vector3::new(-radius, 1.2 * radius, 0.0),
            Vector3::new(-5.0 * radius, 0.0, -1.2 * radius),
        ] {
            assert_eq!(stream.velocity_body(&(hub + away)), Vector3::zeros());
        }
    }

    #[test]
    fn swirl_turns_with_the_propeller_and_only_behind_it() {
        let (stream, _, radius) = stream(Vector3::new(12.0, 0.0, 0.0));
        let hub = mount().hub_body;
        let above = Vector3::new(0.0, 0.0, -0.4 * radius);
        // Clockwise seen from behind: above the shaft the air goes right.
        let behind = stream.velocity_body(&(hub + above - Vector3::x() * radius));
        assert!(behind.y > 0.0 && behind.x < 0.0);
        let ahead = stream.velocity_body(&(hub + above + Vector3::x() * 0.5 * radius));
        assert!(ahead.y == 0.0 && ahead.x < 0.0);
    }

    #[test]
    fn bends_downwind() {
        // Flying with the nose up, the air passes upwards (-z): so does the
        // tube, less than the free stream since it is faster.
        let velocity = Vector3::new(12.0, 0.0, 2.0);
        let (stream, ..) = stream(velocity);
        let radius = 0.1016;
        let behind = 6.0 * radius;
        let middle = |offset: f64| {
            let place = mount().hub_body + Vector3::new(-behind, 0.0, offset);
            stream.velocity_body(&place).x
        };
        let edge = |sign: f64| {
            (0..4000).map(|i| sign * 1e-4 * f64::from(i)).take_while(|z| middle(*z) < -0.5).last()
        };
        let centre = 0.5 * (edge(1.0).unwrap() + edge(-1.0).unwrap());
        let free = -behind * 2.0 / 12.0;
        assert!(centre < 0.3 * free && centre > 0.95 * free, "{centre} {free}");
    }

    #[test]
    fn has_derivatives_everywhere() {
        let (stream, ..) = stream(Vector3::new(10.0, 0.7, 1.0));
        let (step, count) = (1e-3, 600);
        for direction in [
            Vector3::new(-1.0, 0.1, 0.05),
            Vector3::new(-0.6, 0.7, -0.1),
            Vector3::new(-0.5, 0.0, 0.6),
        ] {
            let at = |index: i32| {
                let along = step * f64::from(index - count / 2);
                stream.velocity_body(&(mount().hub_body + direction * along))
            };
            for index in 1..count {
                // A jump of velocity would show as a step, not a slope.
                assert!((at(index) - at(index - 1)).norm() < 0.05 * 14.0);
            }
        }
    }

    #[test]
    fn stays_finite_in_every_flight() {
        let model = samples::electric();
        for throttle in [0.0, 0.3, 1.0] {
            for velocity in [
                Vector3::zeros(),
                Vector3::new(-30.0, 5.0, 0.0),
                Vector3::new(0.0, 0.0, 20.0),
                Vector3::new(60.0, -3.0, 1.0),
            ] {
                let mount = mount();
                let axial = PowerModel::axial_airspeed(&mount, &velocity);
                let point = model.operate(throttle, axial, 1.225);
                let stream = model.slipstream(&point, &mount, &velocity);
                for index in -40..40 {
                    let place = Vector3::new(0.03 * f64::from(index), 0.02, -0.03);
                    assert!(stream.velocity_body(&place).iter().all(|v| v.is_finite()));
                }
            }
        }
    }

    /// Operating points of our own: working, hovering in a crosswind, braking,
    /// pushed backward, each with its hub's velocity.
    fn streams() -> Vec<Slipstream> {
        let case = |axial: f64, induced: f64, velocity: Vector3<f64>, rotation_sign: f64| {
            let point = OperatingPoint {
                axial_airspeed_m_s: axial,
                induced_velocity_m_s: induced,
                swirl_rad_s: 60.0,
                ..OperatingPoint::default()
            };
            Slipstream::new(&point, &Mount { rotation_sign, ..mount() }, 0.1, &velocity)
        };
        vec![
            case(12.0, 4.0, Vector3::new(12.0, 0.7, 1.5), 1.0),
            case(0.0, 9.0, Vector3::new(0.0, 6.0, 0.0), -1.0),
            case(0.0, 0.2, Vector3::new(0.0, 0.0, 8.0), 1.0),
            case(14.0, -4.0, Vector3::new(14.0, -2.0, 0.5), 1.0),
            case(14.0, -6.9, Vector3::new(14.0, 1.0, 0.0), 1.0),
            case(-6.0, 8.0, Vector3::new(-6.0, 1.0, 1.0), 1.0),
            case(-9.0, 4.0, Vector3::new(-9.0, 2.0, 0.0), 1.0),
            case(0.0, 0.0, Vector3::new(0.0, 5.0, 0.0), 1.0),
        ]
    }

    /// Places behind, ahead and beside a hub, from it.
    fn places() -> impl Iterator<Item = Vector3<f64>> {
        // Closely about the disc, where the swirl begins.
        (-30..=14).map(|along| 0.03 * f64::from(along)).chain([-0.009, 0.004, 0.01]).flat_map(
            |along| {
                (-9..=9).flat_map(move |right| {
                    [-0.09, -0.03, 0.0, 0.05, 0.13]
                        .map(move |down| Vector3::new(along, 0.021 * f64::from(right), down))
                })
            },
        )
    }

    /// The tube as the head of this file tells it, written out for a shaft along x:
    /// growth, continuity, drift by the mean speed, smooth edge, swirl and fade.
    #[test]
    fn the_tube_is_what_its_description_says() {
        let smooth = |x: f64| 3.0 * x.clamp(0.0, 1.0).powi(2) - 2.0 * x.clamp(0.0, 1.0).powi(3);
        let radius: f64 = 0.1;
        for (number, stream) in streams().iter().enumerate() {
            let (axial, induced) = (stream.axial_airspeed_m_s, stream.induced_m_s);
            let mut felt = 0;
            for from_hub in places() {
                let behind = -from_hub.x;
                let growth = |x: f64| 1.0 + x / x.hypot(radius);
                let added = induced * growth(behind);
                let area = match (axial + induced, axial + added) {
                    (disc, _) if disc <= 0.0 => 1.0,
                    (disc, here) if here * 1.96 > disc => (disc / here).max(0.25),
                    _ => 1.96,
                };
                // The mean of the growth by Simpson's rule.
                let mean = (0..=40)
                    .map(|k| {
                        let weight = [2.0, 4.0][k % 2] - f64::from(u8::from(k % 40 == 0));
                        weight / 120.0 * growth(behind * k as f64 / 40.0)
                    })
                    .sum::<f64>();
                let slowest = 0.1 * induced.abs().max(stream.sideways_body.norm()).max(1e-6);
                let drift = stream.sideways_body
                    * (behind.max(0.0) / (axial + induced * mean).max(slowest));
                let off = Vector3::new(0.0, from_hub.y, from_hub.z) - drift;
                let edge = radius * area.sqrt();
                let inside = smooth((1.15 * edge - off.norm()) / (0.3 * edge));
                let begun = smooth((0.3 - from_hub.x) / 0.15);
                let turning = smooth((0.015 - from_hub.x) / 0.03) * stream.swirl_rad_s / area;
                let wanted =
                    inside * Vector3::new(-added * begun, -turning * off.z, turning * off.y);
                let wanted = if begun > 0.0 { wanted } else { Vector3::zeros() };
                let found = stream.velocity_body(&(mount().hub_body + from_hub));
                let most = 1.0 + 2.0 * induced.abs() + stream.swirl_rad_s.abs() * edge;
                assert!(
                    (found - wanted).norm() < 2e-4 * most,
                    "stream {number} at {from_hub:?}: {found:?} {wanted:?}"
                );
                felt += usize::from(found != Vector3::zeros());
            }
            assert!(felt > 20 || number == 7, "stream {number}");
        }
        let swirl = |number: usize| streams()[number].swirl_rad_s;
        assert_eq!((swirl(0), swirl(1)), (0.5 * 60.0, -0.5 * 60.0));
    }

    /// The cheap question leaves out no place that the tube reaches.
    #[test]
    fn no_place_in_the_tube_is_passed_over() {
        for (number, stream) in streams().iter().enumerate() {
            for from_hub in places() {
                let place = StreamPlace::new(&from_hub, &stream.axis_body, stream.radius_m);
                if place.begun > 0.0 {
                    let found = stream.velocity_at(&place);
                    assert_eq!(found, stream.velocity_near(&place), "{number} {from_hub:?}");
                }
            }
        }
    }
}
