//! Flying the aircraft in real time, through the same loads that its trim and
//! responses are computed from.
//!
//! [`Session`] is one flight: sticks in, [`Snapshot`]s and [`TimedEvent`]s out,
//! a [`Record`] kept. It counts its own time, so the flight is the same however
//! often it is drawn. [`Radio`] and [`Trims`] stand between stick and surface; [`contact`]
//! knows where the aircraft touches the ground; [`autopilot`] flies by itself;
//! [`lessons`] are goals that the record is held against; [`debrief`] says how
//! the sticks were used.

pub mod autopilot;
pub mod contact;
pub mod debrief;
pub mod lessons;
mod radio;
mod record;
mod session;
mod setup;
mod snapshot;
mod trims;

pub use radio::{ChannelSetup, Radio, Rate, RateSetting, Sticks};
pub use record::{RECORD_SECONDS, Record, RecordError, SAMPLE_RATE_HZ, Sample};
pub use session::{CATCH_UP_MAX_S, STEP_S, Session};
pub use setup::{FlightError, Gusts, SessionOptions, Start};
pub use snapshot::{Crash, Event, Phase, Snapshot, StripSnapshot, TimedEvent};
pub use trims::{CLICKS_MAX, TrimCorrection, Trims};
