//! Writes runs as CSV files, and their truth as `truth.jsonl`:
//! `export_cases DIR FROM TO` for seeds of the random family of the plant,
//! `export_cases DIR FROM TO --formula` for the family of closed formulas,
//! `export_cases DIR scenarios` for the named rehearsals.

use std::{
    fmt::Write as _,
    fs::{self, File},
    io::{self, BufWriter, Write as _},
    path::Path,
};

use rehearsal::{Simulation, scenarios};
use simulated_runs::{Case, Hints, bench_case, formula_case, write_csv};

fn main() -> io::Result<()> {
    let arguments: Vec<String> = std::env::args().skip(1).collect();
    let arguments: Vec<&str> = arguments.iter().map(String::as_str).collect();
    let bad = |what: &str| io::Error::new(io::ErrorKind::InvalidInput, what.to_owned());
    let seed = |text: &str| {
        text.parse::<u64>()
            .map_err(|_| bad("FROM and TO are whole numbers"))
    };
    match arguments.as_slice() {
        [directory, "scenarios"] => export(directory, scenarios().iter().map(of_scenario)),
        [directory, from, to] => export(directory, (seed(from)?..seed(to)?).map(bench_case)),
        [directory, from, to, "--formula"] => {
            export(directory, (seed(from)?..seed(to)?).map(formula_case))
        }
        _ => Err(bad("give DIR FROM TO [--formula], or DIR scenarios")),
    }
}

fn of_scenario(scenario: &rehearsal::Scenario) -> Case {
    let run = Simulation::new(scenario, scenario.seed);
    Case {
        seed: scenario.seed,
        family: scenario.name,
        description: scenario.title.into(),
        truth: run.truth().clone(),
        entries: run.map(|e| e.entry()).collect(),
        hints: Hints {
            marks_present: true,
            temperature_column: true,
            ..Hints::default()
        },
    }
}

fn export(directory: &str, cases: impl Iterator<Item = Case>) -> io::Result<()> {
    let directory = Path::new(directory);
    fs::create_dir_all(directory)?;
    let mut truths = BufWriter::new(File::create(directory.join("truth.jsonl"))?);
    for case in cases {
        let name = format!("case-{:05}.csv", case.seed);
        let mut file = BufWriter::new(File::create(directory.join(&name))?);
        write_csv(&case, &mut file)?;
        file.flush()?;
        writeln!(truths, "{}", truth_line(&name, &case))?;
    }
    truths.flush()
}

/// One JSON object; every text in it is plain ASCII without quotes.
fn truth_line(file: &str, case: &Case) -> String {
    let t = &case.truth;
    let number = |v: Option<f64>| v.map_or("null".into(), |v| format!("{v:.3}"));
    let quoted =
        |words: Vec<&str>| format!("[\"{}\"]", words.join("\",\"")).replace("[\"\"]", "[]");
    let stalls: Vec<String> = t
        .stalls
        .iter()
        .map(|s| {
            format!(
                r#"{{"kind":"{}","start_s":{:.1},"end_s":{:.1},"level_micron":{:.1},"certain":{}}}"#,
                s.kind.word(), s.start_s, s.end_s, s.level_micron, s.certain
            )
        })
        .collect();
    let h = &case.hints;
    let mut line = format!(
        r#"{{"file":"{file}","seed":{},"family":"{}","description":"{}","#,
        case.seed, case.family, case.description
    );
    let _ = write!(
        line,
        r#""verdict":"{}","verdict_acceptable":{},"rise":{},"rise_acceptable":{},"#,
        t.verdict.word(),
        quoted(t.verdict_acceptable.iter().map(|v| v.word()).collect()),
        t.rise
            .map_or("null".into(), |r| format!("\"{}\"", r.word())),
        quoted(t.rise_acceptable.iter().map(|r| r.word()).collect()),
    );
    let _ = write!(
        line,
        r#""leak_micron_per_min":{:.4},"isolation_s":{},"isolation_visible":{},"settled_s":{},"end_s":{:.3},"#,
        t.leak_micron_per_min,
        number(t.isolation_s),
        t.isolation_visible,
        number(t.settled_s),
        t.end_s,
    );
    let _ = write!(
        line,
        r#""reached_target_s":{},"leak_part_micron":{:.2},"volatile_part_micron":{:.2},"internal_part_micron":{:.2},"noise_micron":{:.3},"#,
        number(t.reached_target_s),
        t.leak_part_micron,
        t.volatile_part_micron,
        t.internal_part_micron,
        t.noise_micron,
    );
    let _ = write!(
        line,
        r#""pump_open_at_stop":{},"one_sided":{},"stalls":[{}],"#,
        t.pump_open_at_stop,
        t.one_sided,
        stalls.join(",")
    );
    let _ = write!(
        line,
        r#""hints":{{"marks_present":{},"isolated_at_s":{},"ambient_c":{},"volume_l":{},"refrigerant":{},"one_side":{},"temperature_column":{}}}}}"#,
        h.marks_present,
        number(h.isolated_at_s),
        number(h.ambient_c),
        number(h.volume_l),
        h.refrigerant.map_or("null".into(), |r| format!("\"{r}\"")),
        h.access_sides
            .map_or("null".into(), |s| (s == vacuum::AccessSides::One)
                .to_string()),
        h.temperature_column,
    );
    line
}
