//! The JSON form of what to weigh out: `dryhold.charge/1`.

use ::charge::{DrawIn, Held, InSystem, Plan, Weighing, charge_limits};
use serde::Serialize;
use wording::{Voice, charge_warning, charging_cautions, charging_order};

use super::number::Number;

#[derive(Serialize)]
struct ChargeWire {
    schema: &'static str,
    refrigerant: &'static str,
    nameplate_g: Number,
    tolerance_g: Number,
    ambient_c: Number,
    hoses: Vec<HeldWire>,
    cylinder_line: Option<HeldWire>,
    manifold: Option<HeldWire>,
    left_in_hoses_g: Number,
    share_of_charge: Number,
    weigh_out_g: Number,
    uncertainty_95_g: Number,
    drawn_in: Option<DrawnInWire>,
    density_kg_m3: DensityWire,
    saturation_kpa: Number,
    dew_kpa: Number,
    short_charge: ShortWire,
    in_system: Option<ShortWire>,
    scale: Option<ScaleWire>,
    charging_cylinder: Option<CylinderWire>,
    safe_fill: Option<FillWire>,
    limits: Vec<LimitWire>,
    order: Vec<StepWire>,
    cautions: Vec<String>,
    warnings: Vec<String>,
    warning_codes: Vec<&'static str>,
}

#[derive(Serialize)]
struct HeldWire {
    ml: Number,
    g: Number,
}

#[derive(Serialize)]
struct DrawnInWire {
    in_this_plan: bool,
    low_side_kpa: Number,
    low_side_assumed: bool,
    left_in_hoses_g: Number,
    weigh_out_g: Number,
}

#[derive(Serialize)]
struct DensityWire {
    liquid: Number,
    vapour: Number,
}

/// What is in the system after a mass was weighed out.
#[derive(Serialize)]
struct ShortWire {
    weighed_out_g: Number,
    in_system_g: Number,
    off_g: Number,
    off_percent: Number,
    margin_g: Number,
    margin_percent: Number,
    uncertainty_95_g: Number,
    standing: &'static str,
}

#[derive(Serialize)]
struct ScaleWire {
    step_g: Number,
    uncertainty_95_g: Number,
    fine_enough: bool,
}

#[derive(Serialize)]
struct CylinderWire {
    bar_abs: Number,
    celsius: Number,
    liquid_kg_m3: Number,
    level_fall_ml: Number,
    dial_10_k_too_cold_percent: Option<Number>,
    dial_10_k_too_warm_percent: Option<Number>,
}

#[derive(Serialize)]
struct FillWire {
    ml: Number,
    g: Number,
}

#[derive(Serialize)]
struct LimitWire {
    standard: &'static str,
    appliance: &'static str,
    g: Number,
    from_memory: bool,
}

#[derive(Serialize)]
struct StepWire {
    code: &'static str,
    text: String,
    expect: Option<String>,
    if_not: Option<String>,
    cautions: Vec<String>,
}

/// A number at four significant digits, which tables and hoses deserve.
fn four(value: f64) -> Number {
    Number(format!("{value:.3e}").parse().unwrap_or(value))
}

fn held(held: &Held) -> HeldWire {
    HeldWire {
        ml: four(held.ml),
        g: four(held.g),
    }
}

fn short(found: &InSystem, plan: &Plan) -> ShortWire {
    let percent = |g: f64| four(100.0 * g / plan.nameplate_g);
    ShortWire {
        weighed_out_g: Number(found.weighed_out_g),
        in_system_g: four(found.g),
        off_g: four(found.off_g),
        off_percent: percent(found.off_g),
        margin_g: four(found.margin_g),
        margin_percent: percent(found.margin_g),
        uncertainty_95_g: four(found.uncertainty_95_g),
        standing: found.standing.code(),
    }
}

