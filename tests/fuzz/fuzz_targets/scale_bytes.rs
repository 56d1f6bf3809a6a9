//! Runs `scale_bytes` of the checks under the fuzzer.
#![no_main]

libfuzzer_sys::fuzz_target!(|data: &[u8]| dryhold_fuzz::scale_bytes::check(data));
