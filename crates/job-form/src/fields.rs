//! Every field of a job file, once: the questions, the template and what is
//! remembered are made from this list.

/// One field.
#[derive(Debug)]
pub(crate) struct Field {
    /// Table it stands in.
    pub(crate) table: &'static str,
    /// Key in that table.
    pub(crate) key: &'static str,
    /// The question, without its colon; empty where nothing is asked.
    pub(crate) label: &'static str,
    /// The remark behind it in a file.
    pub(crate) remark: &'static str,
    /// What it is and why the sheet wants it, for whoever types a question mark.
    pub(crate) why: &'static str,
    /// Its value in the template, as TOML; begins with `#` where it is left out.
    pub(crate) sample: &'static str,
    /// What an answer has to be.
    pub(crate) kind: Kind,
    /// When it is asked.
    pub(crate) asked: Asked,
}

/// When a field is asked.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Asked {
    /// For each job.
    EachJob,
    /// Once, then remembered: it belongs to the shop.
    Once,
    /// Never: it stands in the template only.
    Never,
}

/// What an answer has to be.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Kind {
    Text,
    JobId,
    Serial,
    Refrigerant,
    Charge,
    Mass,
    Volume,
    Ambient,
    ColdestPart,
    Sides,
    CalibratedOn,
    CalibrationDue,
    Profile,
    Micron,
    Minutes,
    Logo,
    Photo,
    Paper,
    Language,
    Unit,
    Zone,
    Clock,
    LeaveOut,
    YesNo,
    Principle,
}

/// The tables of the file, in order, with what the template says above each.
pub(crate) const TABLES: [(&str, &str); 5] = [
    ("job", ""),
    ("gauge", ""),
    (
        "pump_gauge",
        "Only when a second gauge is read at the pump (`dryhold log --pump-port …`). The\n\
         one above sits at the far side of the system and is the one that is judged.",
    ),
    (
        "criteria",
        "What the run is judged against. The maker's instructions and local codes come\n\
         first. Either name a profile that ships (\"common practice\", \"facilities one\n\
         hour\", \"both sides three times\", \"two thousand twice\", and \"rig half hour\"\n\
         for pump and hoses by themselves) or give your own numbers, and say where they\n\
         come from. Lines below that begin with # show what else may be required.",
    ),
    (
        "sheet",
        "How the sheet is printed. What is left out here is chosen when it is printed.",
    ),
];

/// What the template begins with.
pub(crate) const TEMPLATE_HEAD: &str = "\
# A job file for `dryhold log --job job.toml`. `dryhold job new` asks for all of this.
#
# INVENTED EXAMPLE: appliance, people, shop and numbers are made up.
#
# Only [job] id is needed. Leave out what you do not know: what is absent stays
# absent on the sheet, it is never guessed.
";

macro_rules! fields {
    ($($table:literal $key:literal $label:literal $kind:ident $asked:ident
       $sample:literal $remark:literal $why:literal;)*) => {
        /// Every field, in the order of the file.
        pub(crate) const FIELDS: &[Field] = &[$(Field {
            table: $table,
            key: $key,
            label: $label,
            remark: $remark,
            why: $why,
            sample: $sample,
            kind: Kind::$kind,
            asked: Asked::$asked,
        }),*];
    };
}

