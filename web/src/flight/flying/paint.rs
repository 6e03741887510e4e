//! Draws a flight: sky, field, shadow, aeroplane.

use leptos::prelude::*;
use nalgebra::Matrix4;

use super::super::board::Stage;
use super::super::cameras::View;
use super::{Flying, STEP_MAX_S, Shown};
use crate::scene::craft::Shade;
use crate::scene::field::{
    self, HAZE, HAZE_PER_M, SHADOW, SUN, clouds, growth, land, sky, wind_sock,
};
use crate::scene::gpu::{Finish, Gpu, GpuError, Light, Uploaded};
use crate::scene::mesh::Point;
use crate::scene::stage::{Frame, Painter};
use crate::state::compute::now_ms;

/// The field on the card.
pub struct FieldOnCard {
    sky: Uploaded,
    clouds: Uploaded,
    land: Uploaded,
    growth: Uploaded,
    sock: Uploaded,
    /// Whether the sock has to be made anew.
    pub wind_changed: bool,
}

/// Beyond this many radii the folds of the model are not inked.
const INK_RADII: f32 = 30.0;

impl Flying {
    fn sock_mesh(&self) -> crate::scene::mesh::Mesh {
        let wind = self.session.options().wind;
        let blows = wind.at_height(f64::from(field::MAST_M));
        let towards = blows.y.atan2(blows.x) as f32;
        wind_sock(towards, blows.norm() as f32)
    }
}

impl Painter for Flying {
    fn upload(&mut self, gpu: &Gpu) -> Result<(), GpuError> {
        self.craft.upload(gpu)?;
        if let Some(pair) = &mut self.pair {
            pair.craft.upload(gpu)?;
        }
        self.field = Some(FieldOnCard {
            sky: gpu.upload(&sky())?,
            clouds: gpu.upload(&clouds())?,
            land: gpu.upload(&land())?,
            growth: gpu.upload(&growth())?,
            sock: gpu.upload(&self.sock_mesh())?,
            wind_changed: false,
        });
        Ok(())
    }

    fn paint(&mut self, gpu: &mut Gpu, frame: &Frame) -> bool {
        let started_ms = now_ms();
        let between_ms = self.last_ms.map_or(0.0, |last| frame.now_ms - last);
        self.last_ms = Some(frame.now_ms);
        let stage = self.board.stage.get_untracked();
        let runs = self.board.runs();
        let step_s = if runs { (between_ms / 1e3).clamp(0.0, STEP_MAX_S) } else { 0.0 };
        // A transmitter is also assigned and calibrated while time stands.
        for order in self.hands.look_at_pad() {
            self.obey(order);
        }
        if stage == Stage::Under && step_s > 0.0 {
            self.fly_on(step_s);
        }
        let mut shown = self.shown(if stage == Stage::Replay { step_s } else { 0.0 });
        if stage != Stage::Replay {
            shown.sticks = self.session.sticks();
        }
        self.tell(frame.now_ms, &shown);
        self.listen(&shown, runs && stage != Stage::Over);
        // A turning propeller is decoration: its disc says that it runs.
        let turning_s = if self.cameras.is_calm { 0.0 } else { step_s as f32 };
        self.craft.turn(&shown.propeller_rad_s, turning_s);
        let beside = self.beside();
        if let (Some(pair), Some(beside)) = (&mut self.pair, &beside) {
            pair.craft.turn(&beside.propeller_rad_s, turning_s);
        }
        self.draw(gpu, frame, &shown, beside.as_ref(), step_s as f32);
        let ended_ms = now_ms();
        if let (Some(started), Some(ended), 1.0..1e3) = (started_ms, ended_ms, between_ms)
            && self.pace.frame(between_ms, ended - started)
        {
            self.pace.leave_figures();
            self.pace.adapt();
        }
        true
    }

    fn idle(&mut self, now_ms: f64) -> bool {
        // Nobody flies what cannot be seen: time stands until the card is back.
        self.last_ms = Some(now_ms);
        self.hush();
        false
    }

