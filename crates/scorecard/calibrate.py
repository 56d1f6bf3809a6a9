"""Fits the map from the evidence of a hold to the probability of a leak.

usage: cargo run --release -p scorecard -- calibrate 0 6000 --tune > moments.txt
       python3 crates/scorecard/calibrate.py moments.txt crates/analyser/src/evacuation/rise/calibration.rs

Needs numpy. A logistic regression on the figures of `Rise::evidence`, their squares and
their products, with a small ridge, gives log-odds. Five groups of seeds are left out in
turn; the monotone map (isotonic regression by pooling adjacent violators) is fitted on
the log-odds of the seeds that were left out. Only even seeds may be used.
"""

import sys

import numpy as np

RIDGE = 3.0
FOLDS = 5
KNOTS = 25


def read(path):
    seeds, leaky, figures = [], [], []
    for line in open(path, encoding="utf-8"):
        words = line.split()
        if len(words) < 10:
            continue
        seeds.append(int(words[0]))
        leaky.append(int(words[2]))
        figures.append([float(w) for w in words[6:]])
    seeds = np.array(seeds)
    assert (seeds % 2 == 0).all(), "odd seeds are for reporting only"
    return seeds, np.array(leaky), np.array(figures)


def expand(z):
    n = z.shape[1]
    products = [z[:, i] * z[:, j] for i in range(n) for j in range(i, n)]
    return np.column_stack([np.ones(len(z)), z, *products])


def logistic(x, y):
    """Newton's method on the penalised likelihood; the constant is not penalised."""
    b = np.zeros(x.shape[1])
    ridge = np.full(x.shape[1], RIDGE)
    ridge[0] = 1e-6
    for _ in range(30):
        p = 1 / (1 + np.exp(-x @ b))
        gradient = x.T @ (y - p) - ridge * b
        hessian = (x * (p * (1 - p))[:, None]).T @ x + np.diag(ridge)
        step = np.linalg.solve(hessian, gradient)
        b += step
        if np.abs(step).max() < 1e-8:
            break
    return b


def isotonic(score, y):
    order = np.argsort(score)
    blocks = []
    for s, v in zip(score[order], y[order]):
        blocks.append([s, s, float(v), 1.0])
        while len(blocks) > 1 and blocks[-2][2] / blocks[-2][3] >= blocks[-1][2] / blocks[-1][3]:
            last = blocks.pop()
            blocks[-1][1] = last[1]
            blocks[-1][2] += last[2]
            blocks[-1][3] += last[3]
    return blocks


def main():
    seeds, y, figures = read(sys.argv[1])
    centre, spread = figures.mean(0), figures.std(0) + 1e-9
    z = (figures - centre) / spread
    x = expand(z)
    fold = (seeds // 2) % FOLDS
    score = np.zeros(len(y))
    for k in range(FOLDS):
        out = fold == k
        score[out] = x[out] @ logistic(x[~out], y[~out])
    b = logistic(x, y)
    # a map through a few knots: means of scores and of pooled shares around quantiles
    blocks = isotonic(score, y)
    shares = np.zeros(len(y))
    at = 0
    for low, high, total, n in blocks:
        shares[at : at + int(n)] = total / n
        at += int(n)
    ordered = np.sort(score)
    edges = np.quantile(ordered, np.r_[0.0, 0.002, 0.006, 0.012, 0.025, np.linspace(0.04, 0.96, KNOTS - 6), 0.975, 0.987, 0.994, 0.998, 1.0])
    knots = []
    for i, edge in enumerate(edges):
        near = np.abs(np.searchsorted(ordered, edge) - np.arange(len(y))) <= max(30, len(y) // 400)
        share = np.clip(shares[near].mean(), 0.002, 0.998)
        # half a pseudo-count against shares of none and all
        share = (share * near.sum() + 0.5) / (near.sum() + 1)
        knots.append((float(np.median(ordered[near])), float(share)))
    merged = [knots[0]]
    for knot in knots[1:]:
        if knot[0] > merged[-1][0] + 1e-6:
            merged.append((knot[0], max(knot[1], merged[-1][1])))
    p = np.interp(score, [k[0] for k in merged], [k[1] for k in merged])
    for low in (0.0, 0.01, 0.05, 0.1, 0.3, 0.5, 0.7, 0.9, 0.95, 0.99):
        kept = p >= low
        high = {0.0: 0.01, 0.01: 0.05, 0.05: 0.1, 0.1: 0.3, 0.3: 0.5, 0.5: 0.7, 0.7: 0.9, 0.9: 0.95, 0.95: 0.99, 0.99: 1.01}[low]
        kept &= p < high
        print(f"{low:.2f}-{high:.2f}: {kept.sum():6d} leaky {y[kept].mean() if kept.any() else float('nan'):.3f}")
    sure = (p >= 0.9) | (p <= 0.1)
    print(f"sure {sure.mean():.3f}, right {((p > 0.5) == (y == 1))[sure].mean():.4f}, Brier {np.mean((p - y) ** 2):.4f}")
    write(sys.argv[2], centre, spread, b, merged)


def write(path, centre, spread, b, knots):
    n = len(centre)
    rows = []
    at = 1 + n
    for i in range(n):
        rows.append(b[at : at + n - i])
        at += n - i
    number = lambda v: repr(round(float(v), 6))
    triangle = "".join(
        "    [" + ", ".join(["0.0"] * i + [number(v) for v in row]) + "],\n" for i, row in enumerate(rows)
    )
    text = f"""//! What the evidence for a leak is worth: a map fitted on simulated holds.
//!
//! Made by `crates/scorecard/calibrate.py` from even seeds; do not edit by hand. The odd
//! seeds, never used here, say how well it keeps its promise (`scorecard moments`).
//!
//! Log-odds are a quadratic form of the figures, each less its mean over its spread; a
//! monotone map of them is the probability.

use findings::EVIDENCE;
use statistics::interpolation::between_knots;

/// Means and spreads of the figures over the moments that the map was fitted on.
#[rustfmt::skip]
const CENTRE: [f64; EVIDENCE] = [{", ".join(number(v) for v in centre)}];
#[rustfmt::skip]
const SPREAD: [f64; EVIDENCE] = [{", ".join(number(v) for v in spread)}];
/// Constant, linear and quadratic coefficients (upper triangle).
const CONSTANT: f64 = {number(b[0])};
#[rustfmt::skip]
const LINEAR: [f64; EVIDENCE] = [{", ".join(number(v) for v in b[1:1 + n])}];
#[rustfmt::skip]
const QUADRATIC: [[f64; EVIDENCE]; EVIDENCE] = [
{triangle}];
/// Log-odds and the share of leaks found there, rising.
#[rustfmt::skip]
const KNOTS: [(f64, f64); {len(knots)}] = [
{"".join(f"    ({number(s)}, {number(p)}),{chr(10)}" for s, p in knots)}];

/// Probability that there is a leak, 0 to 1, by the figures of
/// [`Rise::evidence`](findings::Rise::evidence).
pub(super) fn probability(evidence: &[f64; EVIDENCE]) -> f64 {{
    let z: [f64; EVIDENCE] = std::array::from_fn(|i| (evidence[i] - CENTRE[i]) / SPREAD[i]);
    let mut score = CONSTANT;
    for i in 0..EVIDENCE {{
        score += LINEAR[i] * z[i];
        for j in i..EVIDENCE {{
            score += QUADRATIC[i][j] * z[i] * z[j];
        }}
    }}
    between_knots(&KNOTS, score)
}}
"""
    open(path, "w", encoding="utf-8").write(text)


main()
