//! Height, path and speed: from the wish to elevator and throttle.

use super::{Autopilot, LOOK_S, PITCH_SUM_1_S, SUM_MAX_RAD, Upwards};
use crate::atmosphere::GRAVITY_M_S2;
use crate::flight::session::Session;
use crate::flight::snapshot::Phase;
use crate::frames::Euler;

/// Sums and slow values of the vertical loops.
#[derive(Debug, Clone, Default)]
pub(super) struct Vertical {
    /// Elevator that the attitude loop has summed, rad.
    elevator_sum: f64,
    /// Throttle that the speed loop has summed.
    throttle_sum: f64,
    /// Pitch that the speed-by-pitch loop has summed, rad.
    pitch_sum: f64,
    /// Pitch attitude less climb angle, smoothed, rad.
    incidence: Option<f64>,
    /// Pitch attitude asked for, moved gently, rad.
    pitch_rad: Option<f64>,
}

/// Height error is taken out at this rate, 1/s, with at most this climb angle.
const HEIGHT_1_S: f64 = 0.5;
const CLIMB_MAX_RAD: f64 = 0.2;
/// Time over which the incidence is smoothed, s.
const INCIDENCE_S: f64 = 0.8;
/// Throttle per speed error, 1 per m/s over cruise speed, and its sum, 1/s.
const THROTTLE_PER_SPEED: f64 = 1.2;
const THROTTLE_SUM_1_S: f64 = 0.25;
/// Pitch per relative speed error, rad, and its sum, 1/s.
const PITCH_PER_SPEED: f64 = 0.6;
const PITCH_SPEED_SUM_1_S: f64 = 0.3;
/// Range of pitch attitude about the cruise attitude, rad.
const PITCH_RANGE_RAD: (f64, f64) = (-0.30, 0.42);
/// The pitch asked for moves no faster than this, rad/s.
const PITCH_RATE_RAD_S: f64 = 0.5;
/// Below this share of stall speed above it the nose is held down.
const SPEED_GUARD: f64 = 1.12;
/// Angle of attack kept from the stall, rad.
const ALPHA_RESERVE_RAD: f64 = 0.03;

impl Autopilot {
    /// Elevator stick and throttle for a wish.
    pub(super) fn upwards(&mut self, session: &Session, wish: &Upwards) -> (f64, f64) {
        let state = session.state();
        let speed = session.air_angles().airspeed_m_s;
        let ground_speed = state.velocity_ned().xy().norm().max(1.0);
        let cruise = self.cruise;
        let (pitch, throttle) = match *wish {
            Upwards::Stick { elevator, throttle } => {
                self.vertical = Vertical::default();
                return (elevator, throttle);
            }
            Upwards::Pitch { pitch_rad, throttle } => (pitch_rad, throttle),
            Upwards::Height { height_m, airspeed_m_s } => {
                let climb_rate = HEIGHT_1_S * (height_m - state.height_m());
                let climb = (climb_rate / ground_speed).clamp(-CLIMB_MAX_RAD, CLIMB_MAX_RAD);
                (self.pitch_for(session, climb), self.throttle_for(speed, airspeed_m_s, climb))
            }
            Upwards::Path { climb_rad, airspeed_m_s } => {
                let throttle = self.throttle_for(speed, airspeed_m_s, climb_rad);
                (self.pitch_for(session, climb_rad), throttle)
            }
            Upwards::Flare { climb_rate_m_s } => {
                let climb = (climb_rate_m_s / ground_speed).atan();
                (self.pitch_for(session, climb), 0.0)
            }
            Upwards::Speed { airspeed_m_s, throttle } => {
                let error = (speed - airspeed_m_s) / airspeed_m_s;
                let sum = &mut self.vertical.pitch_sum;
                *sum = (*sum + PITCH_SPEED_SUM_1_S * error * LOOK_S).clamp(-0.3, 0.4);
                // The path that the power asks for, then the speed's say.
                let ahead = cruise.climb_rad(session.controls().throttle);
                (cruise.pitch_rad + ahead + PITCH_PER_SPEED * error + *sum, throttle)
            }
        };
        let slow = (SPEED_GUARD * cruise.stall_m_s - speed).max(0.0) / cruise.stall_m_s;
        let flaring = matches!(wish, Upwards::Flare { .. });
        let guarded = if flaring { pitch } else { pitch - 1.5 * slow };
        let pitch = guarded
            .clamp(cruise.pitch_rad + PITCH_RANGE_RAD.0, cruise.pitch_rad + PITCH_RANGE_RAD.1);
        let elevator_rad = self.hold_pitch(session, pitch);
        (session.radio().elevator.stick_for(elevator_rad), throttle.clamp(0.0, 1.0))
    }

