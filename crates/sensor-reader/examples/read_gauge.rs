//! Prints what a gauge says: `read_gauge PORT [DIALECT]`.
#![expect(
    clippy::print_stdout,
    clippy::print_stderr,
    reason = "printing is the point"
)]

use std::process::ExitCode;

use sensor_reader::{Address, Dialect, Event, GaugeStream, Options};

#[tokio::main(flavor = "current_thread")]
async fn main() -> ExitCode {
    match read().await {
        Ok(()) => ExitCode::SUCCESS,
        Err(error) => {
            eprintln!("{error}");
            ExitCode::FAILURE
        }
    }
}

async fn read() -> Result<(), Box<dyn std::error::Error>> {
    let mut words = std::env::args().skip(1);
    let address = Address::parse(&words.next().ok_or("usage: read_gauge PORT [DIALECT]")?)?;
    let dialect = Dialect::load(words.next().as_deref().unwrap_or("number-unit-line"))?;
    let mut gauge = GaugeStream::open(&address, &dialect, Options::default()).await?;
    while let Some(event) = gauge.next().await {
        match event {
            Event::Reading { sample, .. } => match sample.pressure() {
                Some(pressure) => println!("{pressure}"),
                None => println!("no measurement: {:?}", sample.sensed),
            },
            Event::Rejected { rejected, .. } => println!("not understood: {rejected}"),
            Event::Lost { why, .. } => println!("lost: {why}"),
            _ => {}
        }
    }
    Ok(())
}
