//! Flying the aeroplane of the sheet: the core flies, this shows and steers.
//!
//! [`sticks`] and [`hands`] turn keys, transmitters and thumbs into sticks;
//! [`cameras`] look; [`flying`] draws each frame; [`board`] holds the signals
//! around the picture; [`view`] is the full page, [`debrief`] what comes after;
//! [`entry`] is the panel that leads there.

mod board;
mod cameras;
mod comparison;
mod debrief;
mod entry;
mod flying;
mod hands;
mod keep;
mod setup;
mod sound;
mod speed;
mod sticks;
mod view;

pub use board::Throws;
pub use cameras::View;
pub use entry::entry;
pub use sticks::Mode;
pub use sticks::pad::Function;
