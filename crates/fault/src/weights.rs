//! How often each level of a sign comes with each fault, of 100 appliances.

mod measured;
mod row;
mod told;

pub(crate) use row::Row;
pub use row::Source;

use crate::observed::Sign;

/// The row of a sign.
pub(crate) fn row(sign: Sign) -> Option<&'static Row> {
    let mut all = measured::ROWS.iter().chain(&told::ROWS);
    all.find(|row| row.sign == sign)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::code::FaultCode;

    #[test]
    fn every_sign_has_figures_for_its_levels_and_no_others() {
        for sign in Sign::ALL {
            let row = row(sign).expect("it has a row");
            let levels = sign.levels().len();
            for code in FaultCode::ALL {
                let of_100 = row.of_100[code.place()];
                assert!(of_100[..levels].iter().all(|n| *n > 0), "{sign:?} {code:?}");
                assert!(
                    of_100[levels..].iter().all(|n| *n == 0),
                    "{sign:?} {code:?}"
                );
            }
            let (short, high) = (FaultCode::ShortCharge, FaultCode::HighSideLeak);
            let alike = row.of_100[short.place()] == row.of_100[high.place()];
            assert!(alike || sign == Sign::Trace, "{sign:?}");
        }
    }
}
