//! Runs `foreign_csv` of the checks under the fuzzer.
#![no_main]

libfuzzer_sys::fuzz_target!(|data: &[u8]| dryhold_fuzz::foreign_csv::check(data));
