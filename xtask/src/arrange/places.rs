//! Where in the sources a panic would begin: the file stays, the line goes.
//!
//! The compiler keeps a place for everything that might panic, and no two are
//! alike: 4 kB of the compressed page. A draft has the lines.

use anyhow::Result;
use wasmparser::{DataKind, Operator, Parser, Payload};

/// The end of the name of every file that a place names.
const RUST_FILE: &[u8] = b".rs";
/// No file is as long, and no line as wide: what is beyond is no place.
const MOST_LINES: u32 = 20_000;
const MOST_COLUMNS: u32 = 500;
/// Address and length of the file's name, line and column, four bytes each.
const PLACE_BYTES: usize = 16;

/// Sets line and column to zero in every place that the module's data hold.
pub fn blank(wasm: &mut [u8]) -> Result<()> {
    for (start, address, length) in segments(wasm)? {
        let data = &mut wasm[start..start + length];
        for at in (0..length.saturating_sub(PLACE_BYTES - 1)).step_by(4) {
            let word = |number: usize| {
                let bytes = &data[at + 4 * number..][..4];
                bytes.iter().rev().fold(0_u32, |word, byte| (word << 8) | u32::from(*byte))
            };
            let name = word(0).checked_sub(address).map(|begin| begin as usize);
            let name = name.and_then(|begin| data.get(begin..begin.checked_add(word(1) as usize)?));
            if name.is_some_and(|name| name.ends_with(RUST_FILE))
                && (1..MOST_LINES).contains(&word(2))
                && (1..MOST_COLUMNS).contains(&word(3))
            {
                data[at + 8..at + PLACE_BYTES].fill(0);
            }
        }
    }
    Ok(())
}

/// Where each segment of data begins in the file and in memory, and its length.
fn segments(wasm: &[u8]) -> Result<Vec<(usize, u32, usize)>> {
    let mut segments = Vec::new();
    for payload in Parser::new(0).parse_all(wasm) {
        let Payload::DataSection(section) = payload? else { continue };
        for segment in section {
            let segment = segment?;
            let DataKind::Active { offset_expr, .. } = segment.kind else { continue };
            if let Operator::I32Const { value } = offset_expr.get_operators_reader().read()? {
                let start = segment.range.end - segment.data.len();
                segments.push((start, value.cast_unsigned(), segment.data.len()));
            }
        }
    }
    Ok(segments)
}

#[cfg(test)]
mod tests {
    use wasm_encoder::{ConstExpr, DataSection, MemorySection, MemoryType, Module};

    use super::*;

    #[test]
    fn lines_go_and_all_else_stays() {
        let base = 1024_u32;
        let mut data = b"web/src/lib.rs, text".to_vec();
        let place = |from: u32, length: u32, line: u32, column: u32| {
            [base + from, length, line, column].map(u32::to_le_bytes).concat()
        };
        let rest =
            [place(0, 14, 7, 9), place(0, 15, 7, 9), place(0, 14, 0, 9), place(4000, 14, 7, 9)];
        data.extend(rest.concat());
        let mut memories = MemorySection::new();
        let memory = MemoryType {
            minimum: 1,
            maximum: None,
            memory64: false,
            shared: false,
            page_size_log2: None,
        };
        memories.memory(memory);
        let mut section = DataSection::new();
        section.active(0, &ConstExpr::i32_const(base.cast_signed()), data.iter().copied());
        let mut module = Module::new();
        module.section(&memories).section(&section);
        let given = module.finish();

        let mut blanked = given.clone();
        blank(&mut blanked).unwrap();
        let changed: Vec<_> = (0..given.len()).filter(|&at| given[at] != blanked[at]).collect();
        let first = given.len() - data.len() + 20;
        assert_eq!(changed, [first + 8, first + 12]);
    }
}
