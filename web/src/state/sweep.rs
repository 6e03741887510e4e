//! One measurement moved over a range: what the throws and the motions come to
//! along it.
//!
//! Each value is a whole assessment of its own. They are errands for beside the
//! page (`late`), come back in any order, and end at a word.

use std::sync::Arc;

use leptos::prelude::*;
use serde::{Deserialize, Serialize};
use sim_core::aircraft::{Aircraft, ControlRole, SurfaceRole};
use sim_core::assess::{Assessment, move_balance_point, scale_area, scale_mass};
use sim_core::throws::sensitivity::Duty;

use super::compute::Outcome;
use super::late;
use super::measure::{ANGLE, LENGTH, MASS, Measure, PROPELLER, SHARE, SPEED};
use super::{Design, Sheet};
use crate::text::whatif::mode_mark;

/// What can be swept.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
pub enum Measurement {
    /// Dihedral of the wing's outermost panel.
    Dihedral,
    /// Balance point behind the wing root's leading edge.
    BalancePoint,
    /// Weight of the whole, everything in proportion.
    Weight,
    /// Chord of the rudder over the fin's.
    Rudder,
    /// Chord of the elevator over the tail's.
    Elevator,
    /// Chord of the aileron over the wing's.
    Aileron,
    /// Area of the fin over the present one.
    Fin,
    /// Area of the tailplane over the present one.
    Tailplane,
    /// Diameter of the propeller.
    Diameter,
    /// Pitch of the propeller.
    Pitch,
    /// Airspeed of ordinary flight.
    Airspeed,
}

/// All of them, in the order in which they are offered.
pub const MEASUREMENTS: [Measurement; 11] = [
    Measurement::Dihedral,
    Measurement::BalancePoint,
    Measurement::Weight,
    Measurement::Rudder,
    Measurement::Elevator,
    Measurement::Aileron,
    Measurement::Fin,
    Measurement::Tailplane,
    Measurement::Diameter,
    Measurement::Pitch,
    Measurement::Airspeed,
];

impl Measurement {
    /// Its unit.
    pub fn measure(self) -> Measure {
        match self {
            Self::Dihedral => ANGLE,
            Self::BalancePoint => LENGTH,
            Self::Weight => MASS,
            Self::Rudder | Self::Elevator | Self::Aileron | Self::Fin | Self::Tailplane => SHARE,
            Self::Diameter | Self::Pitch => PROPELLER,
            Self::Airspeed => SPEED,
        }
    }

    /// Its value in a design with its answer; nothing where there is none.
    pub fn read(self, aircraft: &Aircraft, assessment: &Assessment) -> Option<f64> {
        let has = |role| aircraft.surfaces.iter().any(|s| s.role == role).then_some(1.0);
        match self {
            Self::Dihedral => Some(wing(aircraft)?.panels.last()?.dihedral_deg),
            Self::BalancePoint => {
                Some(assessment.balance.balance_point_aft_m - wing(aircraft)?.root.aft_m)
            }
            Self::Weight => Some(assessment.mass.mass_kg),
            Self::Rudder | Self::Elevator | Self::Aileron => {
                let mut controls = aircraft.surfaces.iter().flat_map(|s| &s.controls);
                let found = controls.find(|c| self.roles().contains(&c.role))?;
                // An all-moving surface has no hinge to shift.
                (found.inner_chord < 1.0).then_some(found.inner_chord)
            }
            Self::Fin => has(SurfaceRole::Fin),
            Self::Tailplane => has(SurfaceRole::Tailplane),
            Self::Diameter => Some(aircraft.propulsion.first()?.propeller.diameter_m),
            Self::Pitch => Some(aircraft.propulsion.first()?.propeller.pitch_m),
            Self::Airspeed => Some(assessment.trim.airspeed_m_s),
        }
    }

    /// A range worth looking at around a present value.
    pub fn range(self, now: f64) -> (f64, f64) {
        match self {
            Self::Dihedral => (0.0, now.max(5.0) * 2.0),
            Self::BalancePoint => (now - 0.03, now + 0.03),
            Self::Weight => (0.8 * now, 1.5 * now),
            Self::Rudder | Self::Elevator | Self::Aileron => (0.6 * now, (1.6 * now).min(0.9)),
            Self::Fin | Self::Tailplane => (0.6, 1.6),
            Self::Diameter | Self::Pitch => (0.75 * now, 1.25 * now),
            Self::Airspeed => (0.75 * now, 1.75 * now),
        }
    }

