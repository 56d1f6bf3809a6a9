// Puts what the recorder says into the page. Only text is set, never markup.
const put = (id, text) => { const e = el(id); if (e.textContent !== text) e.textContent = text; };
const show = (id, yes) => { el(id).hidden = !yes; };
const make = (kind, text, name) => {
  const e = document.createElement(kind);
  if (text !== undefined) e.textContent = text;
  if (name) e.className = name;
  return e;
};
/** Rebuilds a list only when what it says has changed, so that a tap is not lost. */
const built = new Map();
function rebuild(id, what, children) {
  const now = JSON.stringify(what);
  if (built.get(id) === now) return;
  built.set(id, now);
  el(id).replaceChildren(...children());
}

const STATES = { over: "above the gauge's range", under: "below the gauge's range", fault: "gauge fault", gap: "no reading", "": "no reading yet" };
const HOLD = { running: "", will_not_pass: "WILL NOT PASS", passed: "MEETS THE CRITERIA", passed_with_leak: "", failed: "FAILS", not_proven: "NOT PROVEN" };
const STEPS = { done: "✓ done", next: "▶ next", later: "○ later", choice: "◇ may" };
const LINKS = { waiting: "waiting for the gauge", hearing: "heard", silent: "SILENT: check power and cable", lost: "LOST: the recorder keeps trying" };
const capital = (text) => text ? text[0].toUpperCase() + text.slice(1) : text;

/** As large as the width allows, whatever the number of digits. */
function fit_digits() {
  const digits = el("digits"), number = el("number");
  const room = el("reading").clientWidth;
  digits.style.fontSize = "100px";
  const size = Math.min(100 * room * 0.98 / Math.max(number.getBoundingClientRect().width, 1), 0.24 * window.innerHeight, 260);
  digits.style.fontSize = `${Math.floor(size)}px`;
}
let digits_long = 0;
/** What is wrong with the reading, and what is asked about before it is done. */
let trouble = null, ask_first = [];

function show_pressure(p, trouble) {
  const measured = p.state === "ok";
  const number = measured || p.micron === null ? p.digits : `${p.state === "under" ? "<" : ">"}${p.digits}`;
  // a number that is old must not stand where the pressure stands
  const text = trouble ? trouble.word : number;
  put("number", text);
  if (text.length !== digits_long) { digits_long = text.length; fit_digits(); }
  const trend = p.trend ? `${!p.trend.includes("/min") ? "■" : p.trend_micron_per_min > 0 ? "▲" : "▼"} ${p.trend}` : "";
  put("unit", trouble ? trouble.clock : p.also ? `${p.unit} (${p.also})` : p.unit);
  put("trend", trouble ? "" : trend);
  el("reading").classList.toggle("trouble", trouble !== null && trouble.is_grave);
  show("bound", trouble !== null || !measured);
  put("bound", trouble ? trouble.text : measured ? "" : capital(STATES[p.state] ?? p.state));
}

function show_verdict(verdict) {
  show("verdict", verdict !== null);
  if (!verdict) return;
  el("verdict").className = verdict.code;
  put("came_to", verdict.words);
  put("then", verdict.next);
}

function show_standing(j, phase) {
  put("phase", capital(phase) + (j.rounds > 1 ? ` · round ${j.rounds}` : ""));
  const target = `target ${micron(j.target.micron)}`;
  show("target", !scale.linear);
  put("target", j.target.words ? `${capital(target)}: ${j.target.words}` : capital(target));
  const h = j.hold;
  show("hold", h !== null);
  if (h) {
    const word = HOLD[h.state];
    put("clock", `${word ? word + " · " : ""}held ${clock(h.held_s)} of ${clock(h.needed_s)}`);
    el("done").style.width = `${Math.min(100, 100 * h.held_s / Math.max(h.needed_s, 1))}%`;
    put("answer", capital(h.answer));
  }
  const s = j.stall;
  show("stall", s !== null);
  rebuild("stall", s && [s.label, s.helps, micron(s.level_micron)], () => s ? [
    make("strong", `Stalls near ${micron(s.level_micron)}: ${s.label}. `),
    make("span", `What usually helps: ${s.helps}.`)] : []);
}

function show_order(o) {
  put("advice", o.advice);
  rebuild("warnings", o.warnings, () => o.warnings.map((w) => make("p", `▲ ${w.text}`)));
  rebuild("steps", o.steps, () => o.steps.map((s) => {
    const li = make("li", undefined, s.state);
    li.append(make("b", STEPS[s.state] ?? s.state), make("span", s.text));
    return li;
  }));
  rebuild("cautions", o.cautions, () => o.cautions.map((c) => make("li", c)));
}

