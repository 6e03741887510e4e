//! What the builder reads off a ruler, a scale or a label, and the SI value
//! that it stands for. The only place where millimetres, grams and the like
//! exist.

use sim_core::aircraft::limits::Limits;

/// A kind of measurement with the unit in which it is typed and shown.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Measure {
    /// Unit as shown behind the number; empty for counts and pure numbers.
    pub unit: &'static str,
    /// How many of the unit make one of the unit in the aircraft file.
    pub per_file_unit: f64,
    /// Step of the arrow keys and of sliders, in the shown unit.
    pub step: f64,
}

impl Measure {
    const fn new(unit: &'static str, per_file_unit: f64, step: f64) -> Self {
        Self { unit, per_file_unit, step }
    }

    /// The value in the file's unit as text in the shown unit, without the
    /// unit: as short as reads back within a millionth of the unit.
    pub fn show(&self, value: f64) -> String {
        plain(value * self.per_file_unit, 6)
    }

    /// The shown number as a value in the file's unit.
    pub fn read(&self, shown: f64) -> f64 {
        shown / self.per_file_unit
    }

    /// Limits given in the file's unit, in the shown unit.
    pub fn limits(&self, limits: Limits) -> (f64, f64) {
        (limits.min * self.per_file_unit, limits.max * self.per_file_unit)
    }
}

/// A number without trailing zeros, with at most `decimals` of them.
pub fn plain(value: f64, decimals: usize) -> String {
    let mut text = format!("{value:.decimals$}");
    if text.contains('.') {
        text.truncate(text.trim_end_matches('0').trim_end_matches('.').len());
    }
    if text == "-0" { "0".to_owned() } else { text }
}

/// The number in a text as a builder types it, or nothing.
///
/// Takes a decimal comma and blanks at the ends. Refuses what is not finite.
pub fn parse(text: &str) -> Option<f64> {
    let text = text.trim().replace(',', ".").replace('\u{2212}', "-");
    // Words such as "inf" and "nan" are numbers to Rust, not to a builder.
    if text.chars().any(|c| c.is_alphabetic() && !matches!(c, 'e' | 'E')) {
        return None;
    }
    text.parse().ok().filter(|number: &f64| number.is_finite())
}

/// Lengths of the airframe.
pub const LENGTH: Measure = Measure::new("mm", 1e3, 1.0);
/// Propellers carry inches in their printed size.
pub const PROPELLER: Measure = Measure::new("in", 1.0 / 0.0254, 0.5);
/// Weights.
pub const MASS: Measure = Measure::new("g", 1e3, 1.0);
/// Weight of sheet material.
pub const AREAL_DENSITY: Measure = Measure::new("g/m²", 1e3, 10.0);
/// Angles, which the file states in degrees too.
pub const ANGLE: Measure = Measure::new("°", 1.0, 0.5);
/// Shares of a chord or a span.
pub const SHARE: Measure = Measure::new("%", 1e2, 1.0);
/// Motor speed constant.
pub const SPEED_CONSTANT: Measure = Measure::new("rpm/V", 1.0, 10.0);
/// Electrical resistance.
pub const RESISTANCE: Measure = Measure::new("mΩ", 1e3, 1.0);
/// Voltages.
pub const VOLTAGE: Measure = Measure::new("V", 1.0, 0.05);
/// Electric current.
pub const CURRENT: Measure = Measure::new("A", 1.0, 1.0);
/// Charge of a pack.
pub const CAPACITY: Measure = Measure::new("mAh", 1e3, 50.0);
/// Forces.
pub const FORCE: Measure = Measure::new("N", 1.0, 1.0);
/// Airspeeds.
pub const SPEED: Measure = Measure::new("m/s", 1.0, 0.5);
/// Moments of inertia.
pub const INERTIA: Measure = Measure::new("g·m²", 1e3, 1.0);

#[cfg(test)]
mod tests {
    use wasm_bindgen_test::wasm_bindgen_test;

    use super::*;

    #[wasm_bindgen_test(unsupported = test)]
    fn reads_numbers_as_builders_write_them() {
        for (text, number) in [
            ("12", Some(12.0)),
            (" 12,5 ", Some(12.5)),
            ("\u{2212}3", Some(-3.0)),
            ("1e3", Some(1000.0)),
            (".5", Some(0.5)),
            ("", None),
            ("12 mm", None),
            ("1.2.3", None),
            ("nan", None),
            ("inf", None),
            ("1e999", None),
            ("0x10", None),
        ] {
            assert_eq!(parse(text), number, "{text:?}");
        }
    }

    #[wasm_bindgen_test(unsupported = test)]
    fn shows_what_was_measured_not_its_binary_rest() {
        assert_eq!(LENGTH.show(0.18), "180");
        assert_eq!(LENGTH.show(0.0625), "62.5");
        assert_eq!(PROPELLER.show(0.2032), "8");
        assert_eq!(ANGLE.show(-0.0), "0");
        assert_eq!(CAPACITY.show(1.0), "1000");
    }

    /// Showing and reading back gives the value again, for every unit, to the
    /// millionth that is shown.
    #[wasm_bindgen_test(unsupported = test)]
    fn what_is_shown_reads_back() {
        for measure in [LENGTH, PROPELLER, MASS, ANGLE, SHARE, RESISTANCE, CAPACITY, INERTIA] {
            for value in [0.0, 0.0123, -4.5, 0.33, 12.0] {
                let back = parse(&measure.show(value)).map(|shown| measure.read(shown)).unwrap();
                let allowed = 0.5e-6 / measure.per_file_unit + 1e-15;
                assert!((back - value).abs() <= allowed, "{measure:?}: {value} became {back}");
            }
        }
    }
}