    fn roles(self) -> &'static [ControlRole] {
        match self {
            Self::Rudder => &[ControlRole::Rudder, ControlRole::Ruddervator],
            Self::Elevator => &[ControlRole::Elevator, ControlRole::Elevon],
            Self::Aileron => &[ControlRole::Aileron, ControlRole::Flaperon],
            _ => &[],
        }
    }

    /// Sets the value in `design`, where it stands at `now`.
    fn write(self, design: &mut Design, now: f64, value: f64) {
        let aircraft = &mut design.aircraft;
        match self {
            Self::Dihedral => {
                let wing = aircraft.surfaces.iter_mut().find(|s| s.role == SurfaceRole::Wing);
                if let Some(panel) = wing.and_then(|wing| wing.panels.last_mut()) {
                    panel.dihedral_deg = value;
                }
            }
            Self::BalancePoint => {
                move_balance_point(aircraft, value - now);
            }
            Self::Weight => scale_mass(aircraft, value / now),
            Self::Rudder | Self::Elevator | Self::Aileron => {
                let roles = self.roles();
                for control in aircraft.surfaces.iter_mut().flat_map(|s| &mut s.controls) {
                    if roles.contains(&control.role) {
                        control.inner_chord *= value / now;
                        control.outer_chord *= value / now;
                    }
                }
            }
            Self::Fin => {
                scale_area(aircraft, SurfaceRole::Fin, value / now);
            }
            Self::Tailplane => {
                scale_area(aircraft, SurfaceRole::Tailplane, value / now);
            }
            Self::Diameter => {
                for unit in &mut aircraft.propulsion {
                    unit.propeller.diameter_m *= value / now;
                }
            }
            Self::Pitch => {
                for unit in &mut aircraft.propulsion {
                    unit.propeller.pitch_m *= value / now;
                }
            }
            Self::Airspeed => design.question.airspeed_m_s = Some(value),
        }
    }
}

fn wing(aircraft: &Aircraft) -> Option<&sim_core::aircraft::Surface> {
    aircraft.surfaces.iter().find(|s| s.role == SurfaceRole::Wing)
}

/// What comes of one value.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Point {
    /// The value, in the file's unit.
    pub value: f64,
    /// High and low rate of every channel, rad.
    pub throws: Vec<(Duty, f64, f64)>,
    /// Natural motions in words, with the real and the imaginary part of their
    /// eigenvalues, 1/s.
    pub motions: Vec<(String, f64, f64)>,
    /// Margin to the neutral point over the mean chord, the lesser of motor on
    /// and off.
    pub static_margin: f64,
    /// Slowest flight, m/s.
    pub stall_m_s: f64,
    /// Bank after one second per rudder, rad per rad, where the rudder banks.
    pub bank_per_rudder: Option<f64>,
}

/// One value to look at.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct Look {
    /// What is moved.
    pub what: Measurement,
    /// Where it stands in the design.
    pub now: f64,
    /// Where it is moved to.
    pub value: f64,
}

impl Look {
    /// What comes of it in a design; nothing where that has no answer.
    pub fn point(&self, mut design: Design) -> Option<Point> {
        self.what.write(&mut design, self.now, self.value);
        let found = Outcome::of(&design, None).assessment?;
        let balance = &found.balance;
        let modes = found.modes.longitudinal.iter().chain(&found.modes.lateral);
        Some(Point {
            value: self.value,
            throws: found
                .throws
                .iter()
                .map(|advice| (advice.duty, advice.high_rate_rad, advice.low_rate_rad))
                .collect(),
            motions: modes.map(|m| (mode_mark(m, false), m.real_1_s, m.imaginary_rad_s)).collect(),
            static_margin: balance.static_margin.min(balance.static_margin_power_off),
            stall_m_s: found.stall.airspeed_m_s,
            bank_per_rudder: found.rudder_bank.map(|bank| bank.step.bank_at_1_s_per_rad),
        })
    }
}

