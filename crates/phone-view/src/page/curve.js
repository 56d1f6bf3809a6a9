// The curve: pressure on a logarithmic scale over time, with zoom and a cursor.
const el = (id) => document.getElementById(id);
const clock = (s) => {
  s = Math.max(0, Math.floor(s));
  const two = (n) => String(n).padStart(2, "0");
  const h = Math.floor(s / 3600), m = Math.floor(s / 60) % 60;
  return h > 0 ? `${h}:${two(m)}:${two(s % 60)}` : `${m}:${two(s % 60)}`;
};
const micron = (p) => p >= 1e4 ? `${Number(p.toPrecision(3)).toLocaleString("en").replace(/,/g, "\u202f")} micron`
  : `${p >= 100 ? Math.round(p) : Number(p.toPrecision(3))} micron`;

// micron on a logarithmic scale, or in a pressure test another unit on a linear one
const scale = { linear: false, micron: 1, unit: "micron", digits: 0 };
const up = (p) => scale.linear ? p / scale.micron : Math.log10(Math.max(p, 1e-3));
const pressure_words = (p) => scale.linear ? `${(p / scale.micron).toFixed(scale.digits)} ${scale.unit}` : micron(p);
const curve = { columns: [], away: [], extent: [0, 0], tail: [], marks: [], target: null, ceiling: null, hold: null };
// what is seen: from and to, s; null is the whole run
let seen = null;
let pointed = null;
const MOST_TAIL = 1200;
const SHORTEST = 5;

/** A fresh curve replaces the old; what came after it stays. */
function take_curve(fresh) {
  curve.columns = fresh.columns;
  curve.away = fresh.away;
  curve.extent = fresh.extent_s;
  curve.tail = curve.tail.filter((p) => p[0] > fresh.extent_s[1]);
  draw_soon();
}

/** The newest reading, drawn on from the last curve. Null breaks the line. */
function take_point(at_s, pressure) {
  const last = curve.tail[curve.tail.length - 1];
  if (last && last[0] >= at_s && (last[1] === null) === (pressure === null)) return;
  if (pressure === null && last && last[1] === null) { last[0] = at_s; return; }
  curve.tail.push([at_s, pressure]);
  if (curve.tail.length > MOST_TAIL) curve.tail.shift();
  draw_soon();
}

function forget_curve() {
  Object.assign(curve, { columns: [], away: [], extent: [0, 0], tail: [], marks: [], hold: null });
  seen = pointed = null;
  draw_soon();
}

const whole = () => {
  const last = curve.tail[curve.tail.length - 1];
  const to = Math.max(curve.extent[1], last ? last[0] : 0);
  // on a linear scale the filling would hide what is lost afterwards
  if (scale.linear && curve.hold !== null) return [curve.hold, Math.max(to, curve.hold + SHORTEST)];
  const from = curve.columns.length ? curve.extent[0] : curve.tail.length ? curve.tail[0][0] : 0;
  return [from, Math.max(to, from + SHORTEST)];
};
const span = () => seen ?? whole();

/** Every drawn point: from, to, low, high, whether the line is broken before it. */
function* points() {
  for (const c of curve.columns) yield c;
  const end = curve.columns.length ? curve.extent[1] : -Infinity;
  let broken = curve.columns.length === 0;
  for (const [t, p] of curve.tail) {
    if (t <= end) continue;
    if (p === null) { broken = true; continue; }
    yield [t, t, p, p, broken];
    broken = false;
  }
}

/** Lowest and highest of what is seen, on whole parts of a decade. */
function limits(from, to) {
  if (scale.linear) return linear_limits(from, to);
  let low = Infinity, high = -Infinity;
  for (const [a, b, l, h] of points()) {
    if (b < from || a > to) continue;
    if (l > 0) low = Math.min(low, l);
    high = Math.max(high, h);
  }
  for (const line of [curve.target, curve.hold ? curve.ceiling : null]) {
    if (line > 0) { low = Math.min(low, line); high = Math.max(high, line); }
  }
  if (!(low > 0) || !(high > 0)) return [2, 6];
  const steps = Math.log10(high / low) > 1.5 ? 1 : 0.25;
  const down = Math.floor((Math.log10(low) - 0.04) / steps) * steps;
  const up = Math.ceil((Math.log10(high) + 0.04) / steps) * steps;
  return up - down < 0.5 ? [down - 0.25, up + 0.25] : [down, up];
}

