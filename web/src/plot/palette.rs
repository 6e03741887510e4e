//! Colours and typeface of curves, taken from the style sheet so that they
//! follow it into the dark.

use plotters::style::RGBColor;
use wasm_bindgen::JsValue;

/// Colours by their use.
#[derive(Debug, Clone, PartialEq)]
pub struct Palette {
    /// First curve.
    pub blue: RGBColor,
    /// Second curve.
    pub red: RGBColor,
    /// Lettering.
    pub soft: RGBColor,
    /// Grid.
    pub hair: RGBColor,
    /// Typeface.
    pub family: String,
}

impl Palette {
    /// Reads the colours that are in force for the page.
    ///
    /// # Errors
    /// Whatever the browser says where it has no styles.
    pub fn in_force() -> Result<Self, JsValue> {
        let window = web_sys::window().ok_or(JsValue::NULL)?;
        let document = window.document().ok_or(JsValue::NULL)?;
        let root = document.document_element().ok_or(JsValue::NULL)?;
        let style = window.get_computed_style(&root)?.ok_or(JsValue::NULL)?;
        let color = |name: &str| {
            style
                .get_property_value(name)
                .map(|text| parse_color(&text).unwrap_or(RGBColor(0, 0, 0)))
        };
        Ok(Self {
            blue: color("--blue")?,
            red: color("--red")?,
            soft: color("--ink-soft")?,
            hair: color("--hair")?,
            family: style.get_property_value("font-family")?,
        })
    }
}

/// A colour written as `#rrggbb`.
fn parse_color(text: &str) -> Option<RGBColor> {
    let digits = text.trim().strip_prefix('#').filter(|d| d.len() == 6 && d.is_ascii())?;
    let part = |from: usize| u8::from_str_radix(&digits[from..from + 2], 16).ok();
    Some(RGBColor(part(0)?, part(2)?, part(4)?))
}

#[cfg(test)]
mod tests {
    use wasm_bindgen_test::wasm_bindgen_test;

    use super::*;

    #[wasm_bindgen_test(unsupported = test)]
    fn reads_colours_as_the_style_sheet_writes_them() {
        assert_eq!(parse_color(" #1f4e79"), Some(RGBColor(0x1f, 0x4e, 0x79)));
        for wrong in ["", "#fff", "blue", "#12345g", "#ééé"] {
            assert_eq!(parse_color(wrong), None, "{wrong}");
        }
    }
}
