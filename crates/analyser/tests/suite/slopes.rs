//! What white noise does to a slope: σ·√(12/n³)/Δt, the textbook variance of a
//! regression slope on equidistant points.

use analyser::Settings;
use statistics::{correlation::effective_size, linear::least_squares};

use crate::{
    hold, judge,
    scene::{Noise, Scene},
};

fn slope_sd(sigma_micron: f64, n: f64, interval_s: f64) -> f64 {
    60.0 * sigma_micron * (12.0 / n.powi(3)).sqrt() / interval_s
}

/// Standard deviation of fitted slopes, micron/min, and the mean of the standard
/// errors that the fit itself claims.
fn monte_carlo(sigma: f64, n: usize, interval_s: f64) -> (f64, f64) {
    let t: Vec<f64> = (0..n).map(|i| i as f64 * interval_s).collect();
    let columns = [vec![1.0; n], t];
    let mut noise = Noise::new(9);
    let runs = 3_000;
    let (mut squares, mut claimed) = (0.0, 0.0);
    for _ in 0..runs {
        let y: Vec<f64> = (0..n).map(|_| 200.0 + sigma * noise.normal()).collect();
        let fit = least_squares(&columns, &y).unwrap();
        squares += (60.0 * fit.coefficients[1]).powi(2);
        claimed += 60.0 * fit.standard_errors[1];
    }
    (
        (squares / f64::from(runs)).sqrt(),
        claimed / f64::from(runs),
    )
}

#[test]
fn slope_error_of_white_noise_by_monte_carlo() {
    // σ 5 micron, 600 readings at 1 s: 0.0707 micron/min
    let formula = slope_sd(5.0, 600.0, 1.0);
    assert!((formula - 0.0707).abs() < 0.00005, "{formula}");
    let (found, claimed) = monte_carlo(5.0, 600, 1.0);
    assert!((found / formula - 1.0).abs() < 0.05, "{found} {formula}");
    assert!(
        (claimed / formula - 1.0).abs() < 0.02,
        "{claimed} {formula}"
    );
    // correlation 0.9 inflates it by √((1 + r)/(1 − r)) = 4.36
    let inflation = (600.0 / effective_size(600.0, 0.9)).sqrt();
    assert!((inflation - 4.36).abs() < 0.005, "{inflation}");
}

/// Mean detection limit of tight holds, micron/min.
fn detection_limit(scene: impl Fn(u64) -> Scene) -> f64 {
    let seeds = 12;
    let sum: f64 = (0..seeds)
        .map(|seed| {
            let found = judge(&scene(seed).entries(), &Settings::default());
            hold(&found).rise.detection_limit_micron_per_min.unwrap()
        })
        .sum();
    sum / seeds as f64
}

fn white(seed: u64, sigma: f64, interval_s: f64, hold_s: f64) -> Scene {
    Scene {
        relative_noise: 0.0,
        noise_micron: sigma,
        interval_s,
        hold_s,
        ..Scene::tight(seed)
    }
}

#[test]
fn the_detection_limit_follows_noise_number_and_length() {
    let base = detection_limit(|s| white(s, 20.0, 1.0, 900.0));
    // 1.645 + 1.645 standard deviations: 5 % false alarms, 5 % missed
    // (L. A. Currie, Anal. Chem. 40 (1968) 586–593)
    let currie = 3.29 * slope_sd(20.0, 900.0, 1.0);
    assert!(
        (0.8..1.6).contains(&(base / currie)),
        "{base} against {currie}"
    );
    for (what, wanted, other) in [
        (
            "noise doubled",
            2.0,
            detection_limit(|s| white(s, 40.0, 1.0, 900.0)),
        ),
        (
            "every other reading",
            2_f64.sqrt(),
            detection_limit(|s| white(s, 20.0, 2.0, 900.0)),
        ),
        (
            "twice as long",
            2_f64.powf(-1.5),
            detection_limit(|s| white(s, 20.0, 1.0, 1800.0)),
        ),
    ] {
        let ratio = other / base;
        assert!(
            (ratio / wanted - 1.0).abs() < 0.2,
            "{what}: {ratio} instead of {wanted}"
        );
    }
}

/// Correlated readings are worth fewer: the limit must grow.
#[test]
fn correlated_noise_raises_the_detection_limit() {
    let with = |correlation: f64| {
        detection_limit(|seed| Scene {
            correlation,
            ..white(seed, 20.0, 1.0, 900.0)
        })
    };
    let ratio = with(0.9) / with(0.0);
    assert!((3.0..7.0).contains(&ratio), "{ratio}, √(n/n_eff) is 4.36");
}
