//! Prints how many times faster than real time the flight loop runs, for every
//! example aeroplane: in calm trimmed flight, in gusts with moving sticks, near
//! the ground. Other work on the machine only ever slows a run down, so each is
//! cut into slices and the quickest counts.
//!
//! `cargo run --release -p sim-core --example flight_speed`

use std::time::Instant;

use sim_core::aircraft::{EXAMPLES, read_aircraft};
use sim_core::assess::{Question, assess};
use sim_core::flight::{STEP_S, Session, SessionOptions, Start, Sticks};

/// Slices of each run, and steps of a slice: 40 s of flight in all.
const SLICES: u32 = 50;
const STEPS: u32 = 200;

fn main() {
    for example in EXAMPLES {
        let Some((aircraft, assessment)) = read_aircraft(example.text)
            .ok()
            .and_then(|aircraft| aircraft.check().ok())
            .and_then(|aircraft| {
                let assessment = assess(&aircraft, &Question::default()).ok()?;
                Some((aircraft, assessment))
            })
        else {
            continue;
        };
        for (name, height_m, wind_m_s, moves) in
            [("calm", 200.0, 0.0, 0.0), ("gusts", 200.0, 5.0, 0.4), ("low", 1.1, 0.0, 0.0)]
        {
            let start = Start::InTheAir { north_m: 0.0, east_m: 0.0, height_m, heading_rad: 0.0 };
            let options = SessionOptions { start, ..SessionOptions::default() };
            let options = if wind_m_s > 0.0 { options.in_wind(wind_m_s, 0.5) } else { options };
            let question = Question::default();
            let Ok(mut session) = Session::new(&aircraft, &question, &assessment, options) else {
                continue;
            };
            let throttle = session.sticks().throttle;
            let mut quickest = f64::INFINITY;
            for _ in 0..SLICES {
                if height_m < 2.0 {
                    // Low it would soon touch down.
                    let _ = session.restart(options);
                }
                let begin = Instant::now();
                for _ in 0..STEPS {
                    let t = session.time_s();
                    session.set_sticks(Sticks {
                        elevator: 0.3 * moves * (2.0 * t).sin(),
                        aileron: moves * (1.3 * t).sin(),
                        rudder: moves * (1.1 * t).sin(),
                        flap: 0.0,
                        throttle,
                    });
                    session.step();
                }
                quickest = quickest.min(begin.elapsed().as_secs_f64());
            }
            let spent = quickest / f64::from(STEPS);
            println!(
                "{:>14} {name:>6}: {:6.2} us a step, {:6.0} times real time",
                example.key,
                1e6 * spent,
                STEP_S / spent
            );
        }
    }
}