fields! {
    "job" "id" "Job number" JobId EachJob
    "\"INVENTED-0042\"" "names the run folder, as the shop writes it"
    "The number or name your paperwork has for this repair. It stands on the sheet and names the folder of the record. The only answer that is needed.";

    "job" "invented" "" YesNo Never
    "true" "demonstration data; leave this line out of a real job"
    "";

    "job" "work_order" "Work order" Text EachJob
    "\"INV-WO-1187\"" ""
    "The number of the work order, if it is another than the job number. It stands at the head of the sheet.";

    "job" "claim" "Warranty claim" Text EachJob
    "\"INV-CL-0093\"" ""
    "The number under which the maker keeps the claim. It stands at the head of the sheet.";

    "job" "customer" "Customer" Text EachJob
    "\"B. Nobody (invented)\"" "left off a sheet without personal data"
    "Whom the appliance belongs to. A sheet without names and remarks leaves it off.";

    "job" "site" "Where it stands" Text EachJob
    "\"1 Example Street, Sampleton (invented)\"" "left off a sheet without personal data"
    "Address, floor, room. A sheet without names and remarks leaves it off.";

    "job" "appliance" "Appliance" Text EachJob
    "\"upright freezer\"" ""
    "What kind of appliance it is, in a few words, so that the sheet can be told from another.";

    "job" "model" "Model" Text EachJob
    "\"Invented UF-180\"" ""
    "From the rating plate. A warranty desk looks the appliance up by model and serial number.";

    "job" "serial" "Serial number" Serial EachJob
    "\"INV-000-117\"" "kept exactly as typed"
    "From the rating plate; kept exactly as you type it. A warranty desk ties the sheet to this one appliance by it, so compare it sign by sign.";

    "job" "refrigerant" "Refrigerant" Refrigerant EachJob
    "\"R-600a\"" "ISO 817 designation; R-600a, R-290 and others are flammable"
    "From the rating plate, for instance R-600a. It decides the cautions, and puts a leak in grams a year.";

    "job" "charge" "Nameplate charge" Charge EachJob
    "\"58 g\"" "with its unit: g, kg, oz, lb (or a number: charge_g = 58)"
    "From the rating plate, with its unit: \"58 g\", \"2.05 oz\", \"1 lb 3 oz\". The sheet compares leak and water with it.";

    "job" "oil" "Compressor oil" Text EachJob
    "\"mineral\"" ""
    "Mineral, alkylbenzene, POE … Some oils hold much more water and refrigerant than others, which shows in the hold.";

    "job" "volume_l" "Internal volume, L" Volume EachJob
    "4.2" "internal volume, L; needed for leak rates in g/year"
    "All that is evacuated: compressor, both heat exchangers, pipes. Without it a leak can only be given in micron a minute, with it in grams a year. An estimate is worth having: a household system is often 2 to 6 L (common practice, no source).";

    "job" "ambient_c" "Room temperature, °C" Ambient EachJob
    "21" "room temperature, °C"
    "Water boils out by the temperature it has; without this 20 °C is taken. \"70 F\" will do too.";

    "job" "coldest_part_c" "Coldest part, °C (evaporator, by a thermometer)" ColdestPart EachJob
    "19" "temperature of the coldest part, °C; below 0 ice may stand in it"
    "The coldest place that is evacuated, usually the evaporator, during the hold. Water freezes there and stands at a low pressure for ever: ice at -25 °C holds 475 micron, below the usual ceiling. Warm it to room temperature before the hold if you can, and measure it. \"-13 F\" will do too.";

    "job" "access_sides" "Sides evacuated, one or both" Sides EachJob
    "\"both\"" "\"one\" or \"both\": the sides evacuated"
    "Through one access side only, gas behind the capillary tube is pumped through it for hours and bleeds back into the hold like a leak. The sheet will then not blame a leak for it.";

    "job" "gauge_open_to_system" "Gauge open to the system with the manifold shut, yes or no" YesNo EachJob
    "true" "whether the gauge still sees the system when the manifold valves are shut"
    "When the valves of the manifold are shut, a gauge at the manifold may be cut off from the system. A hold then shows the manifold only and proves nothing. Answer yes if the gauge sits at the system, or stays open to it. Without an answer a hold after the manifold was shut is not proven.";

    "job" "leak_location" "Where the leak was" Text EachJob
    "\"suction line, joint at the filter-drier\"" ""
    "The place, if one was found: a warranty desk sorts claims by it.";

    "job" "repair" "What was repaired" Text EachJob
    "\"filter-drier replaced, two joints brazed\"" ""
    "In a few words, for whoever reads the sheet later.";

    "job" "parts_fitted" "Parts fitted" Text EachJob
    "\"filter-drier INV-FD-30, 1.2 m capillary tube\"" ""
    "Names and part numbers of what was put in.";

    "job" "compressor_serial_old" "Serial number of the old compressor" Serial EachJob
    "\"INV-C-55120\"" "kept exactly as typed"
    "From the compressor that was taken out, if one was. Makers ask for it before they pay.";

    "job" "compressor_serial_new" "Serial number of the new compressor" Serial EachJob
    "\"INV-C-60377\"" "kept exactly as typed"
    "From the compressor that was put in.";

    "job" "recovered" "Refrigerant recovered" Mass EachJob
    "\"41 g\"" "with its unit; before the system was opened"
    "By the scale under the recovery cylinder, with its unit. What is missing to the nameplate charge was lost through the leak.";

    "job" "charged" "Refrigerant charged" Mass EachJob
    "\"58 g\"" "with its unit; after this evacuation"
    "By the scale, with its unit. It may be filled in later: dryhold job edit.";

    "job" "photo" "One photo, a JPEG or PNG file" Photo EachJob
    "# \"photo.jpg\"" "JPEG or PNG, at most 20 MB; left off without personal data"
    "The rating plate or the repaired place. It goes into the record, made smaller and without the place and time that cameras write into it, and onto a second page of the sheet.";

    "job" "technician" "Technician" Text Once
    "\"A. Example (invented)\"" ""
    "Who did the work, as it is to stand on the sheet.";

    "job" "licence" "Licence or certificate number" Text Once
    "\"INV-12345\"" ""
    "Where the law or a maker asks for one, the sheet shows it beside the name.";

    "job" "shop" "Shop" Text Once
    "\"Example Cooling (invented)\"" ""
    "Stands at the head of the sheet.";

    "job" "pump" "Vacuum pump" Text Once
    "\"two-stage rotary vane pump, 1.2 L/s, oil changed this week\"" ""
    "Kind and size, and how fresh its oil is: that is what a pull-down that stands still is held against.";

    "job" "hose" "Hoses" Text Once
    "\"two 9.5 mm evacuation hoses, 1.5 m\"" ""
    "Bore and length. Thin hoses cost more pumping speed than anything else.";

    "gauge" "description" "Vacuum gauge" Text Once
    "\"thermal-conductivity gauge, 0 to 25,000 micron\"" ""
    "Kind and range of the gauge that is judged.";

    "gauge" "serial" "Its serial number" Serial Once
    "\"G-0007\"" ""
    "Ties the readings to one gauge and its calibration.";

    "gauge" "principle" "Gauge principle, thermal, diaphragm or other" Principle Once
    "\"thermal\"" "\"thermal\", \"diaphragm\" (capacitance, piezo) or \"other\""
    "How the gauge senses the pressure. A thermal one (Pirani, thermocouple, thermistor) shows water vapour about twice too high, so the water that is left is reckoned from half of it.";

    "gauge" "calibrated_on" "Last calibrated (YYYY-MM-DD)" CalibratedOn Once
    "2026-01-15" ""
    "From its certificate, as year-month-day: 2026-01-15.";

    "gauge" "calibration_due" "Calibration due (YYYY-MM-DD)" CalibrationDue Once
    "2027-01-15" ""
    "When it has to be calibrated again, as year-month-day. A sheet made with an overdue gauge may be refused.";

    "pump_gauge" "description" "Second gauge, at the pump (if you use one)" Text Once
    "\"diaphragm gauge at the pump, 0 to 20,000 micron\"" ""
    "Only for runs with two gauges (dryhold log --pump-port). Leave it out if you have one gauge.";

    "pump_gauge" "serial" "Its serial number" Serial Once
    "\"G-0012\"" ""
    "Ties its readings to one gauge and its calibration.";

    "pump_gauge" "calibrated_on" "Last calibrated (YYYY-MM-DD)" CalibratedOn Once
    "2026-01-15" ""
    "From its certificate, as year-month-day: 2026-01-15.";

    "pump_gauge" "calibration_due" "Calibration due (YYYY-MM-DD)" CalibrationDue Once
    "2027-01-15" ""
    "When it has to be calibrated again, as year-month-day.";

    "criteria" "name" "Criteria, 1 to 5 or own" Profile EachJob
    "\"common practice\"" ""
    "What the run is judged against. 1: common practice, 500 micron, hold 10 minutes (nobody's standard). 2: facilities one hour, 300 micron, hold 60 minutes below 500, in a room above 2 °C. 3: both sides three times, 300 micron three times, the last held for 2 hours. 4: two thousand twice, 2,025 micron, hold 3 minutes, two times. 5: rig half hour, for pump and hoses with the service valves shut, not for a system. own: your own numbers. The maker's instructions and local codes come first. Left out, it is common practice.";

    "criteria" "source" "  where they come from" Text EachJob
    "# \"maker's service sheet\"" ""
    "The text that asks for these numbers; it stands on the sheet beside them.";

    "criteria" "target_micron" "  pull down to, micron" Micron EachJob
    "# 500" "pull down to this"
    "The pressure that has to be reached before the pump-side valve is shut, micron absolute.";

    "criteria" "hold_min" "  hold, minutes" Minutes EachJob
    "# 10" "then hold this long"
    "How long the system has to stand, valved off, before it counts.";

    "criteria" "ceiling_micron" "  never above, micron" Micron EachJob
    "# 500" "and never rise above this"
    "The pressure that the hold must not exceed, micron absolute; not below the target.";

    "criteria" "pump_on_min" "" Minutes Never
    "# 15" "pump on so long after the target"
    "";

    "criteria" "greatest_rise_micron" "" Micron Never
    "# 100" "most that the hold may rise"
    "";

    "criteria" "steady_last_min" "" Minutes Never
    "# 5" "steady over the last minutes of the hold …"
    "";

    "criteria" "steady_within_micron" "" Micron Never
    "# 10" "… within so many micron"
    "";

    "criteria" "repeat_above_micron" "" Micron Never
    "# 400" "above this and below the ceiling: repeat"
    "";

    "criteria" "both_sides" "" YesNo Never
    "# true" "evacuated from both sides"
    "";

    "criteria" "ambient_above_c" "" Ambient Never
    "# 2" "the room warmer than this, °C"
    "";

    "criteria" "earlier_rounds" "" Text Never
    "# [{ target_micron = 1500 }, { target_micron = 1000, hold_min = 5 }]" "rounds before the last"
    "";

    "sheet" "paper" "Paper, a4 or letter" Paper Once
    "\"a4\"" "\"a4\" or \"letter\""
    "The paper the sheet is printed on.";

    "sheet" "language" "Language, en de es fr" Language Once
    "\"en\"" "\"en\", \"de\", \"es\" or \"fr\""
    "The language of the sheet and of what is said on it.";

    "sheet" "unit" "Pressure unit on the sheet" Unit Once
    "\"micron\"" "printed first: micron, Torr, Pa, kPa, mbar, bar abs, inHg abs, psia, atm"
    "The unit printed first; micron stands beside it. Torr, Pa, kPa, mbar, bar abs, inHg abs, psia or atm.";

    "sheet" "zone" "Time zone on the sheet, local or utc" Zone Once
    "\"local\"" "\"utc\", \"local\" (this computer's when recording begins) or \"+01:00\""
    "local: the zone of this computer, noted in the record when it begins, so that the sheet shows the same times anywhere. utc, or hours and minutes east of it: +01:00.";

    "sheet" "clock" "Clock, 24 or 12 hours" Clock Once
    "\"24\"" "\"24\" or \"12\""
    "12 prints 2:05 pm, 24 prints 14:05.";

    "sheet" "leave_out" "Leave out of the sheet" LeaveOut Once
    "[]" "words of: appliance model serial charge oil volume repair technician licence shop logo pump hose gauge-serial remarks customer site claim work-order parts compressor recovered charged leak photo"
    "Entries that are not to be printed, with blanks between them, out of: appliance model serial charge oil volume repair technician licence shop logo pump hose gauge-serial remarks customer site claim work-order parts compressor recovered charged leak photo. They stay in the record.";

    "sheet" "without_personal_data" "Leave out names and remarks, yes or no" YesNo Once
    "false" "true leaves out technician, licence, shop, logo, remarks, customer, site, photo"
    "yes leaves technician, licence, shop, logo, typed remarks, customer, site and photo off the sheet, for sheets that are shown around. They stay in the record.";

    "sheet" "logo" "Logo, a PNG or SVG file" Logo Once
    "# \"logo.svg\"" "PNG or SVG"
    "A picture for the head of the sheet. Its path is kept; the file has to stay where it is.";
}

/// The field with this key.
pub(crate) fn field(table: &str, key: &str) -> Option<&'static Field> {
    FIELDS.iter().find(|f| f.table == table && f.key == key)
}
