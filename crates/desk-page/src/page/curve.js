// Curves: from their text to hundredths of a decade, and from there to a picture.

const SVG = "http://www.w3.org/2000/svg";

// printable ASCII without the two that JSON or HTML would read otherwise
const DIGITS = new Map();
for (let code = 35; code < 127; code++) {
  if (code !== 60 && code !== 92) DIGITS.set(String.fromCharCode(code), DIGITS.size);
}

// log10 of the pressure in micron, bin by bin; see curve.rs
function decades(text) {
  const found = [];
  let now = 0;
  for (let at = 0; at < text.length; at++) {
    const digit = DIGITS.get(text[at]);
    if (digit === 89) {
      now = DIGITS.get(text[at + 1]) * 90 + DIGITS.get(text[at + 2]) - 3277;
      at += 2;
    } else now += digit - 44;
    found.push(now / 100);
  }
  return found;
}

function svg(name, attributes, ...inside) {
  const made = document.createElementNS(SVG, name);
  for (const key in attributes) made.setAttribute(key, attributes[key]);
  made.append(...inside);
  return made;
}

// the line through all bins, in a box of this size
function line(logs, low, high, width, height) {
  const step = width / Math.max(1, logs.length - 1);
  const y = log => height * (1 - (Math.min(high, Math.max(low, log)) - low) / (high - low));
  return logs.map((log, at) => `${at ? "L" : "M"}${(at * step).toFixed(1)} ${y(log).toFixed(1)}`).join("");
}

// lowest and highest, widened to at least half a decade
function range(logs) {
  let low = Math.min(...logs), high = Math.max(...logs);
  const more = Math.max(0, 0.5 - (high - low)) / 2;
  low -= more;
  high += more;
  return [low, high];
}

function inWords(row, logs) {
  const ends = [logs[0], logs[logs.length - 1], Math.min(...logs)].map(log => amount(10 ** log));
  return `Pressure from ${ends[0]} to ${ends[1]} micron in ${duration(row.curve[0])}, lowest ${ends[2]} micron`;
}

// below 10 micron no hold ends, above 100,000 none begins; pressure tests lie higher and
// get a range of their own
function smallRange(row, logs) {
  return (row.test || "").startsWith("pressure") ? range(logs) : [1, 5];
}

function smallCurve(row) {
  const logs = row.curve ? decades(row.curve[1]) : [];
  if (!logs.length) return "no curve";
  const width = 128, height = 34;
  const [low, high] = smallRange(row, logs);
  const picture = svg("svg", {viewBox: `-1 -1 ${width + 2} ${height + 2}`, class: "small", role: "img",
    "aria-label": inWords(row, logs), preserveAspectRatio: "none"});
  if (low < 3 && high > 3) {
    const y = height * (1 - (3 - low) / (high - low));
    picture.append(svg("path", {d: `M0 ${y.toFixed(1)}H${width}`, class: "guide"}));
  }
  picture.append(svg("path", {d: line(logs, low, high, width, height), class: "curve"}));
  return picture;
}

// seconds between the times that stand below a curve: at most six of them
function evenStep(span) {
  const steps = [1, 2, 5, 10, 20, 30, 60, 120, 300, 600, 900, 1800, 3600, 7200, 14400, 28800, 43200, 86400];
  return steps.find(step => span / step <= 6) || 86400 * Math.ceil(span / 86400 / 6);
}

// with decades and times, over the range of its own
function largeCurve(row) {
  const logs = decades(row.curve[1]);
  const width = 600, height = 200, left = 78, below = 26;
  let [low, high] = range(logs);
  low -= 0.05 * (high - low);
  high += 0.05 * (high - low);
  const picture = svg("svg", {viewBox: `${-left} -10 ${left + width + 26} ${height + below + 10}`, class: "large",
    role: "img", "aria-label": inWords(row, logs)});
  const put = (x, y, text, anchor) => picture.append(svg("text", {x, y, "text-anchor": anchor}, text));
  const marks = [];
  for (let decade = Math.floor(low); decade <= high; decade++) {
    // within two decades the steps between are needed too
    for (const times of high - low > 2.2 ? [1] : [1, 2, 5]) marks.push(decade + Math.log10(times));
  }
  for (const log of marks.filter(log => log >= low && log <= high)) {
    const y = height * (1 - (log - low) / (high - low));
    picture.append(svg("path", {d: `M0 ${y.toFixed(1)}H${width}`, class: "guide"}));
    put(-6, y + 4, amount(10 ** log), "end");
  }
  put(-left, height + 20, "micron", "start");
  const span = row.curve[0], step = evenStep(span);
  for (let at = 0; at <= span; at += step) {
    const x = width * at / (span || 1);
    picture.append(svg("path", {d: `M${x.toFixed(1)} ${height}v5`, class: "frame"}));
    put(x.toFixed(1), height + 20, at ? duration(at) : "0", "middle");
  }
  picture.append(svg("path", {d: `M0 0V${height}H${width}`, class: "frame"}),
    svg("path", {d: line(logs, low, high, width, height), class: "curve"}));
  return picture;
}
