//! Draws the bench picture: plan, shadow, model in the attitude that is played,
//! hatching where the flow has left.

use std::sync::Arc;

use leptos::prelude::*;
use nalgebra::{Matrix4, Rotation3};
use sim_core::analysis::{Channel, StepResponse};
use sim_core::assess::StallSpread;
use sim_core::dynamics::Controls;

use crate::scene::aeroplane::PaperModel;
use crate::scene::camera::Orbit;
use crate::scene::craft::{Craft, Shade};
use crate::scene::gpu::{Finish, Gpu, GpuError, Light, Uploaded};
use crate::scene::mesh::{Mesh, Point};
use crate::scene::plan::{self, plan};
use crate::scene::stage::{Frame, Painter};
use crate::scene::stall::{GONE_BELOW, hatching};
use crate::state::compute::Outcome;

/// What is played.
#[derive(Debug, Clone, PartialEq)]
pub enum Shown {
    /// The aeroplane as built.
    Rest,
    /// The answer to a step of a control.
    Response(Box<StepResponse>),
    /// The spread of the stall.
    Stall(Arc<StallSpread>),
}

/// Towards the sun.
const SUN: [f32; 3] = [0.42, -0.38, -0.82];
/// Time that the stall is played in, s: much slower than it comes.
const STALL_PLAY_S: f64 = 6.0;
/// A response is played at half speed, or the eye would miss it.
const RESPONSE_PACE: f64 = 0.5;
/// Height of the model over the plan, in radii.
const HEIGHT: f32 = 0.62;

/// The painter of the bench.
pub struct BenchPainter {
    /// Where it is looked at from.
    pub orbit: Orbit,
    craft: Option<Craft>,
    shown: Shown,
    sheet: plan::Sheet,
    plan: Option<Uploaded>,
    strips: Vec<Uploaded>,
    place: RwSignal<f64>,
    running: RwSignal<bool>,
    last_ms: Option<f64>,
    waiting: Option<(Arc<Outcome>, Shown)>,
}

impl BenchPainter {
    /// A painter without an aeroplane.
    pub fn new(place: RwSignal<f64>, running: RwSignal<bool>) -> Self {
        Self {
            orbit: Orbit::default(),
            craft: None,
            shown: Shown::Rest,
            sheet: plan::Sheet::in_force(),
            plan: None,
            strips: Vec::new(),
            place,
            running,
            last_ms: None,
            waiting: None,
        }
    }

    /// Takes an aeroplane and what it plays; folded with the next frame.
    pub fn show(&mut self, outcome: Arc<Outcome>, shown: Shown) {
        self.waiting = Some((outcome, shown));
    }

    fn fold(&mut self, gpu: &Gpu) {
        let Some((outcome, shown)) = self.waiting.take() else { return };
        let (Some(sound), Some(assessment)) = (&outcome.sound, &outcome.assessment) else { return };
        let balance_point = assessment.mass.balance_point.to_body_axes();
        let model = PaperModel::new(sound, balance_point);
        self.shown = shown;
        if self.craft.as_ref().is_none_or(|craft| *craft.model() != model) {
            if let Some(craft) = &mut self.craft {
                craft.discard(gpu);
            }
            self.craft = Some(Craft::new(model));
        }
        // What the card refuses comes again with its return.
        let _ = self.upload(gpu);
    }

    /// Takes other colours.
    pub fn set_sheet(&mut self, sheet: plan::Sheet, gpu: Option<&Gpu>) {
        self.sheet = sheet;
        if let Some(gpu) = gpu {
            let _ = self.upload(gpu);
        }
    }

    fn advance(&mut self, now_ms: f64) -> bool {
        let step_s = self.last_ms.map_or(0.0, |last| ((now_ms - last) / 1e3).clamp(0.0, 0.1));
        let running = self.running.get_untracked();
        self.last_ms = running.then_some(now_ms);
        if !running {
            return false;
        }
        let whole_s = match &self.shown {
            Shown::Rest => return false,
            Shown::Response(response) => {
                response.time_s.last().copied().unwrap_or(1.0) / RESPONSE_PACE
            }
            Shown::Stall(_) => STALL_PLAY_S,
        };
        let place = (self.place.get_untracked() + step_s / whole_s.max(0.1)).min(1.0);
        self.place.set(place);
        if place >= 1.0 {
            self.running.set(false);
            self.last_ms = None;
        }
        place < 1.0
    }

