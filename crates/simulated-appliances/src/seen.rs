//! What a technician sees of it: gauges, clamps, eyes and ears.

use crate::{
    appliance::{Appliance, Kind},
    draw::Draw,
    truth::{Faulty, Outside, Truth},
};

/// Frost on the evaporator.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
#[expect(missing_docs, reason = "the words say it")]
pub enum Frost {
    None,
    InletOnly,
    Part,
    Full,
}

/// The suction line in front of the compressor.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
#[expect(missing_docs, reason = "the words say it")]
pub enum SuctionLine {
    Warm,
    Cold,
    Frosted,
}

/// What is heard where the capillary tube ends.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
#[expect(missing_docs, reason = "the words say it")]
pub enum Sound {
    Nothing,
    Gas,
    Liquid,
}

/// How fast both pressures meet after the compressor stopped.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
#[expect(missing_docs, reason = "the words say it")]
pub enum Meet {
    Fast,
    Usual,
    Slow,
    Never,
}

/// How the trouble came.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
#[expect(missing_docs, reason = "the words say it")]
pub enum Onset {
    SinceService,
    Slowly,
    Suddenly,
}

/// Where oil or a leak detector shows something.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
#[expect(missing_docs, reason = "the words say it")]
pub enum Trace {
    Nowhere,
    LowSide,
    HighSide,
}

/// What was seen; `None` where nobody looked.
#[derive(Debug, Clone, Copy, PartialEq)]
#[expect(missing_docs, reason = "the names say it")]
pub struct Seen {
    pub kind: Kind,
    pub refrigerant: &'static str,
    pub ambient_c: f64,
    pub cabinet_set_c: f64,
    pub rated_w: f64,
    pub nameplate_g: f64,
    pub compressor_runs: bool,
    pub runs_all_the_time: Option<bool>,
    pub cabinet_c: Option<f64>,
    pub suction_kpa_abs: Option<f64>,
    pub discharge_kpa_abs: Option<f64>,
    pub power_w: Option<f64>,
    pub condenser_in_c: Option<f64>,
    pub condenser_out_c: Option<f64>,
    pub frost: Option<Frost>,
    pub suction_line: Option<SuctionLine>,
    pub sound: Option<Sound>,
    pub meet: Option<Meet>,
    pub better_after_standing: Option<bool>,
    /// Pressure kPa and temperature °C after a long rest.
    pub rest: Option<(f64, f64)>,
    pub onset: Option<Onset>,
    pub opened_before: Option<bool>,
    pub trace: Option<Trace>,
    pub condenser_clean: Option<bool>,
    pub fans_turn: Option<bool>,
    pub evaporator_air_free: Option<bool>,
    pub door_closes: Option<bool>,
    pub charge_found_g: Option<f64>,
}

/// Looks at a faulty appliance.
pub(crate) fn look(appliance: &Appliance, faulty: &Faulty, draw: &mut Draw) -> Seen {
    let (now, running) = (&faulty.now, &faulty.running);
    let starts = faulty.outside != Outside::NoStart;
    let fans = appliance.kind.has_fans();
    let rest_c = now.ambient_c;
    let rest_kpa = appliance
        .machine
        .at_rest_kpa(now.charge_kg, now.air_mol, rest_c);
    let low_gauge = |draw: &mut Draw, kpa: f64| (kpa + draw.normal(3.0 + 0.01 * kpa)).max(1.0);
    let high_gauge = |draw: &mut Draw, kpa: f64| (kpa + draw.normal(10.0 + 0.01 * kpa)).max(1.0);
    // a clamp on a pipe shows a little of the room
    let clamp = |draw: &mut Draw, c: f64| c + 0.07 * (now.ambient_c - c) + draw.normal(1.0);
    let some = |draw: &mut Draw, p: f64| draw.chance(p);
    let running_only = |draw: &mut Draw, p: f64| starts && draw.chance(p);
    let (low, high) = match starts {
        true => (running.suction_kpa, running.discharge_kpa),
        false => (rest_kpa, rest_kpa),
    };
    let hot_c = now.ambient_c + 0.7 * (running.discharge_c - now.ambient_c);
    let checks = |draw: &mut Draw, bad: bool, by_chance: f64| {
        draw.chance(0.85).then(|| {
            let looks_bad = match bad {
                true => draw.chance(0.88),
                false => draw.chance(by_chance),
            };
            !looks_bad
        })
    };
    let condenser_bad = faulty.outside == Outside::Condenser;
    let fan_is_it = fans && draw.chance(0.5);
    let air_bad = faulty.outside == Outside::EvaporatorAir;
    let (onset, opened_before) = history(faulty, draw);
    Seen {
        kind: appliance.kind,
        refrigerant: appliance.machine.fluid.name(),
        ambient_c: now.ambient_c + draw.normal(0.7),
        cabinet_set_c: appliance.machine.set_c.round(),
        rated_w: appliance.rated_w.round(),
        nameplate_g: (appliance.nameplate_kg * 1e3).round(),
        compressor_runs: starts,
        runs_all_the_time: running_only(draw, 0.7).then(|| {
            let always = running.duty > 0.93;
            if draw.chance(0.08) { !always } else { always }
        }),
        cabinet_c: some(draw, 0.85).then(|| {
            let c = if starts {
                running.cabinet_c
            } else {
                now.ambient_c - 4.0
            };
            c + draw.normal(1.2)
        }),
        suction_kpa_abs: running_only(draw, 0.9).then(|| low_gauge(draw, low)),
        discharge_kpa_abs: running_only(draw, 0.75).then(|| high_gauge(draw, high)),
        power_w: running_only(draw, 0.85).then(|| running.power_w * (1.0 + draw.normal(0.03))),
        condenser_in_c: running_only(draw, 0.6).then(|| clamp(draw, hot_c)),
        condenser_out_c: running_only(draw, 0.75).then(|| clamp(draw, running.condenser_out_c)),
        frost: running_only(draw, if fans { 0.5 } else { 0.85 }).then(|| frost(running, draw)),
        suction_line: running_only(draw, 0.85).then(|| suction_line(running, draw)),
        sound: running_only(draw, 0.6).then(|| sound(faulty, draw)),
        meet: running_only(draw, 0.6).then(|| meet(faulty, draw)),
        better_after_standing: running_only(draw, 0.5).then(|| {
            let better = faulty.ice;
            if draw.chance(0.07) { !better } else { better }
        }),
        rest: some(draw, 0.5).then(|| (high_gauge(draw, rest_kpa), rest_c + draw.normal(1.0))),
        onset,
        opened_before,
        trace: some(draw, 0.7).then(|| trace(faulty, draw)),
        condenser_clean: checks(draw, condenser_bad && !fan_is_it, 0.12),
        fans_turn: checks(draw, condenser_bad && fan_is_it, 0.02).filter(|_| fans),
        evaporator_air_free: checks(draw, air_bad, 0.05),
        door_closes: checks(draw, faulty.outside == Outside::Load, 0.05),
        charge_found_g: draw
            .chance(0.2)
            .then(|| (now.charge_kg * 1e3 * draw.range(0.9, 1.0)).round()),
    }
}

