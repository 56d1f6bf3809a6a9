//! Runs `packed_run` of the checks under the fuzzer.
#![no_main]

libfuzzer_sys::fuzz_target!(|data: &[u8]| dryhold_fuzz::packed_run::check(data));
