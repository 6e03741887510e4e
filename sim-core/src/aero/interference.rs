//! How a fuselage bends the air at the surfaces beside it.
//!
//! In cross-flow a slender fuselage acts like a cylinder: the air parts around
//! it, so a wing above the axis meets rising air on the windward side in a
//! sideslip (a high wing rolls away from the slip, a low wing into it), a wing
//! beside it meets more upwash than the flight path gives, and a fin on top
//! meets more sidewash. The field is the doublet of a circle in cross-flow,
//! station by station (slender-body theory).
//!
//! Reference: Katz and Plotkin, Low-Speed Aerodynamics, 2nd ed. 2001, sections
//! 3.11 (cylinder) and 8.3 (slender body), from memory. A square fuselage is
//! taken as the circle of equal area; outside its length the effect fades over
//! one radius. Inside the body there is less and less cross-flow towards the
//! axis, see [`KEPT_INSIDE`]. The effects of several bodies, a mirrored one's
//! image among them, are added; that is right to first order while they stand
//! apart by more than their radii.
//!
//! The cross-flow pulls no surface forward. Upwash at a wing tilts the wing's own
//! force ahead, but the wing's vortices push the body back by as much: the two
//! are internal to the aeroplane, whose induced drag is that of its wake (M. M.
//! Munk, NACA Rep. 121, 1921, from memory) and cannot be less than CL2 / (pi A).
//! So what it adds to a force counts across the flight only.

use nalgebra::Vector3;

use crate::aircraft::outline::mirror;
use crate::aircraft::{Body, BodyKind};

/// Power of the distance from the axis, over the radius, with which the
/// cross-flow falls from its value at the skin to none on the axis.
///
/// What a surface runs through a body stands for the lift that the body
/// carries on. In the limit of slender wings that is met exactly (to second
/// order in the radius) by no cross-flow inside at all: the lift of wing and
/// body is then (1 - a2/s2)2 of the whole wing's, radius a, half span s (Pitts,
/// Nielsen and Kaattari, NACA Rep. 1307, 1957, from memory; the integral of
/// (1 + a2/y2) over the elliptic weight from a to s). On usual wings the body
/// carries more: exposed wing times (1 + a/s)2 of the same report asks for
/// half the stream in the mean over the width, which is the third power, since
/// the skin has twice the stream. A stream undiminished inside would give the
/// wing a peak at its root that is shed as downwash at the tail, where it is
/// the vortices' images in the body that cancel it.
const KEPT_INSIDE: f64 = 3.0;

/// What a fuselage does to the air at a point: a linear map of the cross-flow,
/// fixed by the place alone, so it is worked out once.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct CrossFlow {
    /// Sideways air that comes with sideways cross-flow of 1, and less upright
    /// air that comes with upright cross-flow.
    parted: f64,
    /// Sideways air that comes with upright cross-flow of 1, and the other way
    /// round.
    turned: f64,
    /// Share of the cross-flow that is missing, since the place is inside.
    blocked: f64,
}

impl CrossFlow {
    /// Velocity that is added to air that would move at `air_body`, body axes,
    /// m/s.
    pub fn velocity_body(&self, air_body: Vector3<f64>) -> Vector3<f64> {
        let (v, w) = (air_body.y, air_body.z);
        let Self { parted, turned, blocked } = self;
        Vector3::new(0.0, (parted - blocked) * v + turned * w, turned * v - (parted + blocked) * w)
    }

    /// What two bodies do together.
    fn beside(self, other: Self) -> Self {
        let blocked = self.blocked + other.blocked - self.blocked * other.blocked;
        Self { blocked, ..self + other }
    }

    /// What the mirrored body does at the mirrored place.
    fn mirrored(self) -> Self {
        Self { turned: -self.turned, ..self }
    }
}

impl std::ops::Add for CrossFlow {
    type Output = Self;

    fn add(self, other: Self) -> Self {
        Self {
            parted: self.parted + other.parted,
            turned: self.turned + other.turned,
            blocked: self.blocked + other.blocked,
        }
    }
}

impl std::ops::Mul<f64> for CrossFlow {
    type Output = Self;

    fn mul(self, factor: f64) -> Self {
        Self {
            parted: self.parted * factor,
            turned: self.turned * factor,
            blocked: self.blocked * factor,
        }
    }
}

/// A fuselage as a source of cross-flow.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CrossFlowBody {
    front: Vector3<f64>,
    rear: Vector3<f64>,
    radius_m: f64,
    mirrored: bool,
}

