//! Runs `photo` of the checks under the fuzzer.
#![no_main]

libfuzzer_sys::fuzz_target!(|data: &[u8]| dryhold_fuzz::photo::check(data));
