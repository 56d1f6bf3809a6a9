//! What is sent to a gauge that must be asked: `[poll]` and `[modbus]`.

use std::time::Duration;

use toml::Spanned;

use crate::ask::{Acknowledge, Ask};

use super::{
    file::{ModbusTable, PollTable},
    plain::{Fault, LineAddress, bytes, whole, word},
    shape::RegisterRule,
};

const DEFAULT_EVERY_MS: i64 = 500;
/// More often would only fill the line; less often would miss a valve opening.
const EVERY_MS: std::ops::RangeInclusive<i64> = 20..=60_000;

pub(super) fn ask(
    table: Option<&Spanned<PollTable>>,
    address: &LineAddress<'_>,
) -> Result<Option<Ask>, Fault> {
    let Some(spanned) = table else {
        return Ok(None);
    };
    let table = spanned.get_ref();
    let acknowledge = match (&table.expect, &table.then_send) {
        (Some(expect), Some(then_send)) => Some(Acknowledge {
            expect: bytes(expect, address, "expect")?,
            then_send: bytes(then_send, address, "then_send")?,
        }),
        (None, None) => None,
        (Some(alone), None) | (None, Some(alone)) => {
            return Err(Fault::at(
                alone,
                "expect and then_send belong together",
                "write both: what the gauge confirms with, and what makes it send the reading",
            ));
        }
    };
    Ok(Some(Ask {
        send: bytes(&table.send, address, "send")?,
        every: every(table.every_ms.as_ref())?,
        acknowledge,
        echo: table.echo,
    }))
}

pub(super) fn every(field: Option<&Spanned<i64>>) -> Result<Duration, Fault> {
    whole(field, DEFAULT_EVERY_MS, EVERY_MS, "every_ms").map(Duration::from_millis)
}

pub(super) fn registers(
    table: Option<&Spanned<ModbusTable>>,
    tcp: bool,
    (first, count): (u16, u16),
    address: &LineAddress<'_>,
) -> Result<RegisterRule, Fault> {
    let table = table.map(Spanned::get_ref);
    let device = match address.take() {
        // 255 means the device itself where TCP leads to one device only
        None if tcp => 255,
        None => 1,
        Some(field) => match field.get_ref().trim().parse::<u8>() {
            Ok(number) if tcp || (1..=247).contains(&number) => number,
            _ => {
                return Err(Fault::at(
                    field,
                    format!("\"{}\" is not a Modbus address", field.get_ref()),
                    "write a number from 1 to 247, such as address = \"1\"",
                ));
            }
        },
    };
    Ok(RegisterRule {
        tcp,
        input: word(
            table.and_then(|t| t.registers.as_ref()),
            false,
            &[("holding", false), ("input", true)],
            "registers",
        )?,
        device,
        first,
        count,
        every: every(table.and_then(|t| t.every_ms.as_ref()))?,
    })
}
