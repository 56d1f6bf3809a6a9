//! What a blank-off test has to show against what was measured.

use findings::BlankOffReason as Reason;
use layout::parts::Table;
use wording::{Voice, say};

use super::sheet::BlankOffSheet;

/// The table.
pub(super) fn table(sheet: &BlankOffSheet<'_>) -> Table {
    let row = Row {
        sheet,
        voice: sheet.about.voice(),
    };
    Table {
        title: say!(row.voice, "criteria-title"),
        head: ["criterion", "asked-for", "measured", "met"].map(|id| say!(row.voice, id)),
        rows: [row.floor(), row.hold(), row.ceiling()]
            .into_iter()
            .chain(row.rise())
            .chain([row.earlier(), row.record()])
            .collect(),
    }
}

/// Makes the rows.
struct Row<'a> {
    sheet: &'a BlankOffSheet<'a>,
    voice: Voice,
}

impl Row<'_> {
    /// The first of these reasons that is there, in words.
    fn because(&self, reasons: &[Reason]) -> Option<String> {
        let of = self.sheet.findings.reasons.iter();
        let found = of.copied().find(|r| reasons.contains(r))?;
        Some(wording::blank_off_reason(&self.voice, found))
    }

    /// Name, what is asked for, what was measured, and whether it is met: `met` is `None`
    /// where the record does not show it.
    fn of(
        &self,
        id: &'static str,
        asked: String,
        measured: String,
        met: Option<bool>,
    ) -> [String; 4] {
        let said = match met {
            Some(true) => say!(self.voice, "met-yes"),
            Some(false) => say!(self.voice, "met-no"),
            None => say!(self.voice, "met-not-shown"),
        };
        let name = wording::message(self.voice.language, id, &[]);
        [name, asked, measured, said]
    }

    /// What was measured, with the reason why it does not do before it.
    fn with(&self, why: Option<String>, measured: String) -> String {
        let parts: Vec<String> = why.into_iter().chain([measured]).collect();
        parts.join(&say!(self.voice, "clause-break"))
    }

    fn nothing(&self) -> String {
        say!(self.voice, "nothing-measured")
    }

    fn floor(&self) -> [String; 4] {
        let voice = &self.voice;
        let found = self.sheet.findings;
        let asked = say!(
            voice,
            "asked-target",
            target = voice.limit(found.criteria.target_micron)
        );
        let has = |reason| found.reasons.contains(&reason);
        let undecided = [
            Reason::FloorNotReached,
            Reason::FloorNearLimit,
            Reason::NoPulldown,
            Reason::UnitDoubtful,
        ];
        let measured = match &found.floor {
            None => self.nothing(),
            Some(floor) if floor.is_bound => say!(
                voice,
                "rig-measured-floor-below",
                bound = voice.pressure(floor.micron.high)
            ),
            Some(floor) => {
                let words = voice.estimated_pressure(&floor.micron);
                match floor.reached_s {
                    Some(at_s) => say!(
                        voice,
                        "rig-measured-floor-reached",
                        floor = words,
                        moment = voice.moment(at_s)
                    ),
                    None => say!(voice, "rig-measured-floor-not-reached", floor = words),
                }
            }
        };
        let met = if has(Reason::FloorTooHigh) {
            Some(false)
        } else if found.floor.is_none() || undecided.into_iter().any(has) {
            None
        } else {
            Some(true)
        };
        self.of("rig-criterion-floor", asked, measured, met)
    }

    fn hold(&self) -> [String; 4] {
        let voice = &self.voice;
        let found = self.sheet.findings;
        let minutes = found.criteria.hold_min;
        let asked = say!(voice, "asked-hold", minutes = voice.plain(minutes, 4));
        let Some(rise) = &found.rise else {
            let none = say!(voice, "no-hold-found");
            return self.of("criterion-hold", asked, none, None);
        };
        let hold = &rise.hold;
        let measured = say!(
            voice,
            "held",
            time = voice.held(hold.duration_s),
            moment = voice.moment(hold.isolated_at_s),
            basis = wording::basis_phrase(voice, hold.basis)
        );
        // a hold that is long enough by the rule may still be too short to tell
        let long_enough = hold.duration_s >= 60.0 * minutes - 2.0;
        self.of("criterion-hold", asked, measured, Some(long_enough))
    }

    fn ceiling(&self) -> [String; 4] {
        let voice = &self.voice;
        let found = self.sheet.findings;
        let ceiling = found.criteria.ceiling_micron;
        let asked = say!(voice, "asked-ceiling", ceiling = voice.limit(ceiling));
        let hold = found.rise.as_ref().map(|rise| &rise.hold);
        let Some(highest) = hold.and_then(|h| h.highest_micron) else {
            return self.of("criterion-ceiling", asked, self.nothing(), None);
        };
        let beside = voice.pressure_beside(highest, ceiling);
        let measured = say!(voice, "highest", pressure = beside);
        let within = highest <= ceiling;
        let why = self.not_kept().filter(|_| !within);
        let measured = self.with(why, measured);
        self.of("criterion-ceiling", asked, measured, Some(within))
    }

    /// Why the pressure was not kept, in words.
    fn not_kept(&self) -> Option<String> {
        self.because(&[Reason::RigLeaks, Reason::RigWet])
    }

    /// Nothing where no rise was asked for: the ceiling is the limit then.
    fn rise(&self) -> Option<[String; 4]> {
        let voice = &self.voice;
        let found = self.sheet.findings;
        let most = found.allowed_rise_micron_per_min?;
        let asked = say!(voice, "asked-rise", rise = voice.rate(most, 2));
        let mean = found.rise.as_ref().and_then(|rise| rise.micron_per_min);
        let measured = mean.map_or_else(|| self.nothing(), |mean| voice.estimated_rate(&mean));
        let why = self.not_kept();
        let short = found.reasons.contains(&Reason::HoldTooShort);
        let met = match (&why, mean, short) {
            (Some(_), ..) => Some(false),
            (None, Some(_), false) => Some(true),
            _ => None,
        };
        let measured = self.with(why, measured);
        Some(self.of("rig-criterion-rise", asked, measured, met))
    }

    fn earlier(&self) -> [String; 4] {
        let voice = &self.voice;
        let found = self.sheet.findings;
        let asked = say!(voice, "rig-asked-earlier");
        let history = found.history.filter(|history| history.runs > 0);
        let measured = match history.and_then(|h| Some((h.runs, h.median_floor_micron?))) {
            Some((runs, median)) => say!(
                voice,
                "rig-measured-earlier",
                runs = voice.count(runs as u64),
                median = voice.pressure(median)
            ),
            None => say!(voice, "rig-measured-no-earlier"),
        };
        let compared = history.is_some_and(|h| h.highest_usual_floor_micron.is_some());
        let met = match found.reasons.contains(&Reason::WorseThanBefore) {
            true => Some(false),
            false => compared.then_some(true),
        };
        self.of("rig-criterion-earlier", asked, measured, met)
    }

    fn record(&self) -> [String; 4] {
        let voice = &self.voice;
        let why = self.because(&[
            Reason::GapInHold,
            Reason::GaugeFault,
            Reason::NoIsolation,
            Reason::PumpOpenAtStop,
            Reason::NoReadings,
            Reason::GaugeTooCoarse,
            Reason::UnitDoubtful,
        ]);
        let met = match (&why, self.sheet.findings.data.used) {
            (Some(_), _) => Some(false),
            (None, 0) => None,
            _ => Some(true),
        };
        let measured = wording::data_line(voice, &self.sheet.findings.data);
        let asked = say!(voice, "asked-record");
        self.of("criterion-record", asked, self.with(why, measured), met)
    }
}
