//! The sound of the propeller: its blades through the air and the motor's
//! whine, each an oscillator. Off until asked for; browsers allow sound only
//! after a press.

use web_sys::{AudioContext, GainNode, OscillatorNode, OscillatorType};

/// A running sound.
pub struct Sound {
    context: AudioContext,
    blades: OscillatorNode,
    whine: OscillatorNode,
    loudness: GainNode,
    blade_count: f32,
}

/// Loudness close by at full speed: far from painful.
const LOUDNESS: f32 = 0.11;
/// Speed at which it is full, turns a minute.
const FULL_RPM: f32 = 11_000.0;
/// Distance at which half is left, m.
const HALF_AT_M: f32 = 25.0;
/// The ear hears changes slower than this as smooth, s.
const GLIDE_S: f64 = 0.04;
/// The whine of the motor over the blades: its poles pass more often.
const WHINE: f32 = 3.5;

impl Sound {
    /// Starts, silent; `None` where the browser has no sound.
    pub fn start(blade_count: u8) -> Option<Self> {
        let context = AudioContext::new().ok()?;
        let loudness = context.create_gain().ok()?;
        loudness.gain().set_value(0.0);
        loudness.connect_with_audio_node(&context.destination()).ok()?;
        let voice = |kind: OscillatorType, share: f32| {
            let oscillator = context.create_oscillator().ok()?;
            oscillator.set_type(kind);
            let gain = context.create_gain().ok()?;
            gain.gain().set_value(share);
            oscillator.connect_with_audio_node(&gain).ok()?;
            gain.connect_with_audio_node(&loudness).ok()?;
            oscillator.start().ok()?;
            Some(oscillator)
        };
        let blades = voice(OscillatorType::Triangle, 1.0)?;
        let whine = voice(OscillatorType::Sine, 0.18)?;
        Some(Self { blades, whine, loudness, blade_count: f32::from(blade_count), context })
    }

    /// Follows the propeller at a distance.
    pub fn follow(&self, rpm: f32, distance_m: f32) {
        let rpm = if rpm.is_finite() { rpm.abs() } else { 0.0 };
        let passing_hz = (rpm / 60.0 * self.blade_count).clamp(1.0, 4000.0);
        let share = (rpm / FULL_RPM).min(1.5).powi(2);
        let loud = LOUDNESS * share / (1.0 + distance_m.max(0.0) / HALF_AT_M);
        let now = self.context.current_time();
        // A refused change leaves the sound as it is for a frame.
        let _ = self.blades.frequency().set_target_at_time(passing_hz, now, GLIDE_S);
        let _ = self.whine.frequency().set_target_at_time(passing_hz * WHINE, now, GLIDE_S);
        let _ = self.loudness.gain().set_target_at_time(loud, now, GLIDE_S);
    }

    /// Falls silent, as for a pause.
    pub fn hush(&self) {
        let now = self.context.current_time();
        let _ = self.loudness.gain().set_target_at_time(0.0, now, GLIDE_S);
    }
}

impl Drop for Sound {
    fn drop(&mut self) {
        // The browser ends it in its own time.
        let _ = self.context.close();
    }
}
