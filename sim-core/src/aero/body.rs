//! Loads of the bodies that carry the surfaces: pods, booms, struts, wheels.
//!
//! Question: what drag, side force and moment does a body add where it stands?
//! Method: a handful of stations along the body, each with its own local
//! velocity (rates included). Slender bodies get the potential couple of Munk
//! (NACA Rep. 184, 1924) with the added masses of Lamb's prolate spheroid, and
//! the cross-flow drag of Allen & Perkins (NACA Rep. 1048, 1951); their axial
//! drag is friction times form plus a blunt-end part on the frontal area
//! (Hoerner, Fluid-Dynamic Drag, 1965). Struts are sections across the flow,
//! wheels discs. Any direction of axis, any velocity, zero included. A mirrored
//! body is its right half evaluated twice, once in the mirrored flow, so that
//! left and right agree to the last bit.
//! Not here: interference with wings, lift of a blade-shaped strut beyond its
//! cross-flow drag, vortex lift of sharp edges.

use std::f64::consts::PI;

use nalgebra::Vector3;

use crate::aircraft::{Body, BodyKind, Place};

/// Stations along a body. Enough for the linear velocity field of the rates;
/// the volume is exact by normalisation.
const STATIONS: usize = 6;
/// Least Reynolds number for friction; below it the law would run away.
const REYNOLDS_MIN: f64 = 1e3;

/// What distinguishes slender bodies. All from Hoerner (1965), from memory,
/// unless marked; spreads are one standard deviation.
struct SlenderConstants {
    /// Exponent of the area distribution 1 - |2 s - 1|^n; 0 is a constant area.
    fullness: i32,
    /// Drag of nose and base on the frontal area. Rounded pod 0.05 (spread
    /// 50 %), square corners and blunt nose 0.35 (40 %), cut-off tube 0.2 (50 %).
    blunt_drag: f64,
    /// Cross-flow drag coefficient: round at subcritical Re 1.1, square corners
    /// 1.5 to 2.0, both times about 0.7 for finite length (spread 20 %).
    cross_flow: f64,
    /// Added mass of the cross-section over that of the ellipse of its width
    /// and height: 1 and, for the square, 1.51 (Lamb, Hydrodynamics; memory).
    added_mass: f64,
    /// Wetted area over length times half perimeter sum (width + height):
    /// pi / 2 for a round tube, 2 for a square one, times the taper.
    wetted: f64,
    /// Frontal area over width times height.
    frontal: f64,
}

const FUSELAGE: SlenderConstants = SlenderConstants {
    fullness: 2,
    blunt_drag: 0.05,
    cross_flow: 0.8,
    added_mass: 1.0,
    wetted: 0.5 * PI * 0.8,
    frontal: 0.25 * PI,
};
const BOX_FUSELAGE: SlenderConstants = SlenderConstants {
    fullness: 4,
    blunt_drag: 0.35,
    cross_flow: 1.3,
    added_mass: 1.51,
    wetted: 2.0 * 0.9,
    frontal: 1.0,
};
const BOOM: SlenderConstants = SlenderConstants {
    fullness: 0,
    blunt_drag: 0.2,
    cross_flow: 1.0,
    added_mass: 1.0,
    wetted: 0.5 * PI,
    frontal: 0.25 * PI,
};

/// Share of Munk's potential couple that a real body has: the flow leaves the
/// lee side of the rear, which gives a force there that holds the nose. Airship
/// and fuselage tests lie at 0.7 to 0.85 of the potential value (Hoerner and
/// Borst, Fluid-Dynamic Lift, 1975, ch. 19, from memory), cornered ones lower;
/// spread 0.1.
pub const POTENTIAL_SHARE: f64 = 0.75;

/// Section drag of struts on the size they show to the flow: 1.1 t/c +
/// 0.02 (1 + c/t), Hoerner (1965), elliptic cylinders below the critical Re,
/// from memory; never above a plate's 1.98. Spread 25 %.
fn strut_drag(across_over_along: f64) -> f64 {
    (1.1 * across_over_along + 0.02 * (1.0 + 1.0 / across_over_along)).min(1.98)
}
/// Friction along a strut on its surface; estimate, spread 50 %.
const STRUT_FRICTION: f64 = 0.008;
/// Drag of a bare wheel on width times diameter; Hoerner (1965), from memory,
/// 0.25 to 0.5, more with the fork.
const WHEEL_DRAG: f64 = 0.4;
/// Drag of a wheel struck along its axle, on its disc: Hoerner (1965), 1.1 to
/// 1.2, from memory.
const WHEEL_SIDE_DRAG: f64 = 1.15;

