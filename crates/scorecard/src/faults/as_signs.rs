//! What was seen of a simulated appliance, in the words of the diagnosis.

use fault::{Cabinet, Draw, FaultCode, Frost, Meet, Onset, Rest, Signs, Sound, SuctionLine, Trace};
use refrigerant_tables::Substance;
use simulated_appliances::{self as simulated, Kind, Seen, Truth};

/// The fault of a simulated appliance.
pub(super) fn code(truth: Truth) -> FaultCode {
    FaultCode::from_word(truth.word()).unwrap_or(FaultCode::OutsideSealedSystem)
}

/// The signs of a simulated appliance; `None` for a refrigerant without a table.
pub(super) fn signs(seen: &Seen) -> Option<Signs> {
    let refrigerant = Substance::named(seen.refrigerant).ok()?;
    let cabinet = match seen.kind {
        Kind::Refrigerator => Cabinet::Refrigerator,
        Kind::FridgeFreezer => Cabinet::FridgeFreezer,
        Kind::ChestFreezer => Cabinet::Freezer,
        Kind::DisplayCooler => Cabinet::FanCooler,
        Kind::FanFreezer => Cabinet::FanFreezer,
    };
    let frost = |frost| match frost {
        simulated::Frost::None => Frost::None,
        simulated::Frost::InletOnly => Frost::InletOnly,
        simulated::Frost::Part => Frost::Part,
        simulated::Frost::Full => Frost::Full,
    };
    let line = |line| match line {
        simulated::SuctionLine::Warm => SuctionLine::Warm,
        simulated::SuctionLine::Cold => SuctionLine::Cold,
        simulated::SuctionLine::Frosted => SuctionLine::Frosted,
    };
    let sound = |sound| match sound {
        simulated::Sound::Nothing => Sound::Nothing,
        simulated::Sound::Gas => Sound::Gas,
        simulated::Sound::Liquid => Sound::Liquid,
    };
    let meet = |meet| match meet {
        simulated::Meet::Fast => Meet::Fast,
        simulated::Meet::Usual => Meet::Usual,
        simulated::Meet::Slow => Meet::Slow,
        simulated::Meet::Never => Meet::Never,
    };
    let onset = |onset| match onset {
        simulated::Onset::SinceService => Onset::SinceService,
        simulated::Onset::Slowly => Onset::Slowly,
        simulated::Onset::Suddenly => Onset::Suddenly,
    };
    let trace = |trace| match trace {
        simulated::Trace::Nowhere => Trace::Nowhere,
        simulated::Trace::LowSide => Trace::LowSide,
        simulated::Trace::HighSide => Trace::HighSide,
    };
    let pa = |kpa: f64| 1e3 * kpa;
    Some(Signs {
        cabinet_set_c: Some(seen.cabinet_set_c),
        cabinet_c: seen.cabinet_c,
        suction_pa: seen.suction_kpa_abs.map(pa),
        discharge_pa: seen.discharge_kpa_abs.map(pa),
        draw: seen.power_w.map(|measured| Draw {
            measured,
            of: seen.rated_w,
            known_good: false,
        }),
        condenser_in_c: seen.condenser_in_c,
        condenser_out_c: seen.condenser_out_c,
        frost: seen.frost.map(frost),
        suction_line: seen.suction_line.map(line),
        sound: seen.sound.map(sound),
        meet: seen.meet.map(meet),
        better_after_standing: seen.better_after_standing,
        runs_all_the_time: seen.runs_all_the_time,
        compressor_runs: Some(seen.compressor_runs),
        rest: seen.rest.map(|(kpa, c)| Rest { pa: pa(kpa), c }),
        onset: seen.onset.map(onset),
        opened_before: seen.opened_before,
        trace: seen.trace.map(trace),
        condenser_clean: seen.condenser_clean,
        fans_turn: seen.fans_turn,
        evaporator_free: seen.evaporator_air_free,
        door_closes: seen.door_closes,
        charge_found_g: seen.charge_found_g,
        nameplate_g: Some(seen.nameplate_g),
        ..Signs::new(refrigerant, cabinet, seen.ambient_c)
    })
}
