// What opens below a row.

function list(title, pairs) {
  const known = pairs.filter(([, value]) => value !== null && value !== undefined && value !== "–");
  const terms = known.flatMap(([name, value]) => [el("dt", {}, name), el("dd", {}, value)]);
  return el("section", {}, el("h3", {}, title), terms.length ? el("dl", {}, ...terms) : el("p", {}, "nothing is known"));
}

const withUnit = (number, unit) => number === null ? null : `${amount(number)} ${unit}`;

function simpleTable(heads, lines) {
  const cells = (name, line) => line.map(cell => el(name, {}, cell));
  return el("table", {}, el("thead", {}, el("tr", {}, ...cells("th", heads))),
    el("tbody", {}, ...lines.map(line => el("tr", {}, ...cells("td", line)))));
}

function linkToRow(row) {
  const link = el("a", {href: `#row${row.place}`, title: row.path}, nameOf(row));
  link.addEventListener("click", event => {
    event.preventDefault();
    reveal(row);
  });
  const said = row.said && row.said[1] !== row.verdict ? `, the shop said ${words(row.said[1])}` : "";
  return [link, ` (${verdictOf(row)}${said}, ${date(row)})`];
}

// a flag with what was seen, and with the rows it was seen with
function flagItem(flag) {
  const item = el("li", {}, el("b", {}, flagNames[flag.code]), `: ${flag.words}`);
  if (flag.others.length) {
    const others = flag.others.map(other => typeof other === "number"
      ? el("li", {}, ...linkToRow(all[other]))
      : el("li", {}, `${other} (not in this table)`));
    item.append(el("ul", {}, ...others));
  }
  return item;
}

function comparison(row) {
  const said = row.said || [null, null, null];
  const line = (name, now, then) => {
    const both = now !== null && then !== null;
    const note = both && now !== then && name !== "By" ? el("b", {}, " differs") : "";
    return [name, now === null ? "–" : now, el("span", {}, then === null ? "–" : then, note)];
  };
  const verdict = code => code === null ? null : words(code);
  return el("section", {class: "wide"}, el("h3", {}, "Judged now, and said by the shop"), simpleTable(
    ["", "judged now", row.said ? "said by the shop" : "the shop's findings are not in the record"],
    [line("Verdict", verdict(row.verdict), verdict(said[1])), line("Criteria", row.criteria, said[2]),
      line("By", data.made_by, said[0])]));
}

function detailsOf(row) {
  const parts = [];
  if (row.unreadable) parts.push(el("p", {class: "shout"}, `This record cannot be read: ${row.unreadable}`));
  if (row.headline) parts.push(el("p", {class: "headline"}, row.headline));
  if (row.sheet) {
    parts.push(el("p", {}, el("a", {class: "sheet", href: row.sheet, target: "_blank", rel: "noopener noreferrer"},
      "Open the sheet of this record")));
  }
  const blocks = [];
  if (row.curve && row.curve[1]) {
    blocks.push(el("section", {class: "wide"}, el("h3", {}, "Curve"), largeCurve(row)));
  }
  if (row.flags.length) {
    blocks.push(el("section", {class: "wide"}, el("h3", {}, "What to look at"), el("ul", {}, ...row.flags.map(flagItem))));
  }
  if (!row.unreadable) blocks.push(comparison(row));
  if (row.rounds.length) {
    blocks.push(el("section", {class: "wide"}, el("h3", {}, "Rounds"), simpleTable(
      ["", "lowest, micron", "hold, min", "highest in hold, micron", "verdict"],
      row.rounds.map((round, at) => [String(at + 1), amount(round.lowest), amount(round.hold), amount(round.highest),
        round.verdict === null ? "–" : words(round.verdict)]))));
  }
  const cause = row.cause && (row.confidence === null ? words(row.cause) : `${words(row.cause)}, confidence ${Math.round(100 * row.confidence)} %`);
  blocks.push(list("Measured", [
    ["Why it does not pass", row.reasons.length ? row.reasons.map(words).join(", ") : null],
    ["Cause of the rise", cause],
    ["Leak", withUnit(row.leak, "micron/min")],
    ["Smallest leak to be seen", withUnit(row.limit, "micron/min")],
    ["Lowest", withUnit(row.lowest, "micron")],
    ["Highest in the last hold", withUnit(row.highest, "micron")],
    ["Last hold", withUnit(row.hold, "min")],
    ["Isolation by", row.isolated_by],
  ]), list("Job", [
    ["Job", row.job], ["Began", row.started && utc(row.started)], ["Test", row.test],
    ["Appliance", row.appliance], ["Serial number", row.serial], ["Refrigerant", row.refrigerant],
    ["Volume", withUnit(row.volume, "L")], ["Ambient", withUnit(row.ambient, "°C")], ["Repair", row.repair],
    ["Technician", row.technician], ["Customer", row.customer],
  ]), list("Record", [
    ["Path", row.path], ["Kind", row.kind], ["Seal", row.seal], ["Shop", row.shop],
    ["First thing that does not fit", row.changed], ["Gauge", row.gauge], ["Calibration due", row.calibration_due],
    ["Digest (SHA-256)", row.record_sha256],
  ]));
  return el("div", {class: "opened"}, ...parts, el("div", {class: "blocks"}, ...blocks));
}
