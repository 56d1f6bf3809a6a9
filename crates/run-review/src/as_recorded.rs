//! Judges a run by what it says of itself and nothing else.

use std::path::PathBuf;

use analyser::Settings;
use pressure_decay::{Known, Setup};
use run_record::ImportOptions;
use vacuum::{Criteria, Refrigerant, TestKind, TestPlan};

use crate::{
    error::ReviewError,
    judge::Record,
    judged_test::JudgedTest,
    other_gauges::{Advice, Draw},
    rig::{RigRecords, shop_of},
};

impl Record<'_> {
    /// What the record says of its test; an evacuation for a foreign table.
    #[must_use]
    pub fn test(&self) -> TestPlan {
        self.header().map(|h| h.test.clone()).unwrap_or_default()
    }

    /// Reads and judges several, each as the test that it says to be, to be drawn.
    ///
    /// # Errors
    /// Of the first that cannot be opened or judged.
    pub fn drawn_as_recorded(
        paths: &[PathBuf],
        advice: &Advice,
    ) -> Result<Vec<JudgedTest>, ReviewError> {
        let judged = paths.iter().map(|path| {
            let record = Record::open(path, &ImportOptions::default())?;
            record.judge_as_recorded(Draw::Yes, advice)
        });
        judged.collect()
    }

    /// Reads and judges it as the test that it says to be, with its own job and criteria.
    ///
    /// # Errors
    /// As [`Record::judge`].
    pub fn judge_as_recorded(self, draw: Draw, advice: &Advice) -> Result<JudgedTest, ReviewError> {
        let header = self.header();
        let job = header.map(|h| h.job.clone()).unwrap_or_default();
        let plan = self.test();
        let criteria = header.and_then(|h| h.criteria.clone());
        let mut criteria = criteria.unwrap_or_else(|| Criteria::usual_for(plan.kind));
        criteria.ceiling_micron = criteria.ceiling_micron.max(criteria.target_micron);
        match plan.kind {
            TestKind::Evacuation => {
                let settings = Settings {
                    criteria,
                    ..Settings::default()
                };
                let judged = self.judge(settings.with_job(&job), draw, advice)?;
                Ok(JudgedTest::Evacuation(Box::new(judged)))
            }
            TestKind::PressureDecay => {
                let known = Known {
                    volume_l: job.volume_l,
                    refrigerant: job.refrigerant.as_deref().and_then(Refrigerant::named),
                    ambient_c: job.ambient_c,
                };
                let setup = Setup::of_plan(&plan, known, "given in the job");
                let judged = self.judge_decay(setup, draw, advice)?;
                Ok(JudgedTest::Pressure(Box::new(judged)))
            }
            TestKind::BlankOff => {
                let shop = shop_of(&self).map(|folder| RigRecords::for_test(&folder, advice));
                let settings = Settings {
                    criteria,
                    ..Settings::default()
                };
                let settings = settings.with_job(&job);
                let judged =
                    self.judge_blank_off(settings, None, shop.as_deref(), (draw, advice))?;
                Ok(JudgedTest::BlankOff(Box::new(judged)))
            }
        }
    }
}
