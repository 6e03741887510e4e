//! A transmitter or game pad that the browser sees: which axis moves what,
//! which way, and where its centre and ends are.
//!
//! Every maker orders axes differently and no stick reaches exactly one, so the
//! pilot assigns and calibrates once; the setting is kept on the device for
//! each kind of transmitter.

use serde::{Deserialize, Serialize};
use sim_core::flight::Sticks;
use sim_core::flight::debrief::StickAxis;

use super::Mode;
use super::keys::THROTTLE_SPEED;

/// What an axis can move, in the order of [`PadSetup::axes`].
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Function {
    /// Pitch.
    Elevator,
    /// Roll.
    Aileron,
    /// Yaw.
    Rudder,
    /// Power.
    Throttle,
}

impl Function {
    /// All functions in order.
    pub const ALL: [Self; 4] = [Self::Aileron, Self::Elevator, Self::Throttle, Self::Rudder];
}

/// One axis as assigned.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Axis {
    /// Number of the axis.
    pub index: usize,
    /// Whether it counts the other way.
    pub reversed: bool,
    /// Reading at one end.
    pub min: f64,
    /// Reading at rest.
    pub centre: f64,
    /// Reading at the other end.
    pub max: f64,
}

/// A stick that rests is not always in its middle: this share counts as none.
const DEAD: f64 = 0.025;
/// Ends nearer to the centre than this are not ends.
const TRAVEL_MIN: f64 = 0.2;
/// More axes than this has no transmitter.
pub const AXES_MAX: usize = 32;

impl Axis {
    fn new(index: usize, reversed: bool) -> Self {
        Self { index, reversed, min: -1.0, centre: 0.0, max: 1.0 }
    }

    /// The stick for a reading, -1 to 1; the middle is the reading at rest.
    fn stick(&self, reading: f64) -> f64 {
        if !reading.is_finite() {
            return 0.0;
        }
        let from_centre = reading - self.centre;
        let travel =
            if from_centre >= 0.0 { self.max - self.centre } else { self.centre - self.min };
        let share = (from_centre / travel.max(TRAVEL_MIN)).clamp(-1.0, 1.0);
        let live = ((share.abs() - DEAD) / (1.0 - DEAD)).max(0.0).copysign(share);
        if self.reversed { -live } else { live }
    }

    /// The throttle for a reading, 0 to 1; it has no middle.
    fn throttle(&self, reading: f64) -> f64 {
        if !reading.is_finite() {
            return 0.0;
        }
        let share = (reading - self.min) / (self.max - self.min).max(TRAVEL_MIN);
        let share = share.clamp(0.0, 1.0);
        if self.reversed { 1.0 - share } else { share }
    }
}

/// A transmitter as set up.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct PadSetup {
    /// Axes in the order of [`Function::ALL`].
    pub axes: [Axis; 4],
}

impl PadSetup {
    /// A game pad with the browser's standard order: sticks as the mode says.
    /// Their throttle springs to the middle, see [`PadSetup::throttle_held`].
    pub fn of_game_pad(mode: Mode) -> Self {
        let (left_across, left_along, right_across, right_along) = (0, 1, 2, 3);
        let (roll, yaw) = match mode.aileron_is_left() {
            true => (left_across, right_across),
            false => (right_across, left_across),
        };
        let (power, pitch) = match mode.throttle_is_left() {
            true => (left_along, right_along),
            false => (right_along, left_along),
        };
        // Such axes count towards the pilot.
        Self {
            axes: [
                Axis::new(roll, false),
                Axis::new(pitch, false),
                Axis::new(power, true),
                Axis::new(yaw, false),
            ],
        }
    }

    /// A transmitter: most send aileron, elevator, throttle, rudder in order
    /// (common practice), away from the pilot positive.
    pub fn of_transmitter() -> Self {
        Self {
            axes: [
                Axis::new(0, false),
                Axis::new(1, true),
                Axis::new(2, false),
                Axis::new(3, false),
            ],
        }
    }

    /// The setting of a file that was kept; one without meaning is left.
    pub fn read(text: &str) -> Option<Self> {
        let setup: Self = serde_json::from_str(text).ok()?;
        let sound = |axis: &Axis| {
            let ends = [axis.min, axis.centre, axis.max];
            axis.index < AXES_MAX
                && ends.iter().all(|end| end.is_finite() && end.abs() <= 4.0)
                && axis.min < axis.max
        };
        setup.axes.iter().all(sound).then_some(setup)
    }

    /// The setting as kept.
    pub fn write(&self) -> String {
        // Plain numbers; cannot fail.
        serde_json::to_string_pretty(self).unwrap_or_default()
    }

    /// The sticks for a set of readings; a missing axis rests.
    pub fn sticks(&self, readings: &[f64]) -> Sticks {
        let reading = |axis: &Axis| readings.get(axis.index).copied();
        let stick = |i: usize| reading(&self.axes[i]).map_or(0.0, |r| self.axes[i].stick(r));
        Sticks {
            aileron: stick(0),
            elevator: stick(1),
            throttle: reading(&self.axes[2]).map_or(0.0, |r| self.axes[2].throttle(r)),
            rudder: stick(3),
            flap: 0.0,
        }
    }

    /// The throttle after a time where its stick springs to the middle: pushed it
    /// grows, pulled it shrinks, let go it stays.
    pub fn throttle_held(&self, readings: &[f64], throttle: f64, step_s: f64) -> f64 {
        let axis = &self.axes[2];
        let push = readings.get(axis.index).map_or(0.0, |reading| axis.stick(*reading));
        (throttle + push * THROTTLE_SPEED * step_s).clamp(0.0, 1.0)
    }

