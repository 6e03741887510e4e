//! Checks shared by all tests, and toy airframes. Each check says what was
//! compared when it fails.

pub mod airframes;

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
}