    /// Pitch attitude that brings a climb angle.
    fn pitch_for(&mut self, session: &Session, climb_rad: f64) -> f64 {
        let state = session.state();
        let velocity = state.velocity_ned();
        let climb_now = (-velocity.z).atan2(velocity.xy().norm().max(0.5));
        let now = Euler::of_attitude(&state.attitude).pitch_rad - climb_now;
        let most = self.cruise.alpha_max_rad - ALPHA_RESERVE_RAD;
        let slow = self.vertical.incidence.get_or_insert(self.cruise.alpha_rad);
        *slow = (*slow + (now - *slow) * LOOK_S / INCIDENCE_S).clamp(-0.15, most);
        // A little lead on the path, so that it is reached and not only neared.
        climb_rad + *slow + 0.5 * (climb_rad - climb_now)
    }

    fn throttle_for(&mut self, speed: f64, wanted: f64, climb_rad: f64) -> f64 {
        let cruise = &self.cruise;
        let error = (wanted - speed) / cruise.airspeed_m_s;
        let ahead = cruise.throttle + cruise.throttle_per_climb * climb_rad;
        let sum = &mut self.vertical.throttle_sum;
        let asked = ahead + THROTTLE_PER_SPEED * error + *sum;
        // Summed only while the throttle can follow.
        if (asked < 1.0 || error < 0.0) && (asked > 0.0 || error > 0.0) {
            *sum = (*sum + THROTTLE_SUM_1_S * error * LOOK_S).clamp(-0.6, 0.6);
        }
        asked
    }

    fn hold_pitch(&mut self, session: &Session, pitch_rad: f64) -> f64 {
        let state = session.state();
        let euler = Euler::of_attitude(&state.attitude);
        let angles = session.air_angles();
        let speed = angles.airspeed_m_s.max(0.5 * self.cruise.stall_m_s);
        let now = self.vertical.pitch_rad.get_or_insert(euler.pitch_rad);
        *now += (pitch_rad - *now).clamp(-PITCH_RATE_RAD_S * LOOK_S, PITCH_RATE_RAD_S * LOOK_S);
        let asked = *now;
        let turn = GRAVITY_M_S2 / speed * euler.bank_rad.clamp(-1.2, 1.2).tan();
        let error = [
            angles.velocity_body().z - speed * self.cruise.alpha_rad,
            state.rates_body.y - turn * euler.bank_rad.sin(),
            euler.pitch_rad - asked,
        ];
        let gains = &self.pitch_gains;
        let scale = self.scale(angles.airspeed_m_s);
        let sum = &mut self.vertical.elevator_sum;
        if session.phase() == Phase::Flying {
            *sum = (*sum - PITCH_SUM_1_S * scale * gains[2] * error[2] * LOOK_S)
                .clamp(-SUM_MAX_RAD, SUM_MAX_RAD);
        }
        let feedback: f64 = gains.iter().zip(&error).map(|(gain, error)| gain * error).sum();
        self.cruise.elevator_rad + *sum - scale * feedback
    }
}
