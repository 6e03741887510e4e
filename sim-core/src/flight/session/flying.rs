//! One step of a flight, and what it brings about: touching down, taking off,
//! stopping, breaking.

use nalgebra::Vector3;

use super::super::contact::touch;
use super::super::snapshot::{Crash, Event, Phase, TimedEvent};
use super::{EVENTS_MAX, Moving, STEP_S, STEPS_PER_SAMPLE, Session};
use crate::dynamics::{Airframe, Controls, FlightState, SteadyWind, Wrench};
use crate::frames::Euler;
use crate::power::resting_cell_voltage;

/// Parts of a step while something touches the ground.
pub(super) const CONTACT_PARTS: usize = 4;
const SPEED_MAX_M_S: f64 = 150.0;
const RATE_MAX_RAD_S: f64 = 50.0;
/// In the air for this long means flying, s.
const AIRBORNE_S: f64 = 0.5;
/// At rest for this long means stopped, s.
const AT_REST_S: f64 = 1.0;
const AT_REST_M_S: f64 = 0.3;
/// Distance at which a model is out of sight, m (common practice).
const SIGHT_M: f64 = 500.0;
/// Charge at which a pilot lands and a controller begins to cut, 0 to 1.
const CHARGE_LOW: f64 = 0.1;

impl Session {
    pub(super) fn move_controls(&mut self) {
        let command = self.click_sizes.trimmed(&self.trims, self.radio.commands(&self.sticks));
        let next = self.options.actuators.advance(&self.moving.controls, &command, STEP_S);
        if next.is_finite() {
            self.moving.controls = next;
        }
    }

    /// One step of a moving aircraft.
    pub(super) fn fly(&mut self) {
        let airspeed_m_s = self.air_angles().airspeed_m_s;
        self.renew_air(airspeed_m_s);
        let controls = Controls { throttle: self.throttle(), ..self.moving.controls };
        let now = self.aeroplane.loads(&self.met(), &controls);
        if !now.is_finite() {
            self.crash(Crash::Lost, 0.0);
            return;
        }
        let held = match self.moving.loads_before.replace(now) {
            Some(before) => Wrench {
                force_body: now.force_body * 1.5 - before.force_body * 0.5,
                moment_body: now.moment_body * 1.5 - before.moment_body * 0.5,
            },
            None => now,
        };
        let near = self.moving.state.height_m() < self.reach_m + STEP_S * SPEED_MAX_M_S;
        let touched = if near { self.step_near_ground(&held) } else { self.step_free(&held) };
        self.move_controls();
        match touched {
            Some(touching) => self.follow_events(touching),
            None => self.crash(Crash::Lost, 0.0),
        }
    }

    /// A step away from the ground; `None` where it cannot be computed.
    fn step_free(&mut self, held: &Wrench) -> Option<Option<(f64, f64)>> {
        let Moving { state, air, .. } = &self.moving;
        let next = bounded(self.body.step_midpoint(state, held, air, STEP_S).ok()?)?;
        self.moving.state = next;
        self.moving.loads = *held;
        Some(None)
    }

    /// A step that may touch the ground. Returns sink rate and bank on touching.
    fn step_near_ground(&mut self, held: &Wrench) -> Option<Option<(f64, f64)>> {
        let steering = -self.moving.controls.rudder_rad / self.rudder_throw_rad;
        let part_s = STEP_S / CONTACT_PARTS as f64;
        let mut first = None;
        let mut sum = Wrench::default();
        if !touch(&self.points, &self.moving.state, steering).touching {
            let next = self.body.step_midpoint(&self.moving.state, held, &self.moving.air, STEP_S);
            let next = bounded(next.ok()?)?;
            if !touch(&self.points, &next, steering).touching {
                self.moving.state = next;
                self.moving.loads = *held;
                return Some(None);
            }
        }
        for _ in 0..CONTACT_PARTS {
            let contact = touch(&self.points, &self.moving.state, steering);
            if let Some((how, impact_m_s)) = contact.broken {
                self.crash(how, impact_m_s);
                return Some(None);
            }
            if contact.touching && first.is_none() {
                let bank = Euler::of_attitude(&self.moving.state.attitude).bank_rad;
                first = Some((self.moving.state.velocity_ned().z, bank));
            }
            let all = *held + contact.wrench;
            sum = sum + contact.wrench;
            let (state, air) = (&self.moving.state, &self.moving.air);
            self.moving.state =
                bounded(self.body.step_semi_implicit(state, &all, air, part_s).ok()?)?;
        }
        let share = 1.0 / CONTACT_PARTS as f64;
        self.moving.loads = Wrench {
            force_body: held.force_body + sum.force_body * share,
            moment_body: held.moment_body + sum.moment_body * share,
        };
        Some(first)
    }

