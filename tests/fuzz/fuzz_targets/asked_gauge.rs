//! Runs `asked_gauge` of the checks under the fuzzer.
#![no_main]

libfuzzer_sys::fuzz_target!(|data: &[u8]| dryhold_fuzz::asked_gauge::check(data));