/// What to weigh out as one JSON object, sentences in English. `short_charge` says what would
/// be in the system if nothing but the nameplate charge left the cylinder, `in_system` what is
/// in it when something was weighed out.
#[must_use]
pub fn charge_json(plan: &Plan, found: &Weighing) -> String {
    let english = Voice::default();
    let drawn_in = found.drawn_in.map(|drawn| DrawnInWire {
        in_this_plan: plan.draw_in == DrawIn::Yes,
        low_side_kpa: four(drawn.low_side_pa / 1e3),
        low_side_assumed: drawn.is_assumed,
        left_in_hoses_g: four(drawn.left_g),
        weigh_out_g: four(drawn.weigh_out_g),
    });
    let charging_cylinder = found.charging_cylinder.map(|cylinder| CylinderWire {
        bar_abs: four(cylinder.pa / 1e5),
        celsius: four(cylinder.celsius),
        liquid_kg_m3: four(cylinder.liquid_kg_m3),
        level_fall_ml: four(cylinder.level_fall_ml),
        dial_10_k_too_cold_percent: cylinder.dial_too_cold.map(|share| four(100.0 * share)),
        dial_10_k_too_warm_percent: cylinder.dial_too_warm.map(|share| four(100.0 * share)),
    });
    let limits = charge_limits(plan.substance.refrigerant()).iter();
    let order = charging_order(&english, plan, found).into_iter();
    let warnings = found.warnings.iter();
    let wire = ChargeWire {
        schema: "dryhold.charge/1",
        refrigerant: plan.substance.designation(),
        nameplate_g: Number(plan.nameplate_g),
        tolerance_g: Number(plan.tolerance_g()),
        ambient_c: Number(plan.ambient_c),
        hoses: found.hoses.iter().map(held).collect(),
        cylinder_line: found.cylinder_line.as_ref().map(held),
        manifold: found.manifold.as_ref().map(held),
        left_in_hoses_g: four(found.left_g),
        share_of_charge: four(found.share_of_charge),
        weigh_out_g: four(found.weigh_out_g),
        uncertainty_95_g: four(found.spread.uncertainty_95_g()),
        drawn_in,
        density_kg_m3: DensityWire {
            liquid: four(found.at.liquid_kg_m3),
            vapour: four(found.at.vapour_kg_m3),
        },
        saturation_kpa: four(found.at.bubble_pa / 1e3),
        dew_kpa: four(found.at.dew_pa / 1e3),
        short_charge: short(&found.if_hoses_forgotten, plan),
        in_system: found.in_system.map(|done| short(&done, plan)),
        scale: found.scale.map(|scale| ScaleWire {
            step_g: Number(scale.step_g),
            uncertainty_95_g: four(scale.uncertainty_95_g),
            fine_enough: scale.is_fine_enough(),
        }),
        charging_cylinder,
        safe_fill: found.safe_fill.map(|fill| FillWire {
            ml: Number(fill.ml),
            g: four(fill.g),
        }),
        limits: limits
            .map(|limit| LimitWire {
                standard: limit.standard,
                appliance: limit.appliance.word(),
                g: Number(limit.g),
                from_memory: limit.is_from_memory,
            })
            .collect(),
        order: order
            .map(|words| StepWire {
                code: words.step.code(),
                text: words.what,
                expect: words.expect,
                if_not: words.otherwise,
                cautions: words.cautions,
            })
            .collect(),
        cautions: charging_cautions(&english, plan),
        warnings: warnings
            .clone()
            .map(|warning| charge_warning(&english, warning, plan))
            .collect(),
        warning_codes: warnings.map(::charge::Warning::code).collect(),
    };
    serde_json::to_string(&wire).unwrap_or_default()
}

#[cfg(test)]
mod tests {
    use ::charge::{Hose, Plan, work_out};
    use refrigerant_tables::Substance;
    use serde_json::Value;

    use super::charge_json;

    /// The example of the contract: a hose of 4.8 mm and 0.9 m full of liquid R-600a.
    #[test]
    fn the_shape_of_the_contract() {
        let plan = Plan {
            hoses: vec![Hose::read("4.8:0.9:liquid").unwrap()],
            ..Plan::new(Substance::named("R-600a").unwrap(), 58.0, 20.0)
        };
        let found = work_out(&plan).unwrap();
        let json: Value = serde_json::from_str(&charge_json(&plan, &found)).unwrap();
        assert_eq!(json["schema"], "dryhold.charge/1");
        assert_eq!(json["refrigerant"], "R-600a");
        assert_eq!(json["nameplate_g"], 58);
        let near = |value: &Value, expected: f64| {
            let found = value.as_f64().unwrap();
            assert!((found / expected - 1.0).abs() < 2e-3, "{found} {expected}");
        };
        near(&json["hoses"][0]["ml"], 16.3);
        near(&json["hoses"][0]["g"], 9.07);
        near(&json["left_in_hoses_g"], 9.07);
        near(&json["share_of_charge"], 0.156_4);
        near(&json["weigh_out_g"], 67.1);
        near(&json["density_kg_m3"]["liquid"], 556.9);
        near(&json["density_kg_m3"]["vapour"], 7.91);
        near(&json["saturation_kpa"], 302.2);
        assert!(
            json["cautions"]
                .as_array()
                .is_some_and(|all| !all.is_empty())
        );
        assert!(json["warnings"][0].as_str().is_some());
        assert!(json["in_system"].is_null());
        assert_eq!(json["short_charge"]["standing"], "short");
    }
}
