//! Any text as an aircraft file. The dictionary and the examples as a corpus
//! (see README.md) lead it to texts that are read.
#![no_main]

use fledge_tests::chaos::walk;
use libfuzzer_sys::fuzz_target;

fuzz_target!(|text: &str| {
    walk(text);
});
