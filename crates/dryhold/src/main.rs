//! (to come)
fn main() {}
