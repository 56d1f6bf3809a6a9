//! Statistics that every kind of test shares.
//!
//! Numbers go in, numbers come out: fits, quantiles, noise, correlation, change points.
//! Values carry no unit here; whoever calls knows what was measured. Times are in any unit
//! but in [`change_point`], where they are in seconds.
//!
//! ```
//! use statistics::linear::least_squares;
//!
//! // y = 1 + 2·x
//! let columns = [vec![1.0; 4], vec![0.0, 1.0, 2.0, 3.0]];
//! let fit = least_squares(&columns, &[1.0, 3.0, 5.0, 7.0]).expect("two columns, four rows");
//! assert!((fit.coefficients[1] - 2.0).abs() < 1e-12);
//! assert_eq!(fit.dof, 2);
//! ```
//!
//! | module | what |
//! |---|---|
//! | [`linear`] | least squares, Cholesky factors of small matrices |
//! | [`dense`] | least squares with errors that hang together, by their covariance |
//! | [`non_negative`] | linear models whose coefficients cannot be negative: evidence and moments |
//! | [`saturating`] | one exponential term beside a line, by variable projection |
//! | [`exponential_decay`] | an exponential fall to a floor |
//! | [`change_point`] | where a curve breaks, as a probability over time |
//! | [`hinge`] | whether a rise set in late: F test of a hinge |
//! | [`normal`], [`truncated_normal`], [`chi_square`] | distributions and quantiles |
//! | [`correlation`] | lag-1 correlation, effective sample size |
//! | [`robust`] | median, noise that bursts and drift do not count in |
//! | [`turning_points`] | highs and lows that are larger than noise |
//! | [`interpolation`] | values between the knots of a table |
//!
//! # What this crate does not do
//! It knows no pressure, no gauge and no test, and it gives no verdict. No I/O, no clock,
//! no random numbers. `None` says that data were too few, or columns not independent;
//! nothing here panics on numbers.

pub mod change_point;
pub mod chi_square;
pub mod correlation;
pub mod dense;
pub mod exponential_decay;
pub mod hinge;
pub mod interpolation;
pub mod linear;
pub mod non_negative;
pub mod normal;
pub mod robust;
pub mod saturating;
pub mod truncated_normal;
pub mod turning_points;
