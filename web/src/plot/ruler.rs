//! A ruler along the wing's root chord with the balance point, the neutral
//! point and the window on it: which millimetre lies where on the paper.

use crate::state::measure::plain;

/// What the ruler shows, m behind the leading edge of the wing's root.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Marks {
    /// Chord of the root.
    pub chord_m: f64,
    /// Balance point.
    pub balance_point_m: f64,
    /// Neutral point.
    pub neutral_point_m: f64,
    /// Front end of the window.
    pub window_front_m: f64,
    /// Rear end of the window.
    pub window_rear_m: f64,
}

/// The ruler placed on paper of some width, px.
#[derive(Debug, Clone, PartialEq)]
pub struct Ruler {
    /// Leading edge and trailing edge.
    pub chord: (f64, f64),
    /// Balance point.
    pub balance_point: f64,
    /// Neutral point.
    pub neutral_point: f64,
    /// Front and rear end of the window.
    pub window: (f64, f64),
    /// Ticks: place, and the number for those that carry one.
    pub ticks: Vec<(f64, Option<String>)>,
}

/// Room at both ends, px.
const MARGIN_PX: f64 = 22.0;
/// Least distance between lettered ticks, px.
const LETTERED_PX: f64 = 40.0;
/// Most ticks that are ever drawn.
const TICKS_MAX: i64 = 400;

/// Places the marks on paper of `width` px: the chord and every mark fit. The
/// ticks count in a unit of which `per_m` make a metre.
pub fn place(marks: &Marks, width: f64, per_m: f64) -> Ruler {
    let all = [
        0.0,
        marks.chord_m,
        marks.balance_point_m,
        marks.neutral_point_m,
        marks.window_front_m,
        marks.window_rear_m,
    ];
    let usable = all.into_iter().filter(|m| m.is_finite());
    let (first, last) =
        usable.fold((f64::MAX, f64::MIN), |(low, high), m| (low.min(m), high.max(m)));
    let room = (width - 2.0 * MARGIN_PX).max(1.0);
    let px_per_m = room / (last - first).max(1e-3);
    let at = |m: f64| {
        let m = if m.is_finite() { m } else { first };
        MARGIN_PX + (m - first) * px_per_m
    };
    Ruler {
        chord: (at(0.0), at(marks.chord_m)),
        balance_point: at(marks.balance_point_m),
        neutral_point: at(marks.neutral_point_m),
        window: (at(marks.window_front_m), at(marks.window_rear_m)),
        ticks: ticks(first * per_m, last * per_m, px_per_m / per_m)
            .map(|(number, lettered)| (at(number / per_m), lettered.then(|| plain(number, 1))))
            .collect(),
    }
}

/// Numbers that get a tick, and whether they are lettered too.
fn ticks(first: f64, last: f64, px_per_unit: f64) -> impl Iterator<Item = (f64, bool)> {
    let decades = [0.1, 1.0, 10.0, 100.0, 1000.0];
    let mut steps = decades.into_iter().flat_map(|ten| [1.0, 2.0, 5.0].map(|step| step * ten));
    let lettered = steps.find(|step| step * px_per_unit >= LETTERED_PX).unwrap_or(20_000.0);
    let small = lettered / f64::from(SMALL_STEPS);
    let begin = (first / small).ceil() as i64;
    let end = ((last / small).floor() as i64).min(begin + TICKS_MAX);
    (begin..=end).map(move |i| (i as f64 * small, i % i64::from(SMALL_STEPS) == 0))
}

/// Small steps from one lettered tick to the next.
const SMALL_STEPS: i32 = 5;

#[cfg(test)]
mod tests {
    use wasm_bindgen_test::wasm_bindgen_test;

    use super::*;

    fn marks() -> Marks {
        Marks {
            chord_m: 0.2,
            balance_point_m: 0.062,
            neutral_point_m: 0.09,
            window_front_m: 0.05,
            window_rear_m: 0.075,
        }
    }

    #[wasm_bindgen_test(unsupported = test)]
    fn every_mark_is_on_the_paper_and_in_order() {
        for width in [300.0, 1000.0] {
            let ruler = place(&marks(), width, 1e3);
            let order = [
                ruler.chord.0,
                ruler.window.0,
                ruler.balance_point,
                ruler.window.1,
                ruler.neutral_point,
                ruler.chord.1,
            ];
            assert!(order.windows(2).all(|pair| pair[0] < pair[1]), "{order:?}");
            assert!(order[0] >= 0.0 && order[5] <= width, "{order:?}");
        }
    }

    #[wasm_bindgen_test(unsupported = test)]
    fn ticks_are_few_and_their_numbers_apart() {
        for chord_m in [0.03, 0.2, 1.6] {
            let ruler = place(&Marks { chord_m, ..marks() }, 340.0, 1e3);
            assert!(ruler.ticks.len() < 60, "{} ticks", ruler.ticks.len());
            let numbered: Vec<f64> =
                ruler.ticks.iter().filter(|t| t.1.is_some()).map(|t| t.0).collect();
            assert!(numbered.len() >= 2);
            assert!(numbered.windows(2).all(|pair| pair[1] - pair[0] >= LETTERED_PX - 1e-6));
        }
    }

    #[wasm_bindgen_test(unsupported = test)]
    fn marks_without_a_place_do_no_harm() {
        let ruler = place(&Marks { neutral_point_m: f64::NAN, ..marks() }, 300.0, 1e3);
        assert!(ruler.neutral_point.is_finite() && ruler.chord.1.is_finite());
    }
}