/** The same on a linear scale, with a little room. */
function linear_limits(from, to) {
  let low = Infinity, high = -Infinity;
  for (const [a, b, l, h] of points()) {
    if (b < from || a > to) continue;
    low = Math.min(low, up(l)); high = Math.max(high, up(h));
  }
  if (!(low <= high)) return [0, 1];
  const room = Math.max(0.06 * (high - low), 5 / 10 ** scale.digits);
  return [Math.max(0, low - room), high + room];
}

const canvas = el("curve");
const box = { left: 72, right: 12, top: 10, bottom: 30, w: 0, h: 0 };
const x_of = (t) => { const [a, b] = span(); return box.left + (t - a) / (b - a) * (box.w - box.left - box.right); };
const t_of = (x) => { const [a, b] = span(); return a + (x - box.left) / (box.w - box.left - box.right) * (b - a); };

let due = false;
function draw_soon() {
  if (due) return;
  due = true;
  requestAnimationFrame(() => { due = false; draw(); });
}

/** Round steps of time so that labels do not touch. */
function time_step(seconds, most) {
  const steps = [1, 2, 5, 10, 15, 30, 60, 120, 300, 600, 900, 1800, 3600, 7200, 14400, 21600, 43200, 86400];
  return steps.find((s) => seconds / s <= most) ?? 86400;
}

function grid(g, y_of, [low, high], ink) {
  const [from, to] = span();
  g.lineWidth = 1;
  g.font = "600 14px system-ui, sans-serif";
  g.textAlign = "right"; g.textBaseline = "middle";
  if (scale.linear) linear_levels(g, y_of, [low, high], ink);
  else log_levels(g, y_of, [low, high], ink);
  times(g, [from, to], ink);
}

/** Lines and labels at round pressures. */
function linear_levels(g, y_of, [low, high], ink) {
  const least = (high - low) / 6, decade = 10 ** Math.floor(Math.log10(least));
  const step = [1, 2, 5, 10].map((m) => m * decade).find((s) => s >= least) ?? 10 * decade;
  const digits = Math.max(0, Math.min(4, -Math.floor(Math.log10(step) + 1e-9)));
  for (let p = Math.ceil(low / step) * step; p <= high; p += step) {
    const y = y_of(p);
    g.strokeStyle = ink.line;
    g.beginPath(); g.moveTo(box.left, y); g.lineTo(box.w - box.right, y); g.stroke();
    g.fillStyle = ink.ink;
    g.fillText(p.toFixed(digits), box.left - 6, y);
  }
}

function log_levels(g, y_of, [low, high], ink) {
  const narrow = high - low <= 2.01;
  let last = Infinity;
  for (let d = Math.floor(low); d <= high; d += 1) {
    for (const m of [1, 2, 3, 4, 5, 6, 7, 8, 9]) {
      const l = d + Math.log10(m);
      if (l < low - 1e-9 || l > high + 1e-9) continue;
      const y = y_of(l);
      g.strokeStyle = m === 1 ? ink.line : ink.fill;
      g.beginPath(); g.moveTo(box.left, y); g.lineTo(box.w - box.right, y); g.stroke();
      if ((m === 1 || (narrow && (high - low < 1.01 || m === 2 || m === 5))) && last - y >= 17) {
        last = y;
        g.fillStyle = ink.ink;
        g.fillText(micron(10 ** l).replace(" micron", ""), box.left - 6, y);
      }
    }
  }
}

function times(g, [from, to], ink) {
  g.textAlign = "center"; g.textBaseline = "top";
  const step = time_step(to - from, (box.w - box.left - box.right) / 76);
  for (let t = Math.ceil(from / step) * step; t <= to; t += step) {
    const x = x_of(t);
    g.strokeStyle = ink.fill;
    g.beginPath(); g.moveTo(x, box.top); g.lineTo(x, box.h - box.bottom); g.stroke();
    g.fillStyle = ink.ink;
    const half = g.measureText(clock(t)).width / 2;
    g.fillText(clock(t), Math.min(Math.max(x, half), box.w - half), box.h - box.bottom + 7);
  }
}

