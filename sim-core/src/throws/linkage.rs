//! From servo angle to surface angle and back, exactly.
//!
//! Servo arm, pushrod, control horn and the structure between shaft and hinge
//! are a plane four-bar linkage. Its closed form is the intersection of two
//! circles, on that side of the line of centres on which the linkage was
//! assembled. Valid between the two dead centres; beyond them the pushrod
//! cannot reach, which is an error and not a number. Linkages out of plane
//! (arm and horn askew) are not covered.
//!
//! Reference: J. J. Uicker, G. R. Pennock and J. E. Shigley, "Theory of
//! Machines and Mechanisms" (Freudenstein's equation; from memory).

use std::f64::consts::{PI, TAU};

use serde::Serialize;

pub use crate::aircraft::Linkage;
use crate::aircraft::limits::{ARM_NEUTRAL, HOLE_DISTANCE, Limits, OFFSET, PUSHROD_LENGTH};

/// Why a linkage cannot work.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
pub enum LinkageError {
    /// A measurement lies outside its range.
    #[error("{field}: is {value} {unit}, allowed is {min} to {max} {unit}")]
    OutOfRange {
        /// The field.
        field: &'static str,
        /// Its value.
        value: f64,
        /// Least allowed value.
        min: f64,
        /// Greatest allowed value.
        max: f64,
        /// Unit of all three.
        unit: &'static str,
    },
    /// The pushrod is too short or too long to join arm and horn there.
    #[error(
        "{field}: at {angle_rad} rad the holes lie {distance_m} m from centre to hole, allowed is {min_m} to {max_m} m"
    )]
    CannotReach {
        /// The angle that cannot be reached: `servo_angle` or `surface_angle`.
        field: &'static str,
        /// The angle asked for, rad.
        angle_rad: f64,
        /// Distance from the centre on one side to the hole on the other, m.
        distance_m: f64,
        /// Least distance that the pushrod allows, m.
        min_m: f64,
        /// Greatest distance that the pushrod allows, m.
        max_m: f64,
    },
}

#[inline]
pub(super) fn in_range(
    field: &'static str,
    value: f64,
    limits: Limits,
) -> Result<(), LinkageError> {
    if limits.contains(value) {
        return Ok(());
    }
    let Limits { min, max, unit } = limits;
    Err(LinkageError::OutOfRange { field, value, min, max, unit })
}

/// A point in the plane of the linkage: x rearwards, z up, origin on the
/// hinge line, m.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Point {
    x: f64,
    z: f64,
}

impl Point {
    #[inline]
    fn minus(self, other: Self) -> Self {
        Self { x: self.x - other.x, z: self.z - other.z }
    }

    #[inline]
    fn length(self) -> f64 {
        self.x.hypot(self.z)
    }

    #[inline]
    fn angle(self) -> f64 {
        self.z.atan2(self.x)
    }

    /// Turned by `angle` from up towards the rear, as arm and horn turn when
    /// the pushrod moves rearwards.
    #[inline]
    fn turned_rearwards(self, angle: f64) -> Self {
        let (sin, cos) = angle.sin_cos();
        Self { x: self.x * cos + self.z * sin, z: self.z * cos - self.x * sin }
    }

    #[inline]
    fn cross(self, other: Self) -> f64 {
        self.x * other.z - self.z * other.x
    }

    #[inline]
    fn dot(self, other: Self) -> f64 {
        self.x * other.x + self.z * other.z
    }
}

/// A linkage with its closed form made ready.
///
/// # Conventions
/// Servo angles are measured from neutral, positive where the arm pushes the
/// pushrod rearwards; surface angles positive where a horn above the hinge
/// line goes rearwards, that is trailing edge away from the horn's side.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FourBar {
    shaft: Point,
    arm: Point,
    horn: Point,
    rod_m: f64,
}

/// Surface angles at both ends of the servo's travel.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Throws {
    /// Surface angle where the arm pushes furthest, rad, positive.
    pub push_rad: f64,
    /// Surface angle where the arm pulls furthest, rad, negative.
    pub pull_rad: f64,
}

impl Throws {
    /// Half the whole movement, rad.
    #[inline]
    pub fn mean_rad(&self) -> f64 {
        0.5 * (self.push_rad - self.pull_rad)
    }

