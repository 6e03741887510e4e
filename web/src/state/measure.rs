//! What the builder reads off a ruler, a scale or a label, and the SI value
//! that it stands for. The only place where millimetres, grams and the like
//! exist.

use sim_core::aircraft::limits::Limits;

use super::units::{self, Units};

/// A kind of measurement with the units in which it is typed and shown.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Measure {
    metric: Scale,
    inches: Scale,
}

/// One unit of a measure.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Scale {
    /// Unit as shown behind the number; empty for counts and pure numbers.
    pub unit: &'static str,
    /// How many of the unit make one of the unit in the aircraft file.
    pub per_file_unit: f64,
    /// Step of the arrow keys and of sliders, in the unit.
    pub step: f64,
    /// Most decimals with which a measurement is shown in the form.
    decimals: usize,
}

impl Measure {
    /// A measure that has the same unit for everybody.
    pub(super) const fn new(unit: &'static str, per_file_unit: f64, step: f64) -> Self {
        let scale = Scale { unit, per_file_unit, step, decimals: 6 };
        Self { metric: scale, inches: scale }
    }

    /// The same with another unit for who works in inches and ounces.
    pub(super) const fn or(self, unit: &'static str, per_file_unit: f64, step: f64) -> Self {
        Self { inches: Scale { unit, per_file_unit, step, decimals: 3 }, ..self }
    }

    /// The unit in force; read again whenever the builder changes it.
    pub fn scale(&self) -> Scale {
        match units::in_force() {
            Units::Metric => self.metric,
            Units::Inches => self.inches,
        }
    }

    /// The unit in force, as shown behind the number.
    pub fn unit(&self) -> &'static str {
        self.scale().unit
    }

    /// The value in the file's unit as text in the shown unit, without the
    /// unit: as short as reads back within a millionth of the metric unit, or
    /// a thousandth of an inch or ounce.
    pub fn show(&self, value: f64) -> String {
        let scale = self.scale();
        plain(value * scale.per_file_unit, scale.decimals)
    }

    /// The value in the shown unit.
    pub fn shown(&self, value: f64) -> f64 {
        value * self.scale().per_file_unit
    }

    /// The shown number as a value in the file's unit.
    pub fn read(&self, shown: f64) -> f64 {
        shown / self.scale().per_file_unit
    }

    /// Limits given in the file's unit, in the shown unit.
    pub fn limits(&self, limits: Limits) -> (f64, f64) {
        (self.shown(limits.min), self.shown(limits.max))
    }

    /// A value with its unit: `metric` decimals, or `inches` decimals.
    pub fn in_words(&self, value: f64, metric: usize, inches: usize) -> String {
        let decimals = match units::in_force() {
            Units::Metric => metric,
            Units::Inches => inches,
        };
        let number = plain(self.shown(value), decimals).replace('-', "\u{2212}");
        match self.unit() {
            "°" => format!("{number}°"),
            unit => format!("{number} {unit}"),
        }
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
    let unsigned = text.trim_start_matches(['-', '+']);
    let sign = match text.len() - unsigned.len() {
        0 => 1.0,
        1 => {
            if text.starts_with('-') {
                -1.0
            } else {
                1.0
            }
        }
        _ => return None,
    };
    let end = unsigned.find(['e', 'E']).unwrap_or(unsigned.len());
    let (digits, exponent) = unsigned.split_at(end);
    let (whole, part) = digits.split_once('.').unwrap_or((digits, ""));
    let numeral = |digits: &str| digits.bytes().all(|byte| byte.is_ascii_digit());
    if whole.len() + part.len() == 0 || !numeral(whole) || !numeral(part) {
        return None;
    }
    // Read as files are, where a digit stands on both sides of the point and no
    // nought in front: the standard library's reader brings 10 kB of powers.
    let number = format!("0{whole}.{part}0{exponent}");
    serde_json::from_str(&number[leading_noughts(&number)..]).ok().map(|size: f64| sign * size)
}

/// How many digits stand in front of a number without need.
fn leading_noughts(number: &str) -> usize {
    let noughts = number.len() - number.trim_start_matches('0').len();
    noughts - usize::from(number[noughts..].starts_with('.'))
}

