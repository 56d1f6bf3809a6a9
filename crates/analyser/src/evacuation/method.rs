#![doc = include_str!("../../METHOD.md")]

pub mod rise;
