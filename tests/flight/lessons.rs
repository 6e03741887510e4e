//! The program passes its own lessons, a pilot who does nothing does not, and
//! the comparisons show what they are meant to.

use sim_core::assess::Question;
use sim_core::flight::debrief::debrief;
use sim_core::flight::lessons::comparison::{Comparison, ComparisonKey, ComparisonNumbers};
use sim_core::flight::lessons::{Lesson, LessonKey, Score};
use sim_core::flight::{Event, Phase, Rate, Session, Sticks};

use super::{Ready, examples};

fn fly(ready: &Ready, lesson: &Lesson, shown: bool) -> (Session, Score) {
    let mut session = ready.session(lesson.options);
    session.set_radio(session.radio().on(Rate::High));
    let throttle = session.sticks().throttle;
    let mut demonstration = lesson.demonstration(&session, &ready.assessment);
    let mut events = Vec::new();
    while session.time_s() < lesson.duration_s && session.phase() != Phase::Crashed {
        if shown {
            demonstration.fly(&mut session);
        } else {
            let sticks = Sticks { throttle, ..Sticks::default() };
            session.set_sticks(lesson.guided(session.time_s(), sticks));
        }
        session.step();
        events.extend(session.take_events());
        let stopped = events.iter().any(|timed| matches!(timed.event, Event::Stopped { .. }));
        if stopped && lesson.ends_on_ground {
            break;
        }
    }
    let score = lesson.judge(session.record(), &events);
    (session, score)
}

#[test]
fn the_program_passes_its_own_lessons() {
    let mut failed = Vec::new();
    for ready in examples() {
        for key in LessonKey::ALL {
            let lesson = Lesson::new(key, &ready.aircraft, &ready.assessment);
            let (session, score) = fly(&ready, &lesson, true);
            let name = ready.key;
            if !score.passed || score.total < 0.7 {
                failed.push(format!("{name} {key:?}: {score:?}"));
            }
            assert!(debrief(session.record()).is_some());
        }
    }
    assert!(failed.is_empty(), "{failed:#?}");
}

/// Level flight for two seconds is not the lesson.
#[test]
fn a_lesson_that_was_ended_early_is_not_passed() {
    let ready = examples().remove(0);
    let mut lesson = Lesson::new(LessonKey::HoldLevel, &ready.aircraft, &ready.assessment);
    let whole_s = lesson.duration_s;
    lesson.duration_s = 2.0;
    let (session, short) = fly(&ready, &lesson, true);
    assert!(short.passed);
    lesson.duration_s = whole_s;
    let score = lesson.judge(session.record(), &[]);
    assert!(!score.whole && !score.passed && score.parts == short.parts, "{score:?}");
}

/// A turn, a stall, a circuit and a landing do not happen by themselves.
#[test]
fn doing_nothing_passes_no_lesson_that_asks_for_something() {
    use LessonKey::{Circuit, GentleTurn, Landing, StallAndRecovery};
    for ready in examples() {
        for key in [GentleTurn, StallAndRecovery, Circuit, Landing] {
            let lesson = Lesson::new(key, &ready.aircraft, &ready.assessment);
            let (_, score) = fly(&ready, &lesson, false);
            assert!(!score.passed, "{} {key:?}: {score:#?}", ready.key);
        }
    }
}

fn compare(ready: &Ready, key: ComparisonKey) -> [ComparisonNumbers; 2] {
    let comparison = Comparison::new(key, 60.0);
    let as_is = (&ready.aircraft, &ready.assessment);
    comparison.variants.map(|variant| {
        let (mut session, _) = comparison.session(&variant, as_is, &Question::default()).unwrap();
        let throttle = session.sticks().throttle;
        while session.time_s() < comparison.duration_s {
            session.set_sticks(comparison.sticks(&variant, session.time_s(), throttle));
            session.step();
        }
        comparison.numbers(session.record()).unwrap()
    })
}

#[test]
fn comparisons_show_what_they_are_meant_to() {
    for ready in examples() {
        let key = ready.key;
        // More dihedral: the same rudder banks more in a second.
        let [more, less] = compare(&ready, ComparisonKey::Dihedral);
        assert!(more.bank_at_1_s_rad > 1.1 * less.bank_at_1_s_rad, "{key}: {more:?} {less:?}");
        // Twice the throw: quicker pitching.
        let [once, twice] = compare(&ready, ComparisonKey::Throw);
        assert!(twice.pitch_rate_rad_s > 1.3 * once.pitch_rate_rad_s, "{key}: {once:?} {twice:?}");
        // The rudder of all examples stands in the slipstream.
        let [full, none] = compare(&ready, ComparisonKey::Propwash);
        assert!(full.yaw_rate_rad_s > 1.1 * none.yaw_rate_rad_s, "{key}: {full:?} {none:?}");
    }
}
