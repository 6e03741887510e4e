//! How fast the core flies in this browser. Nothing on the page shows it; the
//! page's tests ask for it.

use sim_core::aircraft::{EXAMPLES, read_aircraft};
use sim_core::assess::{Question, assess};
use sim_core::flight::{STEP_S, Session, SessionOptions, Start, Sticks};
use wasm_bindgen::prelude::wasm_bindgen;

use crate::state::compute::now_ms;

/// Steps of a slice of the flight: other work on the machine only ever slows a
/// slice down, so the quickest counts.
const STEPS: usize = 250;
/// Browsers run new code slowly until they have compiled it well. It ends when so
/// many slices were no quicker than one before, or after so many in all.
const SLICES_ALIKE: usize = 30;
const SLICES_MAX: usize = 300;
const HEIGHT_M: f64 = 200.0;

/// How many times faster than real time an example aeroplane is flown with moving
/// sticks in a wind with its gusts; `None` where there is no such example.
#[wasm_bindgen]
pub fn flight_speed(example: usize, wind_m_s: f64) -> Option<f64> {
    let aircraft = read_aircraft(EXAMPLES.get(example)?.text).ok()?.check().ok()?;
    let question = Question::default();
    let assessment = assess(&aircraft, &question).ok()?;
    let start = Start::InTheAir { north_m: 0.0, east_m: 0.0, height_m: HEIGHT_M, heading_rad: 0.0 };
    let options = SessionOptions { start, ..SessionOptions::default() }.in_wind(wind_m_s, 0.5);
    let mut session = Session::new(&aircraft, &question, &assessment, options).ok()?;
    let throttle = session.sticks().throttle;
    let (mut quickest_ms, mut alike) = (f64::INFINITY, 0);
    for _ in 0..SLICES_MAX {
        // Each slice begins in trim: with nobody looking it would hit the ground.
        session.restart(options).ok()?;
        let begin_ms = now_ms()?;
        for _ in 0..STEPS {
            let t = session.time_s();
            session.set_sticks(Sticks {
                elevator: 0.1 * (2.0 * t).sin(),
                aileron: 0.4 * (1.3 * t).sin(),
                rudder: 0.4 * (1.1 * t).sin(),
                flap: 0.0,
                throttle,
            });
            session.step();
        }
        let slice_ms = now_ms()? - begin_ms;
        alike = if slice_ms < quickest_ms { 0 } else { alike + 1 };
        quickest_ms = quickest_ms.min(slice_ms);
        if alike >= SLICES_ALIKE {
            break;
        }
    }
    Some(STEP_S * STEPS as f64 * 1e3 / quickest_ms.max(1e-3))
}
