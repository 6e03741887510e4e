//! The run behind a response: the clock, the servos, the Runge-Kutta course,
//! and what is written down.

use nalgebra::{SVector, Vector3};

use super::{Channel, Input, ResponseError, ResponseOptions, StepResponse};
use crate::analysis::linearise::LinearModel;
use crate::analysis::trim::Trim;
use crate::atmosphere::GRAVITY_M_S2;
use crate::dynamics::{
    Airframe, Controls, FlightState, Motion, MotionError, Part, StateVector, Wrench,
    step_runge_kutta,
};
use crate::frames::{AirAngles, Euler};

/// Cap on steps of one response.
const STEPS_MAX: f64 = 1e6;

/// Equations of motion with `N` states.
pub(super) trait Equations<const N: usize> {
    /// The trimmed state.
    fn start(&self) -> SVector<f64, N>;

    /// Rate of change, and the non-gravitational acceleration in body axes.
    fn rate(
        &self,
        state: &SVector<f64, N>,
        controls: &Controls,
    ) -> Result<(SVector<f64, N>, Vector3<f64>), MotionError>;

    /// The state of motion with the heading.
    fn flight(&self, state: &SVector<f64, N>) -> Option<(FlightState, Euler)>;
}

/// The full equations of motion in still air.
pub(super) struct FullMotion<'a, A: Airframe + ?Sized> {
    pub motion: Motion<'a, A>,
    pub trim: &'a Trim,
}

impl<A: Airframe + ?Sized> Equations<13> for FullMotion<'_, A> {
    fn start(&self) -> StateVector {
        self.trim.state().to_vector()
    }

    fn rate(
        &self,
        state: &StateVector,
        controls: &Controls,
    ) -> Result<(StateVector, Vector3<f64>), MotionError> {
        let none = Wrench::default();
        let (rate, acceleration) =
            self.motion.state_rate_and_acceleration(state, controls, &self.trim.air, &none)?;
        Ok((rate, acceleration.felt_body))
    }

    fn flight(&self, state: &StateVector) -> Option<(FlightState, Euler)> {
        let flight = FlightState::from_vector(state)?;
        Some((flight, Euler::of_attitude(&flight.attitude)))
    }
}

/// The linear model, with heading and height gained as ninth and tenth state.
pub(super) struct SmallMotion<'a> {
    pub model: &'a LinearModel,
    pub trim: &'a Trim,
}

impl SmallMotion<'_> {
    fn motion_of(&self, state: &SVector<f64, 10>) -> (Vector3<f64>, Vector3<f64>, Euler) {
        let velocity = self.trim.state().velocity_body + state.fixed_rows::<3>(0);
        let rates = self.trim.rates_body + state.fixed_rows::<3>(3);
        let euler = Euler {
            bank_rad: self.trim.bank_rad + state[6],
            pitch_rad: self.trim.pitch_rad + state[7],
            heading_rad: state[8],
        };
        (velocity, rates, euler)
    }
}

impl Equations<10> for SmallMotion<'_> {
    fn start(&self) -> SVector<f64, 10> {
        SVector::zeros()
    }

    fn rate(
        &self,
        state: &SVector<f64, 10>,
        controls: &Controls,
    ) -> Result<(SVector<f64, 10>, Vector3<f64>), MotionError> {
        let trimmed = self.trim.controls.to_array();
        let moved = controls.to_array();
        let change = SVector::<f64, 5>::from_fn(|index, _| moved[index] - trimmed[index]);
        let slow = self.model.a * state.fixed_rows::<8>(0) + self.model.b * change;
        let (velocity, rates, euler) = self.motion_of(state);
        let down = euler.down_body();
        let mut rate = SVector::<f64, 10>::zeros();
        rate.fixed_rows_mut::<8>(0).copy_from(&slow);
        rate[8] = euler.rates(&rates).z;
        rate[9] = -down.dot(&velocity);
        if rate.iter().any(|part| !part.is_finite()) {
            return Err(MotionError::NotFinite(Part::Acceleration));
        }
        let velocity_rate = rate.fixed_rows::<3>(0).into_owned();
        Ok((rate, velocity_rate + rates.cross(&velocity) - GRAVITY_M_S2 * down))
    }

    fn flight(&self, state: &SVector<f64, 10>) -> Option<(FlightState, Euler)> {
        let (velocity_body, rates_body, euler) = self.motion_of(state);
        let flight = FlightState {
            position_ned: Vector3::new(0.0, 0.0, -state[9]),
            velocity_body,
            attitude: euler.ned_from_body(),
            rates_body,
        };
        flight.is_finite().then_some((flight, euler))
    }
}