    /// Takes the ends and centres of a calibration.
    pub fn calibrate(&mut self, seen: &Calibration) {
        for axis in &mut self.axes {
            let Some(range) = seen.ranges.get(axis.index) else { continue };
            if range.max - range.min >= 2.0 * TRAVEL_MIN {
                (axis.min, axis.centre, axis.max) = (range.min, range.last, range.max);
            }
        }
    }
}

/// What a button of a game pad asks for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Order {
    /// Let go of the aeroplane.
    Throw,
    /// Go on to the next set of throws.
    SwitchThrows,
    /// Look from elsewhere.
    SwitchView,
    /// Let time stand, or go on.
    Pause,
    /// Move a trim lever by a click.
    Trim(StickAxis, i32),
}

/// What each button of the browser's standard order asks for, by its number
/// (W3C Gamepad, "standard gamepad"). The cross is pushed as the stick is: away for
/// nose down.
pub const ORDERS: [(u32, Order); 8] = [
    (0, Order::Throw),
    (1, Order::SwitchThrows),
    (3, Order::SwitchView),
    (9, Order::Pause),
    (12, Order::Trim(StickAxis::Elevator, -1)),
    (13, Order::Trim(StickAxis::Elevator, 1)),
    (14, Order::Trim(StickAxis::Aileron, -1)),
    (15, Order::Trim(StickAxis::Aileron, 1)),
];

/// Readings seen while the pilot moves the sticks to all ends and lets go.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Calibration {
    ranges: Vec<Range>,
}

#[derive(Debug, Clone, Copy, PartialEq)]
struct Range {
    min: f64,
    max: f64,
    last: f64,
}

impl Calibration {
    /// Takes one set of readings.
    pub fn see(&mut self, readings: &[f64]) {
        for (i, reading) in readings.iter().copied().enumerate().take(AXES_MAX) {
            let reading = if reading.is_finite() { reading } else { 0.0 };
            if i == self.ranges.len() {
                self.ranges.push(Range { min: reading, max: reading, last: reading });
            }
            if let Some(range) = self.ranges.get_mut(i) {
                range.min = range.min.min(reading);
                range.max = range.max.max(reading);
                range.last = reading;
            }
        }
    }

    /// The axis that has moved most, which is the one that the pilot means.
    pub fn most_moved(&self) -> Option<usize> {
        let travel = |range: &Range| range.max - range.min;
        let (index, range) =
            self.ranges.iter().enumerate().max_by(|a, b| travel(a.1).total_cmp(&travel(b.1)))?;
        (travel(range) > 2.0 * TRAVEL_MIN).then_some(index)
    }
}

#[cfg(test)]
mod tests {
    use wasm_bindgen_test::wasm_bindgen_test;

    use super::*;

    #[wasm_bindgen_test(unsupported = test)]
    fn a_calibrated_stick_reaches_its_ends_and_rests_in_the_middle() {
        let mut seen = Calibration::default();
        for reading in [0.1, -0.7, 0.8, 0.1] {
            seen.see(&[reading, 0.0, 0.0, 0.0]);
        }
        assert_eq!(seen.most_moved(), Some(0));
        let mut setup = PadSetup::of_transmitter();
        setup.calibrate(&seen);
        for (reading, stick) in [(0.1, 0.0), (-0.7, -1.0), (0.8, 1.0), (0.11, 0.0), (5.0, 1.0)] {
            assert_eq!(setup.sticks(&[reading, 0.0, 0.0, 0.0]).aileron, stick, "{reading}");
        }
        // An axis that was not moved keeps what it had.
        assert_eq!(setup.axes[1], PadSetup::of_transmitter().axes[1]);
    }

    #[wasm_bindgen_test(unsupported = test)]
    fn a_game_pad_pushed_away_gives_throttle_and_pulled_gives_nose_up() {
        let setup = PadSetup::of_game_pad(Mode::Two);
        let sticks = setup.sticks(&[0.0, -1.0, 0.0, 1.0]);
        assert_eq!((sticks.throttle, sticks.elevator), (1.0, 1.0));
    }

    #[wasm_bindgen_test(unsupported = test)]
    fn a_throttle_that_springs_back_holds_what_it_was_given() {
        let setup = PadSetup::of_game_pad(Mode::Two);
        let after = |push: f64, from: f64| setup.throttle_held(&[0.0, push, 0.0, 0.0], from, 0.5);
        // The axis counts towards the pilot.
        assert!((after(-1.0, 0.2) - (0.2 + 0.5 * THROTTLE_SPEED)).abs() < 1e-12);
        assert_eq!((after(0.0, 0.4), after(1.0, 0.1), after(-1.0, 0.9)), (0.4, 0.0, 1.0));
    }

    #[wasm_bindgen_test(unsupported = test)]
    fn a_setting_comes_back_and_a_broken_one_is_left() {
        let mut setup = PadSetup::of_transmitter();
        setup.axes[3].reversed = true;
        assert_eq!(PadSetup::read(&setup.write()), Some(setup));
        for wrong in ["", "{}", "{\"axes\":[]}", &setup.write().replace("-1.0", "9e99")] {
            assert_eq!(PadSetup::read(wrong), None, "{wrong}");
        }
    }

    #[wasm_bindgen_test(unsupported = test)]
    fn readings_without_meaning_leave_the_sticks_at_rest() {
        let sticks = PadSetup::of_transmitter().sticks(&[f64::NAN, f64::INFINITY]);
        assert_eq!(sticks, Sticks::default());
    }
}
