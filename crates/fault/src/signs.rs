//! What was seen of an appliance.

use refrigerant_tables::Substance;

/// What kind of appliance it is; decides what is usual.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Cabinet {
    /// Cools above freezing; condenser without a fan.
    Refrigerator,
    /// Its evaporator freezes; condenser without a fan.
    FridgeFreezer,
    /// A chest or upright freezer; condenser without a fan.
    Freezer,
    /// Cools above freezing with fans at condenser and evaporator.
    FanCooler,
    /// Freezes with fans at condenser and evaporator.
    FanFreezer,
}

impl Cabinet {
    /// All of them.
    pub const ALL: [Self; 5] = [
        Self::Refrigerator,
        Self::FridgeFreezer,
        Self::Freezer,
        Self::FanCooler,
        Self::FanFreezer,
    ];

    /// The word in files and options.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Refrigerator => "refrigerator",
            Self::FridgeFreezer => "fridge-freezer",
            Self::Freezer => "freezer",
            Self::FanCooler => "fan-cooler",
            Self::FanFreezer => "fan-freezer",
        }
    }
}

macro_rules! choices {
    ($(#[$doc:meta])* $name:ident { $($(#[$vdoc:meta])* $variant:ident = $word:literal),+ $(,)? }) => {
        $(#[$doc])*
        #[derive(Debug, Clone, Copy, PartialEq, Eq)]
        pub enum $name { $($(#[$vdoc])* $variant),+ }

        impl $name {
            /// All of them.
            pub const ALL: &'static [Self] = &[$(Self::$variant),+];

            /// The word in files and options.
            #[must_use]
            pub const fn word(self) -> &'static str {
                match self { $(Self::$variant => $word),+ }
            }
        }
    };
}

choices! {
    /// Frost on the evaporator while it runs.
    Frost {
        /// None.
        None = "none",
        /// At its inlet only.
        InletOnly = "inlet-only",
        /// On a part of it.
        Part = "part",
        /// Everywhere.
        Full = "full",
    }
}
choices! {
    /// The suction line where it enters the compressor's compartment.
    SuctionLine {
        /// As warm as the room.
        Warm = "warm",
        /// Cold, or wet.
        Cold = "cold",
        /// Frosted.
        Frosted = "frosted",
    }
}
choices! {
    /// What is heard where the capillary tube enters the evaporator.
    Sound {
        /// Nothing.
        Nothing = "nothing",
        /// Gas, or bursts of gas and liquid.
        Gas = "gas",
        /// A steady flow of liquid.
        Liquid = "liquid",
    }
}
choices! {
    /// How both pressures meet after the compressor stopped.
    Meet {
        /// Within less than a minute or two.
        Fast = "fast",
        /// Within some minutes.
        Usual = "usual",
        /// After a quarter of an hour or later.
        Slow = "slow",
        /// Not within an hour.
        Never = "never",
    }
}
choices! {
    /// How the trouble came.
    Onset {
        /// It never worked since the last service.
        SinceService = "since-service",
        /// Over weeks or months.
        Slowly = "slowly",
        /// From one day to the next.
        Suddenly = "suddenly",
    }
}
choices! {
    /// Where oil, bubbles or a leak detector show something.
    Trace {
        /// Looked for, and found nowhere.
        Nowhere = "nowhere",
        /// On the low side.
        LowSide = "low-side",
        /// On the high side.
        HighSide = "high-side",
    }
}

/// Electrical draw while it runs.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Draw {
    /// W, or A of the same kind as `of`.
    pub measured: f64,
    /// What it is compared with, in the same unit.
    pub of: f64,
    /// True where that is what this appliance drew when it was in order; false for the
    /// nameplate's figure.
    pub known_good: bool,
}

/// A pressure and a temperature after a long rest.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Rest {
    /// Pa absolute, the same on both sides.
    pub pa: f64,
    /// Of every part of the appliance, °C.
    pub c: f64,
}

/// What was seen; `None` where nobody looked. Pressures and temperatures are those of an
/// appliance that has run for half an hour or more.
#[derive(Debug, Clone, PartialEq)]
pub struct Signs {
    /// In the appliance.
    pub refrigerant: &'static Substance,
    /// What kind it is.
    pub cabinet: Cabinet,
    /// Of the room, °C.
    pub ambient_c: f64,
    /// What the cabinet should have, °C; what is usual for its kind where nobody said.
    pub cabinet_set_c: Option<f64>,
    /// What the cabinet has, °C.
    pub cabinet_c: Option<f64>,
    /// Pa absolute.
    pub suction_pa: Option<f64>,
    /// Pa absolute.
    pub discharge_pa: Option<f64>,
    /// Electrical draw.
    pub draw: Option<Draw>,
    /// Of the pipe into the condenser, °C.
    pub condenser_in_c: Option<f64>,
    /// Of the pipe out of the condenser, °C.
    pub condenser_out_c: Option<f64>,
    /// Frost on the evaporator.
    pub frost: Option<Frost>,
    /// The suction line.
    pub suction_line: Option<SuctionLine>,
    /// At the end of the capillary tube.
    pub sound: Option<Sound>,
    /// How the pressures meet.
    pub meet: Option<Meet>,
    /// It cools again for a while after it was warm and at rest.
    pub better_after_standing: Option<bool>,
    /// It never stops.
    pub runs_all_the_time: Option<bool>,
    /// The compressor starts.
    pub compressor_runs: Option<bool>,
    /// At rest.
    pub rest: Option<Rest>,
    /// How it came.
    pub onset: Option<Onset>,
    /// The sealed system was opened at the last service.
    pub opened_before: Option<bool>,
    /// Where oil or a detector show something.
    pub trace: Option<Trace>,
    /// Supply voltage, plug and controls are in order.
    pub supply_good: Option<bool>,
    /// The condenser is clean, its air can move.
    pub condenser_clean: Option<bool>,
    /// All fans turn.
    pub fans_turn: Option<bool>,
    /// Evaporator and vents are free of ice and goods; defrost works.
    pub evaporator_free: Option<bool>,
    /// Doors close, gaskets are tight, the light goes out.
    pub door_closes: Option<bool>,
    /// Recovered and weighed, g.
    pub charge_found_g: Option<f64>,
    /// On the nameplate, g.
    pub nameplate_g: Option<f64>,
}

impl Signs {
    /// Nothing but what has to be known.
    #[must_use]
    pub const fn new(refrigerant: &'static Substance, cabinet: Cabinet, ambient_c: f64) -> Self {
        Self {
            refrigerant,
            cabinet,
            ambient_c,
            cabinet_set_c: None,
            cabinet_c: None,
            suction_pa: None,
            discharge_pa: None,
            draw: None,
            condenser_in_c: None,
            condenser_out_c: None,
            frost: None,
            suction_line: None,
            sound: None,
            meet: None,
            better_after_standing: None,
            runs_all_the_time: None,
            compressor_runs: None,
            rest: None,
            onset: None,
            opened_before: None,
            trace: None,
            supply_good: None,
            condenser_clean: None,
            fans_turn: None,
            evaporator_free: None,
            door_closes: None,
            charge_found_g: None,
            nameplate_g: None,
        }
    }
}