    fn follow_events(&mut self, touching: Option<(f64, f64)>) {
        if self.moving.phase == Phase::Crashed {
            return;
        }
        let place = self.moving.state.position_ned;
        let ground_speed_m_s = self.moving.state.velocity_ned().xy().norm();
        if let Some((sink_m_s, bank_rad)) = touching {
            self.moving.off_ground_s = 0.0;
            if self.moving.phase == Phase::Flying {
                self.moving.phase = Phase::OnGround;
                let (north_m, east_m) = (place.x, place.y);
                let landed =
                    Event::Landed { sink_m_s, ground_speed_m_s, bank_rad, north_m, east_m };
                self.tell(landed);
            }
            self.rest(ground_speed_m_s);
        } else {
            self.moving.at_rest_s = 0.0;
            if self.moving.off_ground_s == 0.0 {
                let airspeed_m_s = self.air_angles().airspeed_m_s;
                self.moving.left_ground = (airspeed_m_s, place.xy().norm());
            }
            self.moving.off_ground_s += STEP_S;
            if self.moving.phase == Phase::OnGround && self.moving.off_ground_s >= AIRBORNE_S {
                self.moving.phase = Phase::Flying;
                self.moving.flown = true;
                self.moving.stopped = false;
                let (airspeed_m_s, roll_m) = self.moving.left_ground;
                self.tell(Event::TookOff { airspeed_m_s, roll_m });
            }
        }
        if !self.moving.out_of_sight && place.norm() > SIGHT_M {
            self.moving.out_of_sight = true;
            self.tell(Event::OutOfSight);
        }
    }

    /// Notes that the aircraft lies still: stopped, or upside down.
    fn rest(&mut self, ground_speed_m_s: f64) {
        let still = ground_speed_m_s < AT_REST_M_S && self.moving.state.rates_body.norm() < 0.5;
        self.moving.at_rest_s = if still { self.moving.at_rest_s + STEP_S } else { 0.0 };
        if self.moving.at_rest_s < AT_REST_S {
            return;
        }
        let down = self.moving.state.attitude.inverse_transform_vector(&Vector3::z());
        if down.z < 0.0 {
            self.crash(Crash::Inverted, 0.0);
        } else if self.moving.flown && !self.moving.stopped {
            self.moving.stopped = true;
            let place = self.moving.state.position_ned;
            self.tell(Event::Stopped { north_m: place.x, east_m: place.y });
        }
    }

    fn crash(&mut self, how: Crash, impact_m_s: f64) {
        self.moving.phase = Phase::Crashed;
        self.moving.state.velocity_body = Vector3::zeros();
        self.moving.state.rates_body = Vector3::zeros();
        self.moving.loads = Wrench::default();
        self.tell(Event::Crashed { how, impact_m_s });
    }

    pub(super) fn tell(&mut self, event: Event) {
        if self.events.len() < EVENTS_MAX {
            let time_s = self.time_s();
            self.events.push(TimedEvent { time_s, event });
        }
    }

    /// The wind where the aircraft is now, gusts moved on by a step of flight.
    pub(super) fn renew_air(&mut self, airspeed_m_s: f64) {
        let height_m = self.moving.state.height_m();
        let wind = &self.options.wind;
        let mut wind_ned = wind.at_height(height_m);
        if let Some(speed_m_s) = self.options.gusts.wind_m_s(wind.speed_m_s) {
            let stirring = SteadyWind { speed_m_s, ..*wind };
            let turbulence = &mut self.moving.turbulence;
            wind_ned += turbulence.advance(&stirring, height_m, airspeed_m_s, STEP_S);
        }
        if wind_ned.iter().all(|part| part.is_finite()) {
            self.moving.air.wind_ned = wind_ned;
        }
    }

    pub(super) fn drain_packs(&mut self) {
        if !self.options.pack_empties || self.moving.phase == Phase::Crashed {
            return;
        }
        let points = self.aeroplane.operating_points(&self.met(), self.throttle());
        let hours = STEP_S * STEPS_PER_SAMPLE as f64 / 3600.0;
        for (engine, point) in self.aeroplane.engines().iter().zip(&points) {
            let (Some(drive), Some(charge)) =
                (engine.power.electric(), self.moving.charges.get_mut(engine.unit))
            else {
                continue;
            };
            *charge = (*charge - point.pack_current_a * hours / drive.pack.capacity_ah).max(0.0);
        }
        self.apply_charges();
        if self.charge() < CHARGE_LOW && !self.moving.pack_low {
            self.moving.pack_low = true;
            self.tell(Event::PackEmpty);
        }
    }

    /// Sets the packs' voltages to their charges.
    pub(super) fn apply_charges(&mut self) {
        for (unit, charge) in self.moving.charges.iter().enumerate() {
            let of_unit = |engine: &&crate::dynamics::Engine| engine.unit == unit;
            let drive = self.aeroplane.engines().iter().find(of_unit);
            let Some(drive) = drive.and_then(|engine| engine.power.electric()) else { continue };
            let voltage_v = drive.pack.cells * resting_cell_voltage(*charge);
            self.aeroplane.set_resting_voltage_v(unit, voltage_v);
        }
    }
}

/// The state with speed and rates held within the model's range; `None` where
/// it is not finite.
fn bounded(mut state: FlightState) -> Option<FlightState> {
    let speed = state.velocity_body.norm();
    if speed > SPEED_MAX_M_S {
        state.velocity_body *= SPEED_MAX_M_S / speed;
    }
    let turning = state.rates_body.norm();
    if turning > RATE_MAX_RAD_S {
        state.rates_body *= RATE_MAX_RAD_S / turning;
    }
    state.is_finite().then_some(state)
}
