//! The map of natural motions: to the left what dies down soon, upwards what
//! swings fast.
//!
//! The roots of a model reach from one that hardly moves to one that is gone in
//! a twentieth of a second, so both axes are stretched around nothing: by the
//! inverse hyperbolic sine, which is straight there and logarithmic beyond.

/// Sizes of the roots from which on the axes are logarithmic, 1/s and rad/s.
const STRETCH: (f64, f64) = (0.3, 0.6);
/// Least reach of the map: real parts from, to, 1/s; imaginary part to, rad/s.
const REACH_MIN: (f64, f64, f64) = (-20.0, 0.5, 12.0);
/// Steps in which the map reaches farther, of the stretched axes.
const STEP: f64 = 0.5;
/// Margins: left, right, top, bottom, px.
const MARGIN: (f64, f64, f64, f64) = (24.0, 14.0, 16.0, 50.0);

/// A map on paper.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ModeMap {
    /// Width of the paper, px.
    pub width: f64,
    /// Height of the paper, px.
    pub height: f64,
    across: (f64, f64),
    upwards: f64,
}

impl ModeMap {
    /// A map `width` by `height` px that shows all `roots` (real part, 1/s, and
    /// imaginary part, rad/s).
    pub fn around(
        roots: impl IntoIterator<Item = (f64, f64)>,
        (width, height): (f64, f64),
    ) -> Self {
        let usable = roots.into_iter().filter(|(re, im)| re.is_finite() && im.is_finite());
        let (low, high, top) = usable.fold(REACH_MIN, |(low, high, top), (re, im)| {
            (low.min(re * 1.2), high.max(re * 1.2), top.max(im.abs() * 1.2))
        });
        Self {
            width: width.max(200.0),
            height,
            // In steps, so that the map stands still while its marks move.
            across: (
                (stretched(low, STRETCH.0) / STEP).floor() * STEP,
                (stretched(high, STRETCH.0) / STEP).ceil() * STEP,
            ),
            upwards: (stretched(top, STRETCH.1) / STEP).ceil() * STEP,
        }
    }

    /// Where a real part lies, px from the left.
    pub fn x(&self, real_1_s: f64) -> f64 {
        let (from, to) = self.across;
        let share = (stretched(real_1_s, STRETCH.0) - from) / (to - from);
        MARGIN.0 + (self.width - MARGIN.0 - MARGIN.1) * share
    }

    /// Where an imaginary part lies, px from the top.
    pub fn y(&self, imaginary_rad_s: f64) -> f64 {
        let share = stretched(imaginary_rad_s.abs(), STRETCH.1) / self.upwards;
        self.ground() - (self.ground() - MARGIN.2) * share
    }

    /// Where the lowest line lies, on which nothing swings, px from the top.
    pub fn ground(&self) -> f64 {
        self.height - MARGIN.3
    }

    /// The upper edge of the map, px from the top.
    pub fn top(&self) -> f64 {
        MARGIN.2
    }

    /// The left edge, px from the left.
    pub fn left(&self) -> f64 {
        MARGIN.0
    }

    /// The right edge, px from the left.
    pub fn right(&self) -> f64 {
        self.width - MARGIN.1
    }
}

fn stretched(value: f64, around: f64) -> f64 {
    (value / around).asinh()
}

/// Size of a letter with its gap, px.
const LETTER_PX: (f64, f64) = (7.0, 16.0);
/// How far a name stands from its mark, px.
const ASIDE_PX: f64 = 10.0;

/// A place for the name of each mark where it covers no other name: the left
/// end of its line, px. Each mark has the number of letters of its name.
pub fn name_places(map: &ModeMap, marks: &[((f64, f64), usize)]) -> Vec<(f64, f64)> {
    let mut taken: Vec<(f64, f64, f64)> = Vec::new();
    let rows = [0.0, -1.0, 1.0, -2.0, 2.0, -3.0, 3.0, -4.0, 4.0];
    marks
        .iter()
        .map(|((x, y), letters)| {
            let long = *letters as f64 * LETTER_PX.0;
            let beside = [x + ASIDE_PX, x - ASIDE_PX - long, x - long / 2.0];
            let mut places = rows.iter().flat_map(|row| {
                let beside = if *row == 0.0 { &beside[..2] } else { &beside[..] };
                beside.iter().map(move |left| (*left, y + row * LETTER_PX.1))
            });
            let fits = |(left, line): &(f64, f64)| {
                *left >= 2.0
                    && left + long <= map.width - 2.0
                    && *line > LETTER_PX.1 / 2.0
                    && *line < map.ground() + LETTER_PX.1 / 2.0
                    && taken.iter().all(|(other, row, end)| {
                        (row - line).abs() >= LETTER_PX.1 || left + long < *other || left > end
                    })
            };
            let place = places.find(fits).unwrap_or((beside[0].max(2.0), *y));
            taken.push((place.0, place.1, place.0 + long));
            place
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use wasm_bindgen_test::wasm_bindgen_test;

    use super::*;

    #[wasm_bindgen_test(unsupported = test)]
    fn every_root_is_on_the_paper_and_in_order() {
        let roots = [(-90.0, 0.0), (-8.0, 30.0), (-0.02, 0.6), (0.0, 0.0), (3.0, 0.0)];
        let map = ModeMap::around(roots, (360.0, 260.0));
        let x = roots.map(|(re, _)| map.x(re));
        assert!(x.windows(2).all(|pair| pair[0] < pair[1]), "{x:?}");
        assert!(x[0] >= 0.0 && x[4] <= 360.0, "{x:?}");
        for (_, im) in roots {
            assert!((0.0..=map.ground()).contains(&map.y(im)), "{im}");
        }
        assert_eq!(map.y(0.0), map.ground());
    }

    #[wasm_bindgen_test(unsupported = test)]
    fn roots_without_a_size_do_no_harm() {
        let map = ModeMap::around([(f64::NAN, f64::INFINITY)], (360.0, 260.0));
        assert!(map.x(-1.0).is_finite() && map.y(1.0).is_finite());
    }

    #[wasm_bindgen_test(unsupported = test)]
    fn names_of_marks_at_one_place_stand_apart() {
        let map = ModeMap::around([], (360.0, 260.0));
        let places = name_places(&map, &[((200.0, 100.0), 10); 5]);
        for (i, a) in places.iter().enumerate() {
            for b in &places[..i] {
                let apart = (a.1 - b.1).abs() >= 16.0 || (a.0 - b.0).abs() >= 70.0;
                assert!(apart, "{places:?}");
            }
        }
    }
}