/// A motion that can be stepped and looked at.
pub(super) trait Course {
    /// Goes one step with the controls at its start, middle and end; gives the
    /// non-gravitational acceleration at the start.
    fn step(&mut self, controls: &[Controls; 3], step_s: f64) -> Result<Vector3<f64>, MotionError>;

    /// The non-gravitational acceleration now.
    fn felt(&mut self, controls: &Controls) -> Result<Vector3<f64>, MotionError>;

    /// The state of motion now, with the heading.
    fn flight(&self) -> Option<(FlightState, Euler)>;

    /// Evaluations of the loads so far.
    fn load_calls(&self) -> usize;
}

/// Equations stepped by the Runge-Kutta method.
pub(super) struct Classic<E, const N: usize> {
    equations: E,
    state: SVector<f64, N>,
    load_calls: usize,
}

impl<E: Equations<N>, const N: usize> Classic<E, N> {
    pub(super) fn new(equations: E) -> Self {
        let state = equations.start();
        Self { equations, state, load_calls: 0 }
    }
}

impl<E: Equations<N>, const N: usize> Course for Classic<E, N> {
    fn step(&mut self, controls: &[Controls; 3], step_s: f64) -> Result<Vector3<f64>, MotionError> {
        let [before, middle, after] = controls;
        let at_stage = [before, middle, middle, after];
        let mut stage = 0;
        let mut felt_body = Vector3::zeros();
        let rate = |_, at: &_| {
            let (rate, felt) = self.equations.rate(at, at_stage[stage])?;
            if stage == 0 {
                felt_body = felt;
            }
            stage += 1;
            Ok(rate)
        };
        self.state = step_runge_kutta(rate, 0.0, &self.state, step_s)?;
        self.load_calls += at_stage.len();
        Ok(felt_body)
    }

    fn felt(&mut self, controls: &Controls) -> Result<Vector3<f64>, MotionError> {
        self.load_calls += 1;
        Ok(self.equations.rate(&self.state, controls)?.1)
    }

    fn flight(&self) -> Option<(FlightState, Euler)> {
        self.equations.flight(&self.state)
    }

    fn load_calls(&self) -> usize {
        self.load_calls
    }
}

/// Steps a motion through the whole response.
pub(super) fn respond(
    mut course: impl Course,
    trim: &Trim,
    options: &ResponseOptions,
) -> Result<StepResponse, ResponseError> {
    let clock = Clock::new(options)?;
    let mut drive = Drive::new(trim, options);
    let mut record = Record::new(trim, options, clock.samples);
    for step in 0..clock.samples * clock.per_sample {
        let time_s = step as f64 * clock.step_s;
        let failed = |cause| ResponseError::Motion { time_s, cause };
        let flight = course.flight();
        let controls = drive.over(time_s, clock.step_s);
        let felt_body = course.step(&controls, clock.step_s).map_err(failed)?;
        if step % clock.per_sample == 0 {
            record.add(time_s, flight, &felt_body, &controls[0]).map_err(failed)?;
        }
    }
    let time_s = clock.samples as f64 * options.sample_s;
    let failed = |cause| ResponseError::Motion { time_s, cause };
    let felt_body = course.felt(&drive.now).map_err(failed)?;
    record.add(time_s, course.flight(), &felt_body, &drive.now).map_err(failed)?;
    Ok(StepResponse { load_calls: course.load_calls(), ..record.response })
}

