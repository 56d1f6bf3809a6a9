//! What is asked of a charge on a command line, and the plan that it makes.
//!
//! ```
//! use charge_options::PlanOptions;
//! use clap::Parser;
//!
//! #[derive(Parser)]
//! struct Arguments {
//!     #[command(flatten)]
//!     plan: PlanOptions,
//! }
//!
//! let given = "- --refrigerant R-600a --nameplate-g 58 --ambient-c 68F --hose 4.8:0.9:liquid";
//! let given = Arguments::try_parse_from(given.split(' '))?;
//! let plan = given.plan.plan();
//! assert_eq!((plan.nameplate_g, plan.ambient_c, plan.hoses.len()), (58.0, 20.0, 1));
//! # Ok::<(), clap::Error>(())
//! ```
//!
//! # What this crate does not do
//! It works nothing out and prints nothing. What a number may be says the crate `charge`.

use charge::{DrawIn, Hose, Manifold, Plan};
use clap::Args;
use refrigerant_tables::Substance;
use vacuum::{mass::charge_g, temperature};

/// A scale under the refrigerant cylinder while a run is recorded; to be flattened into the
/// arguments of a command.
#[derive(Debug, Args)]
pub struct ScaleOptions {
    /// Port of a scale under the refrigerant cylinder: the weigh-in is recorded beside the
    /// gauge, after a hold that passed
    #[arg(long, value_name = "PATH")]
    pub scale_port: Option<String>,
    /// Dialect file of the scale, or the name of one that ships (weight-word-line,
    /// weight-fields-sum)
    #[arg(long, value_name = "FILE|NAME", requires = "scale_port")]
    pub scale_dialect: Option<String>,
    /// Speed of the scale in bit/s instead of its dialect's
    #[arg(long, value_name = "BITS", requires = "scale_port")]
    pub scale_baud: Option<u32>,
    /// What the hoses keep, g (dryhold charge works it out): so much more leaves the cylinder
    #[arg(long, value_name = "G", requires = "scale_port", allow_hyphen_values = true, value_parser = grams_left)]
    pub left_in_hoses_g: Option<f64>,
}

/// What hoses keep, g: 0 to 5 kg.
fn grams_left(text: &str) -> Result<f64, String> {
    let g = text.parse::<f64>().map_err(|_| "not a number".to_owned())?;
    match (0.0..=5_000.0).contains(&g) {
        true => Ok(g),
        false => Err("must lie in 0 to 5000 g".into()),
    }
}

/// What is charged, with what; to be flattened into the arguments of a command.
#[derive(Debug, Args)]
pub struct PlanOptions {
    /// Refrigerant by its ISO 817 designation, for instance R-600a
    #[arg(long, value_name = "NAME", value_parser = substance)]
    refrigerant: &'static Substance,
    /// Charge on the nameplate, g
    #[arg(
        long,
        value_name = "G",
        allow_hyphen_values = true,
        value_parser = finite,
        required_unless_present = "nameplate"
    )]
    nameplate_g: Option<f64>,
    /// The same with its unit: "58 g", "2.05 oz", "1 lb 3 oz"
    #[arg(long, value_name = "MASS", value_parser = charge_g, conflicts_with = "nameplate_g")]
    nameplate: Option<f64>,
    /// Tolerance of the charge to both sides, g [default: 2 %, at least 1 g]
    #[arg(long, value_name = "G", allow_hyphen_values = true, value_parser = finite)]
    tolerance_g: Option<f64>,
    /// Temperature of the room and of the hoses, °C ("70F" will do too)
    #[arg(long, value_name = "T", allow_hyphen_values = true, value_parser = celsius)]
    ambient_c: f64,
    /// A hose that was evacuated with the system: bore in mm, length in m, and what it is full
    /// of at the end, 4.8:0.9:liquid or 3/16in:36in:vapour; may be given again
    #[arg(long, value_name = "BORE:LENGTH:liquid|vapour", allow_hyphen_values = true, value_parser = Hose::read)]
    hose: Vec<Hose>,
    /// The line between cylinder and manifold, where it was evacuated too
    #[arg(long, value_name = "BORE:LENGTH:liquid|vapour", allow_hyphen_values = true, value_parser = Hose::read)]
    cylinder_line: Option<Hose>,
    /// The manifold: volume between its valves in mL, and what it is full of at the end
    #[arg(long, value_name = "ML:liquid|vapour", allow_hyphen_values = true, value_parser = Manifold::read)]
    manifold_ml: Option<Manifold>,
    /// The running system draws hoses empty through the low side at the end
    #[arg(long)]
    draw_in: bool,
    /// Pressure of the low side then, bar absolute [default: that of the refrigerant at −25 °C]
    #[arg(long, value_name = "P", allow_hyphen_values = true, value_parser = finite)]
    low_side_bar_abs: Option<f64>,
    /// Smallest step of the scale, g
    #[arg(long, value_name = "S", allow_hyphen_values = true, value_parser = finite)]
    scale_step_g: Option<f64>,
    /// What the charging cylinder stands at, bar absolute: its gauge and the barometer
    #[arg(long, value_name = "P", allow_hyphen_values = true, value_parser = finite)]
    cylinder_bar_abs: Option<f64>,
    /// Inner volume of a cylinder that is to be filled, mL
    #[arg(long, value_name = "V", allow_hyphen_values = true, value_parser = finite)]
    cylinder_ml: Option<f64>,
    /// What left the cylinder, g, when it is done: how does the charge stand?
    #[arg(long, value_name = "G", allow_hyphen_values = true, value_parser = finite)]
    weighed_out_g: Option<f64>,
}

impl PlanOptions {
    /// The plan that they make.
    #[must_use]
    pub fn plan(&self) -> Plan {
        // one of the two is there: clap asks for it
        let nameplate_g = self.nameplate_g.or(self.nameplate).unwrap_or_default();
        let pa = |bar: Option<f64>| bar.map(|bar| bar * 1e5);
        Plan {
            tolerance_g: self.tolerance_g,
            hoses: self.hose.clone(),
            cylinder_line: self.cylinder_line,
            manifold: self.manifold_ml,
            draw_in: if self.draw_in {
                DrawIn::Yes
            } else {
                DrawIn::No
            },
            low_side_pa: pa(self.low_side_bar_abs),
            scale_step_g: self.scale_step_g,
            cylinder_pa: pa(self.cylinder_bar_abs),
            cylinder_ml: self.cylinder_ml,
            weighed_out_g: self.weighed_out_g,
            ..Plan::new(self.refrigerant, nameplate_g, self.ambient_c)
        }
    }
}

fn substance(text: &str) -> Result<&'static Substance, String> {
    Substance::named(text).map_err(|e| e.to_string())
}

fn finite(text: &str) -> Result<f64, String> {
    let number = text.parse().ok();
    number
        .filter(|x: &f64| x.is_finite())
        .ok_or_else(|| "not a number".into())
}

/// A temperature that no table reaches is most likely in °F.
fn celsius(text: &str) -> Result<f64, String> {
    let typed = temperature::read(text).ok_or("not a temperature: give for instance 21 or 70F")?;
    let reached = Substance::all().any(|s| (s.lowest_c()..=s.highest_c()).contains(&typed.celsius));
    match typed.unit_said || reached {
        true => Ok(typed.celsius),
        false => Err(format!(
            "no table of a refrigerant reaches {text} °C; write F behind it if it is in °F"
        )),
    }
}
