//! The tables: how often what was said with how much confidence was right.

use std::collections::BTreeMap;

use analyser::RiseKind;

use crate::{
    bars::Bar,
    moment::{Answer, Moment},
    print::say,
};

/// Lower ends of the classes of confidence.
const CLASSES: [f64; 10] = [0.0, 0.5, 0.6, 0.7, 0.8, 0.84, 0.87, 0.9, 0.95, 0.99];

/// Everything counted over all moments.
#[derive(Debug, Default)]
pub(crate) struct Table {
    moments: u32,
    leaky: u32,
    /// Leaks too small for anybody.
    hidden: u32,
    unclear: u32,
    sure: u32,
    sure_right: u32,
    named: u32,
    named_right: u32,
    denied: u32,
    /// Denied with confidence although there is a leak.
    denied_surely: u32,
    /// Claimed with confidence although there is none.
    claimed_surely: u32,
    classes: [(u32, u32); CLASSES.len()],
    covered: u32,
    with_interval: u32,
    covered_leaky: u32,
    leaky_with_interval: u32,
    /// Width of the interval over the rise, leaky moments.
    widths: Vec<f64>,
    errors: Vec<f64>,
    limits: Vec<f64>,
    brier: f64,
    /// At the end of the hold: holds, named, right, dangerous.
    ends: [u32; 4],
    families: BTreeMap<&'static str, [u32; 7]>,
    confusion: BTreeMap<(&'static str, &'static str), u32>,
    flips: u32,
    holds: u32,
}

impl Table {
    pub(crate) fn of(looked: &[(Moment, Answer)]) -> Self {
        let mut table = Self::default();
        for (moment, said) in looked {
            table.count(moment, said);
        }
        for hold in looked.chunk_by(|a, b| a.0.seed == b.0.seed && a.0.look < b.0.look) {
            table.holds += 1;
            let sure = |(_, s): &&(Moment, Answer)| s.sure();
            let leak: Vec<bool> = hold
                .iter()
                .filter(sure)
                .map(|(_, s)| s.says_leak())
                .collect();
            table.flips += u32::from(leak.windows(2).any(|w| w[0] != w[1]));
        }
        table
    }

    fn count(&mut self, moment: &Moment, said: &Answer) {
        let right = moment.accepts(said.kind);
        let leaky = moment.leaky() && !moment.hidden();
        self.moments += 1;
        self.hidden += u32::from(moment.hidden());
        self.leaky += u32::from(leaky);
        let named = said.kind != RiseKind::Unclear;
        self.unclear += u32::from(!named);
        self.named += u32::from(named);
        self.named_right += u32::from(named && right);
        self.sure += u32::from(said.sure());
        self.sure_right += u32::from(said.sure() && right);
        self.denied += u32::from(leaky && said.denies());
        self.denied_surely += u32::from(leaky && said.denies() && said.sure());
        self.claimed_surely += u32::from(!moment.leaky() && said.says_leak() && said.sure());
        if named {
            let class = CLASSES
                .iter()
                .rposition(|low| said.confidence >= *low)
                .unwrap_or(0);
            self.classes[class].0 += 1;
            self.classes[class].1 += u32::from(right);
        }
        self.brier += (said.leak_probability - f64::from(u8::from(leaky))).powi(2);
        if let Some((low, high)) = said.interval {
            let truth = moment.leak_micron_per_min;
            let inside = u32::from((low - 1e-9..=high + 1e-9).contains(&truth));
            self.with_interval += 1;
            self.covered += inside;
            if leaky {
                self.leaky_with_interval += 1;
                self.covered_leaky += inside;
            }
            if high.is_finite() {
                let rise = (moment.ends.0 - moment.ends.1)
                    .abs()
                    .max(moment.noise_micron);
                self.widths
                    .push((high - low) * moment.length_s / 60.0 / rise);
            }
        }
        if leaky && said.says_leak() && moment.accepts(said.kind) {
            self.errors.extend(
                said.value
                    .map(|v| (v / moment.leak_micron_per_min - 1.0).abs()),
            );
        }
        if let Some(limit) = said.limit_micron_per_min {
            let rise = (moment.ends.0 - moment.ends.1)
                .abs()
                .max(moment.noise_micron);
            self.limits.push(limit * moment.length_s / 60.0 / rise);
        }
        if moment.look == 4 {
            self.ends[0] += 1;
            self.ends[1] += u32::from(named);
            self.ends[2] += u32::from(named && right);
            self.ends[3] += u32::from(leaky && said.denies());
        }
        let family = self.families.entry(moment.family).or_default();
        let denied = leaky && said.denies() && said.sure();
        let claimed = !moment.leaky() && said.says_leak() && said.sure();
        let counts = [
            true,
            !named,
            named && right,
            said.sure(),
            said.sure() && right,
            denied,
            claimed,
        ];
        for (slot, is) in family.iter_mut().zip(counts) {
            *slot += u32::from(is);
        }
        let kinds = [
            RiseKind::None,
            RiseKind::Leak,
            RiseKind::Moisture,
            RiseKind::LeakAndMoisture,
        ];
        let truth = kinds
            .iter()
            .find(|k| moment.accepts(**k))
            .map_or("", |k| k.word());
        *self.confusion.entry((truth, said.kind.word())).or_default() += 1;
    }