/// A short piece of a body. Areas in m2, volumes in m3, multiplied out so that
/// only local velocities are missing.
#[derive(Debug, Clone, Copy, Default)]
struct Station {
    /// Ahead of the middle of the body along its axis, m.
    ahead_m: f64,
    /// Drag area for cross-flow along the second and third local axis.
    drag_area: [f64; 2],
    /// Volume times (k2 - k1) that flow along the second and third axis sees.
    munk_volume: [f64; 2],
}

/// A body as stations along its axis, ready for any velocity.
#[derive(Debug, Clone)]
pub struct BodyModel {
    /// Local axes in body axes: along, lateral, upright. Each unit length.
    axes: [Vector3<f64>; 3],
    stations: [Station; STATIONS],
    count: usize,
    /// Middle of the body from the moment point, where axial drag acts.
    middle: Vector3<f64>,
    /// Friction area (wetted area times form factor), m2.
    friction_area: f64,
    /// Axial drag area that does not depend on Reynolds number (ends of
    /// slender bodies, skin of struts, tread of wheels), m2.
    blunt_area: f64,
    length_m: f64,
    mirrored: bool,
}

impl BodyModel {
    /// The model of `body` for moments about `moment_point` (usually the centre
    /// of gravity).
    pub fn new(body: &Body, moment_point: Place) -> Self {
        let origin = moment_point.to_body_axes();
        let front = body.front.to_body_axes() - origin;
        let rear = body.rear.to_body_axes() - origin;
        let mut model = Self::bare(front, rear, body);
        match body.kind {
            BodyKind::Fuselage => model.make_slender(body, &FUSELAGE),
            BodyKind::BoxFuselage => model.make_slender(body, &BOX_FUSELAGE),
            BodyKind::Boom => model.make_slender(body, &BOOM),
            BodyKind::Strut => model.make_strut(body),
            BodyKind::Wheel => model.make_wheel(body),
        }
        model
    }

    fn bare(front: Vector3<f64>, rear: Vector3<f64>, body: &Body) -> Self {
        let length_m = (front - rear).norm();
        let along = (front - rear).try_normalize(1e-9).unwrap_or_else(Vector3::x);
        // Lateral: the body's y axis square to the axis; a body that lies along
        // y takes x instead.
        let square_to_axis = |v: Vector3<f64>| (v - along * along.dot(&v)).try_normalize(1e-3);
        let lateral = square_to_axis(Vector3::y())
            .or_else(|| square_to_axis(Vector3::x()))
            .unwrap_or_else(Vector3::z);
        Self {
            axes: [along, lateral, along.cross(&lateral)],
            stations: [Station::default(); STATIONS],
            count: STATIONS,
            middle: 0.5 * (front + rear),
            friction_area: 0.0,
            blunt_area: 0.0,
            length_m: length_m.max(1e-3),
            mirrored: body.mirrored,
        }
    }

    fn make_slender(&mut self, body: &Body, kind: &SlenderConstants) {
        let (width, height, length) = (body.width_m, body.height_m, self.length_m);
        let diameter = (width * height).sqrt();
        let frontal = kind.frontal * width * height;
        let slimness = diameter / length;
        // Hoerner (1965), ch. 6: 1 + 1.5 (d/l)^1.5 + 7 (d/l)^3, from memory;
        // held at a ball's value for bodies shorter than wide.
        let form = slimness.min(1.0);
        let form = 1.0 + 1.5 * form.powf(1.5) + 7.0 * form.powi(3);
        match body.drag_coefficient {
            Some(known) => self.blunt_area = known * frontal,
            None => {
                self.friction_area = kind.wetted * (width + height) * length * form;
                self.blunt_area = kind.blunt_drag * frontal;
            }
        }
        let munk = POTENTIAL_SHARE * kind.added_mass * added_mass_difference(length / diameter);
        let shares = area_shares(kind.fullness);
        let mean_share = area_mean(kind.fullness);
        let piece = length / STATIONS as f64;
        for (index, station) in self.stations.iter_mut().enumerate() {
            let area = shares[index] * mean_share;
            let breadth = area.sqrt() * piece * kind.cross_flow;
            *station = Station {
                ahead_m: (0.5 - middle_of(index)) * length,
                drag_area: [breadth * height, breadth * width],
                // Flow along the lateral axis meets the height and vice versa.
                munk_volume: [height, width]
                    .map(|size| munk * area * piece * PI * size * size / 4.0),
            };
        }
    }

