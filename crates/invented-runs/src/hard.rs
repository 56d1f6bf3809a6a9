//! Runs that are hard to lay out: broken records, crowds of labels, hostile
//! text, and hardly anything at all.

use findings::{
    Finding, Gap, IsolationBasis, Reason, RiseKind, Round, Stall, StallEnd, StallKind, Statement,
};
use vacuum::{Criteria, Entry, MarkKind, Pressure, Sensed};

use crate::{
    jobs::{self, job},
    round::{PlannedRound, Run, findings, mark, measured, open, pass, replace},
};

pub(super) fn awkward_records() -> Vec<Run> {
    let hour = PlannedRound::hour();
    let mut bounded = hour.run("over_range_bound", RiseKind::None, pass());
    let bound = Pressure::from_micron(20_000.0).ok();
    replace(&mut bounded, 0.0, 560.0, Sensed::Over(bound));

    let mut unbounded = hour.run("over_range_10min", RiseKind::None, pass());
    replace(&mut unbounded, 0.0, 700.0, Sensed::Over(None));

    let rough = PlannedRound {
        noise: 0.35,
        boil_micron: 60.0,
        ..hour
    };
    let noisy = rough.run("noisy", RiseKind::Unclear, open(Reason::GaugeTooCoarse));

    let mut gap = hour.run("gap_in_hold", RiseKind::Unclear, open(Reason::GapInHold));
    gap.entries
        .retain(|e| !(2900.0..3190.0).contains(&e.elapsed_s()));
    gap.findings.data.gaps.push(Gap {
        start_s: 2899.5,
        end_s: 3190.0,
    });
    let mut fault = hour.run("gauge_fault", RiseKind::Unclear, open(Reason::GaugeFault));
    replace(&mut fault, 3000.0, 3100.0, Sensed::Fault);
    replace(&mut fault, 1200.0, 1210.0, Sensed::Gap);

    let deep = PlannedRound {
        floor_micron: 2.0,
        noise: 0.6,
        ..hour
    };
    let mut zero = deep.run("near_zero", RiseKind::None, pass());
    replace(
        &mut zero,
        2000.0,
        2100.0,
        Sensed::Under(Pressure::from_micron(1.0).ok()),
    );
    vec![bounded, unbounded, noisy, gap, fault, zero]
}

fn stalls() -> Vec<Stall> {
    let stall = |kind, start_s, end_s, level_micron| Stall {
        kind,
        start_s,
        end_s,
        level_micron,
        roughness: 1.5,
        boils_at_c: None,
        slope_per_min: -0.01,
        ended_by: StallEnd::Cleared,
        ends_at_micron: None,
    };
    vec![
        stall(StallKind::Foaming, 250.0, 520.0, 90_000.0),
        stall(StallKind::BoilOff, 620.0, 900.0, 9_100.0),
        Stall {
            boils_at_c: Some(-15.2),
            ended_by: StallEnd::HeatApplied,
            ..stall(StallKind::Ice, 930.0, 990.0, 1_220.0)
        },
        stall(StallKind::Choked, 1000.0, 1060.0, 1_100.0),
        stall(StallKind::Floor, 1700.0, 2380.0, 185.0),
    ]
}

pub(super) fn many_things() -> Vec<Run> {
    let hour = PlannedRound::hour();
    let mut stalled = hour.run("stalls", RiseKind::Unclear, open(Reason::HoldTooShort));
    stalled.findings.criteria = Criteria::rig_half_hour();
    if let Some(p) = &mut stalled.findings.rounds[0].pulldown {
        p.stalls = stalls();
    }
    for i in 0..5 {
        let at_s = 2400.0 + f64::from(i);
        let said = Finding::at(at_s, Statement::OneSideEvacuated);
        stalled.findings.findings.push(said);
    }

    let mut marked = hour.run("many_marks", RiseKind::None, pass());
    let kinds = [
        (60.0, MarkKind::ValveOpened, ""),
        (300.0, MarkKind::Throttled, "oil mist at the exhaust"),
        (310.0, MarkKind::BallastOpened, ""),
        (
            330.0,
            MarkKind::HeatApplied,
            "warm water on the accumulator",
        ),
        (345.0, MarkKind::Note, "second look at the joint"),
        (900.0, MarkKind::NitrogenBreak, "to 50 kPa"),
        (2395.0, MarkKind::Note, "hand on the valve"),
        (2420.0, MarkKind::PumpStopped, ""),
        (
            3590.0,
            MarkKind::Note,
            "charging cylinder connected and ready",
        ),
    ];
    for (at_s, kind, note) in kinds {
        mark(&mut marked.entries, at_s, kind, note);
    }

    let mut crowded = hour.run("crowded_marks", RiseKind::None, pass());
    for i in 0..500_u32 {
        let at_s = f64::from((i * 7919) % 3601);
        let kind = MarkKind::ALL[i as usize % 8];
        mark(&mut crowded.entries, at_s, kind, "again and again");
    }
    vec![stalled, marked, crowded, rounds(), hostile()]
}

