//! Whatever stands in the file: no panic, no number that is not finite, and an
//! error that names the field.
//!
//! The same bodies run without end under `cargo fuzz` (see fuzz/README.md).

use std::time::{Duration, Instant};

use fledge_tests::chaos::{Stage, damaged, walk, walk_record};
use proptest::prelude::*;
use proptest::test_runner::RngSeed;
use sim_core::flight::Sample;

/// Longest time for one input: the promise is a tenth of a second of the
/// optimised page, and this is a build for tests that is some three times slower.
const TIME_MAX: Duration = Duration::from_millis(500);
/// Tries, of which the best counts: others may be using the machine.
const TRIES: usize = 5;

/// Does the work, and fails where it takes too long every time.
fn at_once<T>(mut work: impl FnMut() -> T) -> T {
    let begun = Instant::now();
    let mut quickest = Duration::MAX;
    for _ in 0..TRIES {
        let start = worked(&begun);
        let result = work();
        quickest = quickest.min(worked(&begun).saturating_sub(start));
        if quickest < TIME_MAX {
            return result;
        }
    }
    panic!("{quickest:?} for one input");
}

/// Processor time of this thread so far; where the system does not tell, the
/// clock since `begun`, which counts the work of others as well.
fn worked(begun: &Instant) -> Duration {
    let told = std::fs::read_to_string("/proc/thread-self/schedstat").ok();
    let nanoseconds = told.and_then(|text| text.split(' ').next()?.parse().ok());
    nanoseconds.map_or_else(|| begun.elapsed(), Duration::from_nanos)
}

proptest! {
    #![proptest_config(ProptestConfig {
        cases: 300,
        rng_seed: RngSeed::Fixed(1903),
        ..ProptestConfig::default()
    })]

    #[test]
    fn damaged_aircraft(bytes in prop::collection::vec(any::<u8>(), 2..40)) {
        at_once(|| walk(&damaged(&bytes)));
    }

    #[test]
    fn any_numbers_as_a_flight_log(
        lines in prop::collection::vec(prop::collection::vec(any::<f32>(), 22), 0..40),
        spoilt in prop::option::of((0usize..4000, any::<u8>())),
    ) {
        let mut text = Sample::COLUMNS.join(",");
        for line in lines {
            let values: Vec<String> = line.iter().map(f32::to_string).collect();
            text.push('\n');
            text.push_str(&values.join(","));
        }
        let mut bytes = text.into_bytes();
        if let Some((place, byte)) = spoilt {
            let place = place % bytes.len();
            bytes[place] = byte;
        }
        at_once(|| walk_record(&String::from_utf8_lossy(&bytes)));
    }

    #[test]
    fn any_text(text in "\\PC{0,200}") {
        prop_assert_eq!(at_once(|| walk(&text)), Stage::Unread);
        prop_assert!(!at_once(|| walk_record(&text)));
    }

    #[test]
    fn cut_and_spoilt_texts(start in 0usize..4000, byte in any::<u8>(), length in 0usize..20) {
        let text = sim_core::aircraft::EXAMPLES[1].text;
        let mut spoilt = text.as_bytes().to_vec();
        let start = start.min(spoilt.len());
        let end = (start + length).min(spoilt.len());
        spoilt[start..end].fill(byte);
        at_once(|| walk(&String::from_utf8_lossy(&spoilt)));
        at_once(|| walk(&String::from_utf8_lossy(&spoilt[..start])));
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
fn a_whole_flight_log_is_read() {
    assert_eq!(Sample::COLUMNS.len(), 22);
    let line = vec!["0.5"; Sample::COLUMNS.len()].join(",");
    assert!(walk_record(&format!("{}\n{line}\n{line}\n", Sample::COLUMNS.join(","))));
}

#[test]
fn deep_nesting_is_refused() {
    let text = format!("{{\"surfaces\":{}{}}}", "[".repeat(100_000), "]".repeat(100_000));
    assert_eq!(at_once(|| walk(&text)), Stage::Unread);
}

#[test]
fn a_log_of_a_whole_afternoon_is_judged_at_once_or_refused() {
    let line = vec!["1e30"; Sample::COLUMNS.len()].join(",");
    for lines in [10_000, 400_000] {
        let text = format!("{}\n{}", Sample::COLUMNS.join(","), format!("{line}\n").repeat(lines));
        let read = at_once(|| walk_record(&text));
        assert!(!read || lines == 10_000, "{lines} lines");
    }
}