impl CrossFlowBody {
    /// The fuselages among `bodies`, measured from `moment_point_body`, which
    /// lies in the plane of symmetry; they may stand anywhere, alone or in
    /// pairs. Booms, struts and wheels are too thin to matter.
    pub fn of_bodies(bodies: &[Body], moment_point_body: Vector3<f64>) -> Vec<Self> {
        bodies
            .iter()
            .filter(|body| matches!(body.kind, BodyKind::Fuselage | BodyKind::BoxFuselage))
            .map(|body| {
                let shape = match body.kind {
                    BodyKind::BoxFuselage => 1.0 / std::f64::consts::PI,
                    _ => 0.25,
                };
                Self {
                    front: body.front.to_body_axes() - moment_point_body,
                    rear: body.rear.to_body_axes() - moment_point_body,
                    radius_m: (body.width_m * body.height_m * shape).sqrt(),
                    mirrored: body.mirrored,
                }
            })
            .collect()
    }

    /// What all `bodies` do to the air at a point, body axes from the same
    /// origin.
    pub fn all_at(bodies: &[Self], point: Vector3<f64>) -> CrossFlow {
        bodies.iter().map(|body| body.at(point)).fold(CrossFlow::default(), CrossFlow::beside)
    }

    /// What the body does, with its mirror image if it has one.
    fn at(&self, point: Vector3<f64>) -> CrossFlow {
        let own = self.right_at(point);
        // The two are joined before others come in, so that left and right come
        // to the same to the last bit.
        if self.mirrored { own.beside(self.right_at(mirror(point)).mirrored()) } else { own }
    }

    fn right_at(&self, point: Vector3<f64>) -> CrossFlow {
        let length = (self.front.x - self.rear.x).max(1e-6);
        let along = (self.front.x - point.x) / length;
        let axis = self.front.lerp(&self.rear, along.clamp(0.0, 1.0));
        let radius = self.radius_m * fullness(along);
        let (y, z) = (point.y - axis.y, point.z - axis.z);
        let distance_squared = y * y + z * z;
        let presence = self.presence(point.x);
        if radius <= 0.0 || presence <= 0.0 || distance_squared <= 0.0 {
            let blocked = if distance_squared < radius * radius { presence } else { 0.0 };
            return CrossFlow { blocked, ..CrossFlow::default() };
        }
        let nearness = radius * radius / distance_squared;
        // What goes round the body there, and what of it all is left inside.
        let (round, kept) = if nearness <= 1.0 {
            (nearness, 1.0)
        } else {
            let kept = nearness.powf(-0.5 * KEPT_INSIDE);
            (kept, kept)
        };
        // Doublet: u = -R^2/r^4 [ (y^2 - z^2) v + 2 y z w, 2 y z v + (z^2 - y^2) w ],
        // which is the stream past a circle less the stream itself.
        let strength = presence * round / distance_squared;
        CrossFlow {
            parted: strength * (z * z - y * y),
            turned: -2.0 * strength * y * z,
            blocked: presence * (1.0 - kept),
        }
    }

    /// 1 abreast of the body, falling smoothly to 0 one radius beyond its ends.
    fn presence(&self, x: f64) -> f64 {
        let beyond = (x - self.front.x).max(self.rear.x - x) / self.radius_m;
        let t = (1.0 - beyond).clamp(0.0, 1.0);
        t * t * (3.0 - 2.0 * t)
    }
}