    /// Attitude and controls at the present place.
    fn pose(&self) -> (Matrix4<f32>, Controls) {
        let place = self.place.get_untracked();
        match &self.shown {
            Shown::Rest => (Matrix4::identity(), Controls::default()),
            Shown::Response(response) => {
                let at = |list: &[f64]| sample(list, place);
                let attitude = Rotation3::from_euler_angles(
                    at(&response.bank_rad) as f32,
                    at(&response.pitch_rad) as f32,
                    at(&response.heading_rad) as f32,
                );
                (attitude.to_homogeneous(), moved(response.channel, at(&response.deflection)))
            }
            Shown::Stall(spread) => {
                let alphas: Vec<f64> = spread.steps.iter().map(|step| step.alpha_rad).collect();
                let pitch = Rotation3::from_euler_angles(0.0, sample(&alphas, place) as f32, 0.0);
                (pitch.to_homogeneous(), Controls::default())
            }
        }
    }

    /// Indices of the strips whose flow has left.
    fn gone(&self) -> Vec<usize> {
        let Shown::Stall(spread) = &self.shown else { return Vec::new() };
        let last = spread.steps.len().saturating_sub(1);
        let at = (self.place.get_untracked() * last as f64).round() as usize;
        let Some(step) = spread.steps.get(at.min(last)) else { return Vec::new() };
        let gone = step.attached.iter().enumerate().filter(|(_, attached)| **attached < GONE_BELOW);
        gone.map(|(index, _)| index).collect()
    }
}

/// A list at a place from 0 to 1, straight between its values.
fn sample(list: &[f64], place: f64) -> f64 {
    let Some(last) = list.len().checked_sub(1) else { return 0.0 };
    let along = (place.clamp(0.0, 1.0)) * last as f64;
    let (below, share) = (along.floor() as usize, along.fract());
    let above = (below + 1).min(last);
    list[below] + (list[above] - list[below]) * share
}

/// One control moved.
fn moved(channel: Channel, deflection: f64) -> Controls {
    let mut controls = Controls::default();
    match channel {
        Channel::Elevator => controls.elevator_rad = deflection,
        Channel::Aileron => controls.aileron_rad = deflection,
        Channel::Rudder => controls.rudder_rad = deflection,
        Channel::Flap => controls.flap_rad = deflection,
        Channel::Throttle => controls.throttle = deflection,
    }
    controls
}

impl Painter for BenchPainter {
    fn upload(&mut self, gpu: &Gpu) -> Result<(), GpuError> {
        for old in self.plan.take().into_iter().chain(self.strips.drain(..)) {
            gpu.discard(&old);
        }
        if let Some(craft) = &mut self.craft {
            craft.discard(gpu);
            craft.upload(gpu)?;
            self.plan = Some(gpu.upload(&plan(&self.sheet, craft.model().radius_m))?);
        }
        if let Shown::Stall(spread) = &self.shown {
            let meshes: Vec<Mesh> = spread.strips.iter().map(hatching).collect();
            self.strips = meshes.iter().map(|mesh| gpu.upload(mesh)).collect::<Result<_, _>>()?;
        }
        Ok(())
    }

    fn paint(&mut self, gpu: &mut Gpu, frame: &Frame) -> bool {
        self.fold(gpu);
        let again = self.advance(frame.now_ms);
        let light =
            Light { sun: Point::from(SUN).normalize(), haze: self.sheet.paper, haze_per_m: 0.0 };
        gpu.begin(frame.size, self.sheet.paper, &light);
        let (Some(craft), Some(plan)) = (&self.craft, &self.plan) else { return again };
        let radius = craft.model().radius_m;
        let ground_z = HEIGHT * radius;
        let (pose, controls) = self.pose();
        gpu.look(&self.orbit.camera(Point::new(0.0, 0.0, 0.2 * ground_z), radius));
        let under = Matrix4::new_translation(&Point::new(0.0, 0.0, ground_z));
        gpu.draw(plan, &under, Finish::Solid);
        let shade = Shade { sun: light.sun, ground_z, paint: self.sheet.shadow, opacity: 0.13 };
        craft.draw_shadow(gpu, &pose, controls, &shade);
        craft.draw(gpu, &pose, controls, &[]);
        for index in self.gone() {
            if let Some(strip) = self.strips.get(index) {
                gpu.draw(strip, &pose, Finish::Solid);
            }
        }
        again
    }
}

#[cfg(test)]
mod tests {
    use wasm_bindgen_test::wasm_bindgen_test;

    use super::*;

    #[wasm_bindgen_test(unsupported = test)]
    fn sampling_runs_straight_between_values_and_stays_inside() {
        let list = [0.0, 2.0, 10.0];
        assert_eq!(sample(&list, 0.25), 1.0);
        assert_eq!(sample(&list, 1.0), 10.0);
        assert_eq!(sample(&list, 7.0), 10.0);
        assert_eq!(sample(&[], 0.5), 0.0);
    }
}
