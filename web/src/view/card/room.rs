//! Where words find room on a drawing: near what they speak of, clear of its
//! lines and of each other.

/// A rectangle of the paper, px: left, top, right, bottom.
pub type Area = [f64; 4];

/// How near words come to lines and to each other, px.
const CLEAR_PX: f64 = 4.0;
/// Distance of the places that are tried, px, and their number to each side.
const STEP_PX: f64 = 6.0;
const STEPS: i32 = 40;
/// What a place beside the middle costs against one farther away.
const ASIDE: f64 = 0.15;

/// How far two rectangles are apart, px; below zero where they overlap.
fn apart(a: Area, b: Area) -> f64 {
    (a[0] - b[2]).max(b[0] - a[2]).max(a[1] - b[3]).max(b[1] - a[3])
}

/// A drawing with all that stands on it already.
pub struct Paper {
    /// All of it.
    pub edge: Area,
    /// What is taken: words, and the lines as dots.
    pub taken: Vec<Area>,
}

impl Paper {
    /// Takes the nearest room for words of a width and a height beside `what`;
    /// nothing where there is none.
    pub fn take(&mut self, what: Area, (width, height): (f64, f64)) -> Option<Area> {
        let (x, y) = ((what[0] + what[2] - width) / 2.0, (what[1] + what[3] - height) / 2.0);
        let (mut least, mut best) = (f64::INFINITY, None);
        for across in -STEPS..=STEPS {
            for down in -STEPS..=STEPS {
                let (dx, dy) = (f64::from(across) * STEP_PX, f64::from(down) * STEP_PX);
                let area = [x + dx, y + dy, x + dx + width, y + dy + height];
                let gap = apart(area, what);
                let cost = gap + ASIDE * (dx.abs() + dy.abs());
                let inside = area[0] >= self.edge[0]
                    && area[1] >= self.edge[1]
                    && area[2] <= self.edge[2]
                    && area[3] <= self.edge[3];
                if gap >= CLEAR_PX
                    && cost < least
                    && inside
                    && self.taken.iter().all(|taken| apart(area, *taken) >= CLEAR_PX)
                {
                    (least, best) = (cost, Some(area));
                }
            }
        }
        self.taken.extend(best);
        best
    }
}

#[cfg(test)]
mod tests {
    use wasm_bindgen_test::wasm_bindgen_test;

    use super::*;

    #[wasm_bindgen_test(unsupported = test)]
    fn words_stand_beside_what_they_speak_of_and_never_on_each_other() {
        let what = [100.0, 100.0, 120.0, 160.0];
        let taken = vec![[130.0, 0.0, 130.0, 300.0], [60.0, 110.0, 90.0, 150.0], what];
        let mut paper = Paper { edge: [0.0, 0.0, 300.0, 300.0], taken };
        for _ in 0..4 {
            paper.take(what, (60.0, 30.0)).expect("there is room");
        }
        for (index, area) in paper.taken.iter().enumerate() {
            let clear = |other: &Area| apart(*area, *other) >= CLEAR_PX;
            assert!(index < 3 || paper.taken[..index].iter().all(clear), "{:?}", paper.taken);
        }
        paper.edge = [0.0, 0.0, 10.0, 10.0];
        assert_eq!(paper.take(what, (60.0, 30.0)), None);
    }
}
