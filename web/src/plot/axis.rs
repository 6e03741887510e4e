//! Ranges and tick marks of axes.
//!
//! The only place that makes them: a range that is empty, reversed or not
//! finite would hang or stop the plotting library.

/// A range to plot over, with its tick marks.
#[derive(Debug, Clone, PartialEq)]
pub struct Axis {
    /// Least value shown.
    pub min: f64,
    /// Greatest value shown; always above `min`.
    pub max: f64,
    /// Distance between ticks.
    pub step: f64,
}

/// Values beyond this size are left out: nothing that we plot gets there.
const VALUE_MAX: f64 = 1e12;
/// Least width of a range, so that noise is not blown up to fill the plot.
const WIDTH_MIN: f64 = 1e-9;

impl Axis {
    /// A range around all usable `values` that reaches from tick to tick, with
    /// about `ticks` steps; at least `width_min` wide.
    pub fn around(values: impl IntoIterator<Item = f64>, ticks: u32, width_min: f64) -> Self {
        let usable = values.into_iter().filter(|v| v.is_finite() && v.abs() <= VALUE_MAX);
        let (mut min, mut max) = usable
            .fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), v| (low.min(v), high.max(v)));
        if min > max {
            (min, max) = (0.0, 1.0);
        }
        let lacking = width_min.max(WIDTH_MIN) - (max - min);
        if lacking > 0.0 {
            (min, max) = (min - lacking / 2.0, max + lacking / 2.0);
        }
        let step = round_step((max - min) / f64::from(ticks.max(1)));
        let (min, max) = ((min / step).floor() * step, (max / step).ceil() * step);
        Self { min, max: max.max(min + step), step }
    }

    /// A range from 0 to `end`, not rounded: time runs to the last sample.
    pub fn from_zero_to(end: f64, ticks: u32) -> Self {
        let end = if end.is_finite() && end > WIDTH_MIN { end.min(VALUE_MAX) } else { 1.0 };
        Self { min: 0.0, max: end, step: round_step(end / f64::from(ticks.max(1))) }
    }

    /// A range between two values in either order, not rounded.
    pub fn between(a: f64, b: f64, ticks: u32) -> Self {
        let usable = |v: f64| if v.is_finite() { v.clamp(-VALUE_MAX, VALUE_MAX) } else { 0.0 };
        let (min, max) = (usable(a).min(usable(b)), usable(a).max(usable(b)));
        let max = max.max(min + WIDTH_MIN.max(min.abs() * 1e-9));
        Self { min, max, step: round_step((max - min) / f64::from(ticks.max(1))) }
    }

    /// The tick marks within the range.
    pub fn ticks(&self) -> impl Iterator<Item = f64> + use<> {
        let (min, step) = (self.min, self.step);
        let first = (min / step).ceil();
        let count = ((self.max / step + 1e-6).floor() - first).clamp(0.0, 50.0) as u32;
        (0..=count).map(move |i| {
            let tick = (first + f64::from(i)) * step;
            // Adding up leaves a crumb where nothing should be.
            if tick.abs() < step * 1e-6 { 0.0 } else { tick }
        })
    }

    /// Decimals with which ticks are told apart.
    pub fn decimals(&self) -> usize {
        (-self.step.log10()).ceil().clamp(0.0, 9.0) as usize
    }
}

/// The next of 1, 2, 5, 10, 20, ... at or above `step`.
fn round_step(step: f64) -> f64 {
    let power = 10f64.powf(step.log10().floor());
    let share = step / power;
    let round = [1.0, 2.0, 5.0].into_iter().find(|round| share <= round * (1.0 + 1e-9));
    round.unwrap_or(10.0) * power
}

#[cfg(test)]
mod tests {
    use wasm_bindgen_test::wasm_bindgen_test;

    use super::Axis;

    #[wasm_bindgen_test(unsupported = test)]
    fn covers_the_values_from_tick_to_tick() {
        let axis = Axis::around([-3.2, 11.0], 4, 0.0);
        assert_eq!((axis.min, axis.max, axis.step), (-5.0, 15.0, 5.0));
        assert_eq!(axis.ticks().collect::<Vec<_>>(), [-5.0, 0.0, 5.0, 10.0, 15.0]);
    }

    #[wasm_bindgen_test(unsupported = test)]
    fn no_values_can_make_a_range_that_hangs() {
        let nasty = [
            vec![],
            vec![f64::NAN],
            vec![f64::INFINITY, f64::NEG_INFINITY],
            vec![0.0, 0.0],
            vec![7.0],
            vec![1e-300, -1e-300],
            vec![1e300, -1e300],
            vec![1e12, 1e12 - 1e-3],
            vec![f64::MIN_POSITIVE, f64::MAX],
        ];
        for values in nasty {
            let axis = Axis::around(values.clone(), 4, 0.0);
            assert!(axis.min.is_finite() && axis.max.is_finite(), "{values:?}: {axis:?}");
            assert!(axis.max > axis.min && axis.step > 0.0, "{values:?}: {axis:?}");
            let ticks = axis.ticks().count();
            assert!((1..=51).contains(&ticks), "{values:?}: {ticks} ticks");
        }
        for end in [0.0, -1.0, f64::NAN, f64::INFINITY] {
            let axis = Axis::from_zero_to(end, 4);
            assert!(axis.max > axis.min && axis.max.is_finite(), "{end}: {axis:?}");
            for other in [0.0, 5.0, -1e300, f64::NAN] {
                let axis = Axis::between(other, end, 4);
                assert!(
                    axis.max > axis.min && axis.ticks().count() <= 51,
                    "{other}, {end}: {axis:?}"
                );
            }
        }
    }

    #[wasm_bindgen_test(unsupported = test)]
    fn ticks_are_told_apart_by_their_decimals() {
        for (values, decimals) in [([0.0, 0.9], 1), ([0.0, 4.0], 0), ([0.0, 0.03], 2)] {
            let axis = Axis::around(values, 4, 0.0);
            assert_eq!(axis.decimals(), decimals, "{axis:?}");
        }
    }
}
