//! NIST/ITL Statistical Reference Datasets (StRD): data and certified values are
//! a US agency's work. Data of Misra1a, BoxBOD and MGH17 as carried in the source
//! package of `lmfit` 1.3.4 (folder NIST_STRD), Norris as carried in SciPy's test
//! data, Longley as carried in `statsmodels` (public domain).
//!
//! Left out, since the data were not to be had with a package: Mavro, Lew,
//! Lottery (autocorrelation of long series).

use statistics::{
    correlation::{effective_size, lag_one},
    linear::{LinearFit, least_squares},
    saturating::{LinearPart, SaturatingFit, fit_saturating},
};

use crate::assert_near;

/// Misra1a: (x, y).
const MISRA1A: [(f64, f64); 14] = [
    (77.6, 10.07),
    (114.9, 14.73),
    (141.1, 17.94),
    (190.8, 23.93),
    (239.9, 29.61),
    (289.0, 35.18),
    (332.8, 40.02),
    (378.4, 44.82),
    (434.8, 50.76),
    (477.3, 55.05),
    (536.8, 61.01),
    (593.1, 66.40),
    (689.1, 75.47),
    (760.0, 81.78),
];

/// BoxBOD: (x, y).
const BOX_BOD: [(f64, f64); 6] = [
    (1.0, 109.0),
    (2.0, 149.0),
    (3.0, 149.0),
    (5.0, 191.0),
    (7.0, 213.0),
    (10.0, 224.0),
];

/// MGH17: y at x = 0, 10, 20 …
const MGH17: [f64; 33] = [
    0.844, 0.908, 0.932, 0.936, 0.925, 0.908, 0.881, 0.850, 0.818, 0.784, 0.751, 0.718, 0.685,
    0.658, 0.628, 0.603, 0.580, 0.558, 0.538, 0.522, 0.506, 0.490, 0.478, 0.467, 0.457, 0.448,
    0.438, 0.431, 0.424, 0.420, 0.414, 0.411, 0.406,
];

/// Norris: (y, x), in the order of the file.
const NORRIS: [(f64, f64); 36] = [
    (0.1, 0.2),
    (338.8, 337.4),
    (118.1, 118.2),
    (888.0, 884.6),
    (9.2, 10.1),
    (228.1, 226.5),
    (668.5, 666.3),
    (998.5, 996.3),
    (449.1, 448.6),
    (778.9, 777.0),
    (559.2, 558.2),
    (0.3, 0.4),
    (0.1, 0.6),
    (778.1, 775.5),
    (668.8, 666.9),
    (339.3, 338.0),
    (448.9, 447.5),
    (10.8, 11.6),
    (557.7, 556.0),
    (228.3, 228.1),
    (998.0, 995.8),
    (888.8, 887.6),
    (119.6, 120.2),
    (0.3, 0.3),
    (0.6, 0.3),
    (557.6, 556.8),
    (339.3, 339.1),
    (888.0, 887.2),
    (998.5, 999.0),
    (778.9, 779.0),
    (10.2, 11.1),
    (117.6, 118.3),
    (228.9, 229.2),
    (668.4, 669.1),
    (449.2, 448.9),
    (0.2, 0.5),
];