/// An inch, m, by definition.
pub const INCH_M: f64 = 0.0254;
/// An avoirdupois ounce, kg, by definition of the pound.
pub const OUNCE_KG: f64 = 0.028_349_523_125;
/// A square foot, m2.
const SQUARE_FOOT_M2: f64 = 144.0 * INCH_M * INCH_M;

/// Lengths of the airframe.
pub const LENGTH: Measure = Measure::new("mm", 1e3, 1.0).or("in", 1.0 / INCH_M, 0.05);
/// Propellers carry inches in their printed size.
pub const PROPELLER: Measure = Measure::new("in", 1.0 / INCH_M, 0.5);
/// Weights.
pub const MASS: Measure = Measure::new("g", 1e3, 1.0).or("oz", 1.0 / OUNCE_KG, 0.05);
/// Areas of surfaces.
pub const AREA: Measure = Measure::new("dm²", 1e2, 1.0).or("in²", 1.0 / (INCH_M * INCH_M), 1.0);
/// Weight over wing area.
pub const WING_LOADING: Measure =
    Measure::new("g/dm²", 10.0, 1.0).or("oz/ft²", SQUARE_FOOT_M2 / OUNCE_KG, 0.1);
/// Weight of sheet material.
pub const AREAL_DENSITY: Measure =
    Measure::new("g/m²", 1e3, 10.0).or("oz/ft²", SQUARE_FOOT_M2 / OUNCE_KG, 0.05);
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
            ("5.", Some(5.0)),
            ("+007,50", Some(7.5)),
            ("0", Some(0.0)),
            ("-0.0", Some(0.0)),
            ("1.5e-3", Some(0.0015)),
            (".", None),
            ("-", None),
            ("--5", None),
            ("+-5", None),
            ("1e", None),
            ("1 000", None),
            ("\u{661}", None),
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
                let scale = measure.scale();
                let allowed =
                    0.5 * 0.1_f64.powi(scale.decimals as i32) / scale.per_file_unit + 1e-15;
                assert!((back - value).abs() <= allowed, "{measure:?}: {value} became {back}");
            }
        }
    }

    const ALL: [Measure; 16] = [
        LENGTH,
        PROPELLER,
        MASS,
        AREA,
        WING_LOADING,
        AREAL_DENSITY,
        ANGLE,
        SHARE,
        SPEED_CONSTANT,
        RESISTANCE,
        VOLTAGE,
        CURRENT,
        CAPACITY,
        FORCE,
        SPEED,
        INERTIA,
    ];

    /// What is typed is kept in the file's unit and shown as it was typed, in
    /// either system of units, for numbers of every size.
    #[wasm_bindgen_test(unsupported = test)]
    fn what_is_typed_comes_back_in_every_unit() {
        for units in [Units::Inches, Units::Metric] {
            units::choose(units);
            for measure in ALL {
                for k in 0..400 {
                    // Multiples of the golden section fill a range evenly.
                    let share = (0.618_033_988_749_895 * f64::from(k)).fract();
                    let typed = (share - 0.3) * 10f64.powi(k % 5 - 1);
                    let back = measure.shown(measure.read(typed));
                    assert!((back - typed).abs() <= 1e-12 * typed.abs(), "{measure:?} {typed}");
                    let text = plain(typed, measure.scale().decimals);
                    let kept = parse(&text).map(|number| measure.read(number)).unwrap();
                    assert_eq!(measure.show(kept), text, "{measure:?}");
                }
            }
        }
    }

    /// 12 in make a foot, 16 oz a pound of 453.59237 g (definitions of 1959).
    #[wasm_bindgen_test(unsupported = test)]
    fn inches_and_ounces_are_those_of_the_ruler_and_the_scale() {
        assert!((LENGTH.inches.per_file_unit * 0.3048 - 12.0).abs() < 1e-12);
        assert!((MASS.inches.per_file_unit * 0.453_592_37 - 16.0).abs() < 1e-12);
        // 1 oz/ft2 is 305.15 g/m2.
        assert!((AREAL_DENSITY.inches.per_file_unit * 0.305_15 - 1.0).abs() < 1e-4);
    }
}