/// A sweep, finished or not.
#[derive(Debug, Clone, PartialEq)]
pub struct Sweep {
    /// What is moved.
    pub what: Measurement,
    /// Where it stands in the design.
    pub now: f64,
    /// First and last value.
    pub range: (f64, f64),
    /// The design that all else is taken from.
    pub base: Arc<Design>,
    /// What was found so far, along the range; values without an answer are
    /// left out.
    pub points: Vec<Point>,
    /// Values looked at.
    pub done: usize,
    /// Whether the builder stopped it.
    pub stopped: bool,
}

/// Values in a sweep.
pub const VALUES: usize = 13;

impl Sweep {
    /// Whether there is more to compute.
    pub fn is_running(&self) -> bool {
        self.done < VALUES && !self.stopped
    }

    /// All that it looks at.
    fn looks(&self) -> Vec<Look> {
        let value = |index: usize| {
            let share = index as f64 / (VALUES - 1) as f64;
            self.range.0 + (self.range.1 - self.range.0) * share
        };
        (0..VALUES).map(|i| Look { what: self.what, now: self.now, value: value(i) }).collect()
    }

    /// Takes what came of a value to its place along the range.
    pub fn take(&mut self, point: Option<Point>) {
        self.done += 1;
        if let Some(point) = point {
            let up = if self.range.1 < self.range.0 { -1.0 } else { 1.0 };
            let place = self.points.partition_point(|p| up * p.value < up * point.value);
            self.points.insert(place, point);
        }
    }
}

/// Begins a sweep of the present design, in place of any that runs.
pub fn begin(sheet: Sheet, what: Measurement, range: (f64, f64)) -> Option<()> {
    let outcome = sheet.outcome.get_untracked();
    let sound = outcome.sound.clone()?;
    let now = what.read(&sound, outcome.assessment.as_ref()?)?;
    let question = sheet.design.with_untracked(|design| design.question);
    let base = Arc::new(Design { aircraft: sound.into_inner(), question });
    let begun = Sweep { what, now, range, base, points: Vec::new(), done: 0, stopped: false };
    late::begin_sweep(sheet, &begun.base, begun.looks());
    sheet.late.sweep.set(Some(begun));
    Some(())
}

/// Stops the sweep; what was found stays.
pub fn stop(sheet: Sheet) {
    late::stop_sweep();
    sheet.late.sweep.update(|sweep| {
        if let Some(sweep) = sweep {
            sweep.stopped = true;
        }
    });
}

#[cfg(test)]
mod tests {
    use wasm_bindgen_test::wasm_bindgen_test;

    use super::*;
    use crate::state::examples;

    fn sweep_of(what: Measurement) -> Option<Sweep> {
        let design = Design::from(examples::all().remove(0));
        let outcome = Outcome::of(&design, None);
        let now = what.read(&design.aircraft, outcome.assessment.as_ref().unwrap())?;
        let range = what.range(now);
        let base = Arc::new(design);
        Some(Sweep { what, now, range, base, points: Vec::new(), done: 0, stopped: false })
    }

    /// The value that is written is the one that is read back.
    #[wasm_bindgen_test(unsupported = test)]
    fn what_is_swept_takes_the_value() {
        for what in MEASUREMENTS {
            let Some(sweep) = sweep_of(what) else { continue };
            let mut design = (*sweep.base).clone();
            let value = 0.5 * (sweep.now + sweep.range.1);
            what.write(&mut design, sweep.now, value);
            let found = Outcome::of(&design, None).assessment.unwrap();
            let read = what.read(&design.aircraft, &found).unwrap();
            // Areas count from the present one.
            let expected = if sweep.now == 1.0 { 1.0 } else { value };
            assert!((read - expected).abs() < 1e-9, "{what:?}: {read} for {value}");
        }
    }

    /// More dihedral, more bank by the same rudder: the reason for dihedral. The
    /// points come back in any order.
    #[wasm_bindgen_test(unsupported = test)]
    fn dihedral_brings_bank_by_rudder() {
        let mut sweep = sweep_of(Measurement::Dihedral).unwrap();
        for look in sweep.looks().into_iter().rev() {
            let point = look.point((*sweep.base).clone());
            sweep.take(point);
        }
        assert!(!sweep.is_running());
        assert_eq!(sweep.points.len(), VALUES);
        let bank: Vec<f64> = sweep.points.iter().filter_map(|p| p.bank_per_rudder).collect();
        assert_eq!(bank.len(), VALUES, "the first example turns by its rudder");
        assert!(bank.windows(2).all(|pair| pair[1] > pair[0]), "{bank:?}");
    }
}