/// Three rounds with nitrogen breaks between.
fn rounds() -> Run {
    let mut entries = Vec::new();
    let mut rounds = Vec::new();
    for i in 0..3_u32 {
        let start_s = f64::from(i) * 1900.0;
        let shape = PlannedRound {
            start_s,
            isolated_s: start_s + 1000.0,
            end_s: start_s + 1000.0 + if i == 2 { 900.0 } else { 600.0 },
            from_micron: if i == 0 { 760_000.0 } else { 300_000.0 },
            tau_s: 90.0,
            floor_micron: 900.0 / f64::from(3 * i + 1),
            boil_micron: if i == 2 { 60.0 } else { 700.0 },
            boil_tau_s: 200.0,
            ..PlannedRound::hour()
        };
        entries.extend(shape.readings());
        mark(&mut entries, shape.isolated_s, MarkKind::PumpSideShut, "");
        if i < 2 {
            mark(
                &mut entries,
                shape.end_s,
                MarkKind::NitrogenBreak,
                "through the regulator",
            );
        }
        rounds.push(Round {
            pulldown: Some(shape.pulldown(Vec::new())),
            hold: Some(shape.hold(RiseKind::Moisture)),
        });
    }
    Run {
        name: "three_rounds",
        findings: findings(pass(), rounds, &entries),
        entries,
        job: Some(job()),
    }
}

/// Typed text meant to break the layout or the markup.
fn hostile() -> Run {
    let mut run = PlannedRound::hour().run("hostile_text", RiseKind::None, pass());
    run.job = Some(jobs::hostile());
    let (nasty, long) = (jobs::NASTY, jobs::long());
    mark(&mut run.entries, 700.0, MarkKind::Note, nasty);
    mark(&mut run.entries, 1500.0, MarkKind::HeatApplied, &long);
    for _ in 0..30 {
        let disagree = Statement::GaugesDisagree {
            far_micron: 200.0,
            auxiliary_micron: 290.0,
            place: format!("{nasty} {long}"),
            accuracy: 0.1,
        };
        run.findings.findings.push(Finding::at(f64::NAN, disagree));
    }
    run
}

pub(super) fn hardly_anything() -> Vec<Run> {
    let hour = PlannedRound::hour();
    let empty = Run {
        name: "empty",
        entries: Vec::new(),
        findings: findings(open(Reason::NoReadings), Vec::new(), &[]),
        job: None,
    };
    let single = Run {
        name: "single_reading",
        entries: vec![measured(3.0, 480.0)],
        findings: findings(
            open(Reason::NoIsolation),
            Vec::new(),
            &[measured(3.0, 480.0)],
        ),
        job: None,
    };
    let mut no_hold = hour.run("no_hold", RiseKind::None, open(Reason::NoIsolation));
    no_hold.findings.rounds[0].hold = None;
    no_hold.entries.retain(|e| matches!(e, Entry::Reading(_)));

    let mut stopped = hour.run(
        "order_wrong",
        RiseKind::Unclear,
        open(Reason::PumpOpenAtStop),
    );
    stopped.findings.reasons.push(Reason::HoldTooShort);
    stopped.findings.criteria = Criteria::facilities_one_hour();
    stopped.job = None;

    let mut start = PlannedRound {
        isolated_s: 5000.0,
        start_s: 5000.0,
        end_s: 5700.0,
        ..hour
    }
    .run("isolated_from_start", RiseKind::None, pass());
    start.findings.rounds[0].pulldown = None;
    if let Some(hold) = &mut start.findings.rounds[0].hold {
        hold.basis = IsolationBasis::FromStart;
    }
    start.entries.retain(|e| matches!(e, Entry::Reading(_)));
    vec![empty, single, no_hold, stopped, start]
}
