//! What there is to see of a flight: a picture of the moment, and the sample of
//! it that the record keeps.

use super::super::record::Sample;
use super::super::snapshot::{Event, Phase, Snapshot, StripSnapshot};
use super::Session;
use crate::dynamics::FlightState;
use crate::frames::Euler;

/// Share of the wing's area let go that counts as a stall.
const STALLED_SHARE: f64 = 0.3;

impl Session {
    /// Everything to be drawn, at the last step.
    pub fn snapshot(&self) -> Snapshot {
        self.snapshot_of(&self.moving.state)
    }

    /// Everything to be drawn, carried on by the time that waits for the next
    /// step: smooth at any frame rate.
    pub fn drawn(&self) -> Snapshot {
        let (state, ahead_s) = (&self.moving.state, self.moving.waiting_s);
        let moves = matches!(self.moving.phase, Phase::Flying | Phase::OnGround);
        let ahead_s = if moves { ahead_s } else { 0.0 };
        let turned = nalgebra::UnitQuaternion::from_scaled_axis(state.rates_body * ahead_s);
        self.snapshot_of(&FlightState {
            position_ned: state.position_ned + state.velocity_ned() * ahead_s,
            attitude: state.attitude * turned,
            ..*state
        })
    }

    fn snapshot_of(&self, state: &FlightState) -> Snapshot {
        let angles = self.air_angles();
        let strips = self.aeroplane.aero().strip_loads();
        let points = self.aeroplane.operating_points(&self.met(), self.throttle());
        Snapshot {
            time_s: self.time_s(),
            phase: self.moving.phase,
            position_ned: state.position_ned,
            velocity_ned: state.velocity_ned(),
            attitude: state.attitude,
            euler: Euler::of_attitude(&state.attitude),
            rates_body: state.rates_body,
            airspeed_m_s: angles.airspeed_m_s,
            alpha_rad: angles.alpha_rad,
            beta_rad: angles.beta_rad,
            height_m: state.height_m(),
            controls: self.moving.controls,
            propeller_rpm: points.iter().map(|point| 60.0 * point.turns_per_s()).collect(),
            pack_current_a: points.iter().map(|point| point.pack_current_a).collect(),
            charge: self.charge(),
            load_factor: self.load_factor(),
            stall_share: self.moving.stall_share,
            strips: strips
                .iter()
                .map(|strip| StripSnapshot {
                    quarter_chord_body: strip.quarter_chord,
                    stalled: 1.0 - strip.attached,
                })
                .collect(),
            wind_ned: self.moving.air.wind_ned,
        }
    }

    pub(super) fn sample(&mut self) {
        let strips = self.aeroplane.aero().strip_loads();
        let let_go = strips.iter().zip(&self.wing_shares);
        self.moving.stall_share = let_go.map(|(strip, share)| (1.0 - strip.attached) * share).sum();
        let angles = self.air_angles();
        let stalled = self.moving.stall_share > STALLED_SHARE;
        if stalled && !self.moving.stalled && self.moving.phase == Phase::Flying {
            self.tell(Event::Stalled { airspeed_m_s: angles.airspeed_m_s });
        }
        self.moving.stalled = stalled;
        let state = &self.moving.state;
        let (euler, velocity) = (Euler::of_attitude(&state.attitude), state.velocity_ned());
        let (controls, sticks) = (&self.moving.controls, &self.sticks);
        self.record.push(Sample {
            time_s: self.time_s() as f32,
            stick_elevator: sticks.elevator as f32,
            stick_aileron: sticks.aileron as f32,
            stick_rudder: sticks.rudder as f32,
            stick_throttle: sticks.throttle as f32,
            elevator_rad: controls.elevator_rad as f32,
            aileron_rad: controls.aileron_rad as f32,
            rudder_rad: controls.rudder_rad as f32,
            roll_rate_rad_s: state.rates_body.x as f32,
            pitch_rate_rad_s: state.rates_body.y as f32,
            yaw_rate_rad_s: state.rates_body.z as f32,
            bank_rad: euler.bank_rad as f32,
            pitch_rad: euler.pitch_rad as f32,
            heading_rad: euler.heading_rad as f32,
            north_m: state.position_ned.x as f32,
            east_m: state.position_ned.y as f32,
            height_m: state.height_m() as f32,
            airspeed_m_s: angles.airspeed_m_s as f32,
            climb_rate_m_s: -velocity.z as f32,
            load_factor: self.load_factor() as f32,
            stall_share: self.moving.stall_share as f32,
            on_ground: f32::from(u8::from(self.moving.phase != Phase::Flying)),
        });
    }
}