    /// How much further it pushes than pulls, over the mean: 0 is even, 0.1
    /// is 5 % more one way and 5 % less the other.
    #[inline]
    pub fn asymmetry(&self) -> f64 {
        (self.push_rad + self.pull_rad) / self.mean_rad()
    }
}

impl Linkage {
    /// Checks the measurements and makes the closed form ready.
    ///
    /// # Errors
    /// The first measurement outside its range, or a pushrod shorter than the
    /// difference in height that it must bridge.
    #[inline]
    pub fn four_bar(&self) -> Result<FourBar, LinkageError> {
        in_range("servo_arm_m", self.servo_arm_m, HOLE_DISTANCE)?;
        in_range("horn_height_m", self.horn_height_m, OFFSET)?;
        in_range("horn_height_m", self.horn_height_m.abs(), HOLE_DISTANCE)?;
        in_range("horn_offset_m", self.horn_offset_m, OFFSET)?;
        in_range("shaft_height_m", self.shaft_height_m, OFFSET)?;
        in_range("arm_neutral_deg", self.arm_neutral_deg, ARM_NEUTRAL)?;
        in_range("pushrod_m", self.pushrod_m, PUSHROD_LENGTH)?;
        let arm = Point { x: 0.0, z: self.servo_arm_m }
            .turned_rearwards(self.arm_neutral_deg.to_radians());
        let horn = Point { x: self.horn_offset_m, z: self.horn_height_m };
        let rise = horn.z - (self.shaft_height_m + arm.z);
        let length = Limits::new(rise.abs() * 1.001, PUSHROD_LENGTH.max, "m");
        in_range("pushrod_m", self.pushrod_m, length)?;
        let along = (self.pushrod_m.powi(2) - rise.powi(2)).sqrt();
        let shaft = Point { x: horn.x - along - arm.x, z: self.shaft_height_m };
        Ok(FourBar { shaft, arm, horn, rod_m: self.pushrod_m })
    }
}

impl FourBar {
    /// The same servo and surface with the pushrod in other holes, its length
    /// adjusted so that both are neutral again.
    ///
    /// # Errors
    /// A hole outside its range, or holes too near to each other to be joined.
    #[inline]
    pub fn with_holes(&self, servo_arm_m: f64, horn_height_m: f64) -> Result<Self, LinkageError> {
        in_range("servo_arm_m", servo_arm_m, HOLE_DISTANCE)?;
        in_range("horn_height_m", horn_height_m.abs(), HOLE_DISTANCE)?;
        let scale = servo_arm_m / self.arm.length();
        let arm = Point { x: self.arm.x * scale, z: self.arm.z * scale };
        let horn = Point { x: self.horn.x, z: horn_height_m };
        let from_shaft = horn.minus(self.shaft);
        let rod_m = from_shaft.minus(arm).length();
        in_range("pushrod_m", rod_m, PUSHROD_LENGTH)?;
        Ok(Self { shaft: self.shaft, arm, horn, rod_m })
    }

    /// Length of the pushrod from hole to hole, m.
    #[inline]
    pub fn pushrod_m(&self) -> f64 {
        self.rod_m
    }

    /// Surface angle (rad) at a servo angle (rad).
    ///
    /// # Errors
    /// [`LinkageError::CannotReach`] beyond a dead centre.
    #[inline]
    pub fn surface_angle(&self, servo_angle_rad: f64) -> Result<f64, LinkageError> {
        let driving = Point {
            x: self.shaft.x + self.arm.turned_rearwards(servo_angle_rad).x,
            z: self.shaft.z + self.arm.turned_rearwards(servo_angle_rad).z,
        };
        let at_neutral = Point { x: self.shaft.x + self.arm.x, z: self.shaft.z + self.arm.z };
        let side = at_neutral.cross(self.horn).signum();
        self.driven_angle("servo_angle", servo_angle_rad, driving, self.horn, side)
    }

