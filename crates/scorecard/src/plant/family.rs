//! The families of systems, each drawn wide.

use super::{
    source::{Pool, Site, Slab, Source, saturation_micron},
    system::{Plant, Room},
};
use crate::draw::Draw;

/// Names of the families, in the order in which seeds take them.
const FAMILIES: [&str; 15] = [
    "tight",
    "one store",
    "slow store",
    "three stores",
    "layer",
    "spread of sites",
    "free water",
    "pool runs out",
    "store and sink",
    "restless room",
    "much moisture",
    "near the limit",
    "gross leak",
    "ice",
    "oil and wall",
];

/// Sites that hold `micron` and let go with `tau_s`.
fn store(micron: f64, tau_s: f64, back: f64) -> Site {
    Site {
        per_s: 1.0 / tau_s,
        held: micron,
        takes_up: back,
    }
}

/// The system of a seed.
pub(super) fn draw(seed: u64, draw: &mut Draw) -> Plant {
    // neighbours share a family: both halves of the split see all of them
    let family = FAMILIES[(seed / 2) as usize % FAMILIES.len()];
    let length_s = 60.0 * draw.log_range(8.0, 60.0);
    let level = draw.log_range(30.0, 450.0);
    let rise = draw.log_range(15.0, 2_000.0);
    let mut plant = Plant {
        family,
        air_micron: level,
        vapour_micron: draw.range(0.0, 0.3) * level,
        sources: Vec::new(),
        room: Room {
            swing_k: draw.log_range(0.03, 0.6),
            period_s: draw.log_range(1_200.0, 20_000.0),
            phase: draw.range(0.0, std::f64::consts::TAU),
        },
        settling: if draw.chance(0.6) {
            let sign = if draw.chance(0.8) { 1.0 } else { -0.5 };
            (
                sign * draw.range(0.02, 0.6) * level,
                draw.log_range(0.7, 12.0),
            )
        } else {
            (0.0, 1.0)
        },
        length_s,
        leak_share: draw.log_range(0.3, 5.0),
        thermometer: draw.chance(0.15),
    };
    plant.sources = sources(family, &mut plant.clone(), rise, draw);
    match family {
        "restless room" => {
            plant.room.swing_k = draw.log_range(0.5, 2.5);
            plant.room.period_s = draw.log_range(1_500.0, 9_000.0);
        }
        "much moisture" => plant.leak_share = draw.log_range(0.08, 0.6),
        "near the limit" => plant.leak_share = draw.log_range(0.02, 0.3),
        "gross leak" => plant.leak_share = -draw.log_range(300.0, 60_000.0),
        _ => {}
    }
    plant
}

fn sources(family: &str, plant: &mut Plant, rise: f64, draw: &mut Draw) -> Vec<Source> {
    let t = plant.length_s;
    let sites = |list: Vec<Site>| vec![Source::Sites(list)];
    match family {
        "tight" | "near the limit" | "restless room" | "gross leak" => {
            let little = draw.log_range(0.1, 6.0);
            sites(vec![store(little, draw.log_range(20.0, 600.0), 0.0)])
        }
        "one store" => sites(vec![store(
            rise,
            draw.log_range(25.0, 900.0),
            draw.range(0.0, 1.0),
        )]),
        "slow store" => {
            let tau = draw.log_range(0.3, 1.5) * t;
            sites(vec![
                store(rise * (1.0 + tau / t), tau, draw.range(0.0, 0.5)),
                store(0.2 * rise * draw.unit(), draw.log_range(15.0, 120.0), 0.0),
            ])
        }
        "three stores" => {
            let first = draw.log_range(10.0, 60.0);
            sites(
                (0..3)
                    .map(|i| {
                        let tau = first * 10_f64.powi(i) * draw.log_range(0.6, 1.6);
                        store(
                            rise * draw.range(0.1, 1.0) * (1.0 + tau / t).min(4.0),
                            tau,
                            0.2,
                        )
                    })
                    .collect(),
            )
        }
        "layer" => vec![layer(rise, t, draw)],
        "spread of sites" | "much moisture" => {
            let pumped = draw.log_range(120.0, 3_600.0);
            let (slow, fast) = (draw.log_range(3e-5, 5e-4), draw.log_range(0.01, 0.2));
            let n = 14;
            let list = (0..n).map(|i| {
                let per_s = slow * (fast / slow).powf(f64::from(i) / f64::from(n - 1));
                let held = rise * 2.5 * draw.range(0.5, 1.5) * (-per_s * pumped).exp();
                Site {
                    per_s,
                    held,
                    takes_up: 0.05,
                }
            });
            sites(list.collect())
        }
        "free water" => {
            let c = draw.range(4.0, 26.0);
            let cooled = draw.range(0.0, 0.6) * (c - 1.0).min(15.0);
            plant.vapour_micron = 0.0;
            vec![Source::Pool(Pool {
                left: 1e9,
                first: 1e9,
                c: c - cooled,
                wall_c: c,
                per_s: draw.log_range(1.5, 15.0) / t,
                cools_k: draw.log_range(1e-5, 3e-4),
                warms_per_s: draw.log_range(1e-3, 1e-2),
            })]
        }
        "pool runs out" => vec![
            Source::Pool(Pool {
                left: rise,
                first: rise,
                c: 18.0,
                wall_c: 20.0,
                per_s: rise / saturation_micron(18.0) / (t * draw.range(0.1, 0.5)),
                cools_k: 0.0,
                warms_per_s: 0.01,
            }),
            Source::Sites(vec![store(
                0.0,
                draw.log_range(100.0, 3_000.0),
                draw.range(0.2, 2.0),
            )]),
        ],
        "store and sink" => vec![
            Source::Sites(vec![
                store(rise, draw.log_range(20.0, 300.0), 0.0),
                store(0.3 * rise, draw.log_range(300.0, 3_000.0), 0.0),
            ]),
            Source::Sink {
                per_s: 1.0 / (t * draw.log_range(0.5, 6.0)),
                rest_micron: 0.0,
            },
        ],
        "ice" => {
            let c = draw.range(-38.0, -6.0);
            let level = saturation_micron(c);
            plant.vapour_micron = level * draw.range(0.3, 0.9);
            vec![Source::Pool(Pool {
                left: 1e9,
                first: 1e9,
                c: c - draw.range(0.0, 3.0),
                wall_c: c + draw.range(0.0, 3.0),
                per_s: draw.log_range(2e-3, 3e-2),
                cools_k: draw.log_range(1e-4, 3e-3),
                warms_per_s: draw.log_range(2e-4, 5e-3),
            })]
        }
        // oil that gives off refrigerant, and a wall
        _ => {
            let first = layer(rise, t, draw);
            let tau = draw.log_range(30.0, 1_000.0);
            vec![first, Source::Sites(vec![store(0.5 * rise, tau, 0.3)])]
        }
    }
}

fn layer(rise: f64, t: f64, draw: &mut Draw) -> Source {
    let per_s = draw.log_range(0.02, 3.0) / t;
    let capacity = draw.log_range(0.3, 5.0);
    let start = rise * 3.0 / capacity.min(1.0);
    Source::Slab(Slab::pumped(
        start,
        per_s,
        capacity,
        draw.log_range(60.0, 3_600.0),
    ))
}
