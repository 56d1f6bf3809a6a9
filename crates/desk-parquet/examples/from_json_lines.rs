//! From the JSON lines of a desk, as `dryhold desk --json` prints them, to Parquet files:
//! `cargo run -p desk-parquet --features parquet --example from_json_lines -- claims.jsonl claims.parquet`
//!
//! Rows go through one by one, whatever their number.

use std::{
    error::Error,
    fs::File,
    io::{BufRead, BufReader},
    path::{Path, PathBuf},
};

use desk::Row;
use desk_parquet::{FileOptions, beside, write_rounds, write_rows};

fn main() -> Result<(), Box<dyn Error>> {
    let mut arguments = std::env::args_os().skip(1).map(PathBuf::from);
    let (Some(lines), Some(claims)) = (arguments.next(), arguments.next()) else {
        return Err("say which JSON lines to read and which Parquet file to write".into());
    };
    let options = FileOptions {
        made_by: concat!("dryhold ", env!("CARGO_PKG_VERSION")),
        partial: None,
        without_personal_data: false,
    };
    // every line is a row before anything is written
    for row in rows(&lines)? {
        row?;
    }
    write_rows(&claims, rows(&lines)?.flatten(), &options)?;
    write_rounds(
        &beside(&claims, "rounds"),
        rows(&lines)?.flatten(),
        &options,
    )?;
    Ok(())
}

fn rows(lines: &Path) -> Result<impl Iterator<Item = Result<Row, String>>, Box<dyn Error>> {
    let file = File::open(lines).map_err(|error| format!("{}: {error}", lines.display()))?;
    let name = lines.display().to_string();
    let read = BufReader::new(file).lines().zip(1..);
    Ok(read.map(move |(line, number): (_, u64)| {
        let line = line.map_err(|error| format!("{name}: line {number}: {error}"))?;
        serde_json::from_str(&line).map_err(|error| format!("{name}: line {number}: {error}"))
    }))
}
