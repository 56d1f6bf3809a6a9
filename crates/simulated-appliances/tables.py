#!/usr/bin/env python3
"""Writes src/tables.rs: saturation properties of the refrigerants of the simulated
appliances, from CoolProp 8.0.0 (pip install CoolProp). Run it in this folder."""
import CoolProp
from CoolProp.CoolProp import PropsSI

FLUIDS = [("R-600a", "IsoButane"), ("R-290", "n-Propane"), ("R-134a", "R134a")]
FROM_C, TO_C, STEP_C = -90, 90, 5

rows = []
for name, fluid in FLUIDS:
    lines = []
    h0 = PropsSI("H", "T", 273.15, "Q", 0, fluid)
    for c in range(FROM_C, TO_C + 1, STEP_C):
        t = c + 273.15
        get = lambda what, q: PropsSI(what, "T", t, "Q", q, fluid)
        values = (
            get("P", 1) / 1e3,
            get("D", 0),
            get("D", 1),
            (get("H", 0) - h0) / 1e3,
            (get("H", 1) - h0) / 1e3,
            get("C", 0) / 1e3,
            get("C", 1) / 1e3,
        )
        lines.append("        [%s]," % ", ".join(repr(float("%.6g" % v)) for v in values))
    rows.append(
        '    Table {\n        name: "%s",\n        rows: &[\n%s\n        ],\n    },'
        % (name, "\n".join("    " + l for l in lines))
    )
text = (
    "//! Saturation properties, written by `tables.py` from CoolProp %s. Do not edit.\n\n"
    "/// One refrigerant along its saturation line.\n"
    "#[derive(Debug)]\n"
    "pub(crate) struct Table {\n"
    "    pub(crate) name: &'static str,\n"
    "    /// Pressure kPa; density of liquid and vapour kg/m³; enthalpy of both kJ/kg; specific\n"
    "    /// heat of both kJ/(kg K).\n"
    "    pub(crate) rows: &'static [[f64; 7]],\n"
    "}\n\n"
    "/// Temperature of the first row, °C.\n"
    "pub(crate) const FROM_C: f64 = %.1f;\n"
    "/// From one row to the next, K.\n"
    "pub(crate) const STEP_K: f64 = %.1f;\n\n"
    "#[rustfmt::skip]\n"
    "pub(crate) const TABLES: [Table; %d] = [\n%s\n];\n"
) % (CoolProp.__version__, FROM_C, STEP_C, len(rows), "\n".join(rows))
open("src/tables.rs", "w").write(text)
