//! From the sticks to the surfaces as the card says: rates, expo, trims.
//!
//! Every channel has a high and a low rate, each with its throw and expo, and
//! a trim that shifts the neutral place. The rate can be switched in flight, and
//! the whole radio can be exchanged, to feel the difference.

use serde::{Deserialize, Serialize};

use crate::analysis::Trim;
use crate::dynamics::{Controls, StickCurve};
use crate::throws::advice::ThrowAdvice;
use crate::throws::sensitivity::Duty;

/// The sticks, each positive where it asks for a positive moment: nose up,
/// right wing down, nose right.
#[derive(Debug, Clone, Copy, PartialEq, Default, Serialize, Deserialize)]
pub struct Sticks {
    /// Pitch, -1 to 1; pulled is positive.
    pub elevator: f64,
    /// Roll, -1 to 1; to the right is positive.
    pub aileron: f64,
    /// Yaw, -1 to 1; to the right is positive.
    pub rudder: f64,
    /// Flap, 0 to 1.
    pub flap: f64,
    /// Throttle, 0 to 1.
    pub throttle: f64,
}

impl Sticks {
    /// The sticks within their gates; what is no number counts as centred.
    pub fn within_gates(self) -> Self {
        let held = |value: f64, low: f64| if value.is_nan() { 0.0 } else { value.clamp(low, 1.0) };
        Self {
            elevator: held(self.elevator, -1.0),
            aileron: held(self.aileron, -1.0),
            rudder: held(self.rudder, -1.0),
            flap: held(self.flap, 0.0),
            throttle: held(self.throttle, 0.0),
        }
    }
}

/// Which rate a channel is switched to.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Rate {
    /// For landing and for getting out of trouble.
    High,
    /// For ordinary and fast flight.
    #[default]
    Low,
}

/// Throw and expo of one rate.
#[derive(Debug, Clone, Copy, PartialEq, Default, Serialize, Deserialize)]
pub struct RateSetting {
    /// Deflection at full stick from the trimmed place, rad, not negative.
    pub throw_rad: f64,
    /// Expo, -0.5 to 1; positive softens the centre.
    pub expo: f64,
}

/// One channel of the radio.
#[derive(Debug, Clone, Copy, PartialEq, Default, Serialize, Deserialize)]
pub struct ChannelSetup {
    /// Setting of the high rate.
    pub high: RateSetting,
    /// Setting of the low rate.
    pub low: RateSetting,
    /// The rate in use.
    pub rate: Rate,
    /// Deflection with the stick centred, rad, in the surface's own sign.
    pub trim_rad: f64,
}

impl ChannelSetup {
    /// The setting in use.
    pub fn in_use(&self) -> RateSetting {
        match self.rate {
            Rate::High => self.high,
            Rate::Low => self.low,
        }
    }

    /// Deflection that a stick from -1 to 1 asks for, rad; finite for any
    /// setting.
    pub fn deflection_rad(&self, stick: f64) -> f64 {
        let RateSetting { throw_rad, expo } = self.in_use();
        let sane = |value: f64, low: f64, high: f64| {
            if value.is_nan() { 0.0 } else { value.clamp(low, high) }
        };
        let curve = StickCurve {
            throw_rad: sane(throw_rad, 0.0, DEFLECTION_MAX_RAD),
            rate: 1.0,
            expo: sane(expo, -0.5, 1.0),
        };
        sane(self.trim_rad, -DEFLECTION_MAX_RAD, DEFLECTION_MAX_RAD) + curve.deflection_rad(stick)
    }

    /// The stick that asks for a deflection, -1 to 1: the inverse of
    /// [`ChannelSetup::deflection_rad`] by bisection, to 1e-6. 0 without throw.
    pub fn stick_for(&self, deflection_rad: f64) -> f64 {
        if self.in_use().throw_rad <= 0.0 || !deflection_rad.is_finite() {
            return 0.0;
        }
        let (mut low, mut high) = (-1.0, 1.0);
        for _ in 0..STICK_HALVINGS {
            let middle = 0.5 * (low + high);
            // More stick is less deflection.
            if self.deflection_rad(middle) > deflection_rad { low = middle } else { high = middle }
        }
        0.5 * (low + high)
    }
}

/// No hinge turns further than this, rad; see the aircraft's limits.
const DEFLECTION_MAX_RAD: f64 = 1.1;
/// Halvings of the stick's range of 2: down to 1e-6.
const STICK_HALVINGS: usize = 21;

