//! Lines of a node through the public face: every line there and back, damage,
//! pieces, and the C encoder of the firmware notes beside this one.

// shared: any line, and rows as the vectors are written
mod any;
mod rows;

/// This encoder and the C encoder write the same.
mod c_encoder;
/// Damaged, cut and foreign lines.
mod damage;
/// Lines in pieces, lost lines, restarts.
mod stream;
/// There and back.
mod there_and_back;