/// Local radius over greatest radius at a share of the length: a rounded nose,
/// a full middle, and a rear that tapers to a fifth. An estimate of how light
/// aeroplanes and models look; only the greatest width and height are measured.
pub(super) fn fullness(along: f64) -> f64 {
    const NOSE_END: f64 = 0.2;
    const TAPER_BEGIN: f64 = 0.45;
    const TAIL_END: f64 = 0.2;
    if along < NOSE_END {
        let t = (along / NOSE_END).max(0.0);
        (t * (2.0 - t)).sqrt()
    } else if along < TAPER_BEGIN {
        1.0
    } else {
        let t = ((along - TAPER_BEGIN) / (1.0 - TAPER_BEGIN)).min(1.0);
        1.0 - (1.0 - TAIL_END) * t * t * (3.0 - 2.0 * t)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::aircraft::Place;

    fn body() -> CrossFlowBody {
        CrossFlowBody::of_bodies(
            &[Body {
                name: "pod".into(),
                kind: BodyKind::Fuselage,
                front: Place::new(0.0, 0.0, 0.0),
                rear: Place::new(1.0, 0.0, 0.0),
                width_m: 0.1,
                height_m: 0.1,
                mirrored: false,
                drag_coefficient: None,
            }],
            Vector3::zeros(),
        )[0]
    }

    #[test]
    fn no_air_passes_through_the_skin() {
        let air = Vector3::new(-10.0, 1.0, -2.0);
        for degrees in (0..360).step_by(15) {
            let (sin, cos) = f64::from(degrees).to_radians().sin_cos();
            let outward = Vector3::new(0.0, cos, sin);
            let point = Vector3::new(-0.3, 0.0, 0.0) + outward * 0.05;
            let total = air + body().at(point).velocity_body(air);
            assert!(total.dot(&outward).abs() < 1e-12);
        }
    }

    #[test]
    fn inside_the_cross_flow_fades_to_none_on_the_axis_without_a_leap() {
        let air = Vector3::new(-10.0, 1.0, -2.0);
        let at = |y: f64| air + body().at(Vector3::new(-0.3, y, 0.0)).velocity_body(air);
        assert_eq!(at(0.0), Vector3::new(-10.0, 0.0, 0.0));
        assert!((at(0.05 + 1e-9) - at(0.05 - 1e-9)).norm() < 1e-6);
        // Beside the axis the stream is doubled at the skin and in the mean over
        // the width one half of itself.
        let mean: f64 =
            (0..1000).map(|i| at(0.05 * (f64::from(i) + 0.5) / 1000.0).z).sum::<f64>() / 1000.0;
        assert!((at(0.05).z + 4.0).abs() < 1e-9);
        assert!((mean + 1.0).abs() < 1e-3, "{mean}");
    }

    #[test]
    fn a_pair_bends_the_air_alike_on_both_sides() {
        let fuselage = body();
        let mut pod = CrossFlowBody { mirrored: true, ..fuselage };
        pod.front.y = 0.2;
        pod.rear.y = 0.23;
        let bodies = [fuselage, pod];
        for place in [Vector3::new(-0.3, 0.19, 0.02), Vector3::new(-0.5, 0.1, -0.04)] {
            let right = CrossFlowBody::all_at(&bodies, place);
            assert_eq!(CrossFlowBody::all_at(&bodies, mirror(place)), right.mirrored());
            assert_ne!(right, fuselage.at(place));
        }
    }

    #[test]
    fn a_high_wing_meets_rising_air_on_the_windward_side() {
        // Sideslip to the right: the air comes from the right, moving to -y.
        let air = Vector3::new(-10.0, -1.0, 0.0);
        let right_wing_above = Vector3::new(-0.3, 0.2, -0.05);
        assert!(body().at(right_wing_above).velocity_body(air).z < 0.0);
    }

    #[test]
    fn a_fuselage_is_pointed_ahead_full_amidships_and_slim_behind() {
        // The nose: t (2 - t) under the root is a circle's arc, level at its end.
        for (along, wanted) in [
            (-0.1, 0.0),
            (0.0, 0.0),
            (0.1, 0.75f64.sqrt()),
            (0.2, 1.0),
            (0.3, 1.0),
            (0.45, 1.0),
            (0.725, 0.6),
            (1.0, 0.2),
            (1.3, 0.2),
        ] {
            assert!((fullness(along) - wanted).abs() < 1e-12, "{along}: {}", fullness(along));
        }
    }

    /// Fuselages bend the air wherever they stand; a square one counts as the
    /// circle of its area.
    #[test]
    fn only_thin_bodies_are_left_out() {
        let of = |kind, front_right_m: f64, rear_right_m: f64, mirrored| {
            let body = Body {
                name: "pod".into(),
                kind,
                front: Place::new(0.0, front_right_m, 0.0),
                rear: Place::new(1.0, rear_right_m, 0.0),
                width_m: 0.1,
                height_m: 0.2,
                mirrored,
                drag_coefficient: None,
            };
            CrossFlowBody::of_bodies(&[body], Vector3::zeros())
        };
        for kind in [BodyKind::Fuselage, BodyKind::BoxFuselage] {
            assert_eq!(of(kind, 0.0, 0.0, false).len(), 1);
            assert_eq!(of(kind, 0.1, -0.1, false).len(), 1);
            assert!(of(kind, 0.1, 0.1, true)[0].mirrored);
        }
        for kind in [BodyKind::Boom, BodyKind::Strut, BodyKind::Wheel] {
            assert!(of(kind, 0.0, 0.0, false).is_empty());
        }
        // Seen from another point all lies the other way by as much.
        let body = Body {
            name: "pod".into(),
            kind: BodyKind::Fuselage,
            front: Place::new(0.2, 0.1, 0.0),
            rear: Place::new(0.9, 0.1, 0.05),
            width_m: 0.1,
            height_m: 0.2,
            mirrored: true,
            drag_coefficient: None,
        };
        let seen = CrossFlowBody::of_bodies(&[body], Vector3::new(-0.3, 0.0, 0.1))[0];
        assert!((seen.front - Vector3::new(0.1, 0.1, -0.1)).norm() < 1e-15);
        assert!((seen.rear - Vector3::new(-0.6, 0.1, -0.15)).norm() < 1e-15);
        let area = |body: &CrossFlowBody| std::f64::consts::PI * body.radius_m * body.radius_m;
        let square = of(BodyKind::BoxFuselage, 0.0, 0.0, false)[0];
        assert!((area(&square) - 0.02).abs() < 1e-12);
        // An ellipse's area is pi / 4 of its box.
        let round = of(BodyKind::Fuselage, 0.0, 0.0, false)[0];
        assert!((area(&round) - 0.02 * std::f64::consts::FRAC_PI_4).abs() < 1e-12);
    }

    /// The field is a potential's: without turning and without sources outside
    /// the body, so dv/dz = dw/dy and dv/dy = -dw/dz across the axis.
    #[test]
    fn the_field_beside_the_body_has_no_sources_and_no_spin() {
        let air = Vector3::new(-10.0, 1.3, -0.7);
        let at = |y: f64, z: f64| body().at(Vector3::new(-0.3, y, z)).velocity_body(air);
        let step = 1e-5;
        for (y, z) in [(0.08, 0.03), (-0.1, 0.05), (0.02, -0.09)] {
            let by_y = (at(y + step, z) - at(y - step, z)) / (2.0 * step);
            let by_z = (at(y, z + step) - at(y, z - step)) / (2.0 * step);
            let size = by_y.norm();
            assert!((by_y.y + by_z.z).abs() < 1e-5 * size, "{y} {z}");
            assert!((by_y.z - by_z.y).abs() < 1e-5 * size, "{y} {z}");
            assert_eq!(at(y, z).x, 0.0);
        }
    }

    /// In two bodies at once what the first leaves of the cross-flow the second takes
    /// its share of: nothing is left twice.
    #[test]
    fn two_bodies_block_what_is_left() {
        let point = Vector3::new(-0.3, 0.03, 0.0);
        let one = body().at(point).blocked;
        assert!(one > 0.1 && one < 0.9, "{one}");
        let both = CrossFlowBody::all_at(&[body(), body()], point).blocked;
        assert!((1.0 - both - (1.0 - one).powi(2)).abs() < 1e-12);
    }

    /// Along the body and beyond: all abreast of it, half half a radius off, and from
    /// half a length on along an axis that is not the datum line.
    #[test]
    fn a_body_acts_where_it_is() {
        let mut slanting = body();
        (slanting.rear.y, slanting.rear.z) = (0.2, -0.1);
        let shift = Vector3::new(-0.7, 0.0, 0.0);
        (slanting.front, slanting.rear) = (slanting.front + shift, slanting.rear + shift);
        for (x, wanted) in [
            (0.05, 0.0),
            (0.025, 0.5),
            (0.0, 1.0),
            (-0.4, 1.0),
            (-1.0, 1.0),
            (-1.025, 0.5),
            (-1.0125, 0.84375),
            (-1.05, 0.0),
        ] {
            assert!((slanting.presence(x - 0.7) - wanted).abs() < 1e-12, "{x}");
        }
        // Three tenths along, beside the axis as it lies there.
        let beside = Vector3::new(-0.3, 0.06 + 0.08, -0.03 + 0.02);
        let straight = body().at(Vector3::new(-0.3, 0.08, 0.02));
        let found = slanting.at(beside + shift);
        assert!((found.parted - straight.parted).abs() < 1e-12);
        assert!((found.turned - straight.turned).abs() < 1e-12);
        // Half as strong half a radius behind the end, where it is a fifth as thick.
        let air = Vector3::new(-10.0, 1.0, 0.0);
        let behind = body().at(Vector3::new(-1.025, 0.0, 0.02)).velocity_body(air);
        assert!((behind.y - 0.5 * (0.01f64 / 0.02).powi(2)).abs() < 1e-12, "{behind}");
    }
}
