//! What to weigh out, as lines: the answer first, then where it comes from and what speaks
//! against it.

use charge::{
    ChargeLimit, ChargingCylinder, Contents, DrawIn, Hose, InSystem, Plan, SafeFill, Standing,
    Warning, Weighing, charge_limits,
};
use vacuum::{Pressure, PressureUnit, mass::G_PER_OZ};

use crate::{Voice, say};

impl Voice {
    /// A mass as a scale shows it, in g and in ounces: "67.1 g (2.37 oz)".
    #[must_use]
    pub fn mass(&self, g: f64) -> String {
        let oz = g / G_PER_OZ;
        let digits = if oz.abs() < 10.0 { 3 } else { 4 };
        format!("{} ({} oz)", self.grams(g), self.plain(oz, digits))
    }

    /// The same in g alone: "67.1 g", "9.07 g", "0.129 g".
    #[must_use]
    pub fn grams(&self, g: f64) -> String {
        let number = match g.abs() {
            size if size >= 1e3 => self.decimals(g, 0),
            size if size >= 10.0 => self.decimals(g, 1),
            size if size >= 1.0 => self.decimals(g, 2),
            _ => self.plain(g, 3),
        };
        format!("{number} g")
    }

    /// A mass that was chosen (a limit, the step of a scale): "150 g", "0.5 g".
    fn chosen_mass(&self, g: f64) -> String {
        format!("{} g", self.plain(g, 5))
    }

    /// How uncertain a mass is, to two digits: "1.2 g".
    fn unsure(&self, g: f64) -> String {
        format!("{} g", self.significant(g, 2))
    }

    /// A pressure of a refrigerant, absolute: "3.02 bar abs (43.8 psia)".
    #[must_use]
    pub fn absolute(&self, pa: f64) -> String {
        let of = |unit: PressureUnit| {
            let number = self.significant(pa / unit.pa(), 3);
            format!("{number} {unit}")
        };
        format!("{} ({})", of(PressureUnit::Bar), of(PressureUnit::Psi))
    }

    /// What a gauge shows that counts from the air at sea level: "2.0 bar (29 psi)".
    fn above_air(&self, pa: f64) -> String {
        let above = pa - Pressure::ATMOSPHERE.pa();
        let bar = self.decimals(above / PressureUnit::Bar.pa(), 1);
        let psi = self.decimals(above / PressureUnit::Psi.pa(), 0);
        format!("{bar} bar ({psi} psi)")
    }

    /// A share as percent, without the sign of it.
    fn percent(&self, share: f64) -> String {
        let percent = 100.0 * share;
        match percent.abs() {
            size if size >= 10.0 => self.decimals(percent, 0),
            size if size >= 0.1 => self.decimals(percent, 1),
            _ => self.plain(percent, 1),
        }
    }

    /// A difference, with its sign.
    fn signed(&self, written: String, value: f64) -> String {
        match value > 0.0 {
            true => format!("+{written}"),
            false => written,
        }
    }
}

/// Everything that is said of a charge but the order of work.
#[must_use]
pub fn charge_lines(voice: &Voice, plan: &Plan, found: &Weighing) -> Vec<String> {
    let mut lines = vec![title(voice, plan)];
    if let Some(done) = &found.in_system {
        lines.extend(in_system(voice, done, plan));
    }
    lines.push(weigh_out(voice, plan, found));
    lines.extend(hoses(voice, plan, found));
    lines.extend(drawn_in(voice, plan, found));
    if found.undrawn_left_g > 0.0 && plan.draw_in == DrawIn::No {
        let off = -found.if_hoses_forgotten.off_g;
        lines.push(say!(
            voice,
            "charge-forgotten",
            charge = voice.grams(plan.nameplate_g),
            off = voice.mass(off),
            share = voice.percent(off / plan.nameplate_g),
            uncertainty = voice.unsure(found.if_hoses_forgotten.uncertainty_95_g),
        ));
    }
    lines.extend(uncertainty(voice, found));
    if let Some(scale) = found.scale.filter(|scale| scale.is_fine_enough()) {
        lines.push(say!(
            voice,
            "charge-scale-fine",
            step = voice.chosen_mass(scale.step_g),
            tolerance = voice.chosen_mass(scale.tolerance_g),
        ));
    }
    if let Some(cylinder) = &found.charging_cylinder {
        lines.push(level(voice, cylinder, plan, found));
    }
    if let Some(fill) = &found.safe_fill {
        lines.push(safe_fill(voice, fill));
    }
    lines.push(state(voice, plan, found));
    let limits = charge_limits(plan.substance.refrigerant()).iter();
    lines.extend(limits.map(|limit| limit_words(voice, limit)));
    if plan.tolerance_g.is_none() {
        lines.push(say!(voice, "charge-tolerance-usual"));
    }
    lines.push(say!(voice, "charge-source"));
    let warnings = found.warnings.iter();
    lines.extend(warnings.map(|w| {
        let words = charge_warning(voice, w, plan);
        say!(voice, "charge-warning", warning = words)
    }));
    lines
}