function level(g, y_of, pressure, text, dash, ink) {
  const y = y_of(up(pressure));
  g.strokeStyle = ink.ink; g.lineWidth = 2; g.setLineDash(dash);
  g.beginPath(); g.moveTo(box.left, y); g.lineTo(box.w - box.right, y); g.stroke();
  g.setLineDash([]);
  g.font = "700 13px system-ui, sans-serif"; g.textAlign = "left"; g.textBaseline = "top";
  // where it hides none of the curve
  const width = g.measureText(text).width + 6, right = box.w - box.right - width - 3;
  const across = [1, 0, 0.5, 0.25, 0.75].map((part) => box.left + 3 + part * (right - box.left - 3));
  const places = across.flatMap((x) => [[x, y - 20], [x, y + 3]]);
  const inside = (p) => p[1] > box.top && p[1] + 17 < box.h - box.bottom;
  const [x, top] = places.find((p) => inside(p) && !crosses(p[0], p[1], width, 17, y_of)) ?? places.find(inside) ?? places[1];
  g.fillStyle = ink.paper; g.fillRect(x, top, width, 17);
  g.fillStyle = ink.ink; g.fillText(text, x + 3, top + 2);
}

/** True when the curve runs through this box. */
function crosses(x, y, w, h, y_of) {
  const from = t_of(x - 4), to = t_of(x + w + 4);
  for (const [a, b, low, high] of points()) {
    if (b < from || a > to || !(high > 0)) continue;
    if (y_of(up(low)) > y - 4 && y_of(up(high)) < y + h + 4) return true;
  }
  return false;
}

function draw() {
  const ratio = window.devicePixelRatio || 1;
  box.w = canvas.clientWidth; box.h = canvas.clientHeight;
  if (canvas.width !== Math.round(box.w * ratio) || canvas.height !== Math.round(box.h * ratio)) {
    canvas.width = Math.round(box.w * ratio); canvas.height = Math.round(box.h * ratio);
  }
  const style = getComputedStyle(document.documentElement);
  const ink = {};
  for (const name of ["ink", "paper", "soft", "line", "fill", "curve"]) ink[name] = style.getPropertyValue(`--${name}`).trim();
  const g = canvas.getContext("2d");
  g.setTransform(ratio, 0, 0, ratio, 0, 0);
  g.fillStyle = ink.paper; g.fillRect(0, 0, box.w, box.h);
  const [from, to] = span();
  const range = limits(from, to);
  const y_of = (l) => box.top + (range[1] - l) / (range[1] - range[0]) * (box.h - box.top - box.bottom);
  g.save();
  g.beginPath(); g.rect(box.left, box.top, box.w - box.left - box.right, box.h - box.top - box.bottom); g.clip();
  if (curve.hold !== null) {
    g.fillStyle = ink.fill;
    g.fillRect(x_of(curve.hold), box.top, box.w, box.h);
  }
  g.restore();
  grid(g, y_of, range, ink);
  g.save();
  g.beginPath(); g.rect(box.left, box.top, box.w - box.left - box.right, box.h - box.top - box.bottom); g.clip();
  hatch_away(g, ink);
  draw_marks(g, ink);
  const same = curve.hold !== null && curve.ceiling === curve.target;
  if (curve.target > 0) level(g, y_of, curve.target, same ? "target and ceiling" : "target", [8, 6], ink);
  if (curve.hold !== null && curve.ceiling > 0 && !same) level(g, y_of, curve.ceiling, "ceiling", [2, 5], ink);
  g.strokeStyle = ink.curve; g.lineWidth = 3; g.lineJoin = "round";
  g.beginPath();
  let first = true;
  for (const [a, b, l, h, broken] of points()) {
    if (!(h > 0)) continue;
    const low = y_of(up(l)), high = y_of(up(h));
    if (broken || first) g.moveTo(x_of(a), high); else g.lineTo(x_of(a), high);
    g.lineTo(x_of((a + b) / 2), low); g.lineTo(x_of(b), (low + high) / 2 + 0.01);
    first = false;
  }
  g.stroke();
  g.restore();
  draw_cursor(g, ink, y_of);
  el("whole").hidden = seen === null;
}

/** Where the gauge gave no number. */
function hatch_away(g, ink) {
  g.strokeStyle = ink.line; g.lineWidth = 1;
  for (const [, a, b] of curve.away) {
    const left = x_of(a), right = Math.max(x_of(b), left + 2);
    if (right < box.left || left > box.w) continue;
    g.save();
    g.beginPath(); g.rect(left, box.top, right - left, box.h - box.top - box.bottom); g.clip();
    g.beginPath();
    for (let x = Math.max(left, 0) - box.h; x < Math.min(right, box.w); x += 9) { g.moveTo(x, box.h); g.lineTo(x + box.h, 0); }
    g.stroke();
    g.restore();
  }
}

