#![doc = include_str!("../../FALSE-PASSES.md")]