    fn fineness(&self) -> f64 {
        self.pace.fineness()
    }
}

impl Flying {
    fn listen(&self, shown: &Shown, runs: bool) {
        let Some(sound) = &self.sound else { return };
        let rad_s = shown.propeller_rad_s.first().copied().unwrap_or(0.0);
        if !runs {
            sound.hush();
            return;
        }
        let ears = match self.cameras.view {
            View::Ground => Point::new(field::PILOT_M.0, field::PILOT_M.1, -field::EYES_M),
            View::Chase | View::OnBoard => shown.pose.at,
        };
        sound.follow(rad_s * 60.0 / std::f32::consts::TAU, (shown.pose.at - ears).norm());
    }

    fn draw(
        &mut self,
        gpu: &mut Gpu,
        frame: &Frame,
        shown: &Shown,
        beside: Option<&Shown>,
        step_s: f32,
    ) {
        let mesh =
            self.field.as_ref().is_some_and(|field| field.wind_changed).then(|| self.sock_mesh());
        // What has come to rest is looked at from outside, not with the nose in
        // the grass.
        let over = self.board.stage.get_untracked() == Stage::Over;
        let chosen = self.board.view.get_untracked();
        self.cameras.view = if over && chosen == View::OnBoard { View::Chase } else { chosen };
        self.cameras.apart_m = beside.map_or(0.0, |beside| (beside.pose.at - shown.pose.at).norm());
        let (width, height) = frame.size;
        let aspect = width.max(1) as f32 / height.max(1) as f32;
        let camera = self.cameras.follow(shown.time_s, step_s, shown.pose, aspect);
        let Some(field) = &mut self.field else { return };
        if let Some(sock) = mesh.and_then(|mesh| gpu.upload(&mesh).ok()) {
            gpu.discard(&std::mem::replace(&mut field.sock, sock));
            field.wind_changed = false;
        }
        let light = Light { sun: Point::from(SUN).normalize(), haze: HAZE, haze_per_m: HAZE_PER_M };
        let clear = Light { haze_per_m: 0.0, ..light };
        let still = Matrix4::identity();
        gpu.begin(frame.size, HAZE, &clear);
        gpu.ink_lines(false);
        gpu.look_at_sky(&camera);
        gpu.lay_flat(|gpu| gpu.draw(&field.sky, &still, Finish::Solid));
        gpu.draw(&field.clouds, &still, Finish::Solid);
        gpu.forget_depth();
        gpu.look(&camera);
        gpu.set_haze(&light);
        let placed = shown.pose.placed();
        let other = self.pair.as_ref().zip(beside);
        let shade = Shade { sun: light.sun, ground_z: 0.0, paint: SHADOW, opacity: 0.34 };
        gpu.lay_flat(|gpu| {
            gpu.draw(&field.land, &still, Finish::Solid);
            self.craft.draw_shadow(gpu, &placed, shown.controls, &shade);
            if let Some((pair, beside)) = other {
                pair.craft.draw_shadow(gpu, &beside.pose.placed(), beside.controls, &shade);
            }
        });
        gpu.draw(&field.growth, &still, Finish::Solid);
        gpu.draw(&field.sock, &still, Finish::Solid);
        let distance = (shown.pose.at - camera.eye).norm();
        // Seen through a lens far away is as good as near.
        let apparent = distance * camera.opening_rad;
        gpu.ink_lines(apparent < INK_RADII * self.craft.model().radius_m);
        self.craft.draw(gpu, &placed, shown.controls, &shown.propeller_rad_s);
        if let Some((pair, beside)) = other {
            pair.craft.draw_ghost(gpu, &beside.pose.placed(), beside.controls);
        }
        gpu.ink_lines(true);
        let over = Point::z() * (0.4 * self.craft.model().radius_m);
        let at = |shown: &Shown| camera.on_picture(shown.pose.at - over, aspect);
        self.board.names_at.set(beside.and_then(|beside| Some([at(shown)?, at(beside)?])));
    }
}
