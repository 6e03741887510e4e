//! The hands on the sticks: keys, transmitter, thumbs; who moved last flies.

use serde::{Deserialize, Serialize};
use sim_core::flight::Sticks;
use wasm_bindgen::JsCast;

use super::sticks::keys::Keys;
use super::sticks::pad::{Calibration, ORDERS, Order, PadSetup};
use super::sticks::touch::{Side, Thumb, holds_along};
use super::sticks::{Gates, Mode, turn_by_rudder};

/// Who flies.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Source {
    /// The keyboard.
    #[default]
    Keys,
    /// A transmitter or game pad.
    Pad,
    /// Thumbs on the glass.
    Touch,
}

/// What the pilot has chosen once and for all.
#[derive(Debug, Clone, Copy, PartialEq, Default, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct Habits {
    /// Which stick does what.
    pub mode: Mode,
    /// Whether the rudder stays on its own stick on a model without ailerons.
    pub rudder_apart: bool,
}

/// A transmitter that the browser sees.
#[derive(Debug, Clone, PartialEq)]
pub struct PadSeen {
    /// What it calls itself.
    pub name: String,
    /// Its axes as they stand.
    pub readings: Vec<f64>,
    /// Whether its order is the browser's standard one.
    pub standard: bool,
    /// Buttons that are down, a bit each.
    pub buttons: u32,
}

/// The hands.
#[derive(Debug, Clone, Default)]
pub struct Hands {
    /// Keyboard.
    pub keys: Keys,
    /// Habits.
    pub habits: Habits,
    /// Who flies now.
    pub source: Source,
    /// The transmitter as set up, with its name.
    pub pad: Option<(String, PadSetup)>,
    /// A calibration that is under way.
    pub calibration: Option<Calibration>,
    seen: Option<PadSeen>,
    thumbs: [Thumb; 2],
    pad_before: Vec<f64>,
    throttle: f64,
}

/// A pad that moved by more than this flies.
const MOVED: f64 = 0.12;

impl Hands {
    /// Hands with the habits kept on this device.
    pub fn from_device() -> Self {
        let habits = super::keep::read("habits").and_then(|text| serde_json::from_str(&text).ok());
        let mut hands = Self { habits: habits.unwrap_or_default(), ..Self::default() };
        hands.rest(0.0);
        hands
    }

    /// Lets go of everything, the throttle at a place.
    pub fn rest(&mut self, throttle: f64) {
        self.throttle = throttle;
        self.keys.lift_all();
        self.keys.set_throttle(throttle);
        let gates = self.habits.mode.gates(&Sticks { throttle, ..Sticks::default() });
        self.thumbs = [Thumb::default(); 2];
        (self.thumbs[0].gate, self.thumbs[1].gate) = (gates.left, gates.right);
    }

    /// A key goes down; says whether it moves a stick.
    pub fn press(&mut self, code: &str) -> bool {
        let moves = self.keys.press(code);
        if moves && self.source != Source::Keys {
            self.source = Source::Keys;
            self.keys.set_throttle(self.throttle);
        }
        moves
    }

    /// A thumb goes down.
    pub fn thumb_down(&mut self, side: Side, finger: i32, at: (f64, f64)) {
        if self.source != Source::Touch {
            self.source = Source::Touch;
            self.rest(self.throttle);
        }
        self.thumbs[side as usize].press(finger, at);
    }

    /// A thumb moves.
    pub fn thumb_move(&mut self, side: Side, finger: i32, at: (f64, f64), travel_px: f64) {
        self.thumbs[side as usize].drag(finger, at, travel_px);
    }

    /// A thumb leaves.
    pub fn thumb_up(&mut self, side: Side, finger: i32) {
        let holds = holds_along(side, self.habits.mode);
        self.thumbs[side as usize].lift(finger, holds);
    }

