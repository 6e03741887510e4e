//! One value that a test held against another, and how its error is told.

use serde::Deserialize;

#[derive(Deserialize, Clone)]
pub struct Place {
    pub file: String,
    pub test: Option<String>,
    pub order: usize,
}

#[derive(Deserialize, Clone)]
pub struct Comparison {
    #[serde(flatten)]
    pub place: Place,
    pub what: String,
    ours: f64,
    pub theirs: f64,
    pub kind: Kind,
    pub tolerance: f64,
    pub miss: Option<String>,
}

#[derive(Deserialize, Clone, Copy, PartialEq)]
#[serde(rename_all = "lowercase")]
pub enum Kind {
    Relative,
    Absolute,
}

/// Differences below this share are rounding, which machines do differently.
const ROUNDING: f64 = 1e-8;

impl Comparison {
    /// Ours less theirs, as a share or in the unit of the quantity.
    pub fn error(&self) -> f64 {
        match self.kind {
            Kind::Relative => (self.ours - self.theirs) / self.theirs.abs(),
            Kind::Absolute => self.ours - self.theirs,
        }
    }

    /// Error over tolerance.
    pub fn strain(&self) -> f64 {
        self.error().abs() / self.tolerance
    }

    /// Whether both are the same but for rounding.
    pub fn is_rounding(&self) -> bool {
        (self.ours - self.theirs).abs() <= ROUNDING * self.theirs.abs().max(1e-3)
    }

    /// Ours, without the noise of rounding.
    pub fn shown(&self) -> f64 {
        if self.is_rounding() { self.theirs } else { self.ours }
    }

    pub fn error_in_words(&self) -> String {
        if self.is_rounding() { "0".to_owned() } else { self.in_words(self.error()) }
    }

    /// An error or a tolerance of this kind.
    pub fn in_words(&self, value: f64) -> String {
        match self.kind {
            Kind::Relative => format!("{} %", significant(100.0 * value, 2)),
            Kind::Absolute => significant(value, 2),
        }
    }
}

/// `value` with so many significant digits, without trailing noughts.
pub fn significant(value: f64, digits: usize) -> String {
    if value == 0.0 || !value.is_finite() {
        return "0".to_owned();
    }
    let power = value.abs().log10().floor() as i32;
    if !(-4..6).contains(&power) {
        return format!("{value:.*e}", digits.saturating_sub(1));
    }
    let decimals = (digits as i32 - 1 - power).max(0) as usize;
    let text = format!("{value:.decimals$}");
    if text.contains('.') {
        text.trim_end_matches('0').trim_end_matches('.').to_owned()
    } else {
        text
    }
}

#[cfg(test)]
mod tests {
    use super::significant;

    #[test]
    fn digits() {
        assert_eq!(significant(0.123_456, 3), "0.123");
        assert_eq!(significant(-12.0, 3), "-12");
        assert_eq!(significant(123_456.0, 3), "123456");
        assert_eq!(significant(1.789_4e-5, 3), "1.79e-5");
        assert_eq!(significant(0.0, 3), "0");
    }
}
