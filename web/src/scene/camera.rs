//! Where the picture is taken from.
//!
//! World axes are north, east, down, m; a camera looks along its own x axis
//! with y to the right and z down, as an aeroplane does.

use nalgebra::{Isometry3, Matrix4, Perspective3, Point3, UnitQuaternion, Vector3};

use super::mesh::Point;

/// Nearest and farthest distance that are drawn, m.
const DEPTH_M: (f32, f32) = (0.08, 2400.0);

/// An eye with its direction and opening.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Camera {
    /// Place of the eye.
    pub eye: Point,
    /// Rotation from the camera's axes to the world's.
    pub attitude: UnitQuaternion<f32>,
    /// Opening over the height of the picture, rad.
    pub opening_rad: f32,
}

impl Camera {
    /// A camera that looks from `eye` at `target`, level; straight up or down
    /// its right stays east.
    pub fn looking_at(eye: Point, target: Point, opening_rad: f32) -> Self {
        let ahead = target - eye;
        let heading = ahead.y.atan2(ahead.x);
        let climb = (-ahead.z).atan2(ahead.xy().norm());
        Self { eye, attitude: UnitQuaternion::from_euler_angles(0.0, climb, heading), opening_rad }
    }

    /// From world to picture.
    pub fn view_projection(&self, aspect: f32) -> Matrix4<f32> {
        self.projection(aspect) * self.view()
    }

    /// Where a point is on the picture: across and down from its left upper corner,
    /// as shares of its sides; `None` outside of it.
    pub fn on_picture(&self, at: Point, aspect: f32) -> Option<(f32, f32)> {
        let clip = self.view_projection(aspect) * at.push(1.0);
        let seen = clip.w > 0.0 && clip.x.abs() < clip.w && clip.y.abs() < clip.w;
        seen.then(|| (0.5 + 0.5 * clip.x / clip.w, 0.5 - 0.5 * clip.y / clip.w))
    }

    /// From directions of the world to the picture, as if the eye were at the
    /// origin: for the sky.
    pub fn turn_projection(&self, aspect: f32) -> Matrix4<f32> {
        Self { eye: Point::zeros(), ..*self }.view_projection(aspect)
    }

    fn projection(&self, aspect: f32) -> Matrix4<f32> {
        // On an upright screen the opening counts across, or the sides are lost.
        let opening = if aspect < 1.0 {
            2.0 * ((self.opening_rad / 2.0).tan() / aspect.max(0.2)).atan()
        } else {
            self.opening_rad
        };
        let opening = opening.clamp(0.01, 2.6);
        Perspective3::new(aspect.clamp(0.1, 10.0), opening, DEPTH_M.0, DEPTH_M.1).to_homogeneous()
    }

    fn view(&self) -> Matrix4<f32> {
        let ahead = self.attitude * Vector3::x();
        let down = self.attitude * Vector3::z();
        Isometry3::look_at_rh(&Point3::from(self.eye), &Point3::from(self.eye + ahead), &-down)
            .to_homogeneous()
    }
}

/// A camera carried around a point by hand.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Orbit {
    /// Direction from the point to the eye, from north by east, rad.
    pub around_rad: f32,
    /// Height of the eye over the point as an angle, rad.
    pub above_rad: f32,
    /// Distance of the eye, in radii of what is shown.
    pub distance: f32,
}

impl Default for Orbit {
    /// From the left, ahead and above, as model photographs are taken.
    fn default() -> Self {
        Self { around_rad: -0.62, above_rad: 0.42, distance: 3.4 }
    }
}

impl Orbit {
    /// Turns and draws nearer or farther, within what makes sense.
    pub fn moved(self, around_rad: f32, above_rad: f32, zoom: f32) -> Self {
        let finite = |value: f32| if value.is_finite() { value } else { 0.0 };
        Self {
            around_rad: (self.around_rad + finite(around_rad)) % std::f32::consts::TAU,
            above_rad: (self.above_rad + finite(above_rad)).clamp(-1.35, 1.5),
            distance: (self.distance * finite(zoom).exp()).clamp(1.6, 9.0),
        }
    }

    /// The camera around `centre` for something of `radius_m`.
    pub fn camera(&self, centre: Point, radius_m: f32) -> Camera {
        let level = self.above_rad.cos();
        let towards_eye = Point::new(
            level * self.around_rad.cos(),
            level * self.around_rad.sin(),
            -self.above_rad.sin(),
        );
        let eye = centre + towards_eye * (self.distance * radius_m);
        Camera::looking_at(eye, centre, 0.56)
    }
}

#[cfg(test)]
mod tests {
    use nalgebra::Vector4;
    use wasm_bindgen_test::wasm_bindgen_test;

    use super::*;

    fn on_picture(camera: &Camera, at: Point) -> (f32, f32) {
        let clip = camera.view_projection(1.5) * Vector4::new(at.x, at.y, at.z, 1.0);
        (clip.x / clip.w, clip.y / clip.w)
    }

    #[wasm_bindgen_test(unsupported = test)]
    fn looking_north_east_is_right_and_up_is_up() {
        let eye = Point::new(0.0, 0.0, -2.0);
        let camera = Camera::looking_at(eye, Point::new(50.0, 0.0, -2.0), 1.0);
        let (x, y) = on_picture(&camera, Point::new(50.0, 5.0, -6.0));
        assert!(x > 0.0 && y > 0.0, "{x} {y}");
        let (x, y) = on_picture(&camera, Point::new(50.0, 0.0, -2.0));
        assert!(x.abs() < 1e-4 && y.abs() < 1e-4);
    }

    #[wasm_bindgen_test(unsupported = test)]
    fn an_orbit_keeps_its_centre_in_the_middle_and_stays_finite() {
        let mut orbit = Orbit::default();
        for (around, above, zoom) in
            [(1.0, 9.0, 0.5), (f32::NAN, -9.0, f32::INFINITY), (50.0, 0.3, -9.0)]
        {
            orbit = orbit.moved(around, above, zoom);
            let camera = orbit.camera(Point::new(1.0, 2.0, -3.0), 0.7);
            let (x, y) = on_picture(&camera, Point::new(1.0, 2.0, -3.0));
            assert!(x.abs() < 1e-3 && y.abs() < 1e-3, "{x} {y} {orbit:?}");
        }
    }
}
