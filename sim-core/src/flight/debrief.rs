//! What a flight says about the pilot's hands and so about the rates.
//!
//! # Method
//! From the record of the time in the air, per channel: how far the stick went
//! (its 95th percentile counts as used, so that one fright does not), how long
//! it stood at its stops, and how often it was over-controlled. A reversal is a
//! change of direction of the stick by more than [`REVERSAL`]; an over-control
//! is a run of three reversals or more, each within [`REVERSAL_WITHIN_S`] of the
//! last: the stick goes to and fro about as fast as a hand can follow an eye (0.8
//! Hz and more), which is what a pilot-induced oscillation looks like (after
//! the description in MIL-HDBK-1797, from memory; the numbers are estimates).
//! The verdict follows from both, see [`verdict`].

// What is `#[inline]` here is compiled into who calls it, where the page asks for
// small code and not for speed.

use serde::Serialize;

use super::record::{Record, SAMPLE_RATE_HZ, Sample};
use crate::math::sort_numbers;

/// Change of stick that counts as a reversal.
pub const REVERSAL: f64 = 0.15;
/// Longest time between two reversals of one over-control, s.
pub const REVERSAL_WITHIN_S: f64 = 0.6;
/// Reversals that make an over-control.
pub const REVERSALS_MIN: usize = 3;
/// Stick beyond which it stands at its stop.
const AT_STOP: f64 = 0.98;
/// Stick used below which there is throw to spare, and share of time at a stop
/// above which there is too little (estimates).
const LITTLE_USED: f64 = 0.35;
const STOP_SHARE: f64 = 0.05;
/// Over-controls a minute from which a channel is too sharp (estimate, 1 to 3).
const OVER_CONTROLS_1_MIN: f64 = 1.5;
/// A flight shorter than this says nothing, s.
const FLIGHT_MIN_S: f64 = 20.0;
/// Share of the low rate of a channel that is too sharp that is proposed.
const SOFTER: f64 = 0.8;
/// Factor for a channel that often stands at its stops.
const MORE: f64 = 1.2;

/// A stick of the record.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum StickAxis {
    /// Pitch.
    Elevator,
    /// Roll.
    Aileron,
    /// Yaw.
    Rudder,
}

impl StickAxis {
    /// All of them.
    pub const ALL: [Self; 3] = [Self::Elevator, Self::Aileron, Self::Rudder];

    fn of(self, sample: &Sample) -> f64 {
        f64::from(match self {
            Self::Elevator => sample.stick_elevator,
            Self::Aileron => sample.stick_aileron,
            Self::Rudder => sample.stick_rudder,
        })
    }
}

/// What the use of a stick says about its rate.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Verdict {
    /// The flight was too short, or the stick was hardly moved.
    NothingToSay,
    /// Neither too sharp nor too weak.
    Suits,
    /// Over-controlled with little of the throw: fly it with less, by this
    /// factor, or more expo.
    TooSharp {
        /// Factor on the throw in use.
        throw_factor: f64,
    },
    /// Often at the stops: it needs more, by this factor.
    TooWeak {
        /// Factor on the throw in use.
        throw_factor: f64,
    },
    /// Over-controlled right to the stops: not the throw but the hand, or the
    /// balance point.
    HandRunsAway,
}

/// The use of one stick.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct StickUse {
    /// Which stick.
    pub axis: StickAxis,
    /// Share of the stick's way that was used, 0 to 1: 95th percentile of its
    /// size.
    pub used: f64,
    /// Mean size of the stick, 0 to 1.
    pub mean: f64,
    /// Share of the time at a stop, 0 to 1.
    pub at_stop: f64,
    /// Number of reversals.
    pub reversals: usize,
    /// Number of over-controls.
    pub over_controls: usize,
    /// What that says about the rate.
    pub verdict: Verdict,
}

/// A flight in numbers.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Debrief {
    /// Time in the air, s.
    pub flight_s: f64,
    /// The sticks.
    pub sticks: Vec<StickUse>,
    /// Greatest load factor, weights.
    pub load_factor_max: f64,
    /// Least load factor, weights.
    pub load_factor_min: f64,
    /// Greatest bank either way, rad.
    pub bank_max_rad: f64,
    /// Greatest roll rate either way, rad/s.
    pub roll_rate_max_rad_s: f64,
    /// Greatest pitch rate either way, rad/s.
    pub pitch_rate_max_rad_s: f64,
    /// Least and greatest airspeed in the air, m/s.
    pub airspeed_range_m_s: (f64, f64),
    /// Greatest height, m.
    pub height_max_m: f64,
    /// Share of the time with more than three tenths of the wing
    /// stalled.
    pub stalled_share: f64,
}

/// Looks at a record; `None` where there is no sample in the air.
#[inline]
pub fn debrief(record: &Record) -> Option<Debrief> {
    let air: Vec<&Sample> = record.samples().filter(|sample| sample.on_ground == 0.0).collect();
    let first = air.first()?;
    let flight_s = air.len() as f64 / SAMPLE_RATE_HZ;
    let extreme = |value: fn(&Sample) -> f32| {
        air.iter()
            .map(|sample| f64::from(value(sample)))
            .fold((f64::from(value(first)), f64::from(value(first))), |(low, high), value| {
                (low.min(value), high.max(value))
            })
    };
    let size = |value: fn(&Sample) -> f32| {
        let (low, high) = extreme(value);
        high.max(-low)
    };
    let (load_factor_min, load_factor_max) = extreme(|sample| sample.load_factor);
    let stalled = air.iter().filter(|sample| sample.stall_share > 0.3).count();
    Some(Debrief {
        flight_s,
        sticks: StickAxis::ALL.map(|axis| stick_use(axis, &air, flight_s)).to_vec(),
        load_factor_max,
        load_factor_min,
        bank_max_rad: size(|sample| sample.bank_rad),
        roll_rate_max_rad_s: size(|sample| sample.roll_rate_rad_s),
        pitch_rate_max_rad_s: size(|sample| sample.pitch_rate_rad_s),
        airspeed_range_m_s: extreme(|sample| sample.airspeed_m_s),
        height_max_m: extreme(|sample| sample.height_m).1,
        stalled_share: stalled as f64 / air.len() as f64,
    })
}