    /// Servo angle (rad) that gives a surface angle (rad).
    ///
    /// # Errors
    /// [`LinkageError::CannotReach`] beyond a dead centre.
    #[inline]
    pub fn servo_angle(&self, surface_angle_rad: f64) -> Result<f64, LinkageError> {
        let driving = self.horn.turned_rearwards(surface_angle_rad).minus(self.shaft);
        let side = self.horn.minus(self.shaft).cross(self.arm).signum();
        self.driven_angle("surface_angle", surface_angle_rad, driving, self.arm, side)
    }

    /// Angle by which `lever` (at its neutral place about its own centre) has
    /// turned when the other end of the pushrod is at `driving`.
    #[inline]
    fn driven_angle(
        &self,
        field: &'static str,
        angle_rad: f64,
        driving: Point,
        lever: Point,
        side: f64,
    ) -> Result<f64, LinkageError> {
        in_range(field, angle_rad, Limits::new(-PI, PI, "rad"))?;
        let (distance, radius) = (driving.length(), lever.length());
        let cosine =
            (radius.powi(2) + distance.powi(2) - self.rod_m.powi(2)) / (2.0 * radius * distance);
        if cosine.abs() > 1.0 {
            return Err(LinkageError::CannotReach {
                field,
                angle_rad,
                distance_m: distance,
                min_m: (self.rod_m - radius).abs(),
                max_m: self.rod_m + radius,
            });
        }
        let turned = lever.angle() - (driving.angle() + side * cosine.acos());
        Ok(turned - TAU * (turned / TAU).round())
    }

    /// Surface angle per servo angle at a servo angle (rad). By virtual work
    /// it is also servo torque per hinge moment, without friction.
    ///
    /// # Errors
    /// [`LinkageError::CannotReach`] beyond or on a dead centre.
    #[inline]
    pub fn ratio(&self, servo_angle_rad: f64) -> Result<f64, LinkageError> {
        let (arm_lever, horn_lever) = self.levers(servo_angle_rad)?;
        Ok(arm_lever / horn_lever)
    }

    /// Distance of the pushrod's line from the hinge line, m: the hinge
    /// moment over it is the force in the pushrod.
    ///
    /// # Errors
    /// [`LinkageError::CannotReach`] beyond or on a dead centre.
    #[inline]
    pub fn horn_lever_m(&self, servo_angle_rad: f64) -> Result<f64, LinkageError> {
        Ok(self.levers(servo_angle_rad)?.1.abs())
    }

    #[inline]
    fn levers(&self, servo_angle_rad: f64) -> Result<(f64, f64), LinkageError> {
        let surface = self.surface_angle(servo_angle_rad)?;
        let arm = self.arm.turned_rearwards(servo_angle_rad);
        let horn = self.horn.turned_rearwards(surface);
        let rod = horn.minus(Point { x: self.shaft.x + arm.x, z: self.shaft.z + arm.z });
        // Speed of a hole for unit turning towards the rear.
        let speed = |hole: Point| Point { x: hole.z, z: -hole.x };
        let horn_lever = speed(horn).dot(rod) / self.rod_m;
        if horn_lever.abs() < 1e-9 * self.horn.length() {
            return Err(LinkageError::CannotReach {
                field: "servo_angle",
                angle_rad: servo_angle_rad,
                distance_m: self.rod_m,
                min_m: self.rod_m,
                max_m: self.rod_m,
            });
        }
        Ok((speed(arm).dot(rod) / self.rod_m, horn_lever))
    }

    /// Surface angles at plus and minus a servo travel (rad).
    ///
    /// # Errors
    /// [`LinkageError::CannotReach`] where the travel passes a dead centre.
    #[inline]
    pub fn throws(&self, travel_rad: f64) -> Result<Throws, LinkageError> {
        let ends = [self.surface_angle(travel_rad)?, self.surface_angle(-travel_rad)?];
        Ok(Throws { push_rad: ends[0].max(ends[1]), pull_rad: ends[0].min(ends[1]) })
    }
}

/// Straight distance (m) by which the trailing edge of a control surface of
/// chord `chord_m` moves when it turns by `angle_rad`: what a ruler measures
/// from the neutral edge. 2 c sin(angle/2), with the sign of the angle.
#[inline]
pub fn travel_at_trailing_edge_m(chord_m: f64, angle_rad: f64) -> f64 {
    2.0 * chord_m * (0.5 * angle_rad).sin()
}

