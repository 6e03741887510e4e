//! Whatever the sticks do, the state stays finite; the same seed gives the same
//! flight; and the flight does not depend on how often it is drawn.

use sim_core::flight::{
    Crash, Event, Gusts, Phase, Rate, STEP_S, Session, SessionOptions, Start, Sticks, TimedEvent,
};

use super::{examples, in_the_air};

/// A small generator of our own, so that a failing flight can be named by its
/// seed (Knuth's MMIX multiplier).
struct Dice(u64);

impl Dice {
    /// Evenly from -1 to 1.
    fn throw(&mut self) -> f64 {
        self.0 =
            self.0.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        (self.0 >> 11) as f64 / (1u64 << 52) as f64 - 1.0
    }
}

/// From an environment variable, else the default.
fn setting(name: &str, otherwise: u64) -> u64 {
    std::env::var(name).ok().and_then(|text| text.parse().ok()).unwrap_or(otherwise)
}

/// Sticks thrown about: held for a while, slammed to the stops one time in
/// three.
fn random_sticks(dice: &mut Dice) -> Sticks {
    let slam = dice.throw() > 0.33;
    let mut stick = || {
        let value = dice.throw();
        if slam { value.signum() } else { value }
    };
    let (elevator, aileron, rudder) = (stick(), stick(), stick());
    Sticks { elevator, aileron, rudder, flap: 0.0, throttle: 0.5 + 0.5 * dice.throw() }
}

/// Four minutes each by default; `FLEDGE_WILD_FLIGHTS` and `FLEDGE_WILD_SECONDS`
/// make it 1000 times five minutes, `FLEDGE_WILD_FROM` goes on at another seed.
#[test]
fn random_sticks_in_gusts_never_give_anything_but_numbers() {
    let flights = setting("FLEDGE_WILD_FLIGHTS", 4);
    let seconds = setting("FLEDGE_WILD_SECONDS", 60);
    let from = setting("FLEDGE_WILD_FROM", 0);
    let wind = SessionOptions::default().in_wind(8.0, 0.7);
    for ready in examples() {
        let mut session = ready.session(in_the_air());
        session.set_radio(session.radio().on(Rate::High).with_throws_times(1.5));
        let mut crashes = 0;
        for seed in from..from + flights {
            let start = if seed % 3 == 2 { Start::OnStrip } else { in_the_air().start };
            let options =
                SessionOptions { start, gusts: Gusts::Moderate, seed, pack_empties: true, ..wind };
            session.restart(options).unwrap();
            let mut dice = Dice(seed + 1);
            let mut left = 0.0;
            for step in 0..(seconds as f64 / STEP_S) as u64 {
                if left <= 0.0 {
                    session.set_sticks(random_sticks(&mut dice));
                    left = 0.6 + 0.5 * dice.throw();
                }
                left -= STEP_S;
                session.step();
                if session.phase() == Phase::Crashed {
                    crashes += 1;
                    check(&mut session, ready.key, seed, step);
                    session.restart(SessionOptions { seed: seed + step, ..options }).unwrap();
                }
                if step % 50 == 0 {
                    check(&mut session, ready.key, seed, step);
                }
            }
        }
        println!(
            "{}: {flights} flights of {seconds} s from seed {from}, {crashes} crashes",
            ready.key
        );
    }
}

#[track_caller]
fn check(session: &mut Session, key: &str, seed: u64, step: u64) {
    let snapshot = session.snapshot();
    let numbers = [
        snapshot.airspeed_m_s,
        snapshot.alpha_rad,
        snapshot.beta_rad,
        snapshot.load_factor,
        snapshot.stall_share,
        snapshot.charge,
        snapshot.wind_ned.sum(),
        snapshot.propeller_rpm.iter().sum(),
        snapshot.strips.iter().map(|strip| strip.stalled).sum(),
    ];
    let sound = session.state().is_finite() && numbers.iter().all(|number| number.is_finite());
    assert!(sound, "{key} seed {seed} step {step}: {snapshot:?}");
    let lost = |timed: &TimedEvent| matches!(timed.event, Event::Crashed { how: Crash::Lost, .. });
    assert!(!session.take_events().iter().any(lost), "{key} seed {seed} step {step}: lost");
}

#[test]
fn the_same_seed_gives_the_same_flight() {
    for ready in examples() {
        let run = |seed| {
            let options = SessionOptions { seed, ..in_the_air() }.in_wind(5.0, 0.3);
            let mut session = ready.session(options);
            let mut dice = Dice(3);
            for step in 0..5000 {
                if step % 100 == 0 {
                    session.set_sticks(random_sticks(&mut dice));
                }
                session.step();
            }
            *session.state()
        };
        assert_eq!(run(7), run(7), "{}", ready.key);
        assert_ne!(run(7), run(8), "{}", ready.key);
    }
}

#[test]
fn the_flight_does_not_depend_on_the_frame_rate() {
    let ready = examples().remove(0);
    let run = |frames: &[f64]| {
        let mut session = ready.session(in_the_air().in_wind(3.0, 1.0));
        session.set_sticks(Sticks { rudder: 0.2, throttle: 0.6, ..Sticks::default() });
        let mut steps = 0;
        let mut frame = frames.iter().cycle();
        while steps < 1990 {
            steps += session.advance(*frame.next().unwrap());
        }
        while steps < 2100 {
            session.step();
            steps += 1;
        }
        *session.state()
    };
    let smooth = run(&[1.0 / 60.0]);
    assert_eq!(smooth, run(&[1.0 / 144.0]));
    assert_eq!(smooth, run(&[0.011, 0.2, 0.003, 0.05]));
}

#[test]
fn a_page_that_slept_goes_on_from_where_it_was() {
    let ready = examples().remove(0);
    let mut session = ready.session(in_the_air());
    assert_eq!(session.advance(3600.0), (0.25 / STEP_S) as usize);
    assert_eq!(session.advance(f64::NAN), 0);
    assert_eq!(session.advance(-5.0), 0);
}
