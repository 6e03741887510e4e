//! One root of a function between two places where its signs differ, from a
//! good guess.
//!
//! Brent's method (Algorithms for Minimization without Derivatives, 1973, ch.
//! 4, from memory): inverse quadratic or secant steps where they help,
//! halving where they do not. Ends at a width or after a number of steps,
//! whichever comes first; the result lies between the given ends always.
//! A propeller's table is some 600 roots, each next to a known one: searching
//! outwards from the neighbour and keeping the values already found takes 4
//! evaluations, where a fresh bracket takes 9.

/// More steps than this are never taken; halving alone would by then have
/// narrowed the bracket to 1e-18 of its width.
const STEPS_MAX: usize = 60;

/// Growth of the steps in search of a change of sign.
const STEP_GROWTH: f64 = 4.0;

/// An end of a bracket with the function's value there.
pub(super) type End = (f64, f64);

/// A place between `low` and `high` where `function` changes its sign, to
/// within `tolerance`. The values at both ends must differ in sign or be
/// zero; otherwise the end with the smaller value is the answer.
pub(super) fn find_root(function: impl Fn(f64) -> f64, low: End, high: End, tolerance: f64) -> f64 {
    let (mut a, mut f_a) = low;
    let (mut b, mut f_b) = high;
    let (mut c, mut f_c) = low;
    let mut step = b - a;
    let mut step_before = step;
    for _ in 0..STEPS_MAX {
        if f_c.abs() < f_b.abs() {
            (a, b, c) = (b, c, b);
            (f_a, f_b, f_c) = (f_b, f_c, f_b);
        }
        let half = 0.5 * (c - b);
        if half.abs() <= tolerance || f_b == 0.0 || f_b * f_c > 0.0 {
            return b;
        }
        let fitted = fitted_step((a, f_a), (b, f_b), (c, f_c));
        let useful = fitted * half > 0.0
            && fitted.abs() < (1.5 * half).abs()
            && fitted.abs() < (0.5 * step_before).abs();
        step_before = step;
        step = if useful { fitted } else { half };
        if !useful {
            step_before = half;
        }
        (a, f_a) = (b, f_b);
        b += if step.abs() > tolerance { step } else { tolerance.copysign(half) };
        f_b = function(b);
        if f_b * f_c > 0.0 {
            (c, f_c) = (a, f_a);
            step = b - a;
            step_before = step;
        }
    }
    b
}

/// A root of a function that is negative below it and positive above, sought
/// from `guess` in steps that grow until the sign changes, then narrowed to
/// `tolerance`. `None` where there is no change of sign within `range`.
pub(super) fn find_rising_root(
    function: impl Fn(f64) -> f64,
    guess: f64,
    first_step: f64,
    range: (f64, f64),
    tolerance: f64,
) -> Option<f64> {
    let (mut low, mut high): (Option<End>, Option<End>) = (None, None);
    let mut place = guess.clamp(range.0, range.1);
    let mut step = first_step;
    for _ in 0..STEPS_MAX {
        let value = function(place);
        let below = value < 0.0;
        *(if below { &mut low } else { &mut high }) = Some((place, value));
        if let (Some(low), Some(high)) = (low, high) {
            return Some(find_root(function, low, high, tolerance));
        }
        let end = if below { range.1 } else { range.0 };
        if place == end {
            return None;
        }
        place = (if below { place + step } else { place - step }).clamp(range.0, range.1);
        step *= STEP_GROWTH;
    }
    None
}

/// The step from `b` by a parabola through all three points laid on its side,
/// or by the chord where only two of them differ.
fn fitted_step(a: End, b: End, c: End) -> f64 {
    let s = b.1 / a.1;
    let (numerator, denominator) = if a.0 == c.0 {
        ((c.0 - b.0) * s, s - 1.0)
    } else {
        let q = a.1 / c.1;
        let r = b.1 / c.1;
        (
            s * ((c.0 - b.0) * q * (q - r) - (b.0 - a.0) * (r - 1.0)),
            -(q - 1.0) * (r - 1.0) * (s - 1.0),
        )
    };
    let step = numerator / denominator;
    if step.is_finite() { step } else { 0.0 }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn root(function: impl Fn(f64) -> f64, low: f64, high: f64) -> f64 {
        find_root(&function, (low, function(low)), (high, function(high)), 1e-12)
    }

    #[test]
    fn finds_known_roots() {
        assert!((root(|x| x * x - 2.0, 0.0, 2.0) - 2.0_f64.sqrt()).abs() < 1e-11);
        assert!((root(|x| x.cos() - x, 0.0, 1.0) - 0.739_085_133_215_160_6).abs() < 1e-11);
        // A triple root and a step defeat the fitted steps; halving remains.
        assert!(root(|x| (x - 0.3).powi(3), -1.0, 1.0) - 0.3 < 1e-4);
        assert!((root(|x| if x < 0.7 { -1.0 } else { 1.0 }, 0.0, 1.0) - 0.7).abs() < 1e-11);
    }

    #[test]
    fn needs_few_steps_on_a_smooth_function() {
        let calls = std::cell::Cell::new(0);
        let count = |x: f64| {
            calls.set(calls.get() + 1);
            x.exp() - 3.0
        };
        let found = find_root(count, (0.0, -2.0), (2.0, 2.0_f64.exp() - 3.0), 1e-12);
        assert!((found - 3.0_f64.ln()).abs() < 1e-12);
        // Halving alone would take 40; a superlinear method of this kind
        // about 8.
        assert!(calls.get() <= 12, "{}", calls.get());
    }

    #[test]
    fn looks_both_ways_from_a_guess() {
        let function = |x: f64| x * x * x - 8.0;
        for guess in [-50.0, 0.0, 1.99, 2.0, 7.0, 1e9, f64::INFINITY] {
            let found = find_rising_root(function, guess, 0.01, (-100.0, 100.0), 1e-12).unwrap();
            assert!((found - 2.0).abs() < 1e-11, "{guess} {found}");
        }
        assert_eq!(find_rising_root(function, 1.0, 0.01, (-1.0, 1.5), 1e-12), None);
        assert_eq!(find_rising_root(|_| f64::NAN, 1.0, 0.01, (0.0, 3.0), 1e-12), None);
    }

    #[test]
    fn stays_inside_and_ends_on_any_function() {
        for function in [|x: f64| x + 5.0, |_: f64| f64::NAN, |_: f64| 0.0] {
            let found = root(function, -1.0, 1.0);
            assert!((-1.0..=1.0).contains(&found), "{found}");
        }
    }

    /// A line is met by the chord through two points, a parabola laid on its side
    /// by that through three, both at once.
    #[test]
    fn fitted_steps_are_exact_on_lines_and_lying_parabolas() {
        let line = |x: f64| (x, 2.0 * x - 3.0);
        let step = fitted_step(line(0.0), line(2.0), line(0.0));
        assert!((step + 0.5).abs() < 1e-12, "{step}");
        // x = 2 + 3 y + y2 / 2, so the root lies at 2.
        let lying = |y: f64| (2.0 + 3.0 * y + 0.5 * y * y, y);
        for (a, b, c) in [(-1.0, 0.5, 2.0), (2.0, -0.3, -1.0), (1.5, 0.7, -0.2)] {
            let step = fitted_step(lying(a), lying(b), lying(c));
            assert!((lying(b).0 + step - 2.0).abs() < 1e-12, "{a} {b} {c}: {step}");
        }
        // Two points of one height have no chord to follow.
        assert_eq!(fitted_step((0.0, 1.0), (2.0, 1.0), (0.0, 1.0)), 0.0);
    }
}