    fn make_strut(&mut self, body: &Body) {
        // The size along the flow lies along the body's x axis as far as the
        // strut lets it; a strut that lies along x has it upright.
        let along = self.axes[0];
        let square_to_axis = |v: Vector3<f64>| (v - along * along.dot(&v)).try_normalize(1e-3);
        let chordwise = square_to_axis(Vector3::x())
            .or_else(|| square_to_axis(Vector3::z()))
            .unwrap_or_else(Vector3::y);
        self.axes = [along, chordwise, along.cross(&chordwise)];
        let (width, height, length) = (body.width_m, body.height_m, self.length_m);
        let along_flow = body.drag_coefficient.unwrap_or_else(|| strut_drag(width / height));
        let across_flow = strut_drag(height / width);
        self.blunt_area = STRUT_FRICTION * 2.0 * (width + height) * length;
        let piece = length / STATIONS as f64;
        for (index, station) in self.stations.iter_mut().enumerate() {
            *station = Station {
                ahead_m: (0.5 - middle_of(index)) * length,
                drag_area: [along_flow * width * piece, across_flow * height * piece],
                munk_volume: [0.0; 2],
            };
        }
    }

    fn make_wheel(&mut self, body: &Body) {
        // Local axes: rolling direction, axle, the third. One station.
        let diameter = body.height_m;
        let tread = body.drag_coefficient.unwrap_or(WHEEL_DRAG) * body.width_m * diameter;
        let disc = WHEEL_SIDE_DRAG * 0.25 * PI * diameter * diameter;
        self.count = 1;
        self.blunt_area = tread;
        self.stations[0] =
            Station { ahead_m: 0.0, drag_area: [disc, tread], munk_volume: [0.0; 2] };
    }

    /// Force (N) and moment (N m) about the moment point, body axes.
    ///
    /// `velocity_body` is the moment point's velocity relative to the air, m/s,
    /// `rates_body` the angular velocity, rad/s; `density` in kg/m3,
    /// `kinematic_viscosity` in m2/s. Quasi-steady: no apparent-mass forces due
    /// to acceleration. Numbers that are not finite give no load.
    pub fn loads(
        &self,
        velocity_body: Vector3<f64>,
        rates_body: Vector3<f64>,
        density: f64,
        kinematic_viscosity: f64,
    ) -> (Vector3<f64>, Vector3<f64>) {
        let air = (density, kinematic_viscosity);
        let (mut force, mut moment) = self.right_half(velocity_body, rates_body, air);
        if self.mirrored {
            let velocity_left = Vector3::new(velocity_body.x, -velocity_body.y, velocity_body.z);
            let rates_left = Vector3::new(-rates_body.x, rates_body.y, -rates_body.z);
            let (f, m) = self.right_half(velocity_left, rates_left, air);
            force += Vector3::new(f.x, -f.y, f.z);
            moment += Vector3::new(-m.x, m.y, -m.z);
        }
        if (force.sum() + moment.sum()).is_finite() {
            (force, moment)
        } else {
            (Vector3::zeros(), Vector3::zeros())
        }
    }

