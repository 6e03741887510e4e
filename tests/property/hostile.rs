//! Whatever stands in the file: no panic, no number that is not finite, and an
//! error that names the field.
//!
//! The same bodies run without end under `cargo fuzz` (see fuzz/README.md).

use fledge_tests::chaos::{Stage, damaged, walk};
use proptest::prelude::*;
use proptest::test_runner::RngSeed;

proptest! {
    #![proptest_config(ProptestConfig {
        cases: 300,
        rng_seed: RngSeed::Fixed(1903),
        ..ProptestConfig::default()
    })]

    #[test]
    fn damaged_aircraft(bytes in prop::collection::vec(any::<u8>(), 2..40)) {
        walk(&damaged(&bytes));
    }

    #[test]
    fn any_text(text in "\\PC{0,200}") {
        prop_assert_eq!(walk(&text), Stage::Unread);
    }

    #[test]
    fn cut_and_spoilt_texts(start in 0usize..4000, byte in any::<u8>(), length in 0usize..20) {
        let text = sim_core::aircraft::EXAMPLES[1].text;
        let mut spoilt = text.as_bytes().to_vec();
        let start = start.min(spoilt.len());
        let end = (start + length).min(spoilt.len());
        spoilt[start..end].fill(byte);
        walk(&String::from_utf8_lossy(&spoilt));
        walk(&String::from_utf8_lossy(&spoilt[..start]));
    }
}

#[test]
fn enough_of_them_get_through() {
    // Else the walk above would test the reader alone.
    let mut flown = 0;
    for seed in 0..200u32 {
        let bytes: Vec<u8> = (0..24u32)
            .map(|i| (seed.wrapping_mul(2_654_435_761).wrapping_add(i * 40_503) >> 11) as u8)
            .collect();
        flown += usize::from(walk(&damaged(&bytes)) >= Stage::Unflown);
    }
    assert!(flown > 40, "{flown} of 200");
}

#[test]
fn deep_nesting_is_refused() {
    let text = format!("{{\"surfaces\":{}{}}}", "[".repeat(100_000), "]".repeat(100_000));
    assert_eq!(walk(&text), Stage::Unread);
}