/// Longley: employment, then deflator, product, unemployed, armed forces,
/// population, year (J. W. Longley, JASA 62 (1967) 819–841).
const LONGLEY: [[f64; 7]; 16] = [
    [60323.0, 83.0, 234289.0, 2356.0, 1590.0, 107608.0, 1947.0],
    [61122.0, 88.5, 259426.0, 2325.0, 1456.0, 108632.0, 1948.0],
    [60171.0, 88.2, 258054.0, 3682.0, 1616.0, 109773.0, 1949.0],
    [61187.0, 89.5, 284599.0, 3351.0, 1650.0, 110929.0, 1950.0],
    [63221.0, 96.2, 328975.0, 2099.0, 3099.0, 112075.0, 1951.0],
    [63639.0, 98.1, 346999.0, 1932.0, 3594.0, 113270.0, 1952.0],
    [64989.0, 99.0, 365385.0, 1870.0, 3547.0, 115094.0, 1953.0],
    [63761.0, 100.0, 363112.0, 3578.0, 3350.0, 116219.0, 1954.0],
    [66019.0, 101.2, 397469.0, 2904.0, 3048.0, 117388.0, 1955.0],
    [67857.0, 104.6, 419180.0, 2822.0, 2857.0, 118734.0, 1956.0],
    [68169.0, 108.4, 442769.0, 2936.0, 2798.0, 120445.0, 1957.0],
    [66513.0, 110.8, 444546.0, 4681.0, 2637.0, 121950.0, 1958.0],
    [68655.0, 112.6, 482704.0, 3813.0, 2552.0, 123366.0, 1959.0],
    [69564.0, 114.2, 502601.0, 3931.0, 2514.0, 125368.0, 1960.0],
    [69331.0, 115.7, 518173.0, 4806.0, 2572.0, 127852.0, 1961.0],
    [70551.0, 116.9, 554894.0, 4007.0, 2827.0, 130081.0, 1962.0],
];

fn line(x: &[f64], y: &[f64]) -> LinearFit {
    least_squares(&[vec![1.0; x.len()], x.to_vec()], y).unwrap()
}

/// n·ln(RSS/n) + k·ln(n): Bayesian information criterion up to a constant.
fn bic(rss: f64, n: usize, k: usize) -> f64 {
    let n = n as f64;
    n * (rss / n).ln() + k as f64 * n.ln()
}

/// BIC of a straight line with intercept over that of `curve`.
fn bic_gain(x: &[f64], y: &[f64], curve: &SaturatingFit) -> f64 {
    bic(line(x, y).rss, x.len(), 2) - bic(curve.rss, x.len(), 2)
}

#[test]
fn norris_line_to_ten_digits() {
    // StRD Norris, certified values
    let (y, x): (Vec<f64>, Vec<f64>) = NORRIS.into_iter().unzip();
    let fit = line(&x, &y);
    assert_near("B0", fit.coefficients[0], -0.262323073774029, 1e-10);
    assert_near("B1", fit.coefficients[1], 1.00211681802045, 1e-12);
    assert_near("se B0", fit.standard_errors[0], 0.232818234301152, 1e-10);
    assert_near("se B1", fit.standard_errors[1], 0.429796848199937e-3, 1e-10);
    assert_eq!(fit.dof, 34);
    let sd = (fit.rss / fit.dof as f64).sqrt();
    assert_near("residual sd", sd, 0.884796396144373, 1e-10);
}

#[test]
fn noint1_line_through_the_origin() {
    // StRD NoInt1: y = 130 … 140 at x = 60 … 70, certified slope and error
    let x: Vec<f64> = (60..=70).map(f64::from).collect();
    let y: Vec<f64> = (130..=140).map(f64::from).collect();
    let fit = least_squares(&[x], &y).unwrap();
    assert_near("slope", fit.coefficients[0], 2.07438016528926, 1e-13);
    assert_near("error", fit.standard_errors[0], 0.165289256198347e-1, 1e-12);
    assert_eq!(fit.dof, 10);
}

/// StRD Longley, seven columns that nearly depend on each other. The certified
/// values were confirmed in exact rational arithmetic by `scipy_reference.py`,
/// which wrote the file read here.
#[test]
fn longley_keeps_seven_digits_on_nearly_dependent_columns() {
    let exact = include_str!("../reference/longley_exact.csv");
    let y: Vec<f64> = LONGLEY.iter().map(|row| row[0]).collect();
    let mut columns = vec![vec![1.0; y.len()]];
    columns.extend((1..7).map(|k| LONGLEY.iter().map(|row| row[k]).collect::<Vec<f64>>()));
    let fit = least_squares(&columns, &y).unwrap();
    let mut compared = 0;
    for (i, row) in exact.lines().skip(1).enumerate() {
        let (value, error) = row.split_once(',').unwrap();
        let wanted: f64 = value.parse().unwrap();
        assert_near("coefficient", fit.coefficients[i], wanted, 1e-7);
        assert_near(
            "error",
            fit.standard_errors[i],
            error.parse().unwrap(),
            1e-7,
        );
        compared += 1;
    }
    assert_eq!(compared, 7);
    // StRD Longley, certified value of the intercept
    assert_near("B0", fit.coefficients[0], -3482258.63459582, 1e-7);
}

