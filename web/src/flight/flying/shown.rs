//! One moment of a flight as it is drawn and read off: from the flight itself, or
//! from its record.

use nalgebra::UnitQuaternion;
use sim_core::dynamics::Controls;
use sim_core::flight::{Phase, Record, Sample, Snapshot, Sticks};

use crate::flight::cameras::Pose;
use crate::scene::mesh::Point;

/// One moment as it is drawn and read off.
#[derive(Debug, Clone, PartialEq)]
pub struct Shown {
    pub time_s: f64,
    pub phase: Phase,
    pub pose: Pose,
    pub controls: Controls,
    pub propeller_rad_s: Vec<f32>,
    pub airspeed_m_s: f64,
    pub climb_m_s: f64,
    pub charge: f64,
    pub load_factor: f64,
    pub bank_rad: f64,
    pub pitch_rad: f64,
    pub stall_share: f64,
    pub sticks: Sticks,
}

impl Shown {
    /// A moment of a flight.
    pub fn of_snapshot(snapshot: &Snapshot) -> Self {
        let rad_s = |rpm: &f64| (rpm * std::f64::consts::TAU / 60.0) as f32;
        Self {
            time_s: snapshot.time_s,
            phase: snapshot.phase,
            pose: Pose { at: snapshot.position_ned.cast(), attitude: snapshot.attitude.cast() },
            controls: snapshot.controls,
            propeller_rad_s: snapshot.propeller_rpm.iter().map(rad_s).collect(),
            airspeed_m_s: snapshot.airspeed_m_s,
            climb_m_s: -snapshot.velocity_ned.z,
            charge: snapshot.charge,
            load_factor: snapshot.load_factor,
            bank_rad: snapshot.euler.bank_rad,
            pitch_rad: snapshot.euler.pitch_rad,
            stall_share: snapshot.stall_share,
            sticks: Sticks::default(),
        }
    }

    /// The moment `at_s` of a record, and whether the record ends there; `None`
    /// of an empty one.
    pub fn at(record: &Record, at_s: f64) -> Option<(Self, bool)> {
        let samples: Vec<&Sample> = record.samples().collect();
        let at_s = at_s + f64::from(samples.first()?.time_s);
        let above = samples.partition_point(|sample| f64::from(sample.time_s) < at_s);
        let last = samples.last()?;
        let (a, b) = (samples.get(above.saturating_sub(1)), samples.get(above));
        Some((Self::between(a.unwrap_or(last), b.unwrap_or(last), at_s), above >= samples.len()))
    }

    /// The same elsewhere, m.
    pub fn moved(mut self, by: Point) -> Self {
        self.pose.at += by;
        self
    }

    /// Between two samples of a record.
    fn between(a: &Sample, b: &Sample, time_s: f64) -> Self {
        let gap = b.time_s - a.time_s;
        let share =
            if gap > 0.0 { ((time_s as f32 - a.time_s) / gap).clamp(0.0, 1.0) } else { 0.0 };
        let mix = |read: fn(&Sample) -> f32| read(a) + (read(b) - read(a)) * share;
        let wide = |read: fn(&Sample) -> f32| f64::from(mix(read));
        let attitude =
            |s: &Sample| UnitQuaternion::from_euler_angles(s.bank_rad, s.pitch_rad, s.heading_rad);
        let (from, to) = (attitude(a), attitude(b));
        let attitude = from.try_slerp(&to, share, 1e-4).unwrap_or(to);
        let throttle = wide(|s| s.stick_throttle);
        Self {
            time_s: wide(|s| s.time_s),
            phase: if a.on_ground > 0.5 { Phase::OnGround } else { Phase::Flying },
            pose: Pose {
                at: Point::new(mix(|s| s.north_m), mix(|s| s.east_m), -mix(|s| s.height_m)),
                attitude,
            },
            controls: Controls {
                elevator_rad: wide(|s| s.elevator_rad),
                aileron_rad: wide(|s| s.aileron_rad),
                rudder_rad: wide(|s| s.rudder_rad),
                flap_rad: 0.0,
                throttle,
            },
            propeller_rad_s: vec![(900.0 * throttle.sqrt()) as f32; 4],
            airspeed_m_s: wide(|s| s.airspeed_m_s),
            climb_m_s: wide(|s| s.climb_rate_m_s),
            charge: 1.0,
            load_factor: wide(|s| s.load_factor),
            bank_rad: wide(|s| s.bank_rad),
            pitch_rad: wide(|s| s.pitch_rad),
            stall_share: wide(|s| s.stall_share),
            sticks: a.sticks(),
        }
    }
}
