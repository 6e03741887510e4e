//! Where the aircraft touches the ground, and the forces there.
//!
//! # Method
//! Each point is a spring and damper at right angles to flat ground, with
//! Coulomb friction along and across the wheel's rolling direction. Near rest
//! friction is viscous, so that it has no jump; its slope, the spring and the
//! damper are held below what the step can follow for the mass that the point
//! feels, `1 / (1/m + r^2/I)`, so that no setting can make the contact unstable.
//!
//! # Limits
//! Flat ground. A wheel at rest creeps by millimetres a second under a push.

use nalgebra::Vector3;
use serde::Serialize;

use super::snapshot::Crash;
use crate::aircraft::outline::{mirror, panel_shapes};
use crate::aircraft::{Body, BodyKind, GearWheel, Launch, Place, SoundAircraft, SurfaceRole};
use crate::atmosphere::GRAVITY_M_S2;
use crate::dynamics::{Aeroplane, Airframe, FlightState, Wrench};

/// What touches.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum ContactKind {
    /// Rolls one way, grips the other.
    Wheel,
    /// Meant to slide: belly, tail skid.
    Skid,
    /// Not meant to touch: wing tip, fin, nose.
    Structure(Crash),
}

/// A point that can touch the ground.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct ContactPoint {
    /// What touches.
    pub kind: ContactKind,
    /// Place from the balance point, body axes, m.
    pub position_body: Vector3<f64>,
    /// Steering angle at full rudder throw, rad.
    pub steering_rad: f64,
    /// N/m.
    pub stiffness_n_m: f64,
    /// N s/m.
    pub damping_n_s_m: f64,
    /// Friction over load along the rolling direction.
    pub rolling_friction: f64,
    /// Friction over load across it.
    pub side_friction: f64,
    /// Speed towards the ground that it bears, m/s.
    pub impact_max_m_s: f64,
    /// Greatest viscous friction, N s/m.
    friction_slope_max: f64,
}

/// Static sinking of gear and tyre under the weight, m, for a model; longer
/// for a large aircraft in proportion to its span (estimate, half to double).
const STATIC_SINKING_M: f64 = 0.005;
const STATIC_SINKING_SPAN_M: f64 = 1.2;
/// Damping of gear and tyre over critical (estimate, 0.2 to 0.5).
const DAMPING_RATIO: f64 = 0.4;
/// Sink that wheels and belly bear, m/s: a fall from 0.8 m (estimate, 3 to 5
/// for foam).
const IMPACT_WHEEL_M_S: f64 = 4.0;
const IMPACT_SKID_M_S: f64 = 3.5;
/// Speed towards the ground that wing tips and ends bear, m/s (estimate).
const IMPACT_STRUCTURE_M_S: f64 = 2.5;
/// Friction of foam on grass (estimate, 0.4 to 0.8).
const SKID_FRICTION: f64 = 0.5;
/// Steering of an assumed tail wheel at full rudder (common practice).
const TAIL_WHEEL_STEERING_DEG: f64 = 20.0;
/// Share of what the step can follow at the most. Several points may act at
/// once, and at one point three directions; 2 over all of them is the limit of
/// an explicit step.
const STABLE_SHARE: f64 = 0.25;

/// How the aircraft is launched: as stated, else from the ground where it has
/// wheels.
pub fn launch(aircraft: &SoundAircraft) -> Launch {
    aircraft.launch.unwrap_or_else(|| {
        if wheels(aircraft, 0.0).is_empty() { Launch::Hand } else { Launch::Ground }
    })
}

/// All points of an aircraft that can touch the ground, for steps of `step_s`.
pub fn contact_points(
    aircraft: &SoundAircraft,
    aeroplane: &Aeroplane,
    step_s: f64,
) -> Vec<ContactPoint> {
    let maker = Maker::new(aircraft, aeroplane, step_s);
    let wheels = wheels(aircraft, aeroplane.mass().balance_point.aft_m);
    let rolls = !wheels.is_empty();
    let mut points: Vec<ContactPoint> =
        wheels.iter().flat_map(|wheel| maker.wheel(wheel)).collect();
    for body in aircraft.bodies.iter().filter(|body| carries(body)) {
        points.extend(maker.body(body, rolls));
    }
    for surface in &aircraft.surfaces {
        let Some(tip) = panel_shapes(surface).last().copied() else { continue };
        let crash = match surface.role {
            SurfaceRole::Wing => Crash::WingTip,
            _ => Crash::Tail,
        };
        for share in [0.0, 1.0] {
            let place = tip.point(&tip.outer, share);
            points.push(maker.structure(crash, place));
            if surface.mirrored {
                points.push(maker.structure(crash, mirror(place)));
            }
        }
    }
    points
}

fn carries(body: &Body) -> bool {
    matches!(body.kind, BodyKind::Fuselage | BodyKind::BoxFuselage | BodyKind::Boom)
}