/// The angle (rad) that belongs to a trailing-edge travel (m); `None` where
/// the travel is more than the surface could ever move.
#[inline]
pub fn angle_of_travel_rad(chord_m: f64, travel_m: f64) -> Option<f64> {
    let half = travel_m / (2.0 * chord_m);
    (half.abs() <= 1.0).then(|| 2.0 * half.asin())
}

#[cfg(test)]
mod tests {
    use super::*;

    fn usual() -> Linkage {
        Linkage {
            servo_arm_m: 0.010,
            horn_height_m: 0.020,
            horn_offset_m: 0.003,
            pushrod_m: 0.35,
            shaft_height_m: -0.008,
            arm_neutral_deg: 5.0,
        }
    }

    #[test]
    fn neutral_is_neutral_and_inverse_undoes_forward() {
        let bar = usual().four_bar().unwrap();
        assert!(bar.surface_angle(0.0).unwrap().abs() < 1e-12);
        for degrees in [-60.0_f64, -45.0, -10.0, 1.0, 20.0, 45.0, 60.0] {
            let servo = degrees.to_radians();
            let there = bar.surface_angle(servo).unwrap();
            assert!((bar.servo_angle(there).unwrap() - servo).abs() < 1e-9);
        }
    }

    #[test]
    fn ratio_is_the_slope() {
        let bar = usual().four_bar().unwrap();
        for servo in [-0.8, -0.3, 0.0, 0.5] {
            let h = 1e-5;
            let slope = (bar.surface_angle(servo + h).unwrap()
                - bar.surface_angle(servo - h).unwrap())
                / (2.0 * h);
            assert!((bar.ratio(servo).unwrap() - slope).abs() < 1e-8);
        }
    }

    /// A hole behind the hinge line makes the two ways uneven, a hole ahead
    /// of it uneven the other way: differential as builders use it.
    #[test]
    fn offset_of_the_horn_gives_differential() {
        let throws = |horn_offset_m| {
            Linkage { horn_offset_m, arm_neutral_deg: 0.0, shaft_height_m: 0.010, ..usual() }
                .four_bar()
                .unwrap()
                .throws(0.7)
                .unwrap()
        };
        let (behind, square, ahead) = (throws(0.008), throws(0.0), throws(-0.008));
        assert!(square.asymmetry().abs() < 0.02);
        assert!(behind.asymmetry() * ahead.asymmetry() < 0.0);
        assert!(behind.asymmetry().abs() > 0.1);
    }

    #[test]
    fn crossed_pushrod_turns_the_surface_the_other_way() {
        let crossed = Linkage { horn_height_m: -0.020, ..usual() }.four_bar().unwrap();
        assert!(crossed.surface_angle(0.3).unwrap() < 0.0);
        assert!(crossed.throws(0.3).unwrap().push_rad > 0.0);
    }

    #[test]
    fn impossible_linkages_name_the_field() {
        let short = Linkage { pushrod_m: 0.010, shaft_height_m: -0.05, ..usual() };
        let error = short.four_bar().unwrap_err();
        assert!(error.to_string().starts_with("pushrod_m: is 0.01 m"), "{error}");
        let nan = Linkage { servo_arm_m: f64::NAN, ..usual() }.four_bar().unwrap_err();
        assert!(matches!(nan, LinkageError::OutOfRange { field: "servo_arm_m", .. }));
        // An arm longer than the horn pulls the surface past its dead centre.
        let bar = Linkage { servo_arm_m: 0.030, horn_height_m: 0.010, ..usual() };
        let error = bar.four_bar().unwrap().surface_angle(1.2).unwrap_err();
        assert!(matches!(error, LinkageError::CannotReach { field: "servo_angle", .. }));
    }

    #[test]
    fn ruler_and_angle_agree() {
        // Chord 60 mm at 60 deg: the triangle is equilateral.
        assert!((travel_at_trailing_edge_m(0.06, 60.0_f64.to_radians()) - 0.06).abs() < 1e-12);
        assert!((angle_of_travel_rad(0.06, 0.06).unwrap().to_degrees() - 60.0).abs() < 1e-9);
        assert_eq!(angle_of_travel_rad(0.06, 0.2), None);
    }

