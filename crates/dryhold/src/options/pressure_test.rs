//! Which test it is, and what is known of a pressure test.

use std::path::PathBuf;

use clap::Args;
use fault_form::LeakQuestion;
use foreign_csv::ImportOptions;
use option_ranges as ranges;
use pressure_decay::{Known, Setup};
use run_review::{Draw, JudgedDecay, JudgedTest, Moment, Record, RigRecords, shop_of};
use vacuum::{
    AllowedLoss, Criteria, Job, Pressure, TestGas, TestKind, TestPlan, TestProfile, Zone,
};

use super::{import::ImportArguments, judging::JudgingArguments};
use crate::outcome::Failure;

const BLANK_OFF: &str = "With --test blank-off";

/// Which test it is; `--volume-l`, `--refrigerant`, `--hold-min` and `--ambient-c` hold for
/// every one.
#[derive(Debug, Default, Args)]
#[command(next_help_heading = "With --test pressure-decay")]
pub(crate) struct TestArguments {
    /// What is tested: evacuation (vacuum: pull-down and hold), pressure-decay (dry gas under
    /// pressure, judged by what is left) or blank-off (pump, hoses and gauge against a plug)
    /// [default: as the job or the record says, else evacuation]
    #[arg(long = "test", value_name = "KIND", value_parser = ranges::test_kind, help_heading = None)]
    pub(crate) kind: Option<TestKind>,
    /// A guide whose test it is: manual 15 min, checklist 10 min, journal one hour, facilities
    /// 24 hours, facilities flat correction; --hold-min goes before its time
    #[arg(long, value_name = "NAME", value_parser = ranges::test_profile)]
    test_profile: Option<&'static TestProfile>,
    /// Gas that was let in: nitrogen, argon, helium, "forming gas", "dry air"
    /// [default: nitrogen]
    #[arg(long, value_name = "GAS", value_parser = ranges::test_gas)]
    gas: Option<TestGas>,
    /// Barometer, hPa: needed where the gauge counts from the air around it
    #[arg(long, value_name = "P", value_parser = ranges::barometer_hpa)]
    barometer_hpa: Option<f64>,
    /// When the supply was shut: seconds of the record (90 or 1m30s), a time of day, or date
    /// and time
    #[arg(long, value_name = "WHEN", value_parser = Moment::read)]
    shut_at: Option<Moment>,
    /// Loss of the charged system that is allowed, g a year [default with --refrigerant: 3]
    #[arg(long, value_name = "G", conflicts_with = "allow_pa_m3_per_s", value_parser = ranges::loss)]
    allow_g_per_year: Option<f64>,
    /// Loss of gas that is allowed at the pressure of the test, Pa·m³/s
    #[arg(long, value_name = "Q", value_parser = ranges::loss)]
    allow_pa_m3_per_s: Option<f64>,
    /// Least pressure of the test, bar absolute
    #[arg(long, value_name = "P", value_parser = ranges::bar)]
    test_pressure_bar: Option<f64>,
    /// Highest pressure that the nameplate allows, bar absolute
    #[arg(long, value_name = "P", value_parser = ranges::bar)]
    nameplate_bar: Option<f64>,
    /// Highest mean rise after isolation, micron/min
    #[arg(long, value_name = "R", value_parser = ranges::micron, help_heading = BLANK_OFF)]
    allow_rise_micron_per_min: Option<f64>,
    /// What was found before the repair (a file of `dryhold fault`): the hold says whether it
    /// was a leak or a short charge
    #[arg(long, value_name = "FILE", help_heading = None)]
    fault: Option<PathBuf>,
    /// Folder with earlier runs of pump and hoses [default: the one that the run lies in]
    #[arg(long, value_name = "FOLDER", help_heading = BLANK_OFF)]
    history: Option<PathBuf>,
}

impl TestArguments {
    /// How to read the record: in a pressure test the gauge may count from the air around it.
    pub(crate) fn import(&self, import: &ImportArguments) -> Result<ImportOptions, Failure> {
        match self.kind {
            Some(TestKind::PressureDecay) => {
                let barometer = self.barometer_hpa.map(|hpa| hpa * 100.0);
                import.options_under_pressure(barometer.unwrap_or(Pressure::ATMOSPHERE.pa()))
            }
            _ => import.options(),
        }
    }

    /// What was tested: as said here, else as the record says.
    fn kind_of(&self, record: &Record) -> TestKind {
        let recorded = record.header().map(|h| h.test.kind);
        self.kind.or(recorded).unwrap_or_default()
    }