    /// Loads of the body as described, without its mirror image. All stations
    /// lie on one axis, so the sums run over numbers in local axes.
    fn right_half(
        &self,
        velocity: Vector3<f64>,
        rates: Vector3<f64>,
        (density, viscosity): (f64, f64),
    ) -> (Vector3<f64>, Vector3<f64>) {
        let [along, lateral, upright] = self.axes;
        let local = velocity + rates.cross(&self.middle);
        let (u, v_middle, w_middle) = (along.dot(&local), lateral.dot(&local), upright.dot(&local));
        let (turn_lateral, turn_upright) = (lateral.dot(&rates), upright.dot(&rates));
        let area = self.axial_area(local.norm(), viscosity);
        let mut force = along * (-0.5 * density * area * local.norm() * u);
        // Sums along the axis: cross-force, and moment about the middle.
        let (mut side, mut normal, mut pitch, mut yaw) = (0.0, 0.0, 0.0, 0.0);
        for station in &self.stations[..self.count] {
            let v = v_middle + station.ahead_m * turn_upright;
            let w = w_middle - station.ahead_m * turn_lateral;
            let pressure = -0.5 * density * (v * v + w * w).sqrt();
            let [area_lateral, area_upright] = station.drag_area;
            let (side_here, normal_here) =
                (pressure * area_lateral * v, pressure * area_upright * w);
            side += side_here;
            normal += normal_here;
            // Munk: -rho u (k2 - k1) Vol e x n, with e x lateral = upright and
            // e x upright = -lateral.
            let [volume_lateral, volume_upright] = station.munk_volume;
            pitch += density * u * volume_upright * w - station.ahead_m * normal_here;
            yaw += station.ahead_m * side_here - density * u * volume_lateral * v;
        }
        force += lateral * side + upright * normal;
        (force, self.middle.cross(&force) + lateral * pitch + upright * yaw)
    }

    /// Drag area along the axis: friction, blunt ends, the tread of a wheel, m2.
    fn axial_area(&self, speed: f64, viscosity: f64) -> f64 {
        if self.friction_area == 0.0 {
            return self.blunt_area;
        }
        self.blunt_area + self.friction_area * self.friction(speed, viscosity)
    }

    /// Mean of laminar (Blasius) and turbulent (0.031 / Re^(1/7), from memory)
    /// friction: a pod's boundary layer turns over about half way. Spread 20 %.
    fn friction(&self, speed: f64, viscosity: f64) -> f64 {
        let reynolds = REYNOLDS_MIN + speed * self.length_m / viscosity;
        0.5 * (1.328 / reynolds.sqrt() + 0.031 * (reynolds.ln() * (-1.0 / 7.0)).exp())
    }
}

/// Middle of station `index`, front 0 to rear 1.
fn middle_of(index: usize) -> f64 {
    (index as f64 + 0.5) / STATIONS as f64
}

/// Area of each station over the mean area, for 1 - |2 s - 1|^n; scaled so that
/// the stations hold exactly the whole volume.
fn area_shares(fullness: i32) -> [f64; STATIONS] {
    if fullness == 0 {
        return [1.0; STATIONS];
    }
    let mut shares = [0.0; STATIONS];
    for (index, share) in shares.iter_mut().enumerate() {
        *share = 1.0 - (2.0 * middle_of(index) - 1.0).abs().powi(fullness);
    }
    let mean = shares.iter().sum::<f64>() / STATIONS as f64;
    shares.map(|share| share / mean)
}

/// Mean over greatest area: n / (n + 1), 2/3 for a spheroid.
fn area_mean(fullness: i32) -> f64 {
    if fullness == 0 { 1.0 } else { f64::from(fullness) / f64::from(fullness + 1) }
}

/// k2 - k1 of a prolate spheroid of this length over diameter (Lamb,
/// Hydrodynamics, art. 114; Munk, NACA Rep. 184): 0 for a ball, towards 1 for a
/// needle. Bodies shorter than wide count as a ball.
pub fn added_mass_difference(fineness: f64) -> f64 {
    // Near a ball the closed form loses its digits.
    if fineness < 1.01 || fineness.is_nan() {
        return 0.0;
    }
    let fineness = fineness.min(1e3);
    let square = 1.0 - 1.0 / (fineness * fineness);
    let e = square.sqrt();
    let log = ((1.0 + e) / (1.0 - e)).ln();
    let alpha = 2.0 * (1.0 - square) / (e * square) * (0.5 * log - e);
    let beta = 1.0 / square - (1.0 - square) / (2.0 * e * square) * log;
    beta / (2.0 - beta) - alpha / (2.0 - alpha)
}

#[cfg(test)]
mod tests;
