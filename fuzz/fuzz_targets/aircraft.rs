//! An example with fields damaged as the bytes say, through the whole chain.
#![no_main]

use fledge_tests::chaos::{damaged, walk};
use libfuzzer_sys::fuzz_target;

fuzz_target!(|bytes: &[u8]| {
    walk(&damaged(bytes));
});