/// Steps and samples of a response.
struct Clock {
    samples: usize,
    per_sample: usize,
    step_s: f64,
}

impl Clock {
    fn new(options: &ResponseOptions) -> Result<Self, ResponseError> {
        let positive = |value: f64| value.is_finite() && value > 0.0;
        let size = match options.input {
            Input::Deflection(change) => change,
            Input::Stick { stick, .. } => stick,
        };
        for (quantity, value, allowed) in [
            ("duration", options.duration_s, positive(options.duration_s)),
            ("time between samples", options.sample_s, positive(options.sample_s)),
            ("step", options.step_s, positive(options.step_s)),
            ("start", options.start_s, options.start_s >= 0.0),
            ("input", size, size.is_finite()),
        ] {
            if !allowed {
                return Err(ResponseError::Options { quantity, value });
            }
        }
        let samples = (options.duration_s / options.sample_s).round().max(1.0);
        // A step a hair longer than asked for is not worth another evaluation.
        let per_sample = (options.sample_s / options.step_s - 1e-9).ceil().max(1.0);
        if samples * per_sample > STEPS_MAX {
            return Err(ResponseError::Options { quantity: "step", value: options.step_s });
        }
        Ok(Self {
            samples: samples as usize,
            per_sample: per_sample as usize,
            step_s: options.sample_s / per_sample,
        })
    }
}

/// The controls as the servos move them.
struct Drive<'a> {
    options: &'a ResponseOptions,
    trimmed: Controls,
    now: Controls,
}

impl<'a> Drive<'a> {
    fn new(trim: &Trim, options: &'a ResponseOptions) -> Self {
        Self { options, trimmed: trim.controls, now: trim.controls }
    }

    /// Controls at the start, in the middle and at the end of a step; the
    /// command is held over each half at its value in the middle of it.
    fn over(&mut self, time_s: f64, step_s: f64) -> [Controls; 3] {
        let half_s = 0.5 * step_s;
        let actuators = &self.options.actuators;
        let (first, second) =
            (self.command(time_s + 0.5 * half_s), self.command(time_s + 1.5 * half_s));
        // In no time only a servo without lag gets anywhere: to its command.
        let before = actuators.advance(&self.now, &first, 0.0);
        let middle = actuators.advance(&before, &first, half_s);
        self.now = actuators.advance(&middle, &second, half_s);
        [before, middle, self.now]
    }

    fn command(&self, time_s: f64) -> Controls {
        let options = self.options;
        let length_s = (options.duration_s - options.start_s).max(f64::MIN_POSITIVE);
        let course = options.shape.value(time_s - options.start_s, length_s);
        let change = match options.input {
            Input::Deflection(size) => size * course,
            Input::Stick { stick, curve } => curve.deflection_rad(stick * course),
        };
        let mut controls = self.trimmed.to_array();
        let moving = &mut controls[column(options.channel)];
        *moving += change;
        if options.channel == Channel::Throttle {
            *moving = moving.clamp(0.0, 1.0);
        }
        Controls::from_array(controls)
    }
}

/// Place of a channel in [`Controls::to_array`].
fn column(channel: Channel) -> usize {
    match channel {
        Channel::Elevator => 0,
        Channel::Aileron => 1,
        Channel::Rudder => 2,
        Channel::Flap => 3,
        Channel::Throttle => 4,
    }
}

/// The response as it grows.
struct Record {
    response: StepResponse,
    column: usize,
    trimmed: f64,
}

impl Record {
    fn new(trim: &Trim, options: &ResponseOptions, samples: usize) -> Self {
        let (input, input_is_stick) = match options.input {
            Input::Deflection(change) => (change, false),
            Input::Stick { stick, .. } => (stick, true),
        };
        let column = column(options.channel);
        let room = || Vec::with_capacity(samples + 1);
        let response = StepResponse {
            time_s: room(),
            deflection: room(),
            airspeed_m_s: room(),
            alpha_rad: room(),
            beta_rad: room(),
            roll_rate_rad_s: room(),
            pitch_rate_rad_s: room(),
            yaw_rate_rad_s: room(),
            bank_rad: room(),
            pitch_rad: room(),
            heading_rad: room(),
            load_factor: room(),
            side_load_factor: room(),
            height_change_m: room(),
            channel: options.channel,
            input,
            input_is_stick,
            start_s: options.start_s,
            load_calls: 0,
        };
        Self { response, column, trimmed: trim.controls.to_array()[column] }
    }