/// The wheels as listed, or those among the bodies with a steered tail wheel
/// where all of them stand ahead of the balance point.
fn wheels(aircraft: &SoundAircraft, balance_aft_m: f64) -> Vec<GearWheel> {
    if let Some(gear) = &aircraft.gear {
        return gear.wheels.clone();
    }
    let mut list: Vec<GearWheel> = aircraft
        .bodies
        .iter()
        .filter(|body| body.kind == BodyKind::Wheel)
        .map(|body| {
            let contact = Place::new(
                0.5 * (body.front.aft_m + body.rear.aft_m),
                0.5 * (body.front.right_m + body.rear.right_m),
                0.5 * (body.front.up_m + body.rear.up_m - body.height_m),
            );
            GearWheel::at(&body.name, contact, body.mirrored, 0.0)
        })
        .collect();
    let ahead = list.iter().all(|wheel| wheel.contact.aft_m < balance_aft_m);
    let longest = aircraft
        .bodies
        .iter()
        .filter(|body| carries(body))
        .max_by(|a, b| a.rear.aft_m.total_cmp(&b.rear.aft_m));
    if let (true, false, Some(body)) = (ahead, list.is_empty(), longest) {
        let below = 0.25 * body.height_m;
        let contact = Place { up_m: body.rear.up_m - below, ..body.rear };
        let steering = TAIL_WHEEL_STEERING_DEG;
        list.push(GearWheel::at("tail wheel", contact, body.mirrored, steering));
    }
    list
}

/// Builds points with what they have in common.
struct Maker {
    origin: Vector3<f64>,
    mass_kg: f64,
    inverse_inertia: f64,
    sinking_m: f64,
    step_s: f64,
}

impl Maker {
    fn new(aircraft: &SoundAircraft, aeroplane: &Aeroplane, step_s: f64) -> Self {
        let mass = aeroplane.mass();
        let inertia = &mass.inertia_body;
        let least = inertia[(0, 0)].min(inertia[(1, 1)]).min(inertia[(2, 2)]);
        let span_m = aircraft.wing_size().span_m;
        Self {
            origin: mass.balance_point.to_body_axes(),
            mass_kg: aeroplane.mass_kg(),
            inverse_inertia: 1.0 / least,
            sinking_m: STATIC_SINKING_M * (span_m / STATIC_SINKING_SPAN_M).max(1.0),
            step_s,
        }
    }

    fn point(&self, kind: ContactKind, place: Vector3<f64>, wheel: &GearWheel) -> ContactPoint {
        let position_body = place - self.origin;
        let felt_kg =
            1.0 / (1.0 / self.mass_kg + position_body.norm_squared() * self.inverse_inertia);
        // Two wheels carry the weight.
        let stiffness = 0.5 * self.mass_kg * GRAVITY_M_S2 / self.sinking_m;
        let damping = 2.0 * DAMPING_RATIO * (0.5 * self.mass_kg * stiffness).sqrt();
        let slope_max = STABLE_SHARE * felt_kg / self.step_s;
        ContactPoint {
            kind,
            position_body,
            steering_rad: wheel.steering_deg.to_radians(),
            stiffness_n_m: wheel.stiffness_n_m.unwrap_or(stiffness).min(slope_max / self.step_s),
            damping_n_s_m: wheel.damping_n_s_m.unwrap_or(damping).min(slope_max),
            rolling_friction: wheel.rolling_friction,
            side_friction: wheel.side_friction,
            impact_max_m_s: match kind {
                ContactKind::Wheel => IMPACT_WHEEL_M_S,
                ContactKind::Skid => IMPACT_SKID_M_S,
                ContactKind::Structure(_) => IMPACT_STRUCTURE_M_S,
            },
            friction_slope_max: slope_max,
        }
    }

    fn wheel(&self, wheel: &GearWheel) -> Vec<ContactPoint> {
        let place = wheel.contact.to_body_axes();
        let sides = if wheel.mirrored && place.y != 0.0 { 2 } else { 1 };
        let places = [place, mirror(place)];
        places[..sides].iter().map(|at| self.point(ContactKind::Wheel, *at, wheel)).collect()
    }

    fn sliding(&self, kind: ContactKind, place: Vector3<f64>) -> ContactPoint {
        let mut skid = GearWheel::at("skid", Place::default(), false, 0.0);
        (skid.rolling_friction, skid.side_friction) = (SKID_FRICTION, SKID_FRICTION);
        self.point(kind, place, &skid)
    }

    fn structure(&self, crash: Crash, place: Vector3<f64>) -> ContactPoint {
        self.sliding(ContactKind::Structure(crash), place)
    }

