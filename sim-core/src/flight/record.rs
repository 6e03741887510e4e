//! The record of a flight: what was done and what came of it.
//!
//! Sampled at 25 Hz, twice the bandwidth of a quick hand (some 2 Hz) many times
//! over, into a ring of bounded length; goes out and comes back as CSV text.

use std::collections::VecDeque;
use std::fmt::Write as _;

use serde::Serialize;

use super::radio::Sticks;

/// Samples a second.
pub const SAMPLE_RATE_HZ: f64 = 25.0;
/// Longest record, s; of a longer flight the end is kept.
pub const RECORD_SECONDS: usize = 1800;
const SAMPLES_MAX: usize = RECORD_SECONDS * 25;
/// Longest text that is read, bytes: a full record takes some 15 MB.
const TEXT_LENGTH_MAX: usize = 32 << 20;

macro_rules! sample {
    ($($(#[$doc:meta])* $name:ident),* $(,)?) => {
        /// One moment of a flight. Single precision: enough to draw and judge.
        #[derive(Debug, Clone, Copy, PartialEq, Default, Serialize)]
        pub struct Sample {
            $($(#[$doc])* pub $name: f32,)*
        }

        impl Sample {
            /// Column names of the CSV text, in order.
            pub const COLUMNS: &[&str] = &[$(stringify!($name)),*];

            fn values(&self) -> [f32; Self::COLUMNS.len()] {
                [$(self.$name),*]
            }

            fn from_values(values: [f32; Self::COLUMNS.len()]) -> Self {
                let [$($name),*] = values;
                Self { $($name),* }
            }
        }
    };
}

sample! {
    /// Time since the start, s.
    time_s,
    /// Pitch stick, -1 to 1.
    stick_elevator,
    /// Roll stick, -1 to 1.
    stick_aileron,
    /// Yaw stick, -1 to 1.
    stick_rudder,
    /// Throttle stick, 0 to 1.
    stick_throttle,
    /// Elevator, rad.
    elevator_rad,
    /// Aileron, rad.
    aileron_rad,
    /// Rudder, rad.
    rudder_rad,
    /// Roll rate, rad/s.
    roll_rate_rad_s,
    /// Pitch rate, rad/s.
    pitch_rate_rad_s,
    /// Yaw rate, rad/s.
    yaw_rate_rad_s,
    /// Bank, rad.
    bank_rad,
    /// Pitch attitude, rad.
    pitch_rad,
    /// Heading, rad, -pi to pi.
    heading_rad,
    /// North of the origin, m.
    north_m,
    /// East of the origin, m.
    east_m,
    /// Height over the strip, m.
    height_m,
    /// Airspeed, m/s.
    airspeed_m_s,
    /// Climb rate, m/s.
    climb_rate_m_s,
    /// Load factor, weights.
    load_factor,
    /// Share of the wing whose flow has let go, 0 to 1.
    stall_share,
    /// 1 on the ground, 0 in the air.
    on_ground,
}

impl Sample {
    /// The sticks of the sample.
    pub fn sticks(&self) -> Sticks {
        Sticks {
            elevator: self.stick_elevator.into(),
            aileron: self.stick_aileron.into(),
            rudder: self.stick_rudder.into(),
            flap: 0.0,
            throttle: self.stick_throttle.into(),
        }
    }
}

/// Why a text is not a record.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum RecordError {
    /// The text is too long.
    #[error("text: is {bytes} bytes long, allowed is up to {limit}")]
    TooLong {
        /// Its length.
        bytes: usize,
        /// Greatest length.
        limit: usize,
    },
    /// The first line is not the list of columns.
    #[error("line 1: is not the list of columns, which begins with time_s")]
    Columns,
    /// A line has too few or too many values, or one that is no finite number.
    #[error("line {line}: value {column} is no finite number or missing")]
    Value {
        /// Line of the text, from 1.
        line: usize,
        /// Value of the line, from 1.
        column: usize,
    },
}

/// A bounded record.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Record {
    samples: VecDeque<Sample>,
}

impl Record {
    /// Adds a sample; of a full record the first is dropped.
    pub fn push(&mut self, sample: Sample) {
        if self.samples.len() >= SAMPLES_MAX {
            self.samples.pop_front();
        }
        self.samples.push_back(sample);
    }

    /// Forgets everything.
    pub fn clear(&mut self) {
        self.samples.clear();
    }

    /// Number of samples.
    pub fn len(&self) -> usize {
        self.samples.len()
    }

    /// Whether there is none.
    pub fn is_empty(&self) -> bool {
        self.samples.is_empty()
    }

    /// All samples in order of time.
    pub fn samples(&self) -> impl DoubleEndedIterator<Item = &Sample> + Clone {
        self.samples.iter()
    }

    /// The last sample.
    pub fn last(&self) -> Option<&Sample> {
        self.samples.back()
    }

    /// The record as CSV text: a line of column names, then one line for each
    /// sample. Read back, it is the same to the last bit.
    #[inline]
    pub fn to_csv(&self) -> String {
        let mut text = Sample::COLUMNS.join(",");
        text.push('\n');
        for sample in &self.samples {
            for (column, value) in sample.values().iter().enumerate() {
                let comma = if column == 0 { "" } else { "," };
                // Writing to a String cannot fail.
                let _ = write!(text, "{comma}{value}");
            }
            text.push('\n');
        }
        text
    }

    /// The record of CSV text.
    ///
    /// # Errors
    /// [`RecordError`] names the line and the value.
    pub fn from_csv(text: &str) -> Result<Self, RecordError> {
        if text.len() > TEXT_LENGTH_MAX {
            return Err(RecordError::TooLong { bytes: text.len(), limit: TEXT_LENGTH_MAX });
        }
        let mut lines = text.lines();
        let names = lines.next().unwrap_or("").split(',').map(str::trim);
        if !names.eq(Sample::COLUMNS.iter().copied()) {
            return Err(RecordError::Columns);
        }
        let mut record = Self::default();
        for (index, line) in lines.enumerate().filter(|(_, line)| !line.trim().is_empty()) {
            record.push(sample_of(line, index + 2)?);
        }
        Ok(record)
    }
}

fn sample_of(text: &str, line: usize) -> Result<Sample, RecordError> {
    let mut values = [0.0; Sample::COLUMNS.len()];
    let mut parts = text.split(',');
    for (column, value) in values.iter_mut().enumerate() {
        let fault = RecordError::Value { line, column: column + 1 };
        let number = parts.next().and_then(|part| part.trim().parse::<f32>().ok());
        *value = number.filter(|number| number.is_finite()).ok_or(fault)?;
    }
    match parts.next() {
        None => Ok(Sample::from_values(values)),
        Some(_) => Err(RecordError::Value { line, column: values.len() + 1 }),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn csv_comes_back_the_same() {
        let mut record = Record::default();
        for step in 0..50u8 {
            let t = f32::from(step) / 25.0;
            record.push(Sample {
                time_s: t,
                bank_rad: t.sin(),
                north_m: -1.0 / 3.0,
                ..Sample::default()
            });
        }
        assert_eq!(Record::from_csv(&record.to_csv()), Ok(record));
    }

    #[test]
    fn faults_are_named() {
        assert_eq!(Record::from_csv("north,south"), Err(RecordError::Columns));
        let head = Sample::COLUMNS.join(",");
        let short = format!("{head}\n1,2,3\n");
        assert_eq!(Record::from_csv(&short), Err(RecordError::Value { line: 2, column: 4 }));
        let broken = format!("{head}\nNaN{}\n", ",0".repeat(Sample::COLUMNS.len() - 1));
        assert_eq!(Record::from_csv(&broken), Err(RecordError::Value { line: 2, column: 1 }));
    }

    #[test]
    fn memory_is_bounded() {
        let mut record = Record::default();
        for index in 0..SAMPLES_MAX + 10 {
            record.push(Sample { time_s: index as f32, ..Sample::default() });
        }
        assert_eq!(record.len(), SAMPLES_MAX);
        assert_eq!(record.samples().next().map(|sample| sample.time_s), Some(10.0));
    }
}
