//! Colours and typeface of curves, taken from the style sheet so that they
//! follow it into the dark.

use wasm_bindgen::JsValue;

/// Colours by their use, as the style sheet writes them.
#[derive(Debug, Clone, PartialEq)]
pub struct Palette {
    /// First curve.
    pub blue: String,
    /// Second curve.
    pub red: String,
    /// Lettering.
    pub soft: String,
    /// Grid.
    pub hair: String,
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
        let value = |name: &str| style.get_property_value(name);
        Ok(Self {
            blue: value("--blue")?,
            red: value("--red")?,
            soft: value("--ink-soft")?,
            hair: value("--hair")?,
            family: value("font-family")?,
        })
    }
}