    /// Nose, tail and belly of a fuselage, ends of a boom.
    fn body(&self, body: &Body, rolls: bool) -> Vec<ContactPoint> {
        let at = |share: f64, below: f64| {
            let place = body.front.to_body_axes().lerp(&body.rear.to_body_axes(), share);
            place + Vector3::z() * (below * body.height_m)
        };
        let mut list = Vec::new();
        if body.kind == BodyKind::Boom {
            list.push(self.sliding(ContactKind::Skid, at(1.0, 0.5)));
        } else {
            list.push(self.structure(Crash::Nose, at(0.0, 0.0)));
            for (share, below) in [(0.12, 0.45), (0.5, 0.5)] {
                list.push(self.sliding(ContactKind::Skid, at(share, below)));
            }
            // A tail wheel takes the place of the rear end.
            if !rolls {
                list.push(self.sliding(ContactKind::Skid, at(1.0, 0.25)));
            }
        }
        if body.mirrored {
            let images: Vec<_> = list
                .iter()
                .map(|point: &ContactPoint| ContactPoint {
                    position_body: mirror(point.position_body + self.origin) - self.origin,
                    ..point.clone()
                })
                .collect();
            list.extend(images);
        }
        list
    }
}

/// What the ground does to the aircraft in one state.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Touch {
    /// Load about the balance point, body axes.
    pub wrench: Wrench,
    /// Whether any point touches.
    pub touching: bool,
    /// The worst strike beyond what its point bears.
    pub broken: Option<(Crash, f64)>,
}

/// Height below which a point might touch: the greatest distance of a point
/// from the balance point, m.
pub fn reach_m(points: &[ContactPoint]) -> f64 {
    points.iter().map(|point| point.position_body.norm()).fold(0.0, f64::max)
}

/// Loads of the ground, a plane at height 0. `steering` is the rudder over its
/// full throw, positive to the right.
pub fn touch(points: &[ContactPoint], state: &FlightState, steering: f64) -> Touch {
    let mut sum = Touch::default();
    let rotation = state.attitude.to_rotation_matrix();
    for point in points {
        let arm_ned = rotation * point.position_body;
        let sunk_m = state.position_ned.z + arm_ned.z;
        if sunk_m <= 0.0 {
            continue;
        }
        let rates_ned = rotation * state.rates_body;
        let velocity = rotation * state.velocity_body + rates_ned.cross(&arm_ned);
        let worst = sum.broken.map_or(point.impact_max_m_s, |(_, impact)| impact);
        if velocity.z > worst.max(point.impact_max_m_s) {
            let how = match point.kind {
                ContactKind::Structure(crash) => crash,
                ContactKind::Wheel | ContactKind::Skid => Crash::HardLanding,
            };
            sum.broken = Some((how, velocity.z));
        }
        sum.touching = true;
        let load = (point.stiffness_n_m * sunk_m + point.damping_n_s_m * velocity.z).max(0.0);
        let turn = point.steering_rad * steering;
        // A wheel behind the balance point turns the other way to steer alike.
        let turn = if point.position_body.x < 0.0 { -turn } else { turn };
        let rolling_body = Vector3::new(turn.cos(), turn.sin(), 0.0);
        let rolling = rotation * rolling_body;
        let along = Vector3::new(rolling.x, rolling.y, 0.0);
        let along = along.try_normalize(1e-6).unwrap_or_else(Vector3::x);
        let across = Vector3::new(-along.y, along.x, 0.0);
        let friction = |direction: &Vector3<f64>, coefficient: f64| {
            let slip = direction.dot(&velocity);
            let most = coefficient * load;
            direction * -(slip * point.friction_slope_max).clamp(-most, most)
        };
        let force_ned = friction(&along, point.rolling_friction)
            + friction(&across, point.side_friction)
            - Vector3::z() * load;
        let force_body = rotation.inverse() * force_ned;
        sum.wrench =
            sum.wrench + Wrench { force_body, moment_body: point.position_body.cross(&force_body) };
    }
    sum
}

/// Longest time of settling, s, its step, and the share of the motion that is
/// taken out in every step.
const SETTLE_S: f64 = 4.0;
const SETTLE_STEP_S: f64 = 0.001;
const SETTLE_LOSS: f64 = 0.01;

/// The aircraft at rest over the origin, heading north: put down level and left
/// to settle, motion being taken out on the way.
pub(super) fn settle(
    points: &[ContactPoint],
    body: &crate::dynamics::RigidBody,
    air: &crate::dynamics::Air,
) -> FlightState {
    let lowest = points.iter().map(|point| point.position_body.z).fold(0.0, f64::max);
    let mut state = FlightState {
        position_ned: Vector3::new(0.0, 0.0, -lowest),
        velocity_body: Vector3::zeros(),
        attitude: nalgebra::UnitQuaternion::identity(),
        rates_body: Vector3::zeros(),
    };
    for _ in 0..(SETTLE_S / SETTLE_STEP_S) as usize {
        let contact = touch(points, &state, 0.0);
        let next = body.step_semi_implicit(&state, &contact.wrench, air, SETTLE_STEP_S);
        let Ok(mut next) = next else { break };
        next.velocity_body *= 1.0 - SETTLE_LOSS;
        next.rates_body *= 1.0 - SETTLE_LOSS;
        state = next;
    }
    state.position_ned = Vector3::new(0.0, 0.0, state.position_ned.z);
    FlightState { velocity_body: Vector3::zeros(), rates_body: Vector3::zeros(), ..state }
}