fn frost(running: &crate::cycle::Running, draw: &mut Draw) -> Frost {
    let surface_c = running.evaporating_c + 0.25 * (running.cabinet_c - running.evaporating_c);
    let seen = running.wetted + draw.normal(0.1);
    if surface_c > 0.5 || running.wetted < 0.03 {
        Frost::None
    } else if seen < 0.1 {
        draw.pick(&[Frost::None, Frost::InletOnly])
    } else if seen < 0.45 {
        Frost::InletOnly
    } else if seen < 0.85 {
        Frost::Part
    } else {
        Frost::Full
    }
}

fn suction_line(running: &crate::cycle::Running, draw: &mut Draw) -> SuctionLine {
    let seen = running.wetted + draw.normal(0.05);
    if seen > 1.12 && running.evaporating_c < -2.0 {
        SuctionLine::Frosted
    } else if seen > 1.03 {
        SuctionLine::Cold
    } else {
        draw.pick(&[
            SuctionLine::Warm,
            SuctionLine::Warm,
            SuctionLine::Warm,
            SuctionLine::Cold,
        ])
    }
}

fn sound(faulty: &Faulty, draw: &mut Draw) -> Sound {
    if draw.chance(0.15) {
        return draw.pick(&[Sound::Nothing, Sound::Gas, Sound::Liquid]);
    }
    if faulty.now.capillary < 0.05 {
        Sound::Nothing
    } else if faulty.running.vapour_in_tube > 0.02 {
        Sound::Gas
    } else {
        Sound::Liquid
    }
}

fn meet(faulty: &Faulty, draw: &mut Draw) -> Meet {
    if draw.chance(0.1) {
        return draw.pick(&[Meet::Fast, Meet::Usual, Meet::Slow]);
    }
    if faulty.now.capillary < 0.05 {
        draw.pick(&[Meet::Never, Meet::Never, Meet::Slow])
    } else if faulty.now.capillary < 0.7 {
        draw.pick(&[Meet::Slow, Meet::Slow, Meet::Usual])
    } else if faulty.now.valves < 0.7 {
        draw.pick(&[Meet::Fast, Meet::Usual])
    } else {
        Meet::Usual
    }
}

fn history(faulty: &Faulty, draw: &mut Draw) -> (Option<Onset>, Option<bool>) {
    use Onset::{SinceService as Since, Slowly, Suddenly};
    let (opened, of): (f64, [Onset; 4]) = match faulty.truth {
        Truth::ShortCharge => (0.95, [Since, Since, Since, Slowly]),
        Truth::Overcharge | Truth::AirInSystem => (0.95, [Since, Since, Since, Suddenly]),
        Truth::LowSideLeak | Truth::HighSideLeak => (0.35, [Slowly, Slowly, Slowly, Suddenly]),
        Truth::PartialRestriction => (0.45, [Slowly, Slowly, Since, Suddenly]),
        Truth::TotalRestriction => (0.45, [Suddenly, Suddenly, Since, Slowly]),
        Truth::WeakCompressor => (0.2, [Slowly, Slowly, Slowly, Suddenly]),
        Truth::OutsideSealedSystem => (0.15, [Slowly, Slowly, Suddenly, Suddenly]),
    };
    let opened = draw.chance(opened);
    let mut onset = draw.pick(&of);
    if onset == Since && !opened {
        onset = Slowly;
    }
    let told = draw.chance(0.75).then_some(onset);
    (told, draw.chance(0.85).then_some(opened))
}

fn trace(faulty: &Faulty, draw: &mut Draw) -> Trace {
    let p = if draw.chance(0.04) { 1.0 } else { 0.35 };
    match faulty.truth {
        Truth::LowSideLeak if draw.chance(p) => Trace::LowSide,
        Truth::HighSideLeak if draw.chance(p) => Trace::HighSide,
        _ if draw.chance(0.03) => draw.pick(&[Trace::LowSide, Trace::HighSide]),
        _ => Trace::Nowhere,
    }
}