#[test]
fn misra1a_from_any_range_of_rates() {
    // StRD Misra1a, certified values; no start value is asked for, so the
    // official starts (rates 1e-4 and 5e-4) are only inside the ranges
    let (x, y): (Vec<f64>, Vec<f64>) = MISRA1A.into_iter().unzip();
    for rates in [(1e-6, 1.0), (1e-5, 1e-2), (1e-4, 1e-3)] {
        let fit = fit_saturating(&x, &y, LinearPart::Nothing, rates).unwrap();
        assert_near("b1", fit.height, 2.3894212918e2, 1e-9);
        assert_near("b2", fit.rate, 5.5015643181e-4, 1e-9);
        assert_near("se b1", fit.height_se, 2.7070075241, 1e-8);
        assert_near("se b2", fit.rate_se, 7.2668688436e-6, 1e-8);
        assert_near("RSS", fit.rss, 1.2455138894e-1, 1e-9);
        assert_eq!(fit.dof, 12);
    }
}

#[test]
fn box_bod_from_any_range_of_rates() {
    // StRD BoxBOD (higher difficulty), certified values
    let (x, y): (Vec<f64>, Vec<f64>) = BOX_BOD.into_iter().unzip();
    for rates in [(1e-4, 1e2), (1e-2, 1e1), (0.1, 2.0)] {
        let fit = fit_saturating(&x, &y, LinearPart::Nothing, rates).unwrap();
        assert_near("b1", fit.height, 2.1380940889e2, 1e-9);
        assert_near("b2", fit.rate, 5.4723748542e-1, 1e-9);
        assert_near("se b1", fit.height_se, 1.2354515176e1, 1e-8);
        assert_near("se b2", fit.rate_se, 1.0455993237e-1, 1e-8);
        assert_near("RSS", fit.rss, 1.1680088766e3, 1e-9);
        assert_eq!(fit.dof, 4);
    }
}

/// Misra1a is clearly bent though no plateau is in sight (largest b₂·x is 0.418);
/// 69.1 was computed independently from the certified residuals.
#[test]
fn misra1a_shows_a_bend_without_a_plateau() {
    let (x, y): (Vec<f64>, Vec<f64>) = MISRA1A.into_iter().unzip();
    let fit = fit_saturating(&x, &y, LinearPart::Nothing, (1e-6, 1.0)).unwrap();
    let gain = bic_gain(&x, &y, &fit);
    assert!((gain - 69.1).abs() < 0.1, "{gain}");
    let reach = fit.rate * x[x.len() - 1];
    assert!((reach - 0.418).abs() < 0.001, "{reach}");
    // the plateau is three times the last reading: extrapolated, not seen
    assert!(fit.height > 2.5 * y[y.len() - 1]);
}

