//! Passes that are worth less than they look, answers that are tendencies, and ice.

use findings::{Finding, LeakIndicated, Reason, RiseKind, Statement};

use crate::round::{PlannedRound, Run, fail, open, pass};

/// The confidence of the last hold.
fn with_confidence(mut run: Run, confidence: f64) -> Run {
    for hold in run
        .findings
        .rounds
        .iter_mut()
        .filter_map(|r| r.hold.as_mut())
    {
        hold.rise.confidence = Some(confidence);
    }
    run
}

fn saying(mut run: Run, said: impl IntoIterator<Item = Statement>) -> Run {
    let found = said.into_iter().map(|said| Finding::at(3_600.0, said));
    run.findings.findings.extend(found);
    run
}

fn indicated(g_per_year: Option<(f64, f64)>) -> Statement {
    Statement::PassWithLeak(LeakIndicated {
        micron_per_min: Some((9.2, 10.8)),
        g_per_year,
    })
}

/// Every one that passes has a name that begins so.
pub(super) fn reserved() -> Vec<Run> {
    let hour = PlannedRound::hour();
    let leak = PlannedRound {
        slope_micron_per_min: 10.0,
        ..hour
    };
    let not_ruled_out = Statement::IceNotRuledOut {
        level_micron: 212.0,
        ice_at_c: -33.1,
    };
    let in_grams = saying(
        with_confidence(leak.run("pass_leak", RiseKind::Leak, pass()), 0.9996),
        [indicated(Some((51.6, 864.0)))],
    );
    let mut in_grams = in_grams;
    for hold in in_grams
        .findings
        .rounds
        .iter_mut()
        .filter_map(|r| r.hold.as_mut())
    {
        if let Some(loss) = &mut hold.operating_loss {
            loss.g_per_year = (51.6, 864.0);
        }
    }
    let mut in_micron = saying(
        with_confidence(
            leak.run("pass_leak_in_micron", RiseKind::LeakAndMoisture, pass()),
            0.7,
        ),
        [indicated(None)],
    );
    in_micron.job = None;
    for hold in in_micron
        .findings
        .rounds
        .iter_mut()
        .filter_map(|r| r.hold.as_mut())
    {
        (hold.leak, hold.operating_loss, hold.smallest_leak) = (None, None, None);
        (hold.water_vapour_mg, hold.water_ppm_of_charge) = (None, None);
    }
    let perhaps = Statement::PassWithLeak(LeakIndicated {
        micron_per_min: Some((0.0, 10.8)),
        g_per_year: Some((0.0, 864.0)),
    });
    let perhaps = saying(
        leak.run("pass_leak_unclear", RiseKind::Unclear, pass()),
        [perhaps],
    );
    let unsized_leak = Statement::PassWithLeak(LeakIndicated {
        micron_per_min: None,
        g_per_year: None,
    });
    let unsized_leak = saying(
        hour.run("pass_leak_no_size", RiseKind::Leak, pass()),
        [unsized_leak],
    );
    let unknown = leak.run("pass_unclear", RiseKind::Unclear, pass());
    let one_side = saying(
        leak.run("pass_one_side", RiseKind::Unclear, pass()),
        [Statement::OneSideEvacuated],
    );
    let tends = hour.run("pass_tends", RiseKind::None, pass());
    let tends = saying(with_confidence(tends, 0.72), [not_ruled_out]);
    vec![
        in_grams,
        in_micron,
        perhaps,
        unsized_leak,
        unknown,
        one_side,
        tends,
    ]
}

/// Tendencies in holds that fail or prove nothing, and ice.
pub(super) fn doubtful() -> Vec<Run> {
    let hour = PlannedRound::hour();
    let leak = PlannedRound {
        slope_micron_per_min: 24.0,
        ..hour
    };
    let moist = PlannedRound {
        boil_micron: 900.0,
        boil_tau_s: 420.0,
        ..hour
    };
    let exceeded = || fail(Reason::CeilingExceeded);
    let leak = with_confidence(leak.run("leak_tends", RiseKind::Leak, exceeded()), 0.86);
    let moist = with_confidence(
        moist.run("moisture_tends", RiseKind::Moisture, exceeded()),
        0.6,
    );
    let iced = PlannedRound {
        floor_micron: 400.0,
        ..hour
    };
    let mut iced = saying(
        iced.run("ice", RiseKind::None, open(Reason::IcePossible)),
        [
            Statement::IceInHold {
                level_micron: 472.0,
                coldest_part_c: -25.0,
                saturation_micron: 474.6,
                low_micron: 349.0,
                high_micron: 1_270.0,
            },
            Statement::TooColdToDry { ambient_c: 1.0 },
        ],
    );
    if let Some(job) = &mut iced.job {
        (job.ambient_c, job.coldest_part_c) = (Some(1.0), Some(-25.0));
    }
    vec![leak, moist, iced]
}