#[inline]
fn stick_use(axis: StickAxis, air: &[&Sample], flight_s: f64) -> StickUse {
    let mut sizes: Vec<f64> = air.iter().map(|sample| axis.of(sample).abs()).collect();
    sort_numbers(&mut sizes);
    let count = sizes.len();
    let used = sizes[((0.95 * count as f64) as usize).min(count - 1)];
    let at_stop = sizes.iter().filter(|size| **size > AT_STOP).count() as f64 / count as f64;
    let times: Vec<(f64, f64)> =
        air.iter().map(|sample| (f64::from(sample.time_s), axis.of(sample))).collect();
    let reversals = reversal_times(&times);
    let over_controls = over_controls(&reversals);
    StickUse {
        axis,
        used,
        mean: sizes.iter().sum::<f64>() / count as f64,
        at_stop,
        reversals: reversals.len(),
        over_controls,
        verdict: verdict(used, at_stop, over_controls, flight_s),
    }
}

/// Times of the stick's turning points that are more than [`REVERSAL`] apart.
#[inline]
fn reversal_times(course: &[(f64, f64)]) -> Vec<f64> {
    let mut times = Vec::new();
    let Some(&(_, start)) = course.first() else { return times };
    let (mut extreme, mut direction) = ((0.0, start), 0.0);
    for &(time, value) in course {
        if direction == 0.0 {
            if (value - start).abs() > REVERSAL {
                direction = (value - start).signum();
                extreme = (time, value);
            }
        } else if (value - extreme.1) * direction >= 0.0 {
            extreme = (time, value);
        } else if (value - extreme.1) * direction < -REVERSAL {
            times.push(extreme.0);
            direction = -direction;
            extreme = (time, value);
        }
    }
    times
}

#[inline]
fn over_controls(reversals: &[f64]) -> usize {
    let (mut run, mut count) = (1, 0);
    for pair in reversals.windows(2) {
        run = if pair[1] - pair[0] <= REVERSAL_WITHIN_S { run + 1 } else { 1 };
        if run == REVERSALS_MIN {
            count += 1;
        }
    }
    count
}

/// What the use of a stick says: at its stops often, too weak; to and fro with
/// less than most of the throw, too sharp; both, the hand runs away.
#[inline]
pub fn verdict(used: f64, at_stop: f64, over_controls: usize, flight_s: f64) -> Verdict {
    if flight_s < FLIGHT_MIN_S || used < REVERSAL {
        return Verdict::NothingToSay;
    }
    let often = over_controls as f64 * 60.0 / flight_s > OVER_CONTROLS_1_MIN;
    let stopped = at_stop > STOP_SHARE;
    match (often, stopped) {
        (true, true) => Verdict::HandRunsAway,
        (true, false) if used < LITTLE_USED => Verdict::TooSharp { throw_factor: SOFTER * SOFTER },
        (true, false) => Verdict::TooSharp { throw_factor: SOFTER },
        (false, true) => Verdict::TooWeak { throw_factor: MORE },
        (false, false) => Verdict::Suits,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn flight(stick: impl Fn(f64) -> f64) -> Debrief {
        let mut record = Record::default();
        for step in 0..1500u16 {
            let time = f64::from(step) / SAMPLE_RATE_HZ;
            record.push(Sample {
                time_s: time as f32,
                stick_elevator: stick(time) as f32,
                load_factor: 1.0,
                ..Sample::default()
            });
        }
        debrief(&record).unwrap()
    }

    #[test]
    fn a_calm_hand_suits_and_a_nervous_one_is_counted() {
        let calm = flight(|t| 0.4 * (0.5 * t).sin());
        assert_eq!((calm.sticks[0].over_controls, calm.sticks[0].verdict), (0, Verdict::Suits));
        // Turning points of a sine of 0.4 at 0.5 rad/s in 60 s: every pi/0.5 s.
        assert_eq!(calm.sticks[0].reversals, 9);
        // Five bursts at 1.5 Hz.
        let nervous = flight(|t| if t % 12.0 < 3.0 { 0.3 * (9.4 * t).sin() } else { 0.0 });
        assert_eq!(nervous.sticks[0].over_controls, 5);
        assert!(matches!(nervous.sticks[0].verdict, Verdict::TooSharp { .. }));
    }

    #[test]
    fn a_stick_at_its_stops_wants_more() {
        let held = flight(|t| if t % 10.0 < 2.0 { 1.0 } else { 0.0 });
        assert!((held.sticks[0].at_stop - 0.2).abs() < 0.01);
        assert!(matches!(held.sticks[0].verdict, Verdict::TooWeak { .. }));
    }

    #[test]
    fn a_flight_on_the_ground_has_no_debrief() {
        let mut record = Record::default();
        record.push(Sample { on_ground: 1.0, ..Sample::default() });
        assert_eq!(debrief(&record), None);
    }
}
