//! A paper model on the card: drawn in the light, and as a shadow on level
//! ground.

use nalgebra::Matrix4;
use sim_core::dynamics::Controls;

use super::aeroplane::{Joint, Joints, PaperModel};
use super::gpu::{Finish, Gpu, GpuError, Uploaded};
use super::mesh::{Paint, Point};

/// The pieces of a model on the card.
pub struct Craft {
    model: PaperModel,
    pieces: Vec<Uploaded>,
    /// Turn of each propeller, rad.
    turns: Vec<f32>,
}

/// A propeller's disc is seen from this speed on, rad/s, and its blades below
/// twice that.
const DISC_FROM_RAD_S: f32 = 60.0;
/// How much of the light a turning propeller takes.
const DISC_OPACITY: f32 = 0.16;

/// How much of the light a ghost takes.
const GHOST_OPACITY: f32 = 0.4;

impl Craft {
    /// A model that is not on the card yet.
    pub fn new(model: PaperModel) -> Self {
        let units = model.pieces.iter().filter_map(|piece| match piece.joint {
            Joint::Shaft { unit, .. } => Some(unit + 1),
            _ => None,
        });
        let turns = vec![0.0; units.max().unwrap_or(0)];
        Self { model, pieces: Vec::new(), turns }
    }

    /// The model.
    pub fn model(&self) -> &PaperModel {
        &self.model
    }

    /// Brings the model to the card.
    ///
    /// # Errors
    /// Where the card takes nothing.
    pub fn upload(&mut self, gpu: &Gpu) -> Result<(), GpuError> {
        self.pieces = self
            .model
            .pieces
            .iter()
            .map(|piece| gpu.upload(&piece.mesh))
            .collect::<Result<_, _>>()?;
        Ok(())
    }

    /// Gives back its place on the card.
    pub fn discard(&mut self, gpu: &Gpu) {
        for piece in self.pieces.drain(..) {
            gpu.discard(&piece);
        }
    }

    /// Lets the propellers turn on for a while at their speeds, rad/s.
    pub fn turn(&mut self, speed_rad_s: &[f32], step_s: f32) {
        for (turn, speed) in self.turns.iter_mut().zip(speed_rad_s) {
            *turn = (*turn + speed * step_s) % std::f32::consts::TAU;
        }
    }

    /// Draws the model standing at `placed`, its surfaces as commanded.
    pub fn draw(&self, gpu: &Gpu, placed: &Matrix4<f32>, controls: Controls, speed_rad_s: &[f32]) {
        let joints = Joints { controls, propeller_rad: &self.turns };
        let placements = self.model.placements(&joints);
        let speed = |unit: usize| speed_rad_s.get(unit).copied().unwrap_or(0.0).abs();
        for sheer in [false, true] {
            for ((piece, uploaded), at) in
                self.model.pieces.iter().zip(&self.pieces).zip(&placements)
            {
                let finish = match piece.joint {
                    Joint::Fixed | Joint::Hinge { .. } => Finish::Solid,
                    Joint::Shaft { unit, .. } if speed(unit) < 2.0 * DISC_FROM_RAD_S => {
                        Finish::Solid
                    }
                    Joint::Disc { unit } if speed(unit) >= DISC_FROM_RAD_S => {
                        Finish::Sheer(DISC_OPACITY)
                    }
                    Joint::Shaft { .. } | Joint::Disc { .. } => continue,
                };
                if (finish != Finish::Solid) == sheer {
                    gpu.draw(uploaded, &(placed * at), finish);
                }
            }
        }
    }

    /// Draws the model seen through, without its propellers.
    pub fn draw_ghost(&self, gpu: &Gpu, placed: &Matrix4<f32>, controls: Controls) {
        let placements = self.model.placements(&Joints { controls, propeller_rad: &self.turns });
        for ((piece, uploaded), at) in self.model.pieces.iter().zip(&self.pieces).zip(&placements) {
            if matches!(piece.joint, Joint::Fixed | Joint::Hinge { .. }) {
                gpu.draw(uploaded, &(placed * at), Finish::Sheer(GHOST_OPACITY));
            }
        }
    }

    /// Draws the shadow on level ground at depth `ground_z`, down from the sun.
    pub fn draw_shadow(&self, gpu: &Gpu, placed: &Matrix4<f32>, controls: Controls, shade: &Shade) {
        let flat = shade.flatten() * placed;
        let joints = Joints { controls, propeller_rad: &self.turns };
        let placements = self.model.placements(&joints);
        for ((piece, uploaded), at) in self.model.pieces.iter().zip(&self.pieces).zip(&placements) {
            if matches!(piece.joint, Joint::Fixed | Joint::Hinge { .. }) {
                gpu.draw(uploaded, &(flat * at), Finish::Shadow(shade.paint, shade.opacity));
            }
        }
    }
}

/// How a shadow falls.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Shade {
    /// Towards the sun.
    pub sun: Point,
    /// Depth of the ground, m down.
    pub ground_z: f32,
    /// Its colour.
    pub paint: Paint,
    /// Its opacity.
    pub opacity: f32,
}

impl Shade {
    /// Lays everything flat on the ground, away from the sun.
    fn flatten(&self) -> Matrix4<f32> {
        let (sx, sy) = (self.sun.x / self.sun.z, self.sun.y / self.sun.z);
        let z = self.ground_z;
        Matrix4::new(
            1.0,
            0.0,
            -sx,
            sx * z, //
            0.0,
            1.0,
            -sy,
            sy * z, //
            0.0,
            0.0,
            0.0,
            z, //
            0.0,
            0.0,
            0.0,
            1.0,
        )
    }
}

#[cfg(test)]
mod tests {
    use nalgebra::Point3;
    use wasm_bindgen_test::wasm_bindgen_test;

    use super::*;

    #[wasm_bindgen_test(unsupported = test)]
    fn a_shadow_lies_on_the_ground_in_line_with_the_sun() {
        let shade = Shade {
            sun: Point::new(0.3, -0.2, -0.9).normalize(),
            ground_z: 0.5,
            paint: [0.0; 3],
            opacity: 0.3,
        };
        let body = Point3::new(1.0, 2.0, -10.0);
        let shadow = shade.flatten().transform_point(&body);
        assert!((shadow.z - 0.5).abs() < 1e-5);
        let ray = (body - shadow).normalize();
        assert!((ray - shade.sun).norm() < 1e-5, "{ray}");
    }
}
