//! Draws every invented run into a folder, to be looked at, in a language and a unit:
//! `cargo run -p report --example gallery -- FOLDER [de] [Pa]`.

use std::{fs, path::PathBuf};

use vacuum::{Language, PressureUnit, SheetChoices};
use wording::Voice;

fn main() -> Result<(), Box<dyn std::error::Error>> {
    let mut arguments = std::env::args().skip(1);
    let folder = PathBuf::from(arguments.next().unwrap_or_else(|| "gallery".into()));
    let mut choices = SheetChoices::default();
    for word in arguments {
        match (
            Language::from_code(&word),
            PressureUnit::for_printing(&word),
        ) {
            (Some(language), _) => choices.language = Some(language),
            (_, Some(unit)) => choices.unit = Some(unit),
            _ => return Err(format!("{word}: no language and no unit").into()),
        }
    }
    let voice = Voice::from(&choices);
    fs::create_dir_all(&folder)?;
    for run in invented_runs::runs() {
        let trace = run.entries.iter().collect();
        let source = format!("20260314T091500Z-{}", run.name);
        let sheet = report::Sheet {
            job: run.job.as_ref(),
            choices: Some(&choices),
            started_utc: Some("2026-03-14T09:15:00Z"),
            record_sha256: Some(invented_runs::DIGEST),
            ..report::Sheet::new(&trace, &run.findings, &source, "dryhold 0.1.0")
        };
        let gauge = vacuum::GaugeIdentity {
            description: Some("diaphragm gauge, 0 to 20,000 micron (invented)".into()),
            serial: Some("G-0012".into()),
            ..Default::default()
        };
        let second = invented_runs::pump_side(&run).iter().collect();
        let beside = [report::Companion {
            place: "pump side",
            gauge: &gauge,
            trace: &second,
        }];
        let two = report::Sheet {
            beside: &beside,
            ..sheet
        };
        fs::write(
            folder.join(format!("{}.two.svg", run.name)),
            report::curve_svg(&two)?,
        )?;
        fs::write(
            folder.join(format!("{}.two.html", run.name)),
            report::sheet_html(&two)?,
        )?;
        let file = |what: &str| folder.join(format!("{}.{what}", run.name));
        fs::write(file("curve.svg"), report::curve_svg(&sheet)?)?;
        if let Some(svg) = report::hold_svg(&sheet)? {
            fs::write(file("hold.svg"), svg)?;
        }
        fs::write(file("sheet.html"), report::sheet_html(&sheet)?)?;
        for paper in vacuum::Paper::ALL {
            let choices = vacuum::SheetChoices {
                paper: Some(paper),
                ..choices.clone()
            };
            let on = report::Sheet {
                choices: Some(&choices),
                ..sheet
            };
            let name = format!("{}.pdf", paper.code());
            fs::write(file(&name), report::sheet_pdf(&on)?)?;
        }
        let small = report::curve_png(&sheet, report::PngSize::Message)?;
        fs::write(file("curve-small.png"), small)?;
        fs::write(
            file("findings.json"),
            report::findings_json(&run.findings, &source),
        )?;
        fs::write(
            file("txt"),
            wording::summary_lines(&voice, &run.findings).join("\n"),
        )?;
    }
    Ok(())
}
