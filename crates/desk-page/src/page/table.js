// The table: rows in chunks, of which only those near the window are drawn.

const CHUNK = 40;
const table = document.getElementById("table");
const heads = document.getElementById("heads");

const verdictBox = words => el("span", {class: `verdict ${words.replaceAll(" ", "_")}`}, words);

function flagsIn(row) {
  if (row.unreadable) return [el("b", {}, "cannot be read"), el("span", {class: "evidence"}, row.unreadable)];
  if (!row.flags.length) return [el("span", {class: "soft"}, "nothing")];
  const names = row.flags.map(flag => flagNames[flag.code]).join(" · ");
  return [el("b", {}, names), el("span", {class: "evidence"}, row.flags[0].words)];
}

const below = text => text === null ? "" : el("span", {class: "below"}, text);
const orDash = text => text === null ? "–" : text;
// breaks may come after each part of a path
const path = row => el("span", {class: "below path", title: row.path}, row.path);

// what each column shows; `size` says from which width of the window on
const COLUMNS = [
  {id: "job", size: 0, cell: row => [opener(row), path(row)]},
  {id: "started", size: 0, cell: row => [date(row), below(time(row))]},
  {id: "verdict", size: 0, cell: row => [verdictBox(verdictOf(row)), reservation(row) ? below(reservation(row)) : "",
    row.said && row.said[1] !== row.verdict ? below(`shop said ${words(row.said[1])}`) : ""]},
  {id: "look", size: 0, cell: flagsIn},
  {id: "curve", size: 0, cell: row => [smallCurve(row)]},
  {id: "seal", size: 0, cell: row => [row.seal, below(row.shop)]},
  {id: "cause", size: 1, cell: row => [orDash(row.cause && words(row.cause)),
    row.confidence === null ? "" : below(`${Math.round(100 * row.confidence)} % sure`)]},
  {id: "leak", size: 0, number: true, cell: row => [amount(row.leak)]},
  {id: "lowest", size: 2, number: true, cell: row => [amount(row.lowest)]},
  {id: "highest", size: 2, number: true, cell: row => [amount(row.highest)]},
  {id: "hold", size: 2, number: true, cell: row => [amount(row.hold)]},
  {id: "serial", size: 1, cell: row => [orDash(row.serial), below(row.appliance)]},
  {id: "gauge", size: 3, cell: row => [orDash(row.gauge), row.calibration_due === null ? "" : below(`due ${row.calibration_due}`)]},
];

for (const column of COLUMNS) {
  const order = orderBy(column.id);
  const button = el("button", {type: "button", "data-order": column.id}, order.label, " ");
  if (order.unit) button.append(el("span", {class: "unit"}, order.unit));
  button.append(el("span", {class: "arrow", "aria-hidden": "true"}));
  heads.append(el("th", {scope: "col", role: "columnheader", class: `${column.id} size${column.size}`}, button));
}

function opener(row) {
  return el("button", {type: "button", class: "opener", "aria-expanded": String(row.open), "data-place": row.place}, nameOf(row));
}

function lineOf(row, index) {
  const line = el("tr", {role: "row", class: "row", "data-place": row.place, "aria-rowindex": index + 2});
  for (const column of COLUMNS) {
    const cell = el("td", {role: "cell", class: `${column.id} size${column.size}${column.number ? " number" : ""}`}, ...column.cell(row));
    cell.dataset.name = orderBy(column.id).label + (column.number ? `, ${orderBy(column.id).unit}` : "");
    line.append(cell);
  }
  return line;
}

const openedLine = row => el("tr", {role: "row", class: "details", "data-details": row.place},
  el("td", {role: "cell", colspan: COLUMNS.length}, detailsOf(row)));

let chunks = [], rowHeight = 60, printing = false;

function fill(chunk) {
  if (chunk.full) return;
  chunk.full = true;
  const lines = [];
  chunk.rows.forEach((row, at) => {
    lines.push(lineOf(row, chunk.begin + at));
    if (row.open) lines.push(openedLine(row));
  });
  chunk.body.replaceChildren(...lines);
}

// as high as it was, or as it will be about
function empty(chunk) {
  if (chunk.full) chunk.height = chunk.body.offsetHeight;
  chunk.full = false;
  const gap = el("td", {colspan: COLUMNS.length});
  gap.style.height = `${chunk.height || rowHeight * chunk.rows.length}px`;
  chunk.body.replaceChildren(el("tr", {class: "gap", "aria-hidden": "true"}, gap));
}

const watcher = new IntersectionObserver(entries => {
  for (const entry of entries) {
    const chunk = chunks[entry.target.dataset.chunk];
    if (!chunk || chunk.body !== entry.target) continue;
    if (entry.isIntersecting) fill(chunk);
    else if (chunk.full && !printing && !chunk.body.contains(document.activeElement)) empty(chunk);
  }
}, {rootMargin: "1200px 0px"});

// shows these rows, in this order
function layOut(rows) {
  watcher.disconnect();
  for (const chunk of chunks) chunk.body.remove();
  chunks = [];
  for (let begin = 0; begin < rows.length; begin += CHUNK) {
    const body = el("tbody", {role: "rowgroup", "data-chunk": chunks.length});
    chunks.push({body, begin, rows: rows.slice(begin, begin + CHUNK), full: false, height: 0});
  }
  if (chunks.length) {
    table.append(chunks[0].body);
    fill(chunks[0]);
    rowHeight = chunks[0].body.offsetHeight / chunks[0].rows.length || rowHeight;
    chunks.slice(1).forEach(empty);
    table.append(...chunks.slice(1).map(chunk => chunk.body));
  }
  table.setAttribute("aria-rowcount", rows.length + 1);
  for (const chunk of chunks) watcher.observe(chunk.body);
}

function setOpen(row, open) {
  row.open = open;
  const line = table.querySelector(`tr[data-place="${row.place}"]`);
  if (!line) return;
  line.querySelector(".opener").setAttribute("aria-expanded", String(open));
  const details = table.querySelector(`tr[data-details="${row.place}"]`);
  if (open && !details) line.after(openedLine(row));
  if (!open && details) details.remove();
}

table.addEventListener("click", event => {
  const line = event.target.closest("tr.row");
  // whoever marks text does not want it to move away
  const marked = String(getSelection()) !== "";
  if (!line || event.target.closest("a") || (marked && !event.target.closest(".opener"))) return;
  const row = all[line.dataset.place];
  setOpen(row, !row.open);
});

// brings a row into the window, opened; filters that hide it are taken away
function reveal(row) {
  const has = chunk => chunk.rows.includes(row);
  if (!chunks.some(has)) clearFilters();
  const chunk = chunks.find(has);
  fill(chunk);
  setOpen(row, true);
  const line = chunk.body.querySelector(`tr[data-place="${row.place}"]`);
  line.scrollIntoView({block: "center"});
  line.querySelector(".opener").focus({preventScroll: true});
  // chunks on the way may have turned out higher than they were taken for
  setTimeout(() => line.scrollIntoView({block: "center"}), 150);
}

addEventListener("beforeprint", () => {
  printing = true;
  chunks.forEach(fill);
});
addEventListener("afterprint", () => {
  printing = false;
  for (const chunk of chunks) {
    watcher.unobserve(chunk.body);
    watcher.observe(chunk.body);
  }
});
