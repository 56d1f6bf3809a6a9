#![doc = include_str!("../../../METHOD-RISE.md")]