    /// The plan of the test: what is said here goes before what the job or record says.
    pub(crate) fn plan(&self, said: &TestPlan) -> TestPlan {
        let throughput = self
            .allow_pa_m3_per_s
            .map(|pa_m3_per_s| AllowedLoss::Throughput { pa_m3_per_s });
        let grams = self
            .allow_g_per_year
            .map(|g_per_year| AllowedLoss::Refrigerant { g_per_year });
        let pa = |bar: Option<f64>| bar.map(|bar| bar * 1e5);
        let given = TestPlan {
            profile: self.test_profile,
            gas: self.gas,
            barometer_pa: self.barometer_hpa.map(|hpa| hpa * 100.0),
            allowed: throughput.or(grams),
            least_pa: pa(self.test_pressure_bar),
            highest_pa: pa(self.nameplate_bar),
            ..TestPlan::default()
        };
        let kind = self.kind.unwrap_or(said.kind);
        TestPlan {
            kind,
            ..given.or(said)
        }
    }

    /// Reads and judges a record as what it is.
    pub(crate) fn judge(
        &self,
        record: Record<'_>,
        judging: &JudgingArguments,
        draw: Draw,
        zone: Option<Zone>,
    ) -> Result<JudgedTest, Failure> {
        match self.kind_of(&record) {
            TestKind::Evacuation => {
                let volume_l = judging.settings_for(record.header())?.volume_l;
                let mut judged = judging.judge_record(record, draw, zone)?;
                if let Some(file) = &self.fault {
                    let question =
                        LeakQuestion::read(file, volume_l, judged.origin.started_utc.as_deref())?;
                    question.close(&mut judged.findings);
                }
                Ok(JudgedTest::Evacuation(Box::new(judged)))
            }
            _ if self.fault.is_some() => Err(Failure::usage(
                "--fault goes with the hold of an evacuation, which this record is not",
            )),
            TestKind::PressureDecay => {
                let judged = self.judge_pressure(record, judging, draw, zone)?;
                Ok(JudgedTest::Pressure(Box::new(judged)))
            }
            TestKind::BlankOff => {
                let recorded = record.header().and_then(|h| h.criteria.clone());
                let criteria = recorded.unwrap_or_else(Criteria::rig_half_hour);
                let job = record.header().map(|h| &h.job);
                let mut settings = judging.settings(job, Some(&criteria))?;
                settings.isolated_at_s = judging.placed(&record, zone)?.map(|p| p.at_s);
                let (allowed, advice) = (self.allow_rise_micron_per_min, &JudgingArguments::ADVICE);
                let folder = self.history.clone().or_else(|| shop_of(&record));
                let shop = folder.map(|folder| RigRecords::for_test(&folder, advice));
                let judged =
                    record.judge_blank_off(settings, allowed, shop.as_deref(), (draw, advice))?;
                Ok(JudgedTest::BlankOff(Box::new(judged)))
            }
        }
    }

    /// Reads and judges a pressure test.
    fn judge_pressure(
        &self,
        record: Record<'_>,
        judging: &JudgingArguments,
        draw: Draw,
        zone: Option<Zone>,
    ) -> Result<JudgedDecay, Failure> {
        let placed = self
            .shut_at
            .as_ref()
            .map(|moment| record.place(moment, zone.unwrap_or_default()));
        let placed = placed.transpose().map_err(Failure::usage)?;
        let header = record.header();
        let said = record.test();
        let shut_at_s = placed.map(|p| p.at_s);
        let setup = self.setup((&said, header.map(|h| &h.job)), judging, shut_at_s)?;
        Ok(record.judge_decay(setup, draw, &JudgingArguments::ADVICE)?)
    }

    /// The pressure test; `shut_at_s` is where `--shut-at` lies in the record.
    fn setup(
        &self,
        (said, job): (&TestPlan, Option<&Job>),
        judging: &JudgingArguments,
        shut_at_s: Option<f64>,
    ) -> Result<Setup, Failure> {
        let settings = judging.settings(job, None)?;
        let mut plan = self.plan(said);
        plan.hold_min = judging.hold_min().or(plan.hold_min);
        let in_grams = matches!(plan.allowed, Some(AllowedLoss::Refrigerant { .. }));
        if in_grams && settings.refrigerant.is_none() {
            return Err(Failure::usage(
                "--allow-g-per-year needs --refrigerant: grams of which?",
            ));
        }
        let given = match plan.allowed == said.allowed {
            true => "given in the job",
            false => "given on the command line",
        };
        let known = Known {
            volume_l: settings.volume_l,
            refrigerant: settings.refrigerant,
            ambient_c: settings.ambient_c,
        };
        Ok(Setup {
            shut_at_s,
            ..Setup::of_plan(&plan, known, given)
        })
    }
}
