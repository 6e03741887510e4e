//! How fast frames come, and how finely it is worth drawing.
//!
//! A weak graphics card draws fewer pixels rather than fewer frames. The times
//! are left on the page for its tests.

use std::collections::VecDeque;

use sim_core::math::sort_numbers;

/// Frames that are looked at.
const KEPT: usize = 120;
/// Frames after which a slow picture is drawn coarser.
const PATIENCE: usize = 20;
/// Shares of the screen's pixels along each side.
const FINENESS: [f64; 4] = [1.0, 0.75, 0.55, 0.4];
/// A middle frame that takes longer than this is too slow, ms.
const SLOW_MS: f64 = 22.0;

/// The pace of a flight.
#[derive(Debug, Clone, Default)]
pub struct Pace {
    between_ms: VecDeque<f64>,
    work_ms: VecDeque<f64>,
    level: usize,
}

impl Pace {
    /// Share of the screen's pixels along each side that are drawn.
    pub fn fineness(&self) -> f64 {
        FINENESS[self.level]
    }

    /// A frame came `between_ms` after the last and took `work_ms`; says whether
    /// the figures are worth leaving on the page.
    pub fn frame(&mut self, between_ms: f64, work_ms: f64) -> bool {
        for (list, value) in [(&mut self.between_ms, between_ms), (&mut self.work_ms, work_ms)] {
            list.push_back(value);
            if list.len() > KEPT {
                list.pop_front();
            }
        }
        let count = self.between_ms.len();
        if count == KEPT {
            // Looked at anew after half as many.
            self.between_ms.drain(..KEPT / 2);
        }
        count == PATIENCE || count == KEPT
    }

    /// Draws coarser from here on where frames come too slowly.
    pub fn adapt(&mut self) {
        let slow = quantile(&self.between_ms, 0.5) > SLOW_MS;
        if slow && self.level + 1 < FINENESS.len() {
            self.level += 1;
            self.between_ms.clear();
            self.work_ms.clear();
        }
    }

    /// Leaves the figures on the page.
    pub fn leave_figures(&self) {
        let Some(body) = web_sys::window().and_then(|w| w.document()).and_then(|d| d.body()) else {
            return;
        };
        let data = body.dataset();
        for (name, value) in [
            ("frameMs", quantile(&self.between_ms, 0.5)),
            ("frameSlowMs", quantile(&self.between_ms, 0.95)),
            ("frameWorkMs", quantile(&self.work_ms, 0.95)),
            ("fineness", self.fineness()),
        ] {
            // Fails only for names that are not a data attribute.
            let _ = data.set(name, &format!("{value:.2}"));
        }
    }
}

fn quantile(list: &VecDeque<f64>, share: f64) -> f64 {
    let mut sorted: Vec<f64> = list.iter().copied().collect();
    sort_numbers(&mut sorted);
    let last = sorted.len().saturating_sub(1);
    sorted.get((share * last as f64).round() as usize).copied().unwrap_or(0.0)
}

#[cfg(test)]
mod tests {
    use wasm_bindgen_test::wasm_bindgen_test;

    use super::*;

    #[wasm_bindgen_test(unsupported = test)]
    fn slow_frames_are_drawn_coarser_and_quick_ones_as_they_are() {
        let (mut slow, mut quick) = (Pace::default(), Pace::default());
        for _ in 0..3 * KEPT {
            if slow.frame(45.0, 30.0) {
                slow.adapt();
            }
            if quick.frame(16.7, 4.0) {
                quick.adapt();
            }
        }
        assert!(slow.fineness() < 0.6);
        assert_eq!(quick.fineness(), 1.0);
    }
}
