//! A row in which what is alike stands side by side.

use std::collections::HashMap;

/// How many bytes in a row are compared: one or two instructions.
const PIECE_BYTES: usize = 4;
/// How many pieces of a text stand for all: more of them cost time and gain
/// nothing.
const MOST_PIECES: usize = 900;
/// A piece that more texts have than this says nothing.
const MOST_OWNERS: usize = 9000;
/// The share of common pieces, among all that either has, from which on two
/// texts count as alike.
const LEAST_SHARE: f64 = 0.01;

/// The order in which each text is followed by the one most alike among those
/// that are left. Where none is, the row goes on in alphabetical order.
pub fn in_a_row(texts: &[Vec<u8>]) -> Vec<usize> {
    let pieces: Vec<_> = texts.iter().map(|text| pieces(text)).collect();
    let mut owners: HashMap<u64, Vec<usize>> = HashMap::new();
    for (text, pieces) in pieces.iter().enumerate() {
        for piece in pieces {
            owners.entry(*piece).or_default().push(text);
        }
    }
    owners.retain(|_, owners| owners.len() <= MOST_OWNERS);

    let mut alphabetical: Vec<_> = (0..texts.len()).collect();
    alphabetical.sort_by_key(|&text| &texts[text]);
    let mut row = Vec::with_capacity(texts.len());
    let mut placed = vec![false; texts.len()];
    // Pieces in common with the last of the row; all zero between two searches.
    let mut common = vec![0_u32; texts.len()];
    for first in alphabetical {
        let mut next = (!placed[first]).then_some(first);
        while let Some(last) = next {
            placed[last] = true;
            row.push(last);
            let mut met = Vec::new();
            for &other in pieces[last].iter().filter_map(|piece| owners.get(piece)).flatten() {
                if !placed[other] {
                    if common[other] == 0 {
                        met.push(other);
                    }
                    common[other] += 1;
                }
            }
            let mut most = LEAST_SHARE;
            next = None;
            for other in met {
                let shared = std::mem::take(&mut common[other]);
                let all = pieces[last].len() + pieces[other].len() - shared as usize;
                let share = f64::from(shared) / all as f64;
                if share > most {
                    (most, next) = (share, Some(other));
                }
            }
        }
    }
    row
}

/// The pieces that a text is made of, each once. Of very many those are taken
/// whose scrambled value is least: the same ones wherever texts have them.
fn pieces(text: &[u8]) -> Vec<u64> {
    let window = PIECE_BYTES.min(text.len()).max(1);
    let mut pieces: Vec<_> = text.windows(window).map(scrambled).collect();
    pieces.sort_unstable();
    pieces.dedup();
    pieces.truncate(MOST_PIECES);
    pieces
}

/// A different number for each piece (both factors are odd), in no order.
fn scrambled(piece: &[u8]) -> u64 {
    let number = piece.iter().fold(0_u64, |number, byte| (number << 8) | u64::from(*byte));
    let turned = number.wrapping_mul(0x9e37_79b9_7f4a_7c15).rotate_left(32);
    turned.wrapping_mul(0xd6e8_feb8_6659_fd93)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_alike_stand_side_by_side_and_none_is_lost() {
        let texts = [
            "a first text about wings",
            "b now for something that is unlike",
            "c first text about winglets",
            "d something that is unlike as well",
            "e first text about wings and tails",
        ];
        let row = in_a_row(&texts.map(|text| text.as_bytes().to_vec()));
        let at = |text: usize| row.iter().position(|&other| other == text).unwrap();
        assert_eq!(row.len(), texts.len());
        assert!(at(0) < 3 && at(2) < 3 && at(4) < 3, "{row:?}");
        assert!(at(1) > 2 && at(3) > 2, "{row:?}");
    }
}
