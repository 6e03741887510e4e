//! What is read off a record.

// What is `#[inline]` here is compiled into who calls it, where the page asks for
// small code and not for speed.

use serde::{Deserialize, Serialize};

use super::Lesson;
use crate::flight::record::{Record, Sample};
use crate::flight::setup::Start;
use crate::flight::snapshot::{Event, TimedEvent};

/// Something that can be measured of a flight. Only samples in the air count.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Measure {
    /// Root mean square of the height less the starting height, m.
    HeightError,
    /// Root mean square of the bank, rad.
    BankSize,
    /// Greatest bank either way, rad.
    BankGreatest,
    /// Greatest change of heading from the start, rad.
    HeadingDrift,
    /// Heading turned through in all, either way, rad.
    TurnedThrough,
    /// Share of the time in a bank over 10 deg in which roll and yaw sticks are
    /// within a fifth of the centre.
    HandsOffShare,
    /// Root mean square of the distance from the line of the strip, m.
    LineError,
    /// Share of the time in which roll or yaw stick is held into a bank that is
    /// already over 10 deg: the mistake of flying towards oneself.
    WrongWayShare,
    /// Greatest height over the starting height, m.
    HeightGained,
    /// Height at the end, m.
    HeightAtEnd,
    /// Least airspeed, m/s.
    SpeedLeast,
    /// Root mean square of the airspeed less ordinary speed, m/s.
    SpeedError,
    /// Greatest share of the wing that let go, 0 to 1.
    StalledGreatest,
    /// Share of the wing that has let go at the end, 0 to 1.
    StalledAtEnd,
    /// Height from the first stall to the lowest point after it, m.
    HeightLostInStall,
    /// Sink rate on the first landing, m/s.
    SinkOnLanding,
    /// Bank on the first landing, either way, rad.
    BankOnLanding,
    /// Distance from the strip's line where it stopped, m.
    StoppedOffLine,
    /// Distance from the middle of the strip where it stopped, m.
    StoppedOffOrigin,
}

/// Bank beyond which a bank is one, rad.
const BANKED_RAD: f64 = 0.175;
/// Stick within which a hand is off.
const HANDS_OFF: f64 = 0.2;
/// Share of the wing let go that is a stall.
const STALLED: f32 = 0.25;

impl Measure {
    /// The value; `None` where there was nothing to measure.
    #[inline]
    pub fn of(self, lesson: &Lesson, record: &Record, events: &[TimedEvent]) -> Option<f64> {
        let landed = || {
            events.iter().find_map(|timed| match timed.event {
                Event::Landed { sink_m_s, bank_rad, .. } => Some((sink_m_s, bank_rad)),
                _ => None,
            })
        };
        let stopped = || {
            events.iter().rev().find_map(|timed| match timed.event {
                Event::Stopped { north_m, east_m } => Some((north_m, east_m)),
                _ => None,
            })
        };
        match self {
            Self::SinkOnLanding => landed().map(|(sink, _)| sink),
            Self::BankOnLanding => landed().map(|(_, bank)| bank.abs()),
            Self::StoppedOffLine => stopped().map(|(_, east)| east.abs()),
            Self::StoppedOffOrigin => stopped().map(|(north, east)| north.hypot(east)),
            _ => {
                let air: Vec<&Sample> =
                    record.samples().filter(|sample| sample.on_ground == 0.0).collect();
                (!air.is_empty()).then(|| self.in_the_air(lesson, &air)).flatten()
            }
        }
    }

    #[inline]
    fn in_the_air(self, lesson: &Lesson, air: &[&Sample]) -> Option<f64> {
        let start_m = match lesson.options.start {
            Start::InTheAir { height_m, .. } => height_m,
            Start::OnStrip | Start::HandLaunch => lesson.height_m,
        };
        let value = |read: fn(&Sample) -> f32| air.iter().map(move |s| f64::from(read(s)));
        let (first, last) = (air.first()?, air.last()?);
        Some(match self {
            Self::HeightError => root_mean_square(value(|s| s.height_m).map(|h| h - start_m)),
            Self::BankSize => root_mean_square(value(|s| s.bank_rad)),
            Self::BankGreatest => greatest(value(|s| s.bank_rad).map(f64::abs)),
            Self::HeadingDrift => {
                let start = f64::from(first.heading_rad);
                greatest(value(|s| s.heading_rad).map(|now| wrapped(now - start).abs()))
            }
            Self::TurnedThrough => {
                let headings: Vec<f64> = value(|s| s.heading_rad).collect();
                headings.windows(2).map(|pair| wrapped(pair[1] - pair[0])).sum::<f64>().abs()
            }
            Self::HandsOffShare => share(air, banked, |s| side_stick(s).abs() < HANDS_OFF),
            Self::WrongWayShare => share(
                air,
                |_| true,
                |s| banked(s) && side_stick(s) * f64::from(s.bank_rad).signum() > HANDS_OFF,
            ),
            Self::LineError => root_mean_square(value(|s| s.east_m)),
            Self::HeightGained => greatest(value(|s| s.height_m)) - start_m,
            Self::HeightAtEnd => f64::from(last.height_m),
            Self::SpeedLeast => -greatest(value(|s| s.airspeed_m_s).map(|speed| -speed)),
            Self::SpeedError => {
                root_mean_square(value(|s| s.airspeed_m_s).map(|v| v - lesson.cruise_m_s))
            }
            Self::StalledGreatest => greatest(value(|s| s.stall_share)),
            Self::StalledAtEnd => f64::from(last.stall_share),
            Self::HeightLostInStall => {
                let begin = air.iter().position(|s| s.stall_share > STALLED)?;
                let lowest = greatest(air[begin..].iter().map(|s| -f64::from(s.height_m)));
                f64::from(air[begin].height_m) + lowest
            }
            Self::SinkOnLanding
            | Self::BankOnLanding
            | Self::StoppedOffLine
            | Self::StoppedOffOrigin => return None,
        })
    }
}

#[inline]
fn banked(sample: &Sample) -> bool {
    f64::from(sample.bank_rad).abs() > BANKED_RAD
}

/// Roll or yaw stick, whichever is further out.
#[inline]
fn side_stick(sample: &Sample) -> f64 {
    let (roll, yaw) = (f64::from(sample.stick_aileron), f64::from(sample.stick_rudder));
    if roll.abs() > yaw.abs() { roll } else { yaw }
}

#[inline]
fn root_mean_square(values: impl Iterator<Item = f64>) -> f64 {
    let (sum, count) = values.fold((0.0, 0.0), |(sum, n), value| (sum + value * value, n + 1.0));
    (sum / f64::max(count, 1.0)).sqrt()
}

#[inline]
fn greatest(values: impl Iterator<Item = f64>) -> f64 {
    values.fold(f64::NEG_INFINITY, f64::max)
}

/// Share of the samples that fulfil `within` among those that fulfil `of`; 0
/// where there are none.
#[inline]
fn share(air: &[&Sample], of: impl Fn(&Sample) -> bool, within: impl Fn(&Sample) -> bool) -> f64 {
    let all = air.iter().filter(|s| of(s)).count();
    let some = air.iter().filter(|s| of(s) && within(s)).count();
    some as f64 / all.max(1) as f64
}

#[inline]
fn wrapped(angle_rad: f64) -> f64 {
    use std::f64::consts::PI;
    (angle_rad + PI).rem_euclid(2.0 * PI) - PI
}