function show_marks(marks, may_undo) {
  rebuild("marks", [marks, may_undo], () => marks.length === 0 ? [make("li", "none yet")] : [...marks].reverse().map((m) => {
    const li = make("li"), text = make("span");
    text.append(make("time", `${clock(m.at_s)}  `), m.device ? `${m.label} (device ${m.device})` : m.label);
    li.append(text);
    if (may_undo) {
      const undo = make("button", "Undo");
      undo.setAttribute("aria-label", `Undo ${m.label} at ${clock(m.at_s)}`);
      undo.addEventListener("click", () => ask({ undo: m.id }, `take back: ${m.label}`, undo));
      li.append(undo);
    }
    return li;
  }));
  curve.marks = marks.map((m) => ({ at_s: m.at_s, letter: m.letter }));
}

/** Only the acts that this run offers have a button. */
function show_stamps(offered) {
  for (const button of el("stamps").children) button.hidden = !offered.includes(button.dataset.key);
}

function show_health(now) {
  const g = now.gauge, d = now.disk, lines = [];
  const age = g.age_s !== null && g.age_s >= 3 ? `, last heard ${clock(g.age_s)} ago` : "";
  lines.push([`Gauge ${LINKS[g.link] ?? g.link}${age}`, g.link === "silent" || g.link === "lost"]);
  if (g.link === "hearing") lines.push([`${g.per_s.toFixed(g.per_s < 10 ? 1 : 0)} readings a second, ${g.readings} in all`, false]);
  const faults = [];
  if (g.reconnects) faults.push(`came back ${g.reconnects} times`);
  if (g.unreadable) faults.push(`${g.unreadable} lines not understood`);
  if (g.lost) faults.push(`${g.lost} lines lost on the way`);
  if (faults.length) lines.push([faults.join(", "), false]);
  for (const b of now.beside) lines.push([`${b.place}: ${b.shown}`, false]);
  if (d.trouble) lines.push([capital(d.trouble), true]);
  const free = d.free_bytes === null ? "" : `, ${(d.free_bytes / 1e9).toFixed(d.free_bytes < 1e10 ? 1 : 0)} GB free`;
  lines.push([`${d.takes_rows ? "On disk" : "Recorded"}: ${d.rows} rows, ${d.rows_waiting} not yet synced${free}`, !d.takes_rows]);
  rebuild("health", lines, () => lines.map(([text, bad]) => make("li", bad ? `▲ ${text}` : text, bad ? "bad" : "")));
}

const GRAVE = ["hold_failed", "hold_passed_with_leak", "hold_will_not_pass", "gauge_lost", "disk_trouble", "order_broken"];
const NUDGE = [...GRAVE, "target_reached", "stall_found", "hold_passed", "gauge_back", "disk_fine"];
const events = [];
function take_event(e) {
  events.push(e);
  if (events.length > 60) events.shift();
  rebuild("events", events.map((x) => x.number), () => [...events].reverse().slice(0, 12).map((x) => {
    const grave = GRAVE.includes(x.kind);
    const li = make("li", undefined, grave ? "grave" : "");
    li.append(make("time", clock(x.at_s)), `${grave ? "▲ " : ""}${x.text}`);
    return li;
  }));
}

function show_now(now) {
  put("run", now.run.job && now.run.job !== "run" ? `Job ${now.run.job}` : now.run.name);
  show("invented", now.run.invented);
  trouble = now.trouble;
  ask_first = now.ask_first;
  show_pressure(now.pressure, now.trouble);
  const digits = now.pressure.digits.split(/[.,]/)[1];
  Object.assign(scale, { linear: now.axis.linear, micron: now.axis.micron_per_unit, unit: now.pressure.unit, digits: digits ? digits.length : 0 });
  show_verdict(now.verdict);
  show_standing(now.judged, now.phase_words);
  show_order(now.order);
  show_marks(now.marks, may_stamp && now.run.recording);
  show_stamps(now.stamps);
  show_health(now);
  curve.target = scale.linear ? null : now.judged.target.micron;
  curve.hold = now.judged.hold ? now.judged.hold.since_s : null;
  curve.ceiling = now.judged.hold && !scale.linear ? now.judged.hold.ceiling_micron : null;
  take_point(now.elapsed_s, now.pressure.state === "ok" ? now.pressure.micron : null);
}
window.addEventListener("resize", fit_digits);
