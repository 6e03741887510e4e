//! From hands to sticks: two gates under the thumbs, and which of their four
//! ways moves what.
//!
//! Keys, a transmitter or pad, and touch each give a pair of [`Gates`] or
//! [`Sticks`]; the one that moved last flies.

pub mod keys;
pub mod pad;
pub mod touch;

use serde::{Deserialize, Serialize};
use sim_core::flight::Sticks;

/// One stick in its gate.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Gate {
    /// To the right, -1 to 1.
    pub across: f64,
    /// Away from the pilot, -1 to 1.
    pub along: f64,
}

/// Both sticks.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Gates {
    /// Under the left thumb.
    pub left: Gate,
    /// Under the right thumb.
    pub right: Gate,
}

/// Which stick does what, by the numbers in common use.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Mode {
    /// Elevator and rudder left, throttle and aileron right.
    One,
    /// Throttle and rudder left, elevator and aileron right.
    #[default]
    Two,
    /// Elevator and aileron left, throttle and rudder right.
    Three,
    /// Throttle and aileron left, elevator and rudder right.
    Four,
}

impl Mode {
    /// All modes in order.
    pub const ALL: [Self; 4] = [Self::One, Self::Two, Self::Three, Self::Four];

    /// Whether the throttle is on the left.
    pub fn throttle_is_left(self) -> bool {
        matches!(self, Self::Two | Self::Four)
    }

    /// Whether the aileron is on the left.
    pub fn aileron_is_left(self) -> bool {
        matches!(self, Self::Three | Self::Four)
    }

    /// What the gates ask for.
    pub fn sticks(self, gates: &Gates) -> Sticks {
        let (power, pitch) = match self.throttle_is_left() {
            true => (gates.left.along, gates.right.along),
            false => (gates.right.along, gates.left.along),
        };
        let (roll, yaw) = match self.aileron_is_left() {
            true => (gates.left.across, gates.right.across),
            false => (gates.right.across, gates.left.across),
        };
        Sticks {
            // Pulled, towards the pilot, is nose up.
            elevator: -pitch,
            aileron: roll,
            rudder: yaw,
            flap: 0.0,
            throttle: 0.5 * (power + 1.0),
        }
    }

    /// The gates that ask for these sticks.
    pub fn gates(self, sticks: &Sticks) -> Gates {
        let (power, pitch) = (2.0 * sticks.throttle - 1.0, -sticks.elevator);
        let (left_along, right_along) =
            if self.throttle_is_left() { (power, pitch) } else { (pitch, power) };
        let (left_across, right_across) = if self.aileron_is_left() {
            (sticks.aileron, sticks.rudder)
        } else {
            (sticks.rudder, sticks.aileron)
        };
        Gates {
            left: Gate { across: left_across, along: left_along },
            right: Gate { across: right_across, along: right_along },
        }
    }
}

/// Puts the rudder on the aileron stick too, as builders do on a model without
/// ailerons: the hand that banks every other model then turns this one.
pub fn turn_by_rudder(sticks: Sticks) -> Sticks {
    Sticks { rudder: (sticks.rudder + sticks.aileron).clamp(-1.0, 1.0), aileron: 0.0, ..sticks }
}

#[cfg(test)]
mod tests {
    use wasm_bindgen_test::wasm_bindgen_test;

    use super::*;

    #[wasm_bindgen_test(unsupported = test)]
    fn mode_two_has_throttle_and_rudder_left() {
        let left = Gate { across: 0.5, along: 1.0 };
        let right = Gate { across: -0.25, along: -1.0 };
        let sticks = Mode::Two.sticks(&Gates { left, right });
        assert_eq!((sticks.throttle, sticks.rudder), (1.0, 0.5));
        // Pulled towards the pilot is nose up.
        assert_eq!((sticks.elevator, sticks.aileron), (1.0, -0.25));
    }

    #[wasm_bindgen_test(unsupported = test)]
    fn every_mode_gives_back_the_gates_it_was_given() {
        let sticks =
            Sticks { elevator: 0.25, aileron: -0.5, rudder: 0.75, flap: 0.0, throttle: 0.625 };
        for mode in Mode::ALL {
            assert_eq!(mode.sticks(&mode.gates(&sticks)), sticks, "{mode:?}");
        }
    }

    #[wasm_bindgen_test(unsupported = test)]
    fn without_ailerons_the_aileron_stick_turns() {
        let asked = Sticks { aileron: 0.75, rudder: 0.5, ..Sticks::default() };
        let sticks = turn_by_rudder(asked);
        assert_eq!((sticks.rudder, sticks.aileron), (1.0, 0.0));
    }
}
