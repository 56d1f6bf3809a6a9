//! Runs `rig_notes` of the checks under the fuzzer.
#![no_main]

libfuzzer_sys::fuzz_target!(|data: &[u8]| dryhold_fuzz::rig_notes::check(data));