function draw_marks(g, ink) {
  g.font = "700 13px system-ui, sans-serif"; g.textAlign = "center"; g.textBaseline = "middle";
  let row = 0, last = -Infinity;
  for (const mark of curve.marks) {
    const x = x_of(mark.at_s);
    row = x - last < 20 ? row + 1 : 0;
    last = x;
    g.strokeStyle = ink.ink; g.lineWidth = 1.5;
    g.beginPath(); g.moveTo(x, box.top); g.lineTo(x, box.h - box.bottom); g.stroke();
    const y = box.top + 10 + 20 * (row % 6);
    // the letter stays whole at the edges
    const at = x < box.left || x > box.w - box.right ? x : Math.min(Math.max(x, box.left + 10), box.w - box.right - 10);
    g.fillStyle = ink.ink; g.beginPath(); g.arc(at, y, 9, 0, 7); g.fill();
    g.fillStyle = ink.paper; g.fillText(mark.letter, at, y + 0.5);
  }
}

function draw_cursor(g, ink, y_of) {
  if (pointed === null) return;
  let best = null;
  for (const p of points()) {
    const away = Math.max(p[0] - pointed, pointed - p[1], 0);
    if (best === null || away < best[0]) best = [away, p];
  }
  if (best === null) return;
  const [a, b, low, high] = best[1];
  const t = Math.min(Math.max(pointed, a), b), p = Math.sqrt(low * high);
  const x = x_of(t), y = y_of(up(p));
  g.strokeStyle = ink.ink; g.lineWidth = 2;
  g.beginPath(); g.moveTo(x, box.top); g.lineTo(x, box.h - box.bottom); g.stroke();
  g.beginPath(); g.arc(x, y, 8, 0, 7); g.fillStyle = ink.paper; g.fill(); g.lineWidth = 3; g.stroke();
  const plain = (value) => pressure_words(value).replace(` ${scale.unit}`, "");
  const between = high / low > 1.02 ? ` (${plain(low)} to ${plain(high)})` : "";
  el("cursor").textContent = `at ${clock(t)}: ${pressure_words(p)}${between}`;
}

/** Zooms about a moment, and keeps inside the run. */
function zoom(about, factor, shift = 0) {
  const [from, to] = span(), [first, last] = whole();
  const width = Math.max((to - from) / factor, SHORTEST);
  if (width >= last - first) { seen = null; draw_soon(); return; }
  let left = about - (about - from) * width / (to - from) + shift;
  left = Math.min(Math.max(left, first), last - width);
  seen = [left, left + width];
  draw_soon();
}

const fingers = new Map();
canvas.addEventListener("pointerdown", (e) => {
  canvas.setPointerCapture(e.pointerId);
  fingers.set(e.pointerId, e.offsetX);
  if (fingers.size === 1) { pointed = t_of(e.offsetX); draw_soon(); }
});
canvas.addEventListener("pointermove", (e) => {
  const was = fingers.get(e.pointerId);
  if (was === undefined) {
    if (e.pointerType === "mouse") { pointed = t_of(e.offsetX); draw_soon(); }
    return;
  }
  if (fingers.size === 2) {
    const other = [...fingers].find(([id]) => id !== e.pointerId)[1];
    const before = Math.abs(was - other), after = Math.abs(e.offsetX - other);
    const middle = (e.offsetX + other) / 2;
    const shift = t_of((was + other) / 2) - t_of(middle);
    if (before > 8 && after > 8) zoom(t_of(middle), after / before, shift);
    pointed = null;
  } else { pointed = t_of(e.offsetX); draw_soon(); }
  fingers.set(e.pointerId, e.offsetX);
});
for (const end of ["pointerup", "pointercancel"]) canvas.addEventListener(end, (e) => fingers.delete(e.pointerId));
canvas.addEventListener("wheel", (e) => { e.preventDefault(); zoom(t_of(e.offsetX), Math.exp(-e.deltaY / 400)); }, { passive: false });
canvas.addEventListener("keydown", (e) => {
  const [from, to] = span(), step = (to - from) / 50;
  const at = pointed ?? to;
  if (e.key === "ArrowLeft") pointed = Math.max(from, at - step);
  else if (e.key === "ArrowRight") pointed = Math.min(to, at + step);
  else if (e.key === "+") zoom(at, 1.5);
  else if (e.key === "-") zoom(at, 1 / 1.5);
  else if (e.key === "Escape") { pointed = seen = null; }
  else return;
  e.preventDefault();
  draw_soon();
});
el("whole").addEventListener("click", () => { seen = null; draw_soon(); });
new ResizeObserver(draw_soon).observe(canvas);
