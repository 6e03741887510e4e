//! Scripts without what is written for people: comments, indentation, and in the
//! one between page and WebAssembly the names by which the two know each other.

use std::collections::HashMap;

use anyhow::Result;
use wasmparser::{Parser, Payload, TypeRef};

/// Begins the names of closures among what the module offers; all others are
/// called by the page's own scripts.
const CLOSURE: &str = "wasm_bindgen__convert__closures";

/// A short name for each function that the module asks of the script, and for
/// each closure that the script asks of the module. None stands in the script
/// with another meaning.
pub fn short_names(wasm: &[u8], script: &str) -> Result<HashMap<String, String>> {
    let mut long = Vec::new();
    for payload in Parser::new(0).parse_all(wasm) {
        match payload? {
            Payload::ImportSection(section) => {
                for import in section.into_imports() {
                    let import = import?;
                    if matches!(import.ty, TypeRef::Func(_)) {
                        long.push(import.name.to_owned());
                    }
                }
            }
            Payload::ExportSection(section) => {
                for export in section {
                    let name = export?.name;
                    if name.starts_with(CLOSURE) {
                        long.push(name.to_owned());
                    }
                }
            }
            _ => {}
        }
    }
    let free =
        (0..).map(|number: usize| format!("_{number}")).filter(|name| !script.contains(name));
    Ok(long.into_iter().zip(free).collect())
}

/// The script with `names` in place, for machines alone. Statements keep their
/// lines, since a line's end may end one.
pub fn shortened(script: &str, names: &HashMap<String, String>) -> String {
    let mut short = String::with_capacity(script.len());
    let mut in_comment = false;
    for line in script.lines().map(str::trim) {
        in_comment |= line.starts_with("/*");
        if !in_comment && !line.is_empty() && !line.starts_with("//") {
            renamed(line, names, &mut short);
            short.push('\n');
        }
        in_comment &= !line.ends_with("*/");
    }
    short
}

/// Appends the line with every whole name replaced that has a short one.
fn renamed(line: &str, names: &HashMap<String, String>, to: &mut String) {
    let of_a_name = |letter: char| letter.is_alphanumeric() || letter == '_' || letter == '$';
    let mut rest = line;
    while !rest.is_empty() {
        let name = &rest[..rest.find(|letter| !of_a_name(letter)).unwrap_or(rest.len())];
        to.push_str(names.get(name).map_or(name, String::as_str));
        rest = &rest[name.len()..];
        let between = &rest[..rest.find(of_a_name).unwrap_or(rest.len())];
        to.push_str(between);
        rest = &rest[between.len()..];
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_script_keeps_what_it_says_to_the_machine() {
        let script = "/**\n * For people.\n * @returns {number}\n */\nfunction long_name(a) {\n    // Twice.\n    return wasm.long_name(a) +\n        other_long_name(long_name_2);\n\n}\n";
        let names = HashMap::from([("long_name".to_owned(), "_0".to_owned())]);
        let expected = "function _0(a) {\nreturn wasm._0(a) +\nother_long_name(long_name_2);\n}\n";
        assert_eq!(shortened(script, &names), expected);
    }
}