/// BoxBOD looks saturated, but a straight line with an intercept is as good: the
/// comparison must not claim saturation (−1.06, +16.6 computed independently).
#[test]
fn box_bod_does_not_prove_saturation() {
    let (x, y): (Vec<f64>, Vec<f64>) = BOX_BOD.into_iter().unzip();
    let fit = fit_saturating(&x, &y, LinearPart::Nothing, (1e-4, 1e2)).unwrap();
    let gain = bic_gain(&x, &y, &fit);
    assert!((gain + 1.06).abs() < 0.01, "{gain}");
    let origin = least_squares(std::slice::from_ref(&x), &y).unwrap();
    let through_origin = bic(origin.rss, 6, 1) - bic(fit.rss, 6, 2);
    assert!((through_origin - 16.6).abs() < 0.1, "{through_origin}");
    // Hurvich and Tsai, Biometrika 76 (1989) 297–307: with n = 6 and k = 3 the
    // correction alone is 12
    let correction = 2.0 * 3.0 * 4.0 / (6.0 - 3.0 - 1.0);
    assert_eq!(correction, 12.0);
    // beside a free constant the same six points give no trustworthy rate
    let freed = fit_saturating(&x, &y, LinearPart::Constant, (1e-4, 1e2)).unwrap();
    assert!(freed.rate_se > 0.25 * freed.rate, "{freed:?}");
}

/// MGH17 needs two exponentials (certified RSS 5.46e-5). One term beside a line
/// must leave a misfit that shows, instead of an answer that looks good.
#[test]
fn mgh17_is_not_passed_off_as_one_term() {
    let x: Vec<f64> = (0..MGH17.len()).map(|i| 10.0 * i as f64).collect();
    for beside in [LinearPart::Constant, LinearPart::Line] {
        let Some(fit) = fit_saturating(&x, &MGH17, beside, (1e-4, 1.0)) else {
            continue;
        };
        assert!(fit.rss > 20.0 * 5.4648946975e-5, "{beside:?} {fit:?}");
        let (a, c, k, b) = (
            fit.constant.unwrap(),
            fit.slope.unwrap_or(0.0),
            fit.rate,
            fit.height,
        );
        let left: Vec<f64> = x
            .iter()
            .zip(MGH17)
            .map(|(x, y)| y - a - c * x + b * (-k * x).exp_m1())
            .collect();
        // misfit is a wave, not noise
        assert!(lag_one(&left) > 0.5, "{beside:?} {}", lag_one(&left));
    }
    // given both certified rates, the linear part comes out as certified
    let column = |k: f64| x.iter().map(|x| (-k * x).exp()).collect::<Vec<f64>>();
    let columns = [
        vec![1.0; x.len()],
        column(1.2867534640e-2),
        column(2.2122699662e-2),
    ];
    let fit = least_squares(&columns, &MGH17).unwrap();
    assert_near("b1", fit.coefficients[0], 3.7541005211e-1, 1e-6);
    assert_near("b2", fit.coefficients[1], 1.9358469127, 1e-6);
    assert_near("b3", fit.coefficients[2], -1.4646871366, 1e-6);
    assert_near("RSS", fit.rss, 5.4648946975e-5, 1e-8);
}

#[test]
fn numacc1_lag_one_is_minus_a_half() {
    // StRD NumAcc1: 10000001, 10000003, 10000002; mean 10000002, r1 −0.5, exact
    let values = [10_000_001.0, 10_000_003.0, 10_000_002.0];
    let mean = least_squares(&[vec![1.0; 3]], &values)
        .unwrap()
        .coefficients[0];
    assert_near("mean", mean, 10_000_002.0, 1e-15);
    let residuals = values.map(|v| v - 10_000_002.0);
    assert_eq!(lag_one(&residuals), -0.5);
}

/// Zwiers and von Storch, J. Climate 8 (1995) 336–351, as n·(1 − r)/(1 + r).
#[test]
fn effective_sample_size() {
    let near = |n, r, wanted: f64| {
        let found = effective_size(n, r);
        assert!((found - wanted).abs() < 0.005, "n {n}, r {r}: {found}");
    };
    near(600.0, 0.9, 31.58);
    near(60.0, 0.5, 20.00);
    // Mavro (StRD, n 50): certified r1 0.937989183438248 makes it worth 1.6
    near(50.0, 0.937_989_183_438_248, 1.60);
    // not positive: no gain is claimed
    near(60.0, 0.0, 60.0);
    near(60.0, -0.5, 60.0);
}