fn title(voice: &Voice, plan: &Plan) -> String {
    let charge = format!("{} g", voice.plain(plan.nameplate_g, 5));
    let oz = voice.plain(plan.nameplate_g / G_PER_OZ, 3);
    say!(
        voice,
        "charge-title",
        refrigerant = plan.substance.designation(),
        charge = format!("{charge} ({oz} oz)"),
        tolerance = voice.chosen_mass(plan.tolerance_g()),
        celsius = voice.plain(plan.ambient_c, 3),
    )
}

fn weigh_out(voice: &Voice, plan: &Plan, found: &Weighing) -> String {
    let mass = voice.mass(found.weigh_out_g);
    if found.left_g == 0.0 {
        return say!(voice, "charge-weigh-out-alone", mass = mass);
    }
    say!(
        voice,
        "charge-weigh-out",
        mass = mass,
        charge = voice.grams(plan.nameplate_g),
        left = voice.grams(found.left_g),
        share = voice.percent(found.share_of_charge),
    )
}

fn hoses(voice: &Voice, plan: &Plan, found: &Weighing) -> Vec<String> {
    let ml = |ml: f64| voice.significant(ml, 3);
    let hose = |(i, (hose, held)): (usize, (&Hose, &charge::Held))| {
        let contents = match hose.contents {
            Contents::Liquid => "liquid",
            Contents::Vapour => "vapour",
        };
        say!(
            voice,
            "charge-hose",
            number = i + 1,
            bore = voice.plain(hose.bore_mm, 3),
            length = voice.plain(hose.length_m, 3),
            ml = ml(held.ml),
            contents = contents,
            mass = voice.mass(held.g),
        )
    };
    let hoses = plan.hoses.iter().zip(&found.hoses).enumerate();
    let mut lines: Vec<String> = hoses.map(hose).collect();
    if let Some(held) = found.cylinder_line {
        let mass = voice.mass(held.g);
        lines.push(say!(
            voice,
            "charge-cylinder-line",
            ml = ml(held.ml),
            mass = mass
        ));
    }
    if let Some(held) = found.manifold {
        let mass = voice.mass(held.g);
        lines.push(say!(
            voice,
            "charge-manifold",
            ml = ml(held.ml),
            mass = mass
        ));
    }
    lines.into_iter().map(|line| format!("  {line}")).collect()
}

/// What the other way of taking hoses off would come to.
fn drawn_in(voice: &Voice, plan: &Plan, found: &Weighing) -> Vec<String> {
    let Some(drawn) = found.drawn_in.filter(|_| found.undrawn_left_g > 0.0) else {
        return Vec::new();
    };
    let mut lines = Vec::new();
    if plan.draw_in == DrawIn::Yes {
        lines.push(say!(
            voice,
            "charge-undrawn",
            left = voice.grams(found.undrawn_left_g),
            mass = voice.mass(plan.nameplate_g + found.undrawn_left_g),
        ));
    }
    lines.push(say!(
        voice,
        "charge-drawn",
        pressure = voice.absolute(drawn.low_side_pa),
        left = voice.grams(drawn.left_g),
        mass = voice.mass(drawn.weigh_out_g),
    ));
    if drawn.is_assumed {
        let refrigerant = plan.substance.designation();
        lines.push(say!(
            voice,
            "charge-drawn-assumed",
            refrigerant = refrigerant
        ));
    }
    lines
}

fn uncertainty(voice: &Voice, found: &Weighing) -> Option<String> {
    let spread = &found.spread;
    let all = voice.unsure(spread.uncertainty_95_g());
    let doubled = |g: f64| voice.unsure(2.0 * g);
    let (hoses, state) = (doubled(spread.hoses_g), doubled(spread.state_g));
    if found.scale.is_some() {
        return Some(say!(
            voice,
            "charge-uncertainty",
            all = all,
            hoses = hoses,
            state = state,
            scale = doubled(spread.scale_g),
        ));
    }
    let unsure = found.undrawn_left_g > 0.0;
    unsure.then(|| {
        say!(
            voice,
            "charge-uncertainty-no-scale",
            all = all,
            hoses = hoses,
            state = state
        )
    })
}

fn in_system(voice: &Voice, done: &InSystem, plan: &Plan) -> Vec<String> {
    let share = done.off_g / plan.nameplate_g;
    let standing = match done.standing {
        Standing::Short => say!(voice, "charge-standing-short"),
        Standing::Within => say!(voice, "charge-standing-within"),
        Standing::Over => say!(voice, "charge-standing-over"),
        Standing::CannotTell => say!(voice, "charge-standing-open"),
    };
    let amounts = say!(
        voice,
        "charge-in-system",
        out = voice.grams(done.weighed_out_g),
        mass = voice.mass(done.g),
        uncertainty = voice.unsure(done.uncertainty_95_g),
        off = voice.signed(voice.grams(done.off_g), done.off_g),
        share = voice.signed(voice.percent(share), share),
    );
    let margin = voice.signed(voice.grams(done.margin_g), done.margin_g);
    let margin = say!(voice, "charge-margin", margin = margin);
    vec![standing, amounts, margin]
}

