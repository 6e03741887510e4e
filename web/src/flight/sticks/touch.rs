//! Two thumbs on the glass: each half of the screen's foot holds a gate.

use super::{Gate, Mode};

/// A gate under a thumb.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Thumb {
    finger: Option<i32>,
    /// Where the finger came down, and the gate then.
    from: ((f64, f64), Gate),
    /// Where the stick stands.
    pub gate: Gate,
}

/// Which of the two.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Side {
    /// Left.
    Left,
    /// Right.
    Right,
}

/// Whether a gate's way along holds where it is left, as a throttle does.
pub fn holds_along(side: Side, mode: Mode) -> bool {
    (side == Side::Left) == mode.throttle_is_left()
}

impl Thumb {
    /// A finger comes down; the stick moves by how far it goes from there, so
    /// that no thumb has to find a centre it cannot feel.
    pub fn press(&mut self, finger: i32, at: (f64, f64)) {
        if self.finger.is_none() {
            self.finger = Some(finger);
            self.from = (at, self.gate);
        }
    }

    /// The finger moves; `travel` is the way from middle to end, px.
    pub fn drag(&mut self, finger: i32, at: (f64, f64), travel: f64) -> bool {
        if self.finger != Some(finger) || travel.is_nan() || travel <= 0.0 {
            return false;
        }
        let ((x, y), gate) = self.from;
        self.gate = Gate {
            across: (gate.across + (at.0 - x) / travel).clamp(-1.0, 1.0),
            along: (gate.along - (at.1 - y) / travel).clamp(-1.0, 1.0),
        };
        true
    }

    /// The finger leaves: the stick springs back, a throttle stays.
    pub fn lift(&mut self, finger: i32, holds_along: bool) {
        if self.finger == Some(finger) {
            self.finger = None;
            self.gate.across = 0.0;
            if !holds_along {
                self.gate.along = 0.0;
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use wasm_bindgen_test::wasm_bindgen_test;

    use super::*;

    #[wasm_bindgen_test(unsupported = test)]
    fn a_throttle_stays_and_the_other_way_springs_back() {
        let mut thumb = Thumb::default();
        thumb.press(7, (50.0, 60.0));
        assert!(thumb.drag(7, (90.0, 20.0), 80.0));
        assert_eq!(thumb.gate, Gate { across: 0.5, along: 0.5 });
        // A second finger on the same gate is not heard.
        assert!(!thumb.drag(8, (0.0, 0.0), 80.0));
        thumb.lift(7, true);
        assert_eq!(thumb.gate, Gate { across: 0.0, along: 0.5 });
        thumb.press(9, (10.0, 10.0));
        thumb.drag(9, (10.0, 900.0), 80.0);
        assert_eq!(thumb.gate.along, -1.0);
    }

    #[wasm_bindgen_test(unsupported = test)]
    fn the_throttle_is_where_the_mode_has_it() {
        assert!(holds_along(Side::Left, Mode::Two) && !holds_along(Side::Right, Mode::Two));
        assert!(holds_along(Side::Right, Mode::One) && holds_along(Side::Left, Mode::Four));
    }
}
