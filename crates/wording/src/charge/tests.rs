use charge::{DrawIn, Hose, Plan, work_out};
use refrigerant_tables::Substance;
use vacuum::Language;

use crate::{Voice, charge_lines, charging_cautions, charging_order, charging_order_lines};

fn plan(name: &str, nameplate_g: f64, hoses: &[&str]) -> Plan {
    Plan {
        hoses: hoses.iter().map(|h| Hose::read(h).expect(h)).collect(),
        ..Plan::new(Substance::named(name).expect(name), nameplate_g, 20.0)
    }
}

fn said(voice: &Voice, plan: &Plan) -> String {
    let found = work_out(plan).expect("a plan");
    let lines = charge_lines(voice, plan, &found);
    let order = charging_order_lines(voice, plan, &found);
    [lines, order].concat().join("\n")
}

#[test]
fn the_answer_comes_first_and_in_both_units() {
    let voice = Voice::default();
    let plan = plan("R-600a", 58.0, &["4.8:0.9:liquid"]);
    let said = said(&voice, &plan);
    let lines: Vec<&str> = said.lines().collect();
    assert_eq!(
        lines[1],
        "Weigh out 67.1 g (2.37 oz): 58.0 g for the system, 9.07 g for what hoses keep (16 % of \
         the charge)."
    );
    assert_eq!(
        lines[2],
        "  Hose 1: 4.8 mm × 0.9 m, 16.3 mL of liquid: 9.07 g (0.32 oz)"
    );
    // its low side runs in vacuum, and it burns
    assert!(said.contains("draws air in"), "{said}");
    assert!(said.contains("R-600a is flammable"), "{said}");
    assert!(said.contains("0.584 bar abs"), "{said}");
}

#[test]
fn every_language_says_every_plan() {
    let mut all = Vec::new();
    for (name, g) in [
        ("R-600a", 58.0),
        ("R-454C", 800.0),
        ("R-744", 400.0),
        ("R-290", 600.0),
    ] {
        for draw_in in [DrawIn::No, DrawIn::Yes] {
            let mut plan = plan(name, g, &["4.8:0.9:liquid", "4.8:1.5:vapour"]);
            plan.draw_in = draw_in;
            all.push(plan.clone());
            plan.cylinder_line = Some(Hose::read("4.8:0.3:liquid").unwrap());
            plan.manifold = Some(charge::Manifold::read("12:liquid").unwrap());
            plan.scale_step_g = Some(2.0);
            plan.cylinder_ml = Some(5_000.0);
            plan.cylinder_pa = Some(plan.substance.saturation_at(27.0).unwrap().bubble_pa);
            plan.weighed_out_g = Some(g);
            all.push(plan.clone());
            plan.cylinder_pa = Some(plan.substance.saturation_at(5.0).unwrap().bubble_pa);
            plan.weighed_out_g = Some(2.0 * g);
            plan.scale_step_g = Some(0.1);
            plan.hoses.clear();
            all.push(plan);
        }
    }
    for language in Language::ALL {
        let voice = Voice {
            language,
            ..Voice::default()
        };
        for plan in &all {
            // a message or a variable that is missing stops a test build
            let said = said(&voice, plan);
            assert!(!said.contains('{') && !said.contains("charge-"), "{said}");
        }
    }
}

#[test]
fn each_act_has_its_cautions() {
    let voice = Voice::default();
    let plan = plan("R-290", 85.0, &["4.8:0.9:liquid"]);
    let found = work_out(&plan).unwrap();
    let order = charging_order(&voice, &plan, &found);
    let at = |code: &str| {
        let step = order.iter().find(|s| s.step.code() == code).expect(code);
        step.cautions.join(" ")
    };
    assert!(at("prepare").contains("static spark"));
    assert!(at("prepare").contains("Valve the vacuum gauge off"));
    assert!(at("prepare").contains("eye and hand protection"));
    assert!(at("shut_valves").contains("locked in"));
    assert!(at("start_compressor").contains("Never energise the compressor"));
    assert!(at("pinch_off").contains("no flame"));
    // each once in the list of all
    let mut cautions = charging_cautions(&voice, &plan);
    assert!(cautions.iter().any(|c| c.contains("local codes")));
    let count = cautions.len();
    cautions.sort();
    cautions.dedup();
    assert_eq!(cautions.len(), count);
    // one that does not burn is not said to burn
    let r134a = self::plan("R-134a", 85.0, &["4.8:0.9:liquid"]);
    let cautions = charging_cautions(&voice, &r134a).join(" ");
    assert!(!cautions.contains("static spark") && !cautions.contains("R-134a is flammable"));
}