fn level(voice: &Voice, cylinder: &ChargingCylinder, plan: &Plan, found: &Weighing) -> String {
    let mut said = vec![say!(
        voice,
        "charge-level",
        pressure = voice.absolute(cylinder.pa),
        celsius = voice.decimals(cylinder.celsius, 1),
        liquid = voice.significant(cylinder.liquid_kg_m3, 4),
        ml = voice.significant(cylinder.level_fall_ml, 3),
    )];
    let of_liquid = cylinder.level_fall_ml * cylinder.liquid_kg_m3 / 1e3;
    let short = (of_liquid - found.weigh_out_g) / plan.nameplate_g;
    said.push(say!(
        voice,
        "charge-level-vapour",
        share = voice.percent(short)
    ));
    if let Some(share) = cylinder.dial_too_cold {
        said.push(say!(
            voice,
            "charge-dial-cold",
            share = voice.percent(-share)
        ));
    }
    if let Some(share) = cylinder.dial_too_warm {
        said.push(say!(
            voice,
            "charge-dial-warm",
            share = voice.percent(share)
        ));
    }
    said.join(" ")
}

fn safe_fill(voice: &Voice, fill: &SafeFill) -> String {
    let mut said = say!(
        voice,
        "charge-fill",
        volume = voice.plain(fill.ml / 1e3, 3),
        mass = format!("{} g", voice.significant(fill.g, 3)),
    );
    if let Some(share) = fill.share_at_50_c {
        said.push(' ');
        said += &say!(voice, "charge-fill-warm", share = voice.percent(share));
    }
    said
}

fn state(voice: &Voice, plan: &Plan, found: &Weighing) -> String {
    let at = &found.at;
    let refrigerant = plan.substance.designation();
    let celsius = voice.plain(at.celsius, 3);
    let (pressure, gauge) = (voice.absolute(at.bubble_pa), voice.above_air(at.bubble_pa));
    let liquid = voice.significant(at.liquid_kg_m3, 4);
    let vapour = voice.significant(at.vapour_kg_m3, 3);
    // a blend that boils like a single substance is told of like one
    if at.bubble_pa - at.dew_pa < 0.005 * at.bubble_pa {
        return say!(
            voice,
            "charge-state",
            celsius = celsius,
            refrigerant = refrigerant,
            pressure = pressure,
            gauge = gauge,
            liquid = liquid,
            vapour = vapour,
        );
    }
    say!(
        voice,
        "charge-state-blend",
        celsius = celsius,
        refrigerant = refrigerant,
        pressure = pressure,
        gauge = gauge,
        dew = voice.absolute(at.dew_pa),
        liquid = liquid,
        vapour = vapour,
    )
}

fn limit_words(voice: &Voice, limit: &ChargeLimit) -> String {
    say!(
        voice,
        "charge-limit",
        standard = limit.standard,
        mass = voice.chosen_mass(limit.g),
        place = limit.appliance.word(),
        source = if limit.is_from_memory {
            "memory"
        } else {
            "seen"
        },
    )
}

/// One warning.
#[must_use]
pub fn charge_warning(voice: &Voice, warning: &Warning, plan: &Plan) -> String {
    let refrigerant = plan.substance.designation();
    match *warning {
        Warning::NoHoses => say!(voice, "charge-warn-no-hoses"),
        Warning::HosesKeepMuch(share) => {
            say!(voice, "charge-warn-much", share = voice.percent(share))
        }
        Warning::ScaleTooCoarse {
            step_g,
            tolerance_g,
        } => say!(
            voice,
            "charge-warn-scale",
            step = voice.chosen_mass(step_g),
            tolerance = voice.chosen_mass(tolerance_g),
        ),
        Warning::TooUncertain {
            uncertainty_95_g,
            tolerance_g,
        } => say!(
            voice,
            "charge-warn-uncertain",
            uncertainty = voice.unsure(uncertainty_95_g),
            tolerance = voice.chosen_mass(tolerance_g),
        ),
        Warning::VapourOfBlend => say!(voice, "charge-warn-vapour", refrigerant = refrigerant),
        Warning::CylinderWarm(kelvin) => say!(
            voice,
            "charge-warn-cylinder-warm",
            celsius = voice.decimals(plan.ambient_c + kelvin, 0),
            kelvin = voice.decimals(kelvin, 0),
        ),
        Warning::CylinderCold(kelvin) => say!(
            voice,
            "charge-warn-cylinder-cold",
            celsius = voice.decimals(plan.ambient_c - kelvin, 0),
            kelvin = voice.decimals(kelvin, 0),
        ),
        Warning::AboveLimit(limit) => say!(
            voice,
            "charge-warn-limit",
            mass = voice.chosen_mass(limit.g),
            standard = limit.standard,
            place = limit.appliance.word(),
        ),
    }
}

#[cfg(test)]
mod tests;