    /// What the gate asks of even seeds; where the figures come from: [`Bar`]'s module.
    pub(crate) fn bars(&self) -> Vec<Bar> {
        let share = |a: u32, b: u32| f64::from(a) / f64::from(b);
        let dry = self.moments - self.leaky - self.hidden;
        let sure = share(self.sure, self.moments);
        let right = share(self.sure_right, self.sure);
        let denied = share(self.denied_surely, self.leaky);
        let claimed = share(self.claimed_surely, dry);
        let covered = share(self.covered, self.with_interval);
        let covered_leaky = share(self.covered_leaky, self.leaky_with_interval);
        let unclear = share(self.unclear, self.moments);
        let named_right = share(self.named_right, self.named);
        let turned = share(self.flips, self.holds);
        let brier = self.brier / f64::from(self.moments);
        let width = middle(&self.widths, 0.5);
        let error = middle(&self.errors, 0.5);
        let limit = middle(&self.limits, 0.5);
        vec![
            Bar::at_least("sure", sure, 0.25, "0.33 or more"),
            Bar::at_least("right of the sure ones", right, 0.955, "0.96 or more"),
            Bar::at_most("leak denied surely", denied, 0.009, "0.009 or less"),
            Bar::at_most("leak claimed surely, is none", claimed, 0.01, "0 to 0.01"),
            Bar::between(
                "interval holds the truth",
                covered,
                (0.94, 0.97),
                "0.93 to 0.97",
            ),
            Bar::between(
                "the same of leaks",
                covered_leaky,
                (0.89, 0.95),
                "0.88 to 0.95",
            ),
            Bar::at_most("median width over the rise", width, 0.52, "0.45 or less"),
            Bar::at_most("unclear", unclear, 0.35, "0.42 or less"),
            Bar::at_least(
                "right of the named ones",
                named_right,
                0.84,
                "as many as said",
            ),
            Bar::at_most(
                "sure answers that turn round",
                turned,
                0.005,
                "0.005 or less",
            ),
            Bar::at_most("Brier score of the leak", brier, 0.138, "less"),
            Bar::at_most("median error of leaks found", error, 0.15, "less"),
            Bar::at_most("median detection limit over the rise", limit, 0.25, "less"),
        ]
    }

    pub(crate) fn print(&self) {
        let share = |a: u32, b: u32| {
            let percent = 100.0 * f64::from(a) / f64::from(b.max(1));
            format!("{percent:.1} % ({a} of {b})")
        };
        say(&format!(
            "sure (0.9 or more)      {}",
            share(self.sure, self.moments)
        ));
        say(&format!(
            "sure and right          {}",
            share(self.sure_right, self.sure)
        ));
        say(&format!(
            "unclear                 {}",
            share(self.unclear, self.moments)
        ));
        say(&format!(
            "named and right         {}",
            share(self.named_right, self.named)
        ));
        say(&format!(
            "leak denied             {}",
            share(self.denied, self.leaky)
        ));
        say(&format!(
            "leak denied surely      {}",
            share(self.denied_surely, self.leaky)
        ));
        say(&format!(
            "leak claimed surely, is none {}",
            share(self.claimed_surely, self.moments - self.leaky - self.hidden)
        ));
        say(&format!(
            "interval holds the truth {}",
            share(self.covered, self.with_interval)
        ));
        say(&format!(
            "  where there is a leak {}",
            share(self.covered_leaky, self.leaky_with_interval)
        ));
        say(&format!(
            "width of it over the rise: median {:.2}, 75 % {:.2}, 90 % {:.2}",
            middle(&self.widths, 0.5),
            middle(&self.widths, 0.75),
            middle(&self.widths, 0.9)
        ));
        say(&format!(
            "error of leaks found: median {:.1} %, 90 % {:.1} %",
            100.0 * middle(&self.errors, 0.5),
            100.0 * middle(&self.errors, 0.9)
        ));
        say(&format!(
            "detection limit over the rise: median {:.2}, 90 % {:.2}",
            middle(&self.limits, 0.5),
            middle(&self.limits, 0.9)
        ));
        say(&format!(
            "Brier score of the leak  {:.4}",
            self.brier / f64::from(self.moments.max(1))
        ));
        say(&format!(
            "sure answers that turn round {}",
            share(self.flips, self.holds)
        ));
        let [holds, named, right, dangerous] = self.ends;
        say(&format!(
            "at the end: named {}, right of named {}, leak denied {dangerous}",
            share(named, holds),
            share(right, named)
        ));
        say("confidence: said, right");
        for (low, (said, right)) in CLASSES.iter().zip(self.classes) {
            say(&format!(
                "  from {low:<5} {said:>6}  {}",
                share(right, said)
            ));
        }
        say(
            "family: moments, unclear, named right, sure, sure right, leak denied surely, leak claimed surely",
        );
        for (family, counts) in &self.families {
            let counts = counts.map(|c| format!("{c:>5}")).join(" ");
            say(&format!("  {family:<18} {counts}"));
        }
        say("is -> said");
        for ((is, said), n) in &self.confusion {
            say(&format!("  {is:<18} {said:<18} {n}"));
        }
    }
}

fn middle(values: &[f64], q: f64) -> f64 {
    let mut values: Vec<f64> = values.iter().copied().filter(|v| v.is_finite()).collect();
    values.sort_by(f64::total_cmp);
    let i = (q * values.len() as f64) as usize;
    values
        .get(i.min(values.len().saturating_sub(1)))
        .copied()
        .unwrap_or(f64::NAN)
}