    fn add(
        &mut self,
        time_s: f64,
        flight: Option<(FlightState, Euler)>,
        felt_body: &Vector3<f64>,
        controls: &Controls,
    ) -> Result<(), MotionError> {
        let (flight, euler) = flight.ok_or(MotionError::NotFinite(Part::State))?;
        let angles = AirAngles::of_velocity(&flight.velocity_body);
        let response = &mut self.response;
        response.time_s.push(time_s);
        response.deflection.push(controls.to_array()[self.column] - self.trimmed);
        response.airspeed_m_s.push(angles.airspeed_m_s);
        response.alpha_rad.push(angles.alpha_rad);
        response.beta_rad.push(angles.beta_rad);
        response.roll_rate_rad_s.push(flight.rates_body.x);
        response.pitch_rate_rad_s.push(flight.rates_body.y);
        response.yaw_rate_rad_s.push(flight.rates_body.z);
        push_unwrapped(&mut response.bank_rad, euler.bank_rad);
        response.pitch_rad.push(euler.pitch_rad);
        push_unwrapped(&mut response.heading_rad, euler.heading_rad);
        response.load_factor.push(-felt_body.z / GRAVITY_M_S2);
        response.side_load_factor.push(felt_body.y / GRAVITY_M_S2);
        response.height_change_m.push(flight.height_m());
        Ok(())
    }
}

/// Adds an angle as the one of its like that is nearest to the one before.
fn push_unwrapped(angles: &mut Vec<f64>, angle: f64) {
    let turns = angles.last().map_or(0.0, |last| ((last - angle) / std::f64::consts::TAU).round());
    angles.push(angle + turns * std::f64::consts::TAU);
}

#[cfg(test)]
mod tests {
    use super::*;

    fn options(duration_s: f64, sample_s: f64, step_s: f64) -> ResponseOptions {
        ResponseOptions {
            duration_s,
            sample_s,
            step_s,
            ..ResponseOptions::step(Channel::Aileron, Input::Deflection(0.1))
        }
    }

    /// Steps fill a sample and samples the run; no step is longer than asked for.
    #[test]
    fn the_clock_fills_the_run() {
        for (duration_s, sample_s, step_s, samples, per_sample) in [
            (2.0, 0.02, 0.02, 100, 1),
            (1.0, 0.1, 0.03, 10, 4),
            (0.5, 0.1, 0.2, 5, 1),
            (0.01, 0.02, 0.01, 1, 2),
        ] {
            let clock = Clock::new(&options(duration_s, sample_s, step_s)).unwrap();
            assert_eq!((clock.samples, clock.per_sample), (samples, per_sample));
            assert!((clock.step_s * per_sample as f64 - sample_s).abs() < 1e-12);
            assert!(clock.step_s <= step_s * (1.0 + 1e-6));
        }
        assert!(Clock::new(&options(999.0, 0.001, 0.001)).is_ok());
        assert!(Clock::new(&options(1001.0, 0.001, 0.001)).is_err());
        let late = ResponseOptions { start_s: -0.1, ..options(1.0, 0.1, 0.1) };
        assert!(Clock::new(&late).is_err());
    }

    /// An angle that turns steadily is told as such, whichever way and however
    /// often it passes half a turn.
    #[test]
    fn a_steady_turn_is_told_without_a_leap() {
        for rate in [0.4, -0.4, 2.9] {
            let mut angles = Vec::new();
            for step in 0..60 {
                let angle = 0.3 + rate * f64::from(step);
                push_unwrapped(&mut angles, angle.sin().atan2(angle.cos()));
                assert!((angles[angles.len() - 1] - angle).abs() < 1e-9, "{angle}");
            }
        }
    }
}