/// A whole radio.
#[derive(Debug, Clone, Copy, PartialEq, Default, Serialize, Deserialize)]
pub struct Radio {
    /// Elevator.
    pub elevator: ChannelSetup,
    /// Aileron; without throw where there is none.
    pub aileron: ChannelSetup,
    /// Rudder; without throw where there is none.
    pub rudder: ChannelSetup,
    /// Flap at full flap stick, rad.
    pub flap_rad: f64,
}

impl Radio {
    /// The radio as the card sets it: advised throws, trims for ordinary
    /// flight.
    pub fn advised(throws: &[ThrowAdvice], trim: &Trim) -> Self {
        let channel = |duties: [Duty; 2], trim_rad: f64| {
            let advice = throws.iter().find(|advice| duties.contains(&advice.duty));
            advice.map_or(ChannelSetup::default(), |advice| ChannelSetup {
                high: RateSetting { throw_rad: advice.high_rate_rad, expo: advice.expo },
                low: RateSetting { throw_rad: advice.low_rate_rad, expo: advice.low_expo },
                rate: Rate::Low,
                trim_rad,
            })
        };
        let at = &trim.controls;
        Self {
            elevator: channel([Duty::Pitch, Duty::Pitch], at.elevator_rad),
            aileron: channel([Duty::Roll, Duty::Roll], at.aileron_rad),
            rudder: channel([Duty::Yaw, Duty::BankByRudder], at.rudder_rad),
            flap_rad: 0.0,
        }
    }

    /// The same radio with all channels on one rate.
    pub fn on(mut self, rate: Rate) -> Self {
        for channel in [&mut self.elevator, &mut self.aileron, &mut self.rudder] {
            channel.rate = rate;
        }
        self
    }

    /// The same radio with all throws times a factor: what is too much, or too
    /// little, feels like.
    pub fn with_throws_times(mut self, factor: f64) -> Self {
        for channel in [&mut self.elevator, &mut self.aileron, &mut self.rudder] {
            channel.high.throw_rad *= factor;
            channel.low.throw_rad *= factor;
        }
        self
    }

    /// What the receiver is told, before servos and hinges have their say.
    pub fn commands(&self, sticks: &Sticks) -> Controls {
        let sticks = sticks.within_gates();
        Controls {
            elevator_rad: self.elevator.deflection_rad(sticks.elevator),
            aileron_rad: self.aileron.deflection_rad(sticks.aileron),
            rudder_rad: self.rudder.deflection_rad(sticks.rudder),
            flap_rad: if self.flap_rad.is_finite() { self.flap_rad * sticks.flap } else { 0.0 },
            throttle: sticks.throttle,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn channel() -> ChannelSetup {
        ChannelSetup {
            high: RateSetting { throw_rad: 0.4, expo: 0.3 },
            low: RateSetting { throw_rad: 0.25, expo: 0.0 },
            rate: Rate::High,
            trim_rad: -0.03,
        }
    }

    #[test]
    fn trim_shifts_the_centre_and_the_rate_sets_the_end() {
        let mut own = channel();
        assert!((own.deflection_rad(0.0) + 0.03).abs() < 1e-15);
        assert!((own.deflection_rad(1.0) + 0.43).abs() < 1e-15);
        own.rate = Rate::Low;
        assert!((own.deflection_rad(-1.0) - 0.22).abs() < 1e-15);
    }

    #[test]
    fn the_stick_for_a_deflection_gives_it() {
        for stick in [-0.9, -0.2, 0.0, 0.5, 0.999] {
            let own = channel();
            assert!((own.stick_for(own.deflection_rad(stick)) - stick).abs() < 2e-6);
        }
    }

    #[test]
    fn wild_sticks_and_settings_stay_finite() {
        let wild = RateSetting { throw_rad: f64::NAN, expo: f64::INFINITY };
        let broken =
            ChannelSetup { high: wild, low: wild, rate: Rate::Low, trim_rad: f64::NEG_INFINITY };
        let radio = Radio { elevator: broken, aileron: broken, rudder: broken, flap_rad: f64::NAN };
        let sticks = Sticks { elevator: f64::NAN, aileron: 9.0, ..Sticks::default() };
        assert!(radio.commands(&sticks).is_finite());
    }
}