    /// The sticks after a time.
    pub fn advance(&mut self, step_s: f64, has_ailerons: bool) -> Sticks {
        let from_keys = self.keys.advance(step_s);
        let sticks = match (self.source, &self.seen, &self.pad) {
            (Source::Pad, Some(seen), Some((_, setup))) if seen.standard => Sticks {
                throttle: setup.throttle_held(&seen.readings, self.throttle, step_s),
                ..setup.sticks(&seen.readings)
            },
            (Source::Pad, Some(seen), Some((_, setup))) => setup.sticks(&seen.readings),
            (Source::Touch, ..) => {
                let [left, right] = self.thumbs.map(|thumb| thumb.gate);
                self.habits.mode.sticks(&Gates { left, right })
            }
            _ => from_keys,
        };
        self.throttle = sticks.throttle;
        if has_ailerons || self.habits.rudder_apart { sticks } else { turn_by_rudder(sticks) }
    }

    /// Looks where a transmitter's sticks are, once a frame, and gives what the
    /// buttons ask for that have gone down since. Only a game pad's are known.
    pub fn look_at_pad(&mut self) -> impl Iterator<Item = Order> + use<> {
        let seen = pad_seen();
        let buttons = |pad: &Option<PadSeen>| {
            pad.as_ref().filter(|pad| pad.standard).map_or(0, |pad| pad.buttons)
        };
        let pressed = buttons(&seen) & !buttons(&self.seen);
        if let Some(seen) = &seen {
            self.meet_pad(seen);
        }
        self.seen = seen;
        ORDERS.into_iter().filter(move |(bit, _)| pressed >> bit & 1 == 1).map(|(_, order)| order)
    }

    fn meet_pad(&mut self, seen: &PadSeen) {
        if self.pad.as_ref().is_none_or(|(name, _)| *name != seen.name) {
            let kept =
                super::keep::read(&pad_key(&seen.name)).and_then(|text| PadSetup::read(&text));
            let usual = if seen.standard {
                PadSetup::of_game_pad(self.habits.mode)
            } else {
                PadSetup::of_transmitter()
            };
            self.pad = Some((seen.name.clone(), kept.unwrap_or(usual)));
            self.pad_before = seen.readings.clone();
        }
        if let Some(calibration) = &mut self.calibration {
            calibration.see(&seen.readings);
        }
        let pairs = self.pad_before.iter().zip(&seen.readings);
        if pairs.fold(0.0_f64, |most, (a, b)| most.max((a - b).abs())) > MOVED {
            self.source = Source::Pad;
            self.pad_before = seen.readings.clone();
        }
    }

    /// Keeps the habits on this device.
    pub fn keep_habits(&self) {
        if let Ok(text) = serde_json::to_string_pretty(&self.habits) {
            super::keep::write("habits", &text);
        }
    }

    /// Keeps the transmitter's setting on this device.
    pub fn keep_pad(&self) {
        if let Some((name, setup)) = &self.pad {
            super::keep::write(&pad_key(name), &setup.write());
        }
    }
}

fn pad_key(name: &str) -> String {
    format!("pad {name}")
}

/// The first transmitter or pad that is switched on.
pub fn pad_seen() -> Option<PadSeen> {
    let pads = web_sys::window()?.navigator().get_gamepads().ok()?;
    let pad = pads.iter().find_map(|pad| pad.dyn_into::<web_sys::Gamepad>().ok())?;
    let readings = pad.axes().iter().map(|axis| axis.as_f64().unwrap_or(0.0)).collect();
    let standard = pad.mapping() == web_sys::GamepadMappingType::Standard;
    let pressed = pad.buttons().into_iter().take(u32::BITS as usize).enumerate();
    let buttons = pressed.fold(0, |bits, (i, button)| {
        bits | u32::from(button.unchecked_into::<web_sys::GamepadButton>().pressed()) << i
    });
    Some(PadSeen { name: pad.id(), readings, standard, buttons })
}