    /// Each side of the line of centres on which a linkage can be put together:
    /// neutral stays neutral both ways, and the pushrod joins the holes all along.
    #[test]
    fn odd_linkages_close_and_are_neutral_at_neutral() {
        let mut tried = 0;
        for pushrod_m in [0.024, 0.030, 0.060] {
            for horn_offset_m in [-0.020, 0.0, 0.020] {
                for horn_height_m in [-0.015, 0.006, 0.015] {
                    for (shaft_height_m, arm_neutral_deg) in
                        [(-0.020, -40.0), (-0.020, 30.0), (0.010, 0.0), (0.020, 50.0)]
                    {
                        let linkage = Linkage {
                            servo_arm_m: 0.010,
                            horn_height_m,
                            horn_offset_m,
                            pushrod_m,
                            shaft_height_m,
                            arm_neutral_deg,
                        };
                        let Ok(bar) = linkage.four_bar() else { continue };
                        tried += 1;
                        assert!(bar.surface_angle(0.0).unwrap().abs() < 1e-6, "{linkage:?}");
                        assert!(bar.servo_angle(0.0).unwrap().abs() < 1e-6, "{linkage:?}");
                        for servo in [-0.05, 0.05] {
                            let Ok(surface) = bar.surface_angle(servo) else { continue };
                            let arm = bar.arm.turned_rearwards(servo);
                            let horn = bar.horn.turned_rearwards(surface);
                            let arm = Point { x: bar.shaft.x + arm.x, z: bar.shaft.z + arm.z };
                            assert!((horn.minus(arm).length() - pushrod_m).abs() < 1e-9);
                        }
                    }
                }
            }
        }
        assert!(tried > 50, "{tried}");
    }

    #[test]
    fn mean_and_asymmetry_by_hand() {
        let throws = Throws { push_rad: 0.5, pull_rad: -0.4 };
        assert!((throws.mean_rad() - 0.45).abs() < 1e-15);
        assert!((throws.asymmetry() - 0.1 / 0.45).abs() < 1e-15);
    }

    /// Ranges end where they say; a pushrod bridges what it is longer than.
    #[test]
    fn measurements_are_held_to_their_ranges() {
        let Limits { min, max, .. } = HOLE_DISTANCE;
        let bar = usual().four_bar().unwrap();
        for (height, allowed) in [(0.6 * min, false), (-0.9 * max, true), (1.01 * max, false)] {
            assert_eq!(bar.with_holes(0.010, height).is_ok(), allowed, "{height}");
            let linkage = Linkage { horn_height_m: height, pushrod_m: 1.5, ..usual() };
            assert_eq!(linkage.four_bar().is_ok(), allowed, "{height}");
        }
        // From 10 mm above a shaft 50 mm below to 20 mm above: 60 mm.
        let steep = Linkage { shaft_height_m: -0.05, arm_neutral_deg: 0.0, ..usual() };
        for (pushrod_m, allowed) in [(0.0606, true), (0.0599, false)] {
            assert_eq!(Linkage { pushrod_m, ..steep }.four_bar().is_ok(), allowed);
        }
        for angle in [-4.0, 4.0] {
            let error = bar.surface_angle(angle).unwrap_err();
            assert!(matches!(error, LinkageError::OutOfRange { field: "servo_angle", .. }));
        }
    }

    /// What cannot be reached is told with what can: between difference and sum of
    /// pushrod and horn.
    #[test]
    fn beyond_a_dead_centre_the_reach_is_told() {
        let long = Linkage { servo_arm_m: 0.030, horn_height_m: 0.010, ..usual() };
        let bar = long.four_bar().unwrap();
        let horn = 0.010f64.hypot(0.003);
        for (angle, beyond) in [(1.2, true), (-1.2, false)] {
            let LinkageError::CannotReach { distance_m, min_m, max_m, .. } =
                bar.surface_angle(angle).unwrap_err()
            else {
                panic!()
            };
            assert!((min_m - (0.35 - horn)).abs() < 1e-12);
            assert!((max_m - (0.35 + horn)).abs() < 1e-12);
            // Pushed the hole comes too near to the hinge, pulled it goes too far.
            assert!(if beyond { distance_m < min_m } else { distance_m > max_m });
        }
    }
}
