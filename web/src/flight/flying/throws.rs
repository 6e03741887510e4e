//! The throws that the radio has: as advised, as set now, or all there is.

use leptos::prelude::GetUntracked;
use sim_core::aircraft::{ControlRole, ControlSurface, SoundAircraft};
use sim_core::flight::{Radio, Rate, RateSetting};

use super::Flying;
use crate::flight::board::Throws;

impl Flying {
    /// Sets the radio's throws as chosen, also in flight.
    pub fn set_throws(&mut self) {
        // Of a pair each has the throws that are compared.
        if self.pair.is_some() {
            return;
        }
        let advised = Radio::advised(&self.assessment.throws, &self.assessment.trim);
        let radio = match self.board.throws.get_untracked() {
            Throws::Low => advised.on(Rate::Low),
            Throws::High => advised.on(Rate::High),
            Throws::Present => self.with_throws(advised, |control| {
                control.setting.map_or(at_hinge(control), |setting| RateSetting {
                    throw_rad: setting.high_rate_deg.to_radians(),
                    expo: setting.expo,
                })
            }),
            Throws::All => self.with_throws(advised, at_hinge),
        };
        self.session.set_radio(radio);
    }

    /// The radio with the widest of the settings that `set` gives the controls
    /// of each stick.
    fn with_throws(&self, mut radio: Radio, set: fn(&ControlSurface) -> RateSetting) -> Radio {
        use ControlRole::{Aileron, Elevator, Elevon, Flaperon, Rudder, Ruddervator};
        let widest = |roles: &[ControlRole]| {
            let controls = self.aircraft.surfaces.iter().flat_map(|surface| &surface.controls);
            let settings = controls.filter(|control| roles.contains(&control.role)).map(set);
            settings
                .fold(RateSetting::default(), |a, b| if b.throw_rad > a.throw_rad { b } else { a })
        };
        radio.elevator.high = widest(&[Elevator, Elevon, Ruddervator]);
        radio.aileron.high = widest(&[Aileron, Elevon, Flaperon]);
        radio.rudder.high = widest(&[Rudder, Ruddervator]);
        radio.on(Rate::High)
    }

    /// Whether the sheet says what is set in the radio now.
    pub fn is_set(aircraft: &SoundAircraft) -> bool {
        let mut controls = aircraft.surfaces.iter().flat_map(|surface| &surface.controls);
        controls.any(|control| control.setting.is_some())
    }
}

/// All that the hinge gives.
fn at_hinge(control: &ControlSurface) -> RateSetting {
    RateSetting { throw_rad: control.throw_max_deg.to_radians(), expo: 0.0 }
}
