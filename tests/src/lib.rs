//! Checks shared by all tests, and toy airframes. Each check says what was
//! compared when it fails, and is written down for the docs when it passes
//! (see [`record`]).

pub mod airframes;
pub mod chaos;
pub mod record;

use record::{Comparison, Tolerance};
use sim_core::aircraft::SectionKind;

/// All kinds of sections.
pub const SECTION_KINDS: [SectionKind; 6] = [
    SectionKind::FlatSheet,
    SectionKind::RoundedSheet,
    SectionKind::FoldedSheet,
    SectionKind::SteppedSheet,
    SectionKind::CamberedPlate,
    SectionKind::Profile,
];

/// Fails unless `ours` lies within `relative` (a fraction) of `theirs`.
///
/// # Panics
/// Where it does not; that is the test's failure.
#[track_caller]
pub fn check_relative(what: &str, ours: f64, theirs: f64, relative: f64) {
    let error = (ours - theirs) / theirs.abs();
    assert!(
        error.abs() <= relative,
        "{what}: ours {ours}, theirs {theirs}, error {:.3} %, tolerance {:.3} %",
        100.0 * error,
        100.0 * relative
    );
    let tolerance = Tolerance::Relative(relative);
    record::comparison(&Comparison { what, ours, theirs, tolerance, miss: None });
}

/// Fails unless `ours` lies within `absolute` of `theirs`.
///
/// # Panics
/// Where it does not; that is the test's failure.
#[track_caller]
pub fn check_absolute(what: &str, ours: f64, theirs: f64, absolute: f64) {
    assert!(
        (ours - theirs).abs() <= absolute,
        "{what}: ours {ours}, theirs {theirs}, tolerance {absolute}"
    );
    let tolerance = Tolerance::Absolute(absolute);
    record::comparison(&Comparison { what, ours, theirs, tolerance, miss: None });
}

/// Holds a known miss: `goal` is what we want to be within (a fraction), and
/// the docs show that we are not and `why`; the test fails only outside
/// `allowed`, so that the miss cannot grow unseen.
///
/// # Panics
/// Where `ours` is further from `theirs` than `allowed`.
#[track_caller]
pub fn check_known_miss(
    what: &str,
    ours: f64,
    theirs: f64,
    [goal, allowed]: [f64; 2],
    why: &'static str,
) {
    let error = (ours - theirs) / theirs.abs();
    assert!(
        error.abs() <= allowed,
        "{what}: ours {ours}, theirs {theirs}, error {:.1} %, even the known miss is {:.1} %",
        100.0 * error,
        100.0 * allowed
    );
    let tolerance = Tolerance::Relative(goal);
    let miss = (error.abs() > goal).then_some(why);
    record::comparison(&Comparison { what, ours, theirs, tolerance, miss });
}
