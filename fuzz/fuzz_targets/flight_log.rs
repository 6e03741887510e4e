//! Any text as the log of a flight: the page's own CSV, changed by another hand.
#![no_main]

use fledge_tests::chaos::walk_record;
use libfuzzer_sys::fuzz_target;

fuzz_target!(|text: &str| {
    walk_record(text);
});
