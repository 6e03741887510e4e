//! Keys as sticks. A key knows only on and off, so the stick follows with a
//! speed that grows while the key is held: a tap is a small input, a held key
//! a full one, and a key let go lets the stick spring back.

use sim_core::flight::Sticks;

/// Keys by their place on the keyboard, whatever is printed on them.
pub const LEFT: &str = "ArrowLeft";
/// Turns right.
pub const RIGHT: &str = "ArrowRight";
/// Pushes the stick: nose down.
pub const PUSH: &str = "ArrowUp";
/// Pulls the stick: nose up.
pub const PULL: &str = "ArrowDown";
/// Rudder left.
pub const RUDDER_LEFT: &str = "KeyA";
/// Rudder right.
pub const RUDDER_RIGHT: &str = "KeyD";
/// More throttle.
pub const MORE: &str = "KeyW";
/// Less throttle.
pub const LESS: &str = "KeyS";
/// No throttle at once.
pub const CUT: &str = "KeyX";

/// All keys that move a stick.
const ALL: [&str; 9] = [LEFT, RIGHT, PUSH, PULL, RUDDER_LEFT, RUDDER_RIGHT, MORE, LESS, CUT];

/// Speed of the stick when a key goes down, full travels a second.
const SPEED_FIRST: f64 = 0.9;
/// Growth of that speed while it is held, full travels a second, a second.
const SPEED_GROWTH: f64 = 2.6;
/// Time in which a stick springs back to a third, s.
const SPRING_S: f64 = 0.09;
/// Speed of the throttle, full travels a second.
pub const THROTTLE_SPEED: f64 = 0.7;

/// The keyboard as sticks.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Keys {
    down: Vec<&'static str>,
    elevator: Spring,
    aileron: Spring,
    rudder: Spring,
    throttle: f64,
}

#[derive(Debug, Clone, Copy, PartialEq, Default)]
struct Spring {
    stick: f64,
    held_s: f64,
}

impl Spring {
    fn advance(&mut self, towards: f64, step_s: f64) {
        if towards == 0.0 {
            self.held_s = 0.0;
            self.stick *= (-step_s / SPRING_S).exp();
            return;
        }
        // The other way it springs back first.
        if self.stick * towards < 0.0 {
            self.held_s = 0.0;
            self.stick *= (-step_s / SPRING_S).exp();
            if self.stick.abs() < 0.05 {
                self.stick = 0.0;
            }
            return;
        }
        let speed = SPEED_FIRST + SPEED_GROWTH * (self.held_s + 0.5 * step_s);
        self.held_s += step_s;
        self.stick = (self.stick + towards * speed * step_s).clamp(-1.0, 1.0);
    }
}

impl Keys {
    /// A key goes down; says whether it moves a stick.
    pub fn press(&mut self, code: &str) -> bool {
        let Some(key) = ALL.into_iter().find(|key| *key == code) else { return false };
        if key == CUT {
            self.throttle = 0.0;
        }
        if !self.down.contains(&key) {
            self.down.push(key);
        }
        true
    }

    /// A key comes up.
    pub fn lift(&mut self, code: &str) {
        self.down.retain(|key| *key != code);
    }

    /// The page has lost the keyboard: no key is down any more.
    pub fn lift_all(&mut self) {
        self.down.clear();
    }

    /// Takes over where another hand left the throttle.
    pub fn set_throttle(&mut self, throttle: f64) {
        self.throttle = throttle.clamp(0.0, 1.0);
    }

    /// The sticks after a time.
    pub fn advance(&mut self, step_s: f64) -> Sticks {
        let down = &self.down;
        let pull = |plus: &str, minus: &str| {
            let is = |key: &str| f64::from(u8::from(down.contains(&key)));
            is(plus) - is(minus)
        };
        self.elevator.advance(pull(PULL, PUSH), step_s);
        self.aileron.advance(pull(RIGHT, LEFT), step_s);
        self.rudder.advance(pull(RUDDER_RIGHT, RUDDER_LEFT), step_s);
        let more = pull(MORE, LESS) * THROTTLE_SPEED * step_s;
        self.throttle = (self.throttle + more).clamp(0.0, 1.0);
        Sticks {
            elevator: self.elevator.stick,
            aileron: self.aileron.stick,
            rudder: self.rudder.stick,
            flap: 0.0,
            throttle: self.throttle,
        }
    }
}

#[cfg(test)]
mod tests {
    use wasm_bindgen_test::wasm_bindgen_test;

    use super::*;

    fn hold(keys: &mut Keys, seconds: f64, rate_hz: f64) -> Sticks {
        let steps = (seconds * rate_hz).round() as usize;
        (0..steps).fold(Sticks::default(), |_, _| keys.advance(1.0 / rate_hz))
    }

    #[wasm_bindgen_test(unsupported = test)]
    fn a_tap_is_small_and_a_held_key_is_full() {
        let mut keys = Keys::default();
        assert!(keys.press(RIGHT));
        let tap = hold(&mut keys, 0.08, 50.0).aileron;
        assert!((0.03..0.15).contains(&tap), "{tap}");
        assert_eq!(hold(&mut keys, 1.0, 50.0).aileron, 1.0);
        keys.lift(RIGHT);
        assert!(hold(&mut keys, 0.6, 50.0).aileron < 0.01);
    }

    #[wasm_bindgen_test(unsupported = test)]
    fn the_stick_does_not_depend_on_the_frame_rate() {
        let [slow, fast] = [30.0, 120.0].map(|rate| {
            let mut keys = Keys::default();
            keys.press(PULL);
            hold(&mut keys, 0.4, rate).elevator
        });
        assert!((slow - fast).abs() < 1e-9, "{slow} {fast}");
    }

    #[wasm_bindgen_test(unsupported = test)]
    fn throttle_stays_and_can_be_cut() {
        let mut keys = Keys::default();
        keys.press(MORE);
        hold(&mut keys, 0.5, 50.0);
        keys.lift(MORE);
        let kept = hold(&mut keys, 3.0, 50.0).throttle;
        assert!((kept - 0.35).abs() < 1e-9, "{kept}");
        keys.press(CUT);
        assert_eq!(keys.advance(0.02).throttle, 0.0);
        assert!(!keys.press("KeyQ"));
    }
}
